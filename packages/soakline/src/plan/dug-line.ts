import { type DugLine, type DugProfile, groundAsDug, heldOnGround } from '../earthworks/index.js'
import { type Bounds, distance_m, type ElevationGrid, groundWindow, type Point } from '../raster/index.js'
import type { LineDitch, LineGround } from './line-ditch.js'
import type { Spillway } from './spillway.js'

/** The ditch as `groundAsDug` takes it: cut, berm, and the sill where it spills. */
export function dugLineOf(
  line: readonly Point[],
  ground: LineGround,
  ditch: LineDitch,
  sill: { readonly chainage_m: number; readonly length_m: number } | null,
): DugLine {
  // The berm lies on the side to which the ground falls.
  const rises = ground.stakes.reduce((sum, { crossSlope_ratio }) => sum + (Number.isNaN(crossSlope_ratio) ? 0 : crossSlope_ratio), 0)
  const half_m = sill ? Math.min(sill.length_m, ground.length_m) / 2 : 0
  const middle_m = sill ? Math.min(Math.max(sill.chainage_m, half_m), ground.length_m - half_m) : 0
  return {
    line,
    downhill: rises > 0 ? 'right' : 'left',
    bed_m: ditch.bed_m,
    stakes: ditch.stakes.map(({ chainage_m, section, bed_m }) => ({
      chainage_m,
      section: section satisfies DugProfile,
      bedRise_m: bed_m - ditch.bed_m,
    })),
    ...(sill ? { sill: { from_m: middle_m - half_m, to_m: middle_m + half_m, z_m: ditch.sillLevel_m } } : {}),
  }
}

/** Cells of the fine ground on which the store is counted again, per width of the bed. Source: judgement, the volume errs by under 1 %. */
const CELLS_PER_BED = 8

/**
 * What the ditch holds to where it first spills, counted cell by cell on the ground as dug: a check on the sections. Null where the water reaches
 * beyond the works' surroundings.
 */
export function storedAsDug_m3(
  base: ElevationGrid,
  dug: DugLine,
  ditch: LineDitch,
  bedWidth_m: number,
  spill: Spillway | null,
): number | null {
  const { sill: _sill, ...closed } = dug
  const cell_m = Math.max(0.05, (bedWidth_m > 0 ? bedWidth_m : 0.5) / CELLS_PER_BED)
  const ground = groundAsDug(base, spill ? dug : closed, { cell_m })
  const bounds = boundsRound(dug.line, AROUND_m)
  if (((bounds.east_m - bounds.west_m) * (bounds.north_m - bounds.south_m)) / (cell_m * cell_m) > MOST_CELLS) return null
  const held = heldOnGround(groundWindow(ground, bounds, cell_m), bedPlaces(dug), ditch.bed_m + ditch.spillLevel_m)
  return held.reachesRim ? null : held.volume_m3
}

/** Ground looked at round the line; water that stands further off is not the ditch's. Source: judgement. */
const AROUND_m = 15
/** More cells than this are not counted through. Source: judgement. */
const MOST_CELLS = 8_000_000

/** The rectangle round a path with room on all sides. */
export function boundsRound(path: readonly Point[], room_m: number): Bounds {
  const [xs, ys] = [path.map(([x]) => x), path.map(([, y]) => y)]
  return {
    west_m: Math.min(...xs) - room_m,
    east_m: Math.max(...xs) + room_m,
    south_m: Math.min(...ys) - room_m,
    north_m: Math.max(...ys) + room_m,
  }
}

/** Places in the middle of the bed, uphill of the line. */
function bedPlaces({ line, downhill, stakes }: DugLine): Point[] {
  const half_m = stakes[0]!.section.lip_x_m > 0 ? stakes[0]!.section.lip_x_m / 2 : -stakes[0]!.section.uphillEdge_x_m / 2
  const side = downhill === 'right' ? 1 : -1
  return line.slice(1).map((b, k): Point => {
    const a = line[k]!
    const length = distance_m(a, b)
    const [dx, dy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length]
    return [(a[0] + b[0]) / 2 - side * dy * half_m, (a[1] + b[1]) / 2 + side * dx * half_m]
  })
}
