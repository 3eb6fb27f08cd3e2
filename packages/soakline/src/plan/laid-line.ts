import { InputError } from '../foundation/index.js'
import { chainages_m, type ElevationGrid, type Point, surfaceValue } from '../raster/index.js'
import type { Assessment } from './assessment.js'
import { dugLineOf } from './dug-line.js'
import {
  bedLevel_m,
  bedRise_m,
  type LineDitch,
  type LineGround,
  type LineSection,
  lineDitch,
  lineGround,
  lineSection,
  spillToCrest_m,
} from './line-ditch.js'
import type { Settings } from './settings.js'

/** A line and its ditch as they are carried to the hillside. All papers for the site rest on this. Heights in the raster's datum. */
export interface LaidLine {
  readonly path: readonly Point[]
  readonly length_m: number
  /** On which side of the line, in its own direction, the berm lies. The line itself is the downhill lip of the cut. */
  readonly downhill: 'left' | 'right'
  readonly ground: LineGround
  readonly ditch: LineDitch
  readonly spillAt_m: number
  readonly freeboard_m: number
  /** The long sill; null while its length is not known. */
  readonly sill: { readonly from_m: number; readonly to_m: number; readonly level_m: number } | null
  /** Level of the low notch; null for none. */
  readonly notch_m: number | null
  readonly settings: Settings
  readonly surveyed: ElevationGrid
}

/**
 * The ditch of an answer, laid out; null where the answer has none.
 *
 * Throws  `line/outside`, `line/too-short`.
 */
export function laidLine(
  surveyed: ElevationGrid,
  answer: Pick<Assessment, 'line' | 'acceptance' | 'section' | 'spillway' | 'spills'>,
  settings: Settings,
): LaidLine | null {
  if (answer.section === null) return null
  const { path } = answer.line
  const ground = lineGround(surveyed, path)
  const spillAt_m = spillOf(answer, ground, settings)
  const { freeboard_m } = answer.acceptance
  const ditch = lineDitch(ground, settings, spillAt_m, freeboard_m)
  if (ditch === null) return null
  const { downhill, sill } = dugLineOf(path, ground, ditch, answer.spillway)
  return {
    path,
    length_m: ground.length_m,
    downhill,
    ground,
    ditch,
    spillAt_m,
    freeboard_m,
    sill: sill ? { from_m: sill.from_m, to_m: sill.to_m, level_m: ditch.bed_m + ditch.sillLevel_m } : null,
    notch_m: ditch.notch ? ditch.bed_m + ditch.notch.crest_m : null,
    settings,
    surveyed,
  }
}

/** Where the answer's ditch spills: the place from which its bed lies as it does. */
function spillOf({ line, spillway, spills }: Parameters<typeof laidLine>[1], ground: LineGround, settings: Settings): number {
  if (spillway) return spillway.chainage_m
  const ranked = [...spills].sort((a, b) => a.rank - b.rank).map(spill => spill.chainage_m)
  const places = [...(settings.spillChainage_m === null ? [] : [settings.spillChainage_m]), ...ranked]
  const same = places.find(place => Math.abs(bedLevel_m(ground, settings, place) - line.bedElevation_m) < 1e-6)
  return same ?? places[0] ?? 0
}

/** A place along a path: where it is, and which way the path runs there. */
export interface PathPlace {
  readonly at: Point
  readonly heading: Point
}

/** The place at a distance along a path, held within its ends. At a bend the heading is that of the piece before. */
export function placeAlong(path: readonly Point[], chainage_m: number): PathPlace {
  const along = chainages_m(path)
  const length_m = along[along.length - 1]!
  const here = Math.min(Math.max(chainage_m, 0), length_m)
  let piece = 1
  while (piece < path.length - 1 && (along[piece]! < here || along[piece] === along[piece - 1])) piece++
  const a = path[piece - 1]!
  const b = path[piece]!
  const span = along[piece]! - along[piece - 1]!
  const t = span > 0 ? (here - along[piece - 1]!) / span : 0
  return {
    at: [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])],
    heading: span > 0 ? [(b[0] - a[0]) / span, (b[1] - a[1]) / span] : [1, 0],
  }
}

/** The ditch at one place of the line. */
export interface LaidPlace extends PathPlace {
  readonly chainage_m: number
  readonly ground_m: number
  readonly bed_m: number
  readonly section: LineSection
  readonly inSill: boolean
}

/** How far across the line its slope is taken, as for the stakes of the ditch. */
const ACROSS_m = 3

/** The ditch at any distance along the line, on the ground's own slope there; where it cannot be dug just there, the section of the nearest stake. */
export function laidAt(laid: LaidLine, chainage_m: number): LaidPlace {
  const { path, length_m, ground, ditch, spillAt_m, settings, surveyed, sill } = laid
  const here = Math.min(Math.max(chainage_m, 0), length_m)
  const place = placeAlong(path, here)
  const nearest = ditch.stakes[Math.min(ditch.stakes.length - 1, Math.round(here / ditch.spacing_m))]!
  const height_m = surfaceValue(surveyed, place.at)
  const ground_m = Number.isNaN(height_m) ? nearest.ground_m : height_m
  const bed_m = ditch.bed_m + bedRise_m(settings, spillAt_m, here)
  return {
    ...place,
    chainage_m: here,
    ground_m,
    bed_m,
    section: sectionOr(nearest.section, () =>
      lineSection(
        settings,
        slopeAcross(surveyed, place, ground.meanSlope_ratio),
        ground_m - bed_m,
        spillToCrest_m(settings, laid.freeboard_m),
      ),
    ),
    inSill: sill !== null && here > sill.from_m + 1e-9 && here < sill.to_m - 1e-9,
  }
}

/** A place beside the line: downhill positive. */
export function beside({ path, downhill }: Pick<LaidLine, 'path' | 'downhill'>, chainage_m: number, offset_m: number): Point {
  const { at, heading } = placeAlong(path, chainage_m)
  const side = downhill === 'right' ? offset_m : -offset_m
  return [at[0] + heading[1] * side, at[1] - heading[0] * side]
}

function slopeAcross(surveyed: ElevationGrid, { at, heading }: PathPlace, mean_ratio: number): number {
  const reach_m = Math.max(surveyed.geometry.cell_m, ACROSS_m)
  const left = surfaceValue(surveyed, [at[0] - heading[1] * reach_m, at[1] + heading[0] * reach_m])
  const right = surfaceValue(surveyed, [at[0] + heading[1] * reach_m, at[1] - heading[0] * reach_m])
  const slope_ratio = Math.abs((left - right) / (2 * reach_m))
  return Number.isNaN(slope_ratio) ? mean_ratio : slope_ratio
}

function sectionOr(otherwise: LineSection, work: () => LineSection): LineSection {
  try {
    return work()
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return otherwise
    throw error
  }
}
