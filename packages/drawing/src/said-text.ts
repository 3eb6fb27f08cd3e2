import type { SaidPart, SaidTable } from './sizing.js'

/** A table in columns of one width, for a page of plain text. Laws: every cell stands in it, under its head. */
export function tableText({ caption, head, rows }: SaidTable): string[] {
  const wide = head.map((cell, k) => Math.max(cell.length, ...rows.map(row => (row[k] ?? '').length)))
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, k) => cell.padEnd(wide[k]!))
      .join('  ')
      .trimEnd()
  return [...(caption === '' ? [] : [caption]), line(head), wide.map(n => '-'.repeat(n)).join('  '), ...rows.map(line), '']
}

/** A part of what is said, as plain text. */
export function partText({ title, lead, lines, tables, notes }: SaidPart): string[] {
  const wide = Math.max(0, ...lines.map(([name]) => name.length))
  return [
    ...(title === '' ? [] : [title.toUpperCase(), '']),
    ...(lead === undefined ? [] : [lead, '']),
    ...lines.map(([name, value]) => `${`${name}:`.padEnd(wide + 2)} ${value}`),
    ...(lines.length > 0 ? [''] : []),
    ...tables.flatMap(tableText),
    ...notes,
    ...(notes.length > 0 ? [''] : []),
  ]
}
