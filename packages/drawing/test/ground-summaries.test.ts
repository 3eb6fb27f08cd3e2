import { sayCatchment, sayLevelLine, sayTerrain } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US } from './hillside.js'

test('a ground’s hollows and contours, in the reader’s units', () => {
  const hollows = [{ depth_m: 0.85, volume_m3: 29 }]
  expect(sayTerrain(hollows, 38, EN)).toBe('1 hollow; the largest holds 29 m³ and is 0.85 m deep. 38 contour lines.')
  expect(sayTerrain([...hollows, ...hollows], 38, ES)).toBe(
    '2 hondonadas; la mayor guarda 29 m³ y tiene 0,85 m de hondo. 38 curvas de nivel.',
  )
  // 29 m³ are 7,661 US gallons, 0.85 m 33.5 inches.
  expect(sayTerrain(hollows, 38, EN_US)).toBe('1 hollow; the largest holds 7,700 gallons and is 33 in deep. 38 contour lines.')
  expect(sayTerrain([], 0, EN)).toBe('0 hollows. 0 contour lines.')
})

test('a level line from height to height', () => {
  const line = { length_m: 110, from_m: 154.25, to_m: 153.15 }
  expect(sayLevelLine(line, EN)).toBe('A line of 110 m, from 154.3 m to 153.2 m.')
  // 110 m are 360.9 ft, 154.25 m 506.1 ft.
  expect(sayLevelLine(line, ES_US)).toMatch(/^Línea de 361 pies, de 506,1 pies a /)
})

test('what drains into a line is “at least” where the raster cuts it, and a ridge is told where there is one', () => {
  const catchment = { area_m2: 6100, cutByEdge: true, ridge_m: null, longestFlow_m: 180 }
  expect(sayCatchment(catchment, EN)).toEqual(["At least 6,100 m² drain here: the raster's edge cuts the catchment."])
  expect(sayCatchment({ ...catchment, cutByEdge: false, ridge_m: 179.7 }, ES)).toEqual([
    '6100 m² escurren aquí.',
    'El filo que lo cierra llega a 179,7 m; el recorrido más largo mide 180 m.',
  ])
})
