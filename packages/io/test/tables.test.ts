import { readRainTable, sha256Hex, writeCsv } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { sha256 } from '../src/sha256.js'
import { refusal } from './refusal.js'

const codeOf = async (text: string): Promise<string> => (await refusal(() => readRainTable(text))).code

describe('rain table', () => {
  const header = 'duration_h,chance_per_year,depth_mm'

  test('plain; with semicolons and decimal commas, a byte-order mark and CR LF; with return periods; in inches', () => {
    const rows = [
      { duration_h: 1, chancePerYear: 0.1, depth_mm: 40.5 },
      { duration_h: 24, chancePerYear: 0.1, depth_mm: 110 },
    ]
    expect(readRainTable(`${header}\n1,0.1,40.5\n24,0.1,110\n`)).toEqual({ rows, warnings: [] })
    expect(readRainTable('\uFEFFduration_h;chance_per_year;depth_mm\r\n1;0,1;40,5\r\n\r\n24;0,1;110\r\n').rows).toEqual(rows)
    expect(readRainTable('Depth_mm,"return_period_yr", duration_h\n40.5,10,1\n110,10,24').rows).toEqual(rows)
    expect(readRainTable('duration_h,chance_per_year,depth_in\n1,0.5,2').rows[0]!.depth_mm).toBeCloseTo(50.8, 12)
  })

  test('a header that is not known is refused with what is expected', async () => {
    for (const text of [
      'hours,p,mm\n1,0.1,3',
      `${header},note\n1,0.1,3,x`,
      'duration_h,depth_mm\n1,3',
      `${header},return_period_yr\n1,0.1,3,10`,
      'duration_h,chance_per_year,depth_mm,depth_in\n1,0.1,3,1',
      `duration_h,${header}\n1,1,0.1,3`,
    ]) {
      const refused = await refusal(() => readRainTable(text))
      expect(refused.code).toBe('rain/header')
      expect(refused.message).toContain(header)
    }
    expect(await codeOf('')).toBe('rain/empty')
    expect(await codeOf(header)).toBe('rain/empty')
  })

  test('numbers are plain numbers within reason', async () => {
    for (const row of ['1,0.1,forty', '1,0.1,', '1,0.1', '1,0.1,4,0', '1,0.1,0x10', '1,0.1,NaN'])
      expect(await codeOf(`${header}\n${row}`), row).toBe('rain/number')
    for (const row of ['0,0.1,40', '-1,0.1,40', '1,0,40', '1,10,40', '1,-0.1,40', '1,0.1,0', '1,0.1,-4', '1,0.1,1e9', '1e9,0.1,5'])
      expect(await codeOf(`${header}\n${row}`), row).toBe('rain/out-of-range')
    expect(await codeOf('duration_h,return_period_yr,depth_mm\n1,0.5,40')).toBe('rain/out-of-range')
    expect(await codeOf('duration_h,return_period_yr,depth_mm\n1,0,40')).toBe('rain/out-of-range')
  })

  test('rows that contradict each other are named', async () => {
    const longer = await refusal(() => readRainTable(`${header}\n1,0.1,40\n24,0.1,30`))
    expect(longer.code).toBe('rain/not-monotone')
    expect(longer.details.lines).toEqual([2, 3])
    expect(await codeOf(`${header}\n1,0.1,40\n1,0.01,30`)).toBe('rain/not-monotone')
    expect(await codeOf(`${header}\n1,0.1,40\n1,0.1,41`)).toBe('rain/duplicate')
    expect(readRainTable(`${header}\n1,0.1,40\n2,0.5,30`).rows.length).toBe(2)
  })
})

describe('CSV', () => {
  test('RFC 4180 quoting, empty cells for what is not known, numbers as numbers', () => {
    expect(
      writeCsv(
        ['name', 'x_m', 'ok'],
        [
          ['a "b", c', -1.5, true],
          ['two\nlines', Number.NaN, null],
        ],
      ),
    ).toBe('name,x_m,ok\r\n"a ""b"", c",-1.5,true\r\n"two\nlines",,\r\n')
  })

  test('failure 95: text never becomes a formula; negative numbers stay numbers', () => {
    expect(writeCsv(['t'], [['=1+1'], ['+1'], ['-1'], ['@SUM(A1)'], ['\t=1'], [' =1'], [-1]])).toBe(
      "t\r\n'=1+1\r\n'+1\r\n'-1\r\n'@SUM(A1)\r\n'\t=1\r\n' =1\r\n-1\r\n",
    )
  })
})

describe('hash', () => {
  test('FIPS 180-4 examples (from memory): "abc" and nothing, by the platform and by hand', async () => {
    const hex = (bytes: Uint8Array): string => Array.from(bytes, byte => byte.toString(16).padStart(2, '0')).join('')
    for (const [text, digest] of [
      ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
      ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ] as const) {
      const bytes = new TextEncoder().encode(text) as Uint8Array<ArrayBuffer>
      expect(await sha256Hex(bytes)).toBe(digest)
      expect(hex(sha256(bytes))).toBe(digest)
    }
    for (const length of [55, 56, 63, 64, 65, 1000]) {
      const bytes = Uint8Array.from({ length }, (_, k) => (k * 31) & 255)
      expect(hex(sha256(bytes))).toBe(await sha256Hex(bytes))
    }
  })
})
