import { InputError } from '../foundation/index.js'
import {
  dayOfDate,
  HOLLOW_TREATMENTS,
  type HollowTreatment,
  measuredHyetograph,
  type RainRow,
  type SoilRecord,
  soilRecordFrom,
  soilRecordSchema,
} from '../hydrology/index.js'
import type { LoggedStorm } from './care.js'
import { type GroundInside, groundInsideSchema, problemWithGroundInside } from './ground-inside.js'
import type { Plant } from './plant-list.js'
import { type Settings, settingsFrom, settingsSchema } from './settings.js'
import { problemWithRecords, recordSchemas, type SiteRecords } from './site-records.js'

/** Longitude and latitude, WGS 84 degrees; in a plan on a `local` raster, its own metres. */
export type Place = readonly [number, number]

/** A feature as the plan keeps it: GeoJSON geometry with its kind. */
export interface PlanFeature {
  readonly id: string
  readonly kind: string
  readonly name: string | null
  readonly floor_m: number | null
  /** Height of a wall over the ground; absent when not given. */
  readonly height_m?: number
  /** Whom its drawing is owed to, where it was brought from open map data; absent when drawn here. */
  readonly source?: string
  readonly geometry: { readonly type: string; readonly coordinates: unknown }
}

/** A choice about the hollow that holds a place. */
export interface PlanHollow {
  readonly at: Place
  readonly treatment: HollowTreatment
}

/** A line as drawn. */
export interface PlanLine {
  readonly id: string
  readonly path: readonly Place[]
  /** How a traced line came about, so that dragging its middle or an end traces it anew; absent for a line drawn freely. */
  readonly traced?: {
    readonly through: Place
    /** Fall along the line; it runs with the uphill side on its left. */
    readonly fall_ratio: number
    readonly length_m: number
  }
}

/**
 * What a steward has put in, never what came out: results are worked out again when the plan is opened. Unknown keys of a newer version are kept.
 */
export interface Plan extends SiteRecords {
  readonly format: 'soakline-plan/1'
  readonly holding: string
  /** The raster that the plan was drawn on: its name and its content, so that another one is noticed. */
  readonly ground: {
    readonly file: string
    readonly sha256: string
    readonly crs: string
    readonly elevationUnit: 'm' | 'ft' | 'ftUS' | null
    readonly nodata: number | null
    /** The raster itself, where the user chose to keep it in the plan. */
    readonly inside?: GroundInside
  }
  readonly lines: readonly PlanLine[]
  readonly features: readonly PlanFeature[]
  readonly rain: readonly RainRow[]
  /** What was dug and seen, its places as the plan's; absent: nothing yet. */
  readonly soil?: SoilRecord
  /** A storm as it was measured: the depth of each step. */
  readonly measuredStorm?: { readonly step_h: number; readonly depths_mm: readonly number[]; readonly source: string }
  /** A record of daily rain; null for a day that nobody measured. */
  readonly dailyRain?: { readonly firstDay: string; readonly depths_mm: readonly (number | null)[]; readonly source: string }
  /** What to do with hollows, each named by a place in it; absent: all pass their water on as if full. */
  readonly hollows?: readonly PlanHollow[]
  /** The user's own plants; absent: general types are shown. */
  readonly plants?: readonly Plant[]
  /** Storms as they were seen. */
  readonly stormLog?: readonly LoggedStorm[]
  /** Only what the user has set; everything else is assumed. */
  readonly settings: Partial<Settings>
}

/** A plan with nothing drawn yet. */
export const emptyPlan = (holding: string, ground: Plan['ground']): Plan => ({
  format: 'soakline-plan/1',
  holding,
  ground,
  lines: [],
  features: [],
  rain: [],
  settings: {},
})

const FORBIDDEN = new Set(['__proto__', 'constructor', 'prototype'])

/**
 * A plan from the text of a file. Keys that this version does not know are kept as they are.
 *
 * Throws  `plan/not-json`, `plan/format`, `plan/bad-value`, `plan/forbidden-key`, and what `settingsFrom`, `stormLogFrom` and `plantsFrom` throw.
 */
export function readPlan(text: string): Plan {
  let value: unknown
  try {
    value = JSON.parse(text, (key, item: unknown) => {
      if (FORBIDDEN.has(key))
        throw new InputError(
          'plan/forbidden-key',
          `The plan holds the key "${key}", which no plan needs. It was not opened; ask where the file comes from.`,
          { key },
        )
      return item
    })
  } catch (error) {
    if (error instanceof InputError) throw error
    throw new InputError('plan/not-json', 'The plan is not readable as JSON: it may be cut off. Open another copy of it.')
  }
  const plan = value as Plan
  if (typeof value !== 'object' || value === null || plan.format !== 'soakline-plan/1')
    throw new InputError(
      'plan/format',
      `This is not a plan of the kind soakline-plan/1 (it says ${JSON.stringify((value as { format?: unknown } | null)?.format ?? null)}). Open a file that this program saved.`,
    )
  const bad = (what: string): InputError => new InputError('plan/bad-value', `In the plan, ${what}. It was not opened.`, { what })
  if (typeof plan.ground?.file !== 'string' || typeof plan.ground.sha256 !== 'string' || typeof plan.ground.crs !== 'string')
    throw bad('"ground" needs file, sha256 and crs')
  const wrongGround = plan.ground.inside === undefined ? null : problemWithGroundInside(plan.ground.inside)
  if (wrongGround !== null) throw bad(wrongGround)
  if (!Array.isArray(plan.lines) || !plan.lines.every(line => typeof line?.id === 'string' && isPath(line.path)))
    throw bad('"lines" must hold lines with an id and a path of at least two places')
  if (
    !Array.isArray(plan.features) ||
    !plan.features.every(f => typeof f?.id === 'string' && typeof f.kind === 'string' && typeof f.geometry?.type === 'string')
  )
    throw bad('"features" must hold features with id, kind and geometry')
  if (
    !Array.isArray(plan.rain) ||
    !plan.rain.every(row => [row?.duration_h, row?.chancePerYear, row?.depth_mm].every(n => typeof n === 'number' && Number.isFinite(n)))
  )
    throw bad('"rain" must hold rows of duration_h, chancePerYear and depth_mm')
  if (
    plan.hollows !== undefined &&
    !(Array.isArray(plan.hollows) && plan.hollows.every(hollow => isPlace(hollow?.at) && HOLLOW_TREATMENTS.includes(hollow.treatment)))
  )
    throw bad('"hollows" must hold places with a treatment (fill, carve or keep)')
  if (plan.soil !== undefined) soilRecordFrom(plan.soil)
  if (plan.dailyRain !== undefined) {
    const { firstDay, depths_mm } = plan.dailyRain ?? {}
    if (
      typeof firstDay !== 'string' ||
      !/^\d{4}-\d{2}-\d{2}$/.test(firstDay) ||
      !Array.isArray(depths_mm) ||
      !depths_mm.every(depth => depth === null || (typeof depth === 'number' && depth >= 0 && depth < Infinity))
    )
      throw bad('"dailyRain" must hold firstDay (YYYY-MM-DD) and a depth of 0 or more, or null, for each day')
    dayOfDate(firstDay)
  }
  if (plan.measuredStorm !== undefined) {
    const { step_h, depths_mm } = plan.measuredStorm ?? {}
    if (!Array.isArray(depths_mm) || typeof step_h !== 'number') throw bad('"measuredStorm" must hold step_h and a depth for each step')
    measuredHyetograph(step_h, depths_mm, '')
  }
  const wrong = problemWithRecords(plan)
  if (wrong !== null) throw bad(wrong)
  settingsFrom(plan.settings)
  return plan
}

const isPlace = (place: unknown): boolean =>
  Array.isArray(place) && place.length >= 2 && place.every(n => typeof n === 'number' && Number.isFinite(n))

const isPath = (path: unknown): boolean => Array.isArray(path) && path.length > 1 && path.every(isPlace)

/**
 * The text of a plan's file: known keys in one order, then unknown ones by their names.
 *
 * Laws  `readPlan(writePlan(plan))` is the same plan, unknown keys and all · plans that say the same give the same text, whatever their history.
 */
export function writePlan(plan: Plan): string {
  const known = Object.keys(planSchema().properties as object)
  const place = (key: string): number => (known.includes(key) ? known.indexOf(key) : known.length)
  const inOrder = Object.entries(plan).sort(([a], [b]) => place(a) - place(b) || (a < b ? -1 : 1))
  return `${JSON.stringify(Object.fromEntries(inOrder), null, 2)}\n`
}

/** JSON Schema (2020-12) of a plan file. */
export function planSchema(): Record<string, unknown> {
  const place = { type: 'array', items: { type: 'number' }, minItems: 2 }
  const text = { type: 'string' }
  const numberOrNull = { type: ['number', 'null'] }
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'soakline-plan/1',
    description:
      'Inputs of a plan, never its results. Places are [longitude, latitude] in WGS 84 degrees, or metres of the raster when its crs is "local".',
    type: 'object',
    required: ['format', 'holding', 'ground', 'lines', 'features', 'rain', 'settings'],
    properties: {
      format: { const: 'soakline-plan/1' },
      holding: text,
      ground: {
        type: 'object',
        required: ['file', 'sha256', 'crs', 'elevationUnit', 'nodata'],
        properties: {
          file: text,
          sha256: text,
          crs: text,
          elevationUnit: { enum: ['m', 'ft', 'ftUS', null] },
          nodata: numberOrNull,
          inside: groundInsideSchema(),
        },
      },
      lines: {
        type: 'array',
        items: { type: 'object', required: ['id', 'path'], properties: { id: text, path: { type: 'array', items: place, minItems: 2 } } },
      },
      features: {
        type: 'array',
        items: {
          type: 'object',
          required: ['id', 'kind', 'name', 'floor_m', 'geometry'],
          properties: {
            id: text,
            kind: text,
            name: { type: ['string', 'null'] },
            floor_m: numberOrNull,
            height_m: { type: 'number', exclusiveMinimum: 0 },
            source: text,
            geometry: { type: 'object', required: ['type', 'coordinates'], properties: { type: text, coordinates: { type: 'array' } } },
          },
        },
      },
      rain: {
        type: 'array',
        items: {
          type: 'object',
          required: ['duration_h', 'chancePerYear', 'depth_mm'],
          properties: {
            duration_h: { type: 'number', exclusiveMinimum: 0 },
            chancePerYear: { type: 'number', exclusiveMinimum: 0, maximum: 1 },
            depth_mm: { type: 'number', exclusiveMinimum: 0 },
          },
        },
      },
      hollows: {
        type: 'array',
        items: { type: 'object', required: ['at', 'treatment'], properties: { at: place, treatment: { enum: [...HOLLOW_TREATMENTS] } } },
      },
      soil: soilRecordSchema(),
      measuredStorm: {
        type: 'object',
        required: ['step_h', 'depths_mm'],
        properties: {
          step_h: { type: 'number', exclusiveMinimum: 0 },
          depths_mm: { type: 'array', items: { type: 'number', minimum: 0 }, minItems: 1 },
          source: text,
        },
      },
      dailyRain: {
        type: 'object',
        required: ['firstDay', 'depths_mm'],
        properties: {
          firstDay: { type: 'string', pattern: '^\\d{4}-\\d{2}-\\d{2}$' },
          depths_mm: { type: 'array', items: { type: ['number', 'null'], minimum: 0 } },
          source: text,
        },
      },
      ...recordSchemas(),
      settings: settingsSchema(),
    },
  }
}
