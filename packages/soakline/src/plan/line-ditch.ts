import {
  averageEndArea_m3,
  type CutShape,
  checkSpacing_m,
  crossSection,
  cutArea_m2,
  type DugSection,
  ditchWater,
  drawnToDepth,
  dugSection,
  earthAlong,
  linePool,
  type PoolLevel,
  type Section,
  type SectionShape,
  type Weir,
} from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import type { SoakLevel } from '../hydrology/index.js'
import { type ElevationGrid, type Point, pathLength_m } from '../raster/index.js'
import { type ProfilePoint, profileAlong } from '../terrain/index.js'
import type { Settings } from './settings.js'

/** Greatest distance between the stakes at which the section is taken. */
const STAKE_m = 2

/** A ditch's section with the shape that was asked for, whatever its form. */
export type LineSection = Pick<
  Section,
  | 'shape'
  | 'groundSlope_ratio'
  | 'ground'
  | 'dug'
  | 'cutRing'
  | 'bermRing'
  | 'cut_m2'
  | 'berm_m2'
  | 'sill_z_m'
  | 'crest_z_m'
  | 'lip_z_m'
  | 'lip_x_m'
  | 'uphillEdge_x_m'
  | 'outerToe_x_m'
  | 'topWidth_m'
  | 'holds_z_m'
  | 'storageToSill_m2'
  | 'storageToCrest_m2'
  | 'waterAgainstFill_m'
> & { readonly bed_m?: number }

/** The ground along the line, every metre: stakes, and the places half-way between them. */
export interface LineGround {
  readonly length_m: number
  /** At the stakes. */
  readonly stakes: readonly ProfilePoint[]
  readonly halfWays: readonly ProfilePoint[]
  readonly spacing_m: number
  readonly meanSlope_ratio: number
}

/**
 * The ground along a line.
 *
 * Throws  `line/outside` where the line leaves the raster or crosses a gap, `line/too-short`.
 */
export function lineGround(surveyed: ElevationGrid, line: readonly Point[]): LineGround {
  const { cell_m } = surveyed.geometry
  const length_m = pathLength_m(line)
  if (line.length < 2 || length_m < cell_m)
    throw new InputError('line/too-short', `The line is ${length_m} m long, shorter than one cell (${cell_m} m). Draw a longer one.`, {
      length_m,
    })
  const spans = Math.max(1, Math.ceil(length_m / STAKE_m - 1e-9))
  const profile = profileAlong(surveyed, line, length_m / (2 * spans))
  const lost = profile.find(p => Number.isNaN(p.ground_m))
  if (lost)
    throw new InputError(
      'line/outside',
      `At ${lost.chainage_m} m along the line there is no ground: it leaves the raster or crosses a gap in it. Draw it inside the elevation data.`,
      { chainage_m: lost.chainage_m },
    )
  const stakes = profile.filter((_, k) => k % 2 === 0)
  const slopes = stakes.map(p => Math.abs(p.crossSlope_ratio)).filter(s => !Number.isNaN(s))
  return {
    length_m,
    stakes,
    halfWays: profile.filter((_, k) => k % 2 === 1),
    spacing_m: length_m / (stakes.length - 1),
    meanSlope_ratio: slopes.length > 0 ? slopes.reduce((a, b) => a + b, 0) / slopes.length : 0,
  }
}

/** A stake of the ditch as it is to be dug. Heights in the raster's datum. */
export interface DitchStake {
  readonly chainage_m: number
  readonly ground_m: number
  readonly bed_m: number
  readonly section: LineSection
}

/** The ditch along a line. Levels of pool and openings stand above `bed_m`. */
export interface LineDitch {
  readonly stakes: readonly DitchStake[]
  readonly spacing_m: number
  /** The bed where it is lowest, at the spill, in the raster's datum. */
  readonly bed_m: number
  /** How much higher the bed is at each stake than where the water stands deepest above it. */
  readonly rises_m: readonly number[]
  /** Level at which the first water leaves, and that of the lowest crest. */
  readonly spillLevel_m: number
  readonly crestLevel_m: number
  /** The low notch; null for none. */
  readonly notch: (Omit<Weir, 'length_m'> & { readonly length_m: number }) | null
  /** Level of the long sill. */
  readonly sillLevel_m: number
  readonly cut_m3: number
  readonly cutPrismoidal_m3: number
  readonly berm_m3: number
  /** On the line's mean slope. */
  readonly mean: LineSection
}

/** Height from where the first water leaves up to the settled crest: notch, head over the long sill, freeboard. */
export const spillToCrest_m = (settings: Settings, freeboard_m: number): number =>
  (hasNotch(settings) ? settings.notchDepth_m : 0) + settings.spillHead_m + freeboard_m

const hasNotch = ({ notchDepth_m, notchWidth_m }: Settings): boolean => notchDepth_m > 0 && notchWidth_m > 0

/** How much higher than at the spill a bed lies along the line. */
export const bedRise_m = (settings: Settings, spillAt_m: number, chainage_m: number): number =>
  settings.bedFall_ratio * Math.abs(chainage_m - spillAt_m)

/** The lowest bed that keeps the ditch as deep as it is set all along the line. */
export const bedLevel_m = (ground: LineGround, settings: Settings, spillAt_m: number): number =>
  Math.min(...ground.stakes.map(p => p.ground_m - bedRise_m(settings, spillAt_m, p.chainage_m))) - settings.depth_m

/**
 * The ditch at every stake, on the ground's own slope there; null where it cannot be dug as it is set.
 *
 * Laws    with a level bed every stake has its bed at one height.
 */
export function lineDitch(ground: LineGround, settings: Settings, spillAt_m: number, freeboard_m: number): LineDitch | null {
  const lowestBed_m = bedLevel_m(ground, settings, spillAt_m)
  const fromSpill_m = spillToCrest_m(settings, freeboard_m)
  const bedAt = (chainage_m: number): number => lowestBed_m + bedRise_m(settings, spillAt_m, chainage_m)
  const on = <T>(of: (settings: Settings, slope_ratio: number, depth_m: number, spillToCrest_m: number) => T, p: ProfilePoint): T =>
    of(settings, slopeOr(p, ground.meanSlope_ratio), p.ground_m - bedAt(p.chainage_m), fromSpill_m)
  try {
    const stakes = ground.stakes.map(
      (p): DitchStake => ({ chainage_m: p.chainage_m, ground_m: p.ground_m, bed_m: bedAt(p.chainage_m), section: on(lineSection, p) }),
    )
    const middles_m2 = ground.halfWays.map(p => on(cutOn_m2, p))
    const rises_m = stakes.map(stake => waterRise_m(settings, spillAt_m, stake.chainage_m))
    const crestLevel_m = Math.min(...stakes.map(({ section }, k) => section.crest_z_m + rises_m[k]!))
    const spillLevel_m = crestLevel_m - fromSpill_m
    if (!(spillLevel_m > 0)) return null
    const cut = earthAlong(
      stakes.map(s => s.section.cut_m2),
      middles_m2,
      ground.spacing_m,
    )
    return {
      stakes,
      spacing_m: ground.spacing_m,
      bed_m: lowestBed_m,
      rises_m,
      spillLevel_m,
      crestLevel_m,
      notch: hasNotch(settings) ? { crest_m: spillLevel_m, length_m: settings.notchWidth_m, coefficient: settings.weirCoefficient } : null,
      sillLevel_m: spillLevel_m + (hasNotch(settings) ? settings.notchDepth_m : 0),
      cut_m3: cut.averageEndArea_m3,
      cutPrismoidal_m3: cut.prismoidal_m3,
      berm_m3: averageEndArea_m3(
        stakes.map(s => s.section.berm_m2),
        ground.spacing_m,
      ),
      mean: lineSection(settings, ground.meanSlope_ratio, settings.depth_m, fromSpill_m),
    }
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}

/** The bed's height over the place where the same water stands deepest: with check banks that is the next bank down. */
function waterRise_m(settings: Settings, spillAt_m: number, chainage_m: number): number {
  const { bedFall_ratio, checkBanks, depth_m } = settings
  if (bedFall_ratio === 0) return 0
  const away_m = Math.abs(chainage_m - spillAt_m)
  return bedFall_ratio * (checkBanks ? away_m % checkSpacing_m(depth_m, bedFall_ratio) : away_m)
}

/**
 * The section of a depth on ground of a slope.
 *
 * Throws  what `crossSection` and `dugSection` throw; `section/not-drawn`.
 */
export function lineSection(settings: Settings, slope_ratio: number, depth_m: number, spillToCrest_m: number): LineSection {
  const shape = shapeAt(settings, depth_m, spillToCrest_m)
  if (settings.sectionForm === 'trapezoid') return crossSection(shape, slope_ratio)
  const reach_m = 20
  const across: Point[] = [
    [-reach_m, slope_ratio * reach_m],
    [reach_m, -slope_ratio * reach_m],
  ]
  const cut = cutOf(settings, depth_m)
  const section: DugSection = dugSection(
    cut,
    {
      innerSlope_ratio: shape.bermInnerSlope_ratio,
      outerSlope_ratio: shape.bermOuterSlope_ratio,
      crestWidth_m: shape.crestWidth_m,
      bermPerCut_ratio: shape.bermPerCut_ratio,
      freeboard_m: spillToCrest_m,
    },
    across,
  )
  if (cut.form !== 'drawn') return { ...section, shape, groundSlope_ratio: slope_ratio }
  const flat_m = flatWidth_m(cut.points)
  return {
    ...section,
    shape: { ...shape, bedWidth_m: flat_m },
    groundSlope_ratio: slope_ratio,
    // Without a flat part the width at a quarter of the depth counts as bed, which for a parabola is half of its top. Source: judgement.
    ...(flat_m > 0 ? {} : { bed_m: ditchWater(section, depth_m / 4).width_m }),
  }
}

/** What is dug out of `lineSection`. Throws what it throws. */
function cutOn_m2(settings: Settings, slope_ratio: number, depth_m: number, spillToCrest_m: number): number {
  // Under the finger this is asked for at every other place along the line: a trapezoid tells it without all that a section is drawn from.
  if (settings.sectionForm === 'trapezoid') return cutArea_m2(shapeAt(settings, depth_m, spillToCrest_m), slope_ratio)
  return lineSection(settings, slope_ratio, depth_m, spillToCrest_m).cut_m2
}

/** What is cut, as deep as at a place. */
function cutOf({ sectionForm, drawnCut_m, bedWidth_m, cutSideSlope_ratio, depth_m: usual_m }: Settings, depth_m: number): CutShape {
  if (sectionForm === 'bowl') return { form: 'bowl', topWidth_m: bedWidth_m + 2 * cutSideSlope_ratio * usual_m, depth_m }
  if (drawnCut_m === null)
    throw new InputError(
      'section/not-drawn',
      'The section is to be as drawn, and nobody has drawn it yet; give its points or choose another form.',
    )
  return { form: 'drawn', points: drawnToDepth(drawnCut_m, depth_m) }
}

/** Width of the level part at the bottom of a drawn cut. */
function flatWidth_m(points: readonly Point[]): number {
  const bed_m = Math.min(...points.map(([, z]) => z))
  return points.reduce((sum, [x, z], k) => (k > 0 && z === bed_m && points[k - 1]![1] === bed_m ? sum + x - points[k - 1]![0] : sum), 0)
}

/** The shape that is set, as deep as at a place. */
const shapeAt = (
  { bedWidth_m, cutSideSlope_ratio, bermInnerSlope_ratio, bermOuterSlope_ratio, crestWidth_m, bermPerCut_ratio }: Settings,
  depth_m: number,
  freeboard_m: number,
): SectionShape => ({
  bedWidth_m,
  depth_m,
  cutSideSlope_ratio,
  bermInnerSlope_ratio,
  bermOuterSlope_ratio,
  crestWidth_m,
  bermPerCut_ratio,
  freeboard_m,
})

/** Steepness of the ground across the line at a place; the mean one where it is not known. */
export const slopeOr = (at: ProfilePoint, mean: number): number =>
  Number.isNaN(at.crossSlope_ratio) ? mean : Math.abs(at.crossSlope_ratio)

/** What the ditch holds and soaks at every level up to its crest, or as far as needed to know it at some levels. */
export const ditchPool = ({ stakes, spacing_m, rises_m }: LineDitch, intake_mmh: number, onlyAt_m?: readonly number[]): PoolLevel[] =>
  linePool(
    stakes.map(s => s.section),
    spacing_m,
    { bed_mmh: intake_mmh },
    { bedRises_m: rises_m, ...(onlyAt_m ? { onlyAt_m } : {}) },
  )

/** Open water and soaking ground of the whole line, from its bed up to a level, for the time in which it soaks empty. */
export function lineSoakLevels({ stakes, spacing_m, rises_m }: LineDitch, top_m: number): SoakLevel[] {
  const along = (each: readonly number[]): number => averageEndArea_m3(each, spacing_m)
  const steps = Math.max(1, Math.ceil(top_m / 0.01 - 1e-9))
  return Array.from({ length: steps + 1 }, (_, k) => {
    const level_m = (top_m * k) / steps
    const waters = stakes.map(({ section }, j) => ditchWater(section, level_m - rises_m[j]!))
    return {
      level_m,
      surface_m2: along(waters.map((w, j) => (rises_m[j]! > level_m ? 0 : k === 0 ? w.bed_m : w.width_m))),
      soaking_m2: along(waters.map((w, j) => (rises_m[j]! > level_m ? 0 : w.bed_m))),
    }
  })
}
