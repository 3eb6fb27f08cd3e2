import { readDailyRain, readMeasuredStorm, readPrecipitationFrequency } from '@soakline/io'
import { seededRandom } from 'soakline/foundation'
import { dateOfDay, dayOfDate } from 'soakline/hydrology'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const FIRST = dayOfDate('2019-01-01')
const days = (count: number, row: (date: string, k: number) => string | null, first = FIRST): string =>
  Array.from({ length: count }, (_, k) => row(dateOfDay(first + k), k))
    .filter(line => line !== null)
    .join('\n')

describe('daily rain', () => {
  const plain = `date,depth_mm\n${days(730, (date, k) => `${date},${k % 10}`)}`

  test('plain; the same with other words, units, signs, newest first', () => {
    const { rain, gaps, warnings } = readDailyRain(plain)
    expect(rain.firstDay).toBe('2019-01-01')
    expect(rain.depths_mm.length).toBe(730)
    expect(rain.depths_mm.slice(0, 12)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 0, 1])
    expect([gaps, warnings]).toEqual([[], []])
    const same = (text: string, options = {}): void => {
      const read = readDailyRain(text, options).rain
      expect(read.firstDay).toBe('2019-01-01')
      for (const [k, depth] of read.depths_mm.entries()) expect(depth).toBeCloseTo(k % 10, 9)
      expect(read.depths_mm.length).toBe(730)
    }
    same(`\uFEFFFecha;Lluvia_mm\r\n${days(730, (date, k) => `${date.replaceAll('-', '/')};${k % 10},0`).replaceAll('\n', '\r\n')}`)
    same(`day\train_in\n${days(730, (date, k) => `${date}\t${(k % 10) / 25.4}`)}`)
    same(`date,PRCP (0.1 mm)\n${days(730, (date, k) => `${date},${(k % 10) * 10}`)}`)
    same(`date,precip_hundredths_in\n${days(730, (date, k) => `${date},${((k % 10) * 100) / 25.4}`)}`)
    same(`date,rain\n${days(730, (date, k) => `${date.replaceAll('-', '')},${k % 10}`)}`, { unit: 'mm' })
    const [head, ...rows] = plain.split('\n')
    same([head, ...rows.reverse()].join('\n'))
    const turned = (order: 'dmy' | 'mdy') =>
      `date,rain_mm\n${days(730, (date, k) => {
        const [y, m, d] = date.split('-')
        return `${order === 'dmy' ? `${d}/${m}` : `${m}/${d}`}/${y},${k % 10}`
      })}`
    same(turned('dmy'), { dateOrder: 'day-month-year' })
    same(turned('mdy'), { dateOrder: 'month-day-year' })
  })

  test('what is missing is a gap and told; it is no dry day', () => {
    const text = `# station 12\ndate,rain_mm,temp\n${days(800, (date, k) => (k >= 100 && k < 103 ? null : `${date},${k === 200 ? 'NA' : k === 201 ? -9999 : k === 202 ? 'T' : 2},12`))}`
    const { rain, gaps, warnings } = readDailyRain(text)
    expect(gaps).toEqual([
      { from: '2019-04-11', to: '2019-04-13', days: 3 },
      { from: '2019-07-20', to: '2019-07-21', days: 2 },
    ])
    expect(rain.depths_mm[202]).toBe(0)
    expect(rain.depths_mm.slice(99, 104)).toEqual([2, Number.NaN, Number.NaN, Number.NaN, 2])
    expect(warnings).toEqual([
      { code: 'rain-record/gaps', details: { days: 5, gaps: 2, longest: 3, first: '2019-04-11' } },
      { code: 'rain-record/traces', details: { readings: 1 } },
      { code: 'rain-record/columns-left-out', details: { columns: 'temp' } },
    ])
    expect(readDailyRain(text, { missing: 'dry' }).gaps).toEqual([{ from: '2019-07-20', to: '2019-07-21', days: 2 }])
  })

  test('hours are summed to days; a day that lacks an hour is a gap', () => {
    const random = seededRandom(3)
    const depths = Array.from({ length: 400 * 24 }, () => (random.uniform() < 0.1 ? Math.round(80 * random.uniform()) / 10 : 0))
    const text = `time,precip_mm\n${depths
      .map((depth, k) => [`${dateOfDay(FIRST + Math.floor(k / 24))}T${String(k % 24).padStart(2, '0')}:00Z`, depth] as const)
      .filter((_, k) => k !== 55)
      .map(row => row.join(','))
      .join('\n')}`
    const { rain, gaps } = readDailyRain(text)
    expect(gaps).toEqual([{ from: '2019-01-03', to: '2019-01-03', days: 1 }])
    for (const day of [0, 1, 3, 77, 399]) {
      const sum = depths.slice(24 * day, 24 * day + 24).reduce((a, b) => a + b, 0)
      expect(rain.depths_mm[day]).toBeCloseTo(sum, 9)
    }
    const dry = readDailyRain(text, { missing: 'dry' }).rain
    expect(dry.depths_mm.reduce((a, b) => a + b, 0)).toBeCloseTo(
      depths.reduce((a, b, k) => (k === 55 ? a : a + b), 0),
      6,
    )
  })

  test('refused, with the line', async () => {
    const rest = days(400, (date, k) => (k === 0 ? null : `${date},1`))
    const with1 = (header: string, row: string): string => `${header}\n${row}\n${rest}`
    for (const [text, code] of [
      ['', 'rain-record/empty'],
      ['date,depth_mm', 'rain-record/empty'],
      [plain.split('\n').slice(0, 365).join('\n'), 'rain-record/short-record'],
      [with1('date,depth', '2019-01-01,1'), 'rain-record/unit-unknown'],
      [with1('when,depth_mm', '2019-01-01,1'), 'rain-record/header'],
      [with1('date,temp', '2019-01-01,1'), 'rain-record/header'],
      [with1('date,rain_mm', '03/04/2019,1'), 'rain-record/date-order'],
      [with1('date,rain_mm', '3/4/19,1'), 'rain-record/date'],
      [with1('date,rain_mm', '2019-02-29,1'), 'rain-record/date'],
      [with1('date,rain_mm', '2019-13-01,1'), 'rain-record/date'],
      [with1('date,rain_mm', 'January 1,1'), 'rain-record/date'],
      [with1('date,rain_mm', '2019-01-01,1,5'), 'rain-record/number'],
      [with1('date,rain_mm', '2019-01-01,wet'), 'rain-record/number'],
      [with1('date,rain_mm', '2019-01-01,-3'), 'rain-record/out-of-range'],
      [with1('date,rain_mm', '2019-01-01,2001'), 'rain-record/out-of-range'],
      [with1('date,rain_in', '2019-01-01,100'), 'rain-record/out-of-range'],
      [with1('date,rain_mm', '2019-01-05,1'), 'rain-record/not-in-order'],
      [`${plain}\n2020-12-30,1`, 'rain-record/duplicate-day'],
      [with1('date,rain_mm', '2019-01-02,1'), 'rain-record/duplicate-day'],
      [with1('date,rain_mm', '1019-01-01,1'), 'rain-record/too-long'],
      [with1('date,rain_mm', '2019-01-01 05:00,1'), 'rain-record/mixed-times'],
      ['time,rain_mm\n2019-01-01 00:00Z,1\n2019-01-01 01:00+01:00,1', 'rain-record/mixed-zones'],
      ['time,rain_mm\n2019-01-01 00:00,1\n2019-01-01 01:00,1\n2019-01-01 02:30,1', 'rain-record/uneven-steps'],
    ] as const)
      expect((await refusal(() => readDailyRain(text))).code, text.slice(0, 60)).toBe(code)
    expect((await refusal(() => readDailyRain('date,rain_mm,precip_in\n2019-01-01,1,1'))).code).toBe('rain-record/several-columns')
    expect((await refusal(() => readDailyRain(plain, { unit: 'in' }))).code).toBe('rain-record/unit-contradiction')
    expect((await refusal(() => readDailyRain(with1('date,rain_mm', '2019-01-02,1')))).details).toEqual({
      lines: [2, 3],
      day: '2019-01-02',
    })
    expect(readDailyRain(`date,rain_mm,precip_in\n${days(400, date => `${date},1,3`)}`, { depthColumn: 'rain_mm' }).rain.depths_mm[0]).toBe(
      1,
    )
  })
})

describe('a storm as measured', () => {
  test('depths in steps, fallen so far, intensities and a clock tell the same storm', () => {
    const depths = [0, 2, 8, 3, 1]
    const step = readMeasuredStorm('time_min,depth_mm\n0,0\n5,2\n10,8\n15,3\n20,1')
    expect(step.depths_mm).toEqual(depths)
    expect([step.step_h, step.shortestBurst_h]).toEqual([5 / 60, 5 / 60])
    const same = (text: string): void => {
      const storm = readMeasuredStorm(text)
      expect(storm.step_h).toBeCloseTo(5 / 60, 9)
      expect(storm.depths_mm.length).toBe(5)
      for (const [k, depth] of storm.depths_mm.entries()) expect(depth).toBeCloseTo(depths[k]!, 9)
    }
    same('cumulative_mm,time_min\n0,0\n0,5\n2,10\n10,15\n13,20\n14,25')
    same('time_min;intensity_mmh\n0;0\n5;24\n10;96,0\n15;36\n20;12')
    same('time,rain_mm\n2020-05-01 23:50,0\n2020-05-01 23:55,2\n2020-05-02 00:00,8\n2020-05-02 00:05,3\n2020-05-02 00:10,1')
    expect(readMeasuredStorm('time_h,depth_in\n0,1\n1,0').depths_mm).toEqual([25.4, 0])
  })

  test('a gap is no dry spell', async () => {
    for (const [text, code] of [
      ['time_min,depth_mm\n0,0\n5,2\n15,3', 'rain-record/uneven-steps'],
      ['time_min,depth_mm\n5,0\n0,2', 'rain-record/uneven-steps'],
      ['time_min,depth_mm\n0,0', 'rain-record/empty'],
      ['time_min,depth_mm,note\n0,0,x\n5,1,y', 'rain-record/header'],
      ['time_min,intensity_mm\n0,0\n5,1', 'rain-record/header'],
      ['time_min,depth_mm\n0,0\n5,', 'rain-record/number'],
      ['time_min,depth_mm\n0,0\n5,-1', 'rain-record/number'],
      ['time_min,cumulative_mm\n0,0\n5,3\n10,2', 'rain-record/cumulative'],
      ['time_min,cumulative_mm\n0,1\n5,3\n10,4', 'rain-record/cumulative'],
      ['time,rain_mm\n2020-05-01 00:00,1\n2020-05-01 00:05,NA', 'rain-record/gap-in-storm'],
    ] as const)
      expect((await refusal(() => readMeasuredStorm(text))).code, text).toBe(code)
  })
})

describe('point precipitation frequencies', () => {
  const text = (kind: string, series: string, unit = 'inches'): string =>
    `Point precipitation frequency estimates (${unit})\nNOAA Atlas 14 Volume 9 Version 2\nData type: ${kind}\nTime series type: ${series}\nLatitude: 26.6 Degree\nLongitude: -81.9 Degree\n\nPRECIPITATION FREQUENCY ESTIMATES\nby duration for ARI (years):, 2,10\n30-min:, 1,2\n2-day:, 4,8\n\nDate/time (GMT): x`

  test('depths and intensities, inches and millimetres, both series', () => {
    const read = readPrecipitationFrequency(text('Precipitation depth', 'Partial duration'))
    expect(read).toMatchObject({ series: 'partial-duration', latitude: 26.6, longitude: -81.9, source: 'NOAA Atlas 14 Volume 9 Version 2' })
    expect(read.rows.map(row => [row.duration_h, row.depth_mm])).toEqual([
      [0.5, 25.4],
      [0.5, 50.8],
      [48, 101.6],
      [48, 203.2],
    ])
    expect(read.rows[1]!.chancePerYear).toBeCloseTo(1 - Math.exp(-0.1), 12)
    const intense = readPrecipitationFrequency(text('Precipitation intensity', 'Annual maximum', 'millimeters'))
    expect(intense.rows.map(row => [row.depth_mm, row.chancePerYear])).toEqual([
      [0.5, 0.5],
      [1, 0.1],
      [192, 0.5],
      [384, 0.1],
    ])
  })

  test('what it does not say is not guessed', async () => {
    const good = text('Precipitation depth', 'Partial duration')
    for (const [bad, code] of [
      ['duration_h,chance_per_year,depth_mm\n1,0.1,40', 'rain/not-frequency-table'],
      [good.replace('(inches)', ''), 'rain/not-frequency-table'],
      [good.replace('depth', 'x'), 'rain/not-frequency-table'],
      [good.replace('Partial duration', 'x'), 'rain/not-frequency-table'],
      [good.replace('1,2\n2-day', '1,x\n2-day'), 'rain/number'],
      [good.replace('1,2\n2-day', '1\n2-day'), 'rain/number'],
      [good.replace('30-min:, 1,2\n2-day:, 4,8\n', ''), 'rain/empty'],
    ] as const)
      expect((await refusal(() => readPrecipitationFrequency(bad))).code).toBe(code)
  })
})
