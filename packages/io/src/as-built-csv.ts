import { InputError, type LengthUnit, METRES_PER } from 'soakline/foundation'
import type { BuiltReading } from 'soakline/plan'
import { looseTable } from './loose-table.js'
import { columnName } from './table-text.js'

/** A reading taken on site, and its row in the file. */
export interface AsBuiltRow extends BuiltReading {
  readonly row: number
}

/** What `readAsBuilt` may be told besides. */
export interface AsBuiltCsvOptions {
  /** Where the stakes stand along the line, by number: for tables that name the stake instead of the distance. */
  readonly stakes?: readonly { readonly number: number; readonly chainage_m: number }[]
}

const EXPECTED =
  'chainage_m,bed_m,crest_m,sill_m (empty where nothing was read), or what,chainage_m,level_m; stake may stand for chainage_m'
/** More readings than any line has. Judgement. */
const MOST_ROWS = 20_000
const WHAT: Readonly<Record<string, BuiltReading['what']>> = {
  bed: 'bed',
  lecho: 'bed',
  fondo: 'bed',
  crest: 'crest',
  berm: 'crest',
  cresta: 'crest',
  corona: 'crest',
  bordo: 'crest',
  camellón: 'crest',
  camellon: 'crest',
  sill: 'sill',
  spill: 'sill',
  vertedero: 'sill',
  umbral: 'sill',
}
const PLACE: Readonly<Record<string, 'chainage' | 'stake' | 'level' | 'what'>> = {
  chainage: 'chainage',
  distance: 'chainage',
  distancia: 'chainage',
  progresiva: 'chainage',
  stake: 'stake',
  estaca: 'stake',
  level: 'level',
  nivel: 'level',
  cota: 'level',
  what: 'what',
  qué: 'what',
  que: 'what',
}

/**
 * Levels read on site: a table with one column for each thing that was read, or one reading a row.
 *
 * Commas; or semicolons or tabs, then with decimal commas or points. A byte-order mark and either line ending are taken; lines that begin with # are left out.
 *
 * Units   metres, or feet by the header (`bed_ft`, `bed_ftus`), converted exactly.
 * Throws  InputError `as-built/header`, `as-built/number`, `as-built/what`, `as-built/unknown-stake`, `as-built/empty`, `as-built/too-long`; rows are named.
 */
export function readAsBuilt(text: string, { stakes }: AsBuiltCsvOptions = {}): AsBuiltRow[] {
  const table = looseTable(text)
  if (table === null) throw new InputError('as-built/empty', `The table of readings is empty. It begins with ${EXPECTED}.`)
  if (table.rows.length >= MOST_ROWS)
    throw new InputError(
      'as-built/too-long',
      `The table has ${table.rows.length} rows, more than ${MOST_ROWS}. Give the readings of one line only.`,
      {
        rows: table.rows.length,
      },
    )
  const columns = headerOf(table.header)
  const rows = table.rows.flatMap(({ cells: values, row }): AsBuiltRow[] => {
    if (values.length > columns.length)
      throw new InputError(
        'as-built/number',
        `Row ${row} has ${values.length} cells, the header ${columns.length}. Mind decimal commas: they need semicolons between the columns.`,
        { row },
      )
    const number = (k: number, unit: LengthUnit): number => {
      const raw = values[k] ?? ''
      const value = table.number(raw)
      if (Number.isNaN(value))
        throw new InputError('as-built/number', `"${raw.slice(0, 40)}" in row ${row} is not a number. Mend it, or leave the cell empty.`, {
          row,
        })
      return value * METRES_PER[unit]
    }
    let chainage_m = Number.NaN
    let what: BuiltReading['what'] | null = null
    const levels: { what: BuiltReading['what'] | null; level_m: number }[] = []
    for (const [k, column] of columns.entries()) {
      const raw = values[k] ?? ''
      if (column.is === 'chainage') chainage_m = number(k, column.unit)
      else if (column.is === 'stake') {
        const stake = stakes?.find(s => String(s.number) === raw)
        if (!stake)
          throw new InputError(
            'as-built/unknown-stake',
            `Row ${row} names stake "${raw.slice(0, 40)}", which this line does not have. Give its number, or the distance along the line as chainage_m.`,
            { row },
          )
        chainage_m = stake.chainage_m
      } else if (column.is === 'what') {
        what = WHAT[raw.toLowerCase()] ?? null
        if (what === null)
          throw new InputError('as-built/what', `"${raw.slice(0, 40)}" in row ${row} is none of bed, crest, sill.`, { row })
      } else if (column.is === 'level') levels.push({ what: null, level_m: number(k, column.unit) })
      else if (raw !== '') levels.push({ what: column.is, level_m: number(k, column.unit) })
    }
    return levels.map(level => ({ what: level.what ?? what!, chainage_m, level_m: level.level_m, row }))
  })
  if (rows.length === 0) throw new InputError('as-built/empty', 'The table of readings has a header and no levels.')
  return rows
}

interface Column {
  readonly is: 'chainage' | 'stake' | 'level' | 'what' | BuiltReading['what']
  readonly unit: LengthUnit
}

function headerOf(header: readonly string[]): Column[] {
  const columns = header.map((cell): Column | null => {
    const name = columnName(cell)
    const is = name && (PLACE[name.word] ?? WHAT[name.word])
    return name && is ? { is, unit: name.unit } : null
  })
  const kinds = columns.map(column => column?.is)
  const once = (is: Column['is']): boolean => kinds.filter(kind => kind === is).length === 1
  const place = Number(kinds.includes('chainage')) + Number(kinds.includes('stake'))
  const long = once('what') && once('level') && columns.length === 3
  const wide = !kinds.includes('what') && !kinds.includes('level') && columns.length >= 2
  if (columns.some(column => column === null) || new Set(kinds).size !== kinds.length || place !== 1 || !(long || wide))
    throw new InputError(
      'as-built/header',
      `The columns of the readings are "${header.join(', ').slice(0, 120)}". Expected: ${EXPECTED}, each once.`,
      { header: header.slice(0, 20).map(cell => cell.slice(0, 40)) },
    )
  return columns as Column[]
}
