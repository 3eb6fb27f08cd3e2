/** What a cell of a table may hold: numbers stay numbers, NaN and null are empty cells. */
export type CsvCell = string | number | boolean | null

/**
 * A table as CSV, lines ended by CR LF.
 *
 * Laws    A text that a spreadsheet would take for a formula gets an apostrophe in front; numbers never do, negative ones included.
 * Source  RFC 4180 (2005); OWASP, "CSV Injection", from memory.
 */
export function writeCsv(header: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  return [header, ...rows].map(row => `${row.map(cellText).join(',')}\r\n`).join('')
}

function cellText(cell: CsvCell): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : ''
  if (typeof cell === 'boolean') return String(cell)
  const safe = /^[\s]*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe
}
