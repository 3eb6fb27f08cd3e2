import { InputError, type LengthUnit, METRES_PER } from 'soakline/foundation'
import type { BookReading } from 'soakline/plan'
import { type LooseTable, looseTable } from './loose-table.js'
import { columnName } from './table-text.js'

/** A level book as it was written down. Units: metres. */
export interface WrittenBook {
  readonly readings: readonly BookReading[]
  /** Known level of the first point, and of the last; null where the table gives none. */
  readonly start_m: number | null
  readonly closesOn_m: number | null
}

const EXPECTED =
  'point,backsight_m,intermediate_m,foresight_m,level_m (level only of known points: the first, and the last if the book closes on one)'
/** More lines than any book has. Judgement. */
const MOST_ROWS = 20_000

type What = 'point' | 'backsight_m' | 'intermediate_m' | 'foresight_m' | 'level_m'
const WHAT: Readonly<Record<string, What>> = {
  point: 'point',
  stake: 'point',
  punto: 'point',
  estaca: 'point',
  back: 'backsight_m',
  backsight: 'backsight_m',
  bs: 'backsight_m',
  atrás: 'backsight_m',
  atras: 'backsight_m',
  between: 'intermediate_m',
  intermediate: 'intermediate_m',
  is: 'intermediate_m',
  entre: 'intermediate_m',
  intermedia: 'intermediate_m',
  fore: 'foresight_m',
  foresight: 'foresight_m',
  fs: 'foresight_m',
  adelante: 'foresight_m',
  level: 'level_m',
  rl: 'level_m',
  nivel: 'level_m',
  cota: 'level_m',
}

/**
 * Readings of a level book from a table, one line of the book a row; what is worked out from them (rises, falls) is left to `levelBook`.
 *
 * Units   metres, or feet by the header (`backsight_ft`, `backsight_ftus`), converted exactly.
 * Throws  InputError `level-book/empty`, `level-book/header`, `level-book/number`, `level-book/known-level`; rows are named.
 */
export function readLevelBook(text: string): WrittenBook {
  const table = looseTable(text)
  if (table === null || table.rows.length === 0 || table.rows.length > MOST_ROWS)
    throw new InputError(
      'level-book/empty',
      `The level book holds ${table?.rows.length ?? 0} rows. Give one row for each reading, beginning with ${EXPECTED}.`,
      { rows: table?.rows.length ?? 0 },
    )
  const columns = headerOf(table)
  const lines = table.rows.map(({ cells, row }) => {
    if (cells.length > columns.length)
      throw new InputError(
        'level-book/number',
        `Row ${row} has ${cells.length} cells, the header ${columns.length}. Mind decimal commas: they need semicolons between the columns.`,
        { row },
      )
    const line: { point: string; level_m: number | null } & Partial<Record<What, number | string | null>> = { point: '', level_m: null }
    for (const [k, { what, unit }] of columns.entries()) {
      const cell = cells[k] ?? ''
      if (what === 'point') line.point = cell.slice(0, 60)
      else if (cell !== '') {
        const value = table.number(cell)
        if (Number.isNaN(value))
          throw new InputError(
            'level-book/number',
            `"${cell.slice(0, 40)}" in row ${row} is not a number. Mend it, or leave the cell empty.`,
            {
              row,
            },
          )
        line[what] = value * METRES_PER[unit]
      }
    }
    return { line, row }
  })
  const last = lines.length - 1
  const stray = lines.find(({ line }, k) => line.level_m !== null && k !== 0 && k !== last)
  if (stray)
    throw new InputError(
      'level-book/known-level',
      `Row ${stray.row} gives a level, but only the first point and the last can be known ones: the levels between are worked out. Leave it empty.`,
      { row: stray.row },
    )
  return {
    readings: lines.map(({ line: { level_m: _, ...reading } }) => reading as BookReading),
    start_m: lines[0]!.line.level_m,
    closesOn_m: last > 0 ? lines[last]!.line.level_m : null,
  }
}

interface Column {
  readonly what: What
  readonly unit: LengthUnit
}

function headerOf({ header }: LooseTable): Column[] {
  const columns = header.map((cell): Column | null => {
    const name = columnName(cell)
    const what = name === null ? undefined : WHAT[name.word]
    return name === null || what === undefined ? null : { what, unit: name.unit }
  })
  const kinds = columns.map(column => column?.what)
  if (
    columns.some(column => column === null) ||
    new Set(kinds).size !== kinds.length ||
    !kinds.includes('backsight_m') ||
    !kinds.includes('foresight_m')
  )
    throw new InputError(
      'level-book/header',
      `The columns of the level book are "${header.join(', ').slice(0, 120)}". Expected: ${EXPECTED}.`,
      {
        header: header.slice(0, 20).map(cell => cell.slice(0, 40)),
      },
    )
  return columns as Column[]
}
