import { creditsOf } from '../credits.js'
import { escapeText } from '../escape-text.js'
import { extentOf, widened } from '../page-frame.js'
import { fittingScale, type PlanInput, planToScaleSvg, type ScaledPage, seenOnPage } from '../plan.js'
import { planKey, prose, sayScale } from '../report.js'
import { wordsOf } from '../sentences.js'
import { KEY_COLUMN_mm, SMALL_mm } from './paper.js'
import { type Desk, onWhite, type SheetPages } from './sheet.js'
import { linesIn } from './text-size.js'

const KEY_LINE_mm = 5
const KEY_SIGN_mm = 13
const NOTE_mm = 12.5
/** The largest and the smallest scale of a set: 1:200 to 1:2000, an inch to 20 to 200 feet. Smaller only where even the line does not fit. */
const LARGEST = { metric: 200, us: 240 } as const
const SMALLEST = { metric: 2000, us: 2400 } as const
/** Ground shown round the line on its own plan. */
const ROUND_LINE_m = 8

/** The plan to a true scale; and one of the line alone with its stakes, where that is larger. */
export function planSheets(desk: Desk): SheetPages[] {
  const { input, voice } = desk
  const { line, catchment, spills } = input.assessment
  const plan: PlanInput = {
    ...input,
    clearance_m: input.clearance_m ?? input.settings.buildingClearance_m,
    night: false,
    grid: true,
    idPrefix: 'set-plan',
  }
  const ways = spills.map(spill => spill.path.points)
  // All of it, or what fits at a scale that one can work from: without the further ways, without the ways, without the catchment.
  const extents = [[line.path, ...catchment.rings, ...ways], [line.path, ...catchment.rings], [line.path]].map(paths => extentOf(paths))
  const choices = [plan, ...extents.flatMap(extent => (extent === null ? [] : [{ ...plan, extent: widened(extent, ROUND_LINE_m) }]))]
  const pages = choices.map(choice => ({ choice, page: pageFor(desk, choice, input.planScale) }))
  const chosen = pages.find(({ page }) => page.scale <= SMALLEST[voice.units]) ?? pages[0]!
  const cut = chosen.choice !== plan
  const round = extentOf([line.path])
  if (input.papers === null || round === null) return [planPage(desk, 'plan', chosen.choice, chosen.page, cut)]
  const { stakes } = input.papers
  const near: PlanInput = { ...plan, extent: widened(round, ROUND_LINE_m), stakes, idPrefix: 'set-line' }
  const nearPage = pageFor(desk, near)
  return nearPage.scale < chosen.page.scale
    ? [planPage(desk, 'plan', chosen.choice, chosen.page, cut), planPage(desk, 'linePlan', near, nearPage, false)]
    : [planPage(desk, 'plan', { ...chosen.choice, stakes }, chosen.page, cut)]
}

/**
 * The page and scale of a plan. What stands in the key depends on the ground that the page shows, and the page's height on the key: the key gets the fewest
 * lines in which all has room that then stands on the page.
 */
function pageFor(desk: Desk, plan: PlanInput, given?: number): ScaledPage {
  const { room, voice } = desk
  const most_mm = keyHeight_mm(planKey(plan, voice), room.width_mm)
  for (let key_mm = 2 * KEY_LINE_mm; ; key_mm += KEY_LINE_mm) {
    const size = { width_mm: room.width_mm, height_mm: room.height_mm - Math.min(key_mm, most_mm) - NOTE_mm - creditHeight_mm(desk) }
    const page = { scale: given ?? Math.max(LARGEST[voice.units], fittingScale(plan, voice, size)), ...size }
    if (key_mm >= most_mm || keyHeight_mm(planKey(seenOnPage(plan, page), voice), room.width_mm) <= key_mm) return page
  }
}

function planPage(desk: Desk, code: 'plan' | 'linePlan', plan: PlanInput, page: ScaledPage, cut: boolean): SheetPages {
  const { voice, say } = desk
  const { report } = wordsOf(voice)
  const scale = sayScale(page.scale, voice)
  const bar = `<svg class="bar" width="100mm" height="3mm" viewBox="0 0 100 3" role="img" aria-label="${escapeText(say.bar)}"><path d="M0 0V3M0 1.5H100M100 0V3M50 0.6V2.4" fill="none" stroke="#22302B" stroke-width="0.25"/></svg>`
  const notes = `${scale}. ${report.heightsIn[voice.units]}. ${plan.stakes === undefined ? '' : `${say.stakeRings} `}${cut ? `${say.farther} ` : ''}${say.fullSize}`
  const credit = creditText(desk)
  const body = [
    `<figure class="plan">${onWhite(planToScaleSvg(plan, voice, page))}</figure>`,
    onWhite(planKey(seenOnPage(plan, page), voice).replaceAll('key-', `${code}-key-`)),
    `<p class="small rule">${prose(notes)}</p>${bar}${credit === '' ? '' : `<p class="small">${prose(credit)}</p>`}`,
  ]
  return { code, scale, bodies: [`<div class="full">${body.join('')}</div>`] }
}

/** Whom the data on the plan are owed to: it stands where they are shown. */
const creditText = ({ input }: Desk): string => creditsOf(input).join(' · ')

function creditHeight_mm(desk: Desk): number {
  const text = creditText(desk)
  return text === '' ? 0 : linesIn(text, SMALL_mm, desk.room.width_mm) * SMALL_mm * 1.35 + 1.5
}

function keyHeight_mm(key: string, width_mm: number): number {
  const texts = [...key.matchAll(/<li>.*?<\/li>/g)].map(([entry]) => entry.replace(/<[^>]*>/g, ''))
  const perRow = Math.max(1, Math.floor(width_mm / KEY_COLUMN_mm))
  let height_mm = 2
  for (let k = 0; k < texts.length; k += perRow) {
    const lines = texts.slice(k, k + perRow).map(text => linesIn(text, SMALL_mm, width_mm / perRow - KEY_SIGN_mm))
    height_mm += Math.max(KEY_LINE_mm, Math.max(...lines) * SMALL_mm * 1.25 + 0.6)
  }
  return height_mm
}
