import fc from 'fast-check'
import {
  type Culvert,
  contributingAreaSingle,
  drainage,
  filledSurface,
  type HollowChoice,
  SINK,
  type StudyOptions,
  studyWater,
  type Wall,
  withDrawnWorks,
} from 'soakline/hydrology'
import { cellAt, cellCentre, type ElevationGrid, elevationGrid, neighbourOffsets, type Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { atLeast, atMost, same } from '../../../../tests/helpers/in-each-cell.js'
import { fillByRelaxation } from '../../../../tests/helpers/slow-oracles.js'
import { gridOf, SYMMETRIES, turned, turning, vValley } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 32, numRuns: cases() })

/** Lines within a raster of at least 20 × 20 cells of 1 m, vertices on quarter cells; two to four. */
const anyPath = fc.array(
  fc.tuple(
    fc.integer({ min: 4, max: 76 }).map(n => n / 4),
    fc.integer({ min: 4, max: 76 }).map(n => n / 4),
  ),
  { minLength: 2, maxLength: 4 },
) as fc.Arbitrary<Point[]>
const anyWalls: fc.Arbitrary<Wall[]> = fc.array(fc.record({ path: anyPath, height_m: fc.constantFrom(0.25, 1, 3.5) }), { maxLength: 3 })
const ground20 = anyTerrain({ kinds: ['smooth', 'rough', 'lakes', 'decimetres', 'metres', 'level'], least: 20, most: 24 })

describe('walls', () => {
  test('law: every cell that a wall crosses rises by its height, the higher where two cross; no other cell changes', () =>
    fc.assert(
      fc.property(ground20, anyWalls, (ground, walls) => {
        const { ground: walled, changes } = withDrawnWorks(ground, { walls })
        const rise = new Map<number, number>()
        changes.forEach(change => {
          for (const cell of change.cells) rise.set(cell, Math.max(rise.get(cell) ?? 0, walls[change.index]!.height_m))
        })
        for (const [cell, z] of ground.data.entries()) same(walled.data[cell], Math.fround(z + (rise.get(cell) ?? 0)))
        walls.forEach(({ path }, k) => {
          for (const [x, y] of path) expect(changes[k]!.cells).toContain(cellAt(ground.geometry, x, y))
        })
        const put = changes.reduce((sum, change) => sum + change.volume_m3, 0)
        let added = 0
        for (const [cell, z] of walled.data.entries()) added += z - ground.data[cell]!
        // Walls of one height that cross share cells, which both name.
        expect(put).toBeGreaterThanOrEqual(added - 1e-6)
        if (walls.length < 2) expect(put).toBeCloseTo(added, 6)
      }),
    ))

  test('a wall across a slope holds its water back: it stands behind, or goes round its ends, never through', () => {
    for (const slant of [0, 0.5, 1, 2, -1]) {
      const slope = gridOf(30, 30, 1, (_, y) => 50 + 0.1 * y)
      const path: Point[] = [
        [6, 15 - 6 * slant],
        [24, 15 + 6 * slant],
      ]
      const { ground, changes } = withDrawnWorks(slope, { walls: [{ path, height_m: 30 }] })
      const wall = new Set(changes[0]!.cells)
      const { direction } = drainage(ground)
      const offsets = neighbourOffsets(30)
      for (let start = 0; start < direction.length; start++) {
        if (wall.has(start)) continue
        for (let cell = start; direction[cell]! < 8; cell += offsets[direction[cell]!]!) same(wall.has(cell), false)
      }
    }
  })

  test('regression: a wall whose vertex is a cell’s corner lets nothing through there', () => {
    const channel = gridOf(9, 9, 1, (_, y) => 10 + y)
    const path: Point[] = [
      [-1, 7.2],
      [5, 4],
      [10, 1.3],
    ]
    const { ground } = withDrawnWorks(channel, { walls: [{ path, height_m: 100 }] })
    const filled = fillByRelaxation(ground)
    const { direction } = drainage(ground)
    expect(filled.length).toBe(81)
    const offsets = neighbourOffsets(9)
    // From the northern side no way leads to the southern border: all leaves by the sides or the north.
    for (let start = 0; start < 9; start++) {
      let cell = start
      while (direction[cell]! < 8) cell += offsets[direction[cell]!]!
      expect(Math.floor(cell / 9)).toBeLessThan(8)
    }
  })
})

describe('culverts', () => {
  const anyCulvert: fc.Arbitrary<Culvert> = anyPath.map(path => ({ path }))

  test('laws: only cells on the line are lowered, to a floor that never rises on its way down, no deeper than the lower end', () =>
    fc.assert(
      fc.property(ground20, anyCulvert, (ground, culvert) => {
        const z = ground.data
        const { ground: opened, changes } = withDrawnWorks(ground, { culverts: [culvert] })
        const [{ cells, changed, volume_m3 }] = changes as [(typeof changes)[0]]
        const [first, last] = [culvert.path[0]!, culvert.path[culvert.path.length - 1]!].map(([x, y]) => cellAt(ground.geometry, x, y))
        const [upper, lower] = [Math.max(z[first!]!, z[last!]!), Math.min(z[first!]!, z[last!]!)]
        expect(z[cells[0]!]).toBe(upper)
        // One that comes back to the cell where it began is level.
        if (first !== last) expect(z[cells[cells.length - 1]!]).toBe(lower)
        let removed = 0
        let floor = Number.POSITIVE_INFINITY
        for (const [k, cell] of cells.entries()) {
          const pipe = upper - (upper - lower) * (k / Math.max(1, cells.length - 1))
          same(opened.data[cell], Math.fround(Math.min(z[cell]!, pipe)))
          if (z[cell]! >= pipe) {
            atMost(opened.data[cell], floor)
            floor = opened.data[cell]!
          }
        }
        for (const [cell, height] of opened.data.entries()) {
          same(height < z[cell]!, changed.includes(cell))
          atMost(height, z[cell]!)
          atLeast(height, Math.min(z[cell]!, lower))
          removed += z[cell]! - height
        }
        expect(volume_m3).toBeCloseTo(removed, 6)
      }),
    ))

  test('given floors count at both ends, from whichever end the line is drawn', () => {
    const bank = elevationGrid([[3, 5, 9, 9, 9, 5, 2]])
    const path: Point[] = [
      [0.5, 0.5],
      [6.5, 0.5],
    ]
    const open = (culvert: Culvert): number[] => [...withDrawnWorks(bank, { culverts: [culvert] }).ground.data]
    expect(open({ path, firstInvert_m: 2.5, lastInvert_m: 1 })).toEqual([2.5, 2.25, 2, 1.75, 1.5, 1.25, 1])
    expect(open({ path: [...path].reverse(), firstInvert_m: 1, lastInvert_m: 2.5 })).toEqual([2.5, 2.25, 2, 1.75, 1.5, 1.25, 1])
    expect(open({ path: [path[0]!, [4.5, 0.5]], lastInvert_m: 3 })).toEqual([3, 3, 3, 3, 3, 5, 2])
    // Level where both ends are; ground under the pipe stays.
    expect([...withDrawnWorks(elevationGrid([[3, 9, 1, 9, 3]]), { culverts: [{ path: [path[0]!, [4.5, 0.5]] }] }).ground.data]).toEqual([
      3, 3, 1, 3, 3,
    ])
  })

  test('regression: ground that falls as the pipe does, but for the last digit of its heights, is not said to be changed', () => {
    // Between 0.4 and 0.2 m as float32 the middle lies 7·10⁻⁹ m below float32’s 0.3 m.
    const even = elevationGrid([[0.4, 0.3, 0.2]])
    const found = withDrawnWorks(even, {
      culverts: [
        {
          path: [
            [0.5, 0.5],
            [2.5, 0.5],
          ],
        },
      ],
    })
    expect(found.changes).toMatchObject([{ cells: [0, 1, 2], changed: [], volume_m3: 0 }])
    expect(found.ground).toBe(even)
  })

  test('a culvert passes under a wall; its ends’ heights are those of the ground, not of the wall', () => {
    const bank = elevationGrid([[4, 4, 4, 4, 4, 4, 2]])
    const { ground, changes, walled } = withDrawnWorks(bank, {
      walls: [
        {
          path: [
            [0.5, 0.5],
            [3.5, 0.5],
          ],
          height_m: 2,
        },
      ],
      culverts: [
        {
          path: [
            [2.5, 0.5],
            [6.5, 0.5],
          ],
        },
      ],
    })
    expect([...ground.data]).toEqual([6, 6, 4, 3.5, 3, 2.5, 2])
    expect(walled).toEqual([0, 1])
    expect(changes).toEqual([
      { kind: 'culvert', index: 0, cells: [2, 3, 4, 5, 6], changed: [2, 3, 4, 5], volume_m3: 2 + 2.5 + 1 + 1.5 },
      { kind: 'wall', index: 0, cells: [0, 1, 2, 3], changed: [0, 1], volume_m3: 4 },
    ])
  })
})

describe('what is drawn', () => {
  const anyWorks = fc.record({
    walls: anyWalls,
    culverts: fc.array(
      anyPath.map((path): Culvert => ({ path })),
      { maxLength: 3 },
    ),
  })

  test('the order of drawing does not matter, nor from which end; what is not drawn changes nothing', () =>
    fc.assert(
      fc.property(ground20, anyWorks, (ground, { walls, culverts }) => {
        const backwards = <T extends { path: readonly Point[] }>(works: T[]): T[] =>
          works.map(w => ({ ...w, path: [...w.path].reverse() })).reverse()
        const { ground: one } = withDrawnWorks(ground, { walls, culverts })
        // A culvert level from end to end, or one that crosses itself, is numbered from where it was begun.
        const { ground: other } = withDrawnWorks(ground, { walls: backwards(walls), culverts: [...culverts].reverse() })
        expect([...other.data]).toEqual([...one.data])
        expect(withDrawnWorks(ground, {}).ground).toBe(ground)
      }),
    ))

  test('a turned raster with turned works gives the turned ground, lines off the grid’s own lines', () =>
    fc.assert(
      fc.property(
        anyTerrain({ kinds: ['smooth', 'rough', 'metres'], least: 20, most: 24 }),
        anyWorks,
        fc.constantFrom(...SYMMETRIES),
        (ground, works, symmetry) => {
          const { width, height } = ground.geometry
          // Off quarter cells, so that no line runs along a grid line or through a corner.
          const nudge = (path: readonly Point[]): Point[] => path.map(([x, y], k) => [x + 0.0131 + 0.0071 * k, y + 0.0173 + 0.0043 * k])
          const size = turning(width, height, symmetry)
          const turn = ([x, y]: Point): Point => {
            const [c, r] = [symmetry & 1 ? width - x : x, symmetry & 2 ? y : height - y]
            return symmetry >= 4 ? [r, size.height - c] : [c, size.height - r]
          }
          const flat = {
            walls: works.walls.map(w => ({ ...w, path: nudge(w.path) })),
            culverts: works.culverts.map(c => ({ path: nudge(c.path) })),
          }
          const moved = {
            walls: flat.walls.map(w => ({ ...w, path: w.path.map(turn) })),
            culverts: flat.culverts.map(c => ({ path: c.path.map(turn) })),
          }
          const plain = withDrawnWorks(ground, flat).ground
          expect([...withDrawnWorks(turned(ground, symmetry), moved).ground.data]).toEqual([...turned(plain, symmetry).data])
        },
      ),
    ))

  test('voids stay voids and are left out', () => {
    const gap = elevationGrid([[5, Number.NaN, 7, 4]])
    const line: Point[] = [
      [0.5, 0.5],
      [3.5, 0.5],
    ]
    expect([...withDrawnWorks(gap, { walls: [{ path: line, height_m: 1 }] }).ground.data]).toEqual([6, Number.NaN, 8, 5])
    const { ground, changes } = withDrawnWorks(gap, { culverts: [{ path: line }] })
    expect([...ground.data]).toEqual([5, Number.NaN, 4.5, 4])
    expect(changes[0]!.cells).toEqual([0, 2, 3])
  })

  test('refusals', () => {
    const ground = elevationGrid([[1, 2, Number.NaN]])
    const line: Point[] = [
      [0.5, 0.5],
      [1.5, 0.5],
    ]
    const code = (works: Parameters<typeof withDrawnWorks>[1]): unknown => {
      try {
        withDrawnWorks(ground, works)
      } catch (error) {
        return (error as { code: unknown }).code
      }
      return null
    }
    expect(code({ culverts: [{ path: [[0.5, 0.5]] }] })).toBe('culvert/too-short')
    expect(
      code({
        culverts: [
          {
            path: [
              [0.5, 0.5],
              [2.5, 0.5],
            ],
          },
        ],
      }),
    ).toBe('culvert/end-without-ground')
    expect(
      code({
        culverts: [
          {
            path: [
              [0.5, 0.5],
              [9, 0.5],
            ],
          },
        ],
      }),
    ).toBe('culvert/end-without-ground')
    expect(code({ culverts: [{ path: line, firstInvert_m: Number.NaN }] })).toBe('culvert/invert')
    expect(code({ walls: [{ path: [], height_m: 1 }] })).toBe('wall/too-short')
    for (const height_m of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(code({ walls: [{ path: line, height_m }] })).toBe('wall/height')
    expect(code({ walls: [{ path: line, height_m: 1 }], culverts: [{ path: line }] })).toBe(null)
  })
})

describe('a study of a ground with works and choices', () => {
  /** A valley that falls south at 10 %, a road on a bank across it, a house pad's worth of pit on the valley's side. */
  const valley = vValley(180, 0.15, 0.1, [40, 40])
  const road: ElevationGrid = gridOf(80, 80, 1, (x, y) => {
    const pit = Math.hypot(x - 20, y - 60) < 3 ? 1.2 : 0
    return Math.max(valley(x, y) - pit, 102.5 - Math.max(0, Math.abs(y - 40) - 2) / 2)
  })
  const areaAt = (options: StudyOptions, cell: number): number => contributingAreaSingle(studyWater(road, options).drained).data[cell]!

  test('without options it is the study of the very ground handed in', () => {
    const study = studyWater(road)
    expect([study.ground, study.surveyed]).toEqual([road, road])
    expect(study.ground).toBe(study.surveyed)
    expect(study.brimful).toBe(study.filled)
    expect(study.hollowsBefore).toBe(study.hollows)
    expect([study.drawn, study.outcomes]).toEqual([[], []])
  })

  test('failure 69: the proposed culvert, drawn, empties the hollow behind the road and sends its catchment under it', () => {
    const study = studyWater(road)
    const place = study.culvertPlaces[0]!
    const behind = study.hollows[place.hollow]!
    expect(behind.guess).toEqual({ is: 'unsure', because: 'embankment' })
    const [from, to] = [place.from, place.to].map(cell => cellCentre(road.geometry, cell))
    const opened = studyWater(road, { culverts: [{ path: [from!, to!] }] })
    expect(opened.drawn).toMatchObject([{ kind: 'culvert', index: 0 }])
    expect(opened.drawn[0]!.volume_m3).toBeGreaterThan(5)
    // Its ends lie within 0.2 m of the hollow's floor, so no deeper puddle is left.
    expect(opened.filled.data[behind.deepest]! - opened.ground.data[behind.deepest]!).toBeLessThanOrEqual(0.2)
    expect(Math.max(...opened.hollows.map(h => h.volume_m3))).toBeLessThan(behind.volume_m3 / 10)
    expect(opened.surveyed).toBe(road)
    // The valley above the road, 80 m wide and some 35 m long, ran over the bank's lowest place before.
    expect(areaAt({}, place.to)).toBeLessThan(100)
    expect(areaAt({ culverts: [{ path: [from!, to!] }] }, place.to)).toBeGreaterThan(2500)
  })

  test('carved, kept, filled: the ground changes, the water stays, nothing happens; the inventory says what there was', () => {
    const { hollows } = studyWater(road)
    const choose = (...treatments: HollowChoice['treatment'][]): HollowChoice[] =>
      treatments.map((treatment, k) => ({ at: cellCentre(road.geometry, hollows[k]!.deepest), treatment }))
    const study = studyWater(road, { hollows: choose('keep', 'carve') })
    expect(study.outcomes.map(o => [o.hollow, o.done, o.because])).toEqual([
      [0, 'keep', null],
      [1, 'carve', null],
    ])
    expect(study.hollowsBefore).toEqual(hollows)
    expect(study.hollows.map(h => h.deepest)).toEqual(hollows.filter((_, k) => k !== 1).map(h => h.deepest))
    expect(study.filled.data[hollows[0]!.deepest]).toBe(road.data[hollows[0]!.deepest])
    expect(study.brimful.data[hollows[0]!.deepest]).toBe(hollows[0]!.rim_m)
    expect(study.drained.direction[study.drained.basins.pit[study.drained.basin[hollows[0]!.deepest]!]!]).toBe(SINK)
    expect(study.drained).toEqual(drainage(study.ground, { keep: [hollows[0]!.deepest] }))
    const plain = studyWater(road, { hollows: choose('fill', 'fill') })
    expect(plain.ground).toBe(road)
    expect(plain.drained).toEqual(studyWater(road).drained)
  })

  test('cells to keep work as they did, and no cut drains them', () => {
    const { hollows } = studyWater(road)
    const kept = studyWater(road, { keep: [hollows[0]!.deepest] })
    expect(kept.drained).toEqual(drainage(road, { keep: [hollows[0]!.deepest] }))
    expect(kept.filled).toEqual(filledSurface(road, kept.drained))
    const both = studyWater(road, {
      keep: [hollows[0]!.deepest],
      hollows: [{ at: cellCentre(road.geometry, hollows[0]!.deepest), treatment: 'carve' }],
    })
    expect(both.outcomes).toMatchObject([{ done: 'keep', because: 'choice/overruled' }])
    expect(both.ground).toBe(road)
  })

  test('no cut goes through a wall', () => {
    const { hollows } = studyWater(road)
    const carve: HollowChoice[] = [{ at: cellCentre(road.geometry, hollows[0]!.deepest), treatment: 'carve' }]
    const wall: Wall = {
      path: [
        [0.5, 40.5],
        [79.5, 40.5],
      ],
      height_m: 0.2,
    }
    const free = studyWater(road, { hollows: carve })
    const barred = studyWater(road, { hollows: carve, walls: [wall] })
    const crest = [...Array(80).keys()].map(column => 39 * 80 + column)
    expect(free.outcomes[0]!.cuts[0]!.lowered.some(cell => crest.includes(cell))).toBe(true)
    expect(barred.outcomes.every(o => o.cuts.every(cut => cut.lowered.every(cell => !barred.drawn[0]!.cells.includes(cell))))).toBe(true)
  })

  test('law: studying what a study carved, with nothing chosen, finds its hollows and nothing else', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 24 }), fc.integer({ min: 1, max: 3 }), (ground, every) => {
        const { hollows } = studyWater(ground)
        const study = studyWater(ground, {
          hollows: hollows.flatMap(({ deepest }, k): HollowChoice[] =>
            k % every === 0 ? [{ at: cellCentre(ground.geometry, deepest), treatment: 'carve' }] : [],
          ),
        })
        const again = studyWater(study.ground)
        expect(again.hollows).toEqual(study.hollows)
        expect(again.drained).toEqual(study.drained)
        expect([...study.filled.data]).toEqual([...fillByRelaxation(study.ground)])
      }),
      { numRuns: 60 },
    ))
})
