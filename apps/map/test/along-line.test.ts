import type { FeatureCollection } from 'geojson'
import { expect, test } from 'vitest'
import { nearestAlong, placeAlong } from '../src/state/along-line.js'
import type { LineAnswer } from '../src/worker/protocol.js'

/** A line of 30 m east, then 40 m north; on the map, on the equator, one metre is a millionth of a degree. */
const PATH = [
  [500, 200],
  [530, 200],
  [530, 240],
] as const
const SHOWN = PATH.map(([x, y]) => [(x - 500) * 1e-6, (y - 200) * 1e-6])

const answer = (shown: readonly (readonly number[])[]) =>
  ({
    assessment: { line: { path: PATH } },
    drawn: {
      type: 'FeatureCollection',
      features: [{ type: 'Feature', properties: { what: 'line' }, geometry: { type: 'LineString', coordinates: shown } }],
    } as unknown as FeatureCollection,
  }) as unknown as Pick<LineAnswer, 'assessment' | 'drawn'>

const close = (at: readonly [number, number] | null, x_m: number, y_m: number): void => {
  expect(at![0]).toBeCloseTo(x_m * 1e-6, 12)
  expect(at![1]).toBeCloseTo(y_m * 1e-6, 12)
}

test('a distance along the line is found on the map, round its corner; before and beyond it stand its ends', () => {
  const line = answer(SHOWN)
  close(placeAlong(line, 0), 0, 0)
  close(placeAlong(line, 15), 15, 0)
  close(placeAlong(line, 30), 30, 0)
  close(placeAlong(line, 50), 30, 20)
  close(placeAlong(line, -5), 0, 0)
  close(placeAlong(line, 1000), 30, 40)
})

test('the nearest place of the line: beside it, round its corner, and past its ends', () => {
  const line = answer(SHOWN)
  const nearest = (x_m: number, y_m: number) => nearestAlong(line, [x_m * 1e-6, y_m * 1e-6])!
  for (const [x_m, y_m, chainage_m] of [
    [12, -7, 12],
    [40, 25, 55],
    [40, -10, 30],
    [-9, 3, 0],
    [28, 90, 70],
  ] as const)
    expect(nearest(x_m, y_m).chainage_m, `${x_m}, ${y_m}`).toBeCloseTo(chainage_m, 6)
  close(nearest(12, -7).place, 12, 0)
})

test('where no line is drawn, or another one, there is no place', () => {
  for (const shown of [[], SHOWN.slice(1)]) {
    expect(placeAlong(answer(shown), 10)).toBeNull()
    expect(nearestAlong(answer(shown), [0, 0])).toBeNull()
  }
})
