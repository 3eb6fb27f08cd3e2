import { InputError, type Warning } from 'soakline/foundation'
import type { LooseFeature } from './marked-features.js'
import { openDatabase, type ReadDatabase, type SqlValue } from './sqlite.js'
import { readGeometryBlob } from './well-known-binary.js'

/** A table of features. */
export interface PackagedLayer {
  readonly name: string
  /** Definitions of its coordinate system, the best first; none where the file leaves it open. */
  readonly systems: readonly string[]
  /** In the file's own coordinates: the first number always to the east. */
  readonly features: readonly LooseFeature[]
  /** What was left out of it. */
  readonly warnings: readonly Warning[]
}

/** More than a layer of a holding has. Judgement. */
const MAX_FEATURES = 200_000
/** More tables than a holding has layers. Judgement. */
const MAX_TABLES = 400
/** Letters of all attributes together. Judgement. */
const MAX_LETTERS = 50e6
/** Of all shapes together: some five million points. Judgement. */
const MAX_SHAPE_BYTES = 80e6

/**
 * The layers of features of a GeoPackage.
 *
 * Laws     Nothing is left out without being counted; nothing that the file would have done is done: views are counted, not read.
 * Limits   200,000 features in all, and those of `openDatabase`.
 * Throws   InputError `geopackage/damaged`, `geopackage/truncated`, `geopackage/not-geopackage`, `geopackage/coverage`, `geopackage/no-features`, `vector/too-large`.
 * Source   OGC GeoPackage 1.3 (12-128r17), clauses 1.1.2 (systems), 1.1.3 (contents), 2.1 (features); 17-066r2 (gridded coverages). From memory.
 *
 * @param wanted the one table that is read; default all
 */
export async function readGeoPackage(
  bytes: Uint8Array,
  { wanted, signal }: { readonly wanted?: string; readonly signal?: AbortSignal } = {},
): Promise<{ readonly layers: readonly PackagedLayer[]; readonly warnings: readonly Warning[] }> {
  const database = await openDatabase(bytes)
  try {
    const contents = contentsOf(database)
    const listed = geometryColumns(database)
    const systems = systemsOf(database)
    const readable = listed.filter(({ table }) => database.tables.has(table))
    const made = listed.filter(({ table }) => !database.tables.has(table) && database.made.has(table))
    const others = contents.filter(({ kind }) => kind !== 'features')
    if (readable.length === 0) throw nothingToRead(contents, made.length)
    const chosen = wanted === undefined ? readable : readable.filter(({ table }) => table === wanted)
    if (chosen.length === 0)
      throw new InputError(
        'archive/no-such-file',
        `The GeoPackage holds no layer "${wanted!.slice(-60)}". It holds ${readable
          .map(({ table }) => table)
          .slice(0, 5)
          .join(', ')
          .slice(0, 200)}.`,
        { members: readable.slice(0, 40).map(({ table }) => table) },
      )
    const budget = { features: MAX_FEATURES, letters: MAX_LETTERS, bytes: MAX_SHAPE_BYTES }
    const layers = chosen.map(({ table, column, system }): PackagedLayer => {
      signal?.throwIfAborted()
      return { name: table, systems: systems.get(system) ?? [], ...featuresOf(database, table, column, system, budget, signal) }
    })
    const warnings: Warning[] = []
    if (database.mayLackChanges) warnings.push({ code: 'geopackage/may-lack-changes', details: {} })
    if (made.length > 0)
      warnings.push({ code: 'geopackage/views-left-out', details: { layers: made.length, first: made[0]!.table.slice(0, 60) } })
    if (others.length > 0)
      warnings.push({ code: 'geopackage/tables-left-out', details: { tables: others.length, first: others[0]!.table.slice(0, 60) } })
    return { layers, warnings }
  } finally {
    database.close()
  }
}

function nothingToRead(contents: readonly { readonly table: string; readonly kind: string }[], views: number): InputError {
  if (contents.some(({ kind }) => kind === '2d-gridded-coverage'))
    return new InputError(
      'geopackage/coverage',
      'This GeoPackage holds heights as a gridded coverage, which is not read here. Export it as GeoTIFF and bring that.',
      {},
    )
  return new InputError(
    'geopackage/no-features',
    `This GeoPackage holds no layer of features that can be read (${contents.length} other tables, ${views} views). Export the layer as a table of features, or as GeoJSON.`,
    { tables: contents.length, views },
  )
}

/** Columns of a table that the standard asks for. Throws InputError `geopackage/not-geopackage`. */
function* standardRows(database: ReadDatabase, table: string, columns: readonly string[]): Generator<SqlValue[]> {
  const there = database.tables.has(table) ? database.columns(table) : []
  if (!columns.every(column => there.includes(column)))
    throw new InputError(
      'geopackage/not-geopackage',
      `This is an SQLite database but no GeoPackage: its table ${table} is missing or not as the standard has it. Export the layer again as GeoPackage or GeoJSON.`,
      { table },
    )
  yield* database.rows(table, columns, MAX_TABLES * 10)
}

const contentsOf = (database: ReadDatabase): { table: string; kind: string }[] =>
  [...standardRows(database, 'gpkg_contents', ['table_name', 'data_type'])].flatMap(([table, kind]) =>
    typeof table === 'string' && typeof kind === 'string' ? [{ table, kind: kind.toLowerCase() }] : [],
  )

/** Tables with a column of geometry; a GeoPackage without features need not have the list. */
function geometryColumns(database: ReadDatabase): { table: string; column: string; system: number }[] {
  if (!database.tables.has('gpkg_geometry_columns')) return []
  const listed = [...standardRows(database, 'gpkg_geometry_columns', ['table_name', 'column_name', 'srs_id'])].flatMap(
    ([table, column, system]) =>
      typeof table === 'string' && typeof column === 'string' && typeof system === 'number' ? [{ table, column, system }] : [],
  )
  if (listed.length > MAX_TABLES)
    throw new InputError(
      'vector/too-large',
      `The GeoPackage has ${listed.length} layers, more than ${MAX_TABLES}. Export the ones that are meant.`,
      { layers: listed.length },
    )
  return listed
}

/** Definitions of each system by its number in the file: an EPSG code first, then the text of the definition. */
function systemsOf(database: ReadDatabase): ReadonlyMap<number, readonly string[]> {
  const systems = new Map<number, string[]>()
  for (const [id, authority, code, definition] of standardRows(database, 'gpkg_spatial_ref_sys', [
    'srs_id',
    'organization',
    'organization_coordsys_id',
    'definition',
  ])) {
    // 0 and −1 are the standard's numbers of "not known".
    if (typeof id !== 'number' || id === 0 || id === -1) continue
    const named = typeof authority === 'string' && /^epsg$/i.test(authority.trim()) && typeof code === 'number' ? [`EPSG:${code}`] : []
    const written =
      typeof definition === 'string' && /^[A-Z_0-9]+\s*[[(]/i.test(definition.trim()) && definition.length < 65_536
        ? [definition.trim()]
        : []
    systems.set(id, [...named, ...written])
  }
  return systems
}

function featuresOf(
  database: ReadDatabase,
  table: string,
  column: string,
  system: number,
  budget: { features: number; letters: number; bytes: number },
  signal: AbortSignal | undefined,
): { features: LooseFeature[]; warnings: Warning[] } {
  const stored = database.columns(table)
  if (!stored.includes(column))
    return { features: [], warnings: [{ code: 'geopackage/views-left-out', details: { layers: 1, first: table.slice(0, 60) } }] }
  const others = stored.filter(name => name !== column)
  const features: LooseFeature[] = []
  let [rows, broken, first, kinds, elsewhere] = [0, 0, 0, 0, 0]
  for (const [blob, ...values] of database.rows(table, [column, ...others], budget.features)) {
    rows++
    if (rows % 1024 === 0) signal?.throwIfAborted()
    const properties = new Map<string, string | number | boolean | null>()
    values.forEach((value, k) => {
      if (value === null || value === undefined || value instanceof Uint8Array) return
      if (typeof value === 'string') budget.letters -= value.length
      properties.set(others[k]!, value)
    })
    if (budget.letters < 0)
      throw new InputError(
        'vector/too-large',
        `The attributes of the GeoPackage have more than ${MAX_LETTERS} letters. Keep what lies on the holding.`,
        {},
      )
    if (blob === null || blob === undefined) {
      features.push({ properties, geometry: null })
      continue
    }
    const { geometry, system: own } = blob instanceof Uint8Array ? readGeometryBlob(blob) : ({ geometry: 'broken', system } as const)
    if (blob instanceof Uint8Array) budget.bytes -= blob.length
    if (budget.bytes < 0)
      throw new InputError(
        'vector/too-large',
        `The shapes of the GeoPackage have more than ${MAX_SHAPE_BYTES} bytes. Keep what lies on the holding.`,
        {},
      )
    if (geometry === 'broken') {
      if (broken++ === 0) first = rows
    } else if (geometry === 'other-kind') kinds++
    else if (own !== system && own !== 0) elsewhere++
    else features.push({ properties, geometry: geometry === 'empty' ? null : geometry })
  }
  budget.features -= rows
  const warnings: Warning[] = []
  if (broken > 0) warnings.push({ code: 'geopackage/rows-left-out', details: { rows: broken, first, of: rows } })
  if (kinds > 0) warnings.push({ code: 'geopackage/curves-left-out', details: { features: kinds } })
  if (elsewhere > 0) warnings.push({ code: 'geopackage/other-system-left-out', details: { features: elsewhere } })
  return { features, warnings }
}
