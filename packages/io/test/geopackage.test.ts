import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { readVectorFile, readVectorLayers, type VectorFileOptions } from '../src/index.js'
import { area, blob, buildGeoPackage, line, many, type PackedTable, point } from './geopackage-builder.js'
import { refusal } from './refusal.js'
import { buildZip } from './zip-builder.js'

interface Shown {
  readonly properties: Record<string, unknown>
  readonly geometry: { readonly type: string; readonly coordinates?: unknown; readonly geometries?: unknown } | null
}
const read = async (file: ArrayBuffer, options: VectorFileOptions = {}) => {
  const { layers, ...rest } = await readVectorLayers(file, options)
  return {
    ...rest,
    layers: layers.map(layer => ({
      ...layer,
      shown: layer.geojson === '' ? [] : (JSON.parse(layer.geojson) as { features: Shown[] }).features,
    })),
  }
}
const RING = [
  [10, 45],
  [11, 45],
  [11, 46],
  [10, 45],
]
const HOLE = [
  [10.6, 45.2],
  [10.8, 45.2],
  [10.8, 45.4],
  [10.6, 45.2],
]

describe('shapes of the blob', () => {
  const shapes: readonly (readonly [string, Parameters<typeof blob>, unknown])[] = [
    ['a point', [point([10, 45])], { type: 'Point', coordinates: [10, 45] }],
    ['a point with height', [point([10, 45, 300], 1001), { box: 2 }], { type: 'Point', coordinates: [10, 45] }],
    ['a point with a measure', [point([10, 45, 3], 2001), { box: 3 }], { type: 'Point', coordinates: [10, 45] }],
    [
      'a point with both, most significant byte first',
      [point([10, 45, 3, 4], 3001, false), { little: false, box: 4 }],
      { type: 'Point', coordinates: [10, 45] },
    ],
    ['a line', [line(RING), { box: 1 }], { type: 'LineString', coordinates: RING }],
    ['an area with a hole', [area([RING, HOLE])], { type: 'Polygon', coordinates: [RING, HOLE] }],
    [
      'several points',
      [many(4, [point([10, 45]), point([11, 45])])],
      {
        type: 'MultiPoint',
        coordinates: [
          [10, 45],
          [11, 45],
        ],
      },
    ],
    ['several lines', [many(5, [line(RING)])], { type: 'MultiLineString', coordinates: [RING] }],
    ['several areas', [many(6, [area([RING]), area([HOLE])])], { type: 'MultiPolygon', coordinates: [[RING], [HOLE]] }],
    [
      'a collection, one of it empty',
      [many(7, [point([10, 45]), line([]), line(RING)])],
      {
        type: 'GeometryCollection',
        geometries: [
          { type: 'Point', coordinates: [10, 45] },
          { type: 'LineString', coordinates: RING },
        ],
      },
    ],
    ['a point of no numbers', [point([Number.NaN, Number.NaN])], null],
    ['an area of no rings', [area([])], null],
    ['what says that it is empty', [line(RING), { empty: true }], null],
  ]
  test('each kind, with heights and measures passed over, in either order of bytes; empty ones stay as features without a shape', async () => {
    const file = await buildGeoPackage([{ name: 'all', columns: { name: 'TEXT' }, rows: shapes.map(([name, of]) => [blob(...of), name]) }])
    const { layers, warnings, format } = await read(file)
    expect(format).toBe('GeoPackage')
    expect(warnings).toEqual([])
    expect(layers[0]!.warnings).toEqual([])
    expect(layers[0]!.outline).toEqual({ features: shapes.length, points: 6, lines: 2, areas: 2, ofKind: 0 })
    for (const [k, [name, , geometry]] of shapes.entries()) {
      expect(layers[0]!.shown[k]!.properties.name).toBe(name)
      expect(layers[0]!.shown[k]!.geometry, name).toEqual(geometry)
    }
  })

  const wrong: readonly (readonly [string, Uint8Array | string])[] = [
    ['no bytes', new Uint8Array(0)],
    ['a text', 'POINT(1 2)'],
    ['another beginning', blob(point([10, 45])).fill(0, 0, 2)],
    ['an unknown box', blob(point([10, 45]), { box: 6 })],
    ['its end within the box', blob(point([10, 45]), { box: 4 }).subarray(0, 40)],
    ['its end within the numbers', blob(line(RING)).subarray(0, 50)],
    ['a count beyond its end', blob([{ u8: 1 }, { u32: 2 }, { u32: 0xffffffff }])],
    ['rings beyond its end', blob([{ u8: 1 }, { u32: 3 }, { u32: 0x7fffffff }, { u32: 1 }])],
    ['parts beyond its end', blob([{ u8: 1 }, { u32: 7 }, { u32: 0x10000000 }])],
    ['no number of a kind', blob([{ u8: 1 }, { u32: 99 }])],
    ['a kind of another writing', blob([{ u8: 1 }, { u32: 0x20000001 }, { u32: 4326 }, 10, 45])],
    [
      'numbers without end',
      blob(
        line([
          [10, Number.POSITIVE_INFINITY],
          [11, 45],
        ]),
      ),
    ],
    ['another shape among its own', blob(many(4, [line(RING)]))],
    [
      'collections in collections',
      blob(Array.from({ length: 40 }).reduce<ReturnType<typeof point>>(inner => many(7, [inner]), point([10, 45]))),
    ],
  ]
  test.each(wrong)('%s: that row is left out and counted, the next is read', async (_, content) => {
    const { layers } = await read(await buildGeoPackage([{ name: 't', rows: [[content], [blob(point([10, 45]))]] }]))
    expect(layers[0]!.shown.length).toBe(1)
    expect(layers[0]!.warnings).toEqual([{ code: 'geopackage/rows-left-out', details: { rows: 1, first: 1, of: 2 } }])
  })

  test('curves, triangles and kinds of extensions are counted by themselves, also inside a collection; so is another system', async () => {
    const rows: PackedTable['rows'] = [
      ...[8, 9, 10, 1010, 3011, 12, 15, 16, 17].map(code => [blob([{ u8: 1 }, { u32: code }, { u32: 0 }])] as const),
      [blob(many(7, [point([10, 45]), [{ u8: 1 }, { u32: 8 }, { u32: 0 }]]))],
      [blob(point([10, 45]), { other: true })],
      [blob(point([500_000, 5e6]), { system: 32632 })],
      [null],
    ]
    const { layers } = await read(await buildGeoPackage([{ name: 't', rows }]))
    expect(layers[0]!.shown.map(({ geometry }) => geometry)).toEqual([null])
    expect(layers[0]!.warnings).toEqual([
      { code: 'geopackage/curves-left-out', details: { features: 11 } },
      { code: 'geopackage/other-system-left-out', details: { features: 1 } },
    ])
  })
})

describe('layers and systems', () => {
  const at = blob(point([500_000, 5e6]), { system: 32632 })
  const own = blob(point([500_000, 5e6]), { system: 100_001 })
  const tables: readonly PackedTable[] = [
    {
      name: 'houses',
      system: 32632,
      columns: { NAME: 'TEXT', floor_m: 'REAL', kind: 'TEXT', picture: 'BLOB' },
      rows: [[at, 'Byre "<b>"', 12.5, 'building', new Uint8Array(3)]],
    },
    { name: 'own "system"', system: 100_001, rows: [[own]] },
    { name: 'code unknown', system: 100_002, rows: [[blob(point([500_000, 5e6]), { system: 100_002 })]] },
  ]

  test('each table is a layer in its own system, by code or by definition; names, numbers and words come with it', async () => {
    const { layers, warnings } = await read(await buildGeoPackage(tables))
    expect(warnings).toEqual([])
    expect(layers.map(({ source }) => source)).toEqual(tables.map(({ name }) => name))
    for (const { shown } of layers) {
      const [longitude, latitude] = shown[0]!.geometry!.coordinates as [number, number]
      // EPSG:32632 at 500,000 east is its meridian, 9°; gdaltransform of GDAL 3.6.2 (PROJ 9.1.1) gives the latitude 45.153477183356.
      expect(longitude).toBeCloseTo(9, 9)
      expect(latitude).toBeCloseTo(45.153477183356, 10)
    }
    expect(layers[0]!.shown[0]!.properties).toEqual({ fid: 1, NAME: 'Byre "<b>"', name: 'Byre "<b>"', floor_m: 12.5, kind: 'building' })
    expect(layers[0]!.outline.ofKind).toBe(1)
  })

  test('one layer of several is named, or the question lists them', async () => {
    const file = await buildGeoPackage(tables)
    expect(await refusal(() => readVectorFile(file))).toMatchObject({
      code: 'archive/several-files',
      details: { members: tables.map(({ name }) => name) },
    })
    expect(JSON.parse((await readVectorFile(file, { member: 'houses' })).geojson).features).toHaveLength(1)
    expect((await refusal(() => readVectorFile(file, { member: 'barns' }))).code).toBe('archive/no-such-file')
  })

  test('a system that the file leaves open is asked for; of several layers only that one waits, and the answer does not touch the others', async () => {
    const bare: PackedTable = { name: 'bare', system: -1, rows: [[blob(point([500_000, 5e6]), { system: 0xffffffff })]] }
    const alone = await buildGeoPackage([bare])
    expect((await refusal(() => readVectorFile(alone))).code).toBe('vector/system-unknown')
    expect((await read(alone, { crs: 'EPSG:32632' })).layers[0]!.shown[0]!.geometry!.coordinates).toEqual([
      expect.closeTo(9, 6),
      expect.closeTo(45.15343, 4),
    ])
    const both = await buildGeoPackage([tables[0]!, bare])
    const asked = await read(both)
    expect(asked.layers.map(({ problem }) => problem?.code ?? null)).toEqual([null, 'vector/system-unknown'])
    const said = await read(both, { crs: 'EPSG:32633' })
    expect(said.layers.map(({ shown }) => Math.round((shown[0]!.geometry!.coordinates as number[])[0]!))).toEqual([9, 15])
  })

  test('in an archive beside others, and on ground without a place on Earth', async () => {
    const zip = buildZip([
      { name: 'farm/houses.gpkg', content: new Uint8Array(await buildGeoPackage(tables)) },
      {
        name: 'farm/way.kml',
        content: '<kml><Placemark><LineString><coordinates>10,45 11,45</coordinates></LineString></Placemark></kml>',
      },
    ])
    const { layers, format } = await read(zip)
    expect(format).toBe('GeoPackage, KML in an archive')
    expect(layers.map(({ source }) => source)).toEqual([
      'farm/houses.gpkg/houses',
      'farm/houses.gpkg/own "system"',
      'farm/houses.gpkg/code unknown',
      'farm/way.kml',
    ])
    expect((await read(await buildGeoPackage(tables.slice(0, 1)), { local: true })).layers[0]!.shown[0]!.geometry!.coordinates).toEqual([
      500_000, 5e6,
    ])
    expect(
      (await refusal(async () => readVectorFile(await buildGeoPackage([{ name: 't', rows: [[blob(point([10, 45]))]] }]), { local: true })))
        .code,
    ).toBe('crs/no-place')
  })

  test('tables that are no features are counted; a package of heights alone is refused with what to do', async () => {
    const coverage = (database: { run(sql: string): unknown }): void => {
      database.run("INSERT INTO gpkg_contents (table_name, data_type, srs_id) VALUES ('dem', '2d-gridded-coverage', 32632)")
    }
    expect((await read(await buildGeoPackage(tables.slice(0, 1), coverage))).warnings).toEqual([
      { code: 'geopackage/tables-left-out', details: { tables: 1, first: 'dem' } },
    ])
    expect((await refusal(async () => readVectorFile(await buildGeoPackage([], coverage)))).code).toBe('geopackage/coverage')
    expect((await refusal(async () => readVectorFile(await buildGeoPackage([])))).code).toBe('geopackage/no-features')
  })
})

describe('hostile and broken databases', () => {
  const one: readonly PackedTable[] = [{ name: 't', columns: { name: 'TEXT' }, rows: [[blob(point([10, 45])), 'a']] }]

  test('nothing that the file would have done is done: views and virtual tables are counted, columns worked out by the file are not read', async () => {
    const spin = 'WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)'
    const file = await buildGeoPackage(one, database => {
      database.run(`CREATE VIEW endless AS ${spin} SELECT i AS fid, zeroblob(i) AS geom FROM n`)
      database.run("INSERT INTO gpkg_geometry_columns VALUES ('endless', 'geom', 'POINT', 4326, 0, 0)")
      database.run('ALTER TABLE t ADD COLUMN huge TEXT GENERATED ALWAYS AS (hex(zeroblob(100000000))) VIRTUAL')
    })
    const { layers, warnings } = await read(file)
    expect(layers[0]!.shown[0]!.properties).toEqual({ fid: 1, name: 'a' })
    expect(warnings).toEqual([{ code: 'geopackage/views-left-out', details: { layers: 1, first: 'endless' } }])
    // A list that is itself a view is none.
    const listed = await buildGeoPackage(one, database => {
      database.run('ALTER TABLE gpkg_contents RENAME TO old')
      database.run(`CREATE VIEW gpkg_contents AS ${spin} SELECT i AS table_name, i AS data_type FROM n`)
    })
    expect((await refusal(() => readVectorFile(listed))).code).toBe('geopackage/not-geopackage')
    const made = await buildGeoPackage([], database => {
      database.run(`CREATE VIEW endless AS ${spin} SELECT i AS fid, zeroblob(i) AS geom FROM n`)
      database.run("INSERT INTO gpkg_geometry_columns VALUES ('endless', 'geom', 'POINT', 4326, 0, 0)")
    })
    expect((await refusal(() => readVectorFile(made))).code).toBe('geopackage/no-features')
  })

  test('a geometry column that is not there, keys of a prototype, names with quotes and signs', async () => {
    const file = await buildGeoPackage(
      [{ name: 'q"; DROP TABLE t; --', columns: { __proto__x: 'TEXT', constructor: 'TEXT' }, rows: [[blob(point([10, 45])), 'x', 'y']] }],
      database => database.run("INSERT INTO gpkg_geometry_columns VALUES ('gpkg_contents', 'nowhere', 'POINT', 4326, 0, 0)"),
    )
    const { layers } = await read(file)
    expect(layers.map(({ shown }) => shown.length)).toEqual([1, 0])
    expect(layers[1]!.warnings).toEqual([{ code: 'geopackage/views-left-out', details: { layers: 1, first: 'gpkg_contents' } }])
    expect(({} as Record<string, unknown>).x).toBeUndefined()
  })

  test('a copy of a file that was open elsewhere is read, and says that its last changes may be missing', async () => {
    const bytes = new Uint8Array(await buildGeoPackage(one))
    bytes.fill(2, 18, 20)
    const { layers, warnings } = await read(bytes.buffer)
    expect(layers[0]!.shown.length).toBe(1)
    expect(warnings).toEqual([{ code: 'geopackage/may-lack-changes', details: {} }])
    expect(bytes[18]).toBe(2)
  })

  test('cut, spoiled or other databases are refused by their code, whatever byte was changed', async () => {
    const whole = new Uint8Array(
      await buildGeoPackage([
        { name: 't', columns: { name: 'TEXT' }, rows: Array.from({ length: 60 }, (_, k) => [blob(point([10, 45])), 'x'.repeat(k * 40)]) },
      ]),
    )
    expect((await refusal(() => readVectorFile(whole.slice(0, whole.length - 4096).buffer))).code).toBe('geopackage/truncated')
    expect((await refusal(() => readVectorFile(whole.slice(0, 40).buffer))).code).toBe('geopackage/truncated')
    const other = await buildGeoPackage([], database => database.run('DROP TABLE gpkg_contents'))
    expect((await refusal(() => readVectorFile(other))).code).toBe('geopackage/not-geopackage')
    let seed = 7
    const random = (below: number): number => {
      seed = (seed * 1103515245 + 12345) % 2 ** 31
      return seed % below
    }
    const codes = new Map<string, number>()
    for (let k = 0; k < 400; k++) {
      const spoiled = whole.slice()
      for (let n = 0; n <= random(6); n++) {
        const page = random(spoiled.length / 4096) * 4096
        spoiled[page + random(random(3) === 0 ? 4096 : 100)] = random(256)
      }
      try {
        await readVectorLayers(spoiled.buffer)
        codes.set('read', (codes.get('read') ?? 0) + 1)
      } catch (error) {
        const { code } = error as { code?: string }
        expect(code, String(error)).toMatch(/^(geopackage|vector|crs)\/[a-z-]+$/)
        codes.set(code!, (codes.get(code!) ?? 0) + 1)
      }
    }
    expect(codes.get('geopackage/damaged')).toBeGreaterThan(20)
    expect(codes.get('read')).toBeGreaterThan(20)
    // After all of them the engine still reads.
    expect((await read(whole.slice().buffer)).layers[0]!.shown.length).toBe(60)
  })
})

const installed = ((): string | null => {
  try {
    return execFileSync('ogr2ogr', ['--version'], { encoding: 'utf8' }).trim()
  } catch {
    console.info('GDAL is not installed: GeoPackages are only read that the test makes itself.')
    return null
  }
})()

// GDAL 3.6.2 writes the package from GeoJSON, in three systems and with every kind of shape; its places must come back to a tenth of a millimetre.
test.runIf(installed !== null)('packages that GDAL writes come back as they were given to it', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'gpkg-'))
  try {
    const feature = (name: string, geometry: unknown) => ({ type: 'Feature', properties: { name, floor_m: 1.25 }, geometry })
    const given = [
      feature('area', { type: 'Polygon', coordinates: [RING, HOLE] }),
      feature('areas', { type: 'MultiPolygon', coordinates: [[RING], [HOLE]] }),
      feature('line, with height', { type: 'LineString', coordinates: RING.map(([x, y], k) => [x, y, k]) }),
      feature('lines', { type: 'MultiLineString', coordinates: [RING, HOLE] }),
      feature('points', { type: 'MultiPoint', coordinates: HOLE }),
      feature('Peña', { type: 'Point', coordinates: [10.5, 45.5] }),
      feature('nothing', null),
    ]
    writeFileSync(join(folder, 'in.geojson'), JSON.stringify({ type: 'FeatureCollection', features: given }))
    const file = join(folder, 'out.gpkg')
    const ogr = (...words: string[]): void => void execFileSync('ogr2ogr', ['-f', 'GPKG', ...words], { stdio: 'ignore' })
    ogr(file, join(folder, 'in.geojson'), '-nln', 'degrees')
    ogr('-update', file, join(folder, 'in.geojson'), '-nln', 'metres', '-t_srs', 'EPSG:32632')
    ogr(
      '-update',
      file,
      join(folder, 'in.geojson'),
      '-nln',
      'own',
      '-t_srs',
      '+proj=tmerc +lat_0=45 +lon_0=10 +k=1 +x_0=5000 +y_0=7000 +datum=WGS84 +units=us-ft',
    )
    const { layers, warnings } = await read(new Uint8Array(readFileSync(file)).buffer)
    expect(warnings).toEqual([])
    expect(layers.map(({ source }) => source)).toEqual(['degrees', 'metres', 'own'])
    for (const { shown, source } of layers) {
      expect(shown.length, source).toBe(given.length)
      for (const [k, { geometry, properties }] of shown.entries()) {
        expect(properties).toMatchObject({ name: given[k]!.properties.name, floor_m: 1.25 })
        const wanted = given[k]!.geometry as { type: string; coordinates: unknown } | null
        expect(geometry?.type, source).toBe(wanted?.type)
        const flat = (value: unknown): number[][] =>
          Array.isArray(value) ? (typeof value[0] === 'number' ? [value as number[]] : value.flatMap(flat)) : []
        const [got, want] = [flat(geometry?.coordinates), flat(wanted?.coordinates)]
        expect(got.length).toBe(want.length)
        for (const [n, [x, y]] of got.entries()) {
          expect(Math.abs(x! - want[n]![0]!), source).toBeLessThan(1e-9)
          expect(Math.abs(y! - want[n]![1]!), source).toBeLessThan(1e-9)
        }
      }
    }
    ogr(join(folder, 'curves.gpkg'), join(folder, 'in.geojson'), '-nln', 'curves', '-nlt', 'CONVERT_TO_CURVE')
    const curved = await read(new Uint8Array(readFileSync(join(folder, 'curves.gpkg'))).buffer)
    const left = curved.layers[0]!.warnings.find(({ code }) => code === 'geopackage/curves-left-out')?.details.features as number
    expect(curved.layers[0]!.shown.length + left).toBe(given.length)
    expect(left).toBeGreaterThan(0)
  } finally {
    rmSync(folder, { recursive: true })
  }
})
