import fc from 'fast-check'
import {
  contributingAreaSingle,
  drainage,
  filledSurface,
  inflowRim,
  LEAVES,
  pointCatchment,
  SINK,
  tieDependence,
  VOID,
} from 'soakline/hydrology'
import { cellCentre, type ElevationGrid, elevationGrid, neighbourOffsets } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { neighboursOf } from '../../../../tests/helpers/slow-oracles.js'
import { rounded, SYMMETRIES, TIE_FREE, terrain, turned, turning } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 24, numRuns: cases(60) })

const symmetry = fc.constantFrom(...SYMMETRIES)
const flags = (ground: ElevationGrid, keep: readonly number[] = []): Uint8Array => tieDependence(ground, drainage(ground, { keep })).data
const flagged = (ground: ElevationGrid): number[] => [...flags(ground).entries()].filter(([, is]) => is).map(([cell]) => cell)

/** Checks that off the flags directions and areas of a turned raster are the turned ones, and that the flags turn with it. */
function expectTurned(ground: ElevationGrid, how: (typeof SYMMETRIES)[number], keep: readonly number[]): void {
  const { width, height } = ground.geometry
  const { from } = turning(width, height, how)
  const now = new Int32Array(from.length)
  for (const [cell, old] of from.entries()) now[old] = cell
  const plain = drainage(ground, { keep })
  const other = turned(ground, how)
  const keepTurned = keep.map(cell => now[cell]!)
  const after = drainage(other, { keep: keepTurned })
  const mask = tieDependence(ground, plain).data
  expect([...flags(other, keepTurned)]).toEqual([...from].map(old => mask[old]))
  const area = contributingAreaSingle(plain).data
  const areaAfter = contributingAreaSingle(after).data
  const steps = neighbourOffsets(width)
  const stepsAfter = neighbourOffsets(other.geometry.width)
  for (const [cell, old] of from.entries()) {
    if (mask[old] || plain.direction[old] === VOID) continue
    const [code, codeAfter] = [plain.direction[old]!, after.direction[cell]!]
    if (code > 7) expect(codeAfter).toBe(code)
    else expect(from[cell + stepsAfter[codeAfter]!]).toBe(old + steps[code]!)
    expect(areaAfter[cell]).toBe(area[old])
  }
}

describe('P10, P28: off the flags, a turned or mirrored raster gives turned directions and areas, bit for bit', () => {
  test('invented ground of every kind, and dice', () =>
    fc.assert(
      fc.property(fc.oneof(anyTerrain({ most: 24 }), anyDice({ most: 12, high: 6 })), symmetry, (ground, how) =>
        expectTurned(ground, how, []),
      ),
      { numRuns: cases(120) },
    ))

  test.each([0.1, 1])('failure 65: heights rounded to %d m', step =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth', 'rough', 'gaps'], most: 24 }), symmetry, (ground, how) =>
        expectTurned(rounded(ground, step), how, []),
      ),
    ),
  )

  test('with kept hollows', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 24 }), symmetry, (ground, how) => {
        const pits = [...drainage(ground).basins.pit].slice(1)
        expectTurned(
          ground,
          how,
          pits.filter((_, k) => k % 2 === 0),
        )
      }),
    ))

  test('so do the catchments of cells', () =>
    fc.assert(
      fc.property(
        anyTerrain({ kinds: ['decimetres', 'metres', 'lakes'], least: 8, most: 16 }),
        symmetry,
        evenly(0, 0.999999),
        (ground, how, where) => {
          const mask = flags(ground)
          const free = [...mask.keys()].filter(cell => !mask[cell] && !Number.isNaN(ground.data[cell]!))
          if (free.length === 0) return
          const old = free[Math.floor(where * free.length)]!
          const other = turned(ground, how)
          const { from } = turning(ground.geometry.width, ground.geometry.height, how)
          const share = (g: ElevationGrid, cell: number): Float64Array =>
            pointCatchment(drainage(g), cellCentre(g.geometry, cell), inflowRim(g, drainage(g)))!.share.data
          const plain = share(ground, old)
          expect([...share(other, from.indexOf(old))]).toEqual([...from].map(cell => plain[cell]))
        },
      ),
    ))
})

test('on ground without hollows every cell with several steepest lower neighbours is flagged', () =>
  fc.assert(
    fc.property(fc.oneof(anyDice({ most: 12, high: 6 }), anyTerrain({ kinds: ['decimetres', 'metres'], most: 20 })), given => {
      // In a hollow the way to the pass may turn a cell round so that all eight looks agree again, whatever its slope's tie.
      const ground: ElevationGrid = { ...given, data: filledSurface(given, drainage(given)).data }
      const drained = drainage(ground)
      const mask = tieDependence(ground, drained).data
      for (const [cell, z] of ground.data.entries()) {
        if (Number.isNaN(z)) continue
        const falls = neighboursOf(ground, cell).map(n => (z - ground.data[n.cell]!) / (n.direction % 2 === 0 ? 1 : Math.SQRT2))
        const steepest = Math.max(...falls)
        if (steepest > 0 && falls.filter(fall => fall === steepest).length > 1) expect(mask[cell]).toBe(1)
      }
    }),
  ))

test('ground without ties has no flags, and voids have none', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: TIE_FREE, most: 30 }), anyDice({ most: 10 }), (ground, rolled) => {
      // Heights drawn by chance may be equal: that is a tie.
      const known = ground.data.filter(z => !Number.isNaN(z))
      fc.pre(new Set(known).size === known.length)
      expect(flagged(ground)).toEqual([])
      for (const cell of flagged(rolled)) expect(rolled.data[cell]).not.toBeNaN()
    }),
  ))

test('two equal ways that meet again: the fork and both ways are flagged, not what lies below', () => {
  const ground = elevationGrid([
    [9, 9, 9, 9, 9],
    [9, 9, 6, 9, 9],
    [9, 5, 9, 5, 9],
    [9, 9, 4, 9, 9],
    [9, 9, 3, 9, 9],
    [9, 9, 2, 9, 9],
  ])
  expect(flagged(ground)).toEqual([7, 11, 13])
})

test('two equal ways that do not: all below both is flagged, and so are the two cells between them that may go either way', () => {
  const ground = elevationGrid([
    [9, 9, 9, 9, 9],
    [9, 9, 6, 9, 9],
    [9, 5, 9, 5, 9],
    [4, 9, 9, 9, 4],
  ])
  expect(flagged(ground)).toEqual([7, 11, 12, 13, 15, 17, 19])
})

test('a flat one cell wide has one way out; on a wide one the middle, as near to both its outlets, is flagged', () => {
  const wall = [9, 9, 9, 9, 9, 9, 9]
  expect(flagged(elevationGrid([wall, [9, 5, 5, 5, 5, 5, 4], wall]))).toEqual([])
  const both = elevationGrid([wall, [4, 5, 5, 5, 5, 5, 4], wall])
  expect(flagged(both)).toContain(7 + 3)
})

test('a pond that may spill over either of two passes of equal height flags both ways, a pond with one does not', () => {
  const pond = (west: number, east: number): ElevationGrid =>
    elevationGrid([
      [9, 9, 9, 9, 9, 9, 9],
      [3, west, 5, 2, 5, east, 3],
      [9, 9, 9, 9, 9, 9, 9],
    ])
  expect(flagged(pond(6, 6))).toEqual(expect.arrayContaining([7, 8, 9, 10, 11, 12, 13]))
  expect(flagged(pond(6, 6.5))).toEqual([])
})

test('a level pond without outlet: any of its cells may be the pit, but the ground it spills to is not in doubt', () => {
  const ground = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9],
    [9, 5, 5, 5, 9, 9, 9],
    [9, 5, 5, 5, 7, 4, 3],
    [9, 5, 5, 5, 9, 9, 9],
    [9, 9, 9, 9, 9, 9, 9],
  ])
  const found = flagged(ground)
  expect(found.length).toBeGreaterThan(0)
  for (const below of [2 * 7 + 4, 2 * 7 + 5, 2 * 7 + 6]) expect(found).not.toContain(below)
})

test('the flags of a whole-metre raster follow the ground, and do not just cover it', () => {
  const ground = terrain('rough', 3, 60, 60)
  const share = (step: number): number => flagged(rounded(ground, step)).length / ground.data.length
  expect(share(0.001)).toBeLessThan(0.05)
  expect(share(0.1)).toBeLessThan(0.6)
  const { direction } = drainage(ground)
  expect(direction.some(code => code === LEAVES)).toBe(true)
  expect(direction.every(code => code !== SINK)).toBe(true)
})
