import fc from 'fast-check'
import { contributingAreaSingle, drainage, edgeReach, flowNetwork, inflowRim, LEAVES, single } from 'soakline/hydrology'
import { type ElevationGrid, elevationGrid, neighbourOffsets, rimCells } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { neighboursOf } from '../../../../tests/helpers/slow-oracles.js'
import {
  cropped,
  gridOf,
  hollowCone,
  roof,
  SYMMETRIES,
  type Terrain,
  TIE_FREE,
  terrain,
  turned,
  turning,
} from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 31, numRuns: cases() })

const rimOf = (ground: ElevationGrid, rise_m?: number): Uint8Array => inflowRim(ground, drainage(ground), rise_m).data
const reachOf = (ground: ElevationGrid, rise_m?: number): Uint8Array => {
  const drained = drainage(ground)
  return edgeReach(flowNetwork(ground, drained), inflowRim(ground, drained, rise_m)).data
}
test('law: all of the rim is marked, voids are not, and more marks come with a higher rise', () =>
  fc.assert(
    fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 24 })), evenly(0, 3), evenly(0, 3), (ground, one, two) => {
      const [low, high, any] = [
        rimOf(ground, Math.min(one, two)),
        rimOf(ground, Math.max(one, two)),
        rimOf(ground, Number.POSITIVE_INFINITY),
      ]
      rimCells(ground.data, ground.geometry.width, ground.geometry.height).forEach((rim, cell) => {
        if (rim) expect(low[cell]).toBe(1)
        if (low[cell]) expect(high[cell]).toBe(1)
        if (high[cell]) expect(any[cell]).toBe(1)
        if (any[cell]) expect(ground.data[cell]).not.toBeNaN()
      })
    }),
  ))

interface SlowPass {
  readonly ends: readonly [number, number]
  readonly cells: readonly [number, number]
  readonly height_m: number
  readonly drop: number
}

/** The marks by their definition: each pass of the tree is taken away in turn, and the height at which either side can leave is looked for anew. */
function marksByDefinition(ground: ElevationGrid, rise_m: number): Uint8Array {
  const { width, height } = ground.geometry
  const z = ground.data
  const { slope } = drainage(ground)
  const offsets = neighbourOffsets(width)
  const wayDown = (cell: number): number[] => (slope[cell]! < 8 ? [cell, ...wayDown(cell + offsets[slope[cell]!]!)] : [cell])
  const bottom = [...z].map((here, cell) => (Number.isNaN(here) ? -1 : wayDown(cell).pop()!))
  const marks = rimCells(z, width, height)
  const leaves = new Map([...new Set(bottom)].map(place => [place, Number.POSITIVE_INFINITY]))
  marks.forEach((rim, cell) => {
    if (rim) leaves.set(bottom[cell]!, Math.min(leaves.get(bottom[cell]!)!, z[cell]!))
  })
  // The lowest pass between each two; of equally low ones the steepest, of these the first.
  const lowest = new Map<string, SlowPass>()
  for (const cell of z.keys())
    for (const { cell: to, away, direction } of neighboursOf(ground, cell).sort((a, b) => a.direction - b.direction)) {
      if (direction < 2 || direction > 5 || bottom[cell]! < 0 || bottom[cell] === bottom[to]) continue
      const pass = {
        ends: [bottom[cell]!, bottom[to]!] as const,
        cells: [cell, to] as const,
        height_m: Math.max(z[cell]!, z[to]!),
        drop: Math.abs(z[cell]! - z[to]!) / (away === 1 ? 1 : Math.SQRT2),
      }
      const pair = String([...pass.ends].sort((a, b) => a - b))
      const known = lowest.get(pair)
      if (!known || pass.height_m < known.height_m || (pass.height_m === known.height_m && pass.drop > known.drop)) lowest.set(pair, pass)
    }
  const passes = [...lowest.values()].sort((p, q) => p.height_m - q.height_m || q.drop - p.drop)
  const areJoined = (by: readonly SlowPass[], [one, other]: readonly [number, number]): boolean => {
    const met = new Set([one])
    for (const place of met) for (const { ends } of by) if (ends.includes(place)) for (const end of ends) met.add(end)
    return met.has(other)
  }
  const tree: SlowPass[] = []
  for (const pass of passes) if (!areJoined(tree, pass.ends)) tree.push(pass)
  const open: SlowPass[] = []
  const mark = (inside: number, outside: number): void => {
    for (const cell of [...wayDown(inside), outside]) marks[cell] = 1
  }
  for (const pass of tree) {
    const out = new Map(leaves)
    for (let changed = true; changed; ) {
      changed = false
      for (const { ends, height_m } of tree)
        for (const [here, beyond] of ends === pass.ends ? [] : [ends, [...ends].reverse()]) {
          const way = Math.max(height_m, out.get(beyond!)!)
          if (way >= out.get(here!)!) continue
          out.set(here!, way)
          changed = true
        }
    }
    for (const [near, far] of [
      [0, 1],
      [1, 0],
    ] as const) {
      const rise = Math.max(pass.height_m, out.get(pass.ends[far])!) - out.get(pass.ends[near])!
      if (!(rise >= 0 && rise <= rise_m && rise < Number.POSITIVE_INFINITY)) continue
      mark(pass.cells[near], pass.cells[far])
      open.push(pass)
    }
  }
  // A pass outside the tree that is as high as an open one, and would stand there if that did not.
  for (const pass of passes) {
    if (tree.includes(pass)) continue
    const without = passes.filter(
      p => p.height_m < pass.height_m || (p.height_m === pass.height_m && tree.includes(p) && !open.includes(p)),
    )
    if (areJoined(without, pass.ends)) continue
    mark(pass.cells[0], pass.cells[1])
    mark(pass.cells[1], pass.cells[0])
  }
  // Flats that reach the rim where water leaves.
  const rim = rimCells(z, width, height)
  const flat = new Set([...z.keys()].filter(cell => rim[cell] && slope[cell] === LEAVES))
  for (const cell of flat) for (const { cell: to } of neighboursOf(ground, cell)) if (z[to] === z[cell] && !rim[to]) flat.add(to)
  for (const cell of flat) marks[cell] = 1
  return marks
}

test('oracle: the marks are those of the definition, whatever the rise', () =>
  fc.assert(
    fc.property(
      fc.oneof(anyDice({ most: 9, high: 6 }), anyTerrain({ most: 12 })),
      fc.oneof(fc.integer({ min: 0, max: 4 }), evenly(0, 1), fc.constant(Number.POSITIVE_INFINITY)),
      (ground, rise_m) => {
        expect([...rimOf(ground, rise_m)]).toEqual([...marksByDefinition(ground, rise_m)])
      },
    ),
    { numRuns: cases(150) },
  ))

test('left out, the rise beyond the rim is the depth of the deepest hollow', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: ['rough', 'lakes', 'metres'], least: 8, most: 24 }), ground => {
      const { basins } = drainage(ground)
      const deepest = Math.max(0, ...[...basins.pit.keys()].slice(1).map(b => basins.level_m[b]! - ground.data[basins.pit[b]!]!))
      expect(rimOf(ground)).toEqual(rimOf(ground, deepest))
    }),
  ))

test('law: on ground without ties the marks turn with the raster', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: TIE_FREE, most: 24 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
      const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
      for (const rise of [undefined, Number.POSITIVE_INFINITY]) {
        const plain = rimOf(ground, rise)
        expect([...rimOf(turned(ground, symmetry), rise)]).toEqual([...from].map(old => plain[old]!))
      }
    }),
  ))

test('the same on a raster that takes more than one band of rows', () => {
  // A band holds 2¹⁶ cells: 30 rows of this raster, and all of it when turned.
  const ground = terrain(TIE_FREE[0]!, 8, 2200, 34)
  const plain = rimOf(ground, Number.POSITIVE_INFINITY)
  for (const symmetry of SYMMETRIES) {
    const { from } = turning(2200, 34, symmetry)
    const other = rimOf(turned(ground, symmetry), Number.POSITIVE_INFINITY)
    expect(other.every((mark, cell) => mark === plain[from[cell]!])).toBe(true)
  }
})

test('law P23, no equal heights: without a limit to the rise, a cell that is not flagged has the same single area in the bigger raster', () =>
  fc.assert(
    fc.property(
      fc.constantFrom<Terrain>(...TIE_FREE),
      fc.integer({ min: 1, max: 1e6 }),
      fc.integer({ min: 0, max: 14 }),
      fc.integer({ min: 0, max: 14 }),
      fc.integer({ min: 6, max: 26 }),
      fc.integer({ min: 6, max: 26 }),
      (kind, seed, left, top, width, height) => {
        const whole = terrain(kind, seed, 40, 40)
        const part = cropped(whole, left, top, width, height)
        const truth = contributingAreaSingle(drainage(whole)).data
        const flag = reachOf(part, Number.POSITIVE_INFINITY)
        contributingAreaSingle(drainage(part)).data.forEach((area, cell) => {
          const there = truth[(top + Math.floor(cell / width)) * 40 + left + (cell % width)]!
          if (!flag[cell] && !Number.isNaN(area)) expect(there).toBe(area)
        })
      },
    ),
    { numRuns: cases(200) },
  ))

test('a hollow at the edge, beyond which the ground may be higher, spills over its other pass once the next hollow is full too', () => {
  // Middle row: from the left a hollow open to the edge at 3, a bar of 5, a hollow, a bar of 6, and a way down to the edge.
  const ground = elevationGrid([
    [8, 8.1, 8.2, 8.3, 8.4, 8.3, 8.2, 8.1, 8],
    [11, 12, 12.1, 12.2, 12.3, 12.2, 12.1, 12, 11],
    [3, 1, 5, 2, 6, 5, 4, 3, 2],
    [11, 12, 12.1, 12.2, 12.3, 12.2, 12.1, 12, 11],
    [8, 8.1, 8.2, 8.3, 8.4, 8.3, 8.2, 8.1, 8],
  ])
  const middle = (rise_m: number): string => [...reachOf(ground, rise_m)].slice(18, 27).join('')
  // The second hollow runs over the bar of 5 into the first: to get over the bar of 6 it must stand 1 m higher than that.
  expect(middle(0.9)).toBe('110000001')
  expect(middle(1)).toBe('111111111')
})

test('a hollow that lies clear of the edge is not marked: it spills where the raster shows', () => {
  const ground = gridOf(21, 21, 1, (x, y) => 20 - Math.abs(Math.hypot(x - 10.5, y - 10.5) - 4) - 0.01 * x)
  const marks = rimOf(ground)
  for (let row = 5; row < 16; row++)
    for (let column = 5; column < 16; column++) expect(marks[row * 21 + column], `${row} ${column}`).toBe(0)
})

test('a roof and a hollow cone within its ridge are clear off the rim: beyond the edge the ground is taken to be no more hollow than here', () => {
  for (const azimuth of [0, 31, 45, 301]) {
    const marks = rimOf(gridOf(80, 80, 1, roof(azimuth, 0.1, [40.3, 39.6])))
    expect(marks.reduce((sum, m) => sum + m, 0)).toBeLessThanOrEqual(4 * 79 + 4)
  }
  const inside = reachOf(gridOf(80, 80, 1, hollowCone(0.1, [40.3, 39.6], 30)), 0.5)
  expect(inside[40 * 80 + 40]).toBe(0)
})

test('what marked cells send one another is summed, in the first cell of the raster, too', () => {
  const ground = elevationGrid([
    [2, 3, 9],
    [9, 9, 9],
  ])
  for (const symmetry of SYMMETRIES) {
    const turnedGround = turned(ground, symmetry)
    const drained = drainage(turnedGround)
    const reach = edgeReach(flowNetwork(turnedGround, drained, single), inflowRim(turnedGround, drained), 1.5)
    expect(reach.data[turnedGround.data.indexOf(2)]).toBe(1)
    expect(reach.data[turnedGround.data.indexOf(3)]).toBe(1)
    expect([...reach.data].reduce((sum, mark) => sum + mark, 0)).toBe(2)
  }
})
