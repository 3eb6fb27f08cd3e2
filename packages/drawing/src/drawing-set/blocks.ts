import { escapeText } from '../escape-text.js'
import { prose } from '../report.js'
import { SMALL_mm, TABLE_mm, TEXT_mm } from './paper.js'
import { linesIn } from './text-size.js'

/** A part of a page that is not broken. `html` is markup; the height is what it takes at most. */
export interface Whole {
  readonly html: string
  readonly height_mm: number
  /** Never the last on a page: a heading. */
  readonly withNext?: boolean
}

/** A table that may go on on the next page, where its head stands again. */
export interface Rows {
  readonly open: string
  readonly close: string
  readonly head_mm: number
  readonly rows: readonly Whole[]
}

export type Block = Whole | Rows

/** Lines of a text, in heights of its letters. */
const LINE = 1.34
/** Over and under what stands in a cell, with its rule. */
const CELL_mm = 1.5
const CELL_SIDE_mm = 1.2

/** Something to stand in a page: its markup, and its plain text by which its room is measured. */
export interface Said {
  readonly text: string
  readonly html: string
}
export const said = (text: string): Said => ({ text, html: prose(text) })
export const nothing: Said = { text: '', html: '' }
/** A box to tick by hand. */
export const tick: Said = { text: '□', html: '<span class="tick"></span>' }
export const joined = (parts: readonly (Said | string)[]): Said => {
  const all = parts.map(part => (typeof part === 'string' ? said(part) : part))
  return { text: all.map(p => p.text).join(''), html: all.map(p => p.html).join('') }
}

export const title = (text: string, width_mm = Number.POSITIVE_INFINITY): Whole => ({
  html: `<h3>${escapeText(text)}</h3>`,
  height_mm: 4 + 5 * linesIn(text, 3.95, width_mm),
  withNext: true,
})

export function paragraph(of: string | Said, width_mm: number, { small = false, strong = false } = {}): Whole {
  const { text, html } = typeof of === 'string' ? said(of) : of
  const size = small ? SMALL_mm : TEXT_mm
  return {
    html: `<p${small ? ' class="small"' : strong ? ' class="strong"' : ''}>${html}</p>`,
    height_mm: linesIn(text, size * (strong ? 1.07 : 1), width_mm) * size * LINE + 1.6,
  }
}

/** An item of a list, with a box to tick where it is to be gone through. */
export function item(of: string | Said, width_mm: number, { ticked = false } = {}): Whole {
  const { text, html } = typeof of === 'string' ? said(of) : of
  const indent_mm = ticked ? 6 : 4
  return {
    html: `<p class="item${ticked ? ' todo' : ''}">${ticked ? tick.html : ''}${html}</p>`,
    height_mm: linesIn(text, TEXT_mm, width_mm - indent_mm) * TEXT_mm * LINE + 1.2,
  }
}

export interface Column {
  readonly head: string
  /** Part of the table's width. */
  readonly share: number
  readonly number?: boolean
}

export interface TableLook {
  /** Of a row, at least: room to write by hand. */
  readonly row_mm?: number
  readonly rowClass?: (row: number) => string
}

/** A table of columns that share its width; each cell is measured. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly (string | Said)[])[],
  width_mm: number,
  { row_mm = 0, rowClass = () => '' }: TableLook = {},
): Rows {
  const whole = columns.reduce((sum, c) => sum + c.share, 0)
  const widths = columns.map(c => (c.share / whole) * width_mm - 2 * CELL_SIDE_mm)
  const height = (texts: readonly string[]): number =>
    Math.max(...texts.map((text, k) => linesIn(text, TABLE_mm, widths[k]!))) * TABLE_mm * LINE + CELL_mm
  const css = (k: number): string => (columns[k]!.number ? ' class="number"' : '')
  const head = columns.map((c, k) => `<th scope="col"${css(k)}>${escapeText(c.head)}</th>`).join('')
  const cols = columns.map(c => `<col width="${((100 * c.share) / whole).toFixed(3)}%">`).join('')
  return {
    open: `<table><colgroup>${cols}</colgroup><thead><tr>${head}</tr></thead><tbody>`,
    close: '</tbody></table>',
    // The head is set a little heavier, so it may break earlier.
    head_mm: Math.max(...columns.map((c, k) => linesIn(c.head, TABLE_mm * 1.08, widths[k]!))) * TABLE_mm * LINE + CELL_mm + 1,
    rows: rows.map((row, r) => {
      const cells = row.map(cell => (typeof cell === 'string' ? said(cell) : cell))
      const name = [rowClass(r), row_mm > 0 ? 'tall' : ''].filter(part => part !== '').join(' ')
      // Looks of a single element would need a rule of the page that shows it; sizes of rows and columns are attributes, in pixels of 1/96 inch.
      const tall = row_mm > 0 ? ` height="${((row_mm * 96) / 25.4).toFixed(1)}"` : ''
      return {
        html: `<tr${name === '' ? '' : ` class="${name}"`}${tall}>${cells.map((cell, k) => `<td${css(k)}>${cell.html}</td>`).join('')}</tr>`,
        height_mm: Math.max(row_mm, height(cells.map(c => c.text))),
      }
    }),
  }
}

/** A table without its head. */
export const headless = (of: Rows): Rows => ({ ...of, open: of.open.replace(/<thead>.*<\/thead>/, ''), head_mm: 0 })

/** Names with their values, one to a line. */
export const lines = (all: readonly (readonly [name: string, value: string | Said])[], width_mm: number): Rows =>
  headless(
    table(
      [
        { head: '', share: 58 },
        { head: '', share: 42, number: true },
      ],
      all,
      width_mm,
    ),
  )

export const figure = (svg: string, height_mm: number, caption = ''): Whole => ({
  html: `<figure>${svg}${caption === '' ? '' : `<figcaption>${prose(caption)}</figcaption>`}</figure>`,
  height_mm: height_mm + 2 + (caption === '' ? 0 : SMALL_mm * LINE + 1),
})

const isRows = (block: Block): block is Rows => 'rows' in block
/** Below a table. */
const AFTER_TABLE_mm = 2.5

/** A table that takes no more than this part of a column is not broken. */
const SHORT = 0.35

/** Blocks set one below the other into columns of a height; each column is markup. No heading and no single row of a table stands alone. */
export function intoColumns(blocks: readonly Block[], height_mm: number): string[] {
  const columns: string[] = []
  let html = ''
  let used = 0
  const turn = (): void => {
    if (html !== '') columns.push(html)
    html = ''
    used = 0
  }
  for (const [k, block] of blocks.entries()) {
    const needs = isRows(block)
      ? leastOf([block], height_mm)
      : block.height_mm + (block.withNext ? leastOf(blocks.slice(k + 1), height_mm) : 0)
    if (used + needs > height_mm) turn()
    if (!isRows(block)) {
      html += block.html
      used += block.height_mm
      continue
    }
    let body = ''
    const close = (): void => {
      if (body !== '') html += block.open + body + block.close
      body = ''
    }
    for (const [r, row] of block.rows.entries()) {
      // The last two rows stay together.
      const next = r > 0 && r === block.rows.length - 2 ? block.rows[r + 1]!.height_mm : 0
      if (used + row.height_mm + next + (body === '' ? block.head_mm : 0) > height_mm) {
        close()
        turn()
      }
      used += row.height_mm + (body === '' ? block.head_mm : 0)
      body += row.html
    }
    close()
    used += AFTER_TABLE_mm
  }
  turn()
  return columns
}

/** What the next blocks need to begin with: all of a short table, else its head and two rows; what follows a heading, too. */
function leastOf([next, ...rest]: readonly Block[], height_mm: number): number {
  if (next === undefined) return 0
  if (!isRows(next)) return next.height_mm + (next.withNext ? leastOf(rest, height_mm) : 0)
  const rows_mm = (rows: readonly Whole[]): number => next.head_mm + rows.reduce((sum, row) => sum + row.height_mm, 0)
  const whole_mm = rows_mm(next.rows)
  return whole_mm <= SHORT * height_mm ? whole_mm : rows_mm(next.rows.slice(0, 2))
}
