import { InputError } from 'soakline/foundation'
import { asciiNumber } from './ascii-number.js'
import { DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster, saidNodata } from './stored-raster.js'
import { maskVoids } from './void-values.js'

/** The name of the format. */
export const ASCII_GRID = 'ASCII grid'

/** What stands above the numbers. */
interface Header {
  readonly columns: number
  readonly rows: number
  /** Outer corner of the lowest row's first cell. */
  readonly west: number
  readonly south: number
  readonly dx: number
  readonly dy: number
  /** The file's own words for "no data"; null when it has none. */
  readonly nodata: string | null
  /** Where the numbers begin. */
  readonly end: number
}

/** A header is some lines of one word and one number each. */
const MAX_HEADER_BYTES = 4096
/** Sides of cells that some ground has, in metres, feet or degrees. Judgement. */
const [SMALLEST, LARGEST] = [1e-8, 1e6]
const KEYS = ['ncols', 'nrows', 'xllcorner', 'xllcenter', 'yllcorner', 'yllcenter', 'cellsize', 'dx', 'dy', 'nodata_value'] as const
type Key = (typeof KEYS)[number]

/** Whether a file begins with a word of such a header; a byte-order mark before it is passed over. */
export function looksLikeAsciiGrid(bytes: Uint8Array): boolean {
  const word = /^\s*([a-z_]+)[ \t]+[+-]?[\d.]/i.exec(beginning(bytes, 80))?.[1]?.toLowerCase()
  return word !== undefined && (KEYS as readonly string[]).includes(word)
}

/**
 * The grid as the file stores it.
 *
 * Shapes   rows from north to south, as many numbers as the header says, on as many lines as the writer liked.
 * No data  the header's value, or `nan`; a lone extreme value without a header's word is asked about.
 * Throws   InputError `ascii-grid/header`, `ascii-grid/number`, `ascii-grid/too-many-numbers`, `grid/truncated`, `grid/too-large`, `grid/nodata-unclear`,
 *          `grid/nodata-is-a-height`.
 * Cost     One pass over the bytes, without a text or an expression for each cell.
 * Source   The header's words are those that common GIS programs write; common practice, no standard.
 */
export async function readStoredAsciiGrid(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<StoredRaster> {
  const source = new Uint8Array(bytes)
  const header = headerOf(source)
  const { columns, rows, west, south, dx, dy } = header
  const maxCells = options.maxCells ?? DEFAULT_MAX_CELLS
  if (columns * rows > maxCells)
    throw new InputError(
      'grid/too-large',
      `The grid has ${columns} × ${rows} cells, more than the ${maxCells} that can be held. Cut out the holding and the ground that drains to it.`,
      { width: columns, height: rows, maxCells },
    )
  // A number takes a sign at least, and all but the last a blank behind it: a file that is too short is known before anything is allocated.
  const most = Math.floor((source.length - header.end + 1) / 2)
  if (columns * rows > most) throw tooShort(most, columns * rows)
  const data = numbersOf(source, header, options.signal)
  const asked = saidNodata(options)
  const warnings = maskVoids(data, { kind: 'float', bits: 32 }, header.nodata, asked)
  return {
    format: ASCII_GRID,
    width: columns,
    height: rows,
    data,
    affine: [dx, 0, west, 0, -dy, south + rows * dy],
    crs: null,
    crsName: null,
    crsFound: 'an ASCII grid, which has no place for one',
    verticalUnit: null,
    verticalUnitText: null,
    verticalDatum: null,
    ellipsoidal: false,
    warnings,
  }
}

/** The first bytes as text, without a byte-order mark. */
const beginning = (bytes: Uint8Array, length: number): string => {
  const from = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0
  return String.fromCharCode(...bytes.subarray(from, from + length))
}

function headerOf(bytes: Uint8Array): Header {
  const skipped = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0
  const text = beginning(bytes, MAX_HEADER_BYTES)
  const found = new Map<Key, string>()
  const line = /\s*([A-Za-z_]+)[ \t]+([^\s]+)/y
  let end = 0
  for (let match = line.exec(text); match; match = line.exec(text)) {
    const written = match[1]!.toLowerCase()
    const key = written === 'nodata' ? 'nodata_value' : KEYS.find(known => known === written)
    // The first row may begin with `nan`.
    if (written === 'nan') break
    if (key === undefined) throw badHeader(`it has a line "${match[1]!.slice(0, 30)}"`)
    if (found.has(key)) throw badHeader(`${key} stands twice`)
    found.set(key, match[2]!)
    end = line.lastIndex
  }
  const number = (key: Key): number | undefined => {
    const raw = found.get(key)
    if (raw === undefined) return undefined
    const encoded = new TextEncoder().encode(raw)
    const value = asciiNumber(encoded, 0, encoded.length)
    if (value === null || Number.isNaN(value)) throw badHeader(`${key} is "${raw.slice(0, 30)}"`)
    return value
  }
  const needed = (key: Key): number => {
    const value = number(key)
    if (value === undefined) throw badHeader(`${key} is missing`)
    return value
  }
  const [columns, rows] = [needed('ncols'), needed('nrows')]
  for (const [key, count] of [
    ['ncols', columns],
    ['nrows', rows],
  ] as const)
    if (!Number.isInteger(count) || count < 1 || count > 2 ** 31) throw badHeader(`${key} is ${count}`)
  const cell = number('cellsize')
  const [dx, dy] = [number('dx') ?? cell, number('dy') ?? cell]
  if (dx === undefined || dy === undefined) throw badHeader('it gives no cellsize')
  if (!(dx > SMALLEST && dx < LARGEST) || !(dy > SMALLEST && dy < LARGEST)) throw badHeader(`its cells are ${dx} by ${dy}`)
  if (cell !== undefined && (found.has('dx') || found.has('dy')) && (dx !== cell || dy !== cell))
    throw badHeader('it gives both cellsize and other dx or dy')
  const corner = (corner: Key, center: Key, side: number): number => {
    if (found.has(corner) && found.has(center)) throw badHeader(`it gives both ${corner} and ${center}`)
    return found.has(center) ? needed(center) - side / 2 : needed(corner)
  }
  return {
    columns,
    rows,
    west: corner('xllcorner', 'xllcenter', dx),
    south: corner('yllcorner', 'yllcenter', dy),
    dx,
    dy,
    nodata: found.get('nodata_value') ?? null,
    end: skipped + end,
  }
}

function numbersOf(bytes: Uint8Array, { columns, rows, end }: Header, signal: AbortSignal | undefined): Float32Array {
  const cells = columns * rows
  const data = new Float32Array(cells)
  const blank = (byte: number): boolean => byte === 0x20 || (byte >= 0x09 && byte <= 0x0d)
  let [at, k] = [end, 0]
  for (;;) {
    while (at < bytes.length && blank(bytes[at]!)) at++
    if (at >= bytes.length) break
    const from = at
    while (at < bytes.length && !blank(bytes[at]!)) at++
    if (k >= cells)
      throw new InputError(
        'ascii-grid/too-many-numbers',
        `The grid goes on after its ${columns} × ${rows} numbers, so its header or its rows are wrong. Export it again.`,
        { columns, rows },
      )
    const value = asciiNumber(bytes, from, at)
    if (value === null) {
      const written = new TextDecoder().decode(bytes.subarray(from, Math.min(at, from + 40)))
      throw new InputError(
        'ascii-grid/number',
        `"${written}" in row ${Math.floor(k / columns) + 1}, column ${(k % columns) + 1} is not a number${written.includes(',') ? ' (decimal commas are not read: export the grid with points)' : ''}. Export the grid again.`,
        { row: Math.floor(k / columns) + 1, column: (k % columns) + 1 },
      )
    }
    data[k] = value
    k++
    if (k % 1_000_000 === 0) signal?.throwIfAborted()
  }
  signal?.throwIfAborted()
  if (k < cells) throw tooShort(k, cells)
  return data
}

const badHeader = (what: string): InputError =>
  new InputError(
    'ascii-grid/header',
    `The header of the ASCII grid cannot be used: ${what}. It needs ncols, nrows, xllcorner or xllcenter, yllcorner or yllcenter, and cellsize; export the grid again.`,
    { what },
  )

const tooShort = (there: number, needed: number): InputError =>
  new InputError(
    'grid/truncated',
    `The grid stops at ${Math.floor((100 * there) / needed)} % of its numbers (at most ${there} of ${needed}). Fetch or export it again.`,
    { numbers: there, needed },
  )
