import {
  decimalMark,
  formatArea,
  formatChance,
  formatDepth,
  formatDuration,
  formatEarth,
  formatElevation,
  formatHeight,
  formatLength,
  formatSlope,
  formatVolume,
  unitSign,
} from '@soakline/drawing'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US } from './hillside.js'

test('lengths: decimals only where they can be believed', () => {
  expect([0.25, 0.5, 7.54, 41.3, 999.4, 1234.5].map(m => formatLength(m, EN))).toEqual([
    '0.25 m',
    '0.5 m',
    '7.5 m',
    '41 m',
    '999 m',
    '1,230 m',
  ])
})

test('the decimal mark and the sign of feet are the reader’s', () => {
  expect([EN, ES, { ...ES, locale: 'es-MX' }].map(decimalMark)).toEqual(['.', ',', '.'])
  expect([unitSign('ft', EN_US), unitSign('ft', ES_US), unitSign('ft³', ES_US), unitSign('m', ES)]).toEqual(['ft', 'pies', 'pies³', 'm'])
})

test('a foot is 0.3048 m exactly (international yard and pound agreement, 1959)', () => {
  expect(formatLength(0.3048, EN_US)).toBe('1 ft')
  expect(formatLength(30.48, EN_US)).toBe('100 ft')
  expect(formatElevation(1524, EN_US)).toBe('5,000 ft')
  expect(formatHeight(0.3048, EN_US)).toBe('12 in')
  expect(formatHeight(0.0254, EN_US)).toBe('1 in')
  expect(formatHeight(1.524, EN_US)).toBe('5 ft')
})

test('an acre is 4046.8564224 m² exactly (43,560 square feet of 0.3048² m²)', () => {
  expect(43_560 * 0.3048 ** 2).toBeCloseTo(4046.8564224, 9)
  expect(formatArea(2 * 4046.8564224, EN_US)).toBe('2.0 acres')
  expect(formatArea(0.5 * 4046.8564224, EN_US)).toBe('0.50 acre')
  expect(formatArea(9.290304, EN_US)).toBe('100 sq ft')
})

test('areas in metric: hectares from one hectare on', () => {
  expect([850, 9_400, 18_300, 1_204_000].map(m2 => formatArea(m2, EN))).toEqual(['850 m²', '9,400 m²', '1.8 ha', '120 ha'])
})

test('a US gallon is 231 cubic inches exactly, an acre-foot 43,560 cubic feet', () => {
  expect(231 * 0.0254 ** 3).toBeCloseTo(0.003785411784, 15)
  expect(formatVolume(100 * 0.003785411784, EN_US)).toBe('100 gallons')
  expect(formatVolume(38, EN_US)).toBe('10,000 gallons')
  expect(formatVolume(2 * 43_560 * 0.3048 ** 3, EN_US)).toBe('2.0 acre-feet')
  expect(formatEarth(27 * 0.3048 ** 3 * 68, EN_US)).toBe('68 cubic yards')
})

test('never decimals of a liter', () => {
  expect(formatVolume(0.4567, EN)).toBe('460 liters')
  expect(formatVolume(0.0014, EN)).toBe('1 liters')
  expect(formatVolume(38.4, EN)).toBe('38 m³')
  expect(formatVolume(612, EN)).toBe('610 m³')
})

test('rain: an inch is 25.4 mm exactly', () => {
  expect(formatDepth(118, EN)).toBe('118 mm')
  expect(formatDepth(4.57, EN)).toBe('4.6 mm')
  expect(formatDepth(254, EN_US)).toBe('10 in')
  expect(formatDepth(12.7, EN_US)).toBe('0.5 in')
})

test('chances as people count them', () => {
  expect(formatChance(0.04, EN)).toBe('1 in 25 each year')
  expect(formatChance(0.04, ES)).toBe('1 entre 25 cada año')
  expect(formatChance(0.01, EN)).toBe('1 in 100 each year')
  expect(formatChance(0.3, EN)).toBe('30 in 100 each year')
  expect(formatChance(1 / 30, EN)).toBe('1 in 30 each year')
  expect(formatChance(0, EN)).toBe('not known')
})

test('slopes and hours', () => {
  expect(formatSlope(0.1234, EN)).toBe('12%')
  expect(formatSlope(0.0034, ES)).toBe('0,34 %')
  // A line that is level but for rounding: 5.1e-9 was once printed as 0.00000051%.
  expect(formatSlope(5.1e-9, EN)).toBe('under 0.01%')
  expect(formatSlope(-5.1e-9, ES)).toBe('menos de 0,01 %')
  expect([formatSlope(1e-4, EN), formatSlope(0, EN), formatSlope(null, EN)]).toEqual(['0.01%', '0%', 'not known'])
  expect([720, 24, 1, 0.25].map(h => formatDuration(h, EN))).toEqual(['30 days', '24 hours', '1 hour', '15 minutes'])
})

test('Spanish has the decimal comma unless the locale says otherwise', () => {
  expect(formatArea(18_000, ES)).toBe('1,8 ha')
  expect(formatArea(18_000, { ...ES, locale: 'es-MX' })).toBe('1.8 ha')
  expect(formatLength(0.3048 * 7.5, ES_US)).toBe('7,5 pies')
})

test('a locale that no engine can read gives way to the language', () => {
  expect(formatArea(18_000, { ...ES, locale: 'not a locale!' })).toBe('1,8 ha')
})

test('unknown is never 0', () => {
  for (const format of [
    formatLength,
    formatHeight,
    formatElevation,
    formatArea,
    formatVolume,
    formatEarth,
    formatDepth,
    formatSlope,
    formatChance,
    formatDuration,
  ])
    for (const nothing of [null, undefined, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(format(nothing, EN)).toBe('not known')
      expect(format(nothing, ES)).toBe('sin dato')
    }
})

test('no −0', () => {
  expect(formatLength(-0.001, EN)).toBe('0 m')
  expect(formatHeight(-0, EN)).toBe('0 m')
})
