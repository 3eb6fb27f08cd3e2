import { placeForms, type UnitSystem } from '@soakline/drawing'
import { looksLikeTiff, withKind } from '@soakline/io'
import fc from 'fast-check'
import { SETTINGS, type Settings } from 'soakline/plan'
import { expect, test } from 'vitest'
import { headKind, textKind } from '../src/state/file-kind.js'
import { cornersOf, insertPosition, positionsOf, removePosition, replacePosition } from '../src/state/positions.js'
import { shownCut, shownNumber, shownUnit, typedCut, typedNumber } from '../src/state/shown-setting.js'
import { typedPlace, writtenPlace } from '../src/state/typed-place.js'

fc.configureGlobal({ seed: 1 })

test('places are typed as people write them: latitude first, point or comma, with or without a side of the Earth', () => {
  expect(typedPlace('36.5071, -32.8634', false)).toEqual([-32.8634, 36.5071])
  expect(typedPlace('36,5071 -32,8634', false)).toEqual([-32.8634, 36.5071])
  expect(typedPlace('36.5071N 32.8634W', false)).toEqual([-32.8634, 36.5071])
  expect(typedPlace('36.5071° N, 32.8634° O', false)).toEqual([-32.8634, 36.5071])
  expect(typedPlace('12.5; 40', true)).toEqual([12.5, 40])
  for (const bad of ['', 'here', '36.5', '95, 10', '10, 200', '1,2,3', '36.5 x']) expect(typedPlace(bad, false), bad).toBeNull()
})

test('law: a place that is written is read back, to a tenth of a metre', () => {
  fc.assert(
    fc.property(fc.double({ min: -180, max: 180, noNaN: true }), fc.double({ min: -90, max: 90, noNaN: true }), (lon, lat) => {
      const back = typedPlace(writtenPlace([lon, lat], false), false)!
      expect(Math.abs(back[0] - lon) + Math.abs(back[1] - lat)).toBeLessThan(2e-6)
    }),
  )
})

test('law: a place copied in any of its forms in degrees is read back, to a fifth of a metre', () => {
  fc.assert(
    fc.property(fc.double({ min: -180, max: 180, noNaN: true }), fc.double({ min: -90, max: 90, noNaN: true }), (lon, lat) => {
      for (const { form, text } of placeForms({ lonLat: [lon, lat], x_m: 0, y_m: 0, system: '' })) {
        if (form === 'grid') continue
        const back = typedPlace(text, false)!
        expect(Math.abs(back[0] - lon) + Math.abs(back[1] - lat), text).toBeLessThan(3e-6)
      }
    }),
  )
})

test('degrees with minutes and seconds are read, with the letter of each side; what is not both is not', () => {
  expect(typedPlace(`36°30'0"N 32°52'30"W`, false)).toEqual([-32.875, 36.5])
  expect(typedPlace('36° 30,5′ S; 3° 6′ O', false)).toEqual([-3.1, -(36 + 30.5 / 60)])
  for (const bad of ["36° 60' N, 3° 6' W", "36° 30' N", "36° 30' E, 3° 6' N", "95° 0' N, 3° 0' E"])
    expect(typedPlace(bad, false), bad).toBeNull()
})

test('law: a setting shown and typed back is the same to the rounding of the page, in both unit systems', () => {
  for (const key of Object.keys(SETTINGS) as (keyof Settings)[])
    for (const units of ['metric', 'us'] as const) {
      const { default: value } = SETTINGS[key]
      if (typeof value !== 'number') continue
      const unit = shownUnit(key, units)
      expect(Math.abs(unit.fromShown(typedNumber(shownNumber(unit.toShown(value)))!) - value), `${key} ${units}`).toBeLessThanOrEqual(
        2e-3 * value,
      )
    }
})

test('the settings of the sizing are typed in the units that people know', () => {
  const shown = (key: keyof Settings, units: UnitSystem, value: number): string => {
    const unit = shownUnit(key, units)
    return `${shownNumber(unit.toShown(value))} ${unit.sign}`
  }
  expect(shown('slowestTest_mmh', 'metric', 12.7)).toBe('12.7 mm/h')
  expect(shown('slowestTest_mmh', 'us', 12.7)).toBe('0.5 in/h')
  // The same sill in feet: 1.66 √m/s over √0.3048 is 3.007 √ft/s.
  expect(shown('weirCoefficient', 'metric', 1.45)).toBe('1.45 √m/s')
  expect(shownUnit('weirCoefficient', 'us').toShown(1.66)).toBeCloseTo(3.0, 1)
  expect(shown('ditchRoughness', 'us', 0.08)).toBe('0.08 ')
  expect(shown('rainUplift_ratio', 'us', 1.1)).toBe('1.1 ×')
  expect(shown('intakeTests', 'metric', 3)).toBe('3 ')
  expect(shownUnit('intakeTests', 'metric').whole).toBe(true)
  expect(shown('acceptanceChanceAboveHouse', 'metric', 0.01)).toBe('100 chance')
  expect(shown('settlement_ratio', 'metric', 0.25)).toBe('25 %')
  expect(shown('slideFactor_ratio', 'metric', 1.5)).toBe('1.5 ')
  // A kilopascal is 20.885 pounds a square foot, a kilonewton a cubic meter 6.366 pounds a cubic foot.
  expect(shownUnit('slideCohesion_kPa', 'us').toShown(1)).toBeCloseTo(20.885, 3)
  expect(shownUnit('slideWeight_kNm3', 'us').toShown(1)).toBeCloseTo(6.366, 3)
})

test('every unit of a setting is known to the page', () => {
  const known = [
    'm',
    'm3',
    'mm',
    'rise/run',
    '1',
    'horizontal : vertical',
    'h',
    'mm/h',
    '√m/s',
    's/m^(1/3)',
    '×',
    'count',
    'chance per year',
    'kPa',
    'kN/m3',
    '°',
    'ditch depths',
    'ln(m)',
  ]
  const numbers = Object.entries(SETTINGS).filter(([, entry]) => entry.range !== undefined)
  expect(numbers.filter(([, { unit }]) => !known.includes(unit)).map(([key]) => key)).toEqual([])
})

test('a number in a field stands with the reader’s decimal mark, and is read back', () => {
  expect(shownNumber(0.5, ',')).toBe('0,5')
  expect(shownNumber(1234.5, ',')).toBe('1234,5')
  expect(typedNumber(shownNumber(148.53, ','))).toBe(148.53)
})

test('numbers are typed with point or comma; what is none is not taken for one', () => {
  expect(typedNumber('1,5')).toBe(1.5)
  expect(typedNumber(' ')).toBeNull()
  for (const bad of ['1e9', 'x', '1.2.3', '--1', 'Infinity']) expect(typedNumber(bad), bad).toBeNaN()
})

test('a file is known by what stands in it', () => {
  expect(looksLikeTiff(new Uint8Array([0x49, 0x49, 0x2a, 0]))).toBe(true)
  expect(looksLikeTiff(new Uint8Array([0x4d, 0x4d, 0, 0x2b]))).toBe(true)
  expect(looksLikeTiff(new Uint8Array([0x25, 0x50, 0x44, 0x46]))).toBe(false)
  const head = (text: string): Uint8Array => new TextEncoder().encode(text)
  expect(headKind('dem', head('NCOLS 4\nnrows 3\n'))).toBe('ground')
  expect(headKind('N36W081.hgt', head('\u0000\u0001'))).toBe('ground')
  expect(headKind('tile', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]))).toBe('ground')
  expect(headKind('a.tif', head('PK\u0003\u0004'))).toBe('archive')
  expect(headKind('a.csv', head('lon,lat\n'))).toBeNull()
  expect(headKind('drawing', head('  0\r\nSECTION\r\n  2\r\nHEADER\r\n'))).toBe('layer')
  expect(headKind('drawing', head('999\r\na remark\r\n999\r\nanother\r\n'))).toBe('layer')
  expect(textKind('book.csv', 'punto;atrás_m;entre_m;adelante_m;nivel_m\nBM;1,5;;;100')).toBe('level-book')
  expect(textKind('book.csv', 'stake,backsight_ft,foresight_ft,level_ft\n1,5,,1000')).toBe('level-book')
  expect(textKind('built.csv', 'stake,bed_m,crest_m\n1,5,6')).toBe('readings')
  expect(textKind('a.txt', '<?xml version="1.0"?>\n<kml xmlns="x">')).toBe('layer')
  expect(textKind('a', '<gpx version="1.1">')).toBe('layer')
  expect(textKind('a.csv', 'lon,lat,kind,name\n1,2,building,Byre')).toBe('layer')
  expect(textKind('a.csv', 'x,y,elevation\n1,2,3')).toBe('ground')
  expect(textKind('layer.gpkg', 'SQLite format 3')).toBe('layer')
  expect(textKind('a.json', '{"format":"soakline-plan/1"}')).toBe('plan')
  expect(textKind('a.json', '{"bedWidth_m":1}')).toBe('settings')
  expect(textKind('a.csv', 'duration_h,chance_per_year,depth_mm\n24,0.1,80')).toBe('rain')
  for (const header of ['x_m,y_m,z_m', 'Point;Easting;Northing;Elevation', 'lat,lon,height', 'este_m\tnorte_m\tcota_m', '# May\nn,e,h'])
    expect(textKind('points.csv', `${header}\n1,2,3`), header).toBe('ground')
  expect(textKind('points.csv', '500000,4100000,100.5\n500010,4100000,101')).toBe('table-without-header')
  expect(textKind('rain.csv', 'hours,p,mm\n1,0.1,3')).toBe('rain')
  for (const header of ['time_min,depth_mm', 'tiempo_h;lluvia_mm']) expect(textKind('a.csv', `${header}\n0,1`), header).toBe('storm')
  for (const header of ['date,depth_mm', 'fecha;lluvia_mm', 'DATE,PRCP', 'datetime\train_in'])
    expect(textKind('a.csv', `${header}\n2020-01-01,1`), header).toBe('daily-rain')
  const line = '{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[0,0],[1,1]]}}'
  expect(textKind('a.geojson', line)).toBe('line')
  expect(textKind('a.geojson', line.replace('{}', '{"kind":"track"}'))).toBe('features')
  expect(
    textKind(
      'a.geojson',
      '{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"Polygon","coordinates":[]}}]}',
    ),
  ).toBe('features-without-kind')
  expect(textKind('dem.tif', 'no raster')).toBe('ground')
  expect(textKind('letter.docx', 'PK')).toBe('unknown')
})

test('a kind that is said is given to the features that have none', () => {
  const said = JSON.parse(
    withKind(
      '{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":null},{"type":"Feature","properties":{"kind":"well"},"geometry":null}]}',
      'forest',
    ),
  )
  expect(said.features.map((f: { properties: { kind: string } }) => f.properties.kind)).toEqual(['forest', 'well'])
})

test('positions of a ring: the closing one follows the first, and three corners always stay', () => {
  const ring = {
    type: 'Polygon',
    coordinates: [
      [
        [0, 0],
        [4, 0],
        [4, 4],
        [0, 0],
      ],
    ],
  }
  expect(cornersOf(positionsOf(ring)[0]!)).toHaveLength(3)
  expect(replacePosition(ring, 0, 0, [9, 9]).coordinates).toEqual([
    [
      [9, 9],
      [4, 0],
      [4, 4],
      [9, 9],
    ],
  ])
  expect(removePosition(ring, 0, 1)).toBeNull()
  const four = insertPosition(ring, 0, 2)
  expect(four.coordinates).toEqual([
    [
      [0, 0],
      [4, 0],
      [4, 4],
      [2, 2],
      [0, 0],
    ],
  ])
  expect(removePosition(four, 0, 0)!.coordinates).toEqual([
    [
      [4, 0],
      [4, 4],
      [2, 2],
      [4, 0],
    ],
  ])
  const point = { type: 'Point', coordinates: [1, 2] }
  expect(replacePosition(point, 0, 0, [3, 4]).coordinates).toEqual([3, 4])
  const multi = {
    type: 'MultiPolygon',
    coordinates: [
      [
        [
          [0, 0],
          [1, 0],
          [1, 1],
          [0, 0],
        ],
      ],
      [
        [
          [5, 5],
          [6, 5],
          [6, 6],
          [5, 5],
        ],
      ],
    ],
  }
  expect(replacePosition(multi, 1, 1, [7, 7]).coordinates).toEqual([
    [
      [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 0],
      ],
    ],
    [
      [
        [5, 5],
        [7, 7],
        [6, 6],
        [5, 5],
      ],
    ],
  ])
})

test('a drawn cut is typed in the reader’s units, with point or comma, and shown again as it was typed', () => {
  const typed = typedCut('-1,6 0; -1.2 -0.4;-0.4 -0.4; 0 0', 1)
  expect(typed).toEqual([[-1.6, 0], [-1.2, -0.4], [-0.4, -0.4], [0, 0]]) // biome-ignore format: one line
  expect(shownCut(typed!, 1)).toBe('-1.6 0; -1.2 -0.4; -0.4 -0.4; 0 0')
  expect(shownCut(typedCut('-5 0; -4 -1.5; 0 0', 0.3048)!, 0.3048, ',')).toBe('-5 0; -4 -1,5; 0 0')
  for (const text of ['', '1', '1 2 3', 'a b; 0 0', '-1 0; ; 0 0']) expect(typedCut(text, 1)).toBeNull()
})
