import { InputError, type LengthUnit, METRES_PER, type Warning } from 'soakline/foundation'
import { layerMembers } from './archive-contents.js'
import { openProjection } from './crs.js'
import { readDbaseTable, type TableRow } from './dbase-table.js'
import { gpxFeatures, kmlFeatures, type LooseFeature } from './marked-features.js'
import { otherFormat } from './other-formats.js'
import { looksLikePointTable, readPointTable } from './point-table.js'
import { looksLikeDxf, readDxf } from './read-dxf.js'
import { readShapes, type ShapeGeometry } from './shapefile.js'
import { parseXml } from './xml.js'
import { looksLikeZip, openZip, type ZipMember } from './zip.js'

/** What a file of features leaves open, and what the ground it lies on is. */
export interface VectorFileOptions {
  /** Coordinate system of a file that names none: `EPSG:n` or a definition. Default: a refusal. */
  readonly crs?: string
  /** Unit of the lengths of a drawing that names none. Default: a refusal. */
  readonly unit?: LengthUnit
  /** Whether the ground has no place on Earth, so that coordinates are its own metres. Default false. */
  readonly local?: boolean
  /** Which layer of an archive is meant, by its path in it. Default: the only one, else a refusal. */
  readonly member?: string
  readonly signal?: AbortSignal
}

/** A layer as GeoJSON text, which all further reading starts from. */
export interface VectorFile {
  readonly format: string
  readonly geojson: string
  readonly warnings: readonly Warning[]
}

/** Most text that is taken. Judgement. */
const MAX_TEXT_BYTES = 100e6

/**
 * A layer of features of any format that is read, as GeoJSON text: GeoJSON itself unchanged, KML and KMZ, GPX, DXF, zipped shapefiles, tables of points.
 *
 * Units    longitude and latitude in WGS 84; for ground without a place on Earth its own metres.
 * Laws     Nothing is left out without being counted in a warning. Text stays text: names and descriptions are never read as markup.
 * Throws   InputError `vector/unknown-format`, `vector/other-format`, `vector/system-unknown` and `vector/unit-unknown` (questions), `vector/parts-missing`, `vector/too-large`,
 *          `vector/not-text`, `dxf/…`, `archive/…`, `shapefile/…`, `point-table/…`, `kml/…`, `gpx/…`, `xml/…`, `crs/…`.
 */
export async function readVectorFile(bytes: ArrayBuffer, options: VectorFileOptions = {}): Promise<VectorFile> {
  const source = new Uint8Array(bytes)
  return looksLikeZip(source) ? fromArchive(source, options) : fromBytes(source, options)
}

const fromBytes = (source: Uint8Array, options: VectorFileOptions): Promise<VectorFile> =>
  looksLikeDxf(source) ? fromDrawing(source, options) : fromText(textOf(source), options)

async function fromText(text: string, options: VectorFileOptions): Promise<VectorFile> {
  const start = text.replace(/^\uFEFF/, '').trimStart()
  if (start.startsWith('{')) return { format: 'GeoJSON', geojson: text, warnings: [] }
  if (start.startsWith('<')) {
    const root = parseXml(text)
    if (root.name !== 'kml' && root.name !== 'gpx') throw unknown(`it begins with <${root.name.slice(0, 40)}>`)
    refuseWithoutPlace(options)
    const { features, warnings } = root.name === 'kml' ? kmlFeatures(root) : { features: gpxFeatures(root), warnings: [] }
    return { format: root.name.toUpperCase(), geojson: collection(features), warnings }
  }
  if (!looksLikePointTable(start.slice(0, 4096))) throw unknown('it is neither GeoJSON, KML, GPX, DXF nor a table of points')
  const { features, unit } = readPointTable(text)
  const placed = await placer(
    unit === 'degrees' ? 'EPSG:4326' : null,
    options,
    unit === null || unit === 'degrees' ? null : METRES_PER[unit],
  )
  return { format: 'table of points', geojson: collection(features.map(feature => moved(feature, placed))), warnings: [] }
}

async function fromArchive(bytes: Uint8Array, options: VectorFileOptions): Promise<VectorFile> {
  const members = openZip(bytes)
  const layer = layerOf(members, options.member)
  if (/\.shp$/i.test(layer.name)) return fromShapefile(members, layer, options)
  if (layer.bytes > MAX_TEXT_BYTES) throw tooLarge(layer.bytes)
  const read = await fromBytes(await layer.read(options.signal), options)
  return { ...read, format: `${read.format} in an archive` }
}

/** The layer that is meant. A KMZ has one root file, which its standard calls `doc.kml`; others may stand beside it. */
function layerOf(members: readonly ZipMember[], wanted: string | undefined): ZipMember {
  const layers = layerMembers(members)
  const names = layers.map(({ name }) => name)
  if (wanted !== undefined) {
    const chosen = layers.filter(({ name }) => name === wanted)
    if (chosen.length === 1) return chosen[0]!
    throw new InputError(
      'archive/no-such-file',
      `The archive holds no one layer "${wanted.slice(-60)}". It holds ${names.slice(0, 5).join(', ').slice(0, 200)}.`,
      {
        members: names.slice(0, 40),
      },
    )
  }
  if (layers.length === 1) return layers[0]!
  const root = layers.filter(({ name }) => name === 'doc.kml')
  if (root.length === 1 && layers.every(({ name }) => /\.kml$/i.test(name))) return root[0]!
  if (layers.length === 0)
    throw new InputError(
      'vector/parts-missing',
      'The archive holds no layer that is read here. A shapefile is its .shp, .dbf and .prj files packed together; else pack a GeoJSON or a KML.',
      { files: members.length },
    )
  throw new InputError(
    'archive/several-files',
    `The archive holds ${layers.length} layers (${names.slice(0, 5).join(', ').slice(0, 200)}${names.length > 5 ? ' and more' : ''}). Pack or name the one that is meant.`,
    { members: names.slice(0, 40), files: layers.length },
  )
}

/** A drawing says at best its unit; where it lies is asked, but for our own. Throws InputError `vector/unit-unknown` (a question). */
async function fromDrawing(source: Uint8Array, options: VectorFileOptions): Promise<VectorFile> {
  if (source.length > MAX_TEXT_BYTES) throw tooLarge(source.length)
  const { features, unit_m, crs, warnings } = readDxf(source, options.unit === undefined ? null : METRES_PER[options.unit])
  if (unit_m === null)
    throw new InputError(
      'vector/unit-unknown',
      'The drawing does not say in which unit it is drawn ($INSUNITS), so nobody knows how long its lines are. Give --features-unit m, ft or ftUS (for the line --line-unit), or set the unit in the drawing.',
      {},
    )
  const placed = await placer(crs, options, unit_m)
  return { format: 'DXF', geojson: collection(features.map(feature => moved(feature, placed))), warnings }
}

async function fromShapefile(members: readonly ZipMember[], shp: ZipMember, options: VectorFileOptions): Promise<VectorFile> {
  const stem = shp.name.slice(0, -4).toLowerCase()
  const part = async (ending: string): Promise<Uint8Array | null> =>
    (await members.find(({ name }) => name.toLowerCase() === stem + ending)?.read(options.signal)) ?? null
  const { shapes, broken } = readShapes(await shp.read(options.signal))
  const [dbf, prj, cpg, shx] = [await part('.dbf'), await part('.prj'), await part('.cpg'), await part('.shx')]
  const plain = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes.subarray(0, 65_536))
  const warnings: Warning[] = []
  const rows: readonly TableRow[] = dbf === null ? [] : readDbaseTable(dbf, cpg === null ? null : plain(cpg))
  if (broken.length > 0)
    warnings.push({ code: 'vector/records-left-out', details: { records: broken.length, first: broken[0]!, of: shapes.length } })
  // The records say themselves where the next one begins; the index beside them is only a copy, and a wrong one loses shapes in programs that trust it.
  const indexed = shx === null ? shapes.length : Math.max(0, Math.floor((shx.length - 100) / 8))
  if (indexed !== shapes.length) warnings.push({ code: 'vector/index-disagrees', details: { index: indexed, records: shapes.length } })
  const bare = shapes.filter((shape, k) => shape !== null && rows[k] === undefined).length
  if (bare > 0) warnings.push({ code: 'vector/without-attributes', details: { features: bare } })
  const deleted = shapes.filter((shape, k) => shape !== null && rows[k] === null).length
  if (deleted > 0) warnings.push({ code: 'vector/deleted-left-out', details: { features: deleted } })
  const placed = await placer(prj === null ? null : plain(prj).trim(), options, null)
  const features = shapes.flatMap((shape, k): LooseFeature[] =>
    shape === null || rows[k] === null ? [] : [moved({ properties: named(rows[k] ?? new Map()), geometry: shape }, placed)],
  )
  return { format: 'shapefile', geojson: collection(features), warnings }
}

type Place = readonly [number, number]

/**
 * From coordinates of the file to those of GeoJSON.
 *
 * @param unit_m unit that the file names for lengths beside its system; null for none
 */
async function placer(own: string | null, options: VectorFileOptions, unit_m: number | null): Promise<(at: Place) => Place> {
  const definition = options.crs ?? own
  if (definition === null) {
    if (options.local) return ([x, y]) => [x * (unit_m ?? 1), y * (unit_m ?? 1)]
    throw new InputError(
      'vector/system-unknown',
      'The file does not say in which coordinate system its places lie, so nobody knows where they are. Bring its .prj file with it, export it in longitude and latitude, or give the system with --features-crs EPSG:n (for the line --line-crs).',
      {},
    )
  }
  const projection = await openProjection(definition)
  if (projection.kind === 'local') {
    if (options.local) return ([x, y]) => [x * (unit_m ?? 1), y * (unit_m ?? 1)]
    throw new InputError(
      'vector/system-unknown',
      'Plain metres have no place on this ground. Give the coordinate system with --features-crs EPSG:n.',
      {},
    )
  }
  if (options.local && projection.kind === 'geographic') refuseWithoutPlace(options)
  const along = projection.kind === 'geographic' ? 1 : (unit_m ?? projection.horizontalUnit_m)
  if (options.local) return ([x, y]) => [x * along, y * along]
  return ([x, y]) => projection.toLonLat(x * along, y * along)
}

function refuseWithoutPlace({ local }: VectorFileOptions): void {
  if (!local) return
  throw new InputError(
    'crs/no-place',
    'This raster has no place on Earth (its coordinate system is "local"), so longitude and latitude mean nothing on it. Give features in its own metres, or read the raster again with --crs EPSG:n.',
  )
}

function moved({ properties, geometry }: LooseFeature, place: (at: Place) => Place): LooseFeature {
  const each = (value: unknown): unknown =>
    Array.isArray(value) && typeof value[0] === 'number'
      ? [...place(value as unknown as Place), ...(value as number[]).slice(2)]
      : (value as unknown[]).map(each)
  return {
    properties,
    geometry: geometry === null ? null : { type: geometry.type, coordinates: each((geometry as ShapeGeometry).coordinates) },
  }
}

/** Properties with a name under `name`, where the table has it in another writing. */
function named(row: ReadonlyMap<string, string | number | boolean | null>): ReadonlyMap<string, string | number | boolean | null> {
  const key = row.has('name') ? undefined : [...row.keys()].find(candidate => /^(name|nombre)$/i.test(candidate))
  return key === undefined ? row : new Map([...row, ['name', row.get(key)!]])
}

const collection = (features: readonly LooseFeature[]): string =>
  JSON.stringify({
    type: 'FeatureCollection',
    // `fromEntries` makes own keys of all, `__proto__` included; the reader of GeoJSON drops those.
    features: features.map(({ properties, geometry }) => ({ type: 'Feature', properties: Object.fromEntries(properties), geometry })),
  })

function textOf(bytes: Uint8Array): string {
  if (bytes.length > MAX_TEXT_BYTES) throw tooLarge(bytes.length)
  const format =
    otherFormat(bytes) ?? (bytes[2] === 0x27 && bytes[3] === 0x0a && bytes[0] === 0 && bytes[1] === 0 ? 'a part of a shapefile' : null)
  if (format !== null)
    throw new InputError(
      'vector/other-format',
      `This file is ${format}, which is not read here as features. Export the layer as GeoJSON, as KML, or as a shapefile whose parts are packed into one ZIP.`,
      { format },
    )
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw new InputError('vector/not-text', 'The file is no text in UTF-8. Export the layer again as GeoJSON or KML, in UTF-8.', {})
  }
}

const unknown = (what: string): InputError =>
  new InputError('vector/unknown-format', `This file is no layer of features that is read here: ${what}. Export the layer as GeoJSON.`, {
    what,
  })

const tooLarge = (bytes: number): InputError =>
  new InputError('vector/too-large', `The layer has ${bytes} bytes, more than ${MAX_TEXT_BYTES}. Keep what lies on the holding.`, { bytes })
