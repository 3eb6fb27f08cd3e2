import { escapeText as e, plainText } from '../escape-text.js'
import { wordsOf } from '../sentences.js'
import { numberLocale, type Voice } from '../voice.js'
import { assumptionSheet, cautionSheet, findingSheet, reviewSheet } from './judgement-sheets.js'
import { aFrameSheet, bookSheet, waterLevelPages } from './levelling-sheets.js'
import { overviewSheet } from './overview-sheet.js'
import { RIM_mm } from './paper.js'
import { planSheets } from './plan-sheet.js'
import { sectionSheet } from './section-sheet.js'
import { type Desk, type DrawingSetInput, deskOf, type SheetPages } from './sheet.js'
import { levelSheet, setOutSheet } from './stake-sheets.js'
import { stormSheet } from './storm-sheet.js'
import { BLOCK_COLUMNS, BLOCK_mm, setStyle } from './style.js'
import { fitted } from './text-size.js'
import { SET, SHEETS } from './words.js'
import { careSheet, diggingSheet, plantingSheet, stormCardSheet } from './work-sheets.js'

/**
 * The printed plan as one HTML document that stands alone: one `<section class="page">` for each page, of the paper's exact size, with the plan and the
 * sections to scale, stakes, levelling, digging, planting, care, storms, findings, assumptions and what a reviewer asks. No script, nothing fetched.
 *
 * Values    all of the answer or of the field papers, none worked out here; each says where it comes from (`data-of`).
 * Laws      the same input gives the same text; a table that is longer than its page goes on with its head.
 */
export function drawingSetHtml(input: DrawingSetInput, voice: Voice): string {
  const desk = deskOf(input, voice)
  const sheets: readonly SheetPages[] = [
    ...planSheets(desk),
    sectionSheet(desk),
    setOutSheet(desk),
    levelSheet(desk),
    ...aFrameSheet(desk),
    ...waterLevelPages(desk),
    ...bookSheet(desk),
    diggingSheet(desk),
    plantingSheet(desk),
    ...stormCardSheet(desk),
    careSheet(desk),
    stormSheet(desk),
    findingSheet(desk),
    cautionSheet(desk),
    assumptionSheet(desk),
    reviewSheet(desk),
  ]
  const name = (sheet: SheetPages): string => SHEETS[sheet.code][voice.language]
  // The overview names the pages of the others, so it comes last; its own length does not hang on the numbers.
  const contentsFrom = (first: number): (readonly [string, number])[] => {
    let page = first
    return sheets.map(sheet => {
      const entry = [name(sheet), page] as const
      page += sheet.bodies.length
      return entry
    })
  }
  const length = overviewSheet(desk, contentsFrom(1)).bodies.length
  const all = [overviewSheet(desk, contentsFrom(1 + length)), ...sheets]
  const pages = all.reduce((sum, sheet) => sum + sheet.bodies.length, 0)
  let page = 0
  const sections = all.flatMap(sheet =>
    sheet.bodies.map((body, k) => {
      page++
      return pageHtml(desk, sheet, name(sheet), k, body, page, pages)
    }),
  )
  const title = `${holdingName(desk)} – ${desk.say.set}`
  return `<!DOCTYPE html>
<html lang="${e(numberLocale(voice))}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${e(title)}</title>
<style>${setStyle(desk.paper)}</style>
</head>
<body>
${sections.join('\n')}
</body>
</html>
`
}

const holdingName = ({ input, voice }: Desk): string => {
  const holding = plainText(input.holding).trim()
  return holding === '' ? wordsOf(voice).report.unnamed : holding
}

function pageHtml(desk: Desk, sheet: SheetPages, name: string, part: number, body: string, page: number, pages: number): string {
  const { say } = desk
  const more = part === 0 ? '' : ` <small>(${e(say.continued)})</small>`
  return `<section class="page" data-sheet="${sheet.code}">
<header class="head"><h2>${e(name)}${more}</h2><span>${e(fitted(holdingName(desk), 2.8, 70, 1))}</span></header>
<div class="body">${body}</div>
${titleBlock(desk, part === 0 || sheet.laterScale === undefined ? sheet.scale : sheet.laterScale, name, page, pages)}
</section>`
}

/** How much wider than reckoned the faces run that were met: Open Sans, where no other is installed. Source: measured. */
const WIDEST_FACE = 1.12

/** The box in which any drawing says what it is, from what, and which of how many. */
function titleBlock({ input, voice, say, tell, ...desk }: Desk, scale: string | null, name: string, page: number, pages: number): string {
  const { assessment, groundReport } = input
  // The five columns of the block share its width; a value has two lines, in the faces too that a machine without the usual ones falls back on.
  const parts = BLOCK_COLUMNS.reduce((sum, part) => sum + part, 0)
  const cell = (label: string, value: string, column: number): string => {
    const width_mm = ((desk.paper.width_mm - 2 * RIM_mm) * BLOCK_COLUMNS[column]!) / parts - 3.4
    return `<div><span class="label">${e(label)}</span>${e(fitted(plainText(value).trim(), BLOCK_mm, width_mm / WIDEST_FACE, 2))}</div>`
  }
  const lineName = plainText(input.lineName).trim()
  return `<footer class="block">${[
    cell(say.holding, holdingName({ input, voice, say, tell, ...desk }), 0),
    cell(say.line, lineName === '' ? wordsOf(voice).report.unnamed : lineName, 1),
    cell(say.system, `${assessment.ground.crs} ${groundReport.crsName}`, 2),
    cell(say.units, voice.units === 'us' ? say.inFeet : say.inMetres, 3),
    cell(say.date, input.dateText, 4),
    cell(say.sheet, name, 0),
    cell(say.scale, scale ?? say.noScale, 1),
    `<div class="wide">${e(say.notSurvey)}</div>`,
    `<div class="count"><b>${e(tell(SET.page, { page, pages }))}</b></div>`,
    `<div class="trace"><span>${e(say.hash)} SHA-256 <span class="hash">${e(assessment.ground.sha256)}</span></span><span>Soakline ${e(fitted(plainText(input.version), 2.2, 30, 1))}</span></div>`,
  ].join('')}</footer>`
}
