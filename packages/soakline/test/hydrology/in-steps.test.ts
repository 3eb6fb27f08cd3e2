import { isDeepStrictEqual } from 'node:util'
import { finish, inTurns, type Steps } from 'soakline/foundation'
import {
  contributingArea,
  contributingAreaSteps,
  drainage,
  drainageSteps,
  filledSurface,
  flowNetwork,
  flowNetworkSteps,
  hollows,
  inflowRim,
  inflowRimSteps,
  multiple,
  STUDY_BYTES_PER_CELL,
  studyWater,
  studyWaterSteps,
  tieDependence,
  tieDependenceSteps,
  treatHollowsSteps,
} from 'soakline/hydrology'
import { cellCentre, neighbourOffsets } from 'soakline/raster'
import { contourLines, contourLinesSteps, curvature, curvatureSteps, gradient, gradientSteps, planCurvature } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { same } from '../../../../tests/helpers/in-each-cell.js'
import { dice, terrain } from '../../../../tests/helpers/surfaces.js'

const ground = terrain('lakes', 3, 270, 270)
const drained = drainage(ground)
const net = flowNetwork(ground, drained)

const carved = (): Steps<unknown> => {
  const filled = filledSurface(ground, drained)
  const inventory = hollows(ground, filled, drained)
  const choices = inventory.slice(0, 6).map(({ deepest }) => ({ at: cellCentre(ground.geometry, deepest), treatment: 'carve' as const }))
  return treatHollowsSteps(ground, filled, drained, inventory, choices)
}
// Some ten thousands of passes between its hollows.
const pitted = dice(4, 250, 250, 30)

const WORK: readonly [string, () => unknown, () => Steps<unknown>][] = [
  ['drainage', () => drained, () => drainageSteps(ground)],
  ['drainage of ground full of pits', () => drainage(pitted), () => drainageSteps(pitted)],
  ['carved hollows', () => finish(carved()), carved],
  ['flow network', () => net, () => flowNetworkSteps(ground, drained)],
  ['flow network, multiple flow', () => flowNetwork(ground, drained, multiple()), () => flowNetworkSteps(ground, drained, multiple())],
  ['contributing area', () => contributingArea(net), () => contributingAreaSteps(net)],
  ['study', () => studyWater(ground), () => studyWaterSteps(ground)],
  ['inflow rim', () => inflowRim(ground, drained), () => inflowRimSteps(ground, drained)],
  ['gradient', () => gradient(ground), () => gradientSteps(ground)],
  ['curvature', () => curvature(ground, planCurvature), () => curvatureSteps(ground, planCurvature)],
  ['contour lines', () => contourLines(ground, 1), () => contourLinesSteps(ground, 1)],
]

/** Steps that note what they tell. */
function* noted<T>(steps: Steps<T>, told: number[]): Steps<T> {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    told.push(step.value)
    yield step.value
  }
}

describe('long work on a ground can be watched and called off', () => {
  test.each(WORK)('%s: in turns the same as at once; progress from 0 to 1 in more than one step', async (_name, atOnce, steps) => {
    const told: number[] = []
    const heard: number[] = []
    expect(isDeepStrictEqual(await inTurns(noted(steps(), told), { onProgress: done => heard.push(done) }), atOnce())).toBe(true)
    // A turn of the event loop each: some, not as many as there are cells.
    expect(told.length).toBeGreaterThan(1)
    expect(told.length).toBeLessThan(100)
    expect(told[0]).toBeGreaterThanOrEqual(0)
    expect(heard).toEqual([...told, 1])
  })

  test('called off half-way and begun again, the study is the same', async () => {
    const calling = new AbortController()
    const work = inTurns(studyWaterSteps(ground), {
      signal: calling.signal,
      onProgress: done => {
        if (done > 0.5) calling.abort('enough')
      },
    })
    await expect(work).rejects.toBe('enough')
    expect(isDeepStrictEqual(await inTurns(studyWaterSteps(ground)), studyWater(ground))).toBe(true)
  })

  test('more cells than a step takes: each comes once, after all that give it water', () => {
    const place = new Int32Array(ground.data.length).fill(-1)
    for (const [at, cell] of net.order.entries()) {
      same(place[cell], -1)
      place[cell] = at
    }
    const valid = ground.data.reduce((count, z) => count + (Number.isNaN(z) ? 0 : 1), 0)
    expect(valid).toBeGreaterThan(1 << 16)
    expect(net.order.length).toBe(valid)
    expect(Math.max(...net.layer) + 1).toBe(net.layers)
    for (const cell of net.order) {
      const k = net.facet[cell]!
      if (k > 7) continue
      const to = cell + neighbourOffsets(270)[k]!
      if (net.toNext[cell]! < 1) same(place[to]! > place[cell]! && net.layer[to]! > net.layer[cell]!, true)
    }
  })

  test('a study keeps no more memory than it says it takes', () => {
    const seen = new Set<ArrayBufferLike>()
    const count = (value: unknown): number => {
      if (ArrayBuffer.isView(value)) {
        if (seen.has(value.buffer) || value.buffer === ground.data.buffer) return 0
        seen.add(value.buffer)
        return value.byteLength
      }
      if (typeof value !== 'object' || value === null || value instanceof Map) return 0
      return Object.values(value).reduce((sum: number, part) => sum + count(part), 0)
    }
    const bytes = count(studyWater(ground)) / ground.data.length
    expect(bytes).toBeGreaterThan(20)
    expect(bytes).toBeLessThan(0.7 * STUDY_BYTES_PER_CELL)
  })

  test('tie dependence too', () => {
    const small = terrain('metres', 4, 60, 50)
    const smallDrained = drainage(small)
    expect(finish(tieDependenceSteps(small, smallDrained))).toEqual(tieDependence(small, smallDrained))
    const told: number[] = []
    for (const steps = tieDependenceSteps(small, smallDrained); ; ) {
      const step = steps.next()
      if (step.done) break
      told.push(step.value)
    }
    expect([...told].sort((a, b) => a - b)).toEqual(told)
    expect(told[0]! >= 0 && told[0]! < 0.15 && told.at(-1)! > 0.85 && told.at(-1)! <= 1).toBe(true)
  })
})
