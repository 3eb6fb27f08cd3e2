import fc from 'fast-check'
import { seededRandom } from 'soakline/foundation'
import { type Drainage, drainage } from 'soakline/hydrology'
import { openKernels } from 'soakline/kernels'
import type { ElevationGrid } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { gridOf, terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 81, numRuns: cases(300) })

const kernels = (await openKernels())!

/** Whether two drainages are the same, to the bit; named by the first array that differs. */
function expectSame(found: Drainage, defined: Drainage): void {
  expect([...found.slope], 'slope').toEqual([...defined.slope])
  expect([...found.basin], 'basin').toEqual([...defined.basin])
  expect(Object.keys(found.basins).sort()).toEqual(Object.keys(defined.basins).sort())
  for (const [name, of] of Object.entries(defined.basins))
    expect([...found.basins[name as keyof Drainage['basins']]], name).toEqual([...of])
  expect([...found.direction], 'direction').toEqual([...defined.direction])
}

test('law: the kernels drain any ground as the definition does, bit for bit', () =>
  fc.assert(
    fc.property(
      fc.oneof(anyDice({ least: 1, most: 9, high: 4 }), anyTerrain({ least: 1, most: 40 })),
      fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { maxLength: 3 }),
      (ground: ElevationGrid, places) => {
        const keep = places.map(where => Math.floor(where * ground.data.length)).filter(cell => !Number.isNaN(ground.data[cell]!))
        expectSame(drainage(ground, { keep, kernels }), drainage(ground, { keep }))
      },
    ),
  ))

test.each([
  ['smooth', 350, 200],
  ['lakes', 311, 223],
  ['gaps', 223, 311],
] as const)('a raster of %s of many bands of rows (%d by %d cells)', (kind, width, height) => {
  const ground = terrain(kind, 5, width, height)
  expectSame(drainage(ground, { kernels }), drainage(ground))
})

test('ground with thousands of hollows', () => {
  const random = seededRandom(4)
  const ground = gridOf(300, 260, 1, () => random.uniform())
  const defined = drainage(ground)
  expect(defined.basins.pit.length).toBeGreaterThan(5000)
  expectSame(drainage(ground, { kernels }), defined)
})

test('warmed up, the kernels drain as before', () => {
  kernels.warmUp()
  const ground = terrain('lakes', 7, 90, 80)
  expectSame(drainage(ground, { kernels }), drainage(ground))
})
