import fc from 'fast-check'
import { type ElevationGrid, elevationGrid, type Point, surfaceValue } from 'soakline/raster'
import { offLevel } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 61, numRuns: cases(100) })

const share = evenly(0, 1)

/** Ground less level at many places of a piece. */
function sampled(ground: ElevationGrid, a: Point, b: Point, levelA_m: number, levelB_m: number): number[] {
  return Array.from({ length: 2001 }, (_, n) => {
    const t = n / 2000
    return surfaceValue(ground, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]) - levelA_m - t * (levelB_m - levelA_m)
  })
}

describe('ground along a piece', () => {
  test('oracle: the extremes of two thousand samples, to what lies between two of them', () =>
    fc.assert(
      fc.property(anyDice({ most: 6, high: 6 }), share, share, share, share, evenly(-2, 2), (ground, ax, ay, bx, by, level) => {
        const { width, height } = ground.geometry
        const at = (x: number, y: number): Point => [0.5 + x * (width - 1), 0.5 + y * (height - 1)]
        const [a, b] = [at(ax, ay), at(bx, by)]
        const off = offLevel(ground, a, b, level, 1)
        const heights = sampled(ground, a, b, level, 1)
        if (heights.some(z => Number.isNaN(z))) expect(off).toBeNull()
        if (off === null) return
        const [most, least] = [Math.max(...heights), Math.min(...heights)]
        expect(off.above_m).toBeGreaterThanOrEqual(most - 1e-9)
        expect(off.below_m).toBeLessThanOrEqual(least + 1e-9)
        // Dice of 6 rise at most 12 m in a cell; a turn between samples is off by their spacing squared, a rim by their spacing.
        expect(off.above_m - most).toBeLessThan(0.05)
        expect(least - off.below_m).toBeLessThan(0.05)
      }),
    ))

  // z = 4·a·b on one patch: along the diagonal from north-west to south-east it is 4·t², along the other 4·t·(1 − t).
  const twisted = elevationGrid([
    [0, 0],
    [0, 4],
  ])
  const nw: Point = [0.5, 1.5]
  const ne: Point = [1.5, 1.5]
  const sw: Point = [0.5, 0.5]
  const se: Point = [1.5, 0.5]

  test('worked cases: the turn inside the piece counts, one at its end or beyond it does not', () => {
    expect(offLevel(twisted, ne, sw, 0, 0)).toEqual({ above_m: 1, below_m: 0 })
    expect(offLevel(twisted, ne, sw, 1, 1)).toEqual({ above_m: 0, below_m: -1 })
    expect(offLevel(twisted, nw, se, 0, 0)).toEqual({ above_m: 4, below_m: 0 })
    // 4·t² less 4·t: its least, −1, is at the middle.
    expect(offLevel(twisted, nw, se, 0, 4)).toEqual({ above_m: 0, below_m: -1 })
    // From the middle of the second diagonal on it only falls.
    expect(offLevel(twisted, [1, 1], sw, 0, 0)).toEqual({ above_m: 1, below_m: 0 })
  })

  test('on a slope it is the ends alone; on the raster’s outermost centres too', () => {
    const slope = elevationGrid([
      [0, 1, 2],
      [0, 1, 2],
      [0, 1, 2],
    ])
    expect(offLevel(slope, [0.5, 2.5], [2.5, 2.5], 0, 0)).toEqual({ above_m: 2, below_m: 0 })
    expect(offLevel(slope, [0.5, 0.5], [2.5, 0.5], 0, 2)).toEqual({ above_m: 0, below_m: 0 })
    expect(offLevel(slope, [2.5, 0.5], [2.5, 2.5], 1, 3)).toEqual({ above_m: 1, below_m: -1 })
    expect(offLevel(slope, [1.5, 1.5], [1.5, 1.5], 0.25, 0.25)).toEqual({ above_m: 0.75, below_m: 0.75 })
  })

  test('a piece that passes a rim where the slope breaks: the break counts, whichever way it is walked', () => {
    const roof = elevationGrid([
      [0, 3, 1],
      [0, 3, 1],
    ])
    const [a, b]: Point[] = [
      [0.5, 1],
      [2.5, 1],
    ] as Point[]
    expect(offLevel(roof, a!, b!, 0, 1)).toEqual({ above_m: 2.5, below_m: 0 })
    expect(offLevel(roof, b!, a!, 1, 0)).toEqual({ above_m: 2.5, below_m: 0 })
  })

  test('a piece across a void, and one that leaves the surface, tell nothing', () => {
    const hole = elevationGrid([
      [1, 1, 1, Number.NaN, 1, 1],
      [1, 1, 1, Number.NaN, 1, 1],
    ])
    expect(offLevel(hole, [0.5, 1], [2.5, 1], 0, 0)).toEqual({ above_m: 1, below_m: 1 })
    expect(offLevel(hole, [0.5, 1], [5.5, 1], 0, 0)).toBeNull()
    expect(offLevel(hole, [0.5, 1], [2.6, 1], 0, 0)).toBeNull()
    expect(offLevel(hole, [0.4, 1], [2, 1], 0, 0)).toBeNull()
    expect(offLevel(hole, [0.5, 1], [2, 1.6], 0, 0)).toBeNull()
  })
})
