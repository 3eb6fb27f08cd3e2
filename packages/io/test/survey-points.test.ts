import { readElevation, readSurveyPoints, type SurveyOptions, surveyTableKind } from '@soakline/io'
import { seededRandom } from 'soakline/foundation'
import { cellCentre } from 'soakline/raster'
import { surfaceFromTriangles, surveyGeometry } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const HEADER = 'easting_m,northing_m,elevation_m'
const codeOf = async (text: string, options: SurveyOptions = {}): Promise<string> =>
  (await refusal(() => readSurveyPoints(text, options))).code

describe('survey table', () => {
  const points = [
    { at: [500_000, 4_100_000], elevation_m: 100.5, row: 2 },
    { at: [500_010.5, 4_100_000], elevation_m: 101, row: 3 },
    { at: [500_000, 4_100_020], elevation_m: 99, row: 4 },
  ]

  test('plain; with semicolons, decimal commas, a byte-order mark and CR LF; columns in any order; tabs; names and codes', () => {
    expect(readSurveyPoints(`${HEADER}\n500000,4100000,100.5\n500010.5,4100000,101\n500000,4100020,99\n`).points).toEqual(points)
    expect(readSurveyPoints('\uFEFFx_m;y_m;z_m\r\n500000;4100000;100,5\r\n500010,5;4100000;101\r\n500000;4100020;99\r\n').points).toEqual(
      points,
    )
    const named = readSurveyPoints(
      '# pegged in May\nPoint,Easting,Northing,Elevation,Code\nA1,500000,4100000,100.5,"fence, corner"\nA2,500010.5,4100000,101,"a ""big"" tree"\nA3,500000,4100020,99',
      { unit: 'm', elevationUnit: 'm' },
    )
    expect(named.points.map(p => p.at)).toEqual(points.map(p => p.at))
    expect(named.labels).toEqual([
      { name: 'A1', code: 'fence, corner' },
      { name: 'A2', code: 'a "big" tree' },
      { name: 'A3', code: '' },
    ])
    expect(readSurveyPoints('z_m\tn_m\te_m\n1\t0\t0\n2\t0\t5\n3\t5\t0').points.map(p => p.elevation_m)).toEqual([1, 2, 3])
  })

  test('without a header nothing is guessed: the columns are asked for', async () => {
    const text = '500000,4100000,100.5\n500010.5,4100000,101\n500000,4100020,99'
    expect(await codeOf(text, { unit: 'm', elevationUnit: 'm' })).toBe('survey/columns-unknown')
    const options = { unit: 'm', elevationUnit: 'm' } as const
    const read = readSurveyPoints(text, { ...options, columns: ['easting', 'northing', 'elevation'] })
    expect(read.points.map(p => p.at)).toEqual(points.map(p => p.at))
    expect(read.points[0]!.row).toBe(1)
    const swapped = readSurveyPoints(text, { ...options, columns: ['northing', 'easting', 'elevation'] })
    expect(swapped.points[0]!.at).toEqual([4_100_000, 500_000])
  })

  test('units are asked, never guessed; feet of both kinds become metres', async () => {
    const rows = '\n0,0,10\n100,0,11\n0,100,12'
    expect(await codeOf(`x,y,z${rows}`)).toBe('survey/unit-unknown')
    expect(await codeOf(`x,y,z${rows}`, { unit: 'm' })).toBe('survey/unit-unknown')
    expect((await refusal(() => readSurveyPoints(`x_m,y_m,z${rows}`))).details.question).toBe('elevationUnit')
    expect(await codeOf(`x_m,y_m,z_m${rows}`, { unit: 'ft' })).toBe('survey/unit-contradiction')
    expect(await codeOf(`x_m,y_ft,z_m${rows}`)).toBe('survey/unit-contradiction')
    const feet = readSurveyPoints(`x_ft,y_ft,z_ftUS${rows}`)
    expect(feet.points[1]!.at[0]).toBeCloseTo(30.48, 12)
    expect(feet.points[0]!.elevation_m).toBeCloseTo((10 * 1200) / 3937, 12)
    expect([feet.unit, feet.elevationUnit]).toEqual(['ft', 'ftUS'])
  })

  test('hostile and broken cells are refused, and their row is named', async () => {
    for (const cell of ['=1+1', '@SUM(A1)', '+', 'NaN', 'Infinity', '0x10', '1e999', '1 000', '', '1,5', '12abc', '--3']) {
      const refused = await refusal(() => readSurveyPoints(`${HEADER}\n0,0,1\n5,0,${cell}\n0,5,2`))
      expect(refused.code, cell).toBe('survey/number')
      expect(refused.details.row, cell).toBe(3)
    }
    expect(await codeOf(`x_m;y_m;z_m\n0;0;1.000,5\n5;0;1\n0;5;2`)).toBe('survey/number')
    expect(await codeOf(`${HEADER}\n0,0,1e308\n5,0,1\n0,5,2`)).toBe('survey/out-of-range')
    expect(await codeOf(`${HEADER}\n1e308,0,1\n5,0,1\n0,5,2`)).toBe('survey/out-of-range')
    expect(await codeOf(`name,${HEADER}\n"open,0,0,1\n`)).toBe('survey/number')
    // Text that a spreadsheet would run is only text here.
    const read = readSurveyPoints(`name,${HEADER}\n=cmd|'/c calc'!A0,0,0,1\nb,5,0,1\nc,0,5,2`)
    expect(read.labels[0]!.name).toBe("=cmd|'/c calc'!A0")
  })

  test('headers that are not known, empty tables, degrees', async () => {
    for (const header of ['a,b,c', `${HEADER},${HEADER}`, 'x_m,y_m', 'x_m,y_m,z_m,slope', 'x_km,y_m,z_m', 'name_m,x_m,y_m,z_m'])
      expect(await codeOf(`${header}\n1,2,3,4`), header).toBe('survey/header')
    expect(await codeOf('')).toBe('survey/empty')
    expect(await codeOf('# nothing\n')).toBe('survey/empty')
    expect(await codeOf(HEADER)).toBe('survey/empty')
    expect(await codeOf('x_m,y_m,z_m\n8.5401,47.3702,400\n8.5412,47.3702,401\n8.5401,47.3713,402')).toBe('survey/looks-like-degrees')
  })

  test('too few, in line, contradictions: as for any measured points, by row of the table', async () => {
    expect(await codeOf(`${HEADER}\n0,0,1\n5,0,1`)).toBe('survey/too-few')
    expect(await codeOf(`${HEADER}\n0,0,1\n5,5,1\n10,10,2`)).toBe('survey/in-line')
    const refused = await refusal(() => readSurveyPoints(`${HEADER}\n0,0,1\n5,0,1\n0,5,2\n\n0,0,4`))
    expect(refused.code).toBe('survey/contradiction')
    expect(refused.details.rows).toEqual([2, 6])
    expect(readSurveyPoints(`${HEADER}\n0,0,1\n5,0,1\n0,5,2\n0,0,1.01`).merged).toEqual([{ row: 5, into: 2 }])
  })
})

describe('survey points to a surface', () => {
  const table = (places: readonly (readonly [number, number])[], height: (x: number, y: number) => number): string =>
    `${HEADER}\n${places.map(([x, y]) => `${x},${y},${height(x, y)}`).join('\n')}`
  const random = seededRandom(7)
  const places = Array.from({ length: 200 }, (): [number, number] => [60 * random.uniform(), 40 * random.uniform()])
  const surfaceOf = (text: string) => {
    const { points, triangles, spacing } = readSurveyPoints(text)
    return surfaceFromTriangles(points, triangles, surveyGeometry(points, spacing.suggestedCell_m, 'local'), {
      longestEdge_m: Number.POSITIVE_INFINITY,
    })
  }

  test('a plane comes out as it is; the whole hull has ground and nothing beyond it', () => {
    const plane = (x: number, y: number): number => 20 + 0.1 * x - 0.07 * y
    const { data, geometry } = surfaceOf(table(places, plane))
    let cells = 0
    data.forEach((z, k) => {
      if (Number.isNaN(z)) return
      cells++
      expect(Math.abs(z - plane(...cellCentre(geometry, k)))).toBeLessThan(2e-6)
    })
    const area = cells * geometry.cell_m ** 2
    expect(area).toBeGreaterThan(0.9 * 60 * 40)
    expect(area).toBeLessThan(60 * 40)
    expect(data[0]).toBeNaN()
  })

  test('the order of rows changes nothing, not even where four points lie on a circle', () => {
    const lattice = Array.from({ length: 30 }, (_, k): [number, number] => [5 * (k % 6), 5 * Math.floor(k / 6)])
    const rough = (x: number, y: number): number => 10 + Math.abs(((x * 7 + y * 13) % 11) - 5)
    const [one, other] = [lattice, [...lattice].reverse()].map(list => surfaceOf(table(list, rough)))
    expect([...other!.data]).toEqual([...one!.data])
  })

  test('mirrored points give the mirrored surface', () => {
    const hill = (x: number, y: number): number => 50 / (1 + ((x - 20) ** 2 + (y - 15) ** 2) / 200)
    const plain = surfaceOf(table(places, hill))
    const mirrored = surfaceOf(
      table(
        places.map(([x, y]) => [64 - x, y]),
        (x, y) => hill(64 - x, y),
      ),
    )
    let compared = 0
    plain.data.forEach((z, k) => {
      const [x, y] = cellCentre(plain.geometry, k)
      const g = mirrored.geometry
      const column = Math.floor((64 - x - g.west_m) / g.cell_m)
      const other = mirrored.data[Math.floor((g.north_m - y) / g.cell_m) * g.width + column]!
      if (Number.isNaN(z) || Number.isNaN(other)) return
      compared++
      expect(Math.abs(z - other)).toBeLessThan(1e-5)
    })
    expect(compared).toBeGreaterThan(500)
  })

  test('a notch in the outline is bridged by long edges only: by default they are void', () => {
    const shape = Array.from({ length: 21 * 21 }, (_, k): [number, number] => [2 * (k % 21), 2 * Math.floor(k / 21)]).filter(
      ([x, y]) => !(x > 12 && x < 28 && y > 12),
    )
    const { points, triangles, spacing } = readSurveyPoints(table(shape, () => 5))
    expect(spacing).toMatchObject({ nearest_m: 2, edge_m: 2, suggestedCell_m: 1, suggestedLongestEdge_m: 8 })
    const geometry = surveyGeometry(points, 1, 'local')
    const grid = surfaceFromTriangles(points, triangles, geometry)
    const at = (x: number, y: number): number =>
      grid.data[Math.floor(geometry.north_m - y) * geometry.width + Math.floor(x - geometry.west_m)]!
    expect(at(20.5, 30.5)).toBeNaN()
    expect(at(20.5, 6.5)).toBe(5)
    expect(at(6.5, 30.5)).toBe(5)
  })
})

describe('a survey as a file of elevations', () => {
  const bytes = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer

  test('known by its first line; other texts are not taken for one', () => {
    for (const header of [
      HEADER,
      'Point;Northing (ft);Easting (ft);Elevation (ft)',
      '# note\nlon,lat,height',
      'este_m\tnorte_m\tcota_m',
      'x,y,slope',
    ])
      expect(surveyTableKind(header), header).toBe('header')
    expect(surveyTableKind('1;500000,5;4100000,5;100,2')).toBe('numbers')
    for (const text of [
      '',
      'ncols 3\nnrows 3',
      'duration_h,chance_per_year,depth_mm',
      '{"coordinates":[[1,2,3],[4,5,6],[7,8,9]]}',
      '<p>1,2,3,4',
    ])
      expect(surveyTableKind(text), text).toBeNull()
  })

  test('the report says what was made of the points: how many, which were merged, what is void, the same hash for any order of rows', async () => {
    const rows = Array.from({ length: 36 }, (_, k) => `${6 * (k % 6)},${6 * Math.floor(k / 6)},${(10.253 + 0.517 * (k % 6)).toFixed(3)}`)
    const read = (list: readonly string[]) => readElevation(bytes(`${HEADER}\n${list.join('\n')}`), { crs: 'local' })
    const { grid, report } = await read([...rows, rows[3]!])
    expect(report).toMatchObject({
      format: 'survey points',
      points: 36,
      cell_m: 2,
      crs: 'local',
      elevationUnit: 'm',
      elevationUnitFrom: 'file',
    })
    expect(report.fileCells).toEqual([grid.geometry.width, grid.geometry.height])
    expect(report.voidCells).toBe(grid.data.filter(z => Number.isNaN(z)).length)
    expect(report.warnings.map(w => w.code)).toEqual(['survey/interpolated', 'survey/merged', 'survey/voids', 'vertical-datum/not-stated'])
    expect(report.warnings[1]!.details).toEqual({ points: 1, firstRow: 38 })
    expect((await read([...rows].reverse())).report.sha256).toBe(report.sha256)
  })

  test('cells beyond what is allowed are refused before they are taken', async () => {
    const refused = await refusal(() => readElevation(bytes(`${HEADER}\n0,0,1\n5,0,1\n0,5,2`), { crs: 'local', maxCells: 4 }))
    expect(refused.code).toBe('grid/too-large')
  })
})
