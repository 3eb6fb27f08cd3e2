import {
  featureCollection,
  localProjection,
  lonLatExtent,
  openProjection,
  readFeatures,
  readGeoJson,
  readLine,
  writeGeoJson,
} from '@soakline/io'
import type { Point } from 'soakline/raster'
import { FEATURE_KINDS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const utm = await openProjection('EPSG:32617')
const at = (dx: number, dy: number): number[] => utm.toLonLat(520000 + dx, 3900000 + dy)
const feature = (geometry: unknown, properties: unknown = {}, more: object = {}): object => ({
  type: 'Feature',
  properties,
  geometry,
  ...more,
})
const collection = (...features: object[]): string => JSON.stringify({ type: 'FeatureCollection', features })
const lineString = (...points: number[][]): object => ({ type: 'LineString', coordinates: points })
const square = (x = 0, y = 0, side = 10): number[][] => [at(x, y), at(x + side, y), at(x + side, y + side), at(x, y + side), at(x, y)]
const codeOf = async (work: () => unknown): Promise<string> => (await refusal(work)).code

describe('the text', () => {
  test('failure 57: what is no GeoJSON is refused by what is wrong', async () => {
    for (const [text, code] of [
      ['', 'vector/not-json'],
      ['{"type":"FeatureCollection"', 'vector/not-json'],
      ['[]', 'vector/not-geojson'],
      ['null', 'vector/not-geojson'],
      ['{"type":"FeatureCollection","features":{}}', 'vector/not-geojson'],
      ['{"type":"FeatureCollection","features":[7]}', 'vector/not-geojson'],
      [collection({ type: 'Thing', geometry: null }), 'vector/not-geojson'],
      [collection(feature({ type: 'Circle', coordinates: [0, 0] })), 'vector/not-geojson'],
      [collection(feature({ type: 'Point', coordinates: ['-80', '35'] })), 'vector/not-geojson'],
      [collection(feature({ type: 'Point', coordinates: [-80] })), 'vector/not-geojson'],
      [collection(feature({ type: 'LineString', coordinates: [-80, 35] })), 'vector/not-geojson'],
      [collection(feature({ type: 'Point', coordinates: [-80, 35] }, 'text')), 'vector/not-geojson'],
      ['{"type":"Point","coordinates":[1e999,2]}', 'vector/not-geojson'],
    ] as const) {
      expect(await codeOf(() => readGeoJson(text)), text).toBe(code)
    }
    expect(await codeOf(() => readGeoJson(collection(), { maxCharacters: 5 }))).toBe('vector/too-large')
    expect(
      await codeOf(() =>
        readGeoJson(
          `{"type":"GeometryCollection","geometries":${'[{"type":"GeometryCollection","geometries":'.repeat(40)}[]${'}]'.repeat(40)}}`,
        ),
      ),
    ).toBe('vector/not-geojson')
  })

  test('failure 96: keys that reach an object’s prototype are dropped and change nothing', () => {
    const text = `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-80,35]},"properties":{"__proto__":{"kind":"pit"},"constructor":"x","prototype":1,"kind":"well"}}]}`
    const { features } = readGeoJson(text)
    expect([...features[0]!.properties.keys()]).toEqual(['kind'])
    expect(({} as { kind?: string }).kind).toBeUndefined()
  })

  test('failure 54: missing geometries and exact copies are left out and counted', () => {
    const point = feature({ type: 'Point', coordinates: [-80, 35] }, { kind: 'well' })
    const { features, warnings } = readGeoJson(collection(point, point, feature(null), feature({ type: 'Point', coordinates: [] }), point))
    expect(features.length).toBe(1)
    expect(warnings).toEqual([
      { code: 'vector/empty-geometries', details: { features: 2 } },
      { code: 'vector/copies-left-out', details: { features: 2 } },
    ])
  })

  test('a byte-order mark, a bare geometry and a single feature are taken', () => {
    const line = lineString([-80, 35], [-80.001, 35])
    for (const text of [`\uFEFF${collection(feature(line))}`, JSON.stringify(line), JSON.stringify(feature(line))])
      expect(readLine(text, utm).path.length).toBe(2)
  })

  test('failure 51: an old crs member is taken only where it is longitude and latitude', async () => {
    const withCrs = (name: string): string =>
      JSON.stringify({ type: 'FeatureCollection', crs: { type: 'name', properties: { name } }, features: [] })
    expect(await codeOf(() => readGeoJson(withCrs('urn:ogc:def:crs:EPSG::32617')))).toBe('vector/not-lonlat')
    expect(readGeoJson(withCrs('urn:ogc:def:crs:OGC:1.3:CRS84')).features).toEqual([])
    expect(readGeoJson(withCrs('EPSG:4326')).features).toEqual([])
  })
})

describe('the line', () => {
  test('failures 56, 58: comes in metres of the working system, its third coordinate ignored, repeats left out', () => {
    const { path, warnings } = readLine(collection(feature(lineString([...at(0, 0), 812], [...at(0, 0), 812], [...at(30, 40), 800]))), utm)
    expect(path.length).toBe(2)
    expect(path[0]![0]).toBeCloseTo(520000, 4)
    expect(Math.hypot(path[1]![0] - path[0]![0], path[1]![1] - path[0]![1])).toBeCloseTo(50, 4)
    expect(path[0]!.length).toBe(2)
    expect(warnings).toEqual([])
  })

  test('none, several, a multi-line, or one without length are refused', async () => {
    const a = feature(lineString(at(0, 0), at(9, 0)))
    const b = feature(lineString(at(0, 5), at(9, 5)))
    expect(await codeOf(() => readLine(collection(), utm))).toBe('line/none')
    expect(await codeOf(() => readLine(collection(feature({ type: 'Point', coordinates: at(0, 0) })), utm))).toBe('line/none')
    expect(await codeOf(() => readLine(collection(a, b), utm))).toBe('line/several')
    expect(await codeOf(() => readLine(collection(feature({ type: 'MultiLineString', coordinates: [[at(0, 0), at(9, 0)]] })), utm))).toBe(
      'line/several',
    )
    expect(await codeOf(() => readLine(collection(feature(lineString(at(0, 0), at(0, 0)))), utm))).toBe('line/too-short')
    expect(await codeOf(() => readLine(collection(feature({ type: 'LineString', coordinates: [] })), utm))).toBe('line/too-short')
    expect(readLine(collection(a, feature({ type: 'Point', coordinates: at(0, 0) })), utm).warnings).toEqual([
      { code: 'line/others-ignored', details: { features: 1 } },
    ])
  })

  test('failures 14, 52: projected metres, swapped axes and far places are refused, with what to do', async () => {
    const metres = await refusal(() => readLine(collection(feature(lineString([520000, 3900000], [520010, 3900000]))), utm))
    expect(metres.code).toBe('vector/not-lonlat')
    expect(metres.message).toContain('EPSG:4326')
    const extent = lonLatExtent({ width: 100, height: 100, cell_m: 1, west_m: 519950, north_m: 3900050, crs: 'EPSG:32617' }, utm)!
    const swap = (point: number[]): number[] => [point[1]!, point[0]!]
    const swapped = await refusal(() => readLine(collection(feature(lineString(swap(at(0, 0)), swap(at(9, 0))))), utm, { extent }))
    expect(swapped.code).toBe('vector/swapped')
    expect(swapped.message).toContain('swapped')
    // Beyond ±90 the swap shows in the range already; the message still says it.
    const east = await openProjection('EPSG:32750')
    const eastAt = (dx: number): number[] => east.toLonLat(500000 + dx, 6500000)
    const eastExtent = lonLatExtent({ width: 100, height: 100, cell_m: 1, west_m: 499950, north_m: 6500050, crs: 'EPSG:32750' }, east)!
    const beyond = await refusal(() =>
      readLine(collection(feature(lineString(swap(eastAt(0)), swap(eastAt(9))))), east, { extent: eastExtent }),
    )
    expect(beyond.code).toBe('vector/not-lonlat')
    expect(beyond.message).toContain('swapped')
    expect(await codeOf(() => readLine(collection(feature(lineString([100, 45], [100.001, 45]))), utm))).toBe('crs/outside-domain')
    expect(readLine(collection(feature(lineString(at(5000, 0), at(5009, 0)))), utm, { extent }).warnings[0]?.code).toBe(
      'vector/outside-raster',
    )
  })

  test('on a local raster the coordinates are its metres, and it is said', () => {
    const { path, warnings } = readLine(collection(feature(lineString([1000, 2000], [1030, 2040]))), localProjection())
    expect(path).toEqual([
      [1000, 2000],
      [1030, 2040],
    ])
    expect(warnings).toEqual([{ code: 'vector/local-metres', details: {} }])
  })
})

describe('features', () => {
  test('every kind is read; names stay text, ids are kept or made', () => {
    const { features } = readFeatures(
      collection(
        ...FEATURE_KINDS.map((kind, k) =>
          feature({ type: 'Point', coordinates: at(k, 0) }, { kind, name: k === 0 ? '=cmd()' : null }, k === 1 ? { id: 7 } : {}),
        ),
      ),
      utm,
    )
    expect(features.map(one => one.kind)).toEqual([...FEATURE_KINDS])
    expect(features[0]).toMatchObject({ id: 'f1', name: '=cmd()', floor_m: null })
    expect(features[1]!.id).toBe('7')
  })

  test('shapes: points, lines and polygons with holes, multi-geometries taken apart, rings without their repeat', () => {
    const polygon = [square(), square(2, 2, 3)]
    const { features } = readFeatures(
      collection(
        feature({ type: 'MultiPolygon', coordinates: [polygon, [square(50, 50)]] }, { kind: 'building' }),
        feature(
          { type: 'GeometryCollection', geometries: [{ type: 'Point', coordinates: at(1, 1) }, lineString(at(0, 0), at(5, 5))] },
          { kind: 'stream' },
        ),
      ),
      utm,
    )
    expect(features[0]!.shapes.map(shape => shape.type)).toEqual(['polygon', 'polygon'])
    const [first] = features[0]!.shapes
    expect(first?.type === 'polygon' && first.rings.map(ring => ring.length)).toEqual([4, 4])
    expect(features[1]!.shapes.map(shape => shape.type)).toEqual(['point', 'line'])
  })

  test('a kind that is not known is refused with its name and the kinds there are', async () => {
    for (const kind of ['House', '', 7, null, undefined]) {
      const refused = await refusal(() =>
        readFeatures(collection(feature({ type: 'Point', coordinates: at(0, 0) }, { kind, name: 'Cabin' })), utm),
      )
      expect(refused.code).toBe('features/unknown-kind')
      expect(refused.message).toContain('Cabin')
      expect(refused.message).toContain('building')
    }
  })

  test('floors: metres, or feet by 0.3048; text, two of them or nonsense are refused', async () => {
    const read = (properties: object): number | null =>
      readFeatures(collection(feature({ type: 'Point', coordinates: at(0, 0) }, { kind: 'building', ...properties })), utm).features[0]!
        .floor_m
    expect(read({ floor_m: 101.25 })).toBe(101.25)
    expect(read({ floor_ft: 1000 })).toBeCloseTo(304.8, 12)
    expect(read({ floor_m: null })).toBeNull()
    for (const properties of [{ floor_m: '101' }, { floor_m: 101, floor_ft: 331 }, { floor_m: 1e9 }, { floor_m: true }])
      expect(await codeOf(() => read(properties))).toBe('features/floor')
  })

  test('failure 55: polygons whose sides cross are refused with the place; neighbours that touch are not', async () => {
    const bow = [at(0, 0), at(10, 10), at(10, 0), at(0, 10), at(0, 0)]
    const refused = await refusal(() =>
      readFeatures(collection(feature({ type: 'Polygon', coordinates: [bow] }, { kind: 'forest', name: 'North wood' })), utm),
    )
    expect(refused.code).toBe('features/self-crossing')
    expect(refused.message).toContain('North wood')
    const [longitude, latitude] = at(5, 5)
    expect(refused.message).toContain(longitude!.toFixed(5).slice(0, -1))
    expect(refused.message).toContain(latitude!.toFixed(5).slice(0, -1))
    const holeAcross = [square(), square(5, 5, 10)]
    expect(
      await codeOf(() => readFeatures(collection(feature({ type: 'Polygon', coordinates: holeAcross }, { kind: 'forest' })), utm)),
    ).toBe('features/self-crossing')
    const round = Array.from({ length: 721 }, (_, k) => at(100 * Math.cos((k * Math.PI) / 360), 100 * Math.sin((k * Math.PI) / 360)))
    expect(readFeatures(collection(feature({ type: 'Polygon', coordinates: [round] }, { kind: 'forest' })), utm).features.length).toBe(1)
  })

  test('shapes without area or length are refused; open rings and double ids are mended and said', async () => {
    expect(
      await codeOf(() =>
        readFeatures(collection(feature({ type: 'Polygon', coordinates: [[at(0, 0), at(1, 1), at(0, 0)]] }, { kind: 'wet' })), utm),
      ),
    ).toBe('features/ring-too-short')
    expect(await codeOf(() => readFeatures(collection(feature({ type: 'Polygon', coordinates: [] }, { kind: 'wet' })), utm))).toBe(
      'features/ring-too-short',
    )
    expect(await codeOf(() => readFeatures(collection(feature(lineString(at(0, 0), at(0, 0)), { kind: 'track' })), utm))).toBe(
      'features/line-too-short',
    )
    const open = readFeatures(collection(feature({ type: 'Polygon', coordinates: [square().slice(0, 4)] }, { kind: 'wet' })), utm)
    expect(open.warnings).toContainEqual({ code: 'features/rings-closed', details: { rings: 1 } })
    const twins = readFeatures(
      collection(
        feature({ type: 'Point', coordinates: at(0, 0) }, { kind: 'well', id: 'a' }),
        feature({ type: 'Point', coordinates: at(1, 0) }, { kind: 'well', id: 'a' }),
      ),
      utm,
    )
    expect(twins.features.map(one => one.id)).toEqual(['a', 'a-2'])
    expect(twins.warnings).toContainEqual({ code: 'features/ids-made-unique', details: { features: 1 } })
  })
})

describe('writing', () => {
  test('law: what is written is read again, to a tenth of a millimetre', () => {
    const shapes = [
      {
        type: 'polygon',
        rings: [
          [
            [520000, 3900000],
            [520000, 3900010],
            [520010, 3900010],
            [520010, 3900000],
          ],
        ] as Point[][],
      },
    ] as const
    const text = writeGeoJson([{ id: 'b1', shapes, properties: { kind: 'building', name: 'Cabin "A"', floor_m: 101.5 } }], utm, {
      name: 'demo',
    })
    const { features } = readFeatures(text, utm)
    expect(features[0]).toMatchObject({ id: 'b1', kind: 'building', name: 'Cabin "A"', floor_m: 101.5 })
    const [shape] = features[0]!.shapes
    const corners = shape?.type === 'polygon' ? shape.rings[0]! : []
    for (const [x, y] of shapes[0].rings[0]!) expect(corners.some(point => Math.hypot(point[0] - x, point[1] - y) < 2e-4)).toBe(true)
    expect(JSON.parse(text).name).toBe('demo')
  })

  test('outer rings run counter-clockwise and holes clockwise, closed; nine decimals; heights as third coordinates', () => {
    const clockwise: Point[] = [
      [520000, 3900000],
      [520000, 3900010],
      [520010, 3900010],
      [520010, 3900000],
    ]
    const hole: Point[] = [
      [520002, 3900002],
      [520004, 3900002],
      [520004, 3900004],
    ]
    type Written = { features: { geometry: { type: string; coordinates: number[][][] } }[] }
    const written = featureCollection(
      [{ shapes: [{ type: 'polygon', rings: [clockwise, hole] }], properties: {} }],
      utm,
    ) as unknown as Written
    const area = (ring: number[][]): number => ring.slice(1).reduce((sum, [x, y], k) => sum + ring[k]![0]! * y! - x! * ring[k]![1]!, 0)
    const rings = written.features[0]!.geometry.coordinates
    expect(area(rings[0]!)).toBeGreaterThan(0)
    expect(area(rings[1]!)).toBeLessThan(0)
    expect(rings[0]![0]).toEqual(rings[0]!.at(-1))
    for (const [x] of rings[0]!) expect(String(x).split('.')[1]!.length).toBeLessThanOrEqual(9)
    const line = featureCollection(
      [{ shapes: [{ type: 'line', path: hole }], heights_m: [1.00004, 2, Number.NaN], properties: {} }],
      utm,
    ) as unknown as { features: { geometry: { coordinates: number[][] } }[] }
    expect(line.features[0]!.geometry.coordinates.map(point => point[2])).toEqual([1, 2, undefined])
    const multi = featureCollection(
      [
        {
          shapes: [
            { type: 'point', at: [520000, 3900000] },
            { type: 'point', at: [520001, 3900000] },
          ],
          properties: {},
        },
        { shapes: [], properties: {} },
      ],
      utm,
    ) as unknown as Written
    expect(multi.features[0]!.geometry.type).toBe('MultiPoint')
    expect(multi.features[1]!.geometry).toBeNull()
  })

  test('local metres are written as they are, and the file says so', () => {
    const text = writeGeoJson([{ shapes: [{ type: 'point', at: [12.5, -3] }], properties: {} }], localProjection())
    expect(JSON.parse(text)).toMatchObject({
      coordinateSystem: expect.stringContaining('metres'),
      features: [{ geometry: { coordinates: [12.5, -3] } }],
    })
  })
})
