import { openProjection, readElevation, readVectorFile, systemsNear, systemsThrough } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'
import { buildShp } from './shapefile-builder.js'
import { buildZip } from './zip-builder.js'

// A coordinate system that a file does not name, found by what a person knows of the place.

/** Two points of a system, as a file would have them. */
const known = async (crs: string, places: readonly (readonly [number, number])[], off_m = 0) => {
  const projection = await openProjection(crs)
  return places.map(([longitude, latitude]) => {
    const [x, y] = projection.fromLonLat(longitude, latitude)
    const unit = projection.kind === 'geographic' ? 1 : projection.horizontalUnit_m
    return { x: (x + off_m) / unit, y: y / unit, longitude, latitude }
  })
}

describe('two known points', () => {
  test.each<[string, readonly (readonly [number, number])[]]>([
    [
      'EPSG:32632',
      [
        [9.1, 47.2],
        [9.12, 47.21],
      ],
    ],
    [
      'EPSG:32733',
      [
        [16.2, -33.9],
        [16.21, -33.88],
      ],
    ],
    [
      'EPSG:2994',
      [
        [-123.1, 44.05],
        [-123.09, 44.06],
      ],
    ],
    [
      'EPSG:2056',
      [
        [7.9, 46.8],
        [7.91, 46.81],
      ],
    ],
    [
      'EPSG:3857',
      [
        [9, 48],
        [9.01, 48.02],
      ],
    ],
    [
      'EPSG:4326',
      [
        [9, 48],
        [9.01, 48.02],
      ],
    ],
    [
      'EPSG:2193',
      [
        [172.6, -43.5],
        [172.62, -43.49],
      ],
    ],
  ])('%s is found, feet and all, also when the points are some metres off', async (crs, places) => {
    const exact = await systemsThrough(await known(crs, places))
    expect(exact[0]!.off_m).toBeLessThan(0.001)
    // Another code may name the same system; it puts everything in the same place.
    const [wanted, found] = [await openProjection(crs), await openProjection(exact[0]!.crs)]
    const [x, y] = wanted.fromLonLat(...places[0]!)
    const [fx, fy] = found.fromLonLat(...places[0]!)
    const metre = wanted.kind === 'geographic' ? 1e-5 : 1
    expect(Math.hypot(x - fx, y - fy)).toBeLessThan(0.001 * metre)
    expect(found.horizontalUnit_m).toBe(wanted.horizontalUnit_m)
    if (crs === 'EPSG:4326') return
    const rough = await systemsThrough(await known(crs, places, 8))
    expect(rough.some(one => one.crs === exact[0]!.crs)).toBe(true)
    expect(rough.every(({ off_m }) => off_m <= 30)).toBe(true)
  })

  test('numbers of no system are told as such; points that tell nothing are refused', async () => {
    expect(
      await systemsThrough([
        { x: 0, y: 0, longitude: 9.1, latitude: 47.2 },
        { x: 900, y: 700, longitude: 9.12, latitude: 47.21 },
      ]),
    ).toEqual([])
    const [a, b] = await known('EPSG:32632', [
      [9.1, 47.2],
      [9.12, 47.21],
    ])
    for (const points of [[a!], [a!, a!], [a!, { ...b!, latitude: 95 }], [a!, { ...b!, x: Number.NaN }]])
      expect((await refusal(() => systemsThrough(points))).code).toBe('crs/known-points')
  })
})

test('near a named place: the systems in which the file lies there, the right one among the first, each once', async () => {
  const found = await systemsNear([388_000, 6_774_000, 390_000, 6_776_000], [25, 61.1])
  // ETRS-TM35FIN (3067) agrees with UTM zone 35 to a millimetre: it stands for both.
  expect(found.length).toBeGreaterThan(0)
  expect(found.slice(0, 4).map(({ crs }) => crs)).toContain('EPSG:32635')
  expect(new Set(found.map(({ crs }) => crs)).size).toBe(found.length)
  expect(found.every(({ off_m }, k) => off_m <= 60_000 && (k === 0 || off_m >= found[k - 1]!.off_m - 5000))).toBe(true)
  expect(await systemsNear([0, 0, 900, 700], [9.1, 47.2])).toEqual([])
})

test('a raster or table without a system says where its numbers lie, for that question', async () => {
  const text = 'ncols 4\nnrows 3\nxllcorner 500000\nyllcorner 5200000\ncellsize 2\n1 2 3 4\n1 2 3 4\n1 2 3 4\n'
  const asked = await refusal(() => readElevation(new TextEncoder().encode(text).buffer as ArrayBuffer))
  expect(asked).toMatchObject({ code: 'crs/unknown', details: { bounds: [500_000, 5_200_000, 500_008, 5_200_006] } })
  const table = 'x,y,z_m\n500000,5200000,1\n500009,5200000,2\n500000,5200007,3\n'
  expect(await refusal(() => readElevation(new TextEncoder().encode(table).buffer as ArrayBuffer))).toMatchObject({
    code: 'crs/unknown',
    details: { bounds: [500_000, 5_200_000, 500_009, 5_200_007] },
  })
})

test('so does a layer: a shapefile, a table of points, a drawing with its unit; also where its own definition cannot be read', async () => {
  const box = [500_000, 5_200_000, 500_090, 5_200_070] as const
  const [west, south, east, north] = box
  const ring: [number, number][] = [
    [west, south],
    [west, north],
    [east, north],
    [east, south],
    [west, south],
  ]
  const shp = { name: 'a.shp', content: buildShp([{ kind: 5, parts: [ring] }]) }
  const text = (value: string): ArrayBuffer => new TextEncoder().encode(value).buffer as ArrayBuffer
  const details = async (file: ArrayBuffer, options = {}) => (await refusal(() => readVectorFile(file, options))).details
  expect(await details(buildZip([shp]))).toEqual({ bounds: box })
  expect(await details(text(`x,y,name\n${west},${south},a\n${east},${north},b\n`))).toEqual({ bounds: box })
  expect(await details(buildZip([shp, { name: 'a.prj', content: 'PROJCS["broken"' }]))).toMatchObject({ bounds: box })
  // Drawn in feet: its numbers are feet whatever system they are said to lie in.
  const foot = 0.3048
  const drawn = `0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nDrain\n10\n${west / foot}\n20\n${south / foot}\n11\n${east / foot}\n21\n${north / foot}\n0\nENDSEC\n0\nEOF\n`
  const asked = await details(text(drawn), { unit: 'ft' })
  expect(asked).toMatchObject({ unit_m: foot })
  const bounds = asked.bounds as readonly [number, number, number, number]
  const place = (await openProjection('EPSG:32632')).toLonLat((west + east) / 2, (south + north) / 2)
  expect((await systemsNear(bounds, place, { unit_m: foot }))[0]).toMatchObject({ crs: 'EPSG:32632', off_m: expect.closeTo(0, 3) })
  expect((await systemsNear(bounds, place)).map(({ crs }) => crs)).not.toContain('EPSG:32632')
})
