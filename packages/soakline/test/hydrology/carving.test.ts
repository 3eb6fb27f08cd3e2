import fc from 'fast-check'
import {
  type Cut,
  type CutLimits,
  carving,
  drainage,
  filledSurface,
  type HollowChoice,
  type HollowTreatment,
  hollows,
  SINK,
  type TreatedGround,
  treatHollows,
} from 'soakline/hydrology'
import { cellCentre, type ElevationGrid, elevationGrid } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { fillByRelaxation, neighboursOf, outletsOf } from '../../../../tests/helpers/slow-oracles.js'
import { SYMMETRIES, TIE_FREE, turned } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 32, numRuns: 100 })

const filled = (ground: ElevationGrid) => filledSurface(ground, drainage(ground))
const pitsOf = (ground: ElevationGrid): number[] =>
  [...drainage(ground).slope.entries()].flatMap(([cell, code]) => (code === SINK ? [cell] : []))

/** Treats hollows of a ground; the choice is made at each hollow's deepest cell. */
function treat(
  ground: ElevationGrid,
  choose: (index: number) => HollowTreatment | null,
  options: CutLimits & { keep?: readonly number[]; uncut?: readonly number[] } = {},
): TreatedGround & { readonly before: ReturnType<typeof hollows> } {
  const drained = drainage(ground)
  const surface = filledSurface(ground, drained)
  const before = hollows(ground, surface, drained)
  const choices = before.flatMap(({ deepest }, k): HollowChoice[] => {
    const treatment = choose(k)
    return treatment ? [{ at: cellCentre(ground.geometry, deepest), treatment }] : []
  })
  return { ...treatHollows(ground, surface, drained, before, choices, options), before }
}

/** The least earth, in m³, that has to go so that a pit drains at its own height: over all ways to an outlet, relaxed until nothing changes. */
function leastEarth(ground: ElevationGrid, pit: number, deepest_m = Number.POSITIVE_INFINITY): number {
  const z = ground.data
  const earth = new Float64Array(z.length).fill(Number.POSITIVE_INFINITY)
  earth[pit] = 0
  for (let changed = true; changed; ) {
    changed = false
    for (const cell of z.keys()) {
      if (earth[cell] === Number.POSITIVE_INFINITY) continue
      for (const { cell: to } of neighboursOf(ground, cell)) {
        const depth = Math.max(0, z[to]! - z[pit]!)
        if (depth > deepest_m || earth[cell]! + depth >= earth[to]!) continue
        earth[to] = earth[cell]! + depth
        changed = true
      }
    }
  }
  return Math.min(...outletsOf(ground).map(cell => earth[cell]!))
}

/** For each cell the least earth above a pit's height and, of as cheap ways, the fewest fifths of a cell on the way to it; ways end where water runs on. */
function bestWays(ground: ElevationGrid, pit: number): { ends: number[]; isAsGood: (cell: number, from: number) => boolean } {
  const z = ground.data
  const surface = filled(ground).data
  const rim = new Set(outletsOf(ground))
  const runsOn = (cell: number): boolean => rim.has(cell) || surface[cell]! <= z[pit]!
  const best = new Map<number, readonly [earth: number, far: number]>([[pit, [0, 0]]])
  const onward = (cell: number): { to: number; way: readonly [earth: number, far: number] }[] => {
    const way = best.get(cell)
    if (!way || runsOn(cell)) return []
    return neighboursOf(ground, cell).map(({ cell: to, away }) => ({
      to,
      way: [way[0] + Math.max(0, z[to]! - z[pit]!), way[1] + (away === 1 ? 5 : 7)] as const,
    }))
  }
  for (let changed = true; changed; ) {
    changed = false
    for (const cell of z.keys())
      for (const { to, way } of onward(cell)) {
        const known = best.get(to)
        if (known && (way[0] > known[0] || (way[0] === known[0] && way[1] >= known[1]))) continue
        best.set(to, way)
        changed = true
      }
  }
  const reached = [...best.keys()].filter(runsOn)
  const [earth, far] = reached.map(cell => best.get(cell)!).sort((a, b) => a[0] - b[0] || a[1] - b[1])[0]!
  return {
    ends: reached.filter(cell => best.get(cell)![0] === earth && best.get(cell)![1] === far),
    isAsGood: (cell, from) => onward(from).some(({ to, way }) => to === cell && String(way) === String(best.get(cell))),
  }
}

describe('one cut', () => {
  const anyGround = fc.oneof(anyDice({ most: 9, high: 6 }), anyTerrain({ most: 14 }))

  test('oracle: no way to an outlet moves less earth than the cut', () =>
    fc.assert(
      fc.property(anyGround, fc.nat(), (ground, which) => {
        const pits = pitsOf(ground)
        if (pits.length === 0) return
        const pit = pits[which % pits.length]!
        const cut = carving(ground, filled(ground)).cutFrom(pit) as Cut
        expect(cut.volume_m3).toBeCloseTo(leastEarth(ground, pit), 9)
      }),
      { numRuns: 300 },
    ))

  test('oracle: of the cheapest ways it takes a shortest one, of ends as near a lowest one; and says whether another would be as good', () =>
    fc.assert(
      fc.property(anyGround, fc.nat(), (ground, which) => {
        const pits = pitsOf(ground)
        if (pits.length === 0) return
        const pit = pits[which % pits.length]!
        const { ends, isAsGood } = bestWays(ground, pit)
        const lowest = Math.min(...ends.map(cell => ground.data[cell]!))
        const lowestEnds = ends.filter(cell => ground.data[cell] === lowest)
        const { path, tied } = carving(ground, filled(ground)).cutFrom(pit) as Cut
        expect(lowestEnds).toContain(path[path.length - 1])
        for (const [k, cell] of path.slice(1).entries()) expect(isAsGood(cell, path[k]!)).toBe(true)
        const waysIn = path.slice(1).map(cell => [...ground.data.keys()].filter(from => isAsGood(cell, from)).length)
        expect(tied).toBe(lowestEnds.length > 1 || waysIn.some(ways => ways > 1))
      }),
      { numRuns: 300 },
    ))

  test('oracle: with a deepest cut, the least earth within it; and “too deep” exactly where there is no such way', () =>
    fc.assert(
      fc.property(anyGround, fc.nat(), fc.double({ min: 0.1, max: 4, noNaN: true }), (ground, which, deepest_m) => {
        const pits = pitsOf(ground)
        if (pits.length === 0) return
        const pit = pits[which % pits.length]!
        const least = leastEarth(ground, pit, deepest_m)
        const cut = carving(ground, filled(ground), { deepest_m }).cutFrom(pit)
        if (least === Number.POSITIVE_INFINITY) expect(cut).toBe('cut/too-deep')
        else {
          expect((cut as Cut).volume_m3).toBeCloseTo(least, 9)
          expect((cut as Cut).deepest_m).toBeLessThanOrEqual(deepest_m)
        }
      }),
      { numRuns: 200 },
    ))

  test('laws: only cells on the path change, to the pit’s height; the pit fills no more; no new pit appears; its numbers are those of its cells', () =>
    fc.assert(
      fc.property(anyGround, fc.nat(), (ground, which) => {
        const pits = pitsOf(ground)
        if (pits.length === 0) return
        const pit = pits[which % pits.length]!
        const floor = ground.data[pit]!
        const work = carving(ground, filled(ground))
        const cut = work.cutFrom(pit) as Cut
        const path = new Set(cut.path)
        const lowered = new Set(cut.lowered)
        let volume = 0
        let deepest = 0
        for (const [cell, z] of work.data.entries()) {
          const was = ground.data[cell]!
          if (Number.isNaN(was)) continue
          expect(z).toBe(path.has(cell) ? Math.min(was, floor) : was)
          expect(z < was).toBe(lowered.has(cell))
          volume += was - z
          deepest = Math.max(deepest, was - z)
        }
        expect(cut.volume_m3).toBeCloseTo(volume, 9)
        expect(cut.deepest_m).toBe(deepest)
        const carved = { ...ground, data: work.data }
        expect(fillByRelaxation(carved)[pit]).toBe(floor)
        expect(pits).toEqual(expect.arrayContaining(pitsOf(carved)))
        expect(pitsOf(carved)).not.toContain(pit)
        // Each cell of the path lies beside the one before.
        cut.path.slice(1).forEach((cell, k) => {
          expect(neighboursOf(ground, cell).map(n => n.cell)).toContain(cut.path[k])
        })
        expect(cut.path[0]).toBe(pit)
        expect(cut.atRim).toBe(outletsOf(ground).includes(cut.path[cut.path.length - 1]!))
      }),
      { numRuns: 200 },
    ))

  test('what is undone is as it was, and can be cut again', () =>
    fc.assert(
      fc.property(anyGround, ground => {
        const pits = pitsOf(ground)
        const work = carving(ground, filled(ground))
        const first = pits.map(pit => work.cutFrom(pit))
        const once = [...work.data]
        for (const _ of pits) work.undo()
        expect([...work.data]).toEqual([...ground.data])
        expect(pits.map(pit => work.cutFrom(pit))).toEqual(first)
        expect([...work.data]).toEqual(once)
      }),
    ))

  test('a walled pit is cut through its notch [Lindsay 2016, by hand]; the length is that of the steps through earth', () => {
    const ground = elevationGrid([
      [0, 0, 0, 0, 0, 0],
      [0, 9, 9, 9, 9, 0],
      [0, 9, 1, 1, 6, 0],
      [0, 9, 1, 1, 9, 0],
      [0, 9, 9, 9, 9, 0],
      [0, 0, 0, 0, 0, 0],
    ])
    const work = carving(ground, filled(ground))
    expect(work.cutFrom(14)).toEqual({
      path: [14, 15, 16, 17],
      lowered: [16],
      volume_m3: 5,
      deepest_m: 5,
      length_m: 2,
      atRim: true,
      tied: false,
    })
  })

  test('of ends that cost the same earth the nearer counts, the first cell of the raster too, however low the other', () => {
    const ground = elevationGrid([
      [0, 9, 9, 9, 9, 9],
      [9, 2, 9, 9, 9, 9],
      [9, 9, 1, 1.75, 1.25, 9],
      [9, 9, 9, 9, 9, -1],
    ])
    expect(carving(ground, filled(ground)).cutFrom(14)).toMatchObject({ path: [14, 7, 0], lowered: [7], volume_m3: 1 })
  })

  test('a cheap long way is refused as too long even where a short dear one would do; earth decides first', () => {
    // North: three cells of 2 m over the pit. South: one of 9.
    const ground = elevationGrid([
      [20, 20, 0, 20, 20],
      [20, 20, 3, 20, 20],
      [20, 20, 3, 20, 20],
      [20, 20, 3, 20, 20],
      [20, 20, 1, 20, 20],
      [20, 20, 10, 20, 20],
      [20, 20, 0, 20, 20],
    ])
    const cut = (limits: CutLimits) => carving(ground, filled(ground), limits).cutFrom(22)
    expect(cut({})).toMatchObject({ volume_m3: 6, deepest_m: 2, length_m: 4, tied: false })
    expect(cut({ longest_m: 4 })).toMatchObject({ volume_m3: 6 })
    expect(cut({ longest_m: 3 })).toBe('cut/too-long')
    expect(cut({ deepest_m: 1.5 })).toBe('cut/too-deep')
  })
})

describe('hollows carved by choice', () => {
  test('law: where every hollow is carved nothing fills any more, and no ground is higher than it was', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12, high: 6 }), anyTerrain({ most: 25 })), ground => {
        const { ground: carved, outcomes } = treat(ground, () => 'carve')
        expect(outcomes.every(o => o.done === 'carve' && o.because === null)).toBe(true)
        expect([...fillByRelaxation(carved)]).toEqual([...carved.data])
        const touched = new Set(outcomes.flatMap(o => o.cuts.flatMap(cut => cut.lowered)))
        for (const [cell, z] of ground.data.entries())
          if (!Number.isNaN(z)) expect(touched.has(cell) ? carved.data[cell]! < z : carved.data[cell] === z).toBe(true)
        expect(pitsOf(carved)).toEqual([])
      }),
      { numRuns: 200 },
    ))

  test('law: what is chosen drains, the pits of the rest are no new ones, and no hollow gets deeper', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12, high: 6 }), anyTerrain({ most: 25 })), fc.integer({ min: 2, max: 4 }), (ground, every) => {
        const { ground: carved, before, outcomes } = treat(ground, k => (k % every === 0 ? 'carve' : null))
        const surface = fillByRelaxation(carved)
        const wasFull = fillByRelaxation(ground)
        for (const { hollow } of outcomes) expect(surface[before[hollow]!.deepest]).toBe(carved.data[before[hollow]!.deepest])
        expect(pitsOf(ground)).toEqual(expect.arrayContaining(pitsOf(carved)))
        for (const [cell, level] of surface.entries()) if (!Number.isNaN(level)) expect(level).toBeLessThanOrEqual(wasFull[cell]!)
      }),
    ))

  test('law: a kept hollow stays as deep as it was, and holds its water', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12, high: 6 }), anyTerrain({ most: 25 })), fc.integer({ min: 2, max: 3 }), (ground, every) => {
        const { ground: carved, keep, before, outcomes } = treat(ground, k => (k % every === 0 ? 'keep' : 'carve'))
        const brimful = fillByRelaxation(carved)
        const drained = drainage(carved, { keep })
        const open = filledSurface(carved, drained)
        for (const { choice, done, hollow } of outcomes) {
          const { deepest, rim_m } = before[hollow]!
          if (choice.treatment === 'keep') {
            expect(done).toBe('keep')
            expect(brimful[deepest]).toBe(rim_m)
            expect(keep).toContain(drained.basins.pit[drained.basin[deepest]!])
            expect(open.data[deepest]).toBe(ground.data[deepest])
          } else if (done === 'carve') expect(open.data[deepest]).toBe(carved.data[deepest])
        }
        expect(keep.every(pit => carved.data[pit] === ground.data[pit])).toBe(true)
      }),
    ))

  test('law: cells that no cut may enter keep their height', () =>
    fc.assert(
      fc.property(anyDice({ most: 10, high: 6 }), fc.integer({ min: 2, max: 5 }), (ground, every) => {
        const uncut = [...ground.data.keys()].filter(cell => cell % every === 0)
        const { ground: carved } = treat(ground, () => 'carve', { uncut })
        expect(uncut.map(cell => carved.data[cell])).toEqual(uncut.map(cell => ground.data[cell]))
      }),
    ))

  test('the order of the choices does not matter, nor which cell of a hollow they name', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 25 })), fc.integer({ min: 1, max: 1000 }), (ground, seed) => {
        const drained = drainage(ground)
        const surface = filledSurface(ground, drained)
        const before = hollows(ground, surface, drained)
        const wet = [...ground.data.keys()].filter(cell => surface.data[cell]! - ground.data[cell]! > 1e-6)
        const choose = (cell: number): HollowChoice => ({
          at: cellCentre(ground.geometry, cell),
          treatment: cell % 3 === 0 ? 'keep' : 'carve',
        })
        const one = wet.filter((_, k) => k % 5 === seed % 5).map(choose)
        const other = [...one].reverse()
        const [a, b] = [one, other].map(choices => treatHollows(ground, surface, drained, before, choices))
        expect([...b!.ground.data]).toEqual([...a!.ground.data])
        expect(b!.keep).toEqual(a!.keep)
        expect([...b!.outcomes].reverse()).toEqual(a!.outcomes)
      }),
    ))

  test('off ties a turned or mirrored raster is carved turned, bit for bit', () => {
    let compared = 0
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 25 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const plain = treat(ground, () => 'carve')
        const after = treat(turned(ground, symmetry), () => 'carve')
        if (plain.outcomes.some(o => o.cuts.some(cut => cut.tied))) return
        compared++
        expect([...after.ground.data]).toEqual([...turned(plain.ground, symmetry).data])
      }),
      { numRuns: 150 },
    )
    expect(compared).toBeGreaterThan(100)
  })

  test('limits: a hollow is carved from all its pits or stays filled, and says why', () => {
    const ground = elevationGrid([
      [20, 20, 20, 20, 20, 20, 20],
      [20, 1, 4, 3, 5, 0, 0],
      [20, 20, 20, 20, 20, 20, 20],
    ])
    expect(treat(ground, () => 'carve', { deepest_m: 4 }).outcomes).toMatchObject([
      { done: 'carve', because: null, cuts: [{ lowered: [9, 10, 11], volume_m3: 3 + 2 + 4 }, { lowered: [] }] },
    ])
    const deep = treat(ground, () => 'carve', { deepest_m: 3 })
    expect(deep.outcomes).toMatchObject([{ done: 'fill', because: 'cut/too-deep', cuts: [] }])
    expect(deep.ground).toBe(ground)
    expect(treat(ground, () => 'carve', { longest_m: 3 }).outcomes).toMatchObject([{ done: 'fill', because: 'cut/too-long' }])
    expect(treat(ground, () => 'carve', { uncut: [4, 11, 18] }).outcomes).toMatchObject([{ done: 'carve' }])
    const border = [...ground.data.keys()].filter(cell => cell < 8 || cell > 12)
    expect(treat(ground, () => 'carve', { uncut: [11, ...border] }).outcomes).toMatchObject([{ done: 'fill', because: 'cut/barred' }])
  })

  test('a place in no hollow, one off the raster, and rival choices are reported', () => {
    const ground = elevationGrid([
      [9, 9, 9, 9, 9],
      [9, 1, 2, 9, 0],
      [9, 9, 9, 9, 9],
    ])
    const drained = drainage(ground)
    const surface = filledSurface(ground, drained)
    const before = hollows(ground, surface, drained)
    const choice = (x: number, y: number, treatment: HollowTreatment): HollowChoice => ({ at: [x, y], treatment })
    const {
      ground: same,
      keep,
      outcomes,
    } = treatHollows(ground, surface, drained, before, [
      choice(4.5, 1.5, 'carve'),
      choice(99, 99, 'carve'),
      choice(1.5, 1.5, 'carve'),
      choice(2.5, 1.5, 'keep'),
      choice(1.2, 1.2, 'fill'),
    ])
    expect(outcomes.map(o => [o.hollow, o.done, o.because])).toEqual([
      [-1, null, 'choice/no-hollow'],
      [-1, null, 'choice/no-hollow'],
      [0, 'keep', 'choice/overruled'],
      [0, 'keep', null],
      [0, 'keep', 'choice/overruled'],
    ])
    expect(keep).toEqual([6])
    expect(same).toBe(ground)
  })

  test('a kept pond is cut around: the hollow beside it drains the dear way, or stays filled', () => {
    const carveRight = (k: number, left: HollowTreatment | null): HollowTreatment | null => (k === 1 ? 'carve' : left)
    const apart = elevationGrid([
      [20, 20, 20, 20, 20, 20, 20],
      [6, 1, 1, 7, 5, 9, 2],
      [20, 20, 20, 20, 20, 20, 20],
    ])
    // The pond at 1 spills west at 6; the pit at 5 spills into it at 7. Cheapest is through the bar and the pond's own lip.
    expect(treat(apart, k => carveRight(k, null)).outcomes[0]!.cuts[0]).toMatchObject({ lowered: [10, 7] })
    expect(treat(apart, k => carveRight(k, 'keep')).outcomes[1]!.cuts[0]).toMatchObject({ lowered: [12] })
    expect(treat(apart, k => carveRight(k, 'keep'), { deepest_m: 3 }).outcomes[1]).toMatchObject({ done: 'fill', because: 'cut/too-deep' })
  })
})
