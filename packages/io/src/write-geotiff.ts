import { InputError, type LengthUnit } from 'soakline/foundation'
import type { GridGeometry } from 'soakline/raster'

/** A raster to be written. */
export interface WritableGrid {
  readonly geometry: GridGeometry
  readonly data: Float32Array | Float64Array | Uint16Array | Uint8Array
}

/** What `writeGeoTiff` may be told besides. */
export interface GeoTiffOptions {
  /** Value that means "no data"; NaN cells are written as it. Default NaN for floating-point cells, none for whole numbers. */
  readonly nodata?: number | null
  /** Coordinate system; default `geometry.crs`. */
  readonly crs?: string
  /** Float64 cells as float32. Default false. */
  readonly float32?: boolean
  /** Unit of the values, written as the band's unit, e.g. `m`. Default none. */
  readonly unit?: string
  /** Height of a row where cells are not square; default `geometry.cell_m`. */
  readonly rowHeight?: number
  /** True where `geometry` is in the system's own unit, not in metres. Default false. */
  readonly ownUnit?: boolean
  /** True where the system is one of degrees. Default false. */
  readonly geographic?: boolean
  readonly verticalUnit?: LengthUnit
  /** Name of what heights are counted from. Default none. */
  readonly verticalDatum?: string
  /** Whom the values are owed to. Default none. */
  readonly copyright?: string
  readonly description?: string
  /** Cells as they stand where DEFLATE would make the file little smaller: it takes most of the time of writing. Default false. */
  readonly onlyIfSmaller?: boolean
}

/** Bytes of a strip, about: small enough to be read in parts. Judgement. */
const STRIP_BYTES = 1 << 18
/** The first strip must become smaller than this part of itself. Judgement: heights in floating-point numbers hardly do, whole metres do. */
const WORTH_PACKING = 0.7
/** Stands for a code where the file describes the thing itself, as in `geokeys.ts`. */
const USER_DEFINED = 32767

/**
 * A GeoTIFF of one band: strips, DEFLATE (see `onlyIfSmaller`), north-up, cells as areas.
 *
 * Laws    Read back it gives the same cells, geometry and coordinate system; the bytes are little-endian.
 * Throws  InputError `grid/too-large` beyond the 4 GB of a classic TIFF.
 * Source  TIFF 6.0 (1992); OGC GeoTIFF 1.1, OGC 19-008r4 (2019); tags 42112 and 42113 as GDAL documents them.
 */
export async function writeGeoTiff(grid: WritableGrid, options: GeoTiffOptions = {}): Promise<Uint8Array<ArrayBuffer>> {
  const { width, height, cell_m, west_m, north_m } = grid.geometry
  const floating = grid.data instanceof Float32Array || grid.data instanceof Float64Array
  const nodata = options.nodata === undefined ? (floating ? Number.NaN : null) : options.nodata
  const cells = cellsToWrite(grid.data, nodata, options.float32 ?? false)
  const size = cells.BYTES_PER_ELEMENT
  const rowsPerStrip = Math.max(1, Math.min(height, Math.floor(STRIP_BYTES / (width * size))))
  const strips: Uint8Array[] = []
  let packed = true
  for (let row = 0; row < height; row += rowsPerStrip) {
    const rows = Math.min(rowsPerStrip, height - row)
    const plain = new Uint8Array(cells.buffer, cells.byteOffset + row * width * size, rows * width * size)
    const strip: Uint8Array = packed ? await deflate(plain) : plain
    if (row === 0) packed = !options.onlyIfSmaller || strip.length < WORTH_PACKING * plain.length
    strips.push(packed ? strip : plain)
  }

  const keys = geoKeys(options.crs ?? grid.geometry.crs, options)
  const entries: Entry[] = [
    long(256, [width]),
    long(257, [height]),
    short(258, [size * 8]),
    short(259, [packed ? 8 : 1]),
    short(262, [1]),
    ...(options.description === undefined ? [] : [ascii(270, options.description)]),
    long(
      273,
      strips.map(() => 0),
    ),
    short(277, [1]),
    long(278, [rowsPerStrip]),
    long(
      279,
      strips.map(strip => strip.length),
    ),
    short(284, [1]),
    short(339, [floating ? 3 : 1]),
    ...(options.copyright === undefined ? [] : [ascii(33432, options.copyright)]),
    double(33550, [cell_m, options.rowHeight ?? cell_m, 0]),
    double(33922, [0, 0, 0, west_m, north_m, 0]),
    short(34735, keys.directory),
    ...(keys.doubles.length > 0 ? [double(34736, keys.doubles)] : []),
    ...(keys.text.length > 0 ? [ascii(34737, keys.text)] : []),
    ...(options.unit === undefined
      ? []
      : [
          ascii(
            42112,
            `<GDALMetadata>\n  <Item name="UNITTYPE" sample="0" role="unittype">${options.unit.replace(/[<>&"]/g, '')}</Item>\n</GDALMetadata>\n`,
          ),
        ]),
    ...(nodata === null ? [] : [ascii(42113, Number.isNaN(nodata) ? 'nan' : String(nodata))]),
  ]
  return assemble(entries, strips)
}

type Cells = Float32Array<ArrayBuffer> | Float64Array<ArrayBuffer> | Uint16Array<ArrayBuffer> | Uint8Array<ArrayBuffer>

function cellsToWrite(data: WritableGrid['data'], nodata: number | null, float32: boolean): Cells {
  const cells: Cells =
    data instanceof Float64Array && !float32
      ? Float64Array.from(data)
      : data instanceof Float32Array || data instanceof Float64Array
        ? Float32Array.from(data)
        : data instanceof Uint16Array
          ? Uint16Array.from(data)
          : Uint8Array.from(data)
  if (nodata !== null && !Number.isNaN(nodata)) for (let i = 0; i < cells.length; i++) if (Number.isNaN(cells[i]!)) cells[i] = nodata
  return cells
}

async function deflate(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> {
  const stream = new Blob([bytes]).stream().pipeThrough(new CompressionStream('deflate'))
  return new Uint8Array(await new Response(stream).arrayBuffer())
}

interface Entry {
  readonly tag: number
  readonly type: 2 | 3 | 4 | 12
  readonly values: readonly number[]
}
const short = (tag: number, values: readonly number[]): Entry => ({ tag, type: 3, values })
const long = (tag: number, values: readonly number[]): Entry => ({ tag, type: 4, values })
const double = (tag: number, values: readonly number[]): Entry => ({ tag, type: 12, values })
const ascii = (tag: number, text: string): Entry => ({ tag, type: 2, values: [...new TextEncoder().encode(text), 0] })
const BYTES = { 2: 1, 3: 2, 4: 4, 12: 8 } as const

/** Header, directory, values, strips; the offsets of the strips are known once the values are laid out. */
function assemble(entries: readonly Entry[], strips: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const even = (n: number): number => n + (n % 2)
  let next = 8 + 2 + 12 * entries.length + 4
  const places = entries.map(entry => {
    const length = BYTES[entry.type] * entry.values.length
    if (length <= 4) return 0
    const place = next
    next = even(next + length)
    return place
  })
  const stripOffsets = strips.map(strip => {
    const place = next
    next = even(next + strip.length)
    return place
  })
  if (next > 0xffffffff)
    throw new InputError('grid/too-large', `The raster needs ${next} bytes, more than a GeoTIFF of the classic kind can hold.`, {
      bytes: next,
    })

  const out = new Uint8Array(next)
  const view = new DataView(out.buffer)
  view.setUint16(0, 0x4949, true)
  view.setUint16(2, 42, true)
  view.setUint32(4, 8, true)
  view.setUint16(8, entries.length, true)
  for (const [k, entry] of entries.entries()) {
    const at = 10 + 12 * k
    const values = entry.tag === 273 ? stripOffsets : entry.values
    view.setUint16(at, entry.tag, true)
    view.setUint16(at + 2, entry.type, true)
    view.setUint32(at + 4, values.length, true)
    let where = places[k]!
    if (where === 0) where = at + 8
    else view.setUint32(at + 8, where, true)
    for (const value of values) {
      if (entry.type === 2) view.setUint8(where, value)
      else if (entry.type === 3) view.setUint16(where, value, true)
      else if (entry.type === 4) view.setUint32(where, value, true)
      else view.setFloat64(where, value, true)
      where += BYTES[entry.type]
    }
  }
  for (const [k, strip] of strips.entries()) out.set(strip, stripOffsets[k]!)
  return out
}

interface GeoKeys {
  readonly directory: number[]
  readonly doubles: number[]
  readonly text: string
}

/** Codes of length units in the EPSG dataset. */
const UNIT_CODE: Readonly<Record<LengthUnit, number>> = { m: 9001, ft: 9002, ftUS: 9003 }

/** The keys of a system: by its EPSG number, or, where it is metric, by its parameters with the PROJ definition as citation. */
function geoKeys(crs: string, { geographic, ownUnit, verticalUnit, verticalDatum }: GeoTiffOptions): GeoKeys {
  const keys: [key: number, value: number | string | readonly number[]][] = []
  const code = /^EPSG:(\d+)$/i.exec(crs)?.[1]
  if (verticalDatum !== undefined) keys.push([4096, USER_DEFINED], [4097, verticalDatum.replace(/[^\x20-\x7e]|\|/g, ' ')])
  if (verticalUnit !== undefined) keys.push([4099, UNIT_CODE[verticalUnit]])
  if (code !== undefined && geographic) keys.push([1024, 2], [1025, 1], [2048, Number(code)])
  else if (code !== undefined) keys.push([1024, 1], [1025, 1], [3072, Number(code)], ...(ownUnit ? [] : [[3076, 9001] as [number, number]]))
  else if (crs === 'local') keys.push([1024, USER_DEFINED], [1025, 1], [1026, 'local metres, no place on Earth'])
  else keys.push([1024, 1], [1025, 1], [1026, crs], ...parameterKeys(crs))
  keys.sort(([a], [b]) => a - b)

  const directory = [1, 1, 0, keys.length]
  const doubles: number[] = []
  let text = ''
  for (const [key, value] of keys) {
    if (typeof value === 'string') {
      directory.push(key, 34737, value.length + 1, text.length)
      text += `${value}|`
    } else if (typeof value === 'number' && Number.isInteger(value) && value >= 0 && value < 65536 && isShortKey(key))
      directory.push(key, 0, 1, value)
    else {
      const list = typeof value === 'number' ? [value] : value
      directory.push(key, 34736, list.length, doubles.length)
      doubles.push(...list)
    }
  }
  return { directory, doubles, text }
}

/** Keys whose value is a code; the others are doubles even where they happen to be whole. */
const isShortKey = (key: number): boolean => [1024, 1025, 2048, 2050, 2052, 2054, 2056, 3072, 3074, 3075, 3076, 4096, 4099].includes(key)

/** Numbers of coordinate transformations in the GeoTIFF specification, by PROJ's name. */
const TRANSFORMATION: Readonly<Record<string, number>> = { tmerc: 1, lcc: 8, laea: 10, aea: 11, sterea: 16 }

function parameterKeys(proj: string): [number, number | readonly number[]][] {
  const word = (key: string): string | undefined => new RegExp(`\\+${key}=(\\S+)`).exec(proj)?.[1]
  const number = (key: string): number | undefined => (word(key) === undefined ? undefined : Number(word(key)))
  const method = word('proj') ?? ''
  const zone = number('zone')
  const keys: [number, number | readonly number[] | undefined][] = [
    [2048, USER_DEFINED],
    [2050, USER_DEFINED],
    [2054, 9102],
    ...ellipsoidKeys(word('ellps') ?? word('datum'), number('a'), number('b'), number('rf')),
    [2062, word('towgs84')?.split(',').map(Number)],
    [3072, USER_DEFINED],
    [3076, 9001],
  ]
  if (method === 'utm' && zone !== undefined) keys.push([3074, (/\+south/.test(proj) ? 16100 : 16000) + zone])
  else if (TRANSFORMATION[method] !== undefined) {
    const tangent = method === 'lcc' && number('lat_2') === undefined
    keys.push([3074, USER_DEFINED], [3075, tangent ? 9 : TRANSFORMATION[method]])
    const [longitude, latitude] = [number('lon_0') ?? 0, number('lat_0') ?? 0]
    const [east, north] = [number('x_0') ?? 0, number('y_0') ?? 0]
    if (method === 'lcc' && !tangent) {
      keys.push([3078, number('lat_1')], [3079, number('lat_2')], [3084, longitude], [3085, latitude], [3086, east], [3087, north])
    } else if (method === 'laea') keys.push([3082, east], [3083, north], [3088, longitude], [3089, latitude])
    else {
      keys.push([3080, longitude], [3081, latitude], [3082, east], [3083, north])
      if (method === 'aea') keys.push([3078, number('lat_1')], [3079, number('lat_2')])
      else keys.push([3092, number('k_0') ?? number('k') ?? 1])
    }
  }
  return keys.filter((pair): pair is [number, number | readonly number[]] => pair[1] !== undefined)
}

function ellipsoidKeys(
  name: string | undefined,
  a: number | undefined,
  b: number | undefined,
  rf: number | undefined,
): [number, number | undefined][] {
  const code: Readonly<Record<string, number>> = {
    airy: 7001,
    bessel: 7004,
    clrk66: 7008,
    GRS80: 7019,
    NAD83: 7019,
    intl: 7022,
    krass: 7024,
    WGS84: 7030,
  }
  if (name !== undefined && code[name] !== undefined) return [[2056, code[name]]]
  return [
    [2056, USER_DEFINED],
    [2057, a],
    [2058, b],
    [2059, rf],
  ]
}
