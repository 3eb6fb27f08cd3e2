import type { Assessment } from 'soakline/plan'
import { plainText } from './escape-text.js'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { saySoilReason, saySource, sayWarning } from './sentences.js'
import type { SaidPart } from './sizing.js'
import { sayByKey, saying, texts } from './templates.js'
import type { Voice } from './voice.js'
import { SOIL_AND_YEAR, SOIL_ANSWERS } from './words-of-soil-and-year.js'

/** What pits, tests and the walk say, the weightiest first; null where nothing was dug or seen. */
export function saySoil({ soaking: { record } }: Pick<Assessment, 'soaking'>, voice: Voice): SaidPart | null {
  if (record === null) return null
  const say = texts(SOIL_AND_YEAR, voice.language)
  const rows = record.reasons.map(reason => [
    reason.pit === null ? '' : plainText(reason.pit),
    saySoilReason(reason, voice),
    saySource(reason.source, voice),
  ])
  return {
    title: say.soil,
    lead: SOIL_ANSWERS[record.answer][voice.language],
    lines: [],
    tables: rows.length === 0 ? [] : [{ caption: '', head: [say.pit, say.found, say.source], rows, cited: 2 }],
    notes: [],
  }
}

/** How the ditch would have taken a storm that was measured; null without one. */
export function sayMeasuredStorm({ measuredStorm }: Pick<Assessment, 'measuredStorm'>, voice: Voice): SaidPart | null {
  if (!measuredStorm) return null
  const say = texts(SOIL_AND_YEAR, voice.language)
  const m = measuresOf(voice)
  const { source, duration_h, rain_mm, runoff_mm, runoff_m3, runoffLeast_mm, runoffMost_mm, peakInflow_m3s, kept_m3, spilled_m3 } =
    measuredStorm
  const spread = runoffLeast_mm === null || runoffMost_mm === null ? '' : `, ${m.depth(runoffLeast_mm)}–${m.depth(runoffMost_mm)}`
  return {
    title: say.measured,
    lead: say.measuredLead,
    lines: [
      [say.measuredFrom, plainText(source)],
      [say.measuredTime, m.duration(duration_h)],
      [say.measuredRain, m.depth(rain_mm)],
      [say.measuredRunoff, `${m.volume(runoff_m3)} (${m.depth(runoff_mm)}${spread})`],
      [say.measuredPeak, peakInflow_m3s === null ? say.unknown : m.flow(peakInflow_m3s)],
      [say.measuredKept, kept_m3 === null ? say.unknown : m.volume(kept_m3)],
      [say.measuredSpilled, spilled_m3 === null ? say.unknown : m.volume(spilled_m3)],
    ],
    tables: [],
    notes: [],
  }
}

/** The measured storm in a sentence; empty without one. */
export function sayMeasuredStormShort({ measuredStorm }: Pick<Assessment, 'measuredStorm'>, voice: Voice): string[] {
  if (!measuredStorm) return []
  const { rain_mm, runoff_m3, kept_m3 } = measuredStorm
  return [saying(SOIL_AND_YEAR.measuredShort, voice.language)(factsOfDetails({ rain_mm, runoff_m3, kept_m3 }), measuresOf(voice))]
}

/** How the ditch fares over the years of a rain record; null without one. */
export function sayYear({ year }: Pick<Assessment, 'year'>, voice: Voice): SaidPart | null {
  if (!year) return null
  const say = texts(SOIL_AND_YEAR, voice.language)
  const m = measuresOf(voice)
  const share = (volume_m3: number): string =>
    year.inflow_m3 > 0 ? `${m.volume(volume_m3)} (${m.slope(volume_m3 / year.inflow_m3)})` : m.volume(volume_m3)
  const { largestSpill, longestWet } = year
  return {
    title: say.year,
    lead: say.yearLead,
    lines: [
      [say.days, m.count(year.days)],
      [say.spills, sayByKey('spillsPerYear', year.spillsPerYear, m)],
      [say.daysSpilling, sayByKey('daysSpillingPerYear', year.daysSpillingPerYear, m)],
      [say.inflow, m.volume(year.inflow_m3)],
      [say.soaked, share(year.soaked_m3)],
      [say.spilled, share(year.spilled_m3)],
      ...(largestSpill === null ? [] : [[say.largest, `${m.volume(largestSpill.spilled_m3)}, ${largestSpill.day}`] as const]),
      ...(longestWet === null ? [] : [[say.longest, m.duration(longestWet.hours)] as const]),
    ],
    tables: [],
    notes: year.remarks.map(remark => sayWarning(remark, voice)),
  }
}

/** The years in a sentence, and what is to be remarked on them; empty without a record. */
export function sayYearShort({ year }: Pick<Assessment, 'year'>, voice: Voice): string[] {
  if (!year) return []
  const facts = factsOfDetails({ days: year.days, spillsPerYear: year.spillsPerYear, soaked_ratio: year.soaked_ratio })
  return [
    saying(SOIL_AND_YEAR.yearShort, voice.language)(facts, measuresOf(voice)),
    ...year.remarks.map(remark => sayWarning(remark, voice)),
  ]
}
