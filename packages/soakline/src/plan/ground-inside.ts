import type { LengthUnit } from '../foundation/index.js'

/**
 * The raster's own file within the plan, packed, so that the plan opens where the raster is not at hand. What was answered when the file was read goes
 * with it, so that it is read the same again.
 */
export interface GroundInside {
  readonly packing: 'deflate' | 'none'
  /** Bytes of the file, unpacked. */
  readonly bytes: number
  readonly base64: string
  readonly options: {
    readonly crs?: string
    readonly elevationUnit?: LengthUnit
    /** `none`: no value means "no data". */
    readonly nodata?: number | 'none' | readonly number[]
    readonly band?: number
    readonly member?: string
    readonly join?: boolean
    readonly colours?: { readonly base_m: number; readonly step_m: number }
    readonly tile?: { readonly z: number; readonly x: number; readonly y: number }
  }
}

const isNumber = (value: unknown): boolean => typeof value === 'number' && Number.isFinite(value)
const areNumbers =
  (...keys: readonly string[]) =>
  (value: unknown): boolean =>
    typeof value === 'object' && value !== null && keys.every(key => isNumber((value as Record<string, unknown>)[key]))

const OPTIONS: Readonly<Record<keyof GroundInside['options'], (value: unknown) => boolean>> = {
  crs: value => typeof value === 'string',
  elevationUnit: value => value === 'm' || value === 'ft' || value === 'ftUS',
  nodata: value => value === 'none' || isNumber(value) || (Array.isArray(value) && value.every(isNumber)),
  band: isNumber,
  member: value => typeof value === 'string',
  join: value => typeof value === 'boolean',
  colours: areNumbers('base_m', 'step_m'),
  tile: areNumbers('z', 'x', 'y'),
}

/** What is wrong with the ground in a plan; null where nothing is. */
export function problemWithGroundInside(value: unknown): string | null {
  const inside = value as Partial<GroundInside> | null
  if (typeof inside !== 'object' || inside === null) return '"ground.inside" must be an object'
  if (inside.packing !== 'deflate' && inside.packing !== 'none') return '"ground.inside.packing" must be deflate or none'
  if (!Number.isInteger(inside.bytes) || inside.bytes! < 1) return '"ground.inside.bytes" must be a whole number above 0'
  if (typeof inside.base64 !== 'string' || !/^[A-Za-z0-9+/]+={0,2}$/.test(inside.base64) || inside.base64.length % 4 !== 0)
    return '"ground.inside.base64" must be base 64'
  const options: unknown = inside.options
  if (typeof options !== 'object' || options === null) return '"ground.inside.options" must be an object'
  for (const [key, given] of Object.entries(options))
    if (!Object.hasOwn(OPTIONS, key) || !OPTIONS[key as keyof GroundInside['options']](given))
      return `"ground.inside.options.${key.slice(0, 40)}" is not known or has a value that cannot be used`
  return null
}

/** JSON Schema (2020-12) of the ground in a plan. */
export function groundInsideSchema(): Record<string, unknown> {
  const text = { type: 'string' }
  const number = { type: 'number' }
  return {
    description: "The raster's own file, so that the plan opens without it; absent: it is named and known by its hash alone.",
    type: 'object',
    required: ['packing', 'bytes', 'base64', 'options'],
    properties: {
      packing: { enum: ['deflate', 'none'] },
      bytes: { type: 'integer', minimum: 1 },
      base64: { type: 'string', contentEncoding: 'base64' },
      options: {
        type: 'object',
        additionalProperties: false,
        properties: {
          crs: text,
          elevationUnit: { enum: ['m', 'ft', 'ftUS'] },
          nodata: { anyOf: [number, { const: 'none' }, { type: 'array', items: number }] },
          band: number,
          member: text,
          join: { type: 'boolean' },
          colours: { type: 'object', required: ['base_m', 'step_m'], properties: { base_m: number, step_m: number } },
          tile: { type: 'object', required: ['z', 'x', 'y'], properties: { z: number, x: number, y: number } },
        },
      },
    },
  }
}
