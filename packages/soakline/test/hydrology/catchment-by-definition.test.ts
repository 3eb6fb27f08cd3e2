import fc from 'fast-check'
import {
  areaCatchment,
  byFacets,
  byVector,
  type Catchment,
  drainage,
  EVEN,
  eachReceiver,
  type FlowNetwork,
  flowNetwork,
  inflowRim,
  lineCatchment,
  MANY,
  multiple,
  pointCatchment,
  SINK,
  single,
  VOID,
  walkScratch,
} from 'soakline/hydrology'
import {
  COLUMN_STEP,
  cellAt,
  cellCentre,
  cellsNear,
  crosses,
  distance_m,
  type ElevationGrid,
  elevationGrid,
  type Mask,
  neighbourOffsets,
  type Point,
  ROW_STEP,
  STEP_LENGTH,
} from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { gridOf, plane } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 73, numRuns: cases(150) })

const WEST_M = 300
const NORTH_M = 700

/** Not at the origin, and with cells that are not 1 m. */
const moved = (ground: ElevationGrid, cell_m: number): ElevationGrid => ({
  ...ground,
  geometry: { ...ground.geometry, cell_m, west_m: WEST_M, north_m: NORTH_M },
})

const someGround = fc
  .tuple(
    fc.oneof(anyDice({ least: 3, most: 10, high: 5 }), anyTerrain({ least: 3, most: 18 })),
    fc.constantFrom(0.5, 1, 2),
    // Heights by centimetres: hollows shallower than a ditch as well as deeper ones.
    fc.constantFrom(1, 0.05),
  )
  .map(([ground, cell_m, by]) => moved({ ...ground, data: ground.data.map(z => z * by) }, cell_m))

const methods = fc.constantFrom(byVector, byFacets, multiple(), single)

/** Places in and around the raster: anywhere, or on corners and centres of cells, where crossings are hardest to tell. */
const anyLine = fc.tuple(
  fc.boolean(),
  fc.array(fc.tuple(evenly(-0.3, 1.3), evenly(-0.3, 1.3)), {
    minLength: 2,
    maxLength: 5,
  }),
)
const laidOut = ({ geometry: g }: ElevationGrid, [onHalves, line]: readonly [boolean, readonly (readonly [number, number])[]]): Point[] =>
  line.map(([x, y]) => {
    const [column, row] = [x * g.width, y * g.height].map(n => (onHalves ? Math.round(2 * n) / 2 : n)) as [number, number]
    return [g.west_m + column * g.cell_m, g.north_m - row * g.cell_m]
  })

interface Caught {
  shares: number[]
  lengths: number[]
  drowned: number[]
}

/** What a line catches by its definition: for every cell of the raster, downstream first, sixteen catchments, each link tried from one place of its cell. */
function caughtByDefinition(net: FlowNetwork, ground: ElevationGrid, line: readonly Point[]): Caught {
  const { geometry: g, facet, toNext, jump, drainage: drained } = net
  const { basin, basins, slope, direction } = drained
  const offsets = neighbourOffsets(g.width)
  const crossed = (cell: number, k: number, n: number): boolean => {
    const [x, y] = cellCentre(g, cell)
    const from: Point = [x + (((n % 4) + 0.5) / 4 - 0.5) * g.cell_m, y + ((Math.floor(n / 4) + 0.5) / 4 - 0.5) * g.cell_m]
    const to: Point = [from[0] + COLUMN_STEP[k]! * g.cell_m, from[1] - ROW_STEP[k]! * g.cell_m]
    return line.slice(1).some((b, piece) => crosses(from, to, line[piece]!, b))
  }
  const places = [...Array(16).keys()]
  /** For each direction in which a cell's water may run from which places the line is crossed. */
  const links = [...facet].map((code, cell) =>
    [...Array(8).keys()].map(k => {
      const carries =
        code === EVEN ||
        code === MANY ||
        (code === k && toNext[cell]! < 1) ||
        (code < 8 && k === (code + 1) % 8 && toNext[cell]! > 0) ||
        k === slope[cell] ||
        k === direction[cell]
      return carries && code !== VOID ? places.map(n => crossed(cell, k, n)) : places.map(() => false)
    }),
  )
  const any = links.map(of => of.map(tries => tries.includes(true)))
  const drowned = new Set<number>()
  /** From which places each basin's overflow crosses the line on its way to the pass and beyond it. */
  const overflow = [...basins.pit].map(() => places.map(() => false))
  const over = (b: number, tries: readonly boolean[]): void => {
    for (const n of places) overflow[b]![n] ||= tries[n]!
  }
  for (let b = 1; b < basins.pit.length; b++) {
    if (basins.passInside[b]! < 0) continue
    for (let cell = basins.passOutside[b]!; cell >= 0 && ground.data[cell] === basins.pass_m[b] && slope[cell]! < 8; ) {
      over(b, links[cell]![slope[cell]!]!)
      cell += offsets[slope[cell]!]!
    }
  }
  for (const [cell, of] of any.entries()) {
    const b = basin[cell]!
    if (!of.includes(true) || b < 1 || basins.passInside[b]! < 0) continue
    const k = direction[cell]!
    if (basins.level_m[b]! - ground.data[cell]! > 0.5) drowned.add(basins.pit[b]!)
    else if (k < 8 && k !== slope[cell]) over(b, links[cell]![k]!)
  }
  const shares = [...facet].map(() => 0)
  const lengths = [...facet].map(() => 0)
  /** What arrives of each cell's water from each of its places: water keeps its place on its way. */
  const parts = [...facet].map(() => places.map(() => 0))
  for (const cell of [...net.order].reverse()) {
    const code = facet[cell]!
    const receivers: { to: number; part: number; k: number }[] = []
    eachReceiver(net, cell, (to, part) => receivers.push({ to, part, k: offsets.indexOf(to - cell) }))
    let far = 0
    if (code === SINK) {
      const to = jump[basin[cell]!]!
      const across = overflow[basin[cell]!]!
      parts[cell] = places.map(n => (across[n] ? 1 : to >= 0 ? parts[to]![n]! : 0))
      far = across.includes(true) || to < 0 ? 0 : lengths[to]! + distance_m(cellCentre(g, cell), cellCentre(g, to))
    } else if (code < 8 || code === EVEN || code === MANY) {
      parts[cell] = places.map(n => receivers.reduce((sum, { to, part, k }) => sum + part * (links[cell]![k]![n] ? 1 : parts[to]![n]!), 0))
      const stepOn = (k: number): number => STEP_LENGTH[k]! * g.cell_m + lengths[cell + offsets[k]!]!
      if (code >= 8) far = Math.max(...receivers.map(({ k }) => stepOn(k)))
      else if (any[cell]!.includes(true)) {
        const main = toNext[cell]! <= 0.5 ? code : (code + 1) % 8
        far = any[cell]![main] ? (STEP_LENGTH[main]! * g.cell_m) / 2 : stepOn(main)
      } else {
        // The receiver by which most of the caught water comes, the first of two as good.
        const [first, second] = receivers
        far = stepOn(second && second.part * shares[second.to]! > first!.part * shares[first!.to]! ? second.k : first!.k)
      }
    }
    const share = parts[cell]!.reduce((sum, part) => sum + part / 16, 0)
    if (share < 1e-6) {
      parts[cell] = parts[cell]!.map(() => 0)
      continue
    }
    shares[cell] = share
    lengths[cell] = Math.fround(far)
  }
  return { shares, lengths, drowned: [...drowned].sort((a, b) => a - b) }
}

/** Checks all of a catchment against the shares and lengths that it should have. */
function expectCatchment(
  found: Catchment,
  { geometry: g }: ElevationGrid,
  shares: readonly number[],
  lengths: readonly number[],
  rim: Mask,
): void {
  found.share.data.forEach((share, cell) => {
    expect(Math.abs(share - shares[cell]!)).toBeLessThan(1e-9)
  })
  const reached = [...shares.keys()].filter(cell => shares[cell]! > 0)
  const sum = reached.reduce((total, cell) => total + shares[cell]!, 0)
  const atRim = reached.reduce((total, cell) => total + (rim.data[cell] ? shares[cell]! : 0), 0)
  expect(found.area_m2).toBeCloseTo(sum * g.cell_m * g.cell_m, 6)
  expect(found.edgeShare_ratio).toBeCloseTo(atRim / (1 + atRim), 9)
  expect(found.cutByEdge).toBe(found.edgeShare_ratio > 0.005)
  const columns = reached.map(cell => cell % g.width)
  const rows = reached.map(cell => Math.floor(cell / g.width))
  expect(found.box).toEqual({
    firstColumn: Math.min(...columns),
    lastColumn: Math.max(...columns),
    firstRow: Math.min(...rows),
    lastRow: Math.max(...rows),
  })
  // Shares of one half count, but for a rounding.
  const longest = (least: number): number => Math.max(0, ...reached.filter(cell => shares[cell]! >= least).map(cell => lengths[cell]!))
  expect(found.longestFlow_m).toBeLessThan(longest(0.5 - 1e-12) + 5e-5)
  expect(found.longestFlow_m).toBeGreaterThan(longest(0.5 + 1e-12) - 5e-5)
  if (found.farthest >= 0) {
    expect(shares[found.farthest]).toBeGreaterThan(0.5 - 1e-12)
    expect(lengths[found.farthest]).toBeCloseTo(found.longestFlow_m, 4)
  }
}

describe('a line’s catchment', () => {
  test('oracle: shares, area, edge, longest flow and drowned hollows are those of the definition tried on every cell', () =>
    fc.assert(
      fc.property(someGround, anyLine, methods, (ground, shape, method) => {
        const line = laidOut(ground, shape)
        const drained = drainage(ground)
        const net = flowNetwork(ground, drained, method)
        const rim = inflowRim(ground, drained)
        const slow = caughtByDefinition(net, ground, line)
        const found = lineCatchment(net, ground, line, rim)
        expectCatchment(found, ground, slow.shares, slow.lengths, rim)
        expect([...found.drowned].sort((a, b) => a - b)).toEqual(slow.drowned)
      }),
      { numRuns: cases(300) },
    ))

  test('a catchment with working memory that others have used is what it is alone', () =>
    fc.assert(
      fc.property(someGround, anyLine, anyLine, (ground, one, other) => {
        const drained = drainage(ground)
        const net = flowNetwork(ground, drained)
        const rim = inflowRim(ground, drained)
        const scratch = walkScratch(ground.data.length)
        lineCatchment(net, ground, laidOut(ground, one), rim, scratch)
        const after = lineCatchment(net, ground, laidOut(ground, other), rim, scratch)
        expect(after).toEqual(lineCatchment(net, ground, laidOut(ground, other), rim))
      }),
      { numRuns: cases(60) },
    ))

  test('the longest flow to a level line across a plane is the way to the top of the raster', () => {
    // Water runs south on cells of 2 m; the line lies across it half way between two rows of centres.
    const ground = moved(gridOf(7, 10, 2, plane(180, 0.1, [7, 10])), 2)
    const drained = drainage(ground)
    const net = flowNetwork(ground, drained)
    const line: Point[] = [
      [WEST_M - 1, NORTH_M - 12],
      [WEST_M + 15, NORTH_M - 12],
    ]
    const found = lineCatchment(net, ground, line, inflowRim(ground, drained))
    // Five steps from the first row to the sixth, and half a step from there to the line.
    expect(found.longestFlow_m).toBe(2 * 5 + 1)
    expect(Math.floor(found.farthest / 7)).toBe(0)
    expect(found.area_m2).toBeCloseTo(7 * 6 * 4, 9)
  })

  /** A straight channel to the south between two banks, its bed by rows. */
  const channel = (bed: readonly number[], wide: number): ElevationGrid =>
    elevationGrid(bed.map(z => [z + 50, ...Array.from({ length: wide }, () => z), z + 50]))

  test('a line that meets the same half of a channel twice, above a hollow and below it, catches that half once', () => {
    const ground = channel([30, 29, 28, 27, 20, 10, 22, 21, 19, 15, 18, 17], 1)
    const drained = drainage(ground)
    // Along the bank and twice to the middle of the channel.
    const line: Point[] = [
      [1.5, 9],
      [0.95, 9],
      [0.95, 4],
      [1.5, 4],
    ]
    const { share } = lineCatchment(flowNetwork(ground, drained), ground, line, inflowRim(ground, drained))
    for (let row = 0; row < 8; row++) expect(share.data[3 * row + 1]).toBeCloseTo(0.5, 12)
  })

  test('a line that lies along the water’s way in a deep hollow crosses none of it: it catches nothing and no hollow drowns it', () => {
    const ground = channel([30, 29, 28, 27, 26, 10, 27, 8], 4)
    const drained = drainage(ground)
    const net = flowNetwork(ground, drained)
    const between = (x: number): Point[] => [
      [x, 3.8],
      [x, 3.2],
    ]
    expect(lineCatchment(net, ground, between(3), inflowRim(ground, drained))).toMatchObject({ area_m2: 0, farthest: -1, drowned: [] })
    // A step aside it cuts the water that comes from the bank.
    expect(lineCatchment(net, ground, between(2), inflowRim(ground, drained)).drowned).toEqual([31])
  })

  test('half a metre below its level a hollow does not drown a line yet, deeper it does', () => {
    for (const [bed, drowned] of [
      [26.5, []],
      [26.25, [16]],
    ] as const) {
      const ground = channel([30, 29, 28, 27, bed, 10, 27, 8], 1)
      const drained = drainage(ground)
      const across: Point[] = [
        [1, 3.1],
        [2, 3.1],
      ]
      expect(lineCatchment(flowNetwork(ground, drained), ground, across, inflowRim(ground, drained)).drowned).toEqual(drowned)
    }
  })

  test('a line that is one place, or none, catches nothing', () => {
    const ground = moved(elevationGrid([[3, 2, 1]]), 1)
    const drained = drainage(ground)
    const rim = inflowRim(ground, drained)
    for (const line of [[], [cellCentre(ground.geometry, 1)]])
      expect(lineCatchment(flowNetwork(ground, drained), ground, line, rim)).toMatchObject({
        area_m2: 0,
        longestFlow_m: 0,
        farthest: -1,
        drowned: [],
      })
  })
})

describe('a place’s catchment', () => {
  test('oracle: the cells from which walking down the directions leads through it', () =>
    fc.assert(
      fc.property(someGround, evenly(0, 0.999), (ground, where) => {
        const g = ground.geometry
        const outlet = Math.floor(where * ground.data.length)
        const drained = drainage(ground)
        const rim = inflowRim(ground, drained)
        const found = pointCatchment(drained, cellCentre(g, outlet), rim)
        expect(found === null).toBe(Number.isNaN(ground.data[outlet]!))
        if (!found) return
        const offsets = neighbourOffsets(g.width)
        const lengths = [...ground.data].map((z, start) => {
          let length = 0
          let cell = start
          for (; cell !== outlet && drained.direction[cell]! < 8; cell += offsets[drained.direction[cell]!]!)
            length += STEP_LENGTH[drained.direction[cell]!]! * g.cell_m
          return Number.isNaN(z) || cell !== outlet ? Number.NaN : length
        })
        expectCatchment(
          found,
          ground,
          lengths.map(length => (Number.isNaN(length) ? 0 : 1)),
          lengths,
          rim,
        )
        expect(found.farthest).toBeGreaterThanOrEqual(0)
        expect(found.drowned).toEqual([])
      }),
      { numRuns: cases(300) },
    ))

  test('off the raster on any side there is none', () => {
    const ground = moved(elevationGrid([[3, 2, 1]]), 2)
    const drained = drainage(ground)
    const rim = inflowRim(ground, drained)
    for (const [x, y] of [
      [-1, -1],
      [7, -1],
      [3, 1],
      [3, -3],
    ] as const)
      expect(pointCatchment(drained, [WEST_M + x, NORTH_M + y], rim)).toBeNull()
    expect(cellAt(ground.geometry, WEST_M + 5, NORTH_M - 1)).toBe(2)
  })
})

describe('an area’s catchment', () => {
  test('oracle: its own cells wholly, of the others what their receivers bring, downstream first', () =>
    fc.assert(
      fc.property(someGround, anyLine, methods, fc.boolean(), (ground, shape, method, small) => {
        const g = ground.geometry
        const ring = laidOut(ground, shape)
        // A speck inside one cell is that cell.
        const at = ring[0]!
        const rings: Point[][] = [small ? [at, [at[0] + 0.01, at[1]], [at[0], at[1] + 0.01]] : ring]
        const drained = drainage(ground)
        const net = flowNetwork(ground, drained, method)
        const rim = inflowRim(ground, drained)
        const area = { type: 'polygon' as const, rings }
        const centres = cellsNear(g, area, 0, { touching: false })
        const inside = new Set((centres.length > 0 ? centres : cellsNear(g, area, 0)).filter(cell => !Number.isNaN(ground.data[cell]!)))
        const shares = [...ground.data].map(() => 0)
        const lengths = [...ground.data].map(() => 0)
        for (const cell of [...net.order].reverse()) {
          let share = 0
          let length = 0
          let most = 0
          if (inside.has(cell)) share = 1
          else
            eachReceiver(net, cell, (to, part) => {
              if (to < 0) return
              share += part * shares[to]!
              if (part * shares[to]! <= most) return
              most = part * shares[to]!
              length = distance_m(cellCentre(g, cell), cellCentre(g, to)) + lengths[to]!
            })
          if (share < 1e-6) continue
          shares[cell] = share
          lengths[cell] = length
        }
        const found = areaCatchment(net, area, rim)
        expectCatchment(found, ground, shares, lengths, rim)
        expect(found.farthest >= 0).toBe(shares.some(share => share > 0.5 - 1e-9))
        expect(found.drowned).toEqual([])
      }),
      { numRuns: cases(300) },
    ))
})
