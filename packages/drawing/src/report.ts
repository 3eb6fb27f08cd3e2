import { type Finding, METRES_PER } from 'soakline/foundation'
import { type Assessment, notLookedAt, SETTINGS, type Settings } from 'soakline/plan'
import type { FeatureKind } from 'soakline/siting'
import { creditsOf } from './credits.js'
import { crossSectionSvg, sectionWater } from './cross-section.js'
import { escapeText, plainText } from './escape-text.js'
import { hatch, stipple } from './hatching.js'
import { hydrographSvg, sayNoHydrograph, sayStorm } from './hydrograph.js'
import { DAY } from './inks.js'
import { longSectionSvg } from './long-section.js'
import { verdictMark } from './marks.js'
import {
  formatEarth,
  formatElevation,
  formatHeight,
  formatIntake,
  formatLength,
  formatNumber,
  formatPull,
  formatSlope,
  formatWeirCoefficient,
  measuresOf,
} from './measures.js'
import { contourInterval_m, fittingScale, neededHeight_mm, type PlanInput, planToScaleSvg, seenOnPage } from './plan.js'
import { REPORT_STYLE } from './report-style.js'
import {
  ranked,
  sayAnswers,
  sayCheck,
  sayFeature,
  sayFinding,
  sayNext,
  sayPassing,
  sayPathEnd,
  sayPlace,
  sayReason,
  saySource,
  saySpillReason,
  sayVerdict,
  sayWarning,
  wordsOf,
} from './sentences.js'
import {
  type SaidPart,
  type SaidTable,
  sayDrain,
  sayEarth,
  sayExits,
  sayRunoff,
  saySoaking,
  saySpillway,
  saySpreaders,
  sayStorms,
  sayWorst,
} from './sizing.js'
import { sizingWords } from './sizing-words.js'
import { sayMeasuredStorm, saySoil, sayYear } from './soil-and-year.js'
import { element } from './svg.js'
import { inLanguage, numberLocale, type Voice } from './voice.js'

/** What the report is made of. Places in the working CRS, metres. */
export interface ReportInput extends PlanInput {
  /** Name of the holding; '' when it has none. */
  readonly holding: string
  /** The date as it is to be printed. */
  readonly dateText: string
  readonly version: string
  readonly settings: Settings
  /** The settings that nobody has set: they are marked as assumed. */
  readonly assumed: readonly (keyof Settings)[]
  /** True where the answer is about the ditch as it was read on site. Default false. */
  readonly asBuilt?: boolean
  readonly groundReport: {
    readonly fileName: string
    readonly crsName: string
    /** `file`, `user` or `assumed`. */
    readonly elevationUnitFrom: string
  }
}

const e = escapeText

/** Sentences as markup: escaped, with a number kept on one line with its unit. */
export function prose(text: string): string {
  return e(text).replace(
    /(\d) (?=(?:m|m²|m³|mm|ha|in|ft|acres?|gallons|sq ft|pies²?|pulg|galones|horas?|hours?|%)(?![\p{L}]))/gu,
    '$1\u00a0',
  )
}

const paragraph = (text: string, className?: string): string =>
  `<p${className === undefined ? '' : ` class="${className}"`}>${prose(text)}</p>`
const heading = (text: string): string => `<h2>${e(text)}</h2>`
const items = (texts: readonly string[]): string => `<ul>${texts.map(text => `<li>${prose(text)}</li>`).join('')}</ul>`

/** Rows of cells that are markup already; the numbers of `numeric` columns stand at the right. */
function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  { numeric = [] as readonly number[], rowClass = (_: number): string => '' } = {},
): string {
  const css = (k: number): string => (numeric.includes(k) ? ' class="number"' : '')
  const body = rows.map(
    (row, r) =>
      `<tr${rowClass(r) === '' ? '' : ` class="${rowClass(r)}"`}>${row.map((cell, k) => `<td${css(k)}>${cell}</td>`).join('')}</tr>`,
  )
  return `<div class="wide" tabindex="0"><table><thead><tr>${head.map((cell, k) => `<th${css(k)} scope="col">${e(cell)}</th>`).join('')}</tr></thead><tbody>${body.join('')}</tbody></table></div>`
}

/** A part of the sizing below a heading, or below a title within one. */
const headed = (part: SaidPart): string => heading(part.title) + said(part)
const titled = (part: SaidPart): string => `<h3>${e(part.title)}</h3>${said(part)}`

function said({ lead, lines, tables, notes }: SaidPart): string {
  const rows = lines.map(([name, value]) => `<tr><th scope="row">${e(name)}</th><td class="number">${prose(value)}</td></tr>`)
  return [
    lead === undefined ? '' : paragraph(lead),
    rows.length === 0 ? '' : `<table class="lines"><tbody>${rows.join('')}</tbody></table>`,
    ...tables.map(saidTable),
    ...notes.map(note => paragraph(note, 'small')),
  ].join('')
}

function saidTable({ caption, head, rows, marked, numeric = false }: SaidTable): string {
  const css = (r: number, k: number): string => {
    const names = [numeric && k > 0 ? 'number' : '', (k > 0 && marked?.column === k) || marked?.row === r ? 'marked' : ''].filter(
      n => n !== '',
    )
    return names.length === 0 ? '' : ` class="${names.join(' ')}"`
  }
  const cells = (row: readonly string[], r: number): string =>
    row.map((cell, k) => (k === 0 ? `<th scope="row"${css(r, k)}>${prose(cell)}</th>` : `<td${css(r, k)}>${prose(cell)}</td>`)).join('')
  const label = caption === '' ? '' : ` aria-label="${e(caption)}"`
  // A caption within the table would be cut off with it where it is wider than the page.
  return `${caption === '' ? '' : paragraph(caption, 'small')}<div class="wide" tabindex="0"><table class="said"${label}><thead><tr>${head
    .map((cell, k) => `<th scope="col"${css(-1, k)}>${e(cell)}</th>`)
    .join('')}</tr></thead><tbody>${rows.map((row, r) => `<tr>${cells(row, r)}</tr>`).join('')}</tbody></table></div>`
}

/** The plan's room on A4 as well as on Letter, between margins of 15 mm. */
const PLAN_WIDTH_MM = 180
const PLAN_HEIGHT_MM = { least: 90, most: 190 }

/**
 * The whole answer as one HTML document that stands alone: no scripts, nothing fetched, printable on A4 and Letter.
 * Everything that comes from files is escaped; control characters are dropped.
 */
export function reportHtml(input: ReportInput, voice: Voice): string {
  const words = wordsOf(voice)
  const { report } = words
  const sizing = sizingWords(voice)
  const drain = sayDrain(input.assessment, voice)
  const plan: PlanInput = { ...input, clearance_m: input.clearance_m ?? input.settings.buildingClearance_m, night: false, idPrefix: 'plan' }
  const scale = fittingScale(plan, voice, { width_mm: PLAN_WIDTH_MM, height_mm: PLAN_HEIGHT_MM.most })
  const height_mm = Math.min(PLAN_HEIGHT_MM.most, Math.max(PLAN_HEIGHT_MM.least, Math.ceil(neededHeight_mm(plan, scale))))
  const page = { scale, width_mm: PLAN_WIDTH_MM, height_mm }
  const scaleText = sayScale(scale, voice)
  const name = plainText(input.holding).trim() === '' ? report.unnamed : input.holding
  const parts = [
    titleBlock(input, voice, name, `${scaleText}, ${report.atFullSize}`),
    paragraph(report.limits, 'limits'),
    ...(input.asBuilt ? [paragraph(report.asBuilt, 'limits')] : []),
    heading(report.questions),
    ...sayAnswers(input.assessment, voice).map(
      answer =>
        `<div class="answer">${verdictMark(answer.verdict, sayVerdict(answer.verdict, voice), 18)}<div><h3>${e(answer.title)} <span class="mark-word">${e(sayVerdict(answer.verdict, voice))}</span></h3>${paragraph(answer.text)}</div></div>`,
    ),
    heading(report.plan),
    `<figure class="plan" tabindex="0">${planToScaleSvg(plan, voice, page)}<figcaption>${e([`${scaleText}, ${report.atFullSize}`, report.heightsIn[voice.units], ...creditsOf(input)].map(part => `${part}.`).join(' '))}</figcaption>${planKey(seenOnPage(plan, page), voice)}</figure>`,
    heading(report.sections),
    `<figure tabindex="0">${longSectionSvg(input.assessment, voice)}</figure>`,
    input.assessment.section === null
      ? paragraph(report.notDug)
      : `<figure tabindex="0">${crossSectionSvg(input.assessment.section, voice, undefined, sectionWater(input.assessment, null) ?? undefined)}</figure>`,
    heading(report.findings),
    findings(input.assessment.findings, voice),
    paragraph(report.marks, 'small'),
    heading(report.numbers),
    numbers(input.assessment, voice),
    heading(report.spills),
    spills(input.assessment, voice),
    heading(report.storms),
    storms(input.assessment, voice),
    heading(sizing.hydrograph.title),
    stormPicture(input.assessment, voice),
    ...[sayRunoff, saySpillway, saySpreaders, sayExits].map(say => headed(say(input.assessment, voice))),
    headed(saySoaking(input.assessment, voice, input.settings)),
    ...[saySoil(input.assessment, voice), drain, sayMeasuredStorm(input.assessment, voice), sayYear(input.assessment, voice)].map(part =>
      part === null ? '' : titled(part),
    ),
    headed(sayEarth(input.assessment, voice)),
    heading(report.cautions),
    items(report.cautionItems),
    heading(report.notConsidered),
    items(notLookedAt(input.assessment, input.settings, input.assumed).map(thing => report.notConsideredItems[thing])),
    heading(report.settings),
    settings(input, voice),
    paragraph(report.settingsNote, 'small'),
    heading(report.remarks),
    input.assessment.ground.warnings.length === 0
      ? paragraph(report.noRemarks)
      : items(input.assessment.ground.warnings.map(warning => sayWarning(warning, voice))),
    heading(report.assumptions),
    items(report.assumptionItems),
    `<h3>${e(report.sources)}</h3>`,
    items(
      [...new Set([input.assessment.runoff.curveNumberSource, ...input.assessment.findings.map(f => f.source)])]
        .map(source => saySource(source, voice))
        .concat(creditsOf(input)),
    ),
    heading(report.tracing),
    paragraph(report.versionText(input.version)),
    `<p class="hash">${e(report.hashText(input.assessment.ground.sha256))}</p>`,
    paragraph(report.void),
    `<div class="sign">${report.signatures.map(line => `<div>${e(line)}</div>`).join('')}</div>`,
  ]
  return `<!DOCTYPE html>
<html lang="${e(numberLocale(voice))}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${e(`${name} – ${report.sheet}`)}</title>
<style>${REPORT_STYLE}</style>
</head>
<body>
<main>
${parts.join('\n')}
</main>
</body>
</html>
`
}

/** The file without its folders: whose computer it lay on is nobody's business. */
export const baseName = (path: string): string => path.split(/[\\/]/).at(-1) || path

/** A scale in words: 1:500, or inches to feet. */
export function sayScale(scale: number, voice: Voice): string {
  const { plan } = wordsOf(voice)
  const ratio = formatNumber(scale, voice)
  return voice.units === 'us' ? plan.scaleFeet(formatNumber(scale / 12, voice, 1), ratio) : plan.scale(ratio)
}

function titleBlock(input: ReportInput, voice: Voice, name: string, scaleText: string): string {
  const { report } = wordsOf(voice)
  const { ground, findings: all } = input.assessment
  const fit = all.find(f => f.check === 'ground-fit')
  const unit = Object.hasOwn(report.unitFrom, input.groundReport.elevationUnitFrom)
    ? report.unitFrom[input.groundReport.elevationUnitFrom]!
    : ''
  const error = ground.elevationError_m === null ? report.errorUnknown : report.errorKnown(formatHeight(ground.elevationError_m, voice))
  const data = `${report.dataText(baseName(input.groundReport.fileName), input.groundReport.crsName, formatLength(ground.cell_m, voice))}. ${unit}`
  const row = (label: string, value: string, css: string): string =>
    `<div class="${css}"><dt class="label">${e(label)}</dt><dd>${value}</dd></div>`
  const trust = fit === undefined ? '' : `${verdictMark(fit.verdict, sayVerdict(fit.verdict, voice), 13)} ${prose(sayFinding(fit, voice))} `
  return `<header class="title"><div><p class="kind label">${e(report.sheet)}</p><h1>${e(name)}</h1></div><dl>${[
    row(report.drawing, e(report.shows), 'first'),
    row(report.data, prose(data), ''),
    row(report.trust, trust + (fit?.because === 'ground/error-unknown' ? '' : prose(error)), ''),
    row(report.date, e(input.dateText), 'half'),
    row(report.scale, prose(scaleText), 'half'),
  ].join('')}</dl></header>`
}

function findings(all: readonly Finding[], voice: Voice): string {
  const words = wordsOf(voice)
  const { findingColumns: head, source } = words.report
  const rows = all.map(finding => {
    const verdict = sayVerdict(finding.verdict, voice)
    return [
      `${verdictMark(finding.verdict, verdict)}<span class="mark-word">${e(verdict)}</span>`,
      `<h3>${e(sayCheck(finding.check, voice))}</h3>${prose(sayFinding(finding, voice))}<span class="source">${e(source)}: ${prose(saySource(finding.source, voice))}</span>`,
      prose(sayNext(finding, voice)),
    ]
  })
  const html = table([head.verdict, head.text, head.next], rows)
  return html.replace('<div class="wide"', '<div class="wide findings"').replaceAll('<tr><td>', '<tr><td class="verdict">')
}

/** The line in numbers: in the reader's units, and beside them in the other system, for whoever works with that. */
function numbers(assessment: Assessment, voice: Voice): string {
  const other: Voice = { ...voice, units: voice.units === 'us' ? 'metric' : 'us' }
  const others = lineNumbers(assessment, other)
  const body = lineNumbers(assessment, voice)
    .map(
      ([name, value], k) =>
        `<tr><td>${e(name)}</td><td class="number">${e(value)}</td><td class="number other">${e(others[k]![1])}</td></tr>`,
    )
    .join('')
  return `<table><tbody>${body}</tbody></table>${assessment.storage === null ? paragraph(wordsOf(voice).report.notDug) : ''}`
}

function lineNumbers({ line, catchment, storage, earth }: Assessment, voice: Voice): readonly (readonly [string, string])[] {
  const { number } = wordsOf(voice).report
  const m = measuresOf(voice)
  return [
    [number.length, m.length(line.length_m)],
    [number.bed, formatElevation(line.bedElevation_m, voice, 2)],
    [number.fall, m.slope(line.fall_ratio)],
    [number.range, m.height(line.groundRange_m)],
    [number.slope, m.slope(line.meanGroundSlope_ratio)],
    [number.area, `${catchment.cutByEdge ? '≥ ' : ''}${m.area(catchment.area_m2)}`],
    [number.outline, m.area(catchment.polygonArea_m2)],
    [number.flow, `${catchment.cutByEdge ? '≥ ' : ''}${m.length(catchment.longestFlow_m)}`],
    [number.toSill, m.volume(storage?.toSill_m3)],
    [number.afterSediment, m.volume(storage?.afterSediment_m3)],
    [number.toCrest, m.volume(storage?.toCrest_m3)],
    [number.cut, formatEarth(earth?.cut_m3, voice)],
    [number.berm, formatEarth(earth?.bermLoose_m3, voice)],
  ]
}

function spills(assessment: Assessment, voice: Voice): string {
  const { report, answer } = wordsOf(voice)
  const head = report.spillColumns
  if (assessment.spills.length === 0) return paragraph(answer.noSpill)
  const rows = ranked(assessment).map(spill => [
    e(String(spill.rank)),
    e(sayPlace(assessment, spill.chainage_m, voice)),
    prose(`${formatLength(spill.path.length_m, voice)}; ${sayPathEnd(spill.path.endsIn, voice)}`),
    prose(sayPassing(spill.path, voice)),
    prose(spill.reasons.map(reason => saySpillReason(reason, voice)).join('; ')),
  ])
  return table([head.rank, head.place, head.path, head.building, head.reasons], rows) + paragraph(answer.traced, 'small')
}

function storms(assessment: Assessment, voice: Voice): string {
  const { report } = wordsOf(voice)
  const { runoff } = assessment
  const note = report.stormNote(formatNumber(runoff.curveNumber, voice, 1), saySource(runoff.curveNumberSource, voice))
  if (assessment.storms.length === 0) return paragraph(report.noStorms) + paragraph(note, 'small')
  return said(sayStorms(assessment, voice)) + paragraph(note, 'small') + titled(sayWorst(assessment, voice))
}

/** The storm that the ditch is judged by, hour by hour; a sentence where its peak is not known. */
function stormPicture(assessment: Assessment, voice: Voice): string {
  const svg = hydrographSvg(assessment, voice)
  const why = sayNoHydrograph(assessment, voice)
  return svg === null
    ? paragraph(why ?? sizingWords(voice).hydrograph.noLevels)
    : `<figure tabindex="0">${svg}<figcaption>${prose(sayStorm(assessment, voice))}</figcaption></figure>`
}

function settings(input: ReportInput, voice: Voice): string {
  const words = wordsOf(voice)
  const { report } = words
  const head = report.settingColumns
  const keys = Object.keys(words.setting) as (keyof Settings)[]
  const rows = keys.map(key => {
    const assumed = input.assumed.includes(key)
    return [
      prose(words.setting[key]),
      prose(saySetting(key, input.settings[key], voice)),
      `<span class="${assumed ? 'assumed' : 'given'}">${e(assumed ? report.assumed : report.given)}</span>`,
      assumed ? `<span class="small">${prose(saySource(SETTINGS[key].source, voice))}</span>` : '',
    ]
  })
  return table([head.name, head.value, head.origin, head.source], rows)
}

/** The value of a setting with its unit, as its entry in the schema says. */
export function saySetting(key: keyof Settings, value: Settings[keyof Settings], voice: Voice): string {
  const words = wordsOf(voice)
  if (value === null) return words.notGiven
  if (typeof value === 'boolean') return value ? words.yes : words.no
  if (typeof value === 'string') {
    const table: Readonly<Record<string, string>> =
      key === 'cover' ? words.cover : key === 'coverCondition' ? words.condition : words.choice
    return Object.hasOwn(table, value) ? table[value]! : value
  }
  const m = measuresOf(voice)
  if (typeof value !== 'number') return value.map(([x, z]) => `${m.height(x)} / ${m.height(z)}`).join(' · ')
  const bySuffix: readonly (readonly [string, () => string])[] = [
    ['chance per year', () => m.chance(value)],
    ['horizontal : vertical', () => `${formatNumber(value, voice, 2)} : 1`],
    ['rise/run', () => formatSlope(value, voice)],
    ['m3', () => m.volume(value)],
    ['m', () => (Math.abs(value) < 3 ? m.height(value) : m.length(value))],
    ['h', () => m.duration(value)],
    ['mm/h', () => formatIntake(value, voice)],
    ['×', () => `× ${formatNumber(value, voice, 2)}`],
    ['√m/s', () => formatWeirCoefficient(value, voice)],
    ['1', () => (key === 'curveNumber' || key === 'slideFactor_ratio' ? formatNumber(value, voice, 1) : formatSlope(value, voice))],
    ['kPa', () => (voice.units === 'us' ? formatPull(1000 * value, voice) : `${formatNumber(value, voice, 1)} kPa`)],
    ['kN/m3', () => `${formatNumber(value, voice, 1)} kN/m³`],
    ['°', () => `${formatNumber(value, voice, 1)}°`],
    ['ditch depths', () => `× ${formatNumber(value, voice, 1)}`],
  ]
  return bySuffix.find(([unit]) => unit === SETTINGS[key].unit)?.[1]() ?? formatNumber(value, voice, 3)
}

/** What the signs of the plan mean: only those that stand on it. */
export function planKey(plan: PlanInput, voice: Voice): string {
  const words = wordsOf(voice)
  const { ditch, water, contour, ink, noGo } = DAY
  const swatch = (inside: string): string => element('svg', { width: 34, height: 16, viewBox: '0 0 34 16', 'aria-hidden': 'true' }, inside)
  const stroke = (d: string, pen: string, width: number, dashes?: string, cap?: string): string =>
    element('path', { d, fill: 'none', stroke: pen, 'stroke-width': width, 'stroke-dasharray': dashes, 'stroke-linecap': cap })
  const entries: (readonly [string, string])[] = []
  const interval = contourInterval_m(plan.contours)
  if (interval !== null) entries.push([stroke('M1 11Q17 2 33 9', contour, 1), words.key.contour(intervalText(interval, voice))])
  entries.push([stroke('M1 5H33', ditch, 3) + stroke('M3 8V15M8 8V12M13 8V15M18 8V12M23 8V15M28 8V12', ditch, 1), words.key.ditch])
  const { catchment } = plan.assessment
  if (catchment.rings.length > 0)
    entries.push([element('rect', { x: 1, y: 2, width: 32, height: 12, fill: water, 'fill-opacity': 0.15 }), words.key.catchment])
  if (catchment.ridgeLines.length > 0 || catchment.ridge !== null)
    entries.push([
      stroke('M3 12H32', contour, 2.6, '0.01 5.2', 'round') +
        element('path', { d: 'M17 1L22 9H12Z', fill: '#fff', stroke: contour, 'stroke-width': 1.3 }),
      words.key.ridge,
    ])
  if (plan.assessment.spills.length > 0)
    entries.push([stroke('M1 8H28', water, 2) + element('path', { d: 'M33 8L25 5L27 8L25 11Z', fill: water }), words.key.overflow])
  if (plan.assessment.spills.some(spill => spill.band.length > 0))
    entries.push([
      element('defs', {}, stipple('key-band', water, 1)) + element('rect', { x: 1, y: 2, width: 32, height: 12, fill: 'url(#key-band)' }),
      words.key.band,
    ])
  const kinds = new Set<FeatureKind>(plan.features.map(feature => feature.kind))
  if (kinds.has('building')) {
    entries.push([element('rect', { x: 10, y: 3, width: 14, height: 10, fill: ink }), sayFeature('building', voice)])
    if ((plan.clearance_m ?? 0) > 0)
      entries.push([
        element('rect', { x: 3, y: 0, width: 28, height: 16, rx: 6, fill: ink, 'fill-opacity': 0.09 }) +
          element('rect', { x: 13, y: 5, width: 8, height: 6, fill: ink }),
        words.key.clearance,
      ])
  }
  const lines: Readonly<Partial<Record<FeatureKind, string>>> = {
    stream: stroke('M1 9Q10 3 17 8T33 7', water, 2.4),
    track: stroke('M1 8H33', DAY.faint, 2.6, '6 2.5'),
    boundary: stroke('M1 8H33', ink, 1.3, '12 3 2 3'),
    utility: stroke('M1 8H33', noGo, 1.3, '3 2 1 2'),
    wall: stroke('M1 8H33', ink, 2),
    culvert: stroke('M8 8H26', ink, 2.4, '2 1.5'),
    forest: stroke('M2 3H32V13H2Z', DAY.growth, 1, '1 2'),
    wet: stroke('M2 3H32V13H2Z', water, 0.8, '4 3'),
    slip: stroke('M2 3H32V13H2Z', noGo, 1.2, '2 2'),
    septic: stroke('M8 3H26V13H8Z', noGo, 1.2, '5 2'),
    well:
      element('circle', { cx: 17, cy: 8, r: 4.5, fill: 'none', stroke: ink, 'stroke-width': 1.3 }) + stroke('M13 8H21M17 4V12', ink, 1.3),
    spring:
      element('circle', { cx: 17, cy: 6, r: 3.6, fill: 'none', stroke: water, 'stroke-width': 1.3 }) +
      stroke('M17 9.6q4 1 1 6', water, 1.3),
    pit: stroke('M13 4H21V12H13ZM13 12L21 4', ink, 1.2),
  }
  for (const kind of kinds) {
    const drawing = lines[kind]
    if (drawing !== undefined) entries.push([drawing, sayFeature(kind, voice)])
  }
  const reasons = [...new Set((plan.noGo ?? []).filter(ground => ground.rings.length > 0).map(ground => ground.reason))]
  reasons.forEach((reason, k) => {
    const id = `key-no-go-${k}`
    entries.push([
      element('defs', {}, hatch(reason, id, noGo, 1)) +
        element('rect', {
          x: 1,
          y: 1,
          width: 32,
          height: 14,
          fill: `url(#${id})`,
          stroke: noGo,
          'stroke-width': 0.6,
          'stroke-dasharray': '3 2',
        }),
      words.key.noGo(sayReason(reason, voice)),
    ])
  })
  return `<ul class="key" aria-label="${e(words.report.keyTitle)}">${entries.map(([sign, text]) => `<li>${swatch(sign)}${prose(text)}</li>`).join('')}</ul>`
}

/** The step between contours; whole feet are written whole. */
function intervalText(interval_m: number, voice: Voice): string {
  const feet = interval_m / METRES_PER.ft
  return voice.units === 'us'
    ? `${formatNumber(feet, voice, Math.abs(feet - Math.round(feet)) < 0.02 ? 0 : 1)} ${inLanguage(voice, { en: 'ft', es: 'pies' })}`
    : formatHeight(interval_m, voice)
}
