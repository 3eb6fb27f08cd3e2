import { type Database, type SqlValue, sqlite } from '../src/sqlite.js'

/** A table of features: its columns beside the geometry, and its rows with the blob first. */
export interface PackedTable {
  readonly name: string
  readonly system?: number
  readonly columns?: Readonly<Record<string, string>>
  readonly rows: readonly (readonly [blob: SqlValue, ...values: SqlValue[]])[]
}

export const UTM32_WKT =
  'PROJCS["WGS 84 / UTM zone 32N",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",9],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]'

const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`

/** A GeoPackage made by SQL as the standard's table definitions have it; `more` runs last and may spoil it. Source: OGC 12-128r17, annex C; from memory. */
export async function buildGeoPackage(
  tables: readonly PackedTable[],
  more: (database: Database) => void = () => undefined,
): Promise<ArrayBuffer> {
  const { Database } = await sqlite()
  const database = new Database()
  try {
    database.run(`
      PRAGMA application_id = 1196444487;
      CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
        organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
      INSERT INTO gpkg_spatial_ref_sys VALUES
        ('Undefined cartesian', -1, 'NONE', -1, 'undefined', NULL), ('Undefined geographic', 0, 'NONE', 0, 'undefined', NULL),
        ('WGS 84', 4326, 'EPSG', 4326, 'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]', NULL),
        ('WGS 84 / UTM zone 32N', 32632, 'EPSG', 32632, '${UTM32_WKT}', NULL),
        ('The farm''s own', 100001, 'NONE', 1, '${UTM32_WKT.replace('WGS 84 / UTM zone 32N', 'own')}', NULL),
        ('Not in any table', 100002, 'EPSG', 999999, '${UTM32_WKT}', NULL);
      CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '',
        last_change DATETIME, min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER);
      CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
        srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL);`)
    for (const { name, system = 4326, columns = {}, rows } of tables) {
      const extra = Object.entries(columns).map(([column, type]) => `, "${column}" ${type}`)
      database.run(`CREATE TABLE ${quoted(name)} (fid INTEGER PRIMARY KEY AUTOINCREMENT, geom BLOB${extra.join('')})`)
      database.run("INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (?, 'features', ?, ?)", [
        name,
        name,
        system,
      ])
      database.run("INSERT INTO gpkg_geometry_columns VALUES (?, 'geom', 'GEOMETRY', ?, 0, 0)", [name, system])
      const places = ['geom', ...Object.keys(columns)].map(column => `"${column}"`)
      for (const row of rows)
        database.run(
          `INSERT INTO ${quoted(name)} (${places.slice(0, row.length).join(', ')}) VALUES (${row.map(() => '?').join(', ')})`,
          row,
        )
    }
    more(database)
    const bytes = database.export()
    return bytes.slice().buffer as ArrayBuffer
  } finally {
    database.close()
  }
}

/** Numbers of a blob: bytes as `u8`, counts as `u32`, coordinates as plain numbers. */
export type Part = { readonly u8: number } | { readonly u32: number } | number

/** Bytes little-endian, or big-endian throughout. */
export function packed(parts: readonly Part[], little = true): Uint8Array {
  const out = new DataView(
    new ArrayBuffer(parts.reduce<number>((sum, part) => sum + (typeof part === 'number' ? 8 : 'u8' in part ? 1 : 4), 0)),
  )
  let at = 0
  for (const part of parts) {
    if (typeof part === 'number') out.setFloat64(at, part, little)
    else if ('u8' in part) out.setUint8(at, part.u8)
    else out.setUint32(at, part.u32, little)
    at += typeof part === 'number' ? 8 : 'u8' in part ? 1 : 4
  }
  return new Uint8Array(out.buffer)
}

type At = readonly number[]
/** The head of a well-known binary geometry of a code. */
const wkb = (code: number, little: boolean): Part[] => [{ u8: little ? 1 : 0 }, { u32: code }]
const row = (line: readonly At[]): Part[] => [{ u32: line.length }, ...line.flat()]
export const point = (at: At, code = 1, little = true): Part[] => [...wkb(code, little), ...at]
export const line = (places: readonly At[], code = 2, little = true): Part[] => [...wkb(code, little), ...row(places)]
export const area = (rings: readonly (readonly At[])[], code = 3, little = true): Part[] => [
  ...wkb(code, little),
  { u32: rings.length },
  ...rings.flatMap(row),
]
export const many = (code: number, parts: readonly (readonly Part[])[], little = true): Part[] => [
  ...wkb(code, little),
  { u32: parts.length },
  ...parts.flat(),
]

/** A geometry in a GeoPackage's blob. `box` is the number of its flags that says which bounds follow, all zero here. */
export function blob(
  geometry: readonly Part[],
  {
    system = 4326,
    little = true,
    box = 0,
    empty = false,
    other = false,
  }: { system?: number; little?: boolean; box?: number; empty?: boolean; other?: boolean } = {},
): Uint8Array {
  const bounds = [0, 4, 6, 6, 8, 0, 0, 0][box]!
  const flags = (little ? 1 : 0) | (box << 1) | (empty ? 16 : 0) | (other ? 32 : 0)
  return packed(
    [{ u8: 0x47 }, { u8: 0x50 }, { u8: 0 }, { u8: flags }, { u32: system }, ...Array.from({ length: bounds }, () => 0), ...geometry],
    little,
  )
}
