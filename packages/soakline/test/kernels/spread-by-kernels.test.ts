import fc from 'fast-check'
import {
  byFacets,
  byVector,
  contributingArea,
  contributingAreaBy,
  drainage,
  type FlowMethod,
  type FlowNetwork,
  flowNetwork,
  multiple,
  QUINN_CONTOUR_CELLS,
} from 'soakline/hydrology'
import { openKernels } from 'soakline/kernels'
import type { ElevationGrid } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 82, numRuns: cases(40) })

const kernels = (await openKernels())!
const METHODS: readonly (readonly [string, FlowMethod])[] = [
  ['by vector', byVector],
  ['by facets', byFacets],
  ['multiple', multiple()],
  ['multiple, by the slope itself and contour lengths', multiple({ exponent: 1, contour_cells: QUINN_CONTOUR_CELLS })],
  ['multiple, by a high power', multiple({ exponent: 6.3 })],
]
const anyGround = fc.oneof(anyDice({ least: 1, most: 9, high: 4 }), anyTerrain({ least: 1, most: 40 }))
/** In rasters of one or two columns neighbours in unlike directions may be one step apart in the raster's order, and donors have two names. */
const wideEnough = fc.oneof(anyDice({ least: 3, most: 9, high: 4 }), anyTerrain({ least: 3, most: 40 }))
const places = fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { maxLength: 3 })
const kept = (ground: ElevationGrid, where: readonly number[]): number[] =>
  where.map(w => Math.floor(w * ground.data.length)).filter(cell => !Number.isNaN(ground.data[cell]!))

/** Largest difference of two rasters in parts of the larger value; Infinity where only one of them has a gap. */
function apart(a: Float64Array, b: Float64Array): number {
  let most = 0
  for (let cell = 0; cell < a.length; cell++) {
    if (Number.isNaN(a[cell]!) !== Number.isNaN(b[cell]!)) return Infinity
    if (!Number.isNaN(a[cell]!))
      most = Math.max(most, Math.abs(a[cell]! - b[cell]!) / Math.max(1e-300, Math.abs(a[cell]!), Math.abs(b[cell]!)))
  }
  return most
}

function expectSame(found: FlowNetwork, defined: FlowNetwork): void {
  expect(Object.keys(found).sort()).toEqual(Object.keys(defined).sort())
  // Cell by cell without the test runner's own comparison, which takes seconds for a raster.
  const expectEqual = (name: string, a: ArrayLike<number>, b: ArrayLike<number>): void => {
    expect(a.length, name).toBe(b.length)
    let differs = -1
    for (let k = 0; k < a.length && differs < 0; k++) if (!Object.is(a[k], b[k])) differs = k
    expect(differs, name).toBe(-1)
  }
  for (const name of ['facet', 'toNext', 'donors', 'order', 'layer', 'jump'] as const) expectEqual(name, found[name], defined[name])
  for (const name of ['row', 'weight'] as const) expectEqual(name, found.many?.[name] ?? [], defined.many?.[name] ?? [])
  for (const name of ['even', 'layers', 'landed', 'overflowing', 'geometry'] as const) expect(found[name], name).toEqual(defined[name])
}

test.each(METHODS)('law: the kernels gather water %s as the definition does', (_, method) =>
  fc.assert(
    fc.property(anyGround, places, (ground, where) => {
      const drained = drainage(ground, { keep: kept(ground, where) })
      const defined = contributingArea(flowNetwork(ground, drained, method))
      const found = contributingAreaBy(ground, drained, method, { kernels })
      expect(apart(found.data, defined.data)).toBeLessThan(method.compiled?.by === 'multiple' ? 1e-6 : 1e-12)
    }),
  ),
)

test.each(METHODS.slice(0, 3))('law: weighted water is gathered %s as the definition does', (_, method) =>
  fc.assert(
    fc.property(anyTerrain({ least: 1, most: 20 }), fc.integer({ min: 1, max: 9 }), (ground, step) => {
      const drained = drainage(ground)
      const weights = { quantity: 'runoff_ratio', geometry: ground.geometry, data: ground.data.map((_, cell) => ((cell * step) % 11) / 10) }
      const defined = contributingArea(flowNetwork(ground, drained, method), weights)
      const found = contributingAreaBy(ground, drained, method, { weights, kernels })
      expect(apart(found.data, defined.data)).toBeLessThan(1e-6)
    }),
  ),
)

test.each(METHODS.slice(0, 2))('law: the network %s is the same by the kernels, bit for bit', (_, method) =>
  fc.assert(
    fc.property(wideEnough, places, (ground, where) => {
      const drained = drainage(ground, { keep: kept(ground, where) })
      expectSame(flowNetwork(ground, drained, method, kernels), flowNetwork(ground, drained, method))
    }),
  ),
)

test.each([
  ['smooth', 350, 200],
  ['lakes', 311, 223],
  ['gaps', 223, 311],
] as const)('a raster of %s of many bands of rows (%d by %d cells)', (kind, width, height) => {
  const ground = terrain(kind, 5, width, height)
  const drained = drainage(ground)
  for (const [, method] of METHODS) {
    const net = flowNetwork(ground, drained, method)
    expect(apart(contributingAreaBy(ground, drained, method, { kernels }).data, contributingArea(net).data)).toBeLessThan(1e-6)
    expectSame(flowNetwork(ground, drained, method, kernels), net)
  }
})

test('no weight beside ground is refused with kernels, too', () => {
  const ground = terrain('smooth', 5, 12, 9)
  const weights = { quantity: 'runoff_ratio', geometry: ground.geometry, data: new Float64Array(108).fill(Number.NaN) }
  expect(() => contributingAreaBy(ground, drainage(ground), byVector, { weights, kernels })).toThrow(
    expect.objectContaining({ code: 'weights/no-data' }),
  )
})
