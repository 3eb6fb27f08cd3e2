import fc from 'fast-check'
import {
  byFacets,
  byVector,
  contributingArea,
  contributingAreaSingle,
  drainage,
  eachReceiver,
  type FlowNetwork,
  filledSurface,
  flowNetwork,
  inflowRim,
  lineCatchment,
  multiple,
  pointCatchment,
  SINK,
  single,
  VOID,
} from 'soakline/hydrology'
import { cellCentre, type ElevationGrid, neighbourOffsets, type Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../helpers/any-terrain.js'
import { cases } from '../helpers/cases.js'
import { evenly } from '../helpers/evenly.js'
import { neighboursOf, outletsOf } from '../helpers/slow-oracles.js'
import { gridOf, reshaped, roof } from '../helpers/surfaces.js'

/*
 * The laws of water over a ground, and the tests that hold each of them:
 *
 * filling       never lowers, changes only what lies in hollows, gives the lowest way out      here · hydrology/drainage
 *               filled twice is filled once; shifts and stretches with the ground; lowering    hydrology/drainage
 *               one cell raises no other; a frame of void changes nothing
 * directions    no circle, every cell arrives, never uphill, never into a void                 hydrology/drainage · hydrology/flow-network
 *               turned with the raster; a frame of void changes nothing                        hydrology/drainage · hydrology/flow-network
 * accumulation  conserved, never falls downstream, what may have come in is passed on          hydrology/flow-network
 *               by recursion; linear in the weights; the same bits in any order                here
 * catchment     nested, disjoint, parts of a line, equal to the accumulation                   hydrology/catchment (lines, points, areas)
 *               what lies beyond a divide changes nothing; a bigger raster changes only        here · hydrology/edge · exact/edge-honesty
 *               what was flagged
 */

fc.configureGlobal({ seed: 37, numRuns: cases() })

const small = anyDice({ least: 3, most: 8, high: 4 })
const anyGround = fc.oneof(small, anyTerrain({ most: 24 }))
const METHODS = { byVector, byFacets, multiple: multiple(), single }
const anyMethod = fc.constantFrom(...Object.values(METHODS))
const fraction = evenly(0, 0.999999)

/** Cells that can be reached from some cells over ground no higher than a level. */
function reachable(ground: ElevationGrid, from: readonly number[], level: number): Set<number> {
  const found = new Set(from.filter(cell => ground.data[cell]! <= level))
  for (const cell of found) for (const to of neighboursOf(ground, cell)) if (ground.data[to.cell]! <= level) found.add(to.cell)
  return found
}

test('failure 67: brute force: a cell is filled to the lowest level at which a way over ground no higher leads from an outlet to it', () =>
  fc.assert(
    fc.property(small, ground => {
      const filled = filledSurface(ground, drainage(ground)).data
      const levels = [...new Set(ground.data)].filter(z => !Number.isNaN(z)).sort((a, b) => a - b)
      const byLevel = levels.map(level => ({ level, reached: reachable(ground, outletsOf(ground), level) }))
      ground.data.forEach((z, cell) => {
        if (Number.isNaN(z)) expect(filled[cell]).toBeNaN()
        else expect(filled[cell]).toBe(byLevel.find(({ reached }) => reached.has(cell))!.level)
      })
    }),
  ))

test('only cells in closed hollows change: those from which no way out leads over ground as low as themselves', () =>
  fc.assert(
    fc.property(anyGround, ground => {
      const filled = filledSurface(ground, drainage(ground)).data
      const outlets = new Set(outletsOf(ground))
      ground.data.forEach((z, cell) => {
        if (Number.isNaN(z)) return
        const isOpen = [...reachable(ground, [cell], z)].some(reached => outlets.has(reached))
        expect(filled[cell]! > z).toBe(!isOpen)
      })
    }),
    { numRuns: Math.ceil(cases() / 4) },
  ))

test('naive recursion: single contributing area is the cell and the areas of all that point at it', () =>
  fc.assert(
    fc.property(small, ground => {
      const drained = drainage(ground)
      const offsets = neighbourOffsets(ground.geometry.width)
      const areaOf = (cell: number): number =>
        neighboursOf(ground, cell)
          .filter(n => drained.direction[n.cell]! < 8 && n.cell + offsets[drained.direction[n.cell]!]! === cell)
          .reduce((sum, n) => sum + areaOf(n.cell), 1)
      contributingAreaSingle(drained).data.forEach((area, cell) => {
        if (drained.direction[cell] !== VOID) expect(area).toBe(areaOf(cell))
      })
    }),
  ))

test('naive recursion: dispersive contributing area is the cell and its shares of the areas of all that give to it', () =>
  fc.assert(
    fc.property(small, anyMethod, (ground, method) => {
      const net = flowNetwork(ground, drainage(ground), method)
      const givers = new Map<number, [number, number][]>()
      for (const cell of net.order) eachReceiver(net, cell, (to, share) => givers.set(to, [...(givers.get(to) ?? []), [cell, share]]))
      const known = new Map<number, number>()
      const areaOf = (cell: number): number => {
        const sum = known.get(cell) ?? (givers.get(cell) ?? []).reduce((all, [from, share]) => all + share * areaOf(from), 1)
        known.set(cell, sum)
        return sum
      }
      contributingArea(net).data.forEach((area, cell) => {
        if (net.facet[cell] !== VOID) expect(Math.abs(area / areaOf(cell) - 1)).toBeLessThan(1e-12)
      })
    }),
  ))

test('contributing area is linear in the weights, and weights of 1 change no bit', () =>
  fc.assert(
    fc.property(anyGround, anyMethod, fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 }), (ground, method, p, q) => {
      const drained = drainage(ground)
      const net = flowNetwork(ground, drained, method)
      const weights = (weight: (cell: number) => number) => ({
        quantity: 'weight',
        geometry: ground.geometry,
        data: Float64Array.from(ground.data, (z, cell) => (Number.isNaN(z) ? Number.NaN : weight(cell))),
      })
      const one = (cell: number): number => cell % 5
      const two = (cell: number): number => (cell * 7) % 3
      for (const area of [
        (w?: ReturnType<typeof weights>) => contributingArea(net, w).data,
        (w?: ReturnType<typeof weights>) => contributingAreaSingle(drained, w).data,
      ]) {
        const [a, b, both] = [area(weights(one)), area(weights(two)), area(weights(cell => p * one(cell) + q * two(cell)))]
        both.forEach((sum, cell) => {
          if (!Number.isNaN(sum)) expect(Math.abs(sum - p * a[cell]! - q * b[cell]!)).toBeLessThanOrEqual(1e-9 * Math.max(1, sum))
        })
        expect([...area(weights(() => 1))]).toEqual([...area()])
      }
    }),
  ))

/** Another order from the ridges down: of the cells that may come next, always the one with the lowest key. */
function otherOrder(net: FlowNetwork, key: (cell: number) => number): Int32Array {
  const waiting = new Map<number, number>()
  for (const cell of net.order) eachReceiver(net, cell, to => waiting.set(to, (waiting.get(to) ?? 0) + 1))
  const ready = [...net.order].filter(cell => !waiting.get(cell))
  const order: number[] = []
  while (ready.length > 0) {
    const next = ready.reduce((best, cell) => (key(cell) < key(best) ? cell : best))
    ready.splice(ready.indexOf(next), 1)
    order.push(next)
    eachReceiver(net, next, to => {
      waiting.set(to, waiting.get(to)! - 1)
      if (to >= 0 && waiting.get(to) === 0) ready.push(to)
    })
  }
  return Int32Array.from(order)
}

test('contributing area is the same, bit for bit, in whatever order the cells are walked', () =>
  fc.assert(
    fc.property(fc.oneof(small, anyTerrain({ most: 12 })), anyMethod, fc.integer({ min: 1, max: 1e6 }), (ground, method, salt) => {
      const net = flowNetwork(ground, drainage(ground), method)
      const order = otherOrder(net, cell => (cell * 7919 + salt) % 10007)
      expect(order).toHaveLength(net.order.length)
      expect([...contributingArea({ ...net, order }).data]).toEqual([...contributingArea(net).data])
    }),
  ))

test('what lies beyond a divide changes nothing: any ground lower than the ridge, a line on the near side', () =>
  fc.assert(
    fc.property(anyTerrain({ least: 30, most: 30 }), fc.integer({ min: 4, max: 12 }), anyMethod, (beyond, away, method) => {
      const near = gridOf(30, 30, 1, roof(180, 0.2, [15, 18]))
      const line: Point[] = [
        [8.2, 18 - away + 0.3],
        [21.8, 18 - away + 0.3],
      ]
      const caught = (ground: ElevationGrid) => {
        const drained = drainage(ground)
        return lineCatchment(flowNetwork(ground, drained, method), ground, line, inflowRim(ground, drained)).share.data
      }
      const heights = beyond.data.filter(z => !Number.isNaN(z))
      const top = heights.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
      // Two rows beyond the ridge stay: the near side's slopes look at their neighbours.
      const changed = reshaped(near, (z, cell) =>
        Math.floor(cell / 30) < 9 ? (Number.isNaN(beyond.data[cell]!) ? 90 : 95 + (beyond.data[cell]! - top)) : z,
      )
      const [before, after] = [caught(near), caught(changed)]
      // Everything from the ridge, 12 rows from the top, down.
      for (let cell = 30 * 13; cell < 900; cell++) expect(after[cell]).toBe(before[cell])
    }),
  ))

test('a kept hollow holds all that drains to it: what it and the outlets have is the area of all data cells', () =>
  fc.assert(
    fc.property(anyGround, fraction, (ground, which) => {
      const pits = [...drainage(ground).basins.pit].slice(1)
      if (pits.length === 0) return
      const pit = pits[Math.floor(which * pits.length)]!
      const drained = drainage(ground, { keep: [pit] })
      const area = contributingAreaSingle(drained).data
      let out = 0
      drained.direction.forEach((code, cell) => {
        if (code !== VOID && code > 7) out += area[cell]!
      })
      expect(drained.direction[pit]).toBe(SINK)
      expect(out).toBe(ground.data.filter(z => !Number.isNaN(z)).length)
      expect(pointCatchment(drained, cellCentre(ground.geometry, pit), inflowRim(ground, drained))!.area_m2).toBe(area[pit])
    }),
  ))
