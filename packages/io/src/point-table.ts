import { InputError, type LengthUnit } from 'soakline/foundation'
import type { LooseFeature } from './marked-features.js'
import { cellsOf, columnNamed, numeric } from './survey-table.js'
import { linesOf, separatorOf } from './table-text.js'

/** Things that stand at points, one a row. */
export interface PointTable {
  /** Coordinates as written: longitude and latitude, or eastings and northings. */
  readonly features: readonly LooseFeature[]
  /** `degrees` where the columns are longitude and latitude; null where a header names no unit. */
  readonly unit: LengthUnit | 'degrees' | null
}

/** Which cells of the header are the two of a place; null when it does not name both. */
function placeColumns(header: readonly string[]): { x: number; y: number; unit: LengthUnit | 'degrees' | null } | null {
  const named = header.map(columnNamed)
  const at = (name: string): number[] => named.flatMap((column, k) => (column?.[0] === name ? [k] : []))
  const [[x, ...moreX], [y, ...moreY]] = [at('easting'), at('northing')]
  if (x === undefined || y === undefined || moreX.length > 0 || moreY.length > 0) return null
  const [unitX, unitY] = [named[x]![1], named[y]![1]]
  return unitX === unitY ? { x, y, unit: unitX } : null
}

/** Whether a text begins as a table of things at points: places without heights, or with a column `kind`. A table with heights is one of ground. */
export function looksLikePointTable(beginning: string): boolean {
  const first = linesOf(beginning)[0]
  if (!first || /^[{[<]/.test(first.line)) return false
  const header = first.line.split(separatorOf(first.line)).map(cell => cell.trim().replace(/^"(.*)"$/, '$1'))
  if (placeColumns(header) === null) return false
  return header.some(cell => cell.toLowerCase() === 'kind') || !header.some(cell => columnNamed(cell)?.[0] === 'elevation')
}

/**
 * Rows of points with whatever else stands in them.
 *
 * Throws  InputError `point-table/header`, `point-table/row`, with the row.
 */
export function readPointTable(text: string): PointTable {
  const [first, ...rows] = linesOf(text)
  const separator = separatorOf(first?.line ?? '')
  const header = first ? cellsOf(first.line, separator, first.row) : []
  const place = placeColumns(header)
  if (place === null || new Set(header).size !== header.length)
    throw new InputError(
      'point-table/header',
      'The first line of the table must name each column once, and among them lon and lat, or easting_m and northing_m. Write it above the rows.',
      { header: header.slice(0, 20).map(cell => cell.slice(0, 40)) },
    )
  const features = rows.map(({ line, row }): LooseFeature => {
    const cells = cellsOf(line, separator, row)
    const [x, y] = [numeric(cells[place.x] ?? '', separator), numeric(cells[place.y] ?? '', separator)]
    if (x === null || y === null || cells.length > header.length)
      throw new InputError(
        'point-table/row',
        `Row ${row} of the table has no place that can be read, or too many cells. Mend or delete it; with decimal commas, put semicolons between the columns.`,
        { row },
      )
    const properties = new Map<string, string | number>()
    header.forEach((key, k) => {
      const written = cells[k] ?? ''
      if (k === place.x || k === place.y || written === '') return
      // Measures must be numbers to be taken as such; all else is text as it stands.
      properties.set(key, /_(m|ft)$/.test(key) ? (numeric(written, separator) ?? written) : written)
    })
    return { properties, geometry: { type: 'Point', coordinates: [x, y] } }
  })
  return { features, unit: place.unit }
}
