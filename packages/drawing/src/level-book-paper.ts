import { METRES_PER } from 'soakline/foundation'
import type { LevelBook } from 'soakline/plan'
import { formatNumber, unitSign } from './measures.js'
import { sayBookCheck } from './on-site.js'
import { onSiteWords } from './on-site-words.js'
import { tableText } from './said-text.js'
import type { Voice } from './voice.js'

/** A level book worked out, as plain text: every reading, its rise or fall, the level, and whether the sums agree. */
export function levelBookText(book: LevelBook, voice: Voice): string[] {
  const { levels: say } = onSiteWords(voice)
  const us = voice.units === 'us'
  const cell = (value_m: number | null | undefined): string =>
    value_m === null || value_m === undefined ? '' : formatNumber(us ? value_m / METRES_PER.ft : value_m, voice, 3)
  const unit = us ? unitSign('ft', voice) : 'm'
  return [
    `${say.book} (${unit})`.toUpperCase(),
    '',
    ...tableText({
      caption: '',
      head: say.bookColumns,
      rows: [
        ...book.rows.map(row => [
          row.point,
          ...[row.backsight_m, row.intermediate_m, row.foresight_m, row.rise_m, row.fall_m, row.level_m].map(cell),
        ]),
        ['Σ', cell(book.backsights_m), '', cell(book.foresights_m), cell(book.rises_m), cell(book.falls_m), ''],
      ],
    }),
    ...sayBookCheck(book, voice),
    '',
  ]
}
