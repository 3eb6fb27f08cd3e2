import { InputError } from '../foundation/index.js'
import { emptyingTime_h } from '../hydrology/index.js'
import { chainages_m, crosses, crossingAt, type Point, pathLength_m, ringArea_m2, stations } from '../raster/index.js'
import { bearing_deg } from './angles.js'
import { type LaidLine, laidAt } from './laid-line.js'
import { lineSoakLevels } from './line-ditch.js'
import { type Sunlight, sunlight } from './sunlight.js'

/** Places to plant, from uphill to downhill; the spill's place is one of its own. */
export const PLANT_ZONES = ['erosion-strip', 'bed', 'wet-edge', 'crest', 'dry-edge', 'soak-zone', 'spill'] as const
/** One of `PLANT_ZONES`. */
export type PlantZoneCode = (typeof PLANT_ZONES)[number]

/** A zone along the line: its ground, how many plants stand there, and how they have it. */
export interface PlantZone {
  readonly zone: PlantZoneCode
  /** One ring for each part; the spill parts the berm's zones. */
  readonly parts: readonly { readonly from_m: number; readonly to_m: number; readonly ring: readonly Point[] }[]
  /** Along the middle of the zone, and its ground. */
  readonly length_m: number
  readonly area_m2: number
  readonly width_m: number
  /** Null where it is sown, not set. */
  readonly spacing_m: number | null
  readonly rows: number
  readonly rowSpacing_m: number | null
  readonly count: number | null
  readonly sown: boolean
  readonly conditions: ZoneConditions
}

/** How plants have it in a zone. */
export interface ZoneConditions {
  /** Hours under water after the ditch has filled; 0 above the water, null while the soil's intake is not known or it takes none. */
  readonly underWater_h: number | null
  /** Height of the zone's middle over the standing level (the sill): soil that drains whatever happens. Null below the berm, where seepage keeps it wet. */
  readonly drainedDepth_m: number | null
  readonly woody: 'kept-out' | 'small' | 'allowed'
  /** The way the zone's face looks; null where the line runs all round. */
  readonly facing_deg: number | null
  /** Null without a latitude or a facing. */
  readonly sun: Sunlight | null
}

/** What `plantZones` may be told besides. */
export interface PlantOptions {
  /** Between plants, by zone. Defaults: erosion strip 0.15 m (The Vetiver Network manual: 0.10–0.15), wet edge 0.5, crest 0.6, dry edge 1, soak zone 3 (judgement). */
  readonly spacing_m?: Partial<Record<PlantZoneCode, number>>
  /** Width of ground below the berm's toe in which trees reach the water. Default 3 m (judgement; fruit trees stand 1–2 m below the toe). */
  readonly soakWidth_m?: number
  /** Kept free of all woody growth on either side of the sill. Default 3 m (judgement). */
  readonly besideSill_m?: number
  /** Of the holding, for the sun; null leaves it out. Default null. */
  readonly latitude_deg?: number | null
  /** Intake that is counted; null: time under water unknown. Default null. */
  readonly intake_mmh?: number | null
  /** Woody plants on crest and berm: `small` by default, `trees` where the user chooses so in spite of the warning, `none` as guidance for dams asks. */
  readonly onBerm?: 'none' | 'small' | 'trees'
}

/** Usual spacing along a row in each zone; null where nothing is planted in rows. Source: common practice, from memory. */
export const PLANT_SPACING_m: Readonly<Record<PlantZoneCode, number | null>> = {
  'erosion-strip': 0.15,
  bed: null,
  'wet-edge': 0.5,
  crest: 0.6,
  'dry-edge': 1,
  'soak-zone': 3,
  spill: null,
}

/** One row of clumping grass stands this far above the cut's edge. Source: judgement, half a spade. */
const STRIP_ABOVE_m = 0.15

/** Rows of a triangle: the rows stand √3/2 of the spacing apart, every second one shifted by half a spacing. */
const ROWS_APART = Math.sqrt(3) / 2

/** Plants in a row of a length, one at each end; `shifted` by half a spacing. Source: floor(L/s) + 1, derived. */
export function plantsInRow(length_m: number, spacing_m: number, shifted = false): number {
  if (!(length_m >= 0 && length_m < Infinity && spacing_m > 0))
    throw new InputError('planting/bad-size', `A row of ${length_m} m with plants every ${spacing_m} m; give a length and a spacing.`, {
      length_m,
      spacing_m,
    })
  const rest_m = length_m - (shifted ? spacing_m / 2 : 0)
  return rest_m < -1e-9 ? 0 : Math.floor(rest_m / spacing_m + 1e-9) + 1
}

/** Rows that fit a width: floor(width / apart) + 1, derived. */
export const rowsIn = (width_m: number, apart_m: number): number => Math.floor(width_m / apart_m + 1e-9) + 1

/** Plants on an area at a spacing, set in triangles or in squares. Units: 1/m². Source: 2/(√3 s²), 1/s²; derived. */
export const plantDensity_m2 = (spacing_m: number, form: 'triangle' | 'square'): number =>
  form === 'triangle' ? 1 / (ROWS_APART * spacing_m * spacing_m) : 1 / (spacing_m * spacing_m)

/** Distance between hedges along the slope for a drop between them. Units: `slope_ratio` rise over run. Source: VI √(1 + 1/s²), derived. */
export function hedgeSpacing(drop_m: number, slope_ratio: number): { readonly level_m: number; readonly alongSlope_m: number } {
  if (!(drop_m > 0 && slope_ratio > 0 && Number.isFinite(drop_m / slope_ratio)))
    throw new InputError('planting/bad-size', `Hedges ${drop_m} m apart in height on a slope of ${slope_ratio}; both are above 0.`, {
      drop_m,
      slope_ratio,
    })
  return { level_m: drop_m / slope_ratio, alongSlope_m: drop_m * Math.sqrt(1 + 1 / (slope_ratio * slope_ratio)) }
}

/**
 * The zones of a line, with their ground, counts and conditions.
 *
 * Shapes   offsets from the line are those of the section at each place, so that zones widen and narrow with it.
 * Laws     zones do not overlap; on the outer side of a bend a zone is longer than the line, on the inner side shorter, and folded ground is not counted twice.
 * Throws   `planting/bad-size`.
 * Source   zones: common practice, from memory, no single standard; counts floor(L/s) + 1 in each row, staggered; the rest as each option says.
 */
export function plantZones(laid: LaidLine, options: PlantOptions = {}): PlantZone[] {
  const { soakWidth_m = 3, besideSill_m = 3, latitude_deg = null, intake_mmh = null, onBerm = 'small' } = options
  for (const [name, size] of Object.entries({ soakWidth_m, besideSill_m }))
    if (!(size >= 0 && size < Infinity)) throw new InputError('planting/bad-size', `${name} is ${size}; give 0 m or more.`, { name, size })
  const { ditch, sill, length_m, settings } = laid
  const sillLevel_m = ditch.bed_m + ditch.spillLevel_m
  const whole = [{ from_m: 0, to_m: length_m }]
  const spill = sill
    ? { from_m: Math.max(0, sill.from_m - besideSill_m), to_m: Math.min(length_m, sill.to_m + besideSill_m) }
    : { from_m: Math.max(0, laid.spillAt_m - besideSill_m), to_m: Math.min(length_m, laid.spillAt_m + besideSill_m) }
  const berm = [
    { from_m: 0, to_m: spill.from_m },
    { from_m: spill.to_m, to_m: length_m },
  ].filter(part => part.to_m - part.from_m > 0.01)
  const walk = walkOf(laid)
  const facing = facingOf(laid)
  const meanSection = ditch.mean
  const slope_ratio = laid.ground.meanSlope_ratio
  const emptying = (level_m: number): number | null => {
    if (intake_mmh === null || !(intake_mmh > 0)) return null
    const hours = emptyingTime_h(lineSoakLevels(ditch, level_m), intake_mmh)
    return hours < Infinity ? hours : null
  }
  const full_h = emptying(ditch.spillLevel_m)
  /** Hours until a height above the bed falls dry. */
  const wetFor = (z_m: number): number | null => {
    if (z_m >= ditch.spillLevel_m) return 0
    if (z_m <= 1e-6 || full_h === null) return full_h
    const rest_h = emptying(z_m)
    return rest_h === null ? null : Math.max(0, full_h - rest_h)
  }
  const sunOn = (faceSlope_ratio: number, uphill: boolean): Sunlight | null =>
    latitude_deg === null || facing === null ? null : sunlight(latitude_deg, faceSlope_ratio, uphill ? facing + 180 : facing)
  const faceOf = (zone: PlantZoneCode): { slope_ratio: number; uphill: boolean } =>
    zone === 'wet-edge'
      ? { slope_ratio: 1 / Math.max(0.01, settings.bermInnerSlope_ratio), uphill: true }
      : zone === 'dry-edge'
        ? { slope_ratio: 1 / Math.max(0.01, settings.bermOuterSlope_ratio), uphill: false }
        : zone === 'crest' || zone === 'bed'
          ? { slope_ratio: 0, uphill: false }
          : { slope_ratio, uphill: false }
  const conditions = (zone: PlantZoneCode): ZoneConditions => {
    const { crest_z_m, lip_z_m } = meanSection
    const over_m = { crest: crest_z_m, 'dry-edge': (crest_z_m + lip_z_m) / 2 }
    const face = faceOf(zone)
    return {
      underWater_h:
        zone === 'bed' || zone === 'spill'
          ? full_h
          : zone === 'wet-edge'
            ? wetFor((lip_z_m + Math.min(ditch.spillLevel_m, crest_z_m)) / 2)
            : 0,
      drainedDepth_m:
        zone === 'crest' || zone === 'dry-edge'
          ? Math.max(0, over_m[zone] + (ditch.bed_m - sillLevel_m))
          : zone === 'soak-zone' || zone === 'erosion-strip'
            ? null
            : 0,
      woody:
        zone === 'soak-zone'
          ? 'allowed'
          : zone === 'wet-edge' || zone === 'crest' || zone === 'dry-edge'
            ? onBerm === 'none'
              ? 'kept-out'
              : onBerm === 'trees'
                ? 'allowed'
                : 'small'
            : 'kept-out',
      facing_deg: facing === null ? null : face.uphill ? (facing + 180) % 360 : facing,
      sun: sunOn(face.slope_ratio, face.uphill),
    }
  }
  return PLANT_ZONES.map((zone): PlantZone => {
    const spans = zone === 'spill' ? [spill].filter(s => s.to_m > s.from_m) : zone === 'erosion-strip' || zone === 'bed' ? whole : berm
    const across = acrossOf(zone, soakWidth_m)
    const strips = spans.map(({ from_m, to_m }) => ({ from_m, to_m, ...stripOf(walk, from_m, to_m, across) }))
    const spacing_m = options.spacing_m?.[zone] ?? PLANT_SPACING_m[zone]
    const area_m2 = strips.reduce((sum, s) => sum + s.area_m2, 0)
    const zoneLength_m = strips.reduce((sum, s) => sum + s.length_m, 0)
    const width_m = zoneLength_m > 0 ? area_m2 / zoneLength_m : 0
    const single = zone === 'erosion-strip'
    const apart_m = spacing_m === null ? null : single ? null : spacing_m * ROWS_APART
    const rows = spacing_m === null ? 0 : apart_m === null ? 1 : rowsIn(width_m, apart_m)
    const count =
      spacing_m === null
        ? null
        : spans.reduce((sum, { from_m, to_m }) => {
            for (let row = 0; row < rows; row++) {
              // Rows stand evenly about the middle of the zone.
              const offset_m = apart_m === null ? 0 : (row - (rows - 1) / 2) * apart_m
              sum += plantsInRow(rowLength_m(walk, from_m, to_m, across, offset_m), spacing_m, row % 2 === 1)
            }
            return sum
          }, 0)
    return {
      zone,
      parts: strips.map(({ from_m, to_m, ring }) => ({ from_m, to_m, ring })),
      length_m: zoneLength_m,
      area_m2,
      width_m,
      spacing_m,
      rows,
      rowSpacing_m: apart_m,
      count,
      sown: spacing_m === null,
      conditions: conditions(zone),
    }
  })
}

/** One line of the planting list, as `assessment.json` gives it out. */
export interface PlantingRow {
  readonly zone: PlantZoneCode
  readonly length_m: number
  readonly spacing_m: number | null
  readonly count: number | null
}

/** The planting list of the zones that have ground. */
export const plantingRows = (zones: readonly PlantZone[]): PlantingRow[] =>
  zones.filter(z => z.length_m > 0).map(({ zone, length_m, spacing_m, count }) => ({ zone, length_m, spacing_m, count }))

/** A place of the walk along the line: how the section lies there, and the way across. */
interface WalkPlace {
  readonly chainage_m: number
  readonly at: Point
  /** Downhill, lengthened at a bend so that a strip keeps its width. */
  readonly across: Point
  readonly section: ReturnType<typeof laidAt>['section']
}

/** Greatest step of the walk. */
const STEP_m = 1

function walkOf(laid: LaidLine): WalkPlace[] {
  const { path, length_m, downhill } = laid
  const along = chainages_m(path)
  const all = [...stations(path, STEP_m).map(s => s.chainage_m), ...along].sort((a, b) => a - b)
  const chainages = all.filter((c, k) => k === 0 || c - all[k - 1]! > 1e-6)
  const turn = downhill === 'right' ? 1 : -1
  return chainages.map(chainage_m => {
    const place = laidAt(laid, chainage_m)
    const vertex = along.findIndex(c => Math.abs(c - chainage_m) <= 1e-6)
    let across: Point = [turn * place.heading[1], -turn * place.heading[0]]
    if (vertex > 0 && vertex < path.length - 1 && chainage_m < length_m) {
      const ahead = laidAt(laid, Math.min(length_m, chainage_m + 1e-5)).heading
      const second: Point = [turn * ahead[1], -turn * ahead[0]]
      const [mx, my] = [across[0] + second[0], across[1] + second[1]]
      const cosine = across[0] * second[0] + across[1] * second[1]
      // The bisector; at a hairpin it would run to infinity, so it is held to twice its length.
      const scale = Math.min(1 / (1 + cosine), 1.5)
      if (Number.isFinite(scale)) across = [mx * scale, my * scale]
    }
    return { chainage_m, at: place.at, across, section: place.section }
  })
}

/** How a zone lies across the section: offsets from the line, downhill positive. */
type Across = (section: WalkPlace['section']) => readonly [inner_m: number, outer_m: number]

function acrossOf(zone: PlantZoneCode, soakWidth_m: number): Across {
  return section => {
    const lip = section.lip_x_m
    const height_m = section.crest_z_m - section.lip_z_m
    const toe = section.outerToe_x_m - lip
    const edge = section.uphillEdge_x_m - lip
    const innerCrest = section.shape.bermInnerSlope_ratio * height_m
    const outerCrest = innerCrest + section.shape.crestWidth_m
    switch (zone) {
      case 'erosion-strip':
        return [edge - 2 * STRIP_ABOVE_m, edge]
      case 'bed':
        return [edge, 0]
      case 'wet-edge':
        return [0, innerCrest]
      case 'crest':
        return [innerCrest, outerCrest]
      case 'dry-edge':
        return [outerCrest, toe]
      case 'soak-zone':
        return [toe, toe + soakWidth_m]
      case 'spill':
        return [0, toe + soakWidth_m]
    }
  }
}

const off = ({ at, across }: WalkPlace, offset_m: number): Point => [at[0] + across[0] * offset_m, at[1] + across[1] * offset_m]

/** The places of the walk within a span, its ends among them. */
function within(walk: readonly WalkPlace[], from_m: number, to_m: number): WalkPlace[] {
  const inner = walk.filter(p => p.chainage_m > from_m + 1e-6 && p.chainage_m < to_m - 1e-6)
  return [placeIn(walk, from_m), ...inner, placeIn(walk, to_m)]
}

function placeIn(walk: readonly WalkPlace[], chainage_m: number): WalkPlace {
  const k = walk.findIndex(p => p.chainage_m >= chainage_m - 1e-6)
  const b = walk[k < 0 ? walk.length - 1 : k]!
  if (k <= 0 || Math.abs(b.chainage_m - chainage_m) <= 1e-6) return b
  const a = walk[k - 1]!
  const t = (chainage_m - a.chainage_m) / (b.chainage_m - a.chainage_m)
  const mix = (p: Point, q: Point): Point => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
  return { chainage_m, at: mix(a.at, b.at), across: mix(a.across, b.across), section: t < 0.5 ? a.section : b.section }
}

function stripOf(
  walk: readonly WalkPlace[],
  from_m: number,
  to_m: number,
  across: Across,
): { readonly ring: Point[]; readonly area_m2: number; readonly length_m: number } {
  const places = within(walk, from_m, to_m)
  const inner = besideWalk(places, section => across(section)[0])
  const outer = besideWalk(places, section => across(section)[1])
  const ring = [...inner, ...outer.reverse()]
  return { ring, area_m2: Math.abs(ringArea_m2(ring)), length_m: rowLength_m(walk, from_m, to_m, across, 0) }
}

/** Length of a row beside the middle of a zone. */
function rowLength_m(walk: readonly WalkPlace[], from_m: number, to_m: number, across: Across, offset_m: number): number {
  const middle = besideWalk(within(walk, from_m, to_m), section => {
    const [inner_m, outer_m] = across(section)
    return (inner_m + outer_m) / 2 + offset_m
  })
  return pathLength_m(middle)
}

/** The path beside the line, without the loops that it makes inside a bend tighter than the offset. */
function besideWalk(places: readonly WalkPlace[], offset: (section: WalkPlace['section']) => number): Point[] {
  const path = places.map(place => off(place, offset(place.section)))
  const reach_m = 4 * Math.max(...places.map(place => Math.abs(offset(place.section)))) + STEP_m
  const kept: Point[] = [path[0]!]
  for (let k = 1; k < path.length; ) {
    const [a, b] = [kept[kept.length - 1]!, path[k]!]
    let to = -1
    for (let j = k + 1; j < path.length && places[j]!.chainage_m - places[k - 1]!.chainage_m <= reach_m; j++)
      if (crosses(a, b, path[j - 1]!, path[j]!)) to = j
    if (to > k + 1) {
      const t = crossingAt(a, b, path[to - 1]!, path[to]!)
      kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])])
      k = to
    } else {
      kept.push(b)
      k++
    }
  }
  return kept
}

/** The way the slope below the line looks, over its whole length; null where it looks all ways round. */
function facingOf({ path, downhill }: LaidLine): number | null {
  const turn = downhill === 'right' ? 1 : -1
  let [east, north, length] = [0, 0, 0]
  for (let k = 1; k < path.length; k++) {
    const [dx, dy] = [path[k]![0] - path[k - 1]![0], path[k]![1] - path[k - 1]![1]]
    east += turn * dy
    north -= turn * dx
    length += Math.sqrt(dx * dx + dy * dy)
  }
  return Math.sqrt(east * east + north * north) < length / 2 ? null : bearing_deg(east, north)
}
