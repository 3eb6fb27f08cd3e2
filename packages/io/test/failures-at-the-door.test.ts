import { COLOUR_CODES, openProjection, readElevation, readGeoJson, readVectorFile, withKind, writeGeoJson } from '@soakline/io'
import { expect, test } from 'vitest'
import { buildPng } from './png-builder.js'
import { refusal } from './refusal.js'
import { buildShp } from './shapefile-builder.js'
import { buildDem, type DemOptions, ground, UTM17 } from './tiff-builder.js'
import { buildZip } from './zip-builder.js'

// Failures that other programs' users have told of, each by its number, where no other test stands for it already: `tests/failures.test.ts` has the list.

const cells = ground(12, 10)
const dem = (options: Partial<DemOptions> = {}): ArrayBuffer => buildDem({ width: 12, height: 10, cells, ...options })
const text = (value: string): ArrayBuffer => new TextEncoder().encode(value).buffer
const codes = (report: { warnings: readonly { code: string }[] }): string[] => report.warnings.map(warning => warning.code)
const DEGREES: NonNullable<DemOptions['keys']> = [
  [1024, 2],
  [1025, 1],
  [2048, 4326],
]
const WGS84 =
  'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]'
const UTM32 = `PROJCS["WGS 84 / UTM zone 32N",${WGS84},PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",9],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]`
const GRID = (west: number, south: number, side: number): string =>
  `ncols 6\nnrows 4\nxllcorner ${west}\nyllcorner ${south}\ncellsize ${side}\n${Array.from({ length: 24 }, (_, k) => 400.031 + 0.137 * k + 0.053 * ((k * 5) % 7)).join(' ')}\n`

test('failure 2: whatever the format, degrees pass one gate: metres come out of it, and it is said', async () => {
  const grid = GRID(10, 45, 1e-4)
  const tile = new Int16Array(1201 * 1201).map((_, k) => {
    const height = 300 + (k % 1201) - Math.floor(k / 1201)
    return ((height & 255) << 8) | ((height >> 8) & 255)
  })
  for (const [file, options] of [
    [dem({ keys: DEGREES, scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] }), {}],
    [text(grid), { crs: 'EPSG:4326' }],
    [
      buildZip([
        { name: 'a.asc', content: grid },
        { name: 'a.prj', content: WGS84 },
      ]),
      {},
    ],
    [tile.buffer as ArrayBuffer, { fileName: 'N45E010.hgt' }],
  ] as const) {
    const { grid: out, projection, report } = await readElevation(file, { elevationUnit: 'm', ...options })
    expect(projection.kind).toBe('projected')
    expect(out.geometry.cell_m).toBeGreaterThan(5)
    expect(codes(report)).toContain('grid/reprojected')
  }
})

test('failure 4: heights are drawn anew between the four cells round about, never from the nearest: a plane stays a plane', async () => {
  const [width, height] = [60, 50]
  const plane = Float32Array.from({ length: width * height }, (_, k) => 500 + 0.3 * (k % width) + 0.2 * Math.floor(k / width))
  const { grid, report } = await readElevation(
    buildDem({ width, height, cells: plane, keys: [...DEGREES, [4099, 9001]], scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] }),
  )
  // Along a row the height grows by 0.3 m in 7.88 m; the nearest cell would give steps of 0 and 0.3 m instead.
  const g = grid.geometry
  const steps: number[] = []
  for (let row = 10; row < g.height - 10; row++)
    for (let column = 10; column < g.width - 10; column++)
      steps.push(grid.data[row * g.width + column + 1]! - grid.data[row * g.width + column]!)
  expect(Math.max(...steps) - Math.min(...steps)).toBeLessThan(0.01)
  expect(report.warnings.find(({ code }) => code === 'grid/reprojected')?.details).toMatchObject({ from: 'EPSG:4326', to: 'EPSG:32632' })
})

test('failure 5, of systems that are written out: heights in the feet that the vertical part names, in any of its forms', async () => {
  const FOOT = 'UNIT["US survey foot",0.3048006096012192]'
  const VERTICAL = `VERT_CS["NAVD88 height (ftUS)",VERT_DATUM["North American Vertical Datum 1988",2005],${FOOT},AXIS["Up",UP]]`
  const compound = `COMPD_CS["both",${UTM32},${VERTICAL}]`
  const behind = `${UTM32},VERTCS["NAVD_1988",VDATUM["North_American_Vertical_Datum_1988"],PARAMETER["Vertical_Shift",0.0],PARAMETER["Direction",1.0],${FOOT}]`
  const wkt2 = `COMPOUNDCRS["both",PROJCRS["WGS 84 / UTM zone 32N",BASEGEOGCRS["WGS 84",DATUM["World Geodetic System 1984",ELLIPSOID["WGS 84",6378137,298.257223563,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]],ID["EPSG",4326]],CONVERSION["UTM zone 32N",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",0,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Longitude of natural origin",9,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Scale factor at natural origin",0.9996,SCALEUNIT["unity",1]],PARAMETER["False easting",500000,LENGTHUNIT["metre",1]],PARAMETER["False northing",0,LENGTHUNIT["metre",1]]],CS[Cartesian,2],AXIS["(E)",east],AXIS["(N)",north],LENGTHUNIT["metre",1]],VERTCRS["NAVD88 height (ftUS)",VDATUM["NAVD88"],CS[vertical,1],AXIS["h",up],LENGTHUNIT["US survey foot",0.304800609601219]]]`
  const content = GRID(500000, 4000000, 2)
  const plain = await readElevation(
    buildZip([
      { name: 'a.asc', content },
      { name: 'a.prj', content: UTM32 },
    ]),
  )
  expect(plain.report).toMatchObject({ elevationUnitFrom: 'assumed', verticalReference: null })
  for (const prj of [compound, behind, wkt2]) {
    const { grid, report, projection } = await readElevation(
      buildZip([
        { name: 'a.asc', content },
        { name: 'a.prj', content: prj },
      ]),
    )
    expect(report).toMatchObject({ elevationUnit: 'ftUS', elevationUnitFrom: 'file' })
    expect(report.verticalReference).toMatch(/^NAVD/)
    expect(grid.data[0]).toBeCloseTo((plain.grid.data[0]! * 1200) / 3937, 3)
    expect(projection.toLonLat(500000, 4000000)).toEqual([9, expect.closeTo(36.14, 1)])
    // What the user gives as the system counts in the same way.
    expect((await readElevation(text(content), { crs: prj })).report.elevationUnit).toBe('ftUS')
  }
  const other = compound.replace(FOOT, 'UNIT["fathom",1.8288]')
  expect((await refusal(() => readElevation(text(content), { crs: other }))).code).toBe('elevation-unit/unknown')
  expect((await openProjection(UTM32)).name).toContain('UTM zone 32N')
})

test('failure 9: what heights are counted from is told, and so is that nobody said it', async () => {
  const unsaid = await readElevation(dem())
  expect(unsaid.report.verticalReference).toBeNull()
  expect(codes(unsaid.report)).toContain('vertical-datum/not-stated')
  const stated = await readElevation(dem({ keys: [...UTM17, [4096, 5703]] }))
  expect(stated.report.verticalReference).toContain('NAVD88')
  expect(codes(stated.report)).not.toContain('vertical-datum/not-stated')
  expect(codes((await readElevation(dem({ keys: [...UTM17, [4096, 5030]] }))).report)).toContain('vertical-datum/ellipsoidal')
})

test('failure 36: a big file with 64-bit places reads as the classic one; places beyond the file are refused', async () => {
  const classic = await readElevation(dem())
  for (const options of [{ big: true }, { big: true, bigEndian: true }]) {
    const { report } = await readElevation(dem(options))
    expect(report.sha256).toBe(classic.report.sha256)
  }
  for (const place of [2 ** 32 + 8, 2 ** 40, 2 ** 52])
    expect((await refusal(() => readElevation(dem({ big: true, tags: [{ tag: 273, type: 'long8', values: [place] }] })))).code).toBe(
      'grid/truncated',
    )
})

test('failure 45: of several images the first full-size one is read, wherever a smaller copy stands', async () => {
  const full = new Uint8Array(dem())
  const small = new Uint8Array(
    buildDem({ width: 6, height: 5, cells: ground(6, 5).map(() => 9999), tags: [{ tag: 254, type: 'long', values: [1] }] }),
  )
  for (const [first, second, at] of [
    [full, small, full.length],
    [small, full, small.length],
  ] as const) {
    const both = new Uint8Array(first.length + second.length)
    both.set(first)
    both.set(second, first.length)
    const view = new DataView(both.buffer)
    const shift = (base: number): number => {
      const count = view.getUint16(base + 8, true)
      for (let k = 0; k < count; k++) {
        const entry = base + 10 + 12 * k
        const [tag, type, values] = [view.getUint16(entry, true), view.getUint16(entry + 2, true), view.getUint32(entry + 4, true)]
        const size = values * ({ 2: 1, 3: 2, 4: 4, 12: 8 } as Record<number, number>)[type]!
        if (base > 0 && (size > 4 || tag === 273)) view.setUint32(entry + 8, view.getUint32(entry + 8, true) + base, true)
      }
      return base + 10 + 12 * count
    }
    view.setUint32(shift(0), at + 8, true)
    shift(at)
    const { report } = await readElevation(both.buffer)
    expect(report.fileCells).toEqual([12, 10])
    expect(report.maximum_m).toBeLessThan(200)
  }
})

test('failure 46: colours become heights before anything is drawn anew: across a step of the middle byte no height leaps', async () => {
  // Heights from 255.9 to 256.1 m on either side of where the middle byte turns over: a mean of colours would leap by 128 m.
  const side = 32
  const data = new Uint8Array(side * side * 3)
  for (let k = 0; k < side * side; k++) {
    const height = 240 + (k % side) + 0.25 * Math.floor(k / side)
    const code = Math.round((height + 32768) * 256)
    data.set([code >> 16, (code >> 8) & 255, code & 255], 3 * k)
  }
  const { grid, report } = await readElevation(buildPng({ width: side, height: side, data }), {
    colours: COLOUR_CODES.terrarium,
    tile: { z: 14, x: 8600, y: 5800 },
  })
  expect(codes(report)).toContain('grid/reprojected')
  const g = grid.geometry
  for (let row = 0; row < g.height; row++)
    for (let column = 1; column < g.width; column++) {
      const step = grid.data[row * g.width + column]! - grid.data[row * g.width + column - 1]!
      if (!Number.isNaN(step)) expect(Math.abs(step)).toBeLessThan(1.5)
    }
  expect(report.minimum_m).toBeGreaterThanOrEqual(240)
  expect(report.maximum_m).toBeLessThanOrEqual(240 + side + side / 4)
})

test('failure 59: the size of a layer is looked at before it is read, its depth before anything is built', async () => {
  expect((await refusal(() => readGeoJson('{}', { maxCharacters: 1 }))).code).toBe('vector/too-large')
  const deep = (n: number): string => '['.repeat(n) + ']'.repeat(n)
  const point = '"geometry":{"type":"Point","coordinates":[10,45]}'
  for (const hostile of [
    `{"type":"Feature","properties":{"a":${deep(200_000)}},${point}}`,
    `{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":${deep(200_000)}}}`,
    `{"type":"FeatureCollection","features":[],"more":${'{"a":'.repeat(101)}1${'}'.repeat(101)}}`,
  ]) {
    expect((await refusal(() => readGeoJson(hostile))).code).toBe('vector/too-deep')
    expect((await refusal(() => withKind(hostile, 'well'))).code).toBe('vector/too-deep')
  }
  expect((await refusal(() => withKind('{not', 'well'))).code).toBe('vector/not-json')
  // Brackets in a text are no depth, nor is a quote that is escaped its end.
  const harmless = `{"type":"Feature","properties":{"note":"\\"${'['.repeat(500)}"},${point}}`
  expect(readGeoJson(harmless).features.length).toBe(1)
})

test('failure 60, of a .prj that cannot be read: the layer is refused, never taken for longitude and latitude', async () => {
  const zip = (prj: string): ArrayBuffer =>
    buildZip([
      { name: 'a.shp', content: buildShp([{ kind: 1, parts: [[[500_000, 4_000_000]]] }]) },
      { name: 'a.prj', content: prj },
    ])
  for (const prj of ['no definition at all', 'PROJCS["cut', UTM32.slice(0, 200)])
    expect((await refusal(() => readVectorFile(zip(prj)))).code).toBe('crs/unknown')
  expect((await readVectorFile(zip(UTM32))).geojson).toContain('"coordinates":[9,36.14')
})

test('failure 61: blanks after the commas of KML change nothing, and what is no place is refused, not dropped', async () => {
  const kml = (coordinates: string): ArrayBuffer =>
    text(`<kml><Placemark><name>a</name><LineString><coordinates>${coordinates}</coordinates></LineString></Placemark></kml>`)
  const geometry = async (coordinates: string): Promise<unknown> =>
    readGeoJson((await readVectorFile(kml(coordinates))).geojson).features.map(f => f.geometries)
  expect(await geometry('10, 45, 300\n 11,45 ,300 11 ,46')).toEqual(await geometry('10,45,300 11,45,300 11,46'))
  expect((await refusal(() => readVectorFile(kml('10,45 11,here')))).code).toBe('kml/bad-place')
})

test('heights that were rounded to feet and made metres afterwards are known for the steps that they are', async () => {
  for (const foot of [0.3048, 1200 / 3937]) {
    const stairs = ground(20, 20).map(z => Math.round((z + 0.37 * z) / foot) * foot)
    expect((await readElevation(buildDem({ width: 20, height: 20, cells: stairs }))).report.quantum_m).toBeCloseTo(foot, 5)
  }
  const contours = ground(20, 20).map(z => Math.round(((z - 100) * 40) / 5) * 5)
  expect((await readElevation(buildDem({ width: 20, height: 20, cells: contours }))).report.quantum_m).toBe(5)
  expect((await readElevation(buildDem({ width: 20, height: 20, cells: ground(20, 20) }))).report.quantum_m).toBeNull()
})

test('what is written as GeoJSON is never deeper than what is read', async () => {
  const utm = await openProjection('EPSG:32632')
  const written = writeGeoJson(
    [
      {
        shapes: [
          {
            type: 'polygon',
            rings: [
              [
                [500000, 5e6],
                [500010, 5e6],
                [500000, 5000010],
              ],
            ],
          },
        ],
        properties: {},
      },
    ],
    utm,
  )
  expect(readGeoJson(written).features.length).toBe(1)
})
