import fc from 'fast-check'
import {
  byFacets,
  byVector,
  contributingArea,
  drainage,
  EVEN,
  eachReceiver,
  type FlowMethod,
  flowNetwork,
  MANY,
  multiple,
  QUINN_CONTOUR_CELLS,
  single,
} from 'soakline/hydrology'
import { type ElevationGrid, elevationGrid } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { neighboursOf } from '../../../../tests/helpers/slow-oracles.js'
import { cone, framed, gridOf, plane, reshaped, SYMMETRIES, TIE_FREE, turned, turning } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 23, numRuns: cases(100) })

const METHODS: Readonly<Record<string, FlowMethod>> = {
  byVector,
  byFacets,
  multiple: multiple(),
  'multiple, Quinn': multiple({ exponent: 1, contour_cells: QUINN_CONTOUR_CELLS }),
}
const someGround = fc.oneof(anyDice({ most: 12 }), anyTerrain())

/** Shares of a cell by receiver, −1 for off the raster. */
function sharesOf(ground: ElevationGrid, method: FlowMethod, cell: number): Map<number, number> {
  const found = new Map<number, number>()
  eachReceiver(flowNetwork(ground, drainage(ground), method), cell, (to, share) => found.set(to, share))
  return found
}

const areaOf = (ground: ElevationGrid, method: FlowMethod): Float64Array =>
  contributingArea(flowNetwork(ground, drainage(ground), method)).data

describe.each(Object.entries(METHODS))('%s', (_, method) => {
  test('P10: where a cell has lower neighbours, a turned or mirrored raster gives the same shares, bit for bit, ties among them', () =>
    fc.assert(
      fc.property(someGround, fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const { width, height } = ground.geometry
        const { from } = turning(width, height, symmetry)
        const plain = flowNetwork(ground, drainage(ground), method)
        const other = turned(ground, symmetry)
        const after = flowNetwork(other, drainage(other), method)
        for (const [now, old] of from.entries()) {
          if (!neighboursOf(ground, old).some(n => ground.data[n.cell]! < ground.data[old]!)) continue
          const before: [number, number][] = []
          const then: [number, number][] = []
          eachReceiver(plain, old, (to, share) => before.push([to, share]))
          eachReceiver(after, now, (to, share) => then.push([from[to]!, share]))
          const byCell = (a: readonly [number, number], b: readonly [number, number]): number => a[0] - b[0]
          expect(then.sort(byCell)).toEqual(before.sort(byCell))
        }
      }),
    ))

  test('P10, P16: on ground without ties a turned or mirrored raster gives the same areas, bit for bit', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 30 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const plain = areaOf(ground, method)
        const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
        expect([...areaOf(turned(ground, symmetry), method)]).toEqual([...from].map(old => plain[old]))
      }),
    ))

  test('P5: shifting by whole metres and stretching by powers of two changes no share', () =>
    fc.assert(
      fc.property(
        anyDice({ most: 12, high: 9 }),
        fc.integer({ min: -30, max: 30 }),
        fc.constantFrom(0.25, 2, 16),
        (ground, shift, stretch) => {
          const plain = [...areaOf(ground, method)]
          expect([
            ...areaOf(
              reshaped(ground, z => z + shift),
              method,
            ),
          ]).toEqual(plain)
          expect([
            ...areaOf(
              reshaped(ground, z => z * stretch),
              method,
            ),
          ]).toEqual(plain)
        },
      ),
    ))

  test('P11: a frame of void round the ground changes no area', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 20 }), ground => {
        const { width } = ground.geometry
        const inFrame = areaOf(framed(ground, 2), method)
        const within = [...ground.data.keys()].map(cell => inFrame[(Math.floor(cell / width) + 2) * (width + 4) + (cell % width) + 2])
        expect(within).toEqual([...areaOf(ground, method)])
      }),
    ))

  test('a border cell whose only lower neighbour lies along the border gives it all', () => {
    const ground = elevationGrid([
      [5, 4, 3],
      [9, 9, 9],
      [9, 9, 9],
    ])
    expect(sharesOf(ground, method, 0)).toEqual(new Map([[1, 1]]))
  })
})

test('byVector: a fall that points at a slant neighbour which is no way down is shared by the two straight ones beside it', () => {
  const ground = elevationGrid([
    [3, 3, 3],
    [3, 2, 1],
    [3, 1, 5],
  ])
  expect(sharesOf(ground, byVector, 4)).toEqual(
    new Map([
      [5, 0.5],
      [7, 0.5],
    ]),
  )
})

describe('triangular facets', () => {
  test('exact on planes of any azimuth: the angle is split as the plane lies [Tarboton 1997]', () => {
    for (const azimuth of [0, 10, 22.5, 31, 45, 60, 100, 200.5, 300, 359]) {
      const ground = gridOf(9, 9, 1, plane(azimuth, 0.1, [4.5, 4.5], 1))
      const cell = 4 * 9 + 4
      const k = Math.floor(azimuth / 45)
      const next = azimuth / 45 - k
      const steps = [-9, -8, 1, 10, 9, 8, -1, -10]
      const shares = sharesOf(ground, byFacets, cell)
      // Heights are float32: one part in 10⁶ of the fall over a cell.
      expect(shares.get(cell + steps[k]!) ?? 0, `azimuth ${azimuth}`).toBeCloseTo(1 - next, 5)
      expect(shares.get(cell + steps[(k + 1) % 8]!) ?? 0, `azimuth ${azimuth}`).toBeCloseTo(next, 5)
    }
  })

  test('oracle: the steepest facet and its angle by the engine’s own atan2, wherever one facet is the steepest alone', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth', 'rough', 'decimetres', 'gaps'], most: 20 }), ground => {
        const { width, height } = ground.geometry
        const z = ground.data
        const net = flowNetwork(ground, drainage(ground), byFacets)
        const steps = [
          [0, -1],
          [1, -1],
          [1, 0],
          [1, 1],
          [0, 1],
          [-1, 1],
          [-1, 0],
          [-1, -1],
        ] as const
        for (const cell of net.order) {
          const at = (k: number): { cell: number; z: number } => {
            const column = (cell % width) + steps[k & 7]![0]
            const row = Math.floor(cell / width) + steps[k & 7]![1]
            const there = column >= 0 && row >= 0 && column < width && row < height ? row * width + column : -1
            return { cell: there, z: there < 0 ? Number.NaN : z[there]! }
          }
          const facets = [0, 2, 4, 6].flatMap(k =>
            [k - 1, k + 1].map(slant => {
              const s1 = z[cell]! - at(k).z
              const s2 = at(k).z - at(slant).z
              const r = Math.min(Math.PI / 4, Math.max(0, Math.atan2(s2, s1)))
              const s = r === 0 ? s1 : r === Math.PI / 4 ? (z[cell]! - at(slant).z) / Math.SQRT2 : Math.hypot(s1, s2)
              return { s, shares: [[at(k).cell, 1 - r / (Math.PI / 4)] as const, [at(slant).cell, r / (Math.PI / 4)] as const] }
            }),
          )
          const best = Math.max(...facets.map(f => (Number.isNaN(f.s) ? 0 : f.s)))
          const steepest = facets.filter(f => f.s > best * (1 - 1e-9))
          if (best <= 0 || steepest.length !== 1) continue
          const expected = new Map(steepest[0]!.shares.filter(([, share]) => share > 1e-7))
          const found = new Map<number, number>()
          eachReceiver(net, cell, (to, share) => share > 1e-7 && found.set(to, share))
          expect([...found.keys()].sort()).toEqual([...expected.keys()].sort())
          for (const [to, share] of expected) expect(Math.abs(found.get(to)! - share)).toBeLessThan(1e-7)
        }
      }),
    ))

  test('two facets equally steep take half each: a spur between two of them, and a ridge', () => {
    // Falls of 1 to the east, 1.5 to both corners beside it: the facets on both sides have the same slope and mirrored angles.
    const spur = elevationGrid([
      [5, 5, 3.5],
      [5, 5, 4],
      [5, 5, 3.5],
    ])
    const shares = sharesOf(spur, byFacets, 4)
    const aside = Math.atan2(0.5, 1) / (Math.PI / 4)
    expect(shares.get(5)).toBeCloseTo(1 - aside, 6)
    expect(shares.get(2)).toBeCloseTo(aside / 2, 6)
    expect(shares.get(8)).toBe(shares.get(2))
    const ridge = elevationGrid([
      [9, 5, 9],
      [9, 6, 9],
      [9, 5, 9],
    ])
    expect(sharesOf(ridge, byFacets, 4)).toEqual(
      new Map([
        [1, 0.5],
        [7, 0.5],
      ]),
    )
  })

  test('a cell in a corner of the raster, where no facet is whole, takes its steepest neighbours', () => {
    const ground = elevationGrid([
      [5, 4, Number.NaN],
      [4, Number.NaN, 9],
      [Number.NaN, 9, 9],
    ])
    const net = flowNetwork(ground, drainage(ground), byFacets)
    expect(net.facet[0]).toBe(EVEN)
    expect(sharesOf(ground, byFacets, 0)).toEqual(
      new Map([
        [1, 0.5],
        [3, 0.5],
      ]),
    )
  })
})

describe('multiple flow', () => {
  test('oracle: shares are the slopes to a power times the contour length, over their sum', () =>
    fc.assert(
      fc.property(
        someGround,
        fc.constantFrom(0.5, 1, 1.1, 4, 6),
        fc.constantFrom([1, 1] as const, QUINN_CONTOUR_CELLS),
        (ground, exponent, contour_cells) => {
          const net = flowNetwork(ground, drainage(ground), multiple({ exponent, contour_cells }))
          for (const cell of net.order) {
            const lower = neighboursOf(ground, cell)
              .filter(n => ground.data[n.cell]! < ground.data[cell]!)
              .map(n => ({
                cell: n.cell,
                slope: (ground.data[cell]! - ground.data[n.cell]!) / n.away,
                part:
                  ((ground.data[cell]! - ground.data[n.cell]!) / n.away) ** exponent * (n.away === 1 ? contour_cells[0] : contour_cells[1]),
              }))
            if (lower.length === 0) continue
            const sum = lower.reduce((all, n) => all + n.part, 0)
            const found = new Map<number, number>()
            eachReceiver(net, cell, (to, share) => found.set(to, share))
            // Each part is kept to 2⁻²⁵ of what the steepest slope has on a contour of one cell.
            const steepest = Math.max(...lower.map(n => n.slope)) ** exponent
            for (const n of lower) {
              const share = n.part / sum
              const kept = (2 ** -25 * (1 + lower.length * share) * steepest) / sum
              expect(Math.abs((found.get(n.cell) ?? 0) - share)).toBeLessThan(kept + 1e-9)
            }
          }
        },
      ),
    ))

  test('the higher the power, the more the steepest neighbour takes [Holmgren 1994]', () => {
    const ground = elevationGrid([
      [101, 100.2, 99.8],
      [100.6, 100, 99.2],
      [100.1, 99.5, 99],
    ])
    const steepest = [0.5, 1, 1.1, 2, 4, 6, 10, 100].map(exponent => sharesOf(ground, multiple({ exponent }), 4).get(5)!)
    expect(steepest).toEqual([...steepest].sort((a, b) => a - b))
    expect(steepest[steepest.length - 1]).toBeGreaterThan(0.999)
  })

  test('each lower neighbour of a peak gets water; a cell with one lower neighbour is no `MANY`', () => {
    const peak = gridOf(9, 9, 1, cone(0.1, [4.5, 4.5]))
    expect(sharesOf(peak, multiple(), 4 * 9 + 4).size).toBe(8)
    const slot = elevationGrid([
      [9, 9, 9],
      [9, 5, 4],
      [9, 9, 9],
    ])
    expect(flowNetwork(slot, drainage(slot), multiple()).facet[4]).toBe(2)
    expect(flowNetwork(peak, drainage(peak), multiple()).facet[4 * 9 + 4]).toBe(MANY)
  })

  test('a power that is not above 0, and contour lengths that are not, are refused', () => {
    for (const exponent of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => multiple({ exponent })).toThrow(expect.objectContaining({ code: 'flow/bad-exponent' }))
    for (const contour_cells of [
      [0, 1],
      [1, Number.NaN],
      [2, 1],
    ] as const)
      expect(() => multiple({ contour_cells })).toThrow(expect.objectContaining({ code: 'flow/bad-contour' }))
  })
})

test('methods that share with two at the most hold no table of eight weights', () => {
  const ground = gridOf(12, 12, 1, cone(0.1, [6.2, 5.9]))
  for (const method of [byVector, single, byFacets]) expect(flowNetwork(ground, drainage(ground), method).many).toBeNull()
})

test('a fall that points exactly at a slant neighbour which is no way down goes by the one straight neighbour beside it that is', () => {
  const ground = elevationGrid([
    [20, 13, 20],
    [15, 10, 11],
    [2, 9, 12],
  ])
  // It falls by 2 to the east and by 2 to the south; of south-east, east and south only the south is lower. The hole in the south-west is aside.
  const { facet, toNext } = flowNetwork(ground, drainage(ground))
  expect([facet[4], toNext[4]]).toEqual([4, 0])
})

test('a hollow’s water may come down in the raster’s first cell, or leave over it', () => {
  const over = elevationGrid([
    [0, 9, 9, 9],
    [9, 5, 9, 9],
    [9, 9, 1, 9],
    [9, 9, 9, 9],
  ])
  const net = flowNetwork(over, drainage(over))
  expect([net.jump[1], net.landed.get(0)]).toEqual([0, [10]])
  const off = elevationGrid([
    [5, 9, 9],
    [9, 1, 9],
    [9, 9, 9],
  ])
  expect(flowNetwork(off, drainage(off)).jump[1]).toBe(-1)
})
