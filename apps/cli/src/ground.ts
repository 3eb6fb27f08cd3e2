import { totalmem } from 'node:os'
import { inflateSync } from 'node:zlib'
import { LANGUAGES, sayWarning, UNIT_SYSTEMS, type Voice } from '@soakline/drawing'
import {
  type AddressOptions,
  addressSource,
  COLOUR_CODES,
  type FileBounds,
  type GroundWindow,
  lonLatExtent,
  type Reading,
  type ReadOptions,
  readElevation,
  readElevationFrom,
  readLineFile,
} from '@soakline/io'
import { InputError, type Warning } from 'soakline/foundation'
import { STUDY_BYTES_PER_CELL } from 'soakline/hydrology'
import type { Point } from 'soakline/raster'
import { openFile, readText } from './files.js'
import { foundSystem, type SystemClues, systemClues } from './found-system.js'
import { LENGTH_UNITS, layerText } from './layer-file.js'
import { type Arguments, numberOption, type OptionTable, pairOption, UsageError, wordOption } from './usage.js'

/** How the command talks: language, units, and where its remarks go. */
export interface Talk {
  readonly voice: Voice
  readonly warn: (warning: Warning) => unknown
  /** How servers are asked. */
  readonly network: AddressOptions
}

/** The language and units asked for. Throws UsageError. */
export const voiceOf = (args: Arguments): Voice => ({
  language: wordOption(args, 'language', LANGUAGES) ?? 'en',
  units: wordOption(args, 'units', UNIT_SYSTEMS) ?? 'metric',
})

/** What was said about a raster; `clues` lead to its coordinate system where it names none. */
export type SaidOfGround = ReadOptions & { readonly clues?: SystemClues }

/** What the options answer about a raster. Throws UsageError. */
export function readOptions(args: Arguments): SaidOfGround {
  const crs = args.options.get('crs')
  const elevationUnit = wordOption(args, 'elevation-unit', ['m', 'ft', 'ftUS'])
  const band = numberOption(args, 'band', 1, 65535)
  const asked = args.options.get('nodata')
  const nodata =
    asked === undefined
      ? undefined
      : /^(none|nan)$/i.test(asked)
        ? Number.NaN
        : numberOption(args, 'nodata', -Number.MAX_VALUE, Number.MAX_VALUE)
  const member = args.options.get('member')
  const colours = coloursOption(args)
  const tile = tileOption(args)
  const clues = systemClues(args)
  const window = windowOption(args)
  const fillVoids_m2 = numberOption(args, 'fill-gaps', 0, 1e12)
  return {
    ...(clues === null ? {} : { clues }),
    ...(window === undefined ? {} : { window }),
    ...(member === undefined ? {} : { member }),
    ...(args.flags.has('join') ? { join: true } : {}),
    ...(colours === undefined ? {} : { colours }),
    ...(tile === undefined ? {} : { tile }),
    ...(fillVoids_m2 === undefined ? {} : { fillVoids_m2 }),
    ...(crs === undefined ? {} : { crs }),
    ...(elevationUnit === undefined ? {} : { elevationUnit }),
    ...(band === undefined ? {} : { band }),
    ...(nodata === undefined ? {} : { nodata }),
  }
}

/** The part of the raster that is read: a box in degrees, or in the raster's own coordinates. Throws UsageError. */
export function windowOption(args: Arguments): GroundWindow | undefined {
  const [degrees, own] = [args.options.get('window'), args.options.get('window-xy')]
  if (degrees !== undefined && own !== undefined) throw new UsageError('Give --window or --window-xy, not both.')
  const text = degrees ?? own
  if (text === undefined) return undefined
  const box = text.split(',').map(part => (part.trim() === '' ? Number.NaN : Number(part)))
  const [west, south, east, north] = box
  if (box.length !== 4 || !box.every(Number.isFinite))
    throw new UsageError(
      `--window needs four numbers, west, south, east and north, such as --window=-93.93,46.50,-93.91,46.52; it is "${text.slice(0, 60)}".`,
    )
  return { box: [west!, south!, east!, north!], in: degrees === undefined ? 'own' : 'lonlat' }
}

/** How heights are packed into colours: by its name, or by base and step in metres. Throws UsageError. */
function coloursOption(args: Arguments): ReadOptions['colours'] {
  const text = args.options.get('colours')
  if (text === undefined) return undefined
  if (text === 'terrarium' || text === 'terrain-rgb') return COLOUR_CODES[text]
  const [base_m, step_m, ...more] = text.split(',').map(part => (part.trim() === '' ? Number.NaN : Number(part)))
  if (base_m === undefined || step_m === undefined || more.length > 0 || !Number.isFinite(base_m + step_m))
    throw new UsageError(
      `--colours must be terrarium, terrain-rgb, or base and step in metres such as --colours=-10000,0.1; it is "${text}".`,
    )
  return { base_m, step_m }
}

/** The address of a map tile. Throws UsageError. */
function tileOption(args: Arguments): ReadOptions['tile'] {
  const text = args.options.get('tile')
  if (text === undefined) return undefined
  const parts = /^(\d{1,2})\/(\d{1,9})\/(\d{1,9})$/.exec(text)
  if (!parts) throw new UsageError(`--tile needs zoom, x and y such as --tile 14/4500/6400; it is "${text}".`)
  return { z: Number(parts[1]), x: Number(parts[2]), y: Number(parts[3]) }
}

/** Cells that this machine's memory lets a study have. */
const mostCells = (): number => Math.floor((0.6 * totalmem()) / (STUDY_BYTES_PER_CELL + 44))

/**
 * Reads the raster of a command, at an address or in a file, and tells its remarks. One that would take more than this machine's memory is refused before
 * any is taken. Throws, besides what reading throws, InputError `crs/none-fits`, `crs/several-fit`, `crs/known-points`.
 */
export async function openGround(path: string, options: SaidOfGround, talk: Talk): Promise<Reading> {
  const file = isAddress(path) ? null : await openFile(path)
  try {
    const source = file ?? (await addressSource(path, talk.network))
    return told(await byClues(options, said => readElevationFrom(source, { maxCells: mostCells(), inflate, ...said })), talk)
  } finally {
    await file?.close()
  }
}

/** The same from bytes at hand. */
export const groundFrom = async (bytes: ArrayBuffer, fileName: string, options: SaidOfGround, talk: Talk): Promise<Reading> =>
  told(await byClues(options, said => readElevation(bytes, { maxCells: mostCells(), fileName, inflate, ...said })), talk)

/** Reads by what was said, and where the system is asked for by the one that the clues lead to. */
async function byClues({ clues = {}, ...options }: SaidOfGround, read: (said: ReadOptions) => Promise<Reading>): Promise<Reading> {
  const readIn = (crs: string | null): Promise<Reading> => read({ ...options, ...(crs === null ? {} : { crs }) })
  return readIn(await foundSystem(clues, null)).catch(async error => {
    const bounds = error instanceof InputError && error.code === 'crs/unknown' ? error.details.bounds : undefined
    const crs = Array.isArray(bounds) ? await foundSystem(clues, bounds as unknown as FileBounds) : null
    if (crs === null) throw error
    return readIn(crs)
  })
}

function told(reading: Reading, { warn }: Talk): Reading {
  for (const warning of reading.report.warnings) warn(warning)
  return reading
}

/** A block of a raster at once: zlib stops where it would give more than it may. */
const inflate = (packed: Uint8Array, maxOutputLength: number): Uint8Array => inflateSync(packed, { maxOutputLength })

/** Whether a name of a raster is an address of the web. */
export const isAddress = (path: string): boolean => /^https?:\/\//i.test(path)

/** The operand that names the raster. Throws UsageError. */
export function rasterOperand(args: Arguments): string {
  const [path, ...more] = args.operands
  if (path === undefined) throw new UsageError('Name the elevation raster, or the table of survey points: … DEM …')
  if (more.length > 0) throw new UsageError(`One raster at a time; "${more[0]}" is one word too many.`)
  return path
}

/** The folder for the answer. Throws UsageError. */
export function outOption(args: Arguments): string {
  const out = args.options.get('out')
  if (!out) throw new UsageError('Say where the answer goes: --out DIR.')
  return out
}

/** A place as typed, before the raster is known. */
export type AskedPlace = { readonly lonLat: readonly [number, number] } | { readonly xy: readonly [number, number] }

/** The place named by `--at` or `--at-xy`; null when neither is given. Throws UsageError. */
export function placeOption(args: Arguments): AskedPlace | null {
  const lonLat = pairOption(args, 'at')
  const xy = pairOption(args, 'at-xy')
  if (lonLat && xy) throw new UsageError('Give --at or --at-xy, not both.')
  return lonLat ? { lonLat } : xy ? { xy } : null
}

/** A place in the working CRS. Throws InputError `crs/no-place`, `place/outside`. */
export function placeOn(asked: AskedPlace, { grid, projection }: Reading): Point {
  const g = grid.geometry
  const east = g.west_m + g.width * g.cell_m
  const south = g.north_m - g.height * g.cell_m
  const isInside = ([x, y]: Point): boolean => x >= g.west_m && x <= east && y <= g.north_m && y >= south
  if ('xy' in asked) {
    if (isInside(asked.xy)) return asked.xy
    throw new InputError(
      'place/outside',
      `The place lies outside the raster (x ${g.west_m} to ${east}, y ${south} to ${g.north_m}). Choose one inside it.`,
      { place: asked.xy },
    )
  }
  if (projection.kind === 'local')
    throw new InputError(
      'crs/no-place',
      'The raster has no place on Earth (local metres), so longitude and latitude mean nothing in it. Use --at-xy X,Y in its own metres.',
    )
  const [longitude, latitude] = asked.lonLat
  const place = projection.fromLonLat(longitude, latitude)
  if (isInside(place)) return place
  const [w, s, e, n] = lonLatExtent(g, projection)!
  const swapped = latitude >= w && latitude <= e && longitude >= s && longitude <= n
  throw new InputError(
    'place/outside',
    `The place lies outside the raster (longitude ${w.toFixed(6)} to ${e.toFixed(6)}, latitude ${s.toFixed(6)} to ${n.toFixed(6)}). ${swapped ? 'Longitude and latitude look swapped: longitude comes first.' : 'Choose one inside it.'}`,
    { place: asked.lonLat },
  )
}

/** Options of every command that takes a line: which file, and what it leaves open. */
export const LINE_OPTIONS: OptionTable = { line: 'FILE', 'line-name': 'NAME|N', 'line-crs': 'EPSG:n', 'line-unit': 'm|ft|ftUS' }

/** The line of a file, in the working CRS: the one that `--line-name` names, else the only one, else the one that says itself that it is the line. */
export async function lineFrom(path: string, args: Arguments, reading: Reading, talk: Talk): Promise<Point[]> {
  const { grid, projection } = reading
  const extent = lonLatExtent(grid.geometry, projection)
  const [name, crs, unit] = [args.options.get('line-name'), args.options.get('line-crs'), wordOption(args, 'line-unit', LENGTH_UNITS)]
  const text = /\.(gpx|kml)$/i.test(path)
    ? await readText(path)
    : await layerText(path, reading, talk, { ...(crs === undefined ? {} : { crs }), ...(unit === undefined ? {} : { unit }) })
  const { path: line, warnings } = readLineFile(text, projection, {
    ...(extent ? { extent } : {}),
    ...(name === undefined ? {} : { line: name }),
  })
  for (const warning of warnings) talk.warn(warning)
  return line
}

/** One line for standard error. */
export const warningLine = (warning: Warning, voice: Voice): string => `${warning.code}: ${sayWarning(warning, voice)}`
