import type { SaidPart, SaidTable } from '../sizing.js'
import { type Block, lines, paragraph, table, title } from './blocks.js'
import type { Desk } from './sheet.js'

/** A part that the report says too, as blocks of a page. */
export function saidBlocks(part: SaidPart | null, { room }: Desk, headed = true): Block[] {
  if (part === null) return []
  const width = room.column_mm
  return [
    ...(headed ? [title(part.title)] : []),
    ...(part.lead === undefined ? [] : [{ ...paragraph(part.lead, width), withNext: part.lines.length + part.tables.length > 0 }]),
    ...(part.lines.length === 0 ? [] : [lines(part.lines, width)]),
    ...part.tables.flatMap(one => tableBlocks(one, width)),
    ...part.notes.filter(note => note !== '').map(note => paragraph(note, width, { small: true })),
  ]
}

/** The column of sources is long text, others are short; the first names the rows. */
function tableBlocks({ caption, head, rows, marked, cited, numeric = false }: SaidTable, width_mm: number): Block[] {
  const share = (k: number): number => (k === cited ? 50 : k === 0 ? 34 : numeric ? 16 : 26)
  return [
    ...(caption === '' ? [] : [{ ...paragraph(caption, width_mm, { small: true }), withNext: true }]),
    table(
      head.map((name, k) => ({ head: name, share: share(k), number: numeric && k > 0 })),
      rows,
      width_mm,
      { rowClass: r => (marked?.row === r ? 'marked' : '') },
    ),
  ]
}
