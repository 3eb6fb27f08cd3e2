import fc from 'fast-check'
import { type CulvertPlace, culvertPlaces, drainage, filledSurface, hollows } from 'soakline/hydrology'
import { cellCentre, distance_m, type ElevationGrid, elevationGrid, type Grid } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { neighboursOf } from '../../../../tests/helpers/slow-oracles.js'

fc.configureGlobal({ seed: 72, numRuns: cases(150) })

interface Limits {
  longest_m: number
  tolerance_m: number
  leastDepth_m: number
  leastArea_m2: number
  leastHeight_m: number
}

const hollowsOf = (ground: ElevationGrid) => {
  const drained = drainage(ground)
  const filled = filledSurface(ground, drained)
  return { filled, inventory: hollows(ground, filled, drained) }
}

/** −, 0 or + as the first number that differs says. */
const compare = (a: readonly number[], b: readonly number[]): number => {
  const k = a.findIndex((n, at) => n !== b[at])
  return k < 0 ? 0 : a[k]! - b[k]!
}

/** The places by their definition: ways from the floor, each cell's best one found by trying all steps until nothing gets better. */
function placesByTrying(ground: ElevationGrid, filled: Grid<'filled_m'>, limits: Limits): CulvertPlace[] {
  const z = ground.data
  const { cell_m } = ground.geometry
  return hollowsOf(ground).inventory.flatMap(({ deepest, depth_m, area_m2 }, hollow): CulvertPlace[] => {
    if (depth_m < limits.leastDepth_m || area_m2 < limits.leastArea_m2 || depth_m <= limits.tolerance_m) return []
    const low = z[deepest]! + limits.tolerance_m
    const floor = new Set([deepest])
    for (const cell of floor) for (const to of neighboursOf(ground, cell)) if (z[to.cell]! <= low) floor.add(to.cell)
    // Of each way its length in fifths of a cell, its highest ground, the height at which it starts, and where.
    const ways = new Map([...floor].map(cell => [cell, [0, z[cell]!, z[cell]!, cell]]))
    for (let better = true; better; ) {
      better = false
      for (const [cell, [far, peak, ...start]] of [...ways])
        for (const to of neighboursOf(ground, cell)) {
          const way = [far! + (to.away === 1 ? 5 : 7), Math.max(peak!, z[to.cell]!), ...start]
          const known = ways.get(to.cell)
          if (known && compare(way, known) >= 0) continue
          ways.set(to.cell, way)
          better = true
        }
    }
    const ends = [...ways]
      .filter(([cell]) => filled.data[cell]! <= low)
      .sort(([a, one], [b, other]) => compare([one[0]!, one[1]!, z[a]!, a], [other[0]!, other[1]!, z[b]!, b]))
    if (ends.length === 0) return []
    const [to, [far, peak, , from]] = ends[0]!
    // As much longer than the straight line as ways by sides and corners can be.
    if (far! > (limits.longest_m / cell_m) * 1.0824 * 5) return []
    const length_m = distance_m(cellCentre(ground.geometry, from!), cellCentre(ground.geometry, to))
    const height_m = peak! - z[deepest]!
    return length_m <= limits.longest_m && height_m >= limits.leastHeight_m ? [{ hollow, from: from!, to, length_m, height_m }] : []
  })
}

const anyLimits = fc.record({
  longest_m: fc.integer({ min: 1, max: 7 }),
  tolerance_m: fc.integer({ min: 0, max: 2 }),
  leastDepth_m: fc.integer({ min: 0, max: 2 }),
  leastArea_m2: fc.integer({ min: 0, max: 3 }),
  leastHeight_m: fc.integer({ min: 0, max: 4 }),
})

test('oracle: the narrowest bank of each hollow, as trying all ways finds it; whole heights, so that every limit is met exactly now and then', () =>
  fc.assert(
    fc.property(anyDice({ least: 4, most: 11, high: 5 }), anyLimits, (ground, limits) => {
      const { filled, inventory } = hollowsOf(ground)
      expect(culvertPlaces(ground, filled, inventory, limits)).toEqual(placesByTrying(ground, filled, limits))
    }),
    { numRuns: cases(700) },
  ))

test('oracle: on invented ground', () =>
  fc.assert(
    fc.property(anyTerrain({ most: 16 }), fc.integer({ min: 1, max: 9 }), (ground, longest_m) => {
      const { filled, inventory } = hollowsOf(ground)
      const limits = { longest_m, tolerance_m: 0.2, leastDepth_m: 0.05, leastArea_m2: 0, leastHeight_m: 0.1 }
      expect(culvertPlaces(ground, filled, inventory, limits)).toEqual(placesByTrying(ground, filled, limits))
    }),
  ))

test('low ground in a corner of the raster is as good an end as any', () => {
  // The hollow’s floor is cell 8 of a raster four cells wide; beyond its rim each of the four corners in turn lies low.
  const corners = [0, 3, 12, 15]
  for (const corner of corners) {
    const data = elevationGrid([
      [9, 9, 9, 9],
      [9, 1, 9, 9],
      [9, 9, 9, 9],
      [9, 9, 9, 9],
    ])
    data.data[5] = corner === 0 ? 1 : 9
    const floor = corner === 0 ? 10 : corner === 15 ? 5 : corner === 3 ? 9 : 6
    const z = data.data.map((_, cell) => (cell === floor ? 1 : cell === corner ? 0 : 9))
    const ground = { ...data, data: z }
    const { filled, inventory } = hollowsOf(ground)
    const places = culvertPlaces(ground, filled, inventory, { leastArea_m2: 1 })
    expect(places).toEqual([{ hollow: 0, from: floor, to: corner, length_m: 2 * Math.SQRT2, height_m: 8 }])
  }
})

test('a bank that water can only get round beyond a void, further than the limit, is no place', () => {
  // Low ground lies four cells from the floor as the crow flies, but only a way round the void leads there.
  const no = Number.NaN
  const ground = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9],
    [9, 9, 9, 9, 9, 9, 9],
    [9, 9, 9, 9, 9, 9, 9],
    [9, 1, 9, no, 9, 1, 0],
    [9, 1, 9, no, 9, 1, 0],
    [9, 9, 9, no, 9, 9, 9],
  ])
  const { filled, inventory } = hollowsOf(ground)
  const within = (longest_m: number) => culvertPlaces(ground, filled, inventory, { longest_m, leastArea_m2: 1 })
  // By two corners and two sides: 4.8 cells of steps, no more than 1.0824 times 4.44.
  expect(within(4)).toEqual([])
  expect(within(4.5)).toHaveLength(1)
})

test('of floor cells from which the way is as short, over ground as high, the first in the raster counts', () => {
  // From both arms of the floor it is a corner and a side to the low ground in the north; from its lowest cell it is three sides.
  const ground = elevationGrid([
    [9, 9, 9, 9, 9],
    [9, 9, 0, 9, 9],
    [9, 9, 9, 9, 9],
    [9, 9, 9, 9, 9],
    [9, 2, 9, 2, 9],
    [9, 9, 1, 9, 9],
    [9, 9, 9, 9, 9],
  ])
  ground.data[2] = 0
  const { filled, inventory } = hollowsOf(ground)
  const [place] = culvertPlaces(ground, filled, inventory, { tolerance_m: 1, leastArea_m2: 1 })
  expect([place?.from, place?.to]).toEqual([21, 7])
})
