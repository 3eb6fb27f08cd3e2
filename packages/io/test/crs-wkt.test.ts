import { execFileSync } from 'node:child_process'
import { openProjection, type Projection } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { PLACES, type Reference } from './crs-places.js'

// Definitions in words, in every writing that files carry: WKT 1, that of ESRI's .prj files, WKT 2 of 2015 and of 2019, PROJJSON. The texts are those of
// gdalsrsinfo (GDAL 3.6.2 with PROJ 9.1.1).

const references = Object.values(PLACES).flat()
const reference = (code: number): Reference => references.find(([own]) => own === code)!

/** How far a definition puts the reference's place from where PROJ does, in metres. */
function apart_m(projection: Projection, [, longitude, latitude, x, y]: Reference): number {
  const unit = projection.kind === 'geographic' ? 111_320 : projection.horizontalUnit_m
  const [a, b] = projection.fromLonLat(longitude, latitude)
  return projection.kind === 'geographic' ? Math.hypot(a - x, b - y) * unit : Math.hypot(a - x * unit, b - y * unit)
}
const doubts = (projection: Projection): string[] => projection.warnings.map(({ code }) => code)

const ISRAEL_2015 =
  'PROJCRS["Israel 1993 / Israeli TM Grid",BASEGEODCRS["Israel 1993",DATUM["Israel 1993",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]]],CONVERSION["Israeli TM",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",31.7343936111111,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8801]],PARAMETER["Longitude of natural origin",35.2045169444444,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8802]],PARAMETER["Scale factor at natural origin",1.0000067,SCALEUNIT["unity",1],ID["EPSG",8805]],PARAMETER["False easting",219529.584,LENGTHUNIT["metre",1],ID["EPSG",8806]],PARAMETER["False northing",626907.39,LENGTHUNIT["metre",1],ID["EPSG",8807]]],CS[Cartesian,2],AXIS["(E)",east,ORDER[1],LENGTHUNIT["metre",1]],AXIS["(N)",north,ORDER[2],LENGTHUNIT["metre",1]],SCOPE["Cadastre, engineering survey, topographic mapping (large and medium scale)."],AREA["Israel - onshore; Palestine Territory - onshore."],BBOX[29.45,34.17,33.28,35.69],ID["EPSG",2039]]'
const ISRAEL_ESRI =
  'PROJCS["Israel_TM_Grid",GEOGCS["GCS_Israel",DATUM["D_Israel",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",219529.584],PARAMETER["False_Northing",626907.39],PARAMETER["Central_Meridian",35.2045169444444],PARAMETER["Scale_Factor",1.0000067],PARAMETER["Latitude_Of_Origin",31.7343936111111],UNIT["Meter",1.0]]'
const SRI_LANKA_WKT1 =
  'PROJCS["SLD99 / Sri Lanka Grid 1999",GEOGCS["SLD99",DATUM["Sri_Lanka_Datum_1999",SPHEROID["Everest 1830 (1937 Adjustment)",6377276.345,300.8017,AUTHORITY["EPSG","7015"]],AUTHORITY["EPSG","1053"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","5233"]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",7.00047152777778],PARAMETER["central_meridian",80.7717130833333],PARAMETER["scale_factor",0.9999238418],PARAMETER["false_easting",500000],PARAMETER["false_northing",500000],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AXIS["Easting",EAST],AXIS["Northing",NORTH],AUTHORITY["EPSG","5235"]]'
/** Its area of use left out. */
const CAROLINA_2019 =
  'PROJCRS["NAD83 / North Carolina (ftUS)",BASEGEOGCRS["NAD83",DATUM["North American Datum 1983",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]],ID["EPSG",4269]],CONVERSION["SPCS83 North Carolina zone (US Survey feet)",METHOD["Lambert Conic Conformal (2SP)",ID["EPSG",9802]],PARAMETER["Latitude of false origin",33.75,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8821]],PARAMETER["Longitude of false origin",-79,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8822]],PARAMETER["Latitude of 1st standard parallel",36.1666666666667,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8823]],PARAMETER["Latitude of 2nd standard parallel",34.3333333333333,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8824]],PARAMETER["Easting at false origin",2000000,LENGTHUNIT["US survey foot",0.304800609601219],ID["EPSG",8826]],PARAMETER["Northing at false origin",0,LENGTHUNIT["US survey foot",0.304800609601219],ID["EPSG",8827]]],CS[Cartesian,2],AXIS["easting (X)",east,ORDER[1],LENGTHUNIT["US survey foot",0.304800609601219]],AXIS["northing (Y)",north,ORDER[2],LENGTHUNIT["US survey foot",0.304800609601219]],ID["EPSG",2264]]'
const MERCATOR_ESRI =
  'PROJCS["WGS_1984_Web_Mercator_Auxiliary_Sphere",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Mercator_Auxiliary_Sphere"],PARAMETER["False_Easting",0.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",0.0],PARAMETER["Standard_Parallel_1",0.0],PARAMETER["Auxiliary_Sphere_Type",0.0],UNIT["Meter",1.0]]'
const NETHERLANDS_JSON =
  '{"$schema": "https://proj.org/schemas/v0.5/projjson.schema.json", "type": "ProjectedCRS", "name": "Amersfoort / RD New", "base_crs": {"name": "Amersfoort", "datum": {"type": "GeodeticReferenceFrame", "name": "Amersfoort", "ellipsoid": {"name": "Bessel 1841", "semi_major_axis": 6377397.155, "inverse_flattening": 299.1528128}}, "coordinate_system": {"subtype": "ellipsoidal", "axis": [{"name": "Geodetic latitude", "abbreviation": "Lat", "direction": "north", "unit": "degree"}, {"name": "Geodetic longitude", "abbreviation": "Lon", "direction": "east", "unit": "degree"}]}, "id": {"authority": "EPSG", "code": 4289}}, "conversion": {"name": "RD New", "method": {"name": "Oblique Stereographic", "id": {"authority": "EPSG", "code": 9809}}, "parameters": [{"name": "Latitude of natural origin", "value": 52.1561605555556, "unit": "degree", "id": {"authority": "EPSG", "code": 8801}}, {"name": "Longitude of natural origin", "value": 5.38763888888889, "unit": "degree", "id": {"authority": "EPSG", "code": 8802}}, {"name": "Scale factor at natural origin", "value": 0.9999079, "unit": "unity", "id": {"authority": "EPSG", "code": 8805}}, {"name": "False easting", "value": 155000, "unit": "metre", "id": {"authority": "EPSG", "code": 8806}}, {"name": "False northing", "value": 463000, "unit": "metre", "id": {"authority": "EPSG", "code": 8807}}]}, "coordinate_system": {"subtype": "Cartesian", "axis": [{"name": "Easting", "abbreviation": "X", "direction": "east", "unit": "metre"}, {"name": "Northing", "abbreviation": "Y", "direction": "north", "unit": "metre"}]}, "scope": "Engineering survey, topographic mapping.", "area": "Netherlands - onshore, including Waddenzee, Dutch Wadden Islands and 12-mile offshore coastal zone.", "bbox": {"south_latitude": 50.75, "west_longitude": 3.2, "north_latitude": 53.7, "east_longitude": 7.22}, "id": {"authority": "EPSG", "code": 28992}}'

describe('texts', () => {
  test.each([
    [2039, ISRAEL_2015],
    [5235, SRI_LANKA_WKT1],
    [3857, MERCATOR_ESRI],
    [28992, NETHERLANDS_JSON],
  ])('EPSG:%d by its words is the entry of the table, datum and all, to a millimetre', async (code, text) => {
    const projection = await openProjection(text)
    expect(apart_m(projection, reference(code))).toBeLessThan(0.001)
    expect(projection.crs).toBe(`EPSG:${code}`)
  })

  test('a datum that has only the ellipsoid of WGS 84 is not WGS 84: without a code it is told as unknown', async () => {
    for (const text of [ISRAEL_ESRI, ISRAEL_2015.replace(',ID["EPSG",2039]]', ']')]) {
      const projection = await openProjection(text)
      expect(apart_m(projection, reference(2039))).toBeGreaterThan(50)
      expect(doubts(projection)).toEqual(['crs/datum-unknown'])
    }
  })

  test('the older words of WKT 2 keep their ellipsoid', async () => {
    const bessel = ISRAEL_2015.replace(',ID["EPSG",2039]]', ']').replace(
      '"GRS 1980",6378137,298.257222101',
      '"Bessel 1841",6377397.155,299.1528128',
    )
    expect((await openProjection(bessel)).crs).toContain('+a=6377397.155')
  })

  test('without its code, by the code of its base system: feet stay feet', async () => {
    const [, longitude, latitude, x, y] = reference(2264)
    const bare = CAROLINA_2019.replace(/,ID\["EPSG",2264\]\]$/, ']')
    const projection = await openProjection(bare)
    expect(projection.crs).not.toContain('EPSG')
    expect(projection.horizontalUnit_m).toBe(1200 / 3937)
    const [a, b] = projection.fromLonLat(longitude, latitude)
    expect(Math.hypot(a - (x * 1200) / 3937, b - (y * 1200) / 3937)).toBeLessThan(0.001)
    expect(doubts(projection)).toEqual([])
  })

  test('a code that contradicts the words beside it is not believed', async () => {
    const [, longitude, latitude] = reference(2039)
    const lying = await openProjection(ISRAEL_2015.replace('ID["EPSG",2039]]', 'ID["EPSG",32636]]'))
    expect(lying.crs).not.toContain('EPSG')
    const feet = await openProjection(ISRAEL_2015.replaceAll(/(?<!298\.257222101,)LENGTHUNIT\["metre",1\]/g, 'LENGTHUNIT["foot",0.3048]'))
    expect(feet.horizontalUnit_m).toBe(0.3048)
    expect(Math.abs(feet.fromLonLat(longitude, latitude)[0])).toBeLessThan(1e6)
  })
})

const installed = ((): boolean => {
  try {
    execFileSync('gdalsrsinfo', ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    console.info('GDAL is not installed: definitions in words are checked by the texts in this test alone.')
    return false
  }
})()

const CODES = [
  2264, 2277, 5070, 24200, 31983, 5348, 25832, 2154, 28992, 2056, 31300, 3067, 32737, 26191, 2326, 6677, 2039, 5235, 7855, 2193,
]
// The code within a .prj is left out by its writer: there the place is right, or the doubt about its datum is told, or it is asked.
test.runIf(installed).each(CODES)('EPSG:%d in all five writings of GDAL', async code => {
  const written = (kind: string): string =>
    execFileSync('gdalsrsinfo', ['-o', kind, '--single-line', `EPSG:${code}`], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim()
  for (const kind of ['wkt1', 'wkt2_2015', 'wkt2_2019', 'projjson'])
    expect(apart_m(await openProjection(written(kind)), reference(code)), kind).toBeLessThan(0.001)
  const esri = await openProjection(written('wkt_esri')).catch((error: { code?: string }) => error.code)
  if (typeof esri === 'object') {
    if (apart_m(esri, reference(code)) >= 2) expect(doubts(esri)).toEqual(['crs/datum-unknown'])
  } else expect(esri).toBe('crs/unknown')
})
