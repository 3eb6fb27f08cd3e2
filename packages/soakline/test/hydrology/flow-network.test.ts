import fc from 'fast-check'
import {
  byFacets,
  byVector,
  contributingArea,
  contributingAreaSingle,
  drainage,
  EVEN,
  eachDonor,
  eachReceiver,
  edgeReach,
  type FlowNetwork,
  flowNetwork,
  inflowRim,
  LEAVES,
  multiple,
  SINK,
  single,
  spreadFrom,
  VOID,
  wetnessIndex,
} from 'soakline/hydrology'
import { cellCentre, type ElevationGrid, elevationGrid, neighbourOffsets } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { above, atLeast, atMost, below, same } from '../../../../tests/helpers/in-each-cell.js'
import {
  dice,
  framed,
  gridOf,
  plane,
  reshaped,
  SYMMETRIES,
  TIE_FREE,
  terrain,
  turned,
  turning,
} from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 21, numRuns: cases(60) })

const METHODS = { byVector, byFacets, multiple: multiple(), single }
const someGround = fc.oneof(anyDice({ most: 12 }), anyTerrain())

function receivers(net: FlowNetwork, cell: number): Map<number, number> {
  const found = new Map<number, number>()
  eachReceiver(net, cell, (to, share) => found.set(to, (found.get(to) ?? 0) + share))
  return found
}

/** Area that leaves the raster and area that stays in kept pits, counted from the network alone. */
function whereItGoes(net: FlowNetwork): { leaves: number; stays: number } {
  const { data } = contributingArea(net)
  let leaves = 0
  let stays = 0
  for (const cell of net.order) {
    const to = receivers(net, cell)
    if (to.size === 0) stays += data[cell]!
    leaves += (to.get(-1) ?? 0) * data[cell]!
  }
  return { leaves, stays }
}

const validCells = (ground: ElevationGrid): number => ground.data.filter(z => !Number.isNaN(z)).length

describe('the network has no circle', () => {
  test('thousands of small rasters of few whole heights, with and without voids and kept pits', () => {
    // A circle makes flowNetwork throw. Seeds are walked, not drawn, so that every size meets every range of heights.
    let built = 0
    for (let seed = 1; seed <= 250; seed++)
      for (let size = 3; size <= 12; size++) {
        const ground = dice(seed * 13 + size, size, 3 + ((seed * 7 + size) % 10), 1 + (seed % 3), [0, 0, 0.1, 0.3][seed % 4])
        const free = drainage(ground)
        flowNetwork(ground, free)
        const pits = [...free.basins.pit].slice(1)
        if (pits.length > 0) flowNetwork(ground, drainage(ground, { keep: pits.filter((_, k) => (k + seed) % 3 === 0) }))
        flowNetwork(ground, free, single)
        built++
      }
    expect(built).toBe(2500)
  })

  test('every 3 × 4 raster of heights 0, 1, 2 within a wall, of which one cell is a door', () => {
    // 3^12 = 531441 inner heights; every 53rd, a number that shares no factor with 3, so that all patterns of six cells come.
    for (let code = 0; code < 531441; code += 53) {
      const inner = Array.from({ length: 12 }, (_, k) => Math.floor(code / 3 ** k) % 3)
      const ground = gridOf(6, 5, 1, () => 3)
      for (const [k, z] of inner.entries()) ground.data[(1 + Math.floor(k / 4)) * 6 + 1 + (k % 4)] = z
      ground.data[6 * (1 + (code % 3))] = code % 2
      flowNetwork(ground, drainage(ground))
    }
  })

  test('random ground, all methods, kept pits', () =>
    fc.assert(
      fc.property(someGround, fc.constantFrom(...Object.values(METHODS)), fc.integer({ min: 1, max: 4 }), (ground, method, every) => {
        const keep = [...drainage(ground).basins.pit].slice(1).filter((_, k) => k % every === 0)
        flowNetwork(ground, drainage(ground, { keep }), method)
      }),
      { numRuns: cases(500) },
    ))
})

describe.each(Object.entries(METHODS))('laws of the network, %s', (_, method) => {
  const networkOf = (ground: ElevationGrid, keep: readonly number[] = []): FlowNetwork =>
    flowNetwork(ground, drainage(ground, { keep }), method)

  test('every cell’s shares are positive and add up to 1, go to data cells and downhill; only kept pits keep their water', () =>
    fc.assert(
      fc.property(someGround, fc.boolean(), (ground, keeps) => {
        const pits = [...drainage(ground).basins.pit].slice(1)
        const keep = new Set(keeps ? pits.filter((_, k) => k % 2 === 0) : [])
        const net = networkOf(ground, [...keep])
        expect(net.order).toHaveLength(validCells(ground))
        for (const cell of net.order) {
          const to = receivers(net, cell)
          if (net.facet[cell] === SINK && keep.has(cell)) {
            expect(to.size).toBe(0)
            continue
          }
          expect([...to.values()].reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12)
          for (const [receiver, share] of to) {
            above(share, 0)
            if (receiver < 0) continue
            expect(net.facet[receiver]).not.toBe(VOID)
            if (net.facet[cell] !== SINK) atMost(ground.data[receiver], ground.data[cell]!)
          }
        }
      }),
    ))

  test('P7: the order puts every giver before its receivers', () =>
    fc.assert(
      fc.property(someGround, ground => {
        const net = networkOf(ground)
        const place = new Int32Array(ground.data.length)
        for (const [k, cell] of net.order.entries()) place[cell] = k
        for (const cell of net.order) for (const to of receivers(net, cell).keys()) if (to >= 0) above(place[to], place[cell]!)
      }),
    ))

  test('P13: water is conserved — what leaves and what stays in kept pits is the area of all data cells', () =>
    fc.assert(
      fc.property(someGround, fc.boolean(), (ground, keeps) => {
        const net = networkOf(ground, keeps ? [...drainage(ground).basins.pit].slice(1, 3) : [])
        const { leaves, stays } = whereItGoes(net)
        const all = validCells(ground)
        expect(Math.abs(leaves + stays - all)).toBeLessThanOrEqual(1e-9 * Math.max(1, all))
        if (!keeps) expect(stays).toBe(0)
      }),
    ))

  test('every cell has at least its own area, voids have none', () =>
    fc.assert(
      fc.property(someGround, ground => {
        contributingArea(networkOf(ground)).data.forEach((a, cell) => {
          if (Number.isNaN(ground.data[cell]!)) expect(a).toBeNaN()
          else atLeast(a, 1)
        })
      }),
    ))

  test('P17: where water may have come in from beyond is passed on along the directions, and a lower limit flags no less', () =>
    fc.assert(
      fc.property(someGround, ground => {
        const net = networkOf(ground)
        const rim = inflowRim(ground, net.drainage)
        const reached = edgeReach(net, rim).data
        const literal = edgeReach(net, rim, 0).data
        const offsets = neighbourOffsets(ground.geometry.width)
        for (const cell of net.order) {
          const code = net.drainage.direction[cell]!
          if (rim.data[cell]) same(reached[cell], 1)
          if (reached[cell]) same(literal[cell], 1)
          if (reached[cell] && code < 8) same(reached[cell + offsets[code]!], 1)
        }
      }),
    ))

  test('oracle: with no limit, all that any inflow reaches is flagged, and along the directions and slopes all below it', () =>
    fc.assert(
      fc.property(someGround, ground => {
        const net = networkOf(ground)
        const rim = inflowRim(ground, net.drainage)
        const flag = (start: number, next: (cell: number) => Iterable<number>, into: Set<number>): void => {
          const stack = [start]
          for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
            if (cell < 0 || into.has(cell)) continue
            into.add(cell)
            stack.push(...next(cell))
          }
        }
        const wet = new Set<number>()
        for (const [cell, is] of rim.data.entries()) if (is) flag(cell, c => receivers(net, c).keys(), wet)
        const below = new Set<number>()
        const offsets = neighbourOffsets(ground.geometry.width)
        const { direction, slope } = net.drainage
        const onward = (c: number): number[] => [direction[c]!, slope[c]!].filter(code => code < 8).map(code => c + offsets[code]!)
        for (const cell of wet) flag(cell, onward, below)
        expect([...edgeReach(net, rim, 0).data]).toEqual([...ground.data.keys()].map(cell => (below.has(cell) ? 1 : 0)))
      }),
    ))

  test('water released in one cell is all there further down', () =>
    fc.assert(
      fc.property(someGround, evenly(0, 0.999999), (ground, where) => {
        const net = networkOf(ground)
        const start = Math.floor(where * ground.data.length)
        const spread = spreadFrom(net, cellCentre(ground.geometry, start))
        expect(spread === null).toBe(Number.isNaN(ground.data[start]!))
        if (spread === null) return
        expect([spread.cells[0], spread.share_ratio[0]]).toEqual([start, 1])
        expect(new Set(spread.cells).size).toBe(spread.cells.length)
        let out = 0
        spread.cells.forEach((cell, k) => {
          atMost(spread.share_ratio[k], 1 + 1e-12)
          out += (receivers(net, cell).get(-1) ?? 0) * spread.share_ratio[k]!
        })
        // Shares below 10⁻⁵ are not followed.
        expect(Math.abs(out - 1)).toBeLessThan(1e-5 * spread.cells.length + 1e-12)
      }),
    ))

  test('donors are receivers seen from below, and a layer lies below all that give to it', () =>
    fc.assert(
      fc.property(someGround, fc.boolean(), (ground, keeps) => {
        const net = networkOf(ground, keeps ? [...drainage(ground).basins.pit].slice(1, 4) : [])
        const given = new Set<string>()
        const taken = new Set<string>()
        for (const cell of net.order) {
          for (const to of receivers(net, cell).keys()) if (to >= 0) given.add(`${cell} → ${to}`)
          eachDonor(net, cell, donor => taken.add(`${donor} → ${cell}`))
          below(net.layer[cell], net.layers)
        }
        expect(taken).toEqual(given)
        for (const link of given) {
          const [from, to] = link.split(' → ').map(Number) as [number, number]
          above(net.layer[to], net.layer[from]!)
        }
      }),
    ))
})

test('P5: shifting by whole metres and stretching by powers of two changes no share', () =>
  fc.assert(
    fc.property(
      anyDice({ most: 12, high: 9 }),
      fc.integer({ min: -30, max: 30 }),
      fc.constantFrom(0.25, 2, 16),
      (ground, shift, stretch) => {
        const area = (g: ElevationGrid): number[] => [...contributingArea(flowNetwork(g, drainage(g))).data]
        const plain = area(ground)
        expect(area(reshaped(ground, z => z + shift))).toEqual(plain)
        expect(area(reshaped(ground, z => z * stretch))).toEqual(plain)
      },
    ),
  ))

test('P10: on ground without ties a turned or mirrored raster gives turned areas, 1e-9', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: TIE_FREE, most: 30 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
      const area = (g: ElevationGrid): Float64Array => contributingArea(flowNetwork(g, drainage(g))).data
      const plain = area(ground)
      const after = area(turned(ground, symmetry))
      turning(ground.geometry.width, ground.geometry.height, symmetry).from.forEach((old, now) => {
        if (Number.isNaN(plain[old]!)) expect(after[now]).toBeNaN()
        else expect(Math.abs(after[now]! / plain[old]! - 1)).toBeLessThan(1e-9)
      })
    }),
    { numRuns: cases(200) },
  ))

test('P10: equally steep ways share evenly, so hand-made ties turn with the raster too', () => {
  for (const rows of [
    [
      [0, 1, 0],
      [1, 2, 1],
      [0, 1, 0],
    ],
    [
      [1, 3, 1],
      [3, 4, 3],
      [1, 3, 1],
    ],
    [
      [3, 3, 3, 3, 3],
      [0, 1, 4, 1, 0],
      [3, 3, 3, 3, 3],
    ],
    [
      [5, 1, 5],
      [5, 3, 5],
      [5, 1, 5],
    ],
  ]) {
    const ground = elevationGrid(rows)
    const area = (g: ElevationGrid): Float64Array => contributingArea(flowNetwork(g, drainage(g))).data
    const plain = area(ground)
    for (const symmetry of SYMMETRIES) {
      const after = area(turned(ground, symmetry))
      const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
      for (const [now, old] of from.entries()) expect(after[now]).toBeCloseTo(plain[old]!, 12)
    }
  }
})

test('P11: a frame of void round the ground changes no area', () =>
  fc.assert(
    fc.property(anyTerrain({ most: 20 }), ground => {
      const { width } = ground.geometry
      const wide = framed(ground, 2)
      const inFrame = contributingArea(flowNetwork(wide, drainage(wide))).data
      contributingArea(flowNetwork(ground, drainage(ground))).data.forEach((a, cell) => {
        const there = inFrame[(Math.floor(cell / width) + 2) * (width + 4) + (cell % width) + 2]!
        if (Number.isNaN(a)) expect(there).toBeNaN()
        else expect(there).toBeCloseTo(a, 9)
      })
    }),
  ))

test('on a plane of any azimuth the mean step of the shares has the plane’s azimuth', () => {
  for (const azimuth of [0, 13, 22.5, 31, 45, 71, 118, 200.5, 300]) {
    const ground = gridOf(20, 20, 1, plane(azimuth, 0.1, [10, 10]))
    const net = flowNetwork(ground, drainage(ground))
    const cell = 10 * 20 + 10
    let [east, south] = [0, 0]
    for (const [to, share] of receivers(net, cell)) {
      east += share * ((to % 20) - 10)
      south += share * (Math.floor(to / 20) - 10)
    }
    // Heights are float32: one part in 10⁴ of a slope of 0.1 at 100 m.
    expect(Math.abs(((Math.atan2(east, -south) * 180) / Math.PI + 540 - azimuth) % 360) - 180).toBeCloseTo(0, 1)
  }
})

test('on the raster’s rim and beside a void, where one neighbour lacks, the mean step still has the plane’s azimuth', () => {
  const azimuth = 31
  const whole = gridOf(20, 20, 1, plane(azimuth, 0.1, [10, 10]))
  const holed = reshaped(whole, (z, cell) => (cell === 10 * 20 + 9 ? Number.NaN : z))
  // A cell of the west rim, and one whose western neighbour is void: water runs to the north-east, over cells that are there.
  for (const [ground, column] of [
    [whole, 0],
    [holed, 10],
  ] as const) {
    const cell = 10 * 20 + column
    let [east, south] = [0, 0]
    for (const [to, share] of receivers(flowNetwork(ground, drainage(ground)), cell)) {
      east += share * ((to % 20) - column)
      south += share * (Math.floor(to / 20) - 10)
    }
    expect((Math.atan2(east, -south) * 180) / Math.PI).toBeCloseTo(azimuth, 1)
  }
})

describe('contributing area along the single directions', () => {
  test('failure 73: P13, P14: whole cells, never falls downstream, and the outlets together hold all data cells', () =>
    fc.assert(
      fc.property(someGround, fc.boolean(), (ground, keeps) => {
        const free = drainage(ground)
        const drained = keeps ? drainage(ground, { keep: [...free.basins.pit].slice(1, 4) }) : free
        const { data } = contributingAreaSingle(drained)
        const offsets = [-1, 0, 1].flatMap(r => [-1, 0, 1].map(c => r * ground.geometry.width + c))
        const clockwise = [1, 2, 5, 8, 7, 6, 3, 0].map(k => offsets[k]!)
        let out = 0
        drained.direction.forEach((code, cell) => {
          if (code === VOID) {
            expect(data[cell]).toBeNaN()
            return
          }
          same(Number.isInteger(data[cell]), true)
          if (code === LEAVES || code === SINK) out += data[cell]!
          else above(data[cell + clockwise[code]!], data[cell]!)
        })
        expect(out).toBe(validCells(ground))
      }),
    ))

  test('oracle: the count of cells whose walk passes', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 10 }), anyTerrain({ most: 16 })), ground => {
        const drained = drainage(ground)
        const { width } = ground.geometry
        const passes = new Float64Array(ground.data.length)
        drained.direction.forEach((code, start) => {
          if (code === VOID) return
          for (let cell = start; ; ) {
            passes[cell]!++
            const k = drained.direction[cell]!
            if (k > 7) break
            cell += [-width, 1 - width, 1, width + 1, width, width - 1, -1, -width - 1][k]!
          }
        })
        for (const [cell, a] of contributingAreaSingle(drained).data.entries()) if (drained.direction[cell] !== VOID) same(a, passes[cell]!)
      }),
    ))

  test('the single network, which takes pits to where they spill, agrees outside hollows’ own ways', () => {
    const ground = gridOf(30, 30, 1, plane(31, 0.1, [0, 0]))
    const drained = drainage(ground)
    expect([...contributingArea(flowNetwork(ground, drained, single)).data]).toEqual([...contributingAreaSingle(drained).data])
  })
})

test('wetness is ln(area per cell width / slope), slope at least 0.001 (Beven & Kirkby 1979)', () => {
  const ground = gridOf(12, 9, 2, plane(180, 0.1, [0, 0]))
  const area = contributingArea(flowNetwork(ground, drainage(ground)))
  const wetness = wetnessIndex(area, gradient(ground)).data
  // Row 4: five cells of 2 m drain through each, 10 m of slope.
  expect(wetness[4 * 12 + 6]).toBeCloseTo(Math.log(10 / 0.1), 4)
  expect(wetness[0]).toBeNaN()
  const level = reshaped(ground, () => 3)
  expect(wetnessIndex(area, gradient(level)).data[4 * 12 + 6]).toBeCloseTo(Math.log(10 / 0.001), 4)
})

test('EVEN cells name at least two receivers', () =>
  fc.assert(
    fc.property(anyDice({ most: 12, high: 5 }), ground => {
      const net = flowNetwork(ground, drainage(ground))
      net.facet.forEach((code, cell) => {
        same(net.even.has(cell), code === EVEN)
        if (code === EVEN) expect(new Set(net.even.get(cell)).size).toBeGreaterThan(1)
      })
    }),
  ))

test('a terrain of each kind is answered within the time of a blink', () => {
  for (const kind of ['smooth', 'rough', 'metres', 'level', 'metres with gaps'] as const) {
    const ground = terrain(kind, 3, 200, 200)
    const net = flowNetwork(ground, drainage(ground))
    expect(net.order).toHaveLength(validCells(ground))
  }
})
