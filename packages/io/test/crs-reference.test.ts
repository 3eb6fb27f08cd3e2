import { openProjection } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { PLACES, type Reference } from './crs-places.js'
import { refusal } from './refusal.js'

const apart = async ([code, longitude, latitude, x, y]: Reference): Promise<number> => {
  const projection = await openProjection(`EPSG:${code}`)
  const unit = projection.kind === 'geographic' ? 1 : projection.horizontalUnit_m
  const [a, b] = projection.fromLonLat(longitude, latitude)
  return Math.hypot(a - x * unit, b - y * unit)
}

describe.each(Object.entries(PLACES))('%s', (_, references) => {
  test.each(references)('EPSG:%d at %d, %d is within a millimetre of PROJ', async (...reference) => {
    expect(await apart(reference as unknown as Reference)).toBeLessThan(0.001)
  })
})

test('at least forty codes on five continents', () => {
  expect(Object.keys(PLACES).length).toBeGreaterThanOrEqual(5)
  expect(Object.values(PLACES).flat().length).toBeGreaterThanOrEqual(40)
})

// Where the dataset has several shifts between a datum and WGS 84, another one of them may stand in the table than PROJ chooses. The whole holding moves together.
test.each<readonly [...Reference, most_m: number]>([
  [2994, -123.1, 44.05, 629012.904782696, 849189.675152419, 1.3],
  [2958, -80, 44, 580174.548929191, 4872357.93176875, 0.96],
  [27700, -3.1, 51.1, 323074.685258259, 133986.386097261, 0.003],
  [31467, 9.2, 48.8, 3514768.21248945, 5406965.75484968, 0.5],
  [5514, 15, 50, -703011.881903091, -1058147.27404898, 8.8],
  [28404, 21, 55, 4500129.15518391, 6097367.14301235, 1.6],
])('EPSG:%d at %d, %d agrees with PROJ to the doubt about its datum', async (code, longitude, latitude, x, y, most_m) => {
  expect(await apart([code, longitude, latitude, x, y])).toBeLessThan(most_m)
})

// PROJ puts these hundreds of metres from where the shift of the table would, and nobody here knows which region is meant.
test.each([2040, 22032, 3148, 24718, 9356, 29220])('EPSG:%d has no shift that can be trusted and is refused by its number', async code => {
  expect((await refusal(() => openProjection(`EPSG:${code}`))).code).toBe('crs/unknown')
})
