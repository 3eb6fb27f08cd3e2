import type { Assessment, Settings, StormAnswer } from 'soakline/plan'
import { plainText } from './escape-text.js'
import { formatIntake, formatNumber, formatPull, formatStakeLevel, measuresOf } from './measures.js'
import { sayPlace, saySource, sayWarning, wordsOf } from './sentences.js'
import { sizingWords } from './sizing-words.js'
import type { Voice } from './voice.js'

/** A table as it is to be shown; cells are plain text. */
export interface SaidTable {
  readonly caption: string
  /** The first cell heads the names of the rows. */
  readonly head: readonly string[]
  readonly rows: readonly (readonly string[])[]
  /** The column, or the row, that counts. */
  readonly marked?: { readonly column?: number; readonly row?: number }
  /** The column of sources. */
  readonly cited?: number
  /** True where all cells but the first of a row are numbers. */
  readonly numeric?: boolean
}

/** Numbers with their names, tables, and what stands below them. */
export interface SaidPart {
  readonly title: string
  readonly lead?: string
  readonly lines: readonly (readonly [name: string, value: string])[]
  readonly tables: readonly SaidTable[]
  /** Notes and sources. */
  readonly notes: readonly string[]
}

/** What the sizing says of one thing. */
export type SaySizing = (assessment: Assessment, voice: Voice) => SaidPart

const part = (title: string, said: Partial<Omit<SaidPart, 'title'>>): SaidPart => ({ title, lines: [], tables: [], notes: [], ...said })

/** Numbers that rest on a catchment cut off by the edge of the data are at least so much. */
const atLeast = ({ catchment }: Assessment, voice: Voice): string => (catchment.cutByEdge ? sizingWords(voice).atLeast : '')

/** A number by its format, or that it is unknown; never 0 for what nobody knows. */
const known = (value: number | null, format: (value: number) => string, voice: Voice): string =>
  value === null ? sizingWords(voice).unknown : format(value)

/** Every storm into an empty ditch: what it brings, what is kept, what passes, how high the water comes. */
export const sayStorms: SaySizing = (assessment, voice) => {
  const { report } = wordsOf(voice)
  const { storms: say } = sizingWords(voice)
  const { storms: all, catchment } = assessment
  if (all.length === 0) return part(say.title, { lead: report.noStorms })
  const m = measuresOf(voice)
  const least = atLeast(assessment, voice)
  const row = (name: string, each: (s: StormAnswer) => string): string[] => [name, ...all.map(each)]
  const number = (value: number | null, format: (value: number) => string): string => known(value, format, voice)
  const soilKnown = assessment.soaking.infiltration_mmh !== null
  const durations = new Set(all.map(s => s.duration_h))
  const rows = [
    row(say.rain, s => m.depth(s.rain_mm)),
    ...(durations.size > 1 ? [row(say.duration, s => m.duration(s.duration_h))] : []),
    row(say.runoffDepth, s => m.depth(s.runoff_mm)),
    ...(all.some(s => s.runoffLeast_mm !== null)
      ? [row(say.spread, s => span(number(s.runoffLeast_mm, m.depth), number(s.runoffMost_mm, m.depth)))]
      : []),
    row(say.runoff, s => least + m.volume(s.runoff_m3)),
    row(say.peak, s => number(s.peakInflow_m3s, v => least + m.flow(v))),
    ...(all.some(s => s.rationalPeak_m3s !== null) ? [row(say.quickPeak, s => number(s.rationalPeak_m3s, v => least + m.flow(v)))] : []),
    // All of a runoff that is only known to be at least so much is itself at least so much.
    row(say.kept, s => number(s.kept_m3, v => (v === s.runoff_m3 ? least : '') + m.volume(v))),
    // Where nobody knows the soil nothing was let soak in: that is no 0.
    row(say.soaked, s => number(soilKnown ? s.soaked_m3 : null, m.volume)),
    row(say.standing, s => number(soilKnown ? s.standing_m3 : null, m.volume)),
    row(say.spilled, s => number(s.spilled_m3, v => least + m.volume(v))),
    row(say.starts, s => (s.spilled_m3 === 0 ? say.neverSpills : number(s.spillStarts_h, m.duration))),
    row(say.peakSpill, s => number(s.peakSpill_m3s, v => least + m.flow(v))),
    row(say.highest, s => number(s.highestWater_m, v => formatStakeLevel(v, voice))),
    row(say.freeboard, s => number(s.freeboard_m, m.height)),
  ]
  const judged = all.findIndex(s => s.chancePerYear === assessment.acceptance.chancePerYear)
  const [one] = durations
  return part(say.title, {
    tables: [
      {
        caption: durations.size === 1 ? `${say.caption}. ${say.duration} ${m.duration(one)}.` : `${say.caption}.`,
        head: [say.quantity, ...all.map(s => chanceText(s.chancePerYear, voice))],
        rows,
        numeric: true,
        ...(judged < 0 ? {} : { marked: { column: judged + 1 } }),
      },
    ],
    notes: [
      ...(catchment.cutByEdge ? [report.stormCut] : []),
      [
        ...(judged < 0 ? [] : [say.judged]),
        ...(all.some(s => s.runoffLeast_mm !== null) ? [say.spreadNote] : []),
        ...(soilKnown ? [] : [say.noSoil]),
        ...(rows.some(cells => cells.includes(sizingWords(voice).unknown)) ? [say.unknownNote] : []),
      ].join(' '),
    ].filter(note => note !== ''),
  })
}

/** The same storms in the worst case: the ditch full, the soil wet, the notch blocked. */
export const sayWorst: SaySizing = (assessment, voice) => {
  const { worst: say, storms, unknown } = sizingWords(voice)
  const all = assessment.storms
  if (all.length === 0) return part(say.title, { lead: wordsOf(voice).report.noStorms })
  const m = measuresOf(voice)
  const least = atLeast(assessment, voice)
  type Worst = NonNullable<StormAnswer['worst']>
  const row = (name: string, each: (worst: Worst) => string): string[] => [
    name,
    ...all.map(s => (s.worst === null ? unknown : each(s.worst))),
  ]
  const judged = all.findIndex(s => s.chancePerYear === assessment.acceptance.chancePerYear)
  return part(say.title, {
    tables: [
      {
        caption: `${say.caption}.`,
        head: [storms.quantity, ...all.map(s => chanceText(s.chancePerYear, voice))],
        rows: [
          row(say.runoff, w => least + m.volume(w.runoff_m3)),
          row(say.peak, w => least + m.flow(w.peakInflow_m3s)),
          row(say.peakSpill, w => least + m.flow(w.peakSpill_m3s)),
          row(say.highest, w => formatStakeLevel(w.highestWater_m, voice)),
          row(say.freeboard, w => m.height(w.freeboard_m)),
        ],
        numeric: true,
        ...(judged < 0 ? {} : { marked: { column: judged + 1 } }),
      },
    ],
    notes: all.some(s => s.worst !== null) ? [say.note] : [],
  })
}

/** From one measure to another, their unit said once. */
function span(from: string, to: string): string {
  const unit = /\d(\s\D+)$/.exec(to)?.[1] ?? ''
  return `${unit !== '' && from.endsWith(unit) ? from.slice(0, -unit.length) : from}–${to}`
}

/** A chance as the head of a column: the table's caption says that it is each year's. */
function chanceText(chancePerYear: number, voice: Voice): string {
  const years = 1 / chancePerYear
  return sizingWords(voice).storms.chance(formatNumber(years, voice, Math.abs(years - Math.round(years)) < 0.02 * years ? 0 : 1))
}

/** The sill, its notch, and the highest water of the storm that it is sized by. */
export const saySpillway: SaySizing = (assessment, voice) => {
  const { spill: say } = sizingWords(voice)
  const { spillway } = assessment
  if (spillway === null) return part(say.title, { lead: say.unknown })
  const m = measuresOf(voice)
  const least = atLeast(assessment, voice)
  const lowest = spillway.least === null ? undefined : spillway.water[spillway.least]
  return part(say.title, {
    lines: [
      [say.needed, least + m.length(spillway.neededLength_m)],
      [say.chosen, m.length(spillway.length_m)],
      [say.sillAt, formatStakeLevel(spillway.sillElevation_m, voice)],
      [say.notchAt, spillway.notchElevation_m === null ? say.noNotch : formatStakeLevel(spillway.notchElevation_m, voice)],
      [say.peakIn, least + m.flow(spillway.peakInflow_m3s)],
      [say.peakOut, least + m.flow(spillway.peakSpill_m3s)],
      [say.highest, formatStakeLevel(spillway.highestWater_m, voice)],
      [
        say.least,
        lowest === undefined
          ? sizingWords(voice).unknown
          : say.leastAt(m.height(lowest.freeboard_m), sayPlace(assessment, lowest.chainage_m, voice)),
      ],
    ],
    notes: [say.source],
  })
}

/** What the published rules for spreading water ask: all of them, since they disagree. */
export const saySpreaders: SaySizing = ({ spillway }, voice) => {
  const words = wordsOf(voice)
  const { spreaders: say, spill } = sizingWords(voice)
  if (spillway === null) return part(say.title, { lead: spill.unknown })
  const m = measuresOf(voice)
  return part(say.title, {
    lead: say.lead,
    tables: [
      {
        caption: '',
        head: say.columns,
        rows: spillway.spreaders.map(({ rule, length_m, longerThanPublished, chosen, source }) => [
          (words.choice[rule] ?? rule) + (chosen ? ` (${say.chosen})` : ''),
          m.length(length_m) + (longerThanPublished ? `; ${say.tooLong}` : ''),
          saySource(source, voice),
        ]),
        marked: { row: spillway.spreaders.findIndex(s => s.chosen) },
        cited: 2,
      },
    ],
  })
}

/** Speed of the water below the spill on bare soil, grass and stone against what each bears. */
export const sayExits: SaySizing = ({ spillway }, voice) => {
  const { exits: say, spill } = sizingWords(voice)
  if (spillway === null) return part(say.title, { lead: spill.unknown })
  const m = measuresOf(voice)
  return part(say.title, {
    lead: say.lead(m.slope(spillway.exitSlope_ratio)),
    tables: [
      {
        caption: '',
        head: say.columns,
        rows: spillway.exits.map(exit => [
          say.cover[exit.cover],
          m.height(exit.depth_m),
          m.speed(exit.velocity_ms),
          exit.limit === null
            ? say.noRule
            : exit.unit === 'Pa'
              ? say.pull(formatPull(exit.measured, voice), formatPull(exit.limit, voice))
              : m.speed(exit.limit),
          exit.holds ? say.holds : say.doesNot,
          saySource(exit.source, voice),
        ]),
        cited: 5,
      },
    ],
  })
}

/** How long the full ditch stands by the intake that is counted. */
export const saySoaking = (assessment: Assessment, voice: Voice, settings: Pick<Settings, 'emptyWithin_h'> | null = null): SaidPart => {
  const { soaking: say } = sizingWords(voice)
  const { soaking } = assessment
  const m = measuresOf(voice)
  const source = soaking.infiltrationSource
  return part(say.title, {
    lead: Object.hasOwn(say.because, soaking.because) ? say.because[soaking.because]! : plainText(soaking.because),
    lines: [
      [say.intake, known(soaking.infiltration_mmh, v => formatIntake(v, voice), voice)],
      [say.empty, soaking.infiltration_mmh === 0 ? say.never : known(soaking.emptyAfter_h, m.duration, voice)],
      ...(settings === null ? [] : [[say.asked, say.asIn(m.duration(settings.emptyWithin_h))] as const]),
    ],
    notes: source === null ? [] : [`${saySource(source, voice)}. ${say.bedOnly}`],
  })
}

/** The drain that leads the water away where the soil does not take it in time, or why there is none; null where none is asked for. */
export function sayDrain(assessment: Assessment, voice: Voice): SaidPart | null {
  const { drain: say } = sizingWords(voice).soaking
  const { leadAway } = assessment.soaking
  if (leadAway === null) return null
  const m = measuresOf(voice)
  const { design, drain, permissible, because, widestDig_m } = leadAway
  const flow = [say.flow, atLeast(assessment, voice) + m.flow(leadAway.flow_m3s)] as const
  const bears = [say.bears, m.speed(permissible.value)] as const
  const notes = [say.source, saySource(permissible.source, voice)]
  if (design === null || drain === null)
    return part(say.title, {
      lead: Object.hasOwn(say.because, because) ? say.because[because]! : plainText(because),
      lines: [flow, bears, ...(widestDig_m === null ? [] : [[say.widest, m.height(widestDig_m)] as const])],
      notes,
    })
  return part(say.title, {
    lines: [
      flow,
      [say.fall, m.slope(design.fall_ratio)],
      [say.width, m.length(design.bedWidth_m)],
      [say.depth, m.height(drain.depth_m)],
      [say.dig, m.height(drain.digDepth_m)],
      [say.speed, m.speed(drain.velocity_ms)],
      bears,
    ],
    notes,
  })
}

/** The digging in a sentence. */
export function sayEarthShort({ earth }: Pick<Assessment, 'earth'>, voice: Voice): string {
  const { earth: say } = sizingWords(voice)
  if (earth === null) return say.none
  const cut = measuresOf(voice).earth(earth.cut_m3)
  const range = earth.personDaysRange
  return range === null ? say.sentenceNoDays(cut) : say.sentence(cut, daysText(range, voice))
}

function daysText({ low_days, high_days }: { readonly low_days: number; readonly high_days: number }, voice: Voice): string {
  const { earth: say } = sizingWords(voice)
  const text = (days: number): string => formatNumber(days, voice, days < 10 ? 1 : 0)
  return say.daysRange(text(low_days), text(high_days))
}

/** Soil dug, laid and settled, and the work in it. */
export const sayEarth: SaySizing = ({ earth }, voice) => {
  const { earth: say, unknown } = sizingWords(voice)
  if (earth === null) return part(say.title, { lead: say.none })
  const m = measuresOf(voice)
  const { over_m3, needed_m3 } = earth.balance
  const hours = (h: number): string => formatNumber(h, voice, h < 10 ? 1 : 0)
  return part(say.title, {
    lines: [
      [say.cut, m.earth(earth.cut_m3)],
      [say.prismoidal, m.earth(earth.cutPrismoidal_m3)],
      [say.loose, m.earth(earth.bermLoose_m3)],
      [say.settled, m.earth(earth.bermSettled_m3)],
      [
        say.balance,
        Math.abs(over_m3) < 0.005 * needed_m3 ? say.even : over_m3 > 0 ? say.over(m.earth(over_m3)) : say.short(m.earth(-over_m3)),
      ],
      [say.built, say.builtFor(m.height(earth.bermBuilt_m), m.height(earth.bermSettled_m))],
      [say.days, earth.personDaysRange === null ? unknown : daysText(earth.personDaysRange, voice)],
      [say.machine, say.hoursRange(hours(earth.machineHours.low_h), hours(earth.machineHours.high_h))],
      [say.mulch, m.earth(earth.mulch_m3)],
    ],
    notes: [
      ...(earth.personDaysRange === null
        ? []
        : [`${say.daysSource}: ${earth.personDaysRange.sources.map(source => saySource(source, voice)).join('; ')}`]),
      `${say.machineSource}: ${saySource(earth.machineHours.source, voice)}`,
    ],
  })
}

/** The covers that the water runs off from, and the time in which it gathers. */
export const sayRunoff: SaySizing = ({ runoff, catchment }, voice) => {
  const words = wordsOf(voice)
  const { runoff: say } = sizingWords(voice)
  const m = measuresOf(voice)
  const { gatheringTime: time } = runoff
  const coverText = (cover: string, condition: string | null): string => {
    const name = Object.hasOwn(words.cover, cover) ? (words.cover as Readonly<Record<string, string>>)[cover]! : plainText(cover)
    return condition === null || !Object.hasOwn(words.condition, condition)
      ? name
      : `${name}, ${(words.condition as Readonly<Record<string, string>>)[condition]}`
  }
  return part(say.title, {
    tables: [
      {
        caption: '',
        head: say.columns,
        rows: runoff.covers.map(({ cover, condition, area_m2, curveNumber, source }) => [
          coverText(cover, condition),
          (catchment.cutByEdge ? sizingWords(voice).atLeast : '') + m.area(area_m2),
          formatNumber(curveNumber, voice, 1),
          saySource(source, voice),
        ]),
        cited: 3,
      },
    ],
    lines: [
      ...(runoff.covers.length > 1 ? [[say.mean, formatNumber(runoff.curveNumber, voice, 1)] as const] : []),
      [say.time, m.duration(time.time_h)],
      [say.way, say.wayText(m.length(time.flowLength_m), m.length(time.flowFall_m))],
      [say.method, words.choice[time.method] ?? time.method],
    ],
    notes: [...(time.because === 'time/least-taken' ? [say.leastTaken] : []), ...time.remarks.map(remark => sayWarning(remark, voice))],
  })
}
