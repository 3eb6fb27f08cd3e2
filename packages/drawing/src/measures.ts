import { M2_PER_ACRE, M2_PER_HECTARE, M3_PER_CUBIC_FOOT, M3_PER_US_GALLON, METRES_PER, MM_PER_INCH } from 'soakline/foundation'
import { inLanguage, numberLocale, type Voice } from './voice.js'

/** A number that may have been asked for and not be known. */
export type Maybe = number | null | undefined

const FT = METRES_PER.ft
const M3_PER_ACRE_FOOT = M2_PER_ACRE * FT
const M3_PER_CUBIC_YARD = 27 * M3_PER_CUBIC_FOOT
const M2_PER_SQUARE_FOOT = FT * FT

const known = (value: Maybe): value is number => typeof value === 'number' && Number.isFinite(value)
const notKnown = (voice: Voice): string => inLanguage(voice, { en: 'not known', es: 'sin dato' })

function written(value: number, voice: Voice, options: Intl.NumberFormatOptions): string {
  // −0 and the engine's own no-break spaces would make two texts of one number.
  return formatOf(numberLocale(voice), options)
    .format(value === 0 ? 0 : value)
    .replace(/[\u00a0\u202f]/g, ' ')
}

/** Making a format takes a hundred times as long as using it, and there are few: each is made once. */
const formats = new Map<string, Intl.NumberFormat>()

function formatOf(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${JSON.stringify(options)}`
  let format = formats.get(key)
  if (format === undefined) {
    format = new Intl.NumberFormat(locale, options)
    formats.set(key, format)
  }
  return format
}

/** A number with at most so many decimals; "not known" for null or NaN, never 0. */
export const formatNumber = (value: Maybe, voice: Voice, decimals = 0): string =>
  known(value) ? written(Math.abs(value) < 0.5 * 10 ** -decimals ? 0 : value, voice, { maximumFractionDigits: decimals }) : notKnown(voice)

/** A height as it stands along a contour: no mark between thousands. */
export const formatLevel = (value: Maybe, voice: Voice, decimals = 0): string =>
  known(value) ? written(value, voice, { maximumFractionDigits: decimals, useGrouping: false }) : notKnown(voice)

/** A coordinate: always to so many decimals, no mark between thousands. */
export const formatPlace = (value: Maybe, voice: Voice, decimals: number): string =>
  known(value)
    ? written(value, voice, { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false })
    : notKnown(voice)

/** What stands between ones and tenths where this voice is read. */
export const decimalMark = (voice: Voice): string => written(0.5, voice, { minimumFractionDigits: 1 }).replace(/\d/g, '')

/** A number to so many significant digits, so that it looks as sure as it is. */
export const formatSignificant = (value: Maybe, voice: Voice, digits = 2): string =>
  !known(value)
    ? notKnown(voice)
    : value === 0
      ? '0'
      : written(value, voice, { minimumSignificantDigits: digits, maximumSignificantDigits: digits })

/** A whole number in the reader’s manner. */
export const formatCount = (value: Maybe, voice: Voice): string => formatNumber(value, voice, 0)

/** A distance on the ground: decimals only below 10, tens from 1000 on. Metres or feet. */
export function formatLength(length_m: Maybe, voice: Voice): string {
  if (!known(length_m)) return notKnown(voice)
  const us = voice.units === 'us'
  const value = us ? length_m / FT : length_m
  const size = Math.abs(value)
  const decimals = size < 1 ? 2 : size < 10 ? 1 : 0
  const shown = size >= 1000 ? Math.round(value / 10) * 10 : value
  return `${formatNumber(shown, voice, us && size < 1 ? 1 : decimals)} ${us ? feet(voice) : 'm'}`
}

/** A small height, as of a ditch or a sill: centimetres of a metre, or inches up to 3 feet. */
export function formatHeight(height_m: Maybe, voice: Voice): string {
  if (!known(height_m)) return notKnown(voice)
  if (voice.units === 'metric') return `${formatNumber(height_m, voice, Math.abs(height_m) < 10 ? 2 : 1)} m`
  const inches = (height_m * 1000) / MM_PER_INCH
  return Math.abs(inches) < 36
    ? `${formatNumber(inches, voice, Math.abs(inches) < 10 ? 1 : 0)} ${inch(voice)}`
    : `${formatNumber(height_m / FT, voice, 1)} ${feet(voice)}`
}

/** A height above the datum. */
export const formatElevation = (elevation_m: Maybe, voice: Voice, decimals = 1): string =>
  known(elevation_m)
    ? voice.units === 'us'
      ? `${formatNumber(elevation_m / FT, voice, decimals)} ${feet(voice)}`
      : `${formatNumber(elevation_m, voice, decimals)} m`
    : notKnown(voice)

/** A level that is set with an instrument: always to the centimetre, or to hundredths of a foot. */
export const formatStakeLevel = (elevation_m: Maybe, voice: Voice): string =>
  known(elevation_m)
    ? `${written(voice.units === 'us' ? elevation_m / FT : elevation_m, voice, { minimumFractionDigits: 2, maximumFractionDigits: 2 })} ${voice.units === 'us' ? feet(voice) : 'm'}`
    : notKnown(voice)

/** A distance along a line, as a tape measures it: to tenths, of metres or feet. */
export const formatAlong = (length_m: Maybe, voice: Voice): string =>
  known(length_m)
    ? `${formatNumber(voice.units === 'us' ? length_m / FT : length_m, voice, 1)} ${voice.units === 'us' ? feet(voice) : 'm'}`
    : notKnown(voice)

/** A small height as an instrument sets it: tenths of a centimetre, or hundredths of an inch. */
export const formatFine = (height_m: Maybe, voice: Voice): string =>
  known(height_m)
    ? voice.units === 'us'
      ? `${formatNumber((height_m * 1000) / MM_PER_INCH, voice, 2)} ${inch(voice)}`
      : `${formatNumber(height_m * 100, voice, 1)} cm`
    : notKnown(voice)

/** An area of ground: m² up to a hectare, then hectares; square feet up to a quarter acre, then acres. */
export function formatArea(area_m2: Maybe, voice: Voice, digits = 2): string {
  if (!known(area_m2)) return notKnown(voice)
  const shown = (value: number): string => formatSignificant(value, voice, digits)
  if (voice.units === 'metric') return area_m2 < M2_PER_HECTARE ? `${shown(area_m2)} m²` : `${shown(area_m2 / M2_PER_HECTARE)} ha`
  const acres = area_m2 / M2_PER_ACRE
  if (acres < 0.25) return `${shown(area_m2 / M2_PER_SQUARE_FOOT)} ${inLanguage(voice, { en: 'sq ft', es: 'pies²' })}`
  return `${shown(acres)} ${inLanguage(voice, { en: acres < 0.995 ? 'acre' : 'acres', es: 'acres' })}`
}

/** A volume of water: whole litres up to 1 m³, then m³; gallons up to an acre-foot, then acre-feet. */
export function formatVolume(volume_m3: Maybe, voice: Voice, digits = 2): string {
  if (!known(volume_m3)) return notKnown(voice)
  if (voice.units === 'metric') {
    if (Math.abs(volume_m3) < 1)
      return `${formatNumber(Number((volume_m3 * 1000).toPrecision(digits)), voice, 0)} ${inLanguage(voice, { en: 'liters', es: 'litros' })}`
    return `${formatSignificant(volume_m3, voice, digits)} m³`
  }
  if (Math.abs(volume_m3) < M3_PER_ACRE_FOOT)
    return `${formatNumber(Number((volume_m3 / M3_PER_US_GALLON).toPrecision(digits)), voice, 0)} ${inLanguage(voice, { en: 'gallons', es: 'galones' })}`
  return `${formatSignificant(volume_m3 / M3_PER_ACRE_FOOT, voice, digits)} ${inLanguage(voice, { en: 'acre-feet', es: 'acres-pie' })}`
}

/** A volume of soil: m³ or cubic yards. */
export const formatEarth = (volume_m3: Maybe, voice: Voice, digits = 2): string =>
  known(volume_m3)
    ? voice.units === 'metric'
      ? `${formatSignificant(volume_m3, voice, digits)} m³`
      : `${formatSignificant(volume_m3 / M3_PER_CUBIC_YARD, voice, digits)} ${inLanguage(voice, { en: 'cubic yards', es: 'yardas³' })}`
    : notKnown(voice)

/** A depth of rain or runoff. Units: mm in; whole mm or tenths of an inch out. */
export const formatDepth = (depth_mm: Maybe, voice: Voice): string =>
  known(depth_mm)
    ? voice.units === 'metric'
      ? `${formatNumber(depth_mm, voice, Math.abs(depth_mm) < 10 ? 1 : 0)} mm`
      : `${formatNumber(depth_mm / MM_PER_INCH, voice, Math.abs(depth_mm) < MM_PER_INCH ? 2 : 1)} ${inch(voice)}`
    : notKnown(voice)

/** A gradient as a percentage, two significant digits. */
export function formatSlope(slope_ratio: Maybe, voice: Voice): string {
  if (!known(slope_ratio)) return notKnown(voice)
  const percent = (ratio: number): string => written(ratio, voice, { style: 'percent', maximumSignificantDigits: 2 })
  // What rounding of heights leaves of a level line is no fall that anybody could set out.
  return slope_ratio !== 0 && Math.abs(slope_ratio) < LEAST_SLOPE
    ? `${inLanguage(voice, { en: 'under', es: 'menos de' })} ${percent(LEAST_SLOPE)}`
    : percent(slope_ratio)
}

/** The smallest fall that is told apart from level: a centimetre in 100 m. Source: judgement; no tool of the trade sets less. */
const LEAST_SLOPE = 1e-4

/** A chance in each year, as people count: "1 in 25 each year". */
export function formatChance(chancePerYear: Maybe, voice: Voice): string {
  if (!known(chancePerYear) || chancePerYear <= 0 || chancePerYear > 1) return notKnown(voice)
  const years = 1 / chancePerYear
  const whole = Math.round(years)
  const [part, of] = Math.abs(years - whole) <= 0.02 * years ? [1, whole] : [Number((chancePerYear * 100).toPrecision(2)), 100]
  return `${formatNumber(part, voice, 1)} ${inLanguage(voice, { en: 'in', es: 'entre' })} ${formatNumber(of, voice, 0)} ${inLanguage(voice, { en: 'each year', es: 'cada año' })}`
}

/** A speed of water: m/s or ft/s, one decimal. */
export const formatSpeed = (speed_ms: Maybe, voice: Voice): string =>
  known(speed_ms)
    ? voice.units === 'metric'
      ? `${formatNumber(speed_ms, voice, speed_ms < 1 ? 2 : 1)} m/s`
      : `${formatNumber(speed_ms / METRES_PER.ft, voice, 1)} ${feet(voice)}/s`
    : notKnown(voice)

/** A flow of water: litres or cubic feet a second, two significant digits. */
export const formatFlow = (flow_m3s: Maybe, voice: Voice): string =>
  known(flow_m3s)
    ? voice.units === 'metric'
      ? `${formatSignificant(flow_m3s * 1000, voice)} ${inLanguage(voice, { en: 'liters/s', es: 'litros/s' })}`
      : `${formatSignificant(flow_m3s / M3_PER_CUBIC_FOOT, voice)} ${inLanguage(voice, { en: 'cubic ft/s', es: 'pies³/s' })}`
    : notKnown(voice)

/** A rate at which soil takes water. Units: mm/h, or inches an hour. */
export const formatIntake = (rate_mmh: Maybe, voice: Voice): string =>
  known(rate_mmh)
    ? voice.units === 'metric'
      ? `${formatNumber(rate_mmh, voice, rate_mmh < 10 ? 1 : 0)} mm/h`
      : `${formatNumber(rate_mmh / MM_PER_INCH, voice, 2)} ${inch(voice)}/h`
    : notKnown(voice)

// A pound of force is 4.4482216152605 N (0.45359237 kg under 9.80665 m/s²).
const PA_PER_PSF = 4.4482216152605 / M2_PER_SQUARE_FOOT

/** Pull of water on its bed. Units: Pa, or pounds a square foot. */
export const formatPull = (pull_Pa: Maybe, voice: Voice): string =>
  known(pull_Pa)
    ? voice.units === 'metric'
      ? `${formatNumber(pull_Pa, voice, 0)} Pa`
      : `${formatNumber(pull_Pa / PA_PER_PSF, voice, 2)} ${inLanguage(voice, { en: 'lb/sq ft', es: 'lb/pie²' })}`
    : notKnown(voice)

/** How freely water passes a sill, C of Q = C L H^1.5. Units: √m/s, or √ft/s. */
export const formatWeirCoefficient = (coefficient: Maybe, voice: Voice): string =>
  known(coefficient)
    ? voice.units === 'metric'
      ? `${formatNumber(coefficient, voice, 2)} √m/s`
      : `${formatNumber(coefficient / Math.sqrt(FT), voice, 2)} √${feet(voice)}/s`
    : notKnown(voice)

/** A length of time: minutes below an hour, days from ten days on. */
export function formatDuration(duration_h: Maybe, voice: Voice): string {
  if (!known(duration_h)) return notKnown(voice)
  if (duration_h < 1) return `${formatNumber(duration_h * 60, voice, 0)} ${inLanguage(voice, { en: 'minutes', es: 'minutos' })}`
  if (duration_h >= 240) return `${formatNumber(duration_h / 24, voice, 0)} ${inLanguage(voice, { en: 'days', es: 'días' })}`
  return `${formatNumber(duration_h, voice, duration_h < 100 ? 1 : 0)} ${inLanguage(voice, duration_h === 1 ? { en: 'hour', es: 'hora' } : { en: 'hours', es: 'horas' })}`
}

/** The sign of a unit as it is written after a number: feet and inches have another one in Spanish. */
export const unitSign = (sign: string, voice: Voice): string => sign.replace('ft', feet(voice)).replace(/\bin\b/, inch(voice))

const feet = (voice: Voice): string => inLanguage(voice, { en: 'ft', es: 'pies' })
const inch = (voice: Voice): string => inLanguage(voice, { en: 'in', es: 'pulg' })

/** The formats bound to one voice, as sentences use them. */
export interface Measures {
  length(m: Maybe): string
  height(m: Maybe): string
  elevation(m: Maybe): string
  area(m2: Maybe): string
  volume(m3: Maybe): string
  earth(m3: Maybe): string
  depth(mm: Maybe): string
  slope(ratio: Maybe): string
  chance(perYear: Maybe): string
  duration(h: Maybe): string
  speed(ms: Maybe): string
  flow(m3s: Maybe): string
  count(n: Maybe): string
  number(n: Maybe): string
}

/** Numbers with their units, as a reader wants them. */
export const measuresOf = (voice: Voice): Measures => ({
  length: m => formatLength(m, voice),
  height: m => formatHeight(m, voice),
  elevation: m => formatElevation(m, voice),
  area: m2 => formatArea(m2, voice),
  volume: m3 => formatVolume(m3, voice),
  earth: m3 => formatEarth(m3, voice),
  depth: mm => formatDepth(mm, voice),
  slope: ratio => formatSlope(ratio, voice),
  chance: perYear => formatChance(perYear, voice),
  duration: h => formatDuration(h, voice),
  speed: ms => formatSpeed(ms, voice),
  flow: m3s => formatFlow(m3s, voice),
  count: n => formatCount(n, voice),
  number: n => formatNumber(n, voice, 2),
})
