import { InputError, type LengthUnit, METRES_PER, type Warning } from 'soakline/foundation'
import { layerMembers } from './archive-contents.js'
import { openProjection } from './crs.js'
import { readDbaseTable, type TableRow } from './dbase-table.js'
import { readGeoPackage } from './geopackage.js'
import { boundsOfLoose } from './loose-bounds.js'
import { gpxParts, inParts, kmlParts, type LooseFeature, type LoosePart } from './marked-features.js'
import { otherFormat } from './other-formats.js'
import { looksLikePointTable, readPointTable } from './point-table.js'
import { looksLikeDxf, readDxf } from './read-dxf.js'
import { isFeatureKind } from './said-kind.js'
import { readShapes, type ShapeGeometry } from './shapefile.js'
import { looksLikeSqlite } from './sqlite.js'
import { parseXml } from './xml.js'
import { looksLikeZip, openZip, type ZipMember } from './zip.js'

/** What a file of features leaves open, and what the ground it lies on is. */
export interface VectorFileOptions {
  /**
   * Coordinate system: `EPSG:n` or a definition. It stands instead of what the one layer of a file says; in a file of several it is that of the layers that
   * name none. Default: a refusal where one names none.
   */
  readonly crs?: string
  /** Unit of the lengths of a drawing that names none. Default: a refusal. */
  readonly unit?: LengthUnit
  /** Whether the ground has no place on Earth, so that coordinates are its own metres. Default false. */
  readonly local?: boolean
  /** Which file of an archive or table of a GeoPackage is read. Default: all. */
  readonly member?: string
  readonly signal?: AbortSignal
}

/** A layer of a file: what its features have in common is where they stand in it. */
export interface VectorLayer {
  /** The file in an archive, or the table; '' where the whole file is meant. */
  readonly source: string
  /** The folder within (KML), or `waypoints`, `routes`, `tracks` (GPX); '' for none. */
  readonly part: string
  /** As GeoJSON text, which all further reading starts from; '' where `problem` says why there is none. */
  readonly geojson: string
  readonly outline: LayerOutline
  readonly warnings: readonly Warning[]
  /** Why this layer cannot be read, while others can. */
  readonly problem: InputError | null
}

/** What a layer holds, to tell it by. */
export interface LayerOutline {
  readonly features: number
  readonly points: number
  readonly lines: number
  readonly areas: number
  /** Features that say themselves of which kind they are. */
  readonly ofKind: number
}

/** All layers of a file. */
export interface VectorLayers {
  readonly format: string
  readonly layers: readonly VectorLayer[]
  /** What concerns the file as a whole. */
  readonly warnings: readonly Warning[]
}

/** Most text that is taken. Judgement. */
const MAX_TEXT_BYTES = 100e6
/** More files and folders than anybody tells apart. Judgement. */
const MAX_LAYERS = 200

/**
 * The layers of a file of any format that is read: GeoJSON, KML and KMZ by their folders, GPX by its kinds, DXF by its layers, zipped shapefiles, GeoPackages by their tables,
 * tables of points, and archives of all of these.
 *
 * Units    longitude and latitude in WGS 84; for ground without a place on Earth its own metres.
 * Laws     Nothing is left out without being counted in a warning. Text stays text: names and descriptions are never read as markup.
 *          Of several layers one that cannot be read carries its refusal; the others are read.
 * Throws   InputError `vector/unknown-format`, `vector/other-format`, `vector/system-unknown` and `vector/unit-unknown` (questions), `vector/parts-missing`, `vector/too-large`,
 *          `vector/not-text`, `archive/…`, `dxf/…`, `geopackage/…`, `shapefile/…`, `point-table/…`, `kml/…`, `gpx/…`, `xml/…`, `crs/…`.
 */
export async function readVectorLayers(bytes: ArrayBuffer, options: VectorFileOptions = {}): Promise<VectorLayers> {
  const source = new Uint8Array(bytes)
  if (looksLikeZip(source)) return fromArchive(source, options)
  if (looksLikeSqlite(source)) return fromGeoPackage(source, options)
  return fromBytes(source, '', options)
}

const fromBytes = (source: Uint8Array, name: string, options: VectorFileOptions, several = false): Promise<VectorLayers> =>
  looksLikeDxf(source) ? fromDrawing(source, name, options, several) : fromText(textOf(source), name, options, several)

async function fromText(text: string, source: string, options: VectorFileOptions, several = false): Promise<VectorLayers> {
  const start = text.replace(/^\uFEFF/, '').trimStart()
  if (start.startsWith('{'))
    return {
      format: 'GeoJSON',
      layers: [{ source, part: '', geojson: text, outline: outlineOfText(text), warnings: [], problem: null }],
      warnings: [],
    }
  if (start.startsWith('<')) {
    const root = parseXml(text)
    if (root.name !== 'kml' && root.name !== 'gpx') throw unknown(`it begins with <${root.name.slice(0, 40)}>`)
    refuseWithoutPlace(options)
    const { parts, warnings } = root.name === 'kml' ? kmlParts(root) : { parts: gpxParts(root), warnings: [] }
    return { format: root.name.toUpperCase(), layers: layersOf(parts, source), warnings }
  }
  if (!looksLikePointTable(start.slice(0, 4096))) throw unknown('it is neither GeoJSON, KML, GPX, DXF nor a table of points')
  const { features, unit } = readPointTable(text)
  const placed = await placer(
    features,
    unit === 'degrees' ? ['EPSG:4326'] : [],
    options,
    unit === null || unit === 'degrees' ? null : METRES_PER[unit],
    several,
  )
  return {
    format: 'table of points',
    layers: layersOf([{ part: '', features: features.map(feature => moved(feature, placed)) }], source),
    warnings: [],
  }
}

/** Layers of parts; a file with nothing in it is one empty layer, so that whoever reads it is told. */
const layersOf = (parts: readonly LoosePart[], source: string, warnings: readonly Warning[] = []): VectorLayer[] =>
  (parts.length === 0 ? [{ part: '', features: [] }] : parts).map(({ part, features }) => ({
    source,
    part,
    geojson: collection(features),
    outline: outlineOf(features),
    warnings,
    problem: null,
  }))

/** A drawing says at best its unit; where it lies is asked, but for our own. Its layers are parts. Throws InputError `vector/unit-unknown` (a question). */
async function fromDrawing(bytes: Uint8Array, source: string, options: VectorFileOptions, several: boolean): Promise<VectorLayers> {
  if (bytes.length > MAX_TEXT_BYTES) throw tooLarge(bytes.length)
  const { features, unit_m, crs, warnings } = readDxf(bytes, options.unit === undefined ? null : METRES_PER[options.unit])
  if (unit_m === null)
    throw new InputError(
      'vector/unit-unknown',
      'The drawing does not say in which unit it is drawn ($INSUNITS), so nobody knows how long its lines are. Give --features-unit m, ft or ftUS (for the line --line-unit), or set the unit in the drawing.',
      {},
    )
  const placed = await placer(features, crs === null ? [] : [crs], options, unit_m, several)
  const parts = inParts(
    features.map(feature => moved(feature, placed)),
    ({ properties }) => String(properties.get('layer') ?? ''),
  )
  return { format: 'DXF', layers: layersOf(parts, source), warnings }
}

async function fromGeoPackage(bytes: Uint8Array, options: VectorFileOptions): Promise<VectorLayers> {
  const { member, signal } = options
  const { layers, warnings } = await readGeoPackage(bytes, {
    ...(member === undefined ? {} : { wanted: member }),
    ...(signal ? { signal } : {}),
  })
  const several = layers.length > 1
  return {
    format: 'GeoPackage',
    warnings,
    layers: (
      await Promise.all(
        layers.map(({ name, systems, features, warnings: own }) =>
          orProblem(name, several, async () => {
            const placed = await placer(features, systems, options, null, several)
            return layersOf(
              [
                {
                  part: '',
                  features: features.map(({ properties, geometry }) => moved({ properties: named(properties), geometry }, placed)),
                },
              ],
              name,
              own,
            )
          }),
        ),
      )
    ).flat(),
  }
}

async function fromArchive(bytes: Uint8Array, options: VectorFileOptions): Promise<VectorLayers> {
  const members = openZip(bytes)
  const wanted = membersMeant(members, options.member)
  const several = wanted.length > 1
  const formats = new Set<string>()
  const warnings: Warning[] = []
  const layers: VectorLayer[] = []
  for (const member of wanted) {
    const read = await orProblem(member.name, several, async () => {
      const inside = await fromMember(members, member, options, several)
      formats.add(inside.format)
      warnings.push(...inside.warnings)
      return inside.layers
    })
    layers.push(...read)
  }
  if (layers.length > MAX_LAYERS)
    throw new InputError(
      'vector/too-large',
      `The archive holds ${layers.length} layers, more than ${MAX_LAYERS}. Pack the ones that are meant.`,
      { layers: layers.length },
    )
  return {
    format: formats.size === 1 && formats.has('shapefile') ? 'shapefile' : `${[...formats].join(', ') || 'layers'} in an archive`,
    layers,
    warnings: together(warnings),
  }
}

async function fromMember(
  members: readonly ZipMember[],
  member: ZipMember,
  options: VectorFileOptions,
  several: boolean,
): Promise<VectorLayers> {
  if (/\.shp$/i.test(member.name))
    return { format: 'shapefile', layers: await fromShapefile(members, member, options, several), warnings: [] }
  if (member.bytes > MAX_TEXT_BYTES) throw tooLarge(member.bytes)
  const content = await member.read(options.signal)
  if (looksLikeSqlite(content)) {
    const { member: _, ...others } = options
    const { layers, ...read } = await fromGeoPackage(content, others)
    return { ...read, layers: layers.map(layer => ({ ...layer, source: `${member.name}/${layer.source}` })) }
  }
  return fromBytes(content, member.name, options, several)
}

/** Layers, or, of several, one that carries its refusal in their place. */
async function orProblem(source: string, several: boolean, read: () => Promise<readonly VectorLayer[]>): Promise<readonly VectorLayer[]> {
  try {
    return await read()
  } catch (error) {
    if (!several || !(error instanceof InputError)) throw error
    return [{ source, part: '', geojson: '', outline: NOTHING, warnings: [], problem: error }]
  }
}

/** Warnings of one code as one, their first number added up. */
function together(warnings: readonly Warning[]): Warning[] {
  const byCode = new Map<string, Warning>()
  for (const warning of warnings) {
    const before = byCode.get(warning.code)
    const [key] = Object.keys(warning.details)
    const [a, b] = [before?.details[key ?? ''], warning.details[key ?? '']]
    byCode.set(
      warning.code,
      key !== undefined && typeof a === 'number' && typeof b === 'number'
        ? { ...warning, details: { ...before!.details, [key]: a + b } }
        : warning,
    )
  }
  return [...byCode.values()]
}

/** The files that are meant. A KMZ has one root file, which its standard calls `doc.kml`; others beside it are parts of it. */
function membersMeant(members: readonly ZipMember[], wanted: string | undefined): readonly ZipMember[] {
  const layers = layerMembers(members)
  const names = layers.map(({ name }) => name)
  if (wanted !== undefined) {
    const chosen = layers.filter(({ name }) => name === wanted)
    if (chosen.length === 1) return chosen
    throw new InputError(
      'archive/no-such-file',
      `The archive holds no one layer "${wanted.slice(-60)}". It holds ${names.slice(0, 5).join(', ').slice(0, 200)}.`,
      {
        members: names.slice(0, 40),
      },
    )
  }
  if (layers.length === 0)
    throw new InputError(
      'vector/parts-missing',
      'The archive holds no layer that is read here. A shapefile is its .shp, .dbf and .prj files packed together; else pack a GeoJSON or a KML.',
      { files: members.length },
    )
  const root = layers.filter(({ name }) => name === 'doc.kml')
  return root.length === 1 && layers.every(({ name }) => /\.kml$/i.test(name)) ? root : layers
}

async function fromShapefile(
  members: readonly ZipMember[],
  shp: ZipMember,
  options: VectorFileOptions,
  several: boolean,
): Promise<readonly VectorLayer[]> {
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
  const unreadable = new Set(broken)
  // An empty shape stays as a feature without one, so that it is counted with those of other formats.
  const features = shapes.flatMap((shape, k): LooseFeature[] =>
    unreadable.has(k + 1) || rows[k] === null ? [] : [{ properties: named(rows[k] ?? new Map()), geometry: shape }],
  )
  const placed = await placer(features, prj === null ? [] : [plain(prj).trim()], options, null, several)
  return layersOf([{ part: '', features: features.map(feature => moved(feature, placed)) }], shp.name, warnings)
}

type Place = readonly [number, number]

/**
 * From coordinates of the file to those of GeoJSON. What is refused for want of a system says where the features lie in their own numbers, so that
 * systems can be looked for.
 *
 * @param own definitions of the file, the best first
 * @param unit_m unit that the file names for lengths beside its system; null for none
 * @param several whether other layers of the file may name other systems, so that what the user says holds only where nothing is named
 */
async function placer(
  features: readonly LooseFeature[],
  own: readonly string[],
  options: VectorFileOptions,
  unit_m: number | null,
  several = false,
): Promise<(at: Place) => Place> {
  const asked = options.crs === undefined ? [] : [options.crs]
  // What the user says stands before the one layer's own word, and after it where several layers may each have their own.
  const definitions = several ? [...own, ...asked] : asked.length > 0 ? asked : own
  const lying = (): Readonly<Record<string, unknown>> => {
    const bounds = boundsOfLoose(features)
    return bounds === null ? {} : { bounds, ...(unit_m === null ? {} : { unit_m }) }
  }
  if (definitions.length === 0) {
    if (options.local) return ([x, y]) => [x * (unit_m ?? 1), y * (unit_m ?? 1)]
    throw new InputError(
      'vector/system-unknown',
      'The file does not say in which coordinate system its places lie, so nobody knows where they are. Bring its .prj file with it, export it in longitude and latitude, or give the system with --features-crs EPSG:n (for the line --line-crs).',
      lying(),
    )
  }
  const projection = await firstThatOpens(definitions).catch(error => {
    if (!(error instanceof InputError) || error.code !== 'crs/unknown') throw error
    throw new InputError(error.code, error.message, { ...error.details, ...lying() })
  })
  if (projection.kind === 'local') {
    if (options.local) return ([x, y]) => [x * (unit_m ?? 1), y * (unit_m ?? 1)]
    throw new InputError(
      'vector/system-unknown',
      'Plain metres have no place on this ground. Give the coordinate system with --features-crs EPSG:n.',
      lying(),
    )
  }
  if (options.local && projection.kind === 'geographic') refuseWithoutPlace(options)
  // What is in WGS 84 already stays the same to the bit.
  if (projection.crs === 'EPSG:4326') return at => at
  const along = projection.kind === 'geographic' ? 1 : (unit_m ?? projection.horizontalUnit_m)
  if (options.local) return ([x, y]) => [x * along, y * along]
  return ([x, y]) => projection.toLonLat(x * along, y * along)
}

/** A code outside the table may stand beside a definition that can be read. */
async function firstThatOpens(definitions: readonly string[]): ReturnType<typeof openProjection> {
  const [first, ...others] = definitions
  try {
    return await openProjection(first!)
  } catch (error) {
    if (others.length === 0) throw error
    return firstThatOpens(others)
  }
}

function refuseWithoutPlace({ local }: VectorFileOptions): void {
  if (!local) return
  throw new InputError(
    'crs/no-place',
    'This raster has no place on Earth (its coordinate system is "local"), so longitude and latitude mean nothing on it. Give features in its own metres, or read the raster again with --crs EPSG:n.',
  )
}

type Geometry = LooseFeature['geometry']

function moved({ properties, geometry }: LooseFeature, place: (at: Place) => Place): LooseFeature {
  const each = (value: unknown): unknown =>
    Array.isArray(value) && typeof value[0] === 'number'
      ? [...place(value as unknown as Place), ...(value as number[]).slice(2)]
      : (value as unknown[]).map(each)
  const shifted = (shape: Geometry): Geometry =>
    shape === null
      ? null
      : shape.geometries
        ? { type: shape.type, geometries: shape.geometries.map(part => shifted(part as Geometry)) }
        : { type: shape.type, coordinates: each((shape as ShapeGeometry).coordinates) }
  return { properties, geometry: shifted(geometry) }
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

// — outlines

const NOTHING: LayerOutline = { features: 0, points: 0, lines: 0, areas: 0, ofKind: 0 }

const outlineOf = (features: readonly LooseFeature[]): LayerOutline =>
  counted(features.map(({ properties, geometry }) => ({ kind: properties.get('kind'), type: geometry?.type, parts: geometry?.geometries })))

/** The outline of GeoJSON that nobody has checked yet: what is not as it should be is counted as nothing, and refused when it is read. */
export function outlineOfText(geojson: string): LayerOutline {
  let root: unknown
  try {
    root = JSON.parse(geojson.replace(/^\uFEFF/, ''))
  } catch {
    return NOTHING
  }
  const member = (value: unknown, key: string): unknown =>
    typeof value === 'object' && value !== null && Object.hasOwn(value, key) ? (value as Record<string, unknown>)[key] : undefined
  const list = member(root, 'features')
  const features = Array.isArray(list) ? list : [root]
  return counted(
    features.map(feature => {
      const geometry = member(feature, 'type') === 'Feature' ? member(feature, 'geometry') : feature
      return { kind: member(member(feature, 'properties'), 'kind'), type: member(geometry, 'type'), parts: member(geometry, 'geometries') }
    }),
  )
}

function counted(features: readonly { readonly kind: unknown; readonly type: unknown; readonly parts: unknown }[]): LayerOutline {
  const typed = (type: string) => features.filter(feature => firstType(feature) === type).length
  return {
    features: features.length,
    points: typed('Point'),
    lines: typed('LineString'),
    areas: typed('Polygon'),
    ofKind: features.filter(({ kind }) => isFeatureKind(kind)).length,
  }
}

/** What a feature is by its first shape. */
function firstType({ type, parts }: { readonly type: unknown; readonly parts: unknown }): string {
  const first = type === 'GeometryCollection' && Array.isArray(parts) ? (parts[0] as { type?: unknown } | undefined)?.type : type
  return typeof first === 'string' ? first.replace(/^Multi/, '') : ''
}

// — text

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
