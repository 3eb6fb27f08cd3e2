import {
  contributingArea,
  type Drainage,
  drainage,
  filledSurface,
  flowNetwork,
  hollows,
  inflowRim,
  pointCatchment,
  SINK,
  wetnessIndex,
} from 'soakline/hydrology'
import { cellCentre, elevationGrid } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, roof } from '../../../../tests/helpers/surfaces.js'

const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW']

/** A 5 × 5 grid within a wall of high cells, so that flow stays inside; its lowest cell is kept as a pit. */
function walled(rows: readonly (readonly number[])[]): { drained: Drainage; inner: number[]; ground: ReturnType<typeof elevationGrid> } {
  const wall = Array.from({ length: 7 }, () => 99)
  const ground = elevationGrid([wall, ...rows.map(row => [99, ...row, 99]), wall])
  const inner = Array.from({ length: 25 }, (_, k) => (1 + Math.floor(k / 5)) * 7 + 1 + (k % 5))
  const pit = inner.reduce((low, cell) => (ground.data[cell]! < ground.data[low]! ? cell : low))
  return { drained: drainage(ground, { keep: [pit] }), inner, ground }
}

/** Cells of the 5 × 5 grid that drain through each, itself included; the wall's own cells do not count. */
function accumulation(rows: readonly (readonly number[])[]): number[][] {
  const { drained, inner, ground } = walled(rows)
  const rim = inflowRim(ground, drained)
  const counts = inner.map(cell => {
    const { share } = pointCatchment(drained, cellCentre(ground.geometry, cell), rim)!
    return inner.filter(other => share.data[other] === 1).length
  })
  return [0, 1, 2, 3, 4].map(row => counts.slice(5 * row, 5 * row + 5))
}

const VALLEY = [
  [31, 29.5, 28, 29, 30.5],
  [29, 27, 25.5, 26.5, 28.5],
  [27.5, 25, 23, 24.2, 26],
  [26, 23.8, 21, 22.4, 24],
  [25, 22.5, 19, 20.6, 22.8],
]
const vShape = (a: number, b: number): number[][] => [0, 1, 2, 3, 4].map(r => [0, 1, 2, 3, 4].map(c => a * Math.abs(c - 2) + b * (4 - r)))

describe('single directions, worked by hand', () => {
  test('3 × 3, cells of 10 m: falls E 0.08, SE 0.0707, S 0.05, so E [rule of O’Callaghan & Mark 1984, CVGIP 28, 323–344; own grid, derived]', () => {
    const ground = elevationGrid(
      [
        [101, 100.2, 99.8],
        [100.6, 100, 99.2],
        [100.1, 99.5, 99],
      ],
      10,
    )
    expect(COMPASS[drainage(ground).direction[4]!]).toBe('E')
  })

  test('5 × 5: directions [rule of O’Callaghan & Mark 1984; own grid without ties, derived]', () => {
    const { drained, inner } = walled(VALLEY)
    const words = inner.map(cell => (drained.direction[cell] === SINK ? '-' : COMPASS[drained.direction[cell]!]))
    expect([0, 1, 2, 3, 4].map(row => words.slice(5 * row, 5 * row + 5).join(' '))).toEqual([
      'SE SE S S SW',
      'SE SE S SW SW',
      'SE SE S SW SW',
      'SE SE S SW SW',
      'E E - W W',
    ])
  })

  test('5 × 5: accumulation [derived; reproduced with SAGA 8.5.0 on the grid walled with high cells]', () => {
    expect(accumulation(VALLEY)).toEqual([
      [1, 1, 1, 1, 1],
      [1, 2, 3, 3, 1],
      [1, 2, 9, 2, 1],
      [1, 2, 14, 2, 1],
      [1, 3, 25, 3, 1],
    ])
  })

  test('V-valley, steep sides: they drain straight in, since b < (√2 − 1) a [derived; reproduced with SAGA 8.5.0]', () => {
    expect(accumulation(vShape(4, 1))).toEqual([
      [1, 2, 5, 2, 1],
      [1, 2, 10, 2, 1],
      [1, 2, 15, 2, 1],
      [1, 2, 20, 2, 1],
      [1, 2, 25, 2, 1],
    ])
  })

  test('V-valley, gentle sides: they drain slanting [derived; reproduced with SAGA 8.5.0]', () => {
    expect(accumulation(vShape(2, 1))).toEqual([
      [1, 1, 1, 1, 1],
      [1, 2, 4, 2, 1],
      [1, 2, 9, 2, 1],
      [1, 2, 14, 2, 1],
      [1, 3, 25, 3, 1],
    ])
  })

  test('one outlet gets all cells, by the single directions and by the dispersive network alike [conservation of mass]', () => {
    for (const rows of [VALLEY, vShape(4, 1), vShape(2, 1)]) {
      const { drained, inner, ground } = walled(rows)
      const { data } = contributingArea(flowNetwork(ground, drained))
      expect(data[inner[22]!]).toBeCloseTo(49, 12)
      for (const cell of inner) expect(data[cell]).toBeGreaterThanOrEqual(1)
    }
  })
})

describe('filling, worked by hand', () => {
  const filledRows = (rows: readonly (readonly number[])[]): { filled: number[][]; volume: number } => {
    const ground = elevationGrid(rows)
    const drained = drainage(ground)
    const surface = filledSurface(ground, drained)
    const width = rows[0]!.length
    return {
      filled: rows.map((_, row) => [...surface.data.slice(row * width, (row + 1) * width)]),
      volume: hollows(ground, surface, drained).reduce((sum, h) => sum + h.volume_m3, 0),
    }
  }

  test('one pond fills to its lip at 8: volume 24 [Priority-Flood, Barnes et al. 2014, Comput. Geosci. 62, 117–127; own grid; reproduced with SAGA 8.5.0]', () => {
    expect(
      filledRows([
        [10, 10, 10, 10, 10],
        [10, 6, 5, 7, 10],
        [10, 4, 2, 6, 10],
        [10, 7, 3, 8, 8],
        [10, 10, 10, 10, 10],
      ]),
    ).toEqual({
      filled: [
        [10, 10, 10, 10, 10],
        [10, 8, 8, 8, 10],
        [10, 8, 8, 8, 10],
        [10, 8, 8, 8, 8],
        [10, 10, 10, 10, 10],
      ],
      volume: 24,
    })
  })

  test('two ponds behind a ridge spill at 7 and at 5: volume 21 [own grid; reproduced with SAGA 8.5.0]', () => {
    expect(
      filledRows([
        [9, 9, 9, 9, 9],
        [9, 3, 7, 2, 9],
        [9, 4, 7, 1, 5],
        [9, 3, 7, 2, 9],
        [9, 9, 9, 9, 9],
      ]),
    ).toEqual({
      filled: [
        [9, 9, 9, 9, 9],
        [9, 7, 7, 5, 9],
        [9, 7, 7, 5, 5],
        [9, 7, 7, 5, 9],
        [9, 9, 9, 9, 9],
      ],
      volume: 21,
    })
  })

  test('a walled pit with a notch at 6 fills to it: volume 20 [own grid after Lindsay 2016, Hydrol. Process. 30, 846–857; derived]', () => {
    expect(
      filledRows([
        [0, 0, 0, 0, 0, 0],
        [0, 9, 9, 9, 9, 0],
        [0, 9, 1, 1, 6, 0],
        [0, 9, 1, 1, 9, 0],
        [0, 9, 9, 9, 9, 0],
        [0, 0, 0, 0, 0, 0],
      ]).volume,
    ).toBe(20)
  })

  test('a flat of 5 × 3 cells drains through its one low side cell [flat of Barnes, Lehman & Mulla 2014, Comput. Geosci. 62, 128–135; own grid]', () => {
    const wall = Array.from({ length: 7 }, () => 9)
    const ground = elevationGrid([wall, [9, 5, 5, 5, 5, 5, 9], [9, 5, 5, 5, 5, 5, 4], [9, 5, 5, 5, 5, 5, 9], wall])
    const drained = drainage(ground)
    const all = pointCatchment(drained, [6.5, 2.5], inflowRim(ground, drained))!.share.data
    for (let row = 1; row <= 3; row++) for (let column = 1; column <= 5; column++) expect(all[row * 7 + column]).toBe(1)
  })
})

test('wetness on a plane of 10 %, 50 m below the divide: ln(50 / 0.1) = 6.2146 [derived; Beven & Kirkby 1979]', () => {
  const ground = gridOf(20, 130, 1, roof(0, 0.1, [10, 65]))
  const area = contributingArea(flowNetwork(ground, drainage(ground)))
  // Row 64 is the first north of the divide; the fiftieth lies 49 rows on.
  const cell = (64 - 49) * 20 + 10
  expect(area.data[cell]).toBeCloseTo(50, 9)
  expect(wetnessIndex(area, gradient(ground)).data[cell]).toBeCloseTo(6.2146, 3)
})
