import { crossSection, type DugLine } from 'soakline/earthworks'
import { releasedWater, studyWater } from 'soakline/hydrology'
import { cellAt, distance_m, type ElevationGrid, type Point, surfaceValue } from 'soakline/raster'
import {
  breachesAlong,
  dugGround,
  dugHeight_m,
  dugScratch,
  overflowAsDug,
  overflowInFull,
  SPILL_REASONS,
  spillChoice,
  spreadAsDug,
  wayAsDug,
} from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { USUAL_DITCH } from '../../../../tests/helpers/ditches.js'
import { TERRAINS, terrain } from '../../../../tests/helpers/surfaces.js'
import { areaFeature, cabin, lineFeature, withSill } from './dug-scenes.js'

/** A ditch along a straight line wherever it lies, its bed under the lowest ground. */
function anyDitch(base: ElevationGrid, a: Point, b: Point): DugLine | null {
  const line = Array.from({ length: 21 }, (_, k): Point => [a[0] + ((b[0] - a[0]) * k) / 20, a[1] + ((b[1] - a[1]) * k) / 20])
  const heights = line.map(place => surfaceValue(base, place))
  if (heights.some(Number.isNaN)) return null
  const side = (sense: number): number =>
    surfaceValue(base, [a[0] + (b[0] - a[0]) / 2 - (sense * (b[1] - a[1])) / 10, a[1] + (b[1] - a[1]) / 2 + (sense * (b[0] - a[0])) / 10])
  return {
    line,
    downhill: side(1) < side(-1) ? 'left' : 'right',
    bed_m: Math.min(...heights) - 0.4,
    stakes: [{ chainage_m: 0, section: crossSection(USUAL_DITCH, 0.1) }],
  }
}

describe('laws on invented ground of every kind', () => {
  for (const kind of TERRAINS)
    test(kind, () => {
      let ditches = 0
      for (const seed of [1, 2]) {
        const base = terrain(kind, seed, 60, 50)
        const study = studyWater(base)
        const lines = [anyDitch(base, [20, 30], [38, 33]), anyDitch(base, [15, 18], [30, 14])].flatMap((dug, k) =>
          dug ? [k === 0 ? withSill(dug, 4, 8) : dug] : [],
        )
        ditches += lines.length
        const dug = dugGround(study, lines)
        const features = [
          cabin([45.2, 20.7]),
          areaFeature('forest', 0, 0, 60, 8),
          lineFeature('track', [
            [0, 12],
            [60, 10],
          ]),
        ]
        const scratch = dugScratch(dug)
        for (const place of [
          [25.3, 40.2],
          [28.1, 31.3],
          [10.5, 9.5],
          [50.7, 44.4],
          [22.2, 16.9],
          [0.1, 0.2],
          [59.9, 49.9],
        ] as Point[]) {
          const way = wayAsDug(dug, place)
          const plain = releasedWater(study.ground, study.filled, study.drained, place)
          if (plain === null) expect(way).toBe(null)
          if (!way) continue
          // It ends, it never leaps, and it starts where it was let go.
          expect(way.points.length).toBeLessThan(20_000)
          expect(way.points[0]).toEqual(place)
          const leap_m = way.points.reduce((most, at, k) => (k === 0 ? 0 : Math.max(most, distance_m(way.points[k - 1]!, at))), 0)
          expect(leap_m).toBeLessThan(1.5)
          // Where it meets no works at all it is the way of the undisturbed ground.
          const nearWorks = [...way.points, ...plain!.points].some(([x, y]) => dug.windows.some(w => cellAt(w.ground.geometry, x, y) >= 0))
          if (!nearWorks) expect(way.points).toEqual(plain!.points)
          // Every walk leaves its memory empty.
          const once = spreadAsDug(dug, [place], scratch)
          expect(spreadAsDug(dug, [place], scratch)).toEqual(once)
          expect(scratch.baseSum.every(sum => sum === 0)).toBe(true)
          for (const inset of scratch.windows) expect(inset.sum.every(sum => sum === 0)).toBe(true)
          expect(new Set(once.cells).size).toBe(once.cells.length)
          const over = overflowAsDug(dug, features, place, { scratch })!
          expect(over.points.length + over.beyond.length).toBeGreaterThan(0)
        }
        for (const [index, { line }] of lines.entries()) {
          const answer = breachesAlong(
            dug,
            index,
            features,
            lines.map(() => ({ stored_m3: 5 })),
            0.05,
          )
          for (const stake of answer.stakes) {
            if (stake.reachesBuilding) expect(stake.below).toBe('building')
            expect(stake.volume_m3).toBe(5 * (1 + stake.alsoFall.length))
            if (stake.nearestBuilding_m !== null) expect(stake.nearestBuilding_m).toBeGreaterThanOrEqual(0)
          }
          const choice = spillChoice(dug, line, index, features, 0.02, { scratch })
          expect(choice.places.map(p => p.rank).sort((p, q) => p - q)).toEqual(choice.places.map((_, k) => k + 1))
          for (const { acceptable, reasons } of choice.places) {
            expect(acceptable).toBe(reasons.every(r => SPILL_REASONS[r.code].side !== 'forbids'))
            expect(reasons.length).toBeGreaterThan(0)
          }
          const from = choice.places.find(p => p.from)?.from
          const full = from && overflowInFull(dug, features, from, 0.05, { scratch, elevationError_m: 0.1 })
          if (full)
            for (const { bare, grassed, at } of full.stations)
              for (const { depth_m, velocity_ms } of [bare, grassed]) {
                expect(depth_m).toBeGreaterThanOrEqual(0)
                expect(velocity_ms).toBeGreaterThanOrEqual(0)
                expect(Number.isNaN(dugHeight_m(dug, at))).toBe(false)
              }
        }
      }
      if (kind === 'smooth' || kind === 'rough') expect(ditches).toBeGreaterThan(2)
    })
})
