import { groundScale, localProjection, openProjection, utmCode } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const FTUS = 1200 / 3937
const dms = (degrees: number, minutes: number, seconds = 0): number => degrees + minutes / 60 + seconds / 3600

describe('published places', () => {
  test('EPSG Guidance Note 7-2, Lambert azimuthal equal-area, EPSG:3035 (from memory): 50° N 5° E is 3962799.45, 2999718.85', async () => {
    const [x, y] = (await openProjection('EPSG:3035')).fromLonLat(5, 50)
    expect(x).toBeCloseTo(3962799.45, 2)
    expect(y).toBeCloseTo(2999718.85, 2)
  })

  test('EPSG Guidance Note 7-2, transverse Mercator, OSGB 1936 (from memory): 50°30′ N 0°30′ E is 577274.99, 69740.50', async () => {
    const plain = await openProjection('+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy +units=m')
    const [x, y] = plain.fromLonLat(0.5, 50.5)
    expect(x).toBeCloseTo(577274.99, 1)
    expect(y).toBeCloseTo(69740.5, 1)
    expect(plain.warnings).toEqual([{ code: 'crs/datum-unknown', details: expect.anything() }])
  })

  test('EPSG Guidance Note 7-2, Lambert conic conformal (2SP), Texas South Central in US survey feet (from memory): 28°30′ N 96° W is 2963503.91, 254759.80 ftUS', async () => {
    const texas = await openProjection(
      `+proj=lcc +lat_1=${dms(28, 23)} +lat_2=${dms(30, 17)} +lat_0=${dms(27, 50)} +lon_0=-99 +x_0=${2_000_000 * FTUS} +y_0=0 +ellps=clrk66 +units=us-ft`,
    )
    expect(texas.horizontalUnit_m).toBe(FTUS)
    const [x, y] = texas.fromLonLat(-96, 28.5)
    expect(x / FTUS).toBeCloseTo(2963503.91, 1)
    expect(y / FTUS).toBeCloseTo(254759.8, 1)
  })

  test('Ordnance Survey, "A guide to coordinate systems in Great Britain" (from memory): ETRS89 52°39′28.8282″ N 1°42′57.8663″ E is 651409.903, 313177.270, to the 5 m of a seven-parameter shift', async () => {
    const british = await openProjection('EPSG:27700')
    const [x, y] = british.fromLonLat(dms(1, 42, 57.8663), dms(52, 39, 28.8282))
    expect(Math.hypot(x - 651409.903, y - 313177.27)).toBeLessThan(5)
    expect(british.warnings[0]?.code).toBe('crs/datum-shift-approximate')
  })

  test('a tower in Toronto, 43.642567° N 79.387139° W, has UTM 17 north 630084, 4833439 (public encyclopedias, from memory), to 1.5 m', async () => {
    const [x, y] = (await openProjection('EPSG:32617')).fromLonLat(-79.387139, 43.642567)
    expect(Math.hypot(x - 630084, y - 4833438.5)).toBeLessThan(1.5)
  })

  test('the false origin of a state plane lies where it must: 2,000,000 ftUS on the meridian 79° W', async () => {
    const carolina = await openProjection('EPSG:2264')
    const [x] = carolina.fromLonLat(-79, 35)
    expect(x / FTUS).toBeCloseTo(2_000_000, 3)
    expect(carolina.crs).toContain('+units=m')
    expect((await openProjection(carolina.crs)).fromLonLat(-79.5, 35.5)).toEqual(carolina.fromLonLat(-79.5, 35.5))
  })
})

describe('laws', () => {
  test('there and back is the same place, to a tenth of a millimetre', async () => {
    for (const [code, longitude, latitude] of [
      ['EPSG:32617', -80.3, 36.1],
      ['EPSG:32733', 16.2, -33.9],
      ['EPSG:26917', -80.3, 36.1],
      ['EPSG:2264', -80.3, 35.4],
      ['EPSG:2994', -123.1, 44.05],
      ['EPSG:27700', -3.1, 51.1],
      ['EPSG:2056', 7.9, 46.8],
      ['EPSG:28992', 5.9, 52.0],
      ['EPSG:2154', 2.3, 48.1],
      ['EPSG:25832', 9.1, 51.2],
      ['EPSG:3035', 9.1, 47.2],
      ['EPSG:5070', -100, 40],
      ['EPSG:2193', 172.6, -43.5],
      ['EPSG:31467', 9.2, 48.8],
      ['EPSG:7855', 148, -35],
      ['EPSG:9377', -73.1, 4.6],
      ['EPSG:31983', -43.2, -22.9],
      ['EPSG:4326', 12, 45],
    ] as const) {
      const projection = await openProjection(code)
      const [back, up] = projection.toLonLat(...projection.fromLonLat(longitude, latitude))
      expect(back, code).toBeCloseTo(longitude, 9)
      expect(up, code).toBeCloseTo(latitude, 9)
    }
  })

  test('lengths are true to a few parts in a thousand where a system is at home, and 1/cos of the latitude too long in Web Mercator', async () => {
    for (const scale of groundScale(await openProjection('EPSG:32617'), -81, 40)) expect(scale).toBeCloseTo(0.9996, 6)
    for (const scale of groundScale(await openProjection('EPSG:3857'), 10, 45)) expect(scale).toBeCloseTo(Math.SQRT2, 2)
  })

  test('WKT, ESRI WKT and the code give the same places', async () => {
    const named = await openProjection('EPSG:2994')
    const wkt = await openProjection(
      'PROJCS["NAD83(HARN) / Oregon GIC Lambert (ft)",GEOGCS["NAD83(HARN)",DATUM["NAD83_High_Accuracy_Reference_Network",SPHEROID["GRS 1980",6378137,298.257222101],TOWGS84[0,0,0,0,0,0,0]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic_2SP"],PARAMETER["latitude_of_origin",41.75],PARAMETER["central_meridian",-120.5],PARAMETER["standard_parallel_1",43],PARAMETER["standard_parallel_2",45.5],PARAMETER["false_easting",1312335.958],PARAMETER["false_northing",0],UNIT["foot",0.3048]]',
    )
    const esri = await openProjection(
      'PROJCS["WGS_1984_UTM_Zone_17N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-81.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]',
    )
    expect(wkt.horizontalUnit_m).toBe(0.3048)
    const utm = await openProjection('EPSG:32617')
    for (const [a, b, at] of [
      [named, wkt, [-123, 44]],
      [utm, esri, [-80, 35]],
    ] as const) {
      const [p, q] = [a.fromLonLat(at[0], at[1]), b.fromLonLat(at[0], at[1])]
      expect(Math.hypot(p[0] - q[0], p[1] - q[1])).toBeLessThan(0.001)
      expect(b.crs).toContain('+units=m')
    }
  })

  test('UTM zones', async () => {
    expect(utmCode(-81, 36)).toBe('EPSG:32617')
    expect(utmCode(20.4, -34)).toBe('EPSG:32734')
    expect(utmCode(180, 0)).toBe('EPSG:32660')
    expect(utmCode(-180, -1)).toBe('EPSG:32701')
    expect((await refusal(() => utmCode(0, 87))).code).toBe('crs/polar')
  })
})

describe('refusals', () => {
  test('what is no longitude and latitude, in either place, or not a number', async () => {
    const utm = await openProjection('EPSG:32632')
    for (const [x, y] of [
      [500000, 4000000],
      [181, 0],
      [9, 90.001],
      [Number.NaN, 45],
      [9, Number.POSITIVE_INFINITY],
    ] as const) {
      expect((await refusal(() => utm.fromLonLat(x, y))).code).toBe('vector/not-lonlat')
    }
  })

  test('failure 15: places far outside the system: 100° east in UTM 32, swapped coordinates, the other hemisphere of a conic', async () => {
    const utm = await openProjection('EPSG:32632')
    expect((await refusal(() => utm.fromLonLat(100, 45))).code).toBe('crs/outside-domain')
    expect((await refusal(() => utm.fromLonLat(45, 9))).code).toBe('crs/outside-domain')
    expect((await refusal(async () => (await openProjection('EPSG:2264')).fromLonLat(80, -35))).code).toBe('crs/outside-domain')
    expect((await refusal(() => utm.toLonLat(Number.NaN, 0))).code).toBe('crs/outside-domain')
    // A neighbouring zone is no crime.
    expect(utm.fromLonLat(14, 45)[0]).toBeGreaterThan(800_000)
  })

  test('failure 10: systems that are not known, or cannot be trusted', async () => {
    const code = async (definition: string): Promise<string> => (await refusal(() => openProjection(definition))).code
    expect(await code('EPSG:999999')).toBe('crs/unknown')
    expect(await code('EPSG:__proto__')).toBe('crs/unknown')
    expect(await code('somewhere')).toBe('crs/unknown')
    expect(await code('')).toBe('crs/unknown')
    expect(await code('+units=m')).toBe('crs/unknown')
    expect(await code('+proj=nonsense +units=m')).toBe('crs/unknown')
    expect(await code('PROJCS["broken"')).toBe('crs/unknown')
    expect(await code('{"type":"ProjectedCRS"}')).toBe('crs/unknown')
    expect(await code('+proj=utm +zone=17 +units=furlong')).toBe('crs/unit')
    expect(await code('EPSG:2048')).toBe('crs/axes')
    expect(await code('+proj=utm +zone=17 +ellps=clrk66 +nadgrids=somewhere.gsb')).toBe('crs/needs-grid')
    expect(await code('+proj=utm +zone=17 +datum=NAD27')).toBe('crs/needs-grid')
  })

  test('local metres have no place', async () => {
    const local = localProjection()
    expect(local.crs).toBe('local')
    expect((await openProjection('LOCAL')).kind).toBe('local')
    expect((await refusal(() => local.fromLonLat(0, 0))).code).toBe('crs/no-place')
    expect((await refusal(() => local.toLonLat(0, 0))).code).toBe('crs/no-place')
  })
})
