import {
  type AsBuilt,
  type Assessment,
  type DigPhase,
  type GroundWork,
  INSPECTION_TIMES,
  type LevelBook,
  type MatchReason,
  type Plant,
  type PlantMatch,
  type PlantZone,
  SETTLING_REASONS,
  type StaffReadings,
  type Stake,
  type StormRow,
  type VerdictChanged,
} from 'soakline/plan'
import { plainText } from './escape-text.js'
import { nameGroundWork, sayGroundWork } from './ground-work-sentences.js'
import {
  formatAlong,
  formatDepth,
  formatDuration,
  formatEarth,
  formatFine,
  formatHeight,
  formatLength,
  formatNumber,
  formatStakeLevel,
  measuresOf,
} from './measures.js'
import { type OnSiteWords, onSiteWords } from './on-site-words.js'
import { sayCheck, saySource, sayVerdict, wordsOf } from './sentences.js'
import type { SaidPart, SaidTable } from './sizing.js'
import type { Voice } from './voice.js'

// The papers for the work on the ground, as numbers with names, tables and notes: both shells show the same.

const part = (title: string, said: Partial<Omit<SaidPart, 'title'>>): SaidPart => ({ title, lines: [], tables: [], notes: [], ...said })
const table = (caption: string, head: readonly string[], rows: readonly (readonly string[])[]): SaidTable => ({
  caption,
  head,
  rows,
  numeric: true,
})
const orUnknown = (value: number | null, format: (value: number) => string, voice: Voice): string =>
  value === null ? onSiteWords(voice).unknown : format(value)
const dash = '–'
const span = (from: string, to: string): string => `${from} – ${to}`

/** A height as a crew measures it: centimetres of a metre, always both, or inches. */
const handHeight = (height_m: number, voice: Voice): string =>
  voice.units === 'us' ? formatHeight(height_m, voice) : formatStakeLevel(height_m, voice)

/** What a stake stands for besides marking the line; empty for one that only does that. */
export const sayStakeKinds = ({ kinds }: Pick<Stake, 'kinds'>, voice: Voice): string =>
  kinds
    .filter(kind => kind !== 'step')
    .map(kind => nameGroundWork('stake', kind, voice))
    .join(', ')

/** Name of a stake, short enough for a receiver. */
export const sayStakeName = (stake: Pick<Stake, 'number' | 'kinds'>, voice: Voice): string =>
  onSiteWords(voice).stakes.name(formatNumber(stake.number, voice), sayStakeKinds(stake, voice))

/** What is done at a stake. */
export const sayStakeNote = ({ cut_m, bed_m }: Stake, voice: Voice): string =>
  onSiteWords(voice).stakes.note(formatHeight(cut_m, voice), formatStakeLevel(bed_m, voice))

/** Names and notes for the files that are taken along. */
export const sayFieldFiles = (voice: Voice) => ({
  stake: (stake: Stake): string => sayStakeName(stake, voice),
  stakeNote: (stake: Stake): string => sayStakeNote(stake, voice),
  group: (code: keyof OnSiteWords['files']['group']): string => onSiteWords(voice).files.group[code],
  zone: (code: PlantZone['zone']): string => nameGroundWork('zone', code, voice),
})

/** Every stake with its place and its levels. */
export function sayStakes({ stakes, length_m, downhill }: GroundWork, voice: Voice): SaidPart {
  const say = onSiteWords(voice).stakes
  const level = (value: number | null): string => (value === null ? dash : formatStakeLevel(value, voice))
  const height = (value: number | null): string => (value === null ? dash : handHeight(value, voice))
  const c = say.columns
  const hasSill = stakes.some(s => s.sill_m !== null)
  return part(say.title, {
    lead: `${say.short(formatNumber(stakes.length, voice), formatLength(length_m, voice))} ${say.side[downhill]}`,
    tables: [
      table(
        say.caption,
        [
          c.stake,
          c.along,
          c.cut,
          c.heap,
          c.bed,
          c.crest,
          ...(hasSill ? [c.sill] : []),
          c.ground,
          c.width,
          c.drop,
          c.tape,
          c.bearing,
          c.doubt,
        ],
        stakes.map(s => [
          sayStakeName(s, voice),
          formatStakeLevel(s.chainage_m, voice),
          height(s.cut_m),
          height(s.bermToBuild_m),
          level(s.bed_m),
          level(s.crest_m),
          ...(hasSill ? [level(s.sill_m)] : []),
          level(s.ground_m),
          height(s.topWidth_m),
          s.toNext === null ? dash : formatFine(s.toNext.bedDrop_m, voice),
          formatStakeLevel(s.fromBase.tape_m, voice),
          s.fromBase.bearing_deg === null ? dash : `${formatNumber(s.fromBase.bearing_deg, voice)}°`,
          s.horizontalDoubt_m === null
            ? onSiteWords(voice).unknown
            : `${s.doubtCapped ? '> ' : '± '}${formatLength(s.horizontalDoubt_m, voice)}`,
        ]),
      ),
    ],
    notes: [
      stakes.some(s => s.horizontalDoubt_m === null) ? say.doubtUnknown : say.mark,
      ...(stakes.some(s => s.doubtCapped) ? [say.capped] : []),
      say.tape,
      say.heap,
    ],
  })
}

/** The A-frame: how it is set, and the tally along the stakes. */
export function sayAFrame({ levelling: { aFrame, fall_ratio } }: GroundWork, voice: Voice): SaidPart {
  const say = onSiteWords(voice).levels
  const m = measuresOf(voice)
  return part(say.frame, {
    lines: [
      [say.fall, fall_ratio === 0 ? say.level : m.slope(fall_ratio)],
      [say.frameSpan, formatStakeLevel(aFrame.legSpan_m, voice)],
      [say.framePlumb, formatStakeLevel(aFrame.plumb_m, voice)],
      ...(fall_ratio === 0
        ? []
        : ([
            [say.frameStep, formatFine(aFrame.dropPerStep_m, voice)],
            [say.frameMark, formatFine(aFrame.markOffset_m, voice)],
          ] as const)),
      [say.frameSteps, formatNumber(aFrame.steps, voice)],
      [say.frameDrift, formatHeight(aFrame.error.byBias_m, voice)],
      [say.frameChance, formatHeight(aFrame.error.byChance_m, voice)],
    ],
    tables: [
      table(
        say.tally,
        say.tallyColumns,
        aFrame.tally.map(row => [
          formatNumber(row.stake, voice),
          formatNumber(row.steps, voice),
          formatStakeLevel(row.rest_m, voice),
          formatNumber(row.stepsSoFar, voice),
          formatFine(row.bedDropSoFar_m, voice),
        ]),
      ),
    ],
    notes: [...say.calibrate.map((step, k) => `${k + 1}. ${step}`), say.notSill],
  })
}

/** The water level from stake to stake. */
export function sayWaterLevel({ levelling: { waterLevel } }: GroundWork, voice: Voice): SaidPart {
  const say = onSiteWords(voice).levels
  return part(say.water, {
    lead: say.waterHow,
    tables: [
      table(
        `${say.waterCaption}.`,
        say.waterColumns,
        waterLevel.rows.map(row => [
          span(formatNumber(row.from, voice), formatNumber(row.to, voice)),
          `${formatStakeLevel(row.distance_m, voice)}${row.tooFar ? ` (${say.tooFar})` : ''}`,
          formatFine(row.ground_m, voice),
          formatFine(row.bed_m, voice),
        ]),
      ),
    ],
    notes: [
      say.waterReach(formatLength(waterLevel.reach_m, voice)),
      say.waterError(formatNumber(waterLevel.setUps, voice), formatFine(waterLevel.error_m, voice)),
    ],
  })
}

/** How exact each tool is, and whether it does for the sill. */
export function sayLevelTools({ levelling: { tools } }: GroundWork, voice: Voice): SaidPart {
  const say = onSiteWords(voice).levels
  const { yes, no } = wordsOf(voice)
  return part(say.tools, {
    tables: [
      table(
        '',
        say.toolColumns,
        tools.map(tool => [
          nameGroundWork('tool', tool.tool, voice),
          `± ${formatFine(tool.error_m, voice)}`,
          say.per[tool.per] ?? tool.per,
          tool.sillFit ? yes : no,
        ]),
      ),
    ],
    notes: [say.fromMemory],
  })
}

/** What the staff must read at each stake from one stand of the instrument. */
export function sayStaffReadings(rows: readonly StaffReadings[], voice: Voice): SaidTable {
  const say = onSiteWords(voice).levels
  const reading = (value: number | null): string => (value === null ? say.staffOff : formatStakeLevel(value, voice))
  return table(
    '',
    say.staffColumns,
    rows.map(row => [
      formatNumber(row.stake, voice),
      reading(row.ground_m),
      reading(row.bed_m),
      row.crestBuilt_m === null ? dash : reading(row.crestBuilt_m),
      row.sill_m === null ? dash : reading(row.sill_m),
    ]),
  )
}

/** Whether a level book adds up, and whether it closes. */
export function sayBookCheck({ check, misclosure_m, allowed_m }: LevelBook, voice: Voice): string[] {
  const say = onSiteWords(voice).levels
  return [
    check.agrees ? say.checkAgrees(formatStakeLevel(check.levels_m, voice)) : say.checkDiffers,
    ...(misclosure_m === null || allowed_m === null
      ? []
      : [say.closes(formatFine(Math.abs(misclosure_m), voice), formatFine(allowed_m, voice), Math.abs(misclosure_m) <= allowed_m)]),
  ]
}

/** A frame that stood both ways round on the same pegs. */
export const sayCalibrated = (levelMark_m: number, pointsDiffer_m: number, voice: Voice): string =>
  onSiteWords(voice).levels.levelMark(formatFine(levelMark_m, voice), formatFine(Math.abs(pointsDiffer_m), voice))

/** What of an answer changes with the levels that were built. */
type Sized = Pick<Assessment, 'storage' | 'spillway'>

/** What was built against the plan, and what follows from it. */
export function sayConsequence(
  built: AsBuilt,
  change: { readonly planned: Sized; readonly built: Sized; readonly verdicts: readonly VerdictChanged[] } | null,
  voice: Voice,
): string[] {
  return [
    ...built.remarks.map(({ code, ...values }) => sayGroundWork(code, values, voice)),
    ...(change === null ? [] : sayChange(change, voice)),
  ]
}

/** The numbers of what was built: bed, sill, low spots, every reading. */
export function sayBuilt(built: AsBuilt, voice: Voice): SaidPart[] {
  const { built: say, unknown } = onSiteWords(voice)
  const m = measuresOf(voice)
  const { bed, sill, lowSpots } = built
  return [
    part('', {
      lines: [
        ...(bed
          ? ([
              [say.bed, `${formatFine(bed.unevenness_m, voice)}, ${say.bedWithin[bed.withinTolerance ? 'yes' : 'no']}`],
              [say.bedShare, m.slope(bed.unevenness_ratio)],
              [say.bedLost, m.slope(bed.lostHere_ratio)],
            ] as const)
          : []),
        ...(sill
          ? ([
              [
                say.sill,
                `${sill.highest_m - sill.lowest_m < 0.0005 ? formatStakeLevel(sill.lowest_m, voice) : say.sillSpan(formatStakeLevel(sill.lowest_m, voice), formatStakeLevel(sill.highest_m, voice))}, ${sill.withinTolerance ? say.within : say.off}`,
              ],
            ] as const)
          : []),
      ],
    }),
    part(say.lowSpots, {
      ...(lowSpots.length === 0 && built.lowestCrest_m !== null ? { lead: say.noLowSpots } : {}),
      tables:
        lowSpots.length === 0
          ? []
          : [
              {
                caption: '',
                head: say.lowColumns,
                rows: lowSpots.map(spot => [
                  span(formatAlong(spot.from_m, voice), formatAlong(spot.to_m, voice)),
                  formatAlong(spot.lowestAt_m, voice),
                  formatFine(spot.depth_m, voice),
                  spot.freeboard_m === null ? unknown : formatHeight(spot.freeboard_m, voice),
                  formatEarth(spot.soilHeaped_m3, voice),
                  formatFine(spot.raiseBy_m, voice),
                ]),
              },
            ],
    }),
    part('', {
      tables: [
        table(
          say.caption,
          say.columns,
          built.readings.map(r => [
            formatAlong(r.chainage_m, voice),
            say.what[r.what],
            formatStakeLevel(r.level_m, voice),
            formatStakeLevel(r.planned_m, voice),
            formatFine(r.off_m, voice),
            r.withinTolerance ? say.within : say.off,
          ]),
        ),
      ],
    }),
  ]
}

function sayChange(
  { planned, built, verdicts }: { readonly planned: Sized; readonly built: Sized; readonly verdicts: readonly VerdictChanged[] },
  voice: Voice,
): string[] {
  const { built: say } = onSiteWords(voice)
  const m = measuresOf(voice)
  const least = ({ spillway }: Sized): number | null =>
    spillway && spillway.least !== null ? spillway.water[spillway.least]!.freeboard_m : null
  const [was, is] = [least(planned), least(built)]
  return [
    ...(planned.storage && built.storage ? [say.storage(m.volume(planned.storage.toSill_m3), m.volume(built.storage.toSill_m3))] : []),
    ...(was !== null && is !== null ? [say.freeboard(formatHeight(was, voice), formatHeight(is, voice))] : []),
    ...(verdicts.length === 0
      ? [say.unchanged]
      : verdicts.map(v => say.changed(sayCheck(v.check, voice), sayVerdict(v.planned, voice), sayVerdict(v.built, voice)))),
  ]
}

/** Volumes, days and their spread. */
export function sayDigging({ digging }: GroundWork, voice: Voice): SaidPart {
  const { dig: say } = onSiteWords(voice)
  const m = measuresOf(voice)
  const { personDays: days, machineHours: hours, cost } = digging
  const round = (value: number): string => formatNumber(value, voice, value < 10 ? 1 : 0)
  return part(say.title, {
    lines: [
      [say.cut, m.earth(digging.cut_m3)],
      [say.loose, m.earth(digging.loose_m3)],
      [say.topsoil, m.earth(digging.topsoil_m3)],
      [say.mulch, m.earth(digging.mulch_m3)],
      [say.days, orUnknown(days && 1, () => say.daysText(round(days!.low_days), round(days!.high_days)), voice)],
      [say.machine, say.hoursText(round(hours.low_h), round(hours.high_h))],
      ...(cost?.byHand ? [[say.costByHand, say.costSpan(money(cost.byHand.low, voice), money(cost.byHand.high, voice))] as const] : []),
      ...(cost?.byMachine
        ? [[say.costByMachine, say.costSpan(money(cost.byMachine.low, voice), money(cost.byMachine.high, voice))] as const]
        : []),
      ...(cost && cost.mulch !== null ? [[say.costMulch, money(cost.mulch, voice)] as const] : []),
    ],
    notes: [
      ...(days ? [`${say.daySource}: ${days.sources.map(source => saySource(source, voice)).join('; ')}`] : []),
      `${say.machineSource}: ${saySource(hours.source, voice)}`,
    ],
  })
}

const money = (value: number, voice: Voice): string => formatNumber(value, voice, value < 100 ? 2 : 0)

/** The phases: what is done, what it takes, what rain does then. */
export function sayDigPhases(
  { digging }: GroundWork,
  voice: Voice,
): readonly {
  readonly order: number
  readonly what: string
  readonly rain: string
  readonly takes: string
}[] {
  return digging.phases.map(phase => ({
    order: phase.order,
    what: nameGroundWork('phase', phase.code, voice),
    rain: nameGroundWork('rain', phase.rain, voice),
    takes: sayQuantities(phase, voice),
  }))
}

function sayQuantities({ code, quantities }: DigPhase, voice: Voice): string {
  const { quantity: names, bankLength } = onSiteWords(voice).dig
  return Object.entries(quantities)
    .flatMap(([key, value]) => {
      const name = code === 'turn-ends-uphill' && key === 'length_m' ? bankLength : names[key]
      return name === undefined || value === 0 ? [] : [`${name} ${sayQuantity(key, value, voice)}`]
    })
    .join(' · ')
}

function sayQuantity(key: string, value: number, voice: Voice): string {
  if (key.endsWith('_m3')) return formatEarth(value, voice)
  if (key.endsWith('_m2')) return measuresOf(voice).area(value)
  if (key === 'tolerance_m' || key === 'depth_m') return formatHeight(value, voice)
  if (key === 'sill_m' || key === 'notch_m') return formatStakeLevel(value, voice)
  if (key.endsWith('_m')) return formatAlong(value, voice)
  return formatNumber(value, voice, value < 10 ? 1 : 0)
}

/** Earth and days of each stretch, and of the whole in other ground. */
export function sayDigStretches({ digging }: GroundWork, voice: Voice): SaidTable[] {
  const { dig: say, unknown } = onSiteWords(voice)
  const words = wordsOf(voice)
  const days = (range: { readonly low_days: number; readonly high_days: number } | null): string =>
    range === null
      ? unknown
      : range.low_days === range.high_days
        ? formatNumber(range.low_days, voice, 1)
        : span(formatNumber(range.low_days, voice, 1), formatNumber(range.high_days, voice, 1))
  const chosen = digging.bySoil.findIndex(row => row.chosen)
  return [
    table(
      say.stretches,
      say.stretchColumns,
      digging.stretches.map(s => [
        formatNumber(s.order, voice),
        span(formatAlong(s.from_m, voice), formatAlong(s.to_m, voice)),
        formatEarth(s.cut_m3, voice),
        formatEarth(s.loose_m3, voice),
        formatHeight(s.greatestCut_m, voice),
        days(s.personDays),
      ]),
    ),
    {
      ...table(
        say.soils,
        say.soilColumns,
        digging.bySoil.map(row => [words.choice[row.soil] ?? row.soil, days(row.days)]),
      ),
      ...(chosen < 0 ? {} : { marked: { row: chosen } }),
    },
  ]
}

/** Crossings with their sizes, and why one cannot lie where it was wished. */
export function sayCrossings({ digging }: GroundWork, voice: Voice): { readonly table: SaidTable | null; readonly refused: string[] } {
  const { dig: say } = onSiteWords(voice)
  const all = digging.crossings
  return {
    table:
      all.length === 0
        ? null
        : table(
            '',
            say.crossingColumns,
            all.map(c => [
              formatAlong(c.chainage_m, voice),
              nameGroundWork('crosser', c.crosser, voice),
              formatHeight(c.width_m, voice),
              formatLength(c.length_m, voice),
              formatEarth(c.extraCut_m3, voice),
              formatEarth(c.extraFill_m3, voice),
            ]),
          ),
    refused: all.flatMap(c => (c.refused === null ? [] : [`${formatAlong(c.chainage_m, voice)}: ${sayGroundWork(c.refused, {}, voice)}`])),
  }
}

/** The tools, by name. */
export const sayDigTools = ({ digging }: GroundWork, voice: Voice): string[] => digging.tools.map(tool => onSiteWords(voice).dig.tool[tool])

/** Places to plant with counts, and how plants have it there. */
export function sayPlanting({ planting: { zones } }: GroundWork, voice: Voice): SaidPart {
  const { plant: say, unknown } = onSiteWords(voice)
  const words = wordsOf(voice)
  const m = measuresOf(voice)
  const name = ({ zone }: PlantZone): string => nameGroundWork('zone', zone, voice)
  const shown = zones.filter(zone => zone.length_m > 0)
  const water = (hours: number | null): string => (hours === null ? unknown : hours === 0 ? say.never : formatDuration(hours, voice))
  return part(say.title, {
    tables: [
      table(
        say.zones,
        say.columns,
        shown.map(zone => [
          name(zone),
          formatLength(zone.length_m, voice),
          m.area(zone.area_m2),
          formatHeight(zone.width_m, voice),
          zone.spacing_m === null ? dash : formatHeight(zone.spacing_m, voice),
          zone.spacing_m === null ? dash : formatNumber(zone.rows, voice),
          zone.count === null ? say.sown : formatNumber(zone.count, voice),
        ]),
      ),
      table(
        say.conditions,
        say.conditionColumns,
        shown.map(zone => {
          const { underWater_h, drainedDepth_m, woody, facing_deg, sun } = zone.conditions
          return [
            name(zone),
            water(underWater_h),
            drainedDepth_m === null ? say.seep : formatHeight(drainedDepth_m, voice),
            say.woody[woody],
            facing_deg === null ? dash : words.toward[Math.round(facing_deg / 45) % 8]!,
            sun === null ? unknown : m.slope(sun.year_ratio),
          ]
        }),
      ),
    ],
    notes: [
      say.staggered,
      say.sunNote,
      ...(shown.some(zone => zone.conditions.underWater_h === null) ? [say.waterUnknown] : []),
      say.warnDeep,
    ],
  })
}

/** The name of a plant: the user's own, or that of a general type. */
export const sayPlantName = (name: string, voice: Voice): string => onSiteWords(voice).plant.type[name] ?? plainText(name)

/** Where a plant goes, and why not elsewhere. */
export interface SaidPlant {
  readonly name: string
  readonly lines: readonly (readonly [verdict: PlantMatch['verdict'], name: string, places: string])[]
}

/** Each plant of the list with the places that suit it, those that want care, and those that do not, each with its reasons. */
export function sayPlants({ planting: { plants, matches, zones } }: GroundWork, voice: Voice): SaidPlant[] {
  const { plant: say } = onSiteWords(voice)
  const titles = { holds: say.suits, watch: say.suitsWith, unknown: say.suitsUnknown, fails: say.suitsNot } as const
  return plants.map((plant: Plant, k): SaidPlant => {
    const mine = matches.slice(k * zones.length, (k + 1) * zones.length)
    return {
      name: sayPlantName(plant.name, voice),
      lines: (['holds', 'watch', 'unknown', 'fails'] as const).flatMap(verdict => {
        const here = mine.filter(match => match.verdict === verdict)
        if (here.length === 0) return verdict === 'holds' ? [[verdict, titles[verdict], say.nowhere] as const] : []
        return [[verdict, titles[verdict], byReason(here, voice)] as const]
      }),
    }
  })
}

/** The reasons that are worth telling: where some settle it, the others say nothing more. */
export function tellingReasons(reasons: readonly MatchReason[]): readonly MatchReason[] {
  const settling = reasons.filter(reason => SETTLING_REASONS.includes(reason))
  return settling.length > 0 ? settling : reasons
}

/** Why a plant does not simply go to a place. */
export const sayMatchReasons = (reasons: readonly MatchReason[], voice: Voice): string =>
  tellingReasons(reasons)
    .map(reason => sayGroundWork(reason, {}, voice))
    .join('; ')

/** Places with the same reasons stand together. */
function byReason(matches: readonly PlantMatch[], voice: Voice): string {
  const groups = new Map<string, string[]>()
  for (const { zone, reasons } of matches) {
    const why = sayMatchReasons(reasons, voice)
    groups.set(why, [...(groups.get(why) ?? []), nameGroundWork('zone', zone, voice)])
  }
  return [...groups].map(([why, zones]) => `${zones.join(', ')}${why === '' ? '' : ` (${why})`}`).join('. ')
}

/** The storm card: facts to print large, and what to do. */
export function sayStormCard({ care: { card }, sill }: GroundWork, voice: Voice): SaidPart {
  const { care: say } = onSiteWords(voice)
  const m = measuresOf(voice)
  return part(say.card, {
    lines: [
      [say.openAt, say.openAtText(formatAlong(card.openAt.chainage_m, voice))],
      ...(card.sill_m === null
        ? []
        : [
            [say.sill, `${formatStakeLevel(card.sill_m, voice)}${sill ? `, ${formatAlong(sill.to_m - sill.from_m, voice)}` : ''}`] as const,
          ]),
      ...(card.notch_m === null ? [] : [[say.notch, formatStakeLevel(card.notch_m, voice)] as const]),
      [say.lowest, say.lowestText(formatStakeLevel(card.lowestCrest_m, voice), formatAlong(card.lowestCrestAt_m, voice))],
      ...(card.sillToCrest_m === null ? [] : [[say.left, formatHeight(card.sillToCrest_m, voice)] as const]),
      [say.holds, m.volume(card.holds_m3)],
      [say.judged, m.chance(card.acceptanceChance)],
      ...(card.ring === '' ? [] : [[say.ring, plainText(card.ring)] as const]),
    ],
    notes: [
      ...(card.houseBelow ? [say.house] : []),
      `${say.inStorm}:`,
      ...card.inStorm.map((code, k) => `${k + 1}. ${nameGroundWork('inStorm', code, voice)}`),
      ...card.doNot.map(code => nameGroundWork('doNot', code, voice)),
    ],
  })
}

/** What is looked at, by when. */
export function sayInspections({ care }: GroundWork, voice: Voice): readonly { readonly time: string; readonly items: string[] }[] {
  return INSPECTION_TIMES.map(time => ({
    time: nameGroundWork('time', time, voice),
    items: care.inspections
      .filter(item => (item.when as readonly string[]).includes(time))
      .map(item => nameGroundWork('inspection', item.code, voice)),
  }))
}

/** At which depth of sediment the ditch is cleaned. */
export const sayCleanAt = ({ care }: GroundWork, voice: Voice): string =>
  onSiteWords(voice).care.cleanAt(formatHeight(care.cleanAt_m, voice))

/** A storm that was written down, beside what its rain was bound to do. */
export function sayStormRow(
  { storm, predicted, because, waterOff_m }: StormRow,
  voice: Voice,
): {
  readonly cells: readonly string[]
  readonly said: string
} {
  const { care: say } = onSiteWords(voice)
  const spilled = storm.spilled === null ? say.spilledWords.unknown : storm.spilled ? say.spilledWords.yes : say.spilledWords.no
  return {
    cells: [
      storm.date,
      storm.rain_mm === null ? dash : formatDepth(storm.rain_mm, voice),
      storm.highestWater_m === null ? dash : formatHeight(storm.highestWater_m, voice),
      predicted === null ? dash : say.expected(formatHeight(predicted.leastWater_m, voice), formatHeight(predicted.mostWater_m, voice)),
      spilled,
    ],
    said: sayGroundWork(because, { waterOff_m }, voice),
  }
}
