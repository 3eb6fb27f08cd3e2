import { placeForms } from '@soakline/drawing'
import { expect, test } from 'vitest'

const grid = { x_m: 512_345.06, y_m: 4_040_123.44, system: 'WGS 84 / UTM zone 25N' }

test('a place stands in three forms: degrees, degrees and minutes, the grid of the raster', () => {
  expect(placeForms({ lonLat: [-32.8634123, 36.5071234], ...grid }).map(({ text }) => text)).toEqual([
    '36.507123, -32.863412',
    '36° 30.4274′ N, 32° 51.8047′ W',
    'E 512345.1, N 4040123.4',
  ])
})

test('minutes never come to 60, and each side of the Earth has its letter', () => {
  const minutes = (lon: number, lat: number): string => placeForms({ lonLat: [lon, lat], ...grid })[1]!.text
  expect(minutes(-0.9999999999, 59.99999999)).toBe('60° 00.0000′ N, 1° 00.0000′ W')
  expect(minutes(174.5, -36.25)).toBe('36° 15.0000′ S, 174° 30.0000′ E')
})

test('a raster without a place on Earth has its own metres alone', () => {
  expect(placeForms({ lonLat: null, x_m: 10, y_m: 20, system: 'local' })).toEqual([
    { form: 'grid', text: 'E 10.0, N 20.0', system: 'local' },
  ])
})
