import type { LengthUnit } from 'soakline/foundation'

/** A line of a text that is not empty. */
export interface TextLine {
  readonly line: string
  /** Of the file, from 1. */
  readonly row: number
}

/** The lines of a text, trimmed, each with its row from 1; a byte-order mark, empty lines and those that begin with # are passed over. */
export const linesOf = (text: string): TextLine[] =>
  text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, k) => ({ line: line.trim(), row: k + 1 }))
    .filter(({ line }) => line !== '' && !line.startsWith('#'))

/** What parts the cells of a table: semicolons or tabs where its first line has any, else commas. */
export const separatorOf = (line: string): string => (line.includes(';') ? ';' : line.includes('\t') ? '\t' : ',')

/** The cells of a line, quotes round them taken off. */
export const cellsOf = (line: string, separator: string): string[] =>
  line.split(separator).map(cell =>
    cell
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  )

/** The word and the unit of a column's name: `bed`, `bed_ft`, `bed (ft)`; metres where it names none, null for anything else. */
export function columnName(cell: string): { readonly word: string; readonly unit: LengthUnit } | null {
  const parts = /^([a-záéíóúñ]+?)(?:_(m|ft|ftus)|\s*[([](m|ft|ftus)[)\]])?$/.exec(cell.toLowerCase())
  if (parts === null) return null
  const unit = parts[2] ?? parts[3] ?? 'm'
  return { word: parts[1]!, unit: unit === 'ftus' ? 'ftUS' : (unit as LengthUnit) }
}
