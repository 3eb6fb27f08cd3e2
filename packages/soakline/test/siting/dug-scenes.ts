import { crossSection, type DugLine, type Section } from 'soakline/earthworks'
import { type ElevationGrid, type Point, surfaceValue } from 'soakline/raster'
import type { FeatureKind, SiteFeature } from 'soakline/siting'
import { USUAL_DITCH } from '../../../../tests/helpers/ditches.js'

/** A level ditch along a line of one height, the berm on its lower side. */
export function dugAlong(base: ElevationGrid, line: readonly Point[], slope_ratio: number, taller_m = 0): DugLine {
  const made = crossSection(USUAL_DITCH, slope_ratio)
  const section: Section =
    taller_m === 0
      ? made
      : crossSection(
          {
            ...USUAL_DITCH,
            bermPerCut_ratio: USUAL_DITCH.bermPerCut_ratio + 3 * taller_m,
            freeboard_m: USUAL_DITCH.freeboard_m + taller_m,
          },
          slope_ratio,
        )
  const middle = Math.floor(line.length / 2)
  const [ax, ay] = line[middle - 1]!
  const [bx, by] = line[middle]!
  const long = Math.hypot(bx - ax, by - ay)
  const aside = (sense: number): number => surfaceValue(base, [ax - (sense * (by - ay)) / long, ay + (sense * (bx - ax)) / long])
  const downhill = aside(1) < aside(-1) ? 'left' : 'right'
  return { line, downhill, bed_m: surfaceValue(base, line[0]!) - section.lip_z_m, stakes: [{ chainage_m: 0, section }] }
}

export const withSill = (dug: DugLine, from_m: number, to_m: number, z_m = dug.stakes[0]!.section.lip_z_m): DugLine => ({
  ...dug,
  sill: { from_m, to_m, z_m },
})

/** A square building round a place. */
export const cabin = ([x, y]: Point, half_m = 3, floor_m: number | null = null, id = 'cabin'): SiteFeature => ({
  id,
  kind: 'building',
  name: null,
  floor_m,
  shapes: [
    {
      type: 'polygon',
      rings: [
        [
          [x - half_m, y - half_m],
          [x + half_m, y - half_m],
          [x + half_m, y + half_m],
          [x - half_m, y + half_m],
        ],
      ],
    },
  ],
})

export const lineFeature = (kind: FeatureKind, path: readonly Point[], id: string = kind): SiteFeature => ({
  id,
  kind,
  name: null,
  floor_m: null,
  shapes: [{ type: 'line', path }],
})

export const areaFeature = (
  kind: FeatureKind,
  west: number,
  south: number,
  east: number,
  north: number,
  id: string = kind,
): SiteFeature => ({
  id,
  kind,
  name: null,
  floor_m: null,
  shapes: [
    {
      type: 'polygon',
      rings: [
        [
          [west, south],
          [east, south],
          [east, north],
          [west, north],
        ],
      ],
    },
  ],
})

/** How far a place lies aside of the straight way in a heading. */
export const aside_m = ([ax, ay]: Point, [east, north]: Point, [x, y]: Point): number => Math.abs((x - ax) * north - (y - ay) * east)
