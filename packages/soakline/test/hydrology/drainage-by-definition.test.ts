import fc from 'fast-check'
import { type Basins, type Drainage, drainage, LEAVES, SINK, VOID } from 'soakline/hydrology'
import { type ElevationGrid, neighbourOffsets } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { neighboursOf, outletsOf } from '../../../../tests/helpers/slow-oracles.js'
import { terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 74, numRuns: cases(150) })

/** Neighbours in the order in which equals are looked at: clockwise from north. */
const clockwise = (ground: ElevationGrid, cell: number) => neighboursOf(ground, cell).sort((a, b) => a.direction - b.direction)

/** Where the slope leads, by its definition: the steepest way down, over flats the shortest, in flats without a way out to their first cell. */
function slopeByDefinition(ground: ElevationGrid): number[] {
  const z = ground.data
  const rim = new Set(outletsOf(ground))
  const slope = [...z].map((here, cell): number | null => {
    if (Number.isNaN(here)) return VOID
    let steepest = 0
    let best = rim.has(cell) ? LEAVES : null
    for (const { cell: to, away, direction } of clockwise(ground, cell)) {
      const fall = (here - z[to]!) / (away === 1 ? 1 : Math.SQRT2)
      if (fall <= steepest) continue
      steepest = fall
      best = direction
    }
    return best
  })
  const step = (away: number): number => (away === 1 ? 5 : 7)
  const flat = [...slope.keys()].filter(cell => slope[cell] === null)
  const level = new Map(flat.map(cell => [cell, clockwise(ground, cell).filter(to => z[to.cell] === z[cell])]))
  const towards = (far: ReadonlyMap<number, number>, cells: readonly number[]): void => {
    for (const cell of cells) {
      let least = Number.POSITIVE_INFINITY
      for (const to of level.get(cell)!) {
        const way = (far.get(to.cell) ?? Number.POSITIVE_INFINITY) + step(to.away)
        if (way >= least) continue
        least = way
        slope[cell] = to.direction
      }
    }
  }
  /** Distances over a flat from where they are known, relaxed until none gets shorter. */
  const relax = (far: Map<number, number>, cells: readonly number[]): void => {
    for (let shorter = true; shorter; ) {
      shorter = false
      for (const cell of cells)
        for (const to of level.get(cell)!) {
          const way = (far.get(to.cell) ?? Number.POSITIVE_INFINITY) + step(to.away)
          if (way >= (far.get(cell) ?? Number.POSITIVE_INFINITY)) continue
          far.set(cell, way)
          shorter = true
        }
    }
  }
  const drains = new Map<number, number>()
  for (const [cell, code] of slope.entries()) if (code !== null && code !== VOID) drains.set(cell, 0)
  relax(drains, flat)
  const closed = flat.filter(cell => !drains.has(cell))
  towards(
    drains,
    flat.filter(cell => drains.has(cell)),
  )
  const toPit = new Map<number, number>()
  const pits: number[] = []
  for (const cell of closed) {
    if (toPit.has(cell)) continue
    pits.push(cell)
    toPit.set(cell, 0)
    relax(toPit, closed)
  }
  towards(toPit, closed)
  for (const pit of pits) slope[pit] = SINK
  return slope.map(code => code!)
}

/** Each basin's way out, by its definition: again and again the lowest of all passes that lead from a basin with a way out to one without. */
function basinsByDefinition(
  ground: ElevationGrid,
  slope: readonly number[],
  keep: readonly number[],
): { basin: number[]; basins: Record<keyof Basins, number[]> } {
  const z = ground.data
  const offsets = neighbourOffsets(ground.geometry.width)
  const end = (start: number): number => {
    let cell = start
    while (slope[cell]! < 8) cell += offsets[slope[cell]!]!
    return cell
  }
  const pit = [-1]
  const basin = [...z.keys()].map(cell => {
    if (slope[cell] === VOID) return -1
    const last = end(cell)
    if (slope[last] === LEAVES) return 0
    if (!pit.includes(last)) pit.push(last)
    return pit.indexOf(last)
  })
  interface Pass {
    between: readonly [number, number]
    cells: readonly [number, number]
    height: number
    drop: number
    /** The order in which the raster has them: by its first cell, the rim before the neighbours, these clockwise. */
    place: number
  }
  // For each pair of basins the lowest, of those the one with the steepest drop, of those the first in the raster.
  const passes: Pass[] = []
  const offer = (one: number, other: number, cellOfOne: number, cellOfOther: number, height: number, drop: number, place: number): void => {
    const turned = one > other
    const pass: Pass = {
      between: turned ? [other, one] : [one, other],
      cells: turned ? [cellOfOther, cellOfOne] : [cellOfOne, cellOfOther],
      height,
      drop,
      place,
    }
    const known = passes.findIndex(p => String(p.between) === String(pass.between))
    if (known < 0) passes.push(pass)
    else if (height < passes[known]!.height || (height === passes[known]!.height && drop > passes[known]!.drop)) passes[known] = pass
  }
  const rim = new Set(outletsOf(ground))
  for (const [cell, own] of basin.entries()) {
    if (own < 0) continue
    if (rim.has(cell) && own > 0) offer(0, own, -1, cell, z[cell]!, 0, 8 * cell)
    for (const { cell: to, away, direction } of clockwise(ground, cell))
      if (direction >= 2 && direction < 6 && basin[to] !== own)
        offer(
          own,
          basin[to]!,
          cell,
          to,
          Math.max(z[cell]!, z[to]!),
          Math.abs(z[cell]! - z[to]!) / (away === 1 ? 1 : Math.SQRT2),
          8 * cell + direction,
        )
  }
  const found = {
    pit,
    level_m: pit.map(() => Number.POSITIVE_INFINITY),
    passInside: pit.map(() => -1),
    passOutside: pit.map(() => -1),
    pass_m: pit.map(() => Number.NaN),
    next: pit.map(() => -1),
  }
  const away = new Set([0, ...keep.map(cell => basin[cell]!).filter(b => b > 0)])
  for (const b of away) found.level_m[b] = Number.NEGATIVE_INFINITY
  for (;;) {
    const open = passes
      .filter(({ between: [a, b] }) => away.has(a) !== away.has(b))
      .sort((p, q) => p.height - q.height || q.drop - p.drop || p.place - q.place)
    const pass = open[0]
    if (!pass) return { basin, basins: found }
    const side = away.has(pass.between[0]) ? 1 : 0
    const [b, next] = [pass.between[side]!, pass.between[1 - side]!]
    away.add(b)
    found.level_m[b] = Math.max(found.level_m[next]!, pass.height)
    found.pass_m[b] = pass.height
    found.passInside[b] = pass.cells[side]!
    found.passOutside[b] = pass.cells[1 - side]!
    found.next[b] = next
  }
}

function expectAsDefined(ground: ElevationGrid, found: Drainage, keep: readonly number[]): void {
  const slope = slopeByDefinition(ground)
  expect([...found.slope]).toEqual(slope)
  const { basin, basins } = basinsByDefinition(ground, slope, keep)
  expect([...found.basin]).toEqual(basin)
  for (const [name, of] of Object.entries(basins)) expect([name, ...found.basins[name as keyof Basins]]).toEqual([name, ...of])
  // From each pass back to its pit the directions are turned round.
  const offsets = neighbourOffsets(ground.geometry.width)
  const direction = [...slope]
  for (const [b, inside] of basins.passInside.entries()) {
    if (inside < 0) continue
    const way = [basins.passOutside[b]!]
    for (let cell = inside; ; cell += offsets[slope[cell]!]!) {
      way.push(cell)
      if (slope[cell] === SINK) break
    }
    for (let k = 1; k < way.length; k++) direction[way[k]!] = way[k - 1]! < 0 ? LEAVES : offsets.indexOf(way[k - 1]! - way[k]!)
  }
  expect([...found.direction]).toEqual(direction)
}

test('oracle: directions, basins and passes are those of the definition; of equals the first clockwise from north, the first in the raster', () =>
  fc.assert(
    fc.property(
      fc.oneof(anyDice({ least: 1, most: 9, high: 4 }), anyTerrain({ least: 1, most: 16 })),
      fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { maxLength: 3 }),
      (ground, places) => {
        const keep = places.map(where => Math.floor(where * ground.data.length)).filter(cell => !Number.isNaN(ground.data[cell]!))
        expectAsDefined(ground, drainage(ground, { keep }), keep)
      },
    ),
    { numRuns: cases(400) },
  ))

test.each([
  ['smooth', 350, 200],
  ['smooth', 200, 350],
  ['lakes', 311, 223],
  ['gaps', 223, 311],
] as const)(
  'a raster of %s of more rows than are worked on at once (%d by %d cells) comes out as if it were one piece',
  (kind, width, height) => {
    const ground = terrain(kind === 'lakes' || kind === 'gaps' ? kind : 'smooth', 5, width, height)
    // Few hollows, or the slow definition would never end.
    const calm =
      kind === 'smooth'
        ? ground
        : {
            ...ground,
            data: terrain('smooth', 5, width, height).data.map((z, cell) =>
              Number.isNaN(ground.data[cell]!) ? Number.NaN : kind === 'lakes' ? Math.max(z, 96) : z,
            ),
          }
    expectAsDefined(calm, drainage(calm), [])
  },
)

test('on level ground, whatever its size, each cell goes the shortest way over it to the rim, straight where that is as short', () => {
  for (let width = 3; width <= 9; width++)
    for (let height = 3; height <= 9; height++) {
      const ground = { ...terrain('level', 1, width, height) }
      expectAsDefined(ground, drainage(ground), [])
    }
})
