import { M3_PER_CUBIC_FOOT, MM_PER_INCH } from 'soakline/foundation'
import { type Assessment, type StormAnswer, soakRates_m3s } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { DAY as inks } from './inks.js'
import { letteringWidth } from './label-places.js'
import { formatDuration, formatFlow, formatNumber, formatStakeLevel, measuresOf } from './measures.js'
import { apart, halo, middleWithin, picture, roundStep, type SectionSize, SMALL } from './section-picture.js'
import { wordsOf } from './sentences.js'
import { sizingWords } from './sizing-words.js'
import { digits, element, lettering, pathData } from './svg.js'
import { inLanguage, type Voice } from './voice.js'

/** What the picture of a storm is made of. */
export type DrawnStorm = Pick<Assessment, 'hydrograph' | 'storms' | 'storage' | 'line'>

/** Water over time as a storm was followed. */
type OverTime = NonNullable<StormAnswer['levels']>

const RIMS = { left: 72, right: 58, top: 26 } as const
/** Room for the hours, and for a line of the legend. */
const [HOURS, LEGEND] = [36, 16]
/** Shares of the plot: rain at the top, flows, and the water in the ditch below them. */
const [RAIN_SHARE, FLOW_SHARE] = [0.24, 0.48]
const GAP = 16

/** Where less than this part of the peak flows, nothing need be looked at closely. Source: judgement. */
const STILL = 0.05
/** The picture is narrowed to the hours that count where they are less than this part of the whole. Source: judgement. */
const NARROW = 0.6

/** The storm that the ditch is judged by, among the answered. */
export const judgedStorm = ({ hydrograph, storms }: Pick<Assessment, 'hydrograph' | 'storms'>): StormAnswer | null =>
  hydrograph === null ? null : (storms.find(s => s.chancePerYear === hydrograph.chancePerYear) ?? null)

/** Why there is no picture of the storm; null where there is one. */
export function sayNoHydrograph({ hydrograph }: Pick<Assessment, 'hydrograph'>, voice: Voice): string | null {
  const { hydrograph: say } = sizingWords(voice)
  return hydrograph === null ? say.noStorm : hydrograph.peakKnown ? null : say.noPeak
}

/** The storm in a sentence: how much rain, in what time, with what chance; and which of its hours are drawn. Empty where there is none. */
export function sayStorm(assessment: Pick<Assessment, 'hydrograph' | 'storms'>, voice: Voice): string {
  const judged = judgedStorm(assessment)
  if (judged === null || assessment.hydrograph === null) return ''
  const { hydrograph: say } = sizingWords(voice)
  const m = measuresOf(voice)
  const storm = say.caption(m.chance(judged.chancePerYear), m.depth(judged.rain_mm), m.duration(judged.duration_h))
  const { from_h, to_h, narrowed } = hoursShown(assessment.hydrograph)
  return narrowed ? `${storm} ${say.shown(formatNumber(from_h, voice), formatNumber(to_h, voice))}` : storm
}

/** The hours that are drawn: those in which a good part of the peak flows, or all of them. */
function hoursShown({ expected_m3s, wet_m3s, step_h, rain }: NonNullable<Assessment['hydrograph']>): {
  readonly from_h: number
  readonly to_h: number
  readonly narrowed: boolean
} {
  const peak_m3s = Math.max(...expected_m3s, ...wet_m3s, 0)
  const busy = [expected_m3s, wet_m3s].flatMap(flows => flows.flatMap((q, k) => (q > STILL * peak_m3s ? [k * step_h] : [])))
  const whole_h = Math.max(rain.step_h * rain.depths_mm.length, ...busy)
  if (busy.length === 0) return { from_h: 0, to_h: whole_h, narrowed: false }
  const from_h = Math.max(0, Math.floor(Math.min(...busy) - 1))
  const to_h = Math.min(whole_h, Math.ceil(Math.max(...busy) + 1))
  return to_h - from_h < NARROW * whole_h ? { from_h, to_h, narrowed: true } : { from_h: 0, to_h: whole_h, narrowed: false }
}

/**
 * The acceptance storm over its hours: rain as bars hanging from the top, what flows in on soil as it usually is and on wet soil, what leaves over
 * the sill, and how high the water stands in the ditch. An SVG document as text; null while its peak is not known.
 */
export function hydrographSvg(
  assessment: DrawnStorm,
  voice: Voice,
  { width, height }: SectionSize = { width: 720, height: 340 },
): string | null {
  const { hydrograph, storage } = assessment
  if (hydrograph === null || !hydrograph.peakKnown) return null
  const { hydrograph: say } = sizingWords(voice)
  const judged = judgedStorm(assessment)
  const levels: OverTime | null = judged?.levels ?? null
  const flows = [hydrograph.expected_m3s, hydrograph.wet_m3s]
  const peak_m3s = Math.max(...flows.map(f => Math.max(...f, 0)))
  if (!(peak_m3s > 0)) return null

  // Across: hours.
  const { from_h, to_h } = hoursShown(hydrograph)
  const [left, right] = [RIMS.left, width - RIMS.right]
  const x: Across = { at: hour => left + ((hour - from_h) / (to_h - from_h)) * (right - left), from_h, to_h }

  const legend = legendOf(assessment, levels, voice)
  const rows = legendRows(
    legend.map(entry => entry.text),
    width,
  )
  const floor = height - HOURS - rows.length * LEGEND
  const showsLevels = levels !== null && storage !== null
  const room = floor - RIMS.top - (showsLevels ? 2 : 1) * GAP
  const rainFloor = RIMS.top + room * (showsLevels ? RAIN_SHARE : 0.3)
  const flowTop = rainFloor + GAP
  const flowFloor = showsLevels ? flowTop + room * FLOW_SHARE : floor
  const levelTop = flowFloor + GAP

  let inside = ''
  // Hours below, and upright lines that join the panels.
  const hourStep = roundStep(to_h - from_h, Math.min(12, Math.max(3, (right - left) / 38)))
  const step_h = hourStep > 1 ? ([2, 3, 4, 6, 12, 24, 48].find(k => k >= hourStep) ?? hourStep) : hourStep
  for (let k = Math.ceil(from_h / step_h - 1e-9); k * step_h <= to_h + 1e-9; k++) {
    const at = x.at(k * step_h)
    inside += element('path', {
      d: `M${digits(at)} ${RIMS.top}V${digits(floor)}`,
      stroke: inks.faint,
      'stroke-width': 0.5,
      'stroke-opacity': 0.5,
    })
    inside += element('path', { d: `M${digits(at)} ${digits(floor)}v5`, stroke: inks.ink, 'stroke-width': 0.8 })
    inside += lettering(formatNumber(k * step_h, voice, 1), at, floor + 16, { fill: inks.ink, 'text-anchor': 'middle' })
  }
  inside += lettering(say.hours, middleWithin(say.hours, (left + right) / 2, width), floor + 30, {
    fill: inks.ink,
    'text-anchor': 'middle',
  })

  inside += rainBars(hydrograph.rain, voice, x, rainFloor, width)
  inside += flowCurves(assessment, levels, voice, x, peak_m3s, flowTop, flowFloor, width)
  if (showsLevels) inside += levelCurve(levels, assessment, voice, x, levelTop, floor, width)

  for (const [k, row] of rows.entries())
    for (const { index, at } of row) {
      const entry = legend[index]!
      const y = floor + HOURS + k * LEGEND + 6
      inside += entry.sign(at, y) + lettering(entry.text, at + 26, y, { fill: entry.ink, 'dominant-baseline': 'central' })
    }
  return picture(width, height, say.title, inside)
}

/** Hours across the picture. */
interface Across {
  readonly from_h: number
  readonly to_h: number
  at(hour: number): number
}

/** The places of a series of values, one each step, within the hours that are drawn. */
const series = (values: readonly number[], step_h: number, { at, from_h, to_h }: Across, y: (value: number) => number): Point[] =>
  values.flatMap((value, k): Point[] => (k * step_h >= from_h - 1e-9 && k * step_h <= to_h + 1e-9 ? [[at(k * step_h), y(value)]] : []))

const spills = ({ spills_m3s }: OverTime): boolean => spills_m3s.some(q => q > 0)
const soaks = (levels: OverTime): boolean => soakRates_m3s(levels).some(q => q > 1e-9)

/** Looks of the curves: each differs in weight and dashes as well as in ink. */
const LOOKS = {
  usual: { stroke: inks.ditch, 'stroke-width': 2.2 },
  wet: { stroke: inks.water, 'stroke-width': 1.5, 'stroke-dasharray': '6 3' },
  out: { stroke: inks.noGo, 'stroke-width': 1.6, 'stroke-dasharray': '1.5 2.5' },
  soaked: { stroke: inks.growth, 'stroke-width': 1.8, 'stroke-dasharray': '8 2 1.5 2' },
  level: { stroke: inks.ditch, 'stroke-width': 1.6 },
} as const

interface LegendEntry {
  readonly text: string
  readonly ink: string
  readonly sign: (x: number, y: number) => string
}

function legendOf({ storage }: DrawnStorm, levels: OverTime | null, voice: Voice): LegendEntry[] {
  const { hydrograph: say } = sizingWords(voice)
  const stroke = (look: (typeof LOOKS)[keyof typeof LOOKS]) => (x: number, y: number) =>
    element('path', { d: `M${digits(x)} ${digits(y)}h20`, fill: 'none', ...look })
  return [
    {
      text: say.rain,
      ink: inks.water,
      sign: (x, y) => element('path', { d: `M${digits(x)} ${digits(y - 5)}h20v4h-6v5h-7v-3h-7Z`, fill: inks.water, 'fill-opacity': 0.45 }),
    },
    { text: say.usual, ink: LOOKS.usual.stroke, sign: stroke(LOOKS.usual) },
    { text: say.wet, ink: LOOKS.wet.stroke, sign: stroke(LOOKS.wet) },
    ...(levels !== null && spills(levels) ? [{ text: say.out, ink: LOOKS.out.stroke, sign: stroke(LOOKS.out) }] : []),
    ...(levels !== null && soaks(levels) ? [{ text: say.soaked, ink: LOOKS.soaked.stroke, sign: stroke(LOOKS.soaked) }] : []),
    ...(levels !== null && storage !== null
      ? [
          {
            text: say.level,
            ink: LOOKS.level.stroke,
            sign: (x: number, y: number) =>
              element('rect', { x, y: y - 1, width: 20, height: 6, fill: inks.water, 'fill-opacity': 0.2 }) +
              element('path', { d: `M${digits(x)} ${digits(y - 1)}h20`, fill: 'none', ...LOOKS.level }),
          },
        ]
      : []),
  ]
}

/** The entries of a legend in rows that fit across. */
function legendRows(texts: readonly string[], width: number): { readonly index: number; readonly at: number }[][] {
  const rows: { index: number; at: number }[][] = []
  let at = Number.POSITIVE_INFINITY
  for (const [index, text] of texts.entries()) {
    const wide = 26 + letteringWidth(text, SMALL) * 0.95
    if (at + wide > width - 4) {
      rows.push([])
      at = 8
    }
    rows[rows.length - 1]!.push({ index, at })
    at += wide + 14
  }
  return rows
}

/** Rain of each step hanging from the top, with its scale at the right. */
function rainBars(
  { step_h, depths_mm }: { readonly step_h: number; readonly depths_mm: readonly number[] },
  voice: Voice,
  x: Across,
  floor: number,
  width: number,
): string {
  const { hydrograph: say } = sizingWords(voice)
  const us = voice.units === 'us'
  const unit_mm = us ? MM_PER_INCH : 1
  const unit = us ? inLanguage(voice, { en: 'in', es: 'pulg' }) : 'mm'
  const most = Math.max(...depths_mm, 1e-9) / unit_mm
  const { top } = RIMS
  const y = (depth: number): number => top + (depth / most) * (floor - top)
  let outline = `M${digits(x.at(x.from_h))} ${top}`
  for (const [k, mm] of depths_mm.entries())
    if ((k + 1) * step_h > x.from_h + 1e-9 && k * step_h < x.to_h - 1e-9)
      outline += `V${digits(y(mm / unit_mm))}H${digits(x.at(Math.min((k + 1) * step_h, x.to_h)))}`
  const right = width - RIMS.right
  const step = roundStep(most, 3)
  let scale = ''
  for (let k = 1; k * step <= most; k++) {
    scale += element('path', { d: `M${right} ${digits(y(k * step))}h4`, stroke: inks.water, 'stroke-width': 0.8 })
    scale += lettering(formatNumber(k * step, voice, 2), right + 7, y(k * step), { fill: inks.water, 'dominant-baseline': 'central' })
  }
  const axis = say.rainAxis(unit, formatDuration(step_h, voice))
  return (
    element('path', { d: `${outline}V${top}Z`, fill: inks.water, 'fill-opacity': 0.45 }) +
    element('path', {
      d: `M${digits(x.at(x.from_h))} ${top}H${right}V${digits(floor)}`,
      fill: 'none',
      stroke: inks.water,
      'stroke-width': 1,
    }) +
    scale +
    lettering(axis, width - 4, top - 9, { fill: inks.water, 'text-anchor': 'end' })
  )
}

/** Flow in on soil as usual and on wet soil, and over the sill; their peaks are lettered. */
function flowCurves(
  { hydrograph }: DrawnStorm,
  levels: OverTime | null,
  voice: Voice,
  x: Across,
  peak_m3s: number,
  top: number,
  floor: number,
  width: number,
): string {
  if (hydrograph === null) return ''
  const { hydrograph: say } = sizingWords(voice)
  const us = voice.units === 'us'
  const unit_m3s = us ? M3_PER_CUBIC_FOOT : 1e-3
  const unit = inLanguage(voice, us ? { en: 'cubic ft/s', es: 'pies³/s' } : { en: 'liters/s', es: 'litros/s' })
  const y = (m3s: number): number => floor - (m3s / (peak_m3s * 1.12)) * (floor - top)
  const right = width - RIMS.right
  let inside = ''
  const step = roundStep((peak_m3s * 1.12) / unit_m3s, Math.max(2, Math.min(5, (floor - top) / 18)))
  for (let k = 0; k * step * unit_m3s <= peak_m3s * 1.12; k++) {
    const at = y(k * step * unit_m3s)
    inside += element('path', { d: `M${RIMS.left} ${digits(at)}H${right}`, stroke: inks.faint, 'stroke-width': 0.5, 'stroke-opacity': 0.5 })
    inside += lettering(formatNumber(k * step, voice, 2), RIMS.left - 8, at, {
      fill: inks.ink,
      'text-anchor': 'end',
      'dominant-baseline': 'central',
    })
  }
  inside += lettering(unit, 4, top - 6, { fill: inks.ink })
  const curves = [
    { flows: hydrograph.wet_m3s, step_h: hydrograph.step_h, look: LOOKS.wet },
    { flows: hydrograph.expected_m3s, step_h: hydrograph.step_h, look: LOOKS.usual },
    ...(levels !== null && spills(levels) ? [{ flows: levels.spills_m3s, step_h: levels.step_h, look: LOOKS.out }] : []),
    ...(levels !== null && soaks(levels) ? [{ flows: soakRates_m3s(levels), step_h: levels.step_h, look: LOOKS.soaked }] : []),
  ]
  for (const { flows, step_h, look } of curves)
    inside += element('path', {
      d: pathData(series(flows, step_h, x, y), { step: 0.5 }),
      fill: 'none',
      'stroke-linejoin': 'round',
      ...look,
    })
  // How fast it soaks hardly changes: its peak tells nothing.
  const peaks = curves
    .filter(({ look }) => look !== LOOKS.soaked)
    .map(({ flows, step_h, look }) => {
      const most = Math.max(...flows)
      return { most, at: x.at(flows.indexOf(most) * step_h), ink: look.stroke }
    })
    .filter(peak => peak.most > 0)
  const places = apart(
    peaks.map(peak => y(peak.most)),
    13,
    top + 2,
    floor - 8,
  )
  for (const [k, { most, at, ink }] of peaks.entries()) {
    const text = say.peak(formatFlow(most, voice))
    const turned = at + 16 + letteringWidth(text, SMALL) > right
    const from = at + (turned ? -14 : 14)
    inside +=
      element('path', {
        d: `M${digits(at)} ${digits(y(most))}L${digits(from + (turned ? 3 : -3))} ${digits(places[k]!)}`,
        stroke: ink,
        'stroke-width': 0.7,
      }) + element('circle', { cx: at, cy: y(most), r: 2, fill: ink })
    inside += lettering(text, from, places[k]!, {
      fill: ink,
      'text-anchor': turned ? 'end' : 'start',
      'dominant-baseline': 'central',
      'font-weight': 'bold',
      ...halo,
    })
  }
  return (
    inside +
    element('path', { d: `M${RIMS.left} ${digits(top)}V${digits(floor)}H${right}`, fill: 'none', stroke: inks.ink, 'stroke-width': 1 })
  )
}

/** The water in the ditch over time, between its bed and its settled crest. */
function levelCurve(
  { step_h, levels_m }: OverTime,
  { storage, line }: DrawnStorm,
  voice: Voice,
  x: Across,
  top: number,
  floor: number,
  width: number,
): string {
  if (storage === null) return ''
  const { plan } = wordsOf(voice)
  const { section: say } = sizingWords(voice)
  const [low, high] = [line.bedElevation_m, Math.max(storage.crestElevation_m, ...levels_m)]
  const y = (z: number): number => floor - ((z - low) / (high - low)) * (floor - top)
  const right = width - RIMS.right
  const shown = series(levels_m, step_h, x, y)
  if (shown.length < 2) return ''
  const [begin, end] = [shown[0]!, shown[shown.length - 1]!]
  const lines = [
    { z: storage.crestElevation_m, name: shortName(plan.crest), ink: inks.noGo, dashes: '2 2.5' },
    { z: storage.sillElevation_m, name: say.firstOut, ink: inks.water, dashes: '8 3' },
  ]
  let inside =
    element('path', {
      d: pathData([...shown, [end[0], floor], [begin[0], floor]], { closed: true, step: 0.5 }),
      fill: inks.water,
      'fill-opacity': 0.2,
    }) + element('path', { d: pathData(shown, { step: 0.5 }), fill: 'none', 'stroke-linejoin': 'round', ...LOOKS.level })
  for (const { z, name, ink, dashes } of lines) {
    inside += element('path', { d: `M${RIMS.left} ${digits(y(z))}H${right}`, stroke: ink, 'stroke-width': 1, 'stroke-dasharray': dashes })
    inside += lettering(name, RIMS.left + 6, y(z) - 6, {
      fill: ink,
      'dominant-baseline': 'central',
      ...halo,
    })
  }
  const named = [...lines, { z: low, ink: inks.ditch }]
  const places = apart(
    named.map(n => y(n.z)),
    13,
    top - 2,
    floor,
  )
  for (const [k, { z, ink }] of named.entries())
    inside += lettering(formatStakeLevel(z, voice), RIMS.left - 6, places[k]!, {
      fill: ink,
      'text-anchor': 'end',
      'dominant-baseline': 'central',
    })
  return (
    inside +
    element('path', { d: `M${RIMS.left} ${digits(top)}V${digits(floor)}H${right}`, fill: 'none', stroke: inks.ink, 'stroke-width': 1 })
  )
}

/** The first word of a name. */
const shortName = (name: string): string => name.split(' ')[0]!
