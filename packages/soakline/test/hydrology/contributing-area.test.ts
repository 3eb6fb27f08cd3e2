import fc from 'fast-check'
import { seededRandom } from 'soakline/foundation'
import {
  byFacets,
  byVector,
  contributingArea,
  contributingAreaSingle,
  drainage,
  eachReceiver,
  flowNetwork,
  LEAVES,
  multiple,
  SINK,
  single,
} from 'soakline/hydrology'
import { type ElevationGrid, elevationGrid } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { gridOf, plane, terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 25, numRuns: cases(40) })

const METHODS = { byVector, byFacets, multiple: multiple(), single }
type Method = keyof typeof METHODS | 'cell by cell'
const NAMES: readonly Method[] = ['byVector', 'byFacets', 'multiple', 'single', 'cell by cell']

const someGround = fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 25 }))

const weightsOf = (ground: ElevationGrid, weight: (cell: number) => number) =>
  ({
    quantity: 'weight_ratio',
    geometry: ground.geometry,
    data: Float64Array.from(ground.data, (z, cell) => (Number.isNaN(z) ? Number.NaN : weight(cell))),
  }) as const

function areaOf(ground: ElevationGrid, name: Method, weights?: ReturnType<typeof weightsOf>): Float64Array {
  const drained = drainage(ground)
  return (
    name === 'cell by cell'
      ? contributingAreaSingle(drained, weights)
      : contributingArea(flowNetwork(ground, drained, METHODS[name]), weights)
  ).data
}

/** Some weights between 0 and 2 that are no whole numbers. */
function someWeights(ground: ElevationGrid, seed: number): ReturnType<typeof weightsOf> {
  const random = seededRandom(seed)
  return weightsOf(ground, () => 2 * random.uniform())
}

describe.each(NAMES)('with weights, %s', name => {
  test('weights of 1 are no weights', () =>
    fc.assert(
      fc.property(someGround, ground => {
        expect([
          ...areaOf(
            ground,
            name,
            weightsOf(ground, () => 1),
          ),
        ]).toEqual([...areaOf(ground, name)])
      }),
    ))

  test('P15: linear — twice one grid of weights and half another give twice and half their areas', () =>
    fc.assert(
      fc.property(someGround, fc.integer({ min: 1, max: 1e6 }), (ground, seed) => {
        const [a, b] = [someWeights(ground, seed), someWeights(ground, seed + 1)]
        const both = weightsOf(ground, cell => 2 * a.data[cell]! + 0.5 * b.data[cell]!)
        const [areaA, areaB, areaBoth] = [areaOf(ground, name, a), areaOf(ground, name, b), areaOf(ground, name, both)]
        for (const [cell, area] of areaBoth.entries()) {
          if (Number.isNaN(ground.data[cell]!)) expect(area).toBeNaN()
          else expect(Math.abs(area - 2 * areaA[cell]! - 0.5 * areaB[cell]!)).toBeLessThanOrEqual(1e-12 * area)
        }
      }),
    ))

  test('P13: what leaves the raster is the weighted area of all data cells, to 1e-9', () =>
    fc.assert(
      fc.property(someGround, fc.integer({ min: 1, max: 1e6 }), (ground, seed) => {
        const weights = someWeights(ground, seed)
        const drained = drainage(ground)
        const area = areaOf(ground, name, weights)
        const all = weights.data.reduce((sum, w) => sum + (Number.isNaN(w) ? 0 : w), 0)
        let out = 0
        if (name === 'cell by cell') {
          for (const [cell, code] of drained.direction.entries()) if (code === LEAVES || code === SINK) out += area[cell]!
        } else {
          const net = flowNetwork(ground, drained, METHODS[name])
          for (const cell of net.order) eachReceiver(net, cell, (to, share) => (out += to < 0 ? share * area[cell]! : 0))
        }
        expect(Math.abs(out - all)).toBeLessThanOrEqual(1e-9 * Math.max(1, all))
      }),
    ))

  test('P16: oracle — the plain sum over donors, in another order, 1e-12', () =>
    fc.assert(
      fc.property(someGround, fc.integer({ min: 1, max: 1e6 }), (ground, seed) => {
        if (name === 'cell by cell') return
        const weights = someWeights(ground, seed)
        const net = flowNetwork(ground, drainage(ground), METHODS[name])
        const slow = weights.data.slice()
        for (const cell of [...net.order].sort((a, b) => net.layer[a]! - net.layer[b]! || b - a))
          eachReceiver(net, cell, (to, share) => {
            if (to >= 0) slow[to]! += share * slow[cell]!
          })
        const area = areaOf(ground, name, weights)
        for (const cell of net.order) expect(Math.abs(area[cell]! - slow[cell]!)).toBeLessThanOrEqual(1e-12 * slow[cell]!)
      }),
    ))
})

test('weights are dimensionless: an answer in m² for cells of 2 m, a half of it for weights of a half', () => {
  const ground = { ...gridOf(6, 5, 2, plane(180, 0.1, [0, 0])) }
  const half = weightsOf(ground, () => 0.5)
  // Row 3, four cells of 4 m² above.
  expect(areaOf(ground, 'single')[3 * 6 + 2]).toBeCloseTo(16, 9)
  for (const name of NAMES) expect([...areaOf(ground, name, half)]).toEqual([...areaOf(ground, name)].map(area => area / 2))
})

test('cells left out by a weight of 0 count for nothing, and pass on what they get', () => {
  const ground = elevationGrid([[5, 4, 3, 2]])
  const without = weightsOf(ground, cell => (cell === 1 ? 0 : 1))
  for (const name of NAMES) expect([...areaOf(ground, name, without)]).toEqual([1, 1, 2, 3])
})

test('failure 72: cells of 0.3 m are counted, not added up: the area at an outlet is the exact count times the area of a cell', () => {
  const ground = terrain('rough', 4, 40, 40, 0.3)
  const drained = drainage(ground)
  const out = contributingAreaSingle(drained).data.filter((_, cell) => drained.direction[cell]! > 7)
  for (const area of out) expect(Number.isInteger(Math.round((area / (0.3 * 0.3)) * 1e9) / 1e9)).toBe(true)
  const counts = [...out].map(area => Math.round(area / (0.3 * 0.3)))
  expect(counts.reduce((sum, n) => sum + n, 0)).toBe(1600)
  expect([...out]).toEqual(counts.map(n => n * (0.3 * 0.3)))
})

test('weights of another raster, or missing on ground, are refused', () => {
  const ground = elevationGrid([
    [3, 2],
    [3, 1],
  ])
  const wide = weightsOf(elevationGrid([[1, 2, 3, 4]]), () => 1)
  const gap = weightsOf(ground, cell => (cell === 2 ? Number.NaN : 1))
  for (const name of NAMES) {
    expect(() => areaOf(ground, name, wide)).toThrow(expect.objectContaining({ code: 'weights/other-raster' }))
    expect(() => areaOf(ground, name, gap)).toThrow(expect.objectContaining({ code: 'weights/no-data', details: { cell: 2 } }))
  }
})

test('cells are counted in bands of some ten thousand, and none of them twice: the foot of an even slope of 400 rows', () => {
  // On whole metres each cell drains straight south, to the last bit.
  const ground = gridOf(400, 400, 2, (_, y) => y)
  for (const name of NAMES) {
    const foot = [...areaOf(ground, name)].slice(-400)
    expect(foot.reduce((sum, area_m2) => sum + area_m2) / (400 * 400 * 4), name).toBeCloseTo(1, 9)
    if (name !== 'multiple') expect(new Set(foot), name).toEqual(new Set([400 * 4]))
  }
})
