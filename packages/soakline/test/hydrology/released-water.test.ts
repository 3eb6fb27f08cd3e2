import fc from 'fast-check'
import { type Drainage, drainage, filledSurface, LEAVES, releasedWater, SINK, type WaterPath } from 'soakline/hydrology'
import {
  cellAt,
  cellCentre,
  distance_m,
  type ElevationGrid,
  eachNeighbour,
  elevationGrid,
  neighbourOffsets,
  type Point,
  surfaceValue,
  toLattice,
} from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { gridOf, heading, plane, reshaped, SYMMETRIES, TIE_FREE, terrain, turned, turning } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 23, numRuns: cases(100) })

const fraction = evenly(0, 0.999999)
/** Off the raster's rim, which belongs to the raster on two of its sides only. */
const inside = evenly(0.001, 0.999)

function release(ground: ElevationGrid, place: Point, keep: readonly number[] = []): WaterPath | null {
  const drained = drainage(ground, { keep })
  return releasedWater(ground, filledSurface(ground, drained), drained, place)
}

test('laws: it ends, at an edge, a void or a kept hollow; it never jumps; off the drainage it never rises', () =>
  fc.assert(
    fc.property(
      fc.oneof(anyDice({ most: 12 }), anyTerrain()),
      fraction,
      fraction,
      fc.boolean(),
      fc.boolean(),
      (ground, x, y, keeps, onHalves) => {
        const g = ground.geometry
        // A cell holds its west and north rims. Among centres and the rims between them water has the least to tell its way by.
        const [column, row] = [x * g.width, y * g.height].map(n => (onHalves ? Math.floor(2 * n) / 2 : n)) as [number, number]
        const place: Point = [column, g.height - row]
        const keep = keeps ? [...drainage(ground).basins.pit].slice(1) : []
        const path = release(ground, place, keep)
        expect(path === null).toBe(Number.isNaN(ground.data[cellAt(g, ...place)]!))
        if (path === null) return
        const { points, byDrainage, end } = path
        expect(points[0]).toEqual(place)
        const onDrainage = new Set<number>()
        for (const [from, to] of byDrainage) {
          expect(from).toBeGreaterThanOrEqual(0)
          expect(to).toBeLessThan(points.length)
          for (let k = from; k < to; k++) onDrainage.add(k)
        }
        for (let k = 1; k < points.length; k++) {
          expect(distance_m(points[k - 1]!, points[k]!)).toBeLessThan(1.5)
          if (onDrainage.has(k - 1)) continue
          const [before, after] = [surfaceValue(ground, points[k - 1]!), surfaceValue(ground, points[k]!)]
          // Heights read again in the raster's coordinates may differ by a rounding of the place.
          if (!Number.isNaN(before) && !Number.isNaN(after)) expect(after).toBeLessThan(before + 1e-9)
        }
        const [ex, ey] = points[points.length - 1]!
        if (end === 'edge') expect(Math.min(ex, ey, g.width - ex, g.height - ey)).toBeLessThanOrEqual(0.5)
        if (end === 'hollow') expect(keep).toContain(cellAt(g, ex, ey))
        if (!keeps) expect(end).not.toBe('hollow')
      },
    ),
    { numRuns: cases(600) },
  ))

/** The cells of a stretch by the drainage, by definition: to the first from which the ground falls on, or to the end where it is left to the drainage for good. */
function wayByDrainage(
  ground: ElevationGrid,
  filled: Float32Array,
  { direction, slope }: Drainage,
  start: number,
  forGood: boolean,
): number[] {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const cells = [start]
  for (let cell = start; direction[cell]! < 8; ) {
    const lowest = Math.min(...cells.map(passed => z[passed]!))
    cell += offsets[direction[cell]!]!
    cells.push(cell)
    let fallsOn = z[cell]! < lowest
    eachNeighbour(width, height, cell, to => {
      if (z[to]! < z[cell]!) fallsOn = true
    })
    if (fallsOn && !forGood && filled[cell] === z[cell] && slope[cell] !== SINK) break
  }
  return cells
}

test('oracle: by the drainage it goes cell by cell, out of hollows and over flats, to the first cell from which the ground falls on', () =>
  fc.assert(
    fc.property(
      fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 20 })),
      fraction,
      fraction,
      fc.boolean(),
      fc.boolean(),
      (ground, x, y, keeps, onHalves) => {
        const g = ground.geometry
        const drained = drainage(ground, { keep: keeps ? [...drainage(ground).basins.pit].slice(1) : [] })
        const filled = filledSurface(ground, drained)
        const [column, row] = [x * g.width, y * g.height].map(n => (onHalves ? Math.floor(2 * n) / 2 : n)) as [number, number]
        const path = releasedWater(ground, filled, drained, [column, g.height - row])
        if (path === null) return
        const { points, byDrainage, end } = path
        const nearest = ([east, north]: Point): number => {
          const [c, r] = [Math.floor(east), Math.floor(g.height - north)]
          return Math.min(g.height - 1, Math.max(0, r)) * g.width + Math.min(g.width - 1, Math.max(0, c))
        }
        const begun: number[] = []
        for (const [from, to] of byDrainage) {
          const start = nearest(points[from]!)
          const cells = wayByDrainage(ground, filled.data, drained, start, begun.includes(start))
          begun.push(start)
          const centres = cells.map(cell => cellCentre(g, cell))
          const [first] = centres
          const onCentre = first![0] === points[from]![0] && first![1] === points[from]![1]
          expect(points.slice(from, to + 1)).toEqual(onCentre ? centres : [points[from], ...centres])
          if (from < byDrainage[byDrainage.length - 1]![0] || to < points.length - 1) continue
          const code = drained.direction[cells[cells.length - 1]!]!
          const { u, v } = toLattice(g, centres[centres.length - 1]!)
          const onBorder = u === 0 || v === 0 || u === g.width - 1 || v === g.height - 1
          expect(code).toBe(end === 'hollow' ? SINK : LEAVES)
          expect(end).toBe(code === SINK ? 'hollow' : onBorder ? 'edge' : 'void')
        }
        // In the outer half cell there is no surface to run on.
        const { u, v } = toLattice(g, points[0]!)
        if (u < 0 || v < 0 || u > g.width - 1 || v > g.height - 1) expect(byDrainage[0]?.[0]).toBe(0)
      },
    ),
    { numRuns: cases(600) },
  ))

test('P10: on ground without ties the way turns with the raster', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: TIE_FREE }), inside, inside, fc.constantFrom(...SYMMETRIES), (ground, x, y, symmetry) => {
      const { width, height } = ground.geometry
      const size = turning(width, height, symmetry)
      // Rows run south: mirroring in a row turns y; a swap exchanges columns with rows.
      const turn = ([px, py]: Point): Point => {
        const [c, r] = [symmetry & 1 ? width - px : px, symmetry & 2 ? py : height - py]
        return symmetry >= 4 ? [r, size.height - c] : [c, size.height - r]
      }
      const place: Point = [x * width, y * height]
      const [plain, after] = [release(ground, place), release(turned(ground, symmetry), turn(place))]
      expect(after?.end).toBe(plain?.end)
      expect(after?.points.length).toBe(plain?.points.length)
      plain?.points.forEach((at, k) => {
        expect(distance_m(turn(at), after!.points[k]!)).toBeLessThan(1e-6)
      })
    }),
    { numRuns: cases(300) },
  ))

test('it passes through a filled hollow and leaves where that spills', () => {
  const ground = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9],
    [9, 7, 2, 3, 6, 4, 1],
    [9, 9, 9, 9, 9, 9, 9],
  ])
  const path = release(ground, [1.5, 1.5])!
  expect(path.end).toBe('edge')
  const cells = path.points.map(p => cellAt(ground.geometry, Math.min(p[0], 6.9), p[1]))
  for (const cell of [8, 9, 10, 11, 12]) expect(cells).toContain(cell)
  expect(path.byDrainage.length).toBeGreaterThan(0)
})

test('it stops in the same hollow when that is kept', () => {
  const ground = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9],
    [9, 7, 2, 3, 6, 4, 1],
    [9, 9, 9, 9, 9, 9, 9],
  ])
  const path = release(ground, [1.5, 1.5], [9])!
  expect(path.end).toBe('hollow')
  expect(path.points[path.points.length - 1]).toEqual([2.5, 1.5])
})

test('on level water it goes the drainage’s way and takes to the ground again', () => {
  const slope = gridOf(30, 30, 1, plane(90, 0.1, [0, 0]))
  const ground = reshaped(slope, (z, cell) => (cell % 30 >= 10 && cell % 30 < 16 ? slope.data[16]! + 0.05 : z))
  const path = release(ground, [3.2, 14.7])!
  expect(path.end).toBe('edge')
  const [x, y] = path.points[path.points.length - 1]!
  expect(x).toBeGreaterThan(29)
  expect(Math.abs(y - 14.7)).toBeLessThan(1.5)
})

test('a flat is one stretch by the drainage, however far across', () => {
  const terrace = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9, 9],
    [9, 8, 5, 5, 5, 5, 5, 2],
    [9, 9, 9, 9, 9, 9, 9, 9],
  ])
  const { byDrainage, points } = release(terrace, [1.5, 1.5])!
  const place = (x: number): number => points.findIndex(at => at[0] === x && at[1] === 1.5)
  expect(byDrainage).toContainEqual([place(2.5), place(6.5)])
})

test('below level water it keeps the fall of the ground again, not the eight directions', () => {
  // A plane that falls towards 71°, with a strip of level water across it.
  const [east, north] = heading(71)
  const slope = gridOf(120, 80, 1, plane(71, 0.1, [0, 0]))
  const ground = reshaped(slope, (z, cell) => {
    const [x, y] = cellCentre(slope.geometry, cell)
    const along = x * east + y * north
    return along > 25 && along < 31 ? Math.min(z, 96.9) : z
  })
  const { points, end } = release(ground, [10.2, 20.7])!
  expect(end).toBe('edge')
  const below = points.filter(([x]) => x > 45 && x < 118)
  const [first, last] = [below[0]!, below[below.length - 1]!]
  expect(distance_m(first, last)).toBeGreaterThan(60)
  const aside = Math.abs((last[0] - first[0]) * north - (last[1] - first[1]) * east)
  expect(aside).toBeLessThan(1)
})

test('it ends at a void', () => {
  const ground = reshaped(gridOf(30, 30, 1, plane(90, 0.1, [0, 0])), (z, cell) => (cell % 30 === 20 ? Number.NaN : z))
  const path = release(ground, [3.2, 14.7])!
  expect(path.end).toBe('void')
  expect(path.points[path.points.length - 1]![0]).toBeLessThan(20.5)
})

test('regression: it does not leap across the corner of a void onto higher ground, for ever back and forth', () => {
  const path = release(terrain('gaps', 45, 40, 33), [16.49, 5.87])!
  expect(path.points.length).toBeLessThan(1000)
})

test('regression: along the rim of a void it runs on the ground beside it, not out over the void and back for ever', () => {
  // Along the row of centres between the 0s the ground falls from both sides; north of it there is ground, south of it a void to the west.
  const ground = elevationGrid([
    [1, 0, 1],
    [1, 0, 1],
    [Number.NaN, 0, 1],
  ])
  for (const symmetry of SYMMETRIES) {
    const { width, height, from } = turning(3, 3, symmetry)
    const turnedGround = turned(ground, symmetry)
    const row = (cell: number): Point => cellCentre(turnedGround.geometry, from.indexOf(cell))
    const [west, middle, east] = [row(3), row(4), row(5)]
    for (const side of [west, east]) {
      const place: Point = [(side[0] + middle[0]) / 2, (side[1] + middle[1]) / 2]
      const { points } = release(turnedGround, place)!
      expect(points.length).toBeLessThan(3 * (width + height))
      // It comes down to the channel straight.
      expect(points.some(at => distance_m(at, middle) < 0.02)).toBe(true)
      for (const at of points.slice(0, 3)) expect(distance_m(place, at) + distance_m(at, middle)).toBeCloseTo(0.5, 9)
    }
  }
})

test('places on the outermost half cell, on corners and on cell centres are answered', () => {
  const ground = terrain('smooth', 9, 20, 20)
  for (const place of [
    [0, 0.001],
    [19.99, 19.99],
    [0.2, 10],
    [10, 19.9],
    cellCentre(ground.geometry, 0),
    cellCentre(ground.geometry, 210),
  ] as const)
    expect(release(ground, place)?.points[0]).toEqual(place)
  for (const place of [
    [-0.1, 5],
    [5, 20.5],
    [Number.NaN, 3],
  ] as const)
    expect(release(ground, place)).toBeNull()
})

test('moving ground and place together moves the path', () => {
  const ground = terrain('rough', 31, 40, 40)
  const away = { ...ground, geometry: { ...ground.geometry, west_m: 4096, north_m: 65536 + 40 } }
  const near = release(ground, [20.25, 20.75])!
  const far = release(away, [4116.25, 65556.75])!
  expect(far.end).toBe(near.end)
  const [a, b] = [near, far].map(p => p.points[p.points.length - 1]!) as [Point, Point]
  expect(b[0] - 4096).toBeCloseTo(a[0], 4)
  expect(b[1] - 65536).toBeCloseTo(a[1], 4)
})
