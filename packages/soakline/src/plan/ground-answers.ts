import type { LengthUnit } from '../foundation/index.js'
import type { Plan } from './plan-file.js'

/** What was said about a raster when it was read, so that nobody is asked again; what is absent was not asked. */
export interface GroundAnswers {
  /** `EPSG:n`, a definition, or `local`. */
  readonly crs?: string
  readonly elevationUnit?: LengthUnit
  /** Values that mean "no data"; an empty list says that none does. */
  readonly nodata?: readonly number[]
  /** Which band holds the heights, from 1. */
  readonly band?: number
  /** Which file of an archive. */
  readonly member?: string
  /** Whether all rasters brought are tiles of one. */
  readonly join?: boolean
  /** How heights are packed into colours. */
  readonly colours?: { readonly base_m: number; readonly step_m: number }
  /** Which map tile it is. */
  readonly tile?: { readonly z: number; readonly x: number; readonly y: number }
  /** Gaps up to this area that are filled. */
  readonly fillVoids_m2?: number
  /** The part that was cut out: west, south, east, north in degrees or in the raster's own coordinates. */
  readonly window?: { readonly box: readonly [number, number, number, number]; readonly in: 'lonlat' | 'own' }
}

/** The answers of a plan's ground; those of a plan from before they were kept follow from what it kept of them. */
export function groundAnswers({ crs, elevationUnit, nodata, answers }: Plan['ground']): GroundAnswers {
  if (answers !== undefined) return answers
  return {
    ...(crs === 'local' ? { crs } : {}),
    ...(elevationUnit === null ? {} : { elevationUnit }),
    ...(nodata === null ? {} : { nodata: [nodata] }),
  }
}

const MOST_VALUES = 16
const UNITS: readonly unknown[] = ['m', 'ft', 'ftUS'] satisfies readonly LengthUnit[]
const isNumber = (value: unknown): boolean => typeof value === 'number' && Number.isFinite(value)
const isCount = (value: unknown): boolean => Number.isSafeInteger(value) && (value as number) >= 0
const isText = (value: unknown): boolean => typeof value === 'string' && value.length > 0 && value.length <= 4096
const member = (value: unknown, key: string): unknown =>
  typeof value === 'object' && value !== null ? (value as Record<string, unknown>)[key] : undefined

/** What each answer must be. */
const CHECKS: { readonly [K in keyof Required<GroundAnswers>]: (value: unknown) => boolean } = {
  crs: isText,
  elevationUnit: value => UNITS.includes(value),
  nodata: value => Array.isArray(value) && value.length <= MOST_VALUES && value.every(isNumber),
  band: value => isCount(value) && value !== 0,
  member: isText,
  join: value => typeof value === 'boolean',
  colours: value => isNumber(member(value, 'base_m')) && isNumber(member(value, 'step_m')),
  tile: value => ['z', 'x', 'y'].every(key => isCount(member(value, key))),
  fillVoids_m2: value => isNumber(value) && (value as number) >= 0,
  window: value => {
    const [box, system] = [member(value, 'box'), member(value, 'in')]
    return Array.isArray(box) && box.length === 4 && box.every(isNumber) && (system === 'lonlat' || system === 'own')
  },
}

/** What is wrong with the answers of a parsed plan; null where nothing is. Keys of a newer version are left alone. */
export function problemWithAnswers(answers: unknown, where = 'ground.answers'): string | null {
  if (answers === undefined) return null
  if (typeof answers !== 'object' || answers === null || Array.isArray(answers))
    return `"${where}" must hold what was said about the raster`
  const wrong = (Object.keys(CHECKS) as (keyof GroundAnswers)[]).find(key => {
    const value = (answers as Record<string, unknown>)[key]
    return value !== undefined && !CHECKS[key](value)
  })
  return wrong === undefined ? null : `"${where}.${wrong}" is not what it must be`
}

/** JSON Schema (2020-12) of the answers. */
export const answersSchema = (): Record<string, unknown> => {
  const text = { type: 'string', minLength: 1, maxLength: 4096 }
  const count = { type: 'integer', minimum: 0 }
  const numbers = { type: 'number' }
  return {
    type: 'object',
    description: 'What was said about the raster when it was read, so that nobody is asked again. What is absent was not asked.',
    properties: {
      crs: text,
      elevationUnit: { enum: [...UNITS] },
      nodata: { type: 'array', items: numbers, maxItems: MOST_VALUES },
      band: { type: 'integer', minimum: 1 },
      member: text,
      join: { type: 'boolean' },
      colours: { type: 'object', required: ['base_m', 'step_m'], properties: { base_m: numbers, step_m: numbers } },
      tile: { type: 'object', required: ['z', 'x', 'y'], properties: { z: count, x: count, y: count } },
      fillVoids_m2: { type: 'number', minimum: 0 },
      window: {
        type: 'object',
        required: ['box', 'in'],
        properties: { box: { type: 'array', items: numbers, minItems: 4, maxItems: 4 }, in: { enum: ['lonlat', 'own'] } },
      },
    },
  }
}
