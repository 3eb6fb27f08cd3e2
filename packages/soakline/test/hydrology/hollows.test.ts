import fc from 'fast-check'
import {
  culvertPlaces,
  drainage,
  filledSurface,
  guessHollow,
  type Hollow,
  type HollowInventory,
  hollowCells,
  hollowInventory,
  hollowTree,
  type InnerHollow,
  innermostHolding,
} from 'soakline/hydrology'
import { cellCentre, distance_m, type ElevationGrid, elevationGrid, type Grid, rimCells } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { neighboursOf, outletsOf } from '../../../../tests/helpers/slow-oracles.js'
import { gridOf, reshaped, SYMMETRIES, TIE_FREE, turned, vValley } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 31, numRuns: 100 })

const inventory = (ground: ElevationGrid, elevationError_m?: number): HollowInventory & { filled: Grid<'filled_m'> } => {
  const drained = drainage(ground)
  const filled = filledSurface(ground, drained)
  return { ...hollowInventory(ground, filled, drained, elevationError_m === undefined ? {} : { elevationError_m }), filled }
}

/** Cells joined to one, among those that a rule lets in. */
function flood(ground: ElevationGrid, start: number, holds: (cell: number) => boolean): Set<number> {
  const found = new Set([start])
  for (const cell of found) for (const to of neighboursOf(ground, cell)) if (holds(to.cell)) found.add(to.cell)
  return found
}

/**
 * Every hollow at every nesting by its definition: ground below a height, joined, from which nothing leads off the raster, and which at that height
 * meets an outlet or another such piece. As `height: first cell: cells`.
 */
function hollowsByDefinition(ground: ElevationGrid): string[] {
  const z = ground.data
  const outlets = new Set(outletsOf(ground))
  const found: string[] = []
  for (const height of new Set(z.filter(h => !Number.isNaN(h)))) {
    const pieces: Set<number>[] = []
    const pieceOf = new Map<number, number>()
    for (const cell of z.keys())
      if (z[cell]! < height && !pieceOf.has(cell)) {
        const piece = flood(ground, cell, to => z[to]! < height)
        for (const at of piece) pieceOf.set(at, pieces.length)
        pieces.push(piece)
      }
    for (const [k, piece] of pieces.entries()) {
      const cells = [...piece]
      if (cells.some(cell => outlets.has(cell))) continue
      const wider = [...flood(ground, cells[0]!, to => z[to]! <= height)]
      if (wider.some(cell => outlets.has(cell) || (pieceOf.get(cell) ?? k) !== k)) found.push(`${height}: ${cells[0]!}: ${cells.length}`)
    }
  }
  return found.sort()
}

const parts = (hollow: Hollow): (Hollow | InnerHollow)[] => [hollow, ...hollow.inner]

describe('hollows within hollows', () => {
  test('oracle: all nestings are those of the slow definition, each with its cells, depth and volume', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 9, high: 6 }), anyTerrain({ most: 14 })), ground => {
        const z = ground.data
        const ours = inventory(ground).hollows.flatMap(parts)
        const pieces = ours.map(h => [...flood(ground, h.deepest, to => z[to]! < h.rim_m)].sort((a, b) => a - b))
        expect(ours.map((h, k) => `${h.rim_m}: ${pieces[k]![0]}: ${h.cells}`).sort()).toEqual(hollowsByDefinition(ground))
        for (const [k, h] of ours.entries()) {
          const heights = pieces[k]!.map(cell => z[cell]!)
          expect(z[h.deepest]).toBe(Math.min(...heights))
          expect(h.depth_m).toBe(h.rim_m - Math.min(...heights))
          expect(h.volume_m3).toBeCloseTo(
            heights.reduce((sum, height) => sum + h.rim_m - height, 0),
            6,
          )
        }
      }),
      { numRuns: 250 },
    ))

  test('laws: a parent comes first, names its children, fills higher, holds more than its children together', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 16, high: 8 }), anyTerrain({ most: 30 })), ground => {
        for (const { inner, rim_m, cells, volume_m3 } of inventory(ground).hollows) {
          const whole = { rim_m, cells, volume_m3, children: inner.flatMap((part, k) => (part.parent < 0 ? [k] : [])) }
          expect(inner.length === 0 || whole.children.length > 1).toBe(true)
          inner.forEach((part, k) => {
            expect(part.parent).toBeLessThan(k)
            if (part.parent >= 0) expect(inner[part.parent]!.children).toContain(k)
            expect(part.children.length).not.toBe(1)
          })
          for (const above of [whole, ...inner]) {
            const below = above.children.map(k => inner[k]!)
            for (const part of below) expect(part.rim_m).toBeLessThan(above.rim_m)
            expect(below.reduce((sum, part) => sum + part.cells, 0)).toBeLessThanOrEqual(above.cells)
            if (below.length > 0) expect(below.reduce((sum, part) => sum + part.volume_m3, 0)).toBeLessThan(above.volume_m3)
          }
        }
      }),
    ))

  test('a turned or mirrored raster has the same hollows, ties or not', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 14 }), anyTerrain({ most: 25 })), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const sizes = (g: ElevationGrid): string[] =>
          inventory(g)
            .hollows.map(h => {
              const size = ({ cells, rim_m, depth_m, volume_m3 }: Hollow | InnerHollow): number[] => [cells, rim_m, depth_m, volume_m3]
              return JSON.stringify([size(h), h.touchesRim, h.floorCells, h.inner.map(size).sort()])
            })
            .sort()
        expect(sizes(turned(ground, symmetry))).toEqual(sizes(ground))
      }),
    ))

  test('law: the greatest volume comes first; of parts the one that fills highest, then the greatest; of equals the one whose deepest cell comes first', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 16, high: 8 }), anyTerrain({ most: 30 })), ground => {
        const z = ground.data
        const { hollows } = inventory(ground)
        const firstOf = (h: Hollow | InnerHollow): number =>
          Math.min(...[...flood(ground, h.deepest, to => z[to]! < h.rim_m)].filter(cell => z[cell] === z[h.deepest]))
        for (const h of hollows.flatMap(parts)) expect(h.deepest).toBe(firstOf(h))
        const inOrder = (list: readonly (readonly number[])[]): void => {
          for (let k = 1; k < list.length; k++) {
            const at = list[k]!.findIndex((n, i) => n !== list[k - 1]![i])
            expect(list[k]![at]).toBeLessThan(list[k - 1]![at]!)
          }
        }
        inOrder(hollows.map(h => [h.volume_m3, -h.deepest]))
        for (const { inner } of hollows) inOrder(inner.map(part => [part.rim_m, part.volume_m3, -part.deepest]))
      }),
      { numRuns: 300 },
    ))

  test('law: it spills from one of its own cells, or from its lip, at the height of its rim, to ground that is no part of it', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12, high: 6 }), anyTerrain({ most: 25 })), ground => {
        const { basin, basins } = drainage(ground)
        for (const h of inventory(ground).hollows) {
          const own = new Set([...flood(ground, h.deepest, to => ground.data[to]! < h.rim_m)].map(cell => basin[cell]!))
          const b = basin[h.spillCell]!
          expect(own).toContain(b)
          expect(basins.passInside[b]).toBe(h.spillCell)
          expect(basins.pass_m[b]).toBe(h.rim_m)
          expect(own).not.toContain(basins.next[b])
        }
      }),
    ))

  test('a hollow of exactly a micrometre is none; of twice that it is one', () => {
    const raised = (by: number): Grid<'filled_m'> => ({ ...elevationGrid([[by]]), quantity: 'filled_m' })
    expect(hollowCells(elevationGrid([[0]]), raised(2e-6), 0)).toEqual([0])
    expect(hollowCells(elevationGrid([[0]]), raised(0.5e-6), 0)).toEqual([])
  })

  test('the innermost hollow is the one that walking outwards finds, and finding it takes but few looks however deep they are nested', () => {
    const nested = 4096
    // Hollow n lies in hollow n + 1, which fills a metre higher; 0 is what has run away.
    const parent = Int32Array.from({ length: nested }, (_, n) => (n === 0 || n === nested - 1 ? -1 : n + 1))
    let looks = 0
    const level_m = new Proxy(
      Float64Array.from({ length: nested }, (_, n) => (n === 0 ? Number.NEGATIVE_INFINITY : n)),
      {
        get: (levels, name) => {
          looks++
          return levels[name as unknown as number]
        },
      },
    )
    const innermost = innermostHolding({ level_m, parent }, 1e-6)
    for (const z_m of [-1, 0.5, 1, 1.5, 2, 77.25, 1000, 2047.5, 4000.5, nested - 1.5]) {
      looks = 0
      expect(innermost(1, z_m)).toBe(Math.max(1, Math.floor(z_m) + 1))
      // Two for each step, and some three steps for each doubling.
      expect(looks).toBeLessThan(2 * 3 * Math.log2(nested))
    }
    expect(innermost(1, nested - 1)).toBe(-1)
    expect(innermost(1, nested)).toBe(-1)
    expect(innermost(0, -50)).toBe(-1)
  })

  test('three ponds behind bars of rising height: the tree says which fill together', () => {
    // Bars 4 and 6, lip 8 on the east.
    const ground = elevationGrid([
      [9, 9, 9, 9, 9, 9, 9, 9, 9],
      [9, 1, 4, 2, 6, 3, 8, 0, 9],
      [9, 9, 9, 9, 9, 9, 9, 0, 9],
    ])
    const [pond, ...others] = inventory(ground).hollows
    expect(others).toEqual([])
    expect(pond).toMatchObject({ deepest: 10, cells: 5, rim_m: 8, depth_m: 7, volume_m3: 7 + 4 + 6 + 2 + 5 })
    expect(pond!.inner).toEqual([
      { deepest: 10, cells: 3, area_m2: 3, volume_m3: 5 + 2 + 4, depth_m: 5, rim_m: 6, parent: -1, children: [2, 3] },
      { deepest: 14, cells: 1, area_m2: 1, volume_m3: 3, depth_m: 3, rim_m: 6, parent: -1, children: [] },
      { deepest: 10, cells: 1, area_m2: 1, volume_m3: 3, depth_m: 3, rim_m: 4, parent: 0, children: [] },
      { deepest: 12, cells: 1, area_m2: 1, volume_m3: 2, depth_m: 2, rim_m: 4, parent: 0, children: [] },
    ])
  })

  test('three ponds that meet at one height are three parts of one, not pairs', () => {
    const ground = elevationGrid([
      [9, 9, 9, 9, 9, 9, 9],
      [9, 1, 4, 2, 4, 3, 9],
      [9, 9, 9, 9, 9, 9, 9],
    ])
    const { basins } = drainage(ground)
    const { level_m, parent } = hollowTree(basins)
    expect([...level_m]).toEqual([Number.NEGATIVE_INFINITY, 4, 4, 4, 9])
    expect([...parent]).toEqual([-1, 4, 4, 4, -1])
  })

  test('the cells of a hollow are those that filling raises round a place; a dry place has none', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 20 })), ground => {
        const { hollows, filled } = inventory(ground)
        for (const h of hollows) {
          const cells = hollowCells(ground, filled, h.deepest)
          expect(cells).toHaveLength(h.cells)
          expect(cells.every(cell => ground.data[cell]! < h.rim_m && filled.data[cell] === h.rim_m)).toBe(true)
        }
        const dry = filled.data.findIndex((z, cell) => z === ground.data[cell])
        if (dry >= 0) expect(hollowCells(ground, filled, dry)).toEqual([])
      }),
    ))
})

describe('the raster’s rim', () => {
  test('law: touched exactly where the brimful water’s level reaches a rim cell without rise or fall', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 10 }), anyTerrain({ most: 18 })), ground => {
        const { hollows, filled } = inventory(ground)
        const rim = rimCells(ground.data, ground.geometry.width, ground.geometry.height)
        for (const h of hollows) {
          const level = flood(ground, h.deepest, to => filled.data[to] === h.rim_m)
          expect(h.touchesRim).toBe([...level].some(cell => rim[cell] === 1))
        }
      }),
    ))

  test('a pond whose lip is the border, one beside a void, one behind a shelf that reaches the border, and one that spills inland', () => {
    const at = (rows: number[][]): boolean[] => inventory(elevationGrid(rows)).hollows.map(h => h.touchesRim)
    const wall = [9, 9, 9, 9, 9, 9, 9]
    expect(at([wall, [9, 1, 5, 9, 9, 9, 9], wall])).toEqual([true])
    expect(at([wall, wall, [9, 9, 9, 1, 6, Number.NaN, 9], wall, wall])).toEqual([true])
    expect(at([wall, [9, 1, 5, 5, 5, 5, 5], wall])).toEqual([true])
    expect(at([wall, [9, 1, 5, 4, 3, 2, 1], wall])).toEqual([false])
  })
})

describe('guesses', () => {
  const plain = { depth_m: 0.4, cells: 20, floorCells: 1, touchesRim: false }
  const known = { elevationError_m: 0.1, behindBank: false }

  test('each rule, and the order in which they are asked', () => {
    expect(guessHollow(plain, known)).toEqual({ is: 'unsure', because: 'between' })
    expect(guessHollow({ ...plain, depth_m: 5, cells: 900, touchesRim: true }, known)).toEqual({ is: 'unsure', because: 'touches-rim' })
    expect(guessHollow({ ...plain, depth_m: 0.19, cells: 900, floorCells: 900 }, known)).toEqual({
      is: 'artefact',
      because: 'within-error',
    })
    expect(guessHollow({ ...plain, depth_m: 4, cells: 3 }, known)).toEqual({ is: 'artefact', because: 'few-cells' })
    expect(guessHollow({ ...plain, depth_m: 4, cells: 900 }, { ...known, behindBank: true })).toEqual({
      is: 'unsure',
      because: 'embankment',
    })
    expect(guessHollow({ ...plain, floorCells: 10 }, known)).toEqual({ is: 'real', because: 'flat-floor' })
    // A floor of few cells, or of less than half the hollow, is no sign of open water.
    expect(guessHollow({ ...plain, cells: 12, floorCells: 9 }, known)).toEqual({ is: 'unsure', because: 'between' })
    expect(guessHollow({ ...plain, cells: 21, floorCells: 10 }, known)).toEqual({ is: 'unsure', because: 'between' })
    expect(guessHollow({ ...plain, depth_m: 0.5, cells: 25 }, known)).toEqual({ is: 'real', because: 'deep-and-wide' })
    expect(guessHollow({ ...plain, depth_m: 0.5, cells: 25 }, { ...known, elevationError_m: 0.11 }).is).toBe('unsure')
  })

  test('failure 68: a crater is real; pits of noise on it are artefacts', () => {
    const crater = gridOf(90, 90, 1, (x, y) => {
      const away = Math.hypot(x - 45, y - 45)
      return 100 - Math.abs(away - 20) * 0.4 - (Math.round(x * 2) % 14 === 1 && Math.round(y * 2) % 14 === 1 ? 0.15 : 0)
    })
    const { hollows } = inventory(crater)
    expect(hollows[0]!.guess).toEqual({ is: 'real', because: 'deep-and-wide' })
    for (const small of hollows.slice(1)) expect(small.guess.is).toBe('artefact')
  })
})

describe('banks that may have a culvert under them', () => {
  /** A valley that falls at 10 %, with a road on a bank across it: crest 2.5 m over the valley floor, sides 2:1, 4 m wide on top. */
  const crossed = (azimuth_deg: number): ElevationGrid => {
    const valley = vValley(azimuth_deg, 0.15, 0.1, [40, 40])
    const [east, north] = [Math.sin((azimuth_deg * Math.PI) / 180), Math.cos((azimuth_deg * Math.PI) / 180)]
    return gridOf(80, 80, 1, (x, y) => {
      const along = (x - 40) * east + (y - 40) * north
      return Math.max(valley(x, y), 102.5 - Math.max(0, Math.abs(along) - 2) / 2)
    })
  }

  test('a road across a valley: the bank is found where the valley floor meets it, whatever way it runs', () => {
    for (const azimuth of [180, 90, 200, 45, 330]) {
      const ground = crossed(azimuth)
      const { hollows, culvertPlaces: places } = inventory(ground, 0.1)
      expect(hollows[0]!.guess).toEqual({ is: 'unsure', because: 'embankment' })
      const place = places.find(p => p.hollow === 0)!
      // On the upper side the foot lies 3.5 m / (1/2 + 1/10) = 5.8 m from the axis, 1.9 m under the crest; the lower side is as low 5.8 m beyond.
      expect(place.length_m).toBeGreaterThan(9)
      expect(place.length_m).toBeLessThan(13)
      expect(place.height_m).toBeGreaterThan(1.7)
      expect(place.height_m).toBeLessThan(2.1)
      const [from, to] = [place.from, place.to].map(cell => cellCentre(ground.geometry, cell))
      // Both within 3 m of the valley's floor line through the middle.
      const [east, north] = [Math.sin((azimuth * Math.PI) / 180), Math.cos((azimuth * Math.PI) / 180)]
      for (const [x, y] of [from!, to!]) expect(Math.abs((x - 40) * north - (y - 40) * east)).toBeLessThan(3)
      expect((to![0] - from![0]) * east + (to![1] - from![1]) * north).toBeGreaterThan(8)
    }
  })

  test('laws: within the limits, from the hollow’s floor to ground that runs on as low, and nothing lies between but higher ground', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 30 }), fc.integer({ min: 1, max: 12 }), (ground, longest_m) => {
        const { hollows, filled } = inventory(ground)
        const places = culvertPlaces(ground, filled, hollows, { longest_m, tolerance_m: 0.2, leastArea_m2: 0 })
        for (const { hollow, from, to, length_m, height_m } of places) {
          const { deepest, depth_m, rim_m } = hollows[hollow]!
          const floor = ground.data[deepest]!
          expect(length_m).toBe(distance_m(cellCentre(ground.geometry, from), cellCentre(ground.geometry, to)))
          expect(length_m).toBeLessThanOrEqual(longest_m)
          expect(height_m).toBeGreaterThanOrEqual(Math.max(0.5, depth_m))
          expect(ground.data[from]).toBeLessThanOrEqual(floor + 0.2)
          expect(filled.data[from]).toBe(rim_m)
          expect(filled.data[to]).toBeLessThanOrEqual(floor + 0.2)
        }
      }),
    ))

  test('off ties a turned raster has the same banks', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 25 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const banks = (g: ElevationGrid): string[] =>
          inventory(g)
            .culvertPlaces.map(p => `${p.length_m} ${p.height_m}`)
            .sort()
        expect(banks(turned(ground, symmetry))).toEqual(banks(ground))
      }),
    ))

  test('a wide dam, a low one and a small pit are no candidates', () => {
    const dam = crossed(180)
    const { hollows, filled } = inventory(dam)
    expect(culvertPlaces(dam, filled, hollows, { longest_m: 8 })).toEqual([])
    expect(culvertPlaces(dam, filled, hollows, { leastHeight_m: 3 })).toEqual([])
    expect(culvertPlaces(dam, filled, hollows, { leastArea_m2: 1e6 })).toEqual([])
    const low = reshaped(dam, z => Math.min(z, 101))
    expect(inventory(low).culvertPlaces).toEqual([])
  })
})
