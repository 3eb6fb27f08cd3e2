import fc from 'fast-check'
import { type Drainage, drainage, filledSurface, hollows, LEAVES, SINK, VOID } from 'soakline/hydrology'
import { type ElevationGrid, elevationGrid, neighbourOffsets } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { atLeast, atMost, same } from '../../../../tests/helpers/in-each-cell.js'
import { fillByRelaxation, neighboursOf, outletsOf, steepestByHand } from '../../../../tests/helpers/slow-oracles.js'
import { dice, framed, reshaped, SYMMETRIES, TIE_FREE, terrain, turned, turning } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 20, numRuns: cases(100) })

const filled = (ground: ElevationGrid, keep: readonly number[] = []): Float32Array => filledSurface(ground, drainage(ground, { keep })).data

/** Follows the directions from every cell; the code at which each walk ends. Fails on a circle. */
function expectAllArrive({ direction, basin, basins, geometry }: Drainage, kept: ReadonlySet<number>): void {
  const offsets = neighbourOffsets(geometry.width)
  for (let start = 0; start < direction.length; start++) {
    if (direction[start] === VOID) continue
    let cell = start
    let steps = 0
    while (direction[cell]! < 8) {
      cell += offsets[direction[cell]!]!
      if (++steps > direction.length) expect.fail(`a circle from cell ${start}`)
    }
    if (direction[cell] === SINK) same(kept.has(basins.pit[basin[cell]!]!), true, `sink ${cell} is a kept pit`)
    else same(direction[cell], LEAVES)
  }
}

describe('laws of filling, on random ground', () => {
  test('P1, P3, P4: each cell is as high as the lowest way out makes it (slow definition), so only hollows change', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice(), anyTerrain({ most: 20 })), ground => {
        const fast = filled(ground)
        expect([...fast]).toEqual([...fillByRelaxation(ground)])
        for (const [cell, z] of fast.entries()) if (!Number.isNaN(z)) atLeast(z, ground.data[cell]!)
      }),
      { numRuns: cases(400) },
    ))

  test('P2: filling twice changes nothing', () =>
    fc.assert(
      fc.property(anyTerrain(), ground => {
        const once = filled(ground)
        expect([...filled({ ...ground, data: once })]).toEqual([...once])
      }),
    ))

  test('P5: adding a height shifts the answer, stretching stretches it', () =>
    fc.assert(
      fc.property(
        anyDice({ most: 20, high: 9 }),
        fc.integer({ min: -50, max: 50 }),
        fc.constantFrom(0.5, 2, 64),
        (ground, shift, stretch) => {
          const plain = filled(ground)
          expect([...filled(reshaped(ground, z => z + shift))]).toEqual([...plain].map(z => z + shift))
          expect([...filled(reshaped(ground, z => z * stretch))]).toEqual([...plain].map(z => z * stretch))
        },
      ),
    ))

  test('P6: lowering one cell raises no other', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 20 }), evenly(0, 0.999999), fc.double({ min: 0.01, max: 3, noNaN: true }), (ground, where, by) => {
        const lowered = Math.floor(where * ground.data.length)
        const before = filled(ground)
        const after = filled(reshaped(ground, (z, cell) => (cell === lowered ? z - by : z)))
        for (const [cell, z] of before.entries()) if (!Number.isNaN(z)) atMost(after[cell], z)
      }),
    ))

  test('kept hollows stay open, and let in what spills toward them', () =>
    fc.assert(
      fc.property(
        fc.oneof(anyDice({ least: 4, most: 10 }), anyTerrain({ most: 16 })),
        fc.integer({ min: 0, max: 1000 }),
        (ground, which) => {
          const { basins, basin } = drainage(ground)
          if (basins.pit.length < 2) return
          const pit = basins.pit[1 + (which % (basins.pit.length - 1))]!
          const inside = [...basin.keys()].filter(cell => basin[cell] === basin[pit])
          expect([...filled(ground, [pit])]).toEqual([...fillByRelaxation(ground, inside)])
        },
      ),
    ))

  test('P11: a frame of void round the ground changes nothing', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 20 }), fc.integer({ min: 1, max: 3 }), (ground, frame) => {
        const { width, height } = ground.geometry
        const wide = framed(ground, frame)
        const plain = drainage(ground)
        const inFrame = drainage(wide)
        const within = [...ground.data.keys()].map(
          cell => (Math.floor(cell / width) + frame) * (width + 2 * frame) + (cell % width) + frame,
        )
        expect(within.map(cell => inFrame.direction[cell])).toEqual([...plain.direction])
        expect(within.map(cell => filledSurface(wide, inFrame).data[cell])).toEqual([...filledSurface(ground, plain).data])
        expect(inFrame.direction.filter(code => code === VOID)).toHaveLength(
          wide.data.length - width * height + plain.direction.filter(code => code === VOID).length,
        )
      }),
    ))
})

describe('laws of directions, on random ground', () => {
  test('failures 66, 77: P7, P8: every cell leads off the raster or into a kept pit, without a circle', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain()), fc.integer({ min: 0, max: 3 }), (ground, keeps) => {
        const pits = [...drainage(ground).basins.pit].slice(1)
        const kept = pits.filter((_, k) => k % 4 < keeps)
        expectAllArrive(drainage(ground, { keep: kept }), new Set(kept))
      }),
      { numRuns: cases(500) },
    ))

  test('P9, P12: never uphill on the filled surface, never into a void', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain()), ground => {
        const drained = drainage(ground)
        const surface = filledSurface(ground, drained).data
        const offsets = neighbourOffsets(ground.geometry.width)
        drained.direction.forEach((code, cell) => {
          expect(code === VOID).toBe(Number.isNaN(ground.data[cell]!))
          if (code > 7) return
          const to = neighboursOf(ground, cell).find(n => n.direction === code)
          expect(to?.cell).toBe(cell + offsets[code]!)
          expect(surface[to!.cell]).toBeLessThanOrEqual(surface[cell]!)
        })
      }),
    ))

  test('oracle: off ties the slope’s own direction is the steepest way down, found by hand', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12, high: 9 }), anyTerrain()), ground => {
        const { slope } = drainage(ground)
        steepestByHand(ground).forEach((expected, cell) => {
          if (expected === 'leaves') expect(slope[cell]! === LEAVES || slope[cell]! < 8).toBe(true)
          else if (expected !== null) expect(slope[cell]).toBe(expected)
        })
      }),
    ))

  test('failure 75: outlets: only rim cells with nothing lower in the raster lead off it by slope', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 20 }), ground => {
        const { slope } = drainage(ground)
        const rim = new Set(outletsOf(ground))
        slope.forEach((code, cell) => {
          if (code === VOID) return
          const hasLower = neighboursOf(ground, cell).some(n => ground.data[n.cell]! < ground.data[cell]!)
          expect(code === LEAVES).toBe(rim.has(cell) && !hasLower)
          same(code === SINK, !rim.has(cell) && !hasLower)
        })
      }),
    ))

  test('oracle: a basin’s level is the height of its pit’s filled surface, its pass lies on its own rim', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 10 }), anyTerrain({ most: 16 })), ground => {
        const { basin, basins } = drainage(ground)
        const slow = fillByRelaxation(ground)
        for (let b = 1; b < basins.pit.length; b++) {
          const [inside, outside] = [basins.passInside[b]!, basins.passOutside[b]!]
          expect(basin[basins.pit[b]!]).toBe(b)
          expect(basins.level_m[b]).toBe(slow[basins.pit[b]!])
          expect(basin[inside]).toBe(b)
          if (outside < 0) expect([basins.next[b], basins.pass_m[b]]).toEqual([0, ground.data[inside]])
          else {
            expect(basin[outside]).toBe(basins.next[b])
            expect(basins.pass_m[b]).toBe(Math.max(ground.data[inside]!, ground.data[outside]!))
            expect(neighboursOf(ground, inside).map(n => n.cell)).toContain(outside)
          }
        }
      }),
    ))

  test('P10: on ground without ties a turned or mirrored raster gives turned directions', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 24 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const { width, height } = ground.geometry
        const { from } = turning(width, height, symmetry)
        const to = new Int32Array(from.length)
        for (const [now, old] of from.entries()) to[old] = now
        const plain = drainage(ground)
        const after = drainage(turned(ground, symmetry))
        const offsets = neighbourOffsets(width)
        const turnedOffsets = neighbourOffsets(after.geometry.width)
        const moved = [...from].map(old => {
          const code = plain.direction[old]!
          return code > 7 ? code : turnedOffsets.indexOf(to[old + offsets[code]!]! - to[old]!)
        })
        expect([...after.direction]).toEqual(moved)
      }),
      { numRuns: cases(300) },
    ))

  test('the same ground gives the same bytes', () => {
    const ground = terrain('metres with gaps', 5, 40, 30)
    expect(drainage(ground)).toEqual(drainage({ ...ground, data: ground.data.slice() }))
  })

  test('rasters of one cell, one row, one column and nothing but void are answered', () => {
    for (const rows of [
      [[3]],
      [[3, 1, 2, 1, 3]],
      [[3], [1], [2]],
      [
        [Number.NaN, Number.NaN],
        [Number.NaN, Number.NaN],
      ],
      [[Number.NaN, 1, Number.NaN]],
    ]) {
      const ground = elevationGrid(rows)
      expectAllArrive(drainage(ground), new Set())
      expect([...filled(ground)]).toEqual([...ground.data])
    }
  })
})

describe('hollows', () => {
  test('laws: together they hold what filling adds; each spills at its own rim, beside ground that leads on', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 25 })), ground => {
        const drained = drainage(ground)
        const surface = filledSurface(ground, drained)
        const found = hollows(ground, surface, drained)
        let added = 0
        surface.data.forEach((z, cell) => {
          if (z - ground.data[cell]! > 1e-6) added += z - ground.data[cell]!
        })
        expect(found.reduce((sum, h) => sum + h.volume_m3, 0)).toBeCloseTo(added, 6)
        for (const h of found) {
          expect(h.depth_m).toBeCloseTo(h.rim_m - ground.data[h.deepest]!, 6)
          expect(h.area_m2).toBe(h.cells)
          expect(h.volume_m3).toBeLessThanOrEqual(h.depth_m * h.area_m2 * (1 + 1e-9))
          expect(h.volume_m3).toBeGreaterThan(0)
          expect(surface.data[h.spillCell]).toBe(Math.fround(h.rim_m))
        }
      }),
      { numRuns: cases(200) },
    ))

  test('a pond with an inner bar spills over its outer lip', () => {
    const ground = elevationGrid([
      [9, 9, 9, 9, 9, 9],
      [9, 2, 5, 1, 7, 3],
      [9, 9, 9, 9, 9, 9],
    ])
    const drained = drainage(ground)
    const [pond] = hollows(ground, filledSurface(ground, drained), drained)
    expect(pond).toMatchObject({ cells: 3, volume_m3: 5 + 2 + 6, depth_m: 6, rim_m: 7, deepest: 9, spillCell: 10 })
  })

  test('so it does when its deepest pit lies behind the bar: the spill is the pond’s, not the pit’s', () => {
    const ground = elevationGrid([
      [9, 9, 9, 9, 9, 9],
      [9, 1, 5, 2, 7, 3],
      [9, 9, 9, 9, 9, 9],
    ])
    const drained = drainage(ground)
    const [pond] = hollows(ground, filledSurface(ground, drained), drained)
    expect(pond).toMatchObject({ cells: 3, volume_m3: 6 + 2 + 5, rim_m: 7, deepest: 7, spillCell: 10 })
  })

  test('two ponds that touch at a corner are one part, cells of other heights apart are two', () => {
    const corner = elevationGrid([
      [9, 9, 9, 9],
      [9, 1, 9, 9],
      [9, 9, 2, 9],
      [9, 9, 9, 9],
    ])
    const apart = elevationGrid([
      [9, 9, 9, 9, 9],
      [9, 1, 9, 2, 9],
      [9, 9, 9, 9, 9],
    ])
    const count = (ground: ElevationGrid): number => {
      const drained = drainage(ground)
      return hollows(ground, filledSurface(ground, drained), drained).length
    }
    expect([count(corner), count(apart)]).toEqual([1, 2])
  })

  test('the volume of a cone’s hollow in cells of 2 m is counted in square metres', () => {
    const ground = reshaped(dice(1, 9, 9, 0), (_, cell) => Math.max(Math.abs((cell % 9) - 4), Math.abs(Math.floor(cell / 9) - 4)))
    const wide = { ...ground, geometry: { ...ground.geometry, cell_m: 2 } }
    const drained = drainage(wide)
    // Squares of side 1, 3, 5, 7 cells, one metre each.
    expect(hollows(wide, filledSurface(wide, drained), drained)).toMatchObject([
      { cells: 49, area_m2: 196, volume_m3: 4 * (1 + 9 + 25 + 49), depth_m: 4 },
    ])
  })
})
