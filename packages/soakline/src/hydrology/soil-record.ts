import { InputError } from '../foundation/index.js'
import type { Point } from '../raster/index.js'
import { TEXTURES, type Texture } from './green-ampt.js'
import { type AugerReading, augerIntake_mmh, type PitReading, pitIntake_mmh, type RingReading, ringIntake_mmh } from './intake-test.js'
import { refuseNegative } from './method-limits.js'

/** Depth at which something was met in a pit; `none` where it was looked for down to the pit's floor, null where nobody looked. */
export type DepthMet = number | 'none' | null

/**
 * What crumbs do in rain water, looked at after 10 minutes and again after 2 hours: `none` they stay whole, `slaking` they fall apart in clear water,
 * `slight-halo` a hint of cloud close to a crumb, `halo` a cloud that spreads (3 moderate, 4 strong).
 *
 * Source  grades 1 (the first two), 2, and 3–4 of the crumb test, ASTM D6572 (abstract and a laboratory's wording of the grades read, the standard itself
 *         not; its crumbs 6–10 mm after 5–10 min). The test finds dispersive soil better than it rules it out; sand and gravel are unfit for it.
 */
export const CRUMB_TESTS = ['none', 'slaking', 'slight-halo', 'halo'] as const
/** One of `CRUMB_TESTS`. */
export type CrumbTest = (typeof CRUMB_TESTS)[number]

/** How many roots a layer shows. */
export const ROOTS = ['many', 'few', 'none'] as const
/** One of `ROOTS`. */
export type Roots = (typeof ROOTS)[number]

/** A layer of a pit, from the top down; null for what nobody noted. */
export interface SoilLayer {
  readonly from_m: number
  readonly to_m: number
  readonly texture: Texture | null
  readonly roots: Roots | null
  /** Rust and grey in spots: the layer stands under water for part of the year. */
  readonly mottled: boolean | null
}

/** A reading of an intake test, or a plain rate with what it was measured in. */
export type IntakeReading =
  | ({ readonly method: 'ring' } & RingReading)
  | ({ readonly method: 'pit' } & PitReading)
  | ({ readonly method: 'auger' } & AugerReading)
  | { readonly method: 'rate'; readonly rate_mmh: number; readonly measuredIn: MeasuredIn }
/** What an intake test was made in. */
export const MEASURED_IN = ['ring', 'pit', 'auger', 'other'] as const
/** One of `MEASURED_IN`. */
export type MeasuredIn = (typeof MEASURED_IN)[number]

/** An intake test made in a pit. */
export interface FieldTest {
  /** Depth of the tested floor below the ground; null when not noted. */
  readonly depth_m: number | null
  readonly reading: IntakeReading
}

/** A pit dug to look at the soil: placed by a point, or by its distance along the line. */
export interface SoilPit {
  readonly id: string
  readonly at: Point | null
  readonly chainage_m: number | null
  readonly depth_m: number
  readonly layers: readonly SoilLayer[]
  readonly mottlingDepth_m: DepthMet
  readonly waterDepth_m: DepthMet
  readonly rockDepth_m: DepthMet
  /** Of soil from the depth of the bed; null when not made. */
  readonly crumbTest: CrumbTest | null
  readonly cracks: boolean | null
  readonly tests: readonly FieldTest[]
}

/** What eyes see on a walk. `pipe` is an old drain or pipe, `tunnel-hole` a hole washed out by water under the ground. */
export const SIGHTING_KINDS = [
  'slip',
  'ground-crack',
  'hummocks',
  'leaning-trees',
  'seep',
  'tunnel-hole',
  'pipe',
  'cracked-clay',
  'stock-path',
  'roof-water',
  'track-water',
] as const
/** One of `SIGHTING_KINDS`. */
export type SightingKind = (typeof SIGHTING_KINDS)[number]

/** A thing seen on the walk, and where; null where nobody marked the place. */
export interface Sighting {
  readonly kind: SightingKind
  readonly at: Point | null
}

/** What was found by digging and walking. */
export interface SoilRecord {
  readonly pits: readonly SoilPit[]
  readonly sightings: readonly Sighting[]
}

/** A record with nothing in it: everything that rests on soil is unknown. */
export const EMPTY_SOIL_RECORD: SoilRecord = { pits: [], sightings: [] }

/** Intake that a reading gives. Units: mm/h. Throws `soil/bad-test`. Source: `ringIntake_mmh`, `pitIntake_mmh`, `augerIntake_mmh`. */
export function readIntake_mmh(reading: IntakeReading): number {
  if (reading.method === 'ring') return ringIntake_mmh(reading)
  if (reading.method === 'pit') return pitIntake_mmh(reading)
  if (reading.method === 'auger') return augerIntake_mmh(reading)
  refuseNegative('soil/bad-test', { rate_mmh: reading.rate_mmh }, 'Give mm/h.')
  return reading.rate_mmh
}

/** Depth of the first mottling in a pit: as noted, or the top of the first mottled layer where that is less deep. */
export function firstMottling_m({ mottlingDepth_m, layers }: SoilPit): DepthMet {
  const layer = layers.find(l => l.mottled === true)?.from_m
  if (layer === undefined) return mottlingDepth_m
  return typeof mottlingDepth_m === 'number' ? Math.min(mottlingDepth_m, layer) : layer
}

/** The same record with its places put into another plane, as from the degrees of a plan's file into metres. */
export const placedSoilRecord = ({ pits, sightings }: SoilRecord, place: (at: Point) => Point): SoilRecord => ({
  pits: pits.map(pit => ({ ...pit, at: pit.at && place(pit.at) })),
  sightings: sightings.map(sighting => ({ ...sighting, at: sighting.at && place(sighting.at) })),
})

/** Deepest pit that is taken; deeper ones are a slip of units. Source: judgement. */
const DEEPEST_PIT_m = 10

/**
 * A soil record from plain data, such as a plan's file holds: `{ pits, sightings }`, with the keys of `SoilPit` and `Sighting`. What may be null may
 * be left out.
 *
 * Units   m below the ground; places in any plane or in degrees: they are not looked into here.
 * Laws    a record that this gave is given back the same.
 * Throws  `soil/bad-record`, with the place and the key; `soil/bad-test` for a reading that no intake follows from.
 */
export function soilRecordFrom(value: unknown): SoilRecord {
  const root = objectOf(value, 'the record')
  const pits = listOf(root.pits, 'pits', 'the record').map(pitFrom)
  const ids = new Set(pits.map(pit => pit.id))
  if (ids.size < pits.length) throw bad('the record', 'pits', 'two pits have the same id')
  const sightings = listOf(root.sightings, 'sightings', 'the record').map((item, k): Sighting => {
    const where = `sighting ${k + 1}`
    const sighting = objectOf(item, where)
    return { kind: oneOf(sighting.kind, SIGHTING_KINDS, 'kind', where), at: pointOf(sighting.at, where) }
  })
  return { pits, sightings }
}

function pitFrom(value: unknown, k: number): SoilPit {
  const where = `pit ${k + 1}`
  const pit = objectOf(value, where)
  const depth_m = numberOf(pit.depth_m, 'depth_m', where, 0, DEEPEST_PIT_m)
  if (depth_m === 0) throw bad(where, 'depth_m', 'a pit is deeper than 0 m')
  const at = pointOf(pit.at, where)
  const chainage_m = missing(pit.chainage_m) ? null : numberOf(pit.chainage_m, 'chainage_m', where, 0, 1e6)
  if ((at === null) === (chainage_m === null)) throw bad(where, 'at', 'a pit has either a place or a distance along the line')
  const layers = listOf(pit.layers, 'layers', where).map((item, n): SoilLayer => {
    const here = `${where}, layer ${n + 1}`
    const layer = objectOf(item, here)
    return {
      from_m: numberOf(layer.from_m, 'from_m', here, 0, depth_m),
      to_m: numberOf(layer.to_m, 'to_m', here, 0, depth_m + ROUNDING_m),
      texture: missing(layer.texture) ? null : oneOf(layer.texture, TEXTURES, 'texture', here),
      roots: missing(layer.roots) ? null : oneOf(layer.roots, ROOTS, 'roots', here),
      mottled: answerOf(layer.mottled, 'mottled', here),
    }
  })
  for (const [n, { from_m, to_m }] of layers.entries()) {
    if (!(to_m > from_m)) throw bad(`${where}, layer ${n + 1}`, 'to_m', `it ends at ${to_m} m, not below its top at ${from_m} m`)
    if (n > 0 && from_m < layers[n - 1]!.to_m - ROUNDING_m)
      throw bad(`${where}, layer ${n + 1}`, 'from_m', 'it begins above the end of the layer before; give layers from the top down')
  }
  if (!missing(pit.id) && typeof pit.id !== 'string') throw bad(where, 'id', 'it is a text')
  const tests = listOf(pit.tests, 'tests', where).map((item, n): FieldTest => {
    const here = `${where}, test ${n + 1}`
    const test = objectOf(item, here)
    const reading = readingFrom(test.reading, here)
    readIntake_mmh(reading)
    return { depth_m: missing(test.depth_m) ? null : numberOf(test.depth_m, 'depth_m', here, 0, DEEPEST_PIT_m), reading }
  })
  return {
    id: missing(pit.id) ? `pit-${k + 1}` : (pit.id as string),
    at,
    chainage_m,
    depth_m,
    layers,
    mottlingDepth_m: metOf(pit.mottlingDepth_m, 'mottlingDepth_m', where, depth_m),
    waterDepth_m: metOf(pit.waterDepth_m, 'waterDepth_m', where, depth_m),
    rockDepth_m: metOf(pit.rockDepth_m, 'rockDepth_m', where, depth_m),
    crumbTest: missing(pit.crumbTest) ? null : oneOf(pit.crumbTest, CRUMB_TESTS, 'crumbTest', where),
    cracks: answerOf(pit.cracks, 'cracks', where),
    tests,
  }
}

const READING_KEYS = {
  ring: ['water_mL', 'time_min', 'innerDiameter_mm'],
  pit: ['length_m', 'width_m', 'waterDepth_m', 'from75To25_min'],
  auger: ['radius_mm', 'from_mm', 'to_mm', 'time_min'],
  rate: ['rate_mmh'],
} as const

function readingFrom(value: unknown, where: string): IntakeReading {
  const reading = objectOf(value, where)
  const method = oneOf(reading.method, ['ring', 'pit', 'auger', 'rate'] as const, 'method', where)
  const numbers = Object.fromEntries(READING_KEYS[method].map(key => [key, numberOf(reading[key], key, where, 0, 1e9)]))
  const measuredIn = method === 'rate' ? { measuredIn: oneOf(reading.measuredIn, MEASURED_IN, 'measuredIn', where) } : {}
  return { method, ...numbers, ...measuredIn } as IntakeReading
}

/** JSON Schema (2020-12) of a soil record within a plan's file. */
export function soilRecordSchema(): Record<string, unknown> {
  const place = { type: ['array', 'null'], items: { type: 'number' }, minItems: 2, maxItems: 2 }
  const depth = { type: 'number', minimum: 0, maximum: DEEPEST_PIT_m }
  const met = { oneOf: [{ type: 'number', minimum: 0, maximum: DEEPEST_PIT_m }, { enum: ['none', null] }] }
  const answer = { type: ['boolean', 'null'] }
  const oneOrNull = (values: readonly string[]) => ({ enum: [...values, null] })
  const list = (required: readonly string[], properties: Record<string, unknown>) => ({
    type: 'array',
    items: { type: 'object', required, properties },
  })
  return {
    type: 'object',
    properties: {
      pits: list(['depth_m'], {
        id: { type: 'string' },
        at: place,
        chainage_m: { type: ['number', 'null'], minimum: 0 },
        depth_m: { ...depth, exclusiveMinimum: 0 },
        layers: list(['from_m', 'to_m'], {
          from_m: depth,
          to_m: depth,
          texture: oneOrNull(TEXTURES),
          roots: oneOrNull(ROOTS),
          mottled: answer,
        }),
        mottlingDepth_m: met,
        waterDepth_m: met,
        rockDepth_m: met,
        crumbTest: oneOrNull(CRUMB_TESTS),
        cracks: answer,
        tests: list(['reading'], {
          depth_m: { type: ['number', 'null'], minimum: 0, maximum: DEEPEST_PIT_m },
          reading: {
            oneOf: Object.entries(READING_KEYS).map(([method, keys]) => ({
              type: 'object',
              required: ['method', ...keys, ...(method === 'rate' ? ['measuredIn'] : [])],
              properties: {
                method: { const: method },
                ...Object.fromEntries(keys.map(key => [key, { type: 'number', minimum: 0 }])),
                ...(method === 'rate' ? { measuredIn: { enum: [...MEASURED_IN] } } : {}),
              },
            })),
          },
        }),
      }),
      sightings: list(['kind'], { kind: { enum: [...SIGHTING_KINDS] }, at: place }),
    },
  }
}

/** Depths are noted to the centimetre: layers that miss each other by less than half of it meet. */
const ROUNDING_m = 0.005

const missing = (value: unknown): value is null | undefined => value === null || value === undefined

const bad = (where: string, key: string, why: string): InputError =>
  new InputError('soil/bad-record', `In the soil record, ${where} has a wrong ${key}: ${why}. Mend it and open the record again.`, {
    where,
    key,
    why,
  })

function objectOf(value: unknown, where: string): Readonly<Record<string, unknown>> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw bad(where, 'form', 'it is no object')
  return value as Readonly<Record<string, unknown>>
}

function listOf(value: unknown, key: string, where: string): readonly unknown[] {
  if (missing(value)) return []
  if (!Array.isArray(value)) throw bad(where, key, 'it is no list')
  return value
}

function numberOf(value: unknown, key: string, where: string, least: number, most: number): number {
  if (typeof value !== 'number' || !(value >= least && value <= most))
    throw bad(where, key, `it is ${JSON.stringify(value)}, not a number from ${least} to ${most}`)
  return value
}

function oneOf<const T extends string>(value: unknown, allowed: readonly T[], key: string, where: string): T {
  if (!allowed.includes(value as T)) throw bad(where, key, `it is ${JSON.stringify(value ?? null)}, not one of ${allowed.join(', ')}`)
  return value as T
}

function answerOf(value: unknown, key: string, where: string): boolean | null {
  if (missing(value)) return null
  if (typeof value !== 'boolean') throw bad(where, key, 'it is true, false or left out')
  return value
}

function metOf(value: unknown, key: string, where: string, depth_m: number): DepthMet {
  if (missing(value)) return null
  if (value === 'none') return value
  return numberOf(value, key, where, 0, depth_m + ROUNDING_m)
}

function pointOf(value: unknown, where: string): Point | null {
  if (missing(value)) return null
  const place = listOf(value, 'at', where)
  if (place.length !== 2 || !place.every(n => typeof n === 'number' && Number.isFinite(n))) throw bad(where, 'at', 'a place is two numbers')
  return [place[0] as number, place[1] as number]
}
