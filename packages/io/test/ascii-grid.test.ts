import { readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { asciiNumber } from '../src/ascii-number.js'
import { refusal } from './refusal.js'

const bytes = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer as ArrayBuffer
const HEADER = 'ncols 4\nnrows 3\nxllcorner 500000\nyllcorner 4000000\ncellsize 2\nNODATA_value -9999\n'
const ROWS = '101 102 103 104\n105 106.5 107 108\n109 110 -9999 112\n'
const local = { crs: 'local' } as const
const read = (text: string) => readElevation(bytes(text), local)
const code = async (text: string, options = {}): Promise<string> =>
  (await refusal(() => readElevation(bytes(text), { ...local, ...options }))).code

describe('numbers', () => {
  test('law: the same double as Number gives, or null where it is none', () => {
    const encoder = new TextEncoder()
    const own = (text: string) => asciiNumber(encoder.encode(text), 0, text.length)
    for (const text of [
      ...[
        '0',
        '-0',
        '7',
        '+7',
        '1.5',
        '.5',
        '5.',
        '-9999',
        '1e3',
        '1E-3',
        '1.726645996093750000e+03',
        '-3.4028234663852886e+38',
        '0.1',
        '123456789012345678',
      ],
      ...['1e22', '1e23', '1e-22', '1e-300', '0.000060132227', '431.00000000000006', '2.2250738585072014e-308', '000000000000000000000012'],
    ])
      expect(Object.is(own(text), Number(text)), text).toBe(true)
    for (const text of ['', '-', '.', '1,5', '1e', '1e+', 'abc', '0x10', '1_000', '1 2', '=1', 'inf', '1e999', '--1', '1.2.3', 'nano'])
      expect(own(text), text).toBeNull()
    for (const text of ['nan', 'NaN', 'NAN']) expect(own(text)).toBeNaN()
    let seed = 1
    for (let k = 0; k < 20_000; k++) {
      seed = (seed * 48271) % 2147483647
      const value = (seed / 2147483647 - 0.5) * 10 ** ((seed % 41) - 20)
      for (const text of [String(value), value.toFixed(seed % 10), value.toExponential(seed % 18)])
        expect(Object.is(own(text), Number(text)), text).toBe(true)
    }
  })
})

describe('what a header can say', () => {
  test('rows run from the north; the corner is the outer one of the lowest row', async () => {
    const { grid, report } = await read(HEADER + ROWS)
    expect(grid.geometry).toMatchObject({ width: 4, height: 3, cell_m: 2, west_m: 500000, north_m: 4000006 })
    expect([grid.data[0], grid.data[5], grid.data[11]]).toEqual([101, 106.5, 112])
    expect(grid.data[10]).toBeNaN()
    expect(report).toMatchObject({ format: 'ASCII grid', voidCells: 1, elevationUnitFrom: 'assumed' })
  })

  test('a centre lies half a cell within the corner; unequal sides are drawn on squares', async () => {
    const centres = HEADER.replace('xllcorner 500000', 'xllcenter 500001').replace('yllcorner 4000000', 'YLLCENTER 4000001')
    expect((await read(centres + ROWS)).grid.geometry).toEqual((await read(HEADER + ROWS)).grid.geometry)
    const { grid, report } = await read(HEADER.replace('cellsize 2', 'dx 2\ndy 4') + ROWS)
    expect(grid.geometry).toMatchObject({ cell_m: 2, height: 6, north_m: 4000012 })
    expect(report.warnings.map(w => w.code)).toContain('grid/resampled')
  })

  test('blanks, tabs, line ends and numbers of a row on several lines change nothing', async () => {
    const plain = (await read(HEADER + ROWS)).report.sha256
    const text = `\uFEFF${HEADER.replaceAll('\n', '\r\n').replaceAll(' ', '\t\t ')}\r\n  ${ROWS.replaceAll(' ', '\n').replaceAll('\n', ' \r\n\t')}`
    expect((await read(text)).report.sha256).toBe(plain)
    expect((await read(HEADER.toUpperCase() + ROWS.trimEnd())).report.sha256).toBe(plain)
  })

  test('it names no coordinate system, so that is asked, with what its coordinates look like', async () => {
    const plain = await refusal(() => readElevation(bytes(HEADER + ROWS)))
    expect(plain).toMatchObject({ code: 'crs/unknown', details: { looksLikeDegrees: false } })
    const degrees = HEADER.replace('500000', '-4.81').replace('4000000', '43.19').replace('cellsize 2', 'cellsize 0.00006')
    expect(await refusal(() => readElevation(bytes(degrees + ROWS)))).toMatchObject({
      code: 'crs/unknown',
      details: { looksLikeDegrees: true },
    })
    expect(await code(degrees + ROWS)).toBe('crs/not-metric')
    expect((await refusal(() => readElevation(bytes(degrees + ROWS), { crs: 'EPSG:4326' }))).code).toBe('elevation-unit/unknown')
    const { report } = await readElevation(bytes(degrees + ROWS), { crs: 'EPSG:4326', elevationUnit: 'm' })
    expect(report).toMatchObject({ crs: 'EPSG:32630' })
    expect(report.warnings.map(w => w.code)).toContain('grid/reprojected')
  })
})

describe('no data in its disguises', () => {
  const without = HEADER.replace('NODATA_value -9999\n', '')
  test('-9999 without a header line is asked about, never taken as a pit', async () => {
    expect(await code(without + ROWS)).toBe('grid/nodata-unclear')
    expect((await readElevation(bytes(without + ROWS), { ...local, nodata: -9999 })).report.voidCells).toBe(1)
    expect(await code(HEADER.replace('-9999', '-9999,0') + ROWS)).toBe('grid/nodata-unclear')
  })

  test('nan in any case is no data, also as the first number', async () => {
    expect((await read(without + ROWS.replace('-9999', 'NaN'))).report.voidCells).toBe(1)
    expect((await read(without + ROWS.replace('101', 'nan').replace('-9999', '111'))).report.voidCells).toBe(1)
    expect((await read(HEADER.replace('-9999', 'nan') + ROWS.replace('-9999', 'nan'))).report.voidCells).toBe(1)
  })

  test('0 is a gap far below the heights, and a question among them', async () => {
    const zero = HEADER.replace('-9999', '0')
    expect((await read(zero + ROWS.replace('-9999', '0'))).report.voidCells).toBe(1)
    const coast = '1 2 3 4\n0 0 3 4\n0 -0.5 3 4\n'
    const asked = await refusal(() => read(zero + coast))
    expect(asked).toMatchObject({ code: 'grid/nodata-is-a-height', details: { value: 0, count: 3 } })
    expect((await readElevation(bytes(zero + coast), { ...local, nodata: Number.NaN })).report.voidCells).toBe(0)
    // Just below the lowest height, or just over the highest, it could be ground as well; eleven metres away it is a gap.
    expect(await code(zero + coast.replace('-0.5', '0.5'))).toBe('grid/nodata-is-a-height')
    expect(await code(zero + coast.replaceAll(/[1-4]/g, '-$&').replace('-0.5', '-5'))).toBe('grid/nodata-is-a-height')
    expect((await read(zero + coast.replaceAll(/[1-4]/g, '1$&').replace('-0.5', '12'))).report.voidCells).toBe(3)
    expect((await readElevation(bytes(zero + coast), { ...local, nodata: 0 })).report.voidCells).toBe(3)
  })
})

describe('refused', () => {
  test.each([
    ['no rows', HEADER.replace('nrows 3\n', ''), 'ascii-grid/header'],
    ['no cell size', HEADER.replace('cellsize 2\n', ''), 'ascii-grid/header'],
    ['no corner', HEADER.replace('xllcorner 500000\n', ''), 'ascii-grid/header'],
    ['both corner and centre', HEADER.replace('xllcorner', 'xllcenter 1\nxllcorner'), 'ascii-grid/header'],
    ['a line twice', `ncols 4\n${HEADER}`, 'ascii-grid/header'],
    ['an unknown line', HEADER.replace('cellsize', '__proto__ 1\ncellsize'), 'ascii-grid/header'],
    ['a negative size', HEADER.replace('ncols 4', 'ncols -4'), 'ascii-grid/header'],
    ['a size that is not whole', HEADER.replace('ncols 4', 'ncols 4.5'), 'ascii-grid/header'],
    ['cells of no size', HEADER.replace('cellsize 2', 'cellsize 0'), 'ascii-grid/header'],
    ['cells of a size beyond all', HEADER.replace('cellsize 2', 'cellsize 1e300'), 'ascii-grid/header'],
    ['a size in words', HEADER.replace('cellsize 2', 'cellsize two'), 'ascii-grid/header'],
    ['cellsize and another dx', HEADER.replace('cellsize 2', 'cellsize 2\ndx 3'), 'ascii-grid/header'],
    ['more columns than the rows hold', HEADER.replace('ncols 4', 'ncols 5'), 'grid/truncated'],
    ['a size beyond the file', HEADER.replace('ncols 4', 'ncols 10000').replace('nrows 3', 'nrows 10000'), 'grid/truncated'],
    ['a size beyond the limit', HEADER.replace('ncols 4', 'ncols 100000').replace('nrows 3', 'nrows 100000'), 'grid/too-large'],
    ['fewer columns than the rows hold', HEADER.replace('ncols 4', 'ncols 3'), 'ascii-grid/too-many-numbers'],
  ])('%s', async (_, header, expected) => {
    expect(await code(header + ROWS)).toBe(expected)
  })

  test('a word, a decimal comma or a formula among the numbers is told with its place', async () => {
    for (const wrong of ['106,5', 'abc', '=1+1', '1e', '0x6a']) {
      const refused = await refusal(() => read(HEADER + ROWS.replace('106.5', wrong)))
      expect(refused).toMatchObject({ code: 'ascii-grid/number', details: { row: 2, column: 2 } })
    }
  })

  test('at every length a cut file is refused or asked about, never read in part', async () => {
    const whole = HEADER + ROWS.trimEnd()
    // A last number that was cut still is a number: only its missing end is not seen.
    for (let length = 1; length < whole.length - 2; length++) {
      const refused = await refusal(() => read(whole.slice(0, length)))
      expect(['grid/truncated', 'grid/unknown-format', 'ascii-grid/header', 'ascii-grid/number']).toContain(refused.code)
    }
  })

  test('a size is refused before anything is allocated; an abort is heard', async () => {
    const before = process.memoryUsage().arrayBuffers
    await code(HEADER.replace('ncols 4', 'ncols 19999').replace('nrows 3', 'nrows 19999') + ROWS)
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(10e6)
    await expect(readElevation(bytes(HEADER + ROWS), { ...local, signal: AbortSignal.abort(new Error('enough')) })).rejects.toThrow(
      'enough',
    )
  })
})
