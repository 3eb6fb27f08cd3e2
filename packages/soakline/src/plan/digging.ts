import {
  averageEndArea_m3,
  constructionHeight_m,
  DIG_SOILS,
  type DigSoil,
  earthVolumes,
  type LabourDays,
  type machineHours,
} from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { coverOf, daysByHand, hoursByMachine } from './earth.js'
import { type LaidLine, laidAt } from './laid-line.js'

/** Earth and work of one stretch of the line. */
export interface DigStretch {
  /** From 1, outwards from the spill: the order in which they are dug. */
  readonly order: number
  readonly from_m: number
  readonly to_m: number
  readonly length_m: number
  readonly cut_m3: number
  readonly loose_m3: number
  readonly bermSettled_m3: number
  readonly greatestCut_m: number
  /** By the published outputs for the soil that is set; null where the ditch is deeper than they go. */
  readonly personDays: LabourDays | null
}

/** Steps of the work, in order: after each of them rain may come. */
export const DIG_PHASES = [
  'ask-and-mark',
  'make-spill',
  'strip-turf',
  'scarify',
  'dig-from-spill',
  'turn-ends-uphill',
  'set-levels',
  'lay-crossings',
  'cover-and-plant',
  'wait-for-grass',
] as const
/** One of `DIG_PHASES`. */
export type DigPhaseCode = (typeof DIG_PHASES)[number]

/** Why rain after a phase does no harm, or what must be done each evening so that it does not. */
export const RAIN_AFTER_PHASE = [
  'nothing-moved',
  'spill-stands-alone',
  'turf-stacked-uphill-runs-through',
  'dug-part-runs-to-spill-close-end-each-evening',
  'closed-and-spills',
  'bare-keep-inflow-off',
  'grassed',
] as const
/** One of `RAIN_AFTER_PHASE`. */
export type RainAfterPhase = (typeof RAIN_AFTER_PHASE)[number]

/** One phase with what it takes. Keys carry their unit. */
export interface DigPhase {
  readonly order: number
  readonly code: DigPhaseCode
  readonly rain: RainAfterPhase
  readonly quantities: Readonly<Record<string, number>>
}

/** Who or what crosses the line. */
export const CROSSERS = ['barrow', 'stock', 'machine'] as const
/** One of `CROSSERS`. */
export type Crosser = (typeof CROSSERS)[number]

/** Width and steepest ramp of a crossing. Source: common practice, no source; ramps judgement. */
export const CROSSING_SIZES: Readonly<Record<Crosser, { readonly width_m: number; readonly ramp_ratio: number }>> = {
  barrow: { width_m: 1.2, ramp_ratio: 6 },
  stock: { width_m: 2.5, ramp_ratio: 5 },
  machine: { width_m: 3.5, ramp_ratio: 7 },
}

/** A place where the line is crossed: faces laid flatter, bed and crest kept at their levels, so that it neither dams the ditch nor lowers the berm. */
export interface Crossing {
  readonly chainage_m: number
  readonly crosser: Crosser
  readonly width_m: number
  readonly ramp_ratio: number
  /** Horizontal, from where the uphill ramp begins to where the outer one ends. */
  readonly length_m: number
  readonly extraCut_m3: number
  readonly extraFill_m3: number
  /** `crossing/at-spill` where it would lie on or by the sill, `crossing/beyond-line`; null where nothing speaks against it. */
  readonly refused: 'crossing/at-spill' | 'crossing/beyond-line' | null
}

/** A crossing keeps this far from the sill. Source: judgement. */
const FROM_SILL_m = 3

/** What is paid, in the user's own money; those left out cost nothing. */
export interface Rates {
  readonly personDay?: number
  readonly machineHour?: number
  readonly mulch_m3?: number
}

/** What the work costs at the rates that a person entered; null where none was. */
export interface Cost {
  readonly byHand: { readonly low: number; readonly high: number } | null
  readonly byMachine: { readonly low: number; readonly high: number } | null
  readonly mulch: number | null
}

/** The work: volumes by stretch, days, phases, crossings, tools, cost. */
export interface DigPlan {
  readonly stretches: readonly DigStretch[]
  readonly cut_m3: number
  readonly loose_m3: number
  readonly bermSettled_m3: number
  readonly topsoil_m3: number
  readonly stripped_m2: number
  readonly mulch_m3: number
  readonly personDays: LabourDays | null
  /** The same volume in other ground, for whoever finds that the pit was not the whole. */
  readonly bySoil: readonly { readonly soil: DigSoil; readonly days: LabourDays | null; readonly chosen: boolean }[]
  readonly machineHours: ReturnType<typeof machineHours>
  readonly phases: readonly DigPhase[]
  readonly crossings: readonly Crossing[]
  readonly tools: readonly DigTool[]
  readonly cost: Cost | null
}

/** What `digPlan` may be told besides. */
export interface DigOptions {
  /** Length of a stretch. Default 10 m (judgement: about a day or two for one person). */
  readonly stretch_m?: number
  /** Turf and topsoil taken off where the ditch and the berm will be. Default 0.1 m (judgement). */
  readonly stripDepth_m?: number
  readonly crossings?: readonly { readonly chainage_m: number; readonly crosser: Crosser }[]
  readonly rates?: Rates | null
  /** Stakes that are set. Default 0: not counted. */
  readonly stakes?: number
  /** How far the berm's end is taken round uphill. Default 2 m (judgement). */
  readonly endBank_m?: number
}

/**
 * How the line is dug: volumes and days by stretch, phases in an order in which early rain does no harm, crossings, tools, cost.
 *
 * Laws    the stretches' volumes sum to the ditch's; more earth never takes fewer days.
 * Throws  `digging/bad-size`, `digging/bad-rate`.
 * Source  outputs: `personDays`, `machineHours`; order of work: common practice, no source.
 */
export function digPlan(laid: LaidLine, options: DigOptions = {}): DigPlan {
  const { stretch_m = 10, stripDepth_m = 0.1, crossings = [], rates = null, stakes = 0, endBank_m = 2 } = options
  for (const [name, size] of Object.entries({ stretch_m, stripDepth_m, endBank_m }))
    if (!(size >= 0 && size < Infinity) || (name === 'stretch_m' && size < 1))
      throw new InputError('digging/bad-size', `${name} is ${size}; give 0 or more, and stretches of 1 m or more.`, { name, size })
  const { ditch, settings, length_m, sill } = laid
  const stretches = stretchesOf(laid, stretch_m)
  const greatest_m = Math.max(...stretches.map(s => s.greatestCut_m))
  const cut_m3 = stretches.reduce((sum, s) => sum + s.cut_m3, 0)
  const loose_m3 = stretches.reduce((sum, s) => sum + s.loose_m3, 0)
  const bermSettled_m3 = stretches.reduce((sum, s) => sum + s.bermSettled_m3, 0)
  const along = (of: (k: number) => number): number =>
    averageEndArea_m3(
      ditch.stakes.map((_, k) => of(k)),
      ditch.spacing_m,
    )
  const bermGround_m2 = along(k => ditch.stakes[k]!.section.outerToe_x_m - ditch.stakes[k]!.section.lip_x_m)
  const ditchGround_m2 = along(k => ditch.stakes[k]!.section.topWidth_m)
  const stripped_m2 = bermGround_m2 + ditchGround_m2
  const topsoil_m3 = stripped_m2 * stripDepth_m
  const { area_m2: covered_m2, mulch_m3 } = coverOf(ditch, settings)
  const days = daysByHand(cut_m3, settings.digSoil, greatest_m, settings.hoursPerDay_h)
  const hours = hoursByMachine(cut_m3, settings.digSoil)
  const ends = endBanks(laid, endBank_m)
  const laidCrossings = crossings.map(({ chainage_m, crosser }) => crossingAt(laid, chainage_m, crosser))
  const usable = laidCrossings.filter(c => c.refused === null)
  const phase = (code: DigPhaseCode, rain: RainAfterPhase, quantities: DigPhase['quantities']): DigPhase => ({
    order: DIG_PHASES.indexOf(code) + 1,
    code,
    rain,
    quantities,
  })
  const phases: DigPhase[] = [
    phase('ask-and-mark', 'nothing-moved', { length_m, stakes }),
    phase('make-spill', 'spill-stands-alone', {
      at_m: Math.min(Math.max(laid.spillAt_m, 0), length_m),
      ...(sill ? { sill_m: sill.level_m, sillLength_m: sill.to_m - sill.from_m } : {}),
      ...(laid.notch_m === null ? {} : { notch_m: laid.notch_m, notchWidth_m: settings.notchWidth_m }),
    }),
    phase('strip-turf', 'turf-stacked-uphill-runs-through', { area_m2: stripped_m2, topsoil_m3, depth_m: stripDepth_m }),
    phase('scarify', 'turf-stacked-uphill-runs-through', { area_m2: bermGround_m2 }),
    phase('dig-from-spill', 'dug-part-runs-to-spill-close-end-each-evening', {
      stretches: stretches.length,
      cut_m3,
      loose_m3,
      ...(days ? { fewestDays: days.low_days, mostDays: days.high_days } : {}),
    }),
    phase('turn-ends-uphill', 'closed-and-spills', { ends: ends.count, length_m: ends.length_m, fill_m3: ends.fill_m3 }),
    phase('set-levels', 'closed-and-spills', { length_m, tolerance_m: ditch.spillLevel_m * 0.1 }),
    phase('lay-crossings', 'closed-and-spills', {
      crossings: usable.length,
      extraCut_m3: usable.reduce((sum, c) => sum + c.extraCut_m3, 0),
      extraFill_m3: usable.reduce((sum, c) => sum + c.extraFill_m3, 0),
    }),
    phase('cover-and-plant', 'bare-keep-inflow-off', { area_m2: covered_m2, mulch_m3, topsoil_m3 }),
    phase('wait-for-grass', 'grassed', { weeks: WEEKS_TO_GRASS }),
  ]
  return {
    stretches,
    cut_m3,
    loose_m3,
    bermSettled_m3,
    topsoil_m3,
    stripped_m2,
    mulch_m3,
    personDays: days,
    bySoil: DIG_SOILS.map(soil => ({
      soil,
      days: daysByHand(cut_m3, soil, greatest_m, settings.hoursPerDay_h),
      chosen: soil === settings.digSoil,
    })),
    machineHours: hours,
    phases,
    crossings: laidCrossings,
    tools: toolsFor(settings.digSoil, usable.length > 0),
    cost: rates && costOf(rates, days, hours, mulch_m3),
  }
}

/** Until sown grass holds the exit and the berm in a growing season. Source: judgement. */
const WEEKS_TO_GRASS = 8

/** Stretches between chainages that run outwards from the spill, nearest first; areas straight between the ditch's stakes. */
function stretchesOf(laid: LaidLine, stretch_m: number): DigStretch[] {
  const { length_m, ditch, settings } = laid
  const spill_m = Math.min(Math.max(laid.spillAt_m, 0), length_m)
  const cuts = new Set([0, spill_m, length_m])
  for (let k = 1; k * stretch_m < length_m; k++)
    // No stretch of a last half metre.
    for (const chainage_m of [spill_m - k * stretch_m, spill_m + k * stretch_m])
      if (chainage_m > 0.5 && chainage_m < length_m - 0.5) cuts.add(chainage_m)
  const edges = [...cuts].sort((a, b) => a - b)
  const area = (of: 'cut_m2' | 'berm_m2', chainage_m: number): number => {
    const at = Math.min(chainage_m / ditch.spacing_m, ditch.stakes.length - 1)
    const k = Math.min(Math.floor(at), ditch.stakes.length - 2)
    const [a, b] = [ditch.stakes[k]!.section[of], ditch.stakes[k + 1]!.section[of]]
    return a + (at - k) * (b - a)
  }
  return edges
    .slice(1)
    .flatMap((to_m, k) => (to_m - edges[k]! > 1e-9 ? [{ from_m: edges[k]!, to_m }] : []))
    .sort(
      (a, b) =>
        Math.min(Math.abs(a.from_m - spill_m), Math.abs(a.to_m - spill_m)) -
          Math.min(Math.abs(b.from_m - spill_m), Math.abs(b.to_m - spill_m)) || a.from_m - b.from_m,
    )
    .map(({ from_m, to_m }, k): DigStretch => {
      const inner = ditch.stakes.filter(s => s.chainage_m > from_m && s.chainage_m < to_m)
      const places = [from_m, ...inner.map(s => s.chainage_m), to_m]
      const spacings = places.slice(1).map((place, j) => place - places[j]!)
      const volume = (of: 'cut_m2' | 'berm_m2'): number =>
        averageEndArea_m3(
          places.map(place => area(of, place)),
          spacings,
        )
      const cut_m3 = volume('cut_m2')
      const greatestCut_m = Math.max(...places.map(place => laidAt(laid, place)).map(p => p.ground_m - p.bed_m))
      return {
        order: k + 1,
        from_m,
        to_m,
        length_m: to_m - from_m,
        cut_m3,
        loose_m3: earthVolumes(cut_m3, settings.swell_ratio, settings.bermPerCut_ratio).loose_m3,
        bermSettled_m3: volume('berm_m2'),
        greatestCut_m,
        personDays: daysByHand(cut_m3, settings.digSoil, greatestCut_m, settings.hoursPerDay_h),
      }
    })
}

/** The banks across the ends, up to the crest, across the cut and so far round uphill; none where the spill takes the end. */
function endBanks(laid: LaidLine, around_m: number): { count: number; length_m: number; fill_m3: number } {
  const { length_m, sill, settings } = laid
  const open = [0, length_m].filter(end_m => !sill || end_m < sill.from_m - 1e-9 || end_m > sill.to_m + 1e-9)
  const banks = open.map(end_m => {
    const { section } = laidAt(laid, end_m)
    const height_m = section.crest_z_m - section.lip_z_m
    const bank_m = section.topWidth_m + around_m
    const area_m2 = height_m * (settings.crestWidth_m + (height_m * (settings.bermInnerSlope_ratio + settings.bermOuterSlope_ratio)) / 2)
    return { bank_m, fill_m3: area_m2 * bank_m * constructionHeight_m(1, settings.settlement_ratio, settings.settlementConvention) }
  })
  return {
    count: banks.length,
    length_m: banks.reduce((sum, b) => sum + b.bank_m, 0),
    fill_m3: banks.reduce((sum, b) => sum + b.fill_m3, 0),
  }
}

/** Ramps flatter than the faces: what they take from the cut's uphill side and add to the berm's faces, per metre ½ (ramp − face) h². */
function crossingAt(laid: LaidLine, chainage_m: number, crosser: Crosser): Crossing {
  const { settings, sill, length_m } = laid
  const { width_m, ramp_ratio } = CROSSING_SIZES[crosser]
  const { section } = laidAt(laid, chainage_m)
  const s = section.groundSlope_ratio
  const wedge_m2 = (face_ratio: number, height_m: number): number => 0.5 * Math.max(0, ramp_ratio - face_ratio) * height_m * height_m
  const uphillCut_m = section.lip_z_m + s * section.topWidth_m
  const inner_m = section.crest_z_m
  const outer_m = section.crest_z_m - section.lip_z_m + s * (section.outerToe_x_m - section.lip_x_m)
  const half_m = width_m / 2
  const refused = !(chainage_m - half_m >= 0 && chainage_m + half_m <= length_m)
    ? 'crossing/beyond-line'
    : sill && chainage_m + half_m > sill.from_m - FROM_SILL_m && chainage_m - half_m < sill.to_m + FROM_SILL_m
      ? 'crossing/at-spill'
      : null
  return {
    chainage_m,
    crosser,
    width_m,
    ramp_ratio,
    length_m: ramp_ratio * (uphillCut_m + inner_m + outer_m) + settings.bedWidth_m + settings.crestWidth_m,
    extraCut_m3: width_m * wedge_m2(settings.cutSideSlope_ratio, uphillCut_m),
    extraFill_m3: width_m * wedge_m2(settings.bermOuterSlope_ratio, outer_m),
    refused,
  }
}

/** Tools that the work may need. Source: common practice, no source. */
export const DIG_TOOLS = [
  'stakes-and-string',
  'tape',
  'water-level-or-laser',
  'spade',
  'turf-spade',
  'mattock',
  'pick',
  'bar',
  'rake',
  'barrow',
  'tamper-for-sill',
  'planks',
  'gloves-and-boots',
] as const
/** One of `DIG_TOOLS`. */
export type DigTool = (typeof DIG_TOOLS)[number]

function toolsFor(soil: DigSoil, crossings: boolean): DigTool[] {
  const left: readonly DigTool[] = [
    ...(soil === 'loose' ? (['mattock'] as const) : []),
    ...(soil === 'boulder-clay' || soil === 'rock' ? [] : (['pick', 'bar'] as const)),
    ...(crossings ? [] : (['planks'] as const)),
  ]
  return DIG_TOOLS.filter(tool => !left.includes(tool))
}

function costOf(rates: Rates, days: LabourDays | null, hours: { low_h: number; high_h: number }, mulch_m3: number): Cost {
  for (const [name, rate] of Object.entries(rates))
    if (rate !== undefined && !(rate >= 0 && rate < Infinity))
      throw new InputError('digging/bad-rate', `The rate ${name} is ${rate}; give 0 or more in your own money.`, { name, rate })
  const { personDay, machineHour, mulch_m3: perMulch } = rates
  return {
    byHand: personDay === undefined || days === null ? null : { low: personDay * days.low_days, high: personDay * days.high_days },
    byMachine: machineHour === undefined ? null : { low: machineHour * hours.low_h, high: machineHour * hours.high_h },
    mulch: perMulch === undefined ? null : perMulch * mulch_m3,
  }
}
