import {
  backwater,
  type DitchPlace,
  ditchChannel,
  type ExitCheck,
  type ExitOptions,
  exitChecks,
  levelForFlow_m,
  type PoolLevel,
  type PoolRouting,
  routeFull,
  routePool,
  type SpreaderLength,
  sillLength_m,
  spreaderLengths,
  type Weir,
} from '../earthworks/index.js'
import { InputError, type InputErrorCode } from '../foundation/index.js'
import type { LineDitch, LineSection } from './line-ditch.js'
import type { Settings } from './settings.js'
import type { GatheredWater, StormWater } from './storm-water.js'

/** The long sill and the slope below it, for the acceptance storm in the ditch's worst state: full, nothing soaking, the notch blocked. */
export interface Spillway {
  readonly chainage_m: number
  readonly length_m: number
  /** Length that the acceptance storm asks for with the head that is set. */
  readonly neededLength_m: number
  readonly sillElevation_m: number
  readonly notchElevation_m: number | null
  readonly peakInflow_m3s: number
  readonly peakSpill_m3s: number
  readonly highestWater_m: number
  /** At each stake against the water's own level there, which rises away from the spill. */
  readonly water: readonly {
    readonly chainage_m: number
    readonly level_m: number
    readonly freeboard_m: number
    readonly againstFill_m: number
  }[]
  /** Index of the stake with the least freeboard; null where the water stands over the berm before it can pass. */
  readonly least: number | null
  readonly exitSlope_ratio: number
  readonly exits: readonly ExitCheck[]
  readonly spreaders: readonly SpreaderLength[]
}

/** Shortest sill that is built: a barrow's width. Source: common practice, about 1 m. */
const SHORTEST_SILL_m = 1

/** Length of the long sill: as given, or as the acceptance storm asks; null while its peak is not known. */
export function sillFor(acceptance: StormWater | null, settings: Settings): { length_m: number; needed_m: number } | null {
  const peak_m3s = acceptance?.wet.hydrograph.peak_m3s ?? null
  if (peak_m3s === null) return null
  const needed_m = sillLength_m(peak_m3s, settings.spillHead_m, settings.weirCoefficient)
  return { needed_m, length_m: settings.sillLength_m ?? Math.max(SHORTEST_SILL_m, Math.ceil(needed_m * 10) / 10) }
}

/** The openings of the ditch. */
export function openings(ditch: LineDitch, length_m: number, { weirCoefficient }: Settings): { notch: Weir | null; sill: Weir } {
  return { notch: ditch.notch, sill: { crest_m: ditch.sillLevel_m, length_m, coefficient: weirCoefficient } }
}

/** A storm routed from an empty ditch: what it keeps. Followed for a day after the last inflow. */
export function routeEmpty(
  ditch: LineDitch,
  pool: readonly PoolLevel[],
  storm: GatheredWater,
  length_m: number,
  settings: Settings,
): PoolRouting {
  const { notch, sill } = openings(ditch, length_m, settings)
  const { hydrograph } = storm.expected
  return routePool(
    { levels: pool, outlets: notch ? [notch, sill] : [sill], crest_m: ditch.crestLevel_m },
    { step_s: hydrograph.step_h * 3600, flows_m3s: hydrograph.flows_m3s },
    { follow_h: STORM_FOLLOWED_h },
  )
}

/** Hours for which a storm is followed after its last inflow. */
export const STORM_FOLLOWED_h = 24

/** A storm on wet soil routed through the ditch in its worst state. */
export function routeWorst(
  ditch: LineDitch,
  pool: readonly PoolLevel[],
  storm: GatheredWater,
  length_m: number,
  settings: Settings,
): PoolRouting {
  const { hydrograph } = storm.wet
  return routeFull(
    { levels: pool, outlets: [openings(ditch, length_m, settings).sill], crest_m: ditch.crestLevel_m },
    { step_s: hydrograph.step_h * 3600, flows_m3s: hydrograph.flows_m3s },
    { follow_h: 1 },
  )
}

/**
 * The spill for the acceptance storm; null while its peak is not known.
 *
 * @param live  true takes the peak as it comes, unrouted: a little higher than what leaves a full ditch
 */
export function spillway(
  ditch: LineDitch,
  pool: readonly PoolLevel[],
  acceptance: StormWater,
  chainage_m: number,
  exitSlope_ratio: number,
  settings: Settings,
  live = false,
): Spillway | null {
  const sill = sillFor(acceptance, settings)
  const peakInflow_m3s = acceptance.wet.hydrograph.peak_m3s
  if (sill === null || peakInflow_m3s === null) return null
  const worst = live
    ? {
        peakSpill_m3s: peakInflow_m3s,
        highest_m: levelForFlow_m([openings(ditch, sill.length_m, settings).sill], peakInflow_m3s),
      }
    : routeWorst(ditch, pool, acceptance, sill.length_m, settings)
  const levels = peakInflow_m3s > 0 ? waterAlong(ditch, chainage_m, worst.highest_m, peakInflow_m3s, settings) : null
  const water = ditch.stakes.map(({ chainage_m: at, section, bed_m }, k) => {
    const level_m = levels?.[k] ?? ditch.bed_m + worst.highest_m
    return {
      chainage_m: at,
      level_m,
      freeboard_m: bed_m + section.crest_z_m - level_m,
      againstFill_m: Math.max(0, level_m - bed_m - section.lip_z_m),
    }
  })
  const leastFreeboard = Math.min(...water.map(w => w.freeboard_m))
  const overBanks = peakInflow_m3s > 0 && levels === null
  return {
    chainage_m,
    length_m: sill.length_m,
    neededLength_m: sill.needed_m,
    sillElevation_m: ditch.bed_m + ditch.sillLevel_m,
    notchElevation_m: ditch.notch ? ditch.bed_m + ditch.notch.crest_m : null,
    peakInflow_m3s,
    peakSpill_m3s: worst.peakSpill_m3s,
    highestWater_m: Math.max(ditch.bed_m + worst.highest_m, ...water.map(w => w.level_m)),
    water,
    least: overBanks ? null : water.findIndex(w => w.freeboard_m === leastFreeboard),
    exitSlope_ratio,
    exits: exitChecks(worst.peakSpill_m3s / sill.length_m, Math.min(1, Math.max(FLATTEST_EXIT, exitSlope_ratio)), {
      soil: settings.exitSoil,
      resistance: settings.exitSoilResistance,
      grass: grassOf(settings.exitGrass),
      stone_m: settings.exitStone_m,
    }),
    spreaders: spreaderLengths(worst.peakSpill_m3s, settings.spreaderRule),
  }
}

/** A flatter exit counts as this flat: the rules of sheet flow know no level ground. Source: judgement. */
const FLATTEST_EXIT = 0.001

/** Rule and stand of grass of the setting's code. */
function grassOf(code: Settings['exitGrass']): NonNullable<ExitOptions['grass']> {
  const [rule, cover] = code.split('/')
  return { rule, cover } as NonNullable<ExitOptions['grass']>
}

/**
 * The ditch itself as a channel, walled off at its uphill edge: the thin sheet on gentle ground beyond carries next to nothing, and counted as one
 * section with the ditch it would slow it down.
 *
 * Source  division of compound sections: Chow (1959) §6-5 (from memory); leaving the sheet out altogether is the unfavourable end.
 */
function ditchAlone(section: LineSection): ReturnType<typeof ditchChannel> {
  const { form, points } = ditchChannel(section)
  const inside = points.filter(([x]) => x >= section.uphillEdge_x_m - 1e-9)
  return { form, points: [[inside[0]![0], section.crest_z_m + 1], ...inside] }
}

/** Refusals that say one thing here: the water stands over the banks, at the outlet already or further up. */
const OVER_BANKS: readonly InputErrorCode[] = ['backwater/over-banks', 'channel/over-banks', 'channel/flow-over-banks']

/**
 * The water's level at every stake while the peak runs in evenly along the line and leaves at the spill; null where it would stand over the banks.
 *
 * Units   `atSpill_m` above the lowest bed; the answer in the raster's datum.
 */
function waterAlong(
  ditch: LineDitch,
  spillAt_m: number,
  atSpill_m: number,
  peak_m3s: number,
  settings: Settings,
): (number | null)[] | null {
  const { stakes } = ditch
  const length_m = stakes[stakes.length - 1]!.chainage_m
  const levels: (number | null)[] = stakes.map(() => null)
  const side = (order: readonly number[], far_m: number): void => {
    // The stake nearest to the spill stands for the outlet.
    const first = order[0]
    if (first === undefined || order.length < 2) return
    const places = order.map((k): DitchPlace => {
      const { chainage_m, bed_m, section } = stakes[k]!
      return {
        distance_m: Math.abs(chainage_m - stakes[first]!.chainage_m),
        bed_m,
        shape: ditchAlone(section),
        flow_m3s: (peak_m3s * Math.abs(far_m - chainage_m)) / length_m,
      }
    })
    const water = backwater(places, ditch.bed_m + atSpill_m, settings.ditchRoughness)
    for (const [j, k] of order.entries()) levels[k] = water[j]!.level_m
  }
  const all = [...stakes.keys()]
  try {
    side(
      all.filter(k => stakes[k]!.chainage_m >= spillAt_m - 1e-9),
      length_m,
    )
    side(all.filter(k => stakes[k]!.chainage_m <= spillAt_m + 1e-9).reverse(), 0)
  } catch (error) {
    if (error instanceof InputError && OVER_BANKS.includes(error.code)) return null
    throw error
  }
  return levels
}
