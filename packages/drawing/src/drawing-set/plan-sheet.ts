import { escapeText } from '../escape-text.js'
import { fittingScale, type PlanInput, planToScaleSvg, seenOnPage } from '../plan.js'
import { planKey, prose, sayScale } from '../report.js'
import { wordsOf } from '../sentences.js'
import { type Desk, onWhite, type SheetPages } from './sheet.js'
import { writtenWidth } from './text-size.js'

/** The key stands in columns of at least this width; a line of it takes so much, and its sign so much of the line. */
export const KEY_COLUMN_mm = 56
const KEY_LINE_mm = 5
const KEY_SIGN_mm = 13
const KEY_LETTER_mm = 2.45
const NOTE_mm = 9
/** The largest scale of a set: 1:200, or an inch to 20 feet. Coarser than 1:2000 only where the ground does not fit. */
const LARGEST = { metric: 200, us: 240 } as const

/** The plan to a true scale with its key, and a bar by which the print is checked. */
export function planSheet({ input, voice, room, say }: Desk): SheetPages {
  const { report } = wordsOf(voice)
  const plan: PlanInput = {
    ...input,
    clearance_m: input.clearance_m ?? input.settings.buildingClearance_m,
    night: false,
    grid: true,
    idPrefix: 'set-plan',
  }
  // What stands in the key depends on the page, and its room on the key: room is kept for all that it can take.
  const size = { width_mm: room.width_mm, height_mm: room.height_mm - keyHeight_mm(planKey(plan, voice), room.width_mm) - NOTE_mm }
  const scale = input.planScale ?? Math.max(LARGEST[voice.units], fittingScale(plan, voice, size))
  const page = { scale, ...size }
  const bar = `<svg class="bar" width="100mm" height="3mm" viewBox="0 0 100 3" role="img" aria-label="${escapeText(say.bar)}"><path d="M0 0V3M0 1.5H100M100 0V3M50 0.6V2.4" fill="none" stroke="#22302B" stroke-width="0.25"/></svg>`
  const body = [
    `<figure class="plan">${onWhite(planToScaleSvg(plan, voice, page))}</figure>`,
    onWhite(planKey(seenOnPage(plan, page), voice)),
    `<p class="small rule">${prose(`${report.heightsIn[voice.units]}. ${say.fullSize}`)}</p>${bar}`,
  ]
  return { code: 'plan', scale: sayScale(scale, voice), bodies: [`<div class="full">${body.join('')}</div>`] }
}

function keyHeight_mm(key: string, width_mm: number): number {
  const texts = [...key.matchAll(/<li>.*?<\/li>/g)].map(([entry]) => entry.replace(/<[^>]*>/g, ''))
  const perRow = Math.max(1, Math.floor(width_mm / KEY_COLUMN_mm))
  let rows = 0
  for (let k = 0; k < texts.length; k += perRow)
    rows += Math.max(
      ...texts.slice(k, k + perRow).map(text => Math.ceil(writtenWidth(text, KEY_LETTER_mm) / (width_mm / perRow - KEY_SIGN_mm))),
    )
  return rows * KEY_LINE_mm + 2
}
