import type { GroundWork, LevelBook } from 'soakline/plan'
import { levelBookText } from './level-book-paper.js'
import {
  sayAFrame,
  sayCleanAt,
  sayCrossings,
  sayDigging,
  sayDigPhases,
  sayDigStretches,
  sayDigTools,
  sayInspections,
  sayLevelTools,
  sayPlanting,
  sayPlants,
  sayStakes,
  sayStormCard,
  sayStormRow,
  sayWaterLevel,
} from './on-site.js'
import { onSiteWords } from './on-site-words.js'
import { partText, tableText } from './said-text.js'
import type { Voice } from './voice.js'

// The papers as plain text, for a printer or a phone without a browser.

const paper = (lines: readonly string[]): string => `${lines.join('\n').trimEnd()}\n`
const heading = (text: string): string[] => [text.toUpperCase(), '']
const list = (items: readonly string[]): string[] => [...items.map(item => `- ${item}`), '']
/** A place to write in. */
const BLANK = '.........'

/** Stakes, and how their levels are set with each tool; with the level book as it was read, or one to fill in. */
export function levellingPaper(work: GroundWork, voice: Voice, book: LevelBook | null = null): string {
  const { levels: say } = onSiteWords(voice)
  const points = work.stakes.map(s => [String(s.number), ...say.bookColumns.slice(1).map(() => BLANK)])
  return paper([
    ...[sayStakes, sayLevelTools, sayAFrame, sayWaterLevel].flatMap(part => partText(part(work, voice))),
    ...(book === null
      ? [...heading(say.bookBlank), ...tableText({ caption: '', head: say.bookColumns, rows: points })]
      : levelBookText(book, voice)),
  ])
}

/** Volumes and days, phases, crossings, tools. */
export function diggingPaper(work: GroundWork, voice: Voice): string {
  const { dig: say } = onSiteWords(voice)
  const crossings = sayCrossings(work, voice)
  return paper([
    ...partText(sayDigging(work, voice)),
    ...heading(say.phases),
    ...sayDigPhases(work, voice).flatMap(phase => [
      `${phase.order}. ${phase.what}`,
      ...(phase.takes === '' ? [] : [`   ${phase.takes}`]),
      `   ${say.rain}: ${phase.rain}`,
      '',
    ]),
    ...sayDigStretches(work, voice).flatMap(tableText),
    ...(crossings.table ? [...heading(say.crossings), say.crossingText, ...tableText(crossings.table), ...crossings.refused, ''] : []),
    ...heading(say.tools),
    ...list(sayDigTools(work, voice)),
    say.mulchOut,
  ])
}

/** Zones with counts and conditions, and where each plant goes. */
export function plantingPaper(work: GroundWork, voice: Voice): string {
  const { plant: say } = onSiteWords(voice)
  return paper([
    ...partText(sayPlanting(work, voice)),
    ...heading(say.list),
    ...(work.planting.starter ? [say.starter, ''] : []),
    ...sayPlants(work, voice).flatMap(({ name, lines }) => [name, ...lines.map(([, title, places]) => `  ${title}: ${places}`), '']),
  ])
}

/** The storm card, what is looked at and when, and the storms that were seen. */
export function carePaper(work: GroundWork, voice: Voice): string {
  const { care: say } = onSiteWords(voice)
  return paper([
    ...partText(sayStormCard(work, voice)),
    ...heading(say.inspections),
    ...sayInspections(work, voice).flatMap(({ time, items }) => [`${time}:`, ...list(items)]),
    sayCleanAt(work, voice),
    '',
    ...heading(say.log),
    ...(work.care.log.length === 0
      ? [say.logNone]
      : work.care.log.flatMap(row => {
          const { cells, said } = sayStormRow(row, voice)
          return [cells.join(' · '), `  ${said}`]
        })),
  ])
}
