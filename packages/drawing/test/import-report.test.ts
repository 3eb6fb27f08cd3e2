import { gapChoices, type ImportReport, importReport } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { EN, EN_US, ES } from './hillside.js'

const report: ImportReport = {
  format: 'GeoTIFF',
  fileCells: [400, 300],
  cell_m: 2,
  crs: 'EPSG:32617',
  crsName: 'WGS 84 / UTM zone 17N',
  fileCrs: 'EPSG:4326',
  elevationUnit: 'ftUS',
  elevationUnitFrom: 'file',
  verticalReference: 'NAVD88 height (ftUS)',
  minimum_m: 101.25,
  maximum_m: 148.5,
  quantum_m: 0.1,
  voidCells: 240,
  voids: [
    { cells: 200, area_m2: 800, touchesEdge: true },
    { cells: 30, area_m2: 120, touchesEdge: false },
    { cells: 9, area_m2: 36, touchesEdge: false },
    { cells: 1, area_m2: 4, touchesEdge: false },
  ],
}
const linesOf = (given: ImportReport, voice = EN): Record<string, string> =>
  Object.fromEntries(importReport('farm <b>.tif', given, [800, 600], '36.1, −80.9', voice))

test('each thing that was read has its line: place, system, unit and where it comes from, reference, size, heights and their steps, gaps', () => {
  expect(linesOf(report)).toEqual({
    What: 'farm <b>.tif (GeoTIFF)',
    Where: '36.1, −80.9',
    'Coordinate system': 'WGS 84 / UTM zone 17N (EPSG:32617); redrawn from EPSG:4326',
    'Unit of the heights': 'US survey feet, as the file says',
    'Heights counted from': 'NAVD88 height (ftUS)',
    Size: '800 m × 600 m; 400 × 300 cells of 2 m',
    Heights: '101.3 m to 148.5 m, in steps of 0.1 m',
    Gaps: '240 cells without data (0.2%); at the edge: 800 m²; inside: 120 m², 36 m², 4.0 m²',
  })
  expect(linesOf({ ...report, verticalReference: null })['Heights counted from']).toMatch(/not said in the file/)
  expect(linesOf({ ...report, voidCells: 0, voids: [] }).Gaps).toBe('none')
  expect(linesOf(report, ES)).toMatchObject({
    'Alturas contadas desde': 'NAVD88 height (ftUS)',
    Huecos: expect.stringMatching(/adentro: 120 m²/),
  })
  expect(linesOf(report, EN_US).Gaps).toMatch(/sq ft|ft²|acre/)
})

test('gaps inside can be left or filled up to a size; those at the edge cannot', () => {
  expect(gapChoices(report, 0, EN).map(choice => choice.most_m2)).toEqual([0, 4, 36, 120])
  expect(gapChoices(report, 0, EN).at(-1)!.text).toBe('Fill those of up to 120 m² (3)')
  expect(gapChoices({ voids: [report.voids[0]!] }, 0, EN).length).toBe(1)
  expect(gapChoices({ voids: [] }, 36, ES).map(choice => choice.most_m2)).toEqual([0, 36])
  const many = Array.from({ length: 40 }, (_, k) => ({ cells: k + 1, area_m2: 40 - k, touchesEdge: false }))
  expect(gapChoices({ voids: many }, 0, EN).length).toBeLessThanOrEqual(8)
  expect(gapChoices({ voids: many }, 0, EN).at(-1)!.most_m2).toBe(40)
})
