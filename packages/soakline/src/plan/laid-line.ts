import { InputError } from '../foundation/index.js'
import { type ElevationGrid, type PathPlace, type Point, placeAlong, surfaceValue } from '../raster/index.js'
import type { Assessment } from './assessment.js'
import { dugLineOf } from './dug-line.js'
import {
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
import { spillOfBed_m } from './spill-place.js'

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
  const spillAt_m = spillOfBed_m(answer, ground, settings)
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
