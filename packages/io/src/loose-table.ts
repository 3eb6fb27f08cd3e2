import { cellsOf, linesOf, separatorOf } from './table-text.js'

/** A table as people write it on site, in text. */
export interface LooseTable {
  readonly header: readonly string[]
  readonly rows: readonly { readonly cells: readonly string[] /** Line in the file, from 1. */; readonly row: number }[]
  /** A plain decimal number as the table writes it; NaN for anything else. */
  readonly number: (cell: string) => number
}

/**
 * Cells of a small table: commas between them; or semicolons or tabs, then with decimal commas or points.
 *
 * A byte-order mark, either line ending and quotes round a cell are taken; empty lines and lines that begin with # are left out.
 * @returns null for a text without any line
 */
export function looseTable(text: string): LooseTable | null {
  const lines = linesOf(text)
  const first = lines[0]
  if (!first) return null
  const separator = separatorOf(first.line)
  return {
    header: cellsOf(first.line, separator),
    rows: lines.slice(1).map(({ line, row }) => ({ cells: cellsOf(line, separator), row })),
    number: cell => {
      const plain = separator === ',' ? cell : cell.replace(',', '.')
      return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN
    },
  }
}
