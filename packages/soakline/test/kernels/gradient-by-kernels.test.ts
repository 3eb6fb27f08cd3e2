import fc from 'fast-check'
import { openKernels } from 'soakline/kernels'
import type { ElevationGrid } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 82, numRuns: cases(300) })

const kernels = (await openKernels())!

/** The kernels' answer is the definition's, to the bit; of gaps the definition knows one kind only, and the kernels give one. */
function expectSame(ground: ElevationGrid): void {
  const found = gradient(ground, kernels).data
  expect([...found]).toEqual([...gradient(ground).data])
  const words = new Uint32Array(found.buffer)
  expect(new Set(words.filter((_, cell) => Number.isNaN(found[cell]))).size).toBeLessThanOrEqual(1)
}

/** The ground with cells of another size, some of them gaps whose bits are not those that JavaScript writes. */
function changed({ geometry, ...ground }: ElevationGrid, cell_m: number, gaps: readonly number[]): ElevationGrid {
  const data = ground.data.slice()
  const words = new Uint32Array(data.buffer)
  for (const where of gaps) words[Math.floor(where * words.length)] = 0xffc12345
  return { ...ground, geometry: { ...geometry, cell_m }, data }
}

test('law: the kernels’ gradient is the definition’s, bit for bit, whatever the size of the cells and wherever gaps lie', () =>
  fc.assert(
    fc.property(
      anyTerrain({ least: 1, most: 40 }),
      fc.constantFrom(0.25, 0.3, 1, 1.5, 2, 10),
      fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { maxLength: 3 }),
      (plain, cell_m, gaps) => expectSame(changed(plain, cell_m, gaps)),
    ),
  ))

test.each([
  ['smooth', 1],
  ['smooth', 0.7],
  ['gaps', 1],
  ['gaps', 0.7],
] as const)('a raster of %s of many slabs, with cells of %d m', (kind, cell_m) => {
  expectSame(changed(terrain(kind, 5, 400, 900), cell_m, [0.5]))
})

test('a gap alone is met wherever it lies among the rows and columns that are worked together', () => {
  const [width, height] = [18, 27]
  const ground = terrain('smooth', 5, width, height)
  for (let cell = 0; cell < width * height; cell++) expectSame(changed(ground, 1, [(cell + 0.5) / (width * height)]))
})
