import fc from 'fast-check'
import {
  type ElevationGrid,
  elevationGrid,
  fromLattice,
  heightOn,
  type Patch,
  type Point,
  patchAt,
  patchOf,
  toLattice,
} from 'soakline/raster'
import { fallLine } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { gridOf, reshaped } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 63, numRuns: cases(200) })

/** Whoever stands as near to a rim, in cells, stands on it. */
const NEAR = 0.01

/** Patches that hold a place or touch it. */
function patchesAt(ground: ElevationGrid, u: number, v: number): Patch[] {
  const { width, height } = ground.geometry
  const found: Patch[] = []
  for (let row = 0; row < height - 1; row++)
    for (let column = 0; column < width - 1; column++) {
      const patch = patchOf(ground, column, row)
      if (patch && u >= column - NEAR && u <= column + 1 + NEAR && v >= row - NEAR && v <= row + 1 + NEAR) found.push(patch)
    }
  return found
}

/** Corners of those patches, and how steeply each rises from the place. */
function corners(ground: ElevationGrid, u: number, v: number): { u: number; v: number; rise: number; steep: number }[] {
  // On a centre the patch to the south-east may lack a corner where another does not.
  const here = heightOn(patchAt(ground, u, v) ?? patchesAt(ground, u, v)[0]!, u, v)
  return patchesAt(ground, u, v).flatMap(({ column, row, nw, ne, sw, se }) =>
    [
      { u: column, v: row, z: nw },
      { u: column + 1, v: row, z: ne },
      { u: column, v: row + 1, z: sw },
      { u: column + 1, v: row + 1, z: se },
    ].map(c => ({ u: c.u, v: c.v, rise: c.z - here, steep: (c.z - here) / Math.hypot(c.u - u, c.v - v) })),
  )
}

const isCentre = ({ u, v }: { u: number; v: number }): boolean => Number.isInteger(u) && Number.isInteger(v)

describe('fall lines by their definition, on dice', () => {
  test('oracle: from crease to crease it takes the steepest corner of all the patches it touches; where it ends none is higher (or lower)', () => {
    let taken = 0
    let ended = 0
    fc.assert(
      fc.property(
        anyDice({ most: 7, high: 9 }),
        fc.constantFrom(0, 0.25, 0.5, 0.75, 0.008, 0.992),
        fc.constantFrom(0, 0.25, 0.5, 0.008, 0.992),
        fc.nat(35),
        (dice, du, dv, cell) => {
          const { width, height } = dice.geometry
          for (const [ground, sense] of [
            [dice, 'up'],
            [reshaped(dice, z => -z), 'down'],
          ] as const) {
            const place = fromLattice(ground.geometry, (cell % (width - 1)) + du, (Math.floor(cell / 6) % (height - 1)) + dv)
            const line = fallLine(ground, place, sense)
            if (!line) continue
            const sign = sense === 'up' ? 1 : -1
            const at = line.points.map(p => toLattice(ground.geometry, p))
            for (let k = 1; k < at.length; k++) {
              if (!isCentre(at[k]!)) continue
              const { u, v } = at[k - 1]!
              const ways = corners(ground, u, v)
              const best = Math.max(...ways.map(way => sign * way.steep).filter(steep => steep < Number.POSITIVE_INFINITY))
              const way = ways.find(c => c.u === at[k]!.u && c.v === at[k]!.v)
              expect(sign * way!.steep).toBeCloseTo(best, 9)
              taken++
            }
            const { u, v } = at[at.length - 1]!
            const level = patchesAt(ground, u, v).some(p => p.nw === p.ne && p.nw === p.sw && p.nw === p.se)
            if (line.end === 'edge' || line.end === 'void') continue
            for (const { rise } of corners(ground, u, v)) expect(sign * rise).toBeLessThanOrEqual(1e-12)
            expect(line.end).toBe(level ? 'flat' : sense === 'up' ? 'summit' : 'pit')
            ended++
          }
        },
      ),
    )
    expect(taken).toBeGreaterThan(100)
    expect(ended).toBeGreaterThan(100)
  })

  test('a crest along a row, to its highest centre: from centre to centre, from between two of them to the higher one', () => {
    const crest = elevationGrid([
      [0, 0, 0, 0, 0],
      [5, 6, 7, 8, 7],
      [0, 0, 0, 0, 0],
    ])
    const at = (u: number): Point => [u + 0.5, 1.5]
    expect(fallLine(crest, at(0), 'up')).toEqual({ points: [at(0), at(1), at(2), at(3)], end: 'summit' })
    expect(fallLine(crest, at(1.25), 'up')).toEqual({ points: [at(1.25), at(2), at(3)], end: 'summit' })
    expect(fallLine(crest, at(3.75), 'up')).toEqual({ points: [at(3.75), at(3)], end: 'summit' })
    expect(fallLine(crest, at(4), 'up')).toEqual({ points: [at(4), at(3)], end: 'summit' })
    const channel = reshaped(crest, z => -z)
    expect(fallLine(channel, at(0), 'down')).toEqual({ points: [at(0), at(1), at(2), at(3)], end: 'pit' })
    // The same down a column.
    const stood = elevationGrid([5, 6, 7, 8, 7].map(z => [0, z, 0]))
    const below = (v: number): Point => [1.5, 4.5 - v]
    expect(fallLine(stood, below(0), 'up')).toEqual({ points: [0, 1, 2, 3].map(below), end: 'summit' })
    expect(fallLine(stood, below(1.25), 'up')).toEqual({ points: [1.25, 2, 3].map(below), end: 'summit' })
    expect(fallLine(stood, below(4), 'up')).toEqual({ points: [4, 3].map(below), end: 'summit' })
  })

  test('of two higher centres the steeper way is taken, not the higher centre', () => {
    const ground = elevationGrid([
      [0, 0, 0],
      [0, 20, 25],
      [0, 0, 26],
    ])
    const { points } = fallLine(ground, [1.5, 1.5], 'up')!
    expect(points[1]).toEqual([2.5, 1.5])
  })
})

test('of two ways as steep to the last bit the one that rises more is taken, whichever is looked at first', () => {
  // (slant − here) / √2 = straight − here in float64, found by trial.
  const [here, straight, slant] = [3.430596677844733e-7, 1.1757413148880005, 1.662749171257019]
  expect((slant - here) / Math.SQRT2).toBe(straight - here)
  const [before, after] = [
    [
      [0, 0, slant],
      [0, here, straight],
      [0, 0, 0],
    ],
    [
      [0, 0, 0],
      [0, here, straight],
      [0, 0, slant],
    ],
  ].map(rows => fallLine(elevationGrid(rows), [1.5, 1.5], 'up')!.points)
  expect(before![1]).toEqual([2.5, 2.5])
  expect(after![1]).toEqual([2.5, 0.5])
})

describe('where fall lines end', () => {
  const tilted = (rise: (column: number, row: number) => number, isVoid: (column: number, row: number) => boolean): ElevationGrid =>
    reshaped(
      gridOf(9, 9, 1, () => 0),
      (_, cell) => (isVoid(cell % 9, Math.floor(cell / 9)) ? Number.NaN : rise(cell % 9, Math.floor(cell / 9))),
    )

  test.each([
    ['west', 0, 1, 0],
    ['east', 8, 1, 0],
    ['north', 1, 0, 1],
    ['south', 1, 8, 1],
  ] as const)('along the outermost centres of the %s side into a void: at the void, not at the edge', (_, u, v, along) => {
    const ground = tilted(
      (column, row) => -(along ? column : row),
      (column, row) => (along ? column : row) === 5,
    )
    const line = fallLine(ground, fromLattice(ground.geometry, u, v), 'down')!
    expect(line.end).toBe('void')
    const last = toLattice(ground.geometry, line.points[line.points.length - 1]!)
    expect(along ? last.v : last.u).toBe(along ? v : u)
    expect(Math.abs((along ? last.u : last.v) - 4)).toBeLessThan(0.2 + 1e-9)
  })

  test.each([
    ['west', 1, 0],
    ['east', -1, 0],
    ['north', 0, 1],
    ['south', 0, -1],
  ] as const)('ground that falls off the %s side: at the edge', (_, east, south) => {
    const ground = tilted(
      (column, row) => east * column + south * row,
      () => false,
    )
    const line = fallLine(ground, fromLattice(ground.geometry, 4.3, 4.6), 'down')!
    expect(line.end).toBe('edge')
    // Steps of a fifth of a cell along a plane, each shorter than the way to the edge.
    for (let k = 1; k < line.points.length; k++)
      expect(Math.hypot(line.points[k]![0] - line.points[k - 1]![0], line.points[k]![1] - line.points[k - 1]![1])).toBeCloseTo(0.2, 9)
  })
})
