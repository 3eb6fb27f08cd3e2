import { InputError } from '../foundation/index.js'
import type { SoakLevel } from '../hydrology/index.js'
import type { Point } from '../raster/index.js'
import { type ChannelShape, type Wetted, wettedIn } from './channel-shape.js'

/** What water needs to know of a section that is dug, whatever its form: `Section` and `DugSection` both are ditches. */
export interface Ditch {
  /** The ground after the work, from uphill to downhill; z above the bed. */
  readonly dug: readonly Point[]
  readonly lip_x_m: number
  readonly lip_z_m: number
  readonly crest_z_m: number
  /** The highest level that the section is counted on to hold. */
  readonly holds_z_m: number
  /** Width that counts as bed where no part of it is flat, as in a bowl. Default the flat part. */
  readonly bed_m?: number
}

/** Water in a ditch. */
export interface DitchWaterLevel extends Wetted {
  /** The flat part of the bed. */
  readonly bed_m: number
}

/** The channel between the ground uphill and the berm's crest, for `wetted`, `uniformFlow` and `backwater`. */
export function ditchChannel({ dug, lip_x_m, crest_z_m }: Ditch): ChannelShape & { readonly form: 'drawn' } {
  const crest = dug.findIndex(p => p[0] >= lip_x_m && p[1] >= crest_z_m - 1e-12)
  return { form: 'drawn', points: crest < 0 ? dug : dug.slice(0, crest + 1) }
}

/**
 * Area, perimeter and width of the water in a ditch at a level above its bed. Above `holds_z_m` no more is counted; at and below 0 there is none.
 *
 * Throws  `section/level-over-crest`, `section/bad-level`.
 * Source  geometry, derived.
 */
export function ditchWater(ditch: Ditch, level_z_m: number): DitchWaterLevel {
  return waterIn(ditch)(level_z_m)
}

/** `ditchWater` for many levels of one ditch, which is looked at once. */
export function waterIn(ditch: Ditch): (level_z_m: number) => DitchWaterLevel {
  const channel = ditchChannel(ditch)
  const wet = wettedIn(channel)
  const bed_m = ditch.bed_m ?? bedWidth_m(channel.points)
  return level_z_m => {
    if (Number.isNaN(level_z_m))
      throw new InputError('section/bad-level', 'The level of the water is not a number; give its height above the bed.', {})
    if (level_z_m > ditch.crest_z_m + 1e-9)
      throw new InputError(
        'section/level-over-crest',
        `A level ${level_z_m} m above the bed stands over the crest (${ditch.crest_z_m} m) and would run over the berm.`,
        { level_z_m, crest_z_m: ditch.crest_z_m },
      )
    const { area_m2, perimeter_m, width_m, hydraulicRadius_m } = wet(Math.max(0, Math.min(level_z_m, ditch.holds_z_m)))
    return { area_m2, perimeter_m, width_m, hydraulicRadius_m, bed_m }
  }
}

/**
 * Levels of a ditch for the time in which it soaks empty (`emptyingTime_h` of hydrology, with the intake of the bed).
 *
 * Units   per metre of ditch. `sidesPerBed_ratio` intake of the sides over that of the bed: 0 counts the bed alone (default), 1 the whole perimeter.
 * Shapes  a level at every corner of the section up to `top_z_m`, so that areas run straight in between.
 * Throws  `section/level-over-crest`, `section/bad-level`.
 */
export function soakLevels(ditch: Ditch, top_z_m: number, sidesPerBed_ratio = 0): SoakLevel[] {
  const { points } = ditchChannel(ditch)
  const top = Math.min(top_z_m, ditch.holds_z_m)
  const corners = points.map(([, z]) => z).filter(z => z > 0 && z < top)
  // A shelf widens the water at once: the level just above it gets a row of its own.
  const shelves = points.flatMap(([, z], k) => (z > 0 && z < top && points[k + 1]?.[1] === z ? [z + 1e-9] : []))
  const levels = [...new Set([0, ...corners, ...shelves, top])].sort((a, b) => a - b)
  return levels.map(level_m => {
    const water = ditchWater(ditch, level_m)
    return {
      level_m,
      surface_m2: water.width_m,
      soaking_m2: water.bed_m + sidesPerBed_ratio * (water.perimeter_m - water.bed_m),
    }
  })
}

/** Width of the flat bed at the lowest level. */
function bedWidth_m(points: readonly Point[]): number {
  const lowest = points.reduce((low, p) => Math.min(low, p[1]), Number.POSITIVE_INFINITY)
  let width = 0
  for (let k = 1; k < points.length; k++)
    if (points[k]![1] - lowest < 1e-9 && points[k - 1]![1] - lowest < 1e-9) width += points[k]![0] - points[k - 1]![0]
  return width
}
