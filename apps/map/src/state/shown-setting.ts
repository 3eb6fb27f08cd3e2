import type { UnitSystem } from '@soakline/drawing'
import { M3_PER_CUBIC_FOOT, METRES_PER, MM_PER_INCH } from 'soakline/foundation'
import { SETTINGS, type Settings } from 'soakline/plan'

/** How a setting's number is written for people. */
export interface ShownUnit {
  /** What stands after the number; a key of the sheet's words, or a unit sign. */
  readonly sign:
    | ('m' | 'ft' | 'mm' | 'in' | 'm³' | 'ft³' | '%' | ': 1' | 'h' | '' | 'chance' | 'mm/h' | 'in/h' | '√m/s' | '√ft/s' | '×')
    | ('°' | 'kPa' | 'lb/ft²' | 'kN/m³' | 'lb/ft³')
  /** True where only whole numbers make sense. */
  readonly whole?: true
  readonly toShown: (value: number) => number
  readonly fromShown: (shown: number) => number
}

const plain = (sign: ShownUnit['sign']): ShownUnit => ({ sign, toShown: v => v, fromShown: v => v })
const times = (sign: ShownUnit['sign'], factor: number): ShownUnit => ({ sign, toShown: v => v * factor, fromShown: v => v / factor })

/** Bare numbers that are no shares of anything. */
const NO_SHARES: readonly (keyof Settings)[] = ['curveNumber', 'slideFactor_ratio']

// A pound of force is 4.4482216152605 N.
const PA_PER_PSF = 4.4482216152605 / (METRES_PER.ft * METRES_PER.ft)

/** The unit in which a setting is typed: feet for lengths where people measure in feet, a share as a percentage, a count as a whole number, a chance as "1 in so many". */
export function shownUnit(key: keyof Settings, units: UnitSystem): ShownUnit {
  switch (SETTINGS[key].unit) {
    case 'm':
      return units === 'us' ? times('ft', 1 / METRES_PER.ft) : plain('m')
    case 'mm':
      return units === 'us' ? times('in', 1 / MM_PER_INCH) : plain('mm')
    case 'm3':
      return units === 'us' ? times('ft³', 1 / M3_PER_CUBIC_FOOT) : plain('m³')
    case 'rise/run':
      return times('%', 100)
    case '1':
      return NO_SHARES.includes(key) ? plain('') : times('%', 100)
    case 'horizontal : vertical':
      return plain(': 1')
    case 'h':
      return plain('h')
    case 'mm/h':
      return units === 'us' ? times('in/h', 1 / MM_PER_INCH) : plain('mm/h')
    case '√m/s':
      return units === 'us' ? times('√ft/s', 1 / Math.sqrt(METRES_PER.ft)) : plain('√m/s')
    // Manning's n has the same number in both systems.
    case 's/m^(1/3)':
      return plain('')
    case 'kPa':
      return units === 'us' ? times('lb/ft²', 1000 / PA_PER_PSF) : plain('kPa')
    case 'kN/m3':
      return units === 'us' ? times('lb/ft³', (1000 * METRES_PER.ft) / PA_PER_PSF) : plain('kN/m³')
    case '°':
      return plain('°')
    case 'ditch depths':
    case '×':
      return plain('×')
    case 'count':
      return { ...plain(''), whole: true }
    case 'chance per year':
      return { sign: 'chance', toShown: v => 1 / v, fromShown: v => 1 / v }
    default:
      return plain('')
  }
}

/** A number as it stands in a field: rounded to what people type, with the reader's decimal mark and no mark between thousands. */
export const shownNumber = (value: number, mark = '.'): string =>
  String(Number(value.toFixed(Math.abs(value) < 10 ? 3 : 2))).replace('.', mark)

/** A drawn cut as people type it: points apart by semicolons, each across and up in `METRES_PER` of the unit. */
export const shownCut = (points: readonly (readonly [number, number])[], metresPer: number, mark = '.'): string =>
  points.map(point => point.map(v => shownNumber(v / metresPer, mark)).join(' ')).join('; ')

/** The points of a cut that was typed; null where one is no pair of numbers. */
export function typedCut(text: string, metresPer: number): readonly (readonly [number, number])[] | null {
  const points = text.split(';').map(point => point.trim().split(/\s+/).map(typedNumber))
  return points.every(p => p.length === 2 && p.every(v => v !== null && !Number.isNaN(v)))
    ? points.map(p => [p[0]! * metresPer, p[1]! * metresPer] as const)
    : null
}

/** A number as people type it, with point or comma; null when it is empty, NaN when it is none. */
export function typedNumber(text: string): number | null {
  const trimmed = text.trim().replace(',', '.')
  if (trimmed === '') return null
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(trimmed) ? Number(trimmed) : Number.NaN
}
