import { InputError, METRES_PER, MM_PER_INCH, type Warning } from 'soakline/foundation'
import { SIGHTING_KINDS, type SoilRecord, soilRecordFrom } from 'soakline/hydrology'
import { FEATURE_KINDS } from 'soakline/siting'
import type { Projection } from './crs.js'
import { type PlainFeature, readFeaturePoints, type VectorOptions } from './geojson.js'

type Properties = PlainFeature['properties']

/**
 * Pits and sightings from GeoJSON points.
 *
 * A pit has the property `kind` = `pit` and: `name`; `depth_m`; `mottling_m`, `water_m`, `rock_m` (a depth, or "none" where it was looked for down to the
 * pit's floor); `crumb_test` (none, slaking, slight-halo, halo); `cracks` (true, false); `texture` of the whole pit, or `layers` from the top down,
 * such as "0-0.3 loam many-roots; 0.3-1.4 clay-loam few-roots mottled"; `tests_mmh`, one rate or several with blanks between, with `tests_with` (ring, pit, auger,
 * other) and `test_depth_m`; or the reading itself: `test` (ring, pit, auger) with the keys of that reading. Each `_m` may be `_ft`, `tests_mmh`
 * `tests_inh`. A sighting has `kind` = `sighting` and `seen`, one of `SIGHTING_KINDS`, or that as its kind. Features of other kinds stay for `readFeatures`.
 *
 * Throws  InputError `soil/not-points`, `soil/unknown-kind`, `soil/bad-record` with the feature and the property, `soil/bad-test`, and those of
 *         `readGeoJson` and `Projection`.
 */
export function readSoilRecord(
  text: string,
  projection: Projection,
  options: VectorOptions = {},
): { record: SoilRecord; warnings: Warning[] } {
  const { points, warnings } = readFeaturePoints(text, projection, options)
  const pits: SoilRecord['pits'][number][] = []
  const sightings: SoilRecord['sightings'][number][] = []
  const names = new Set<string>()
  let others = 0
  for (const { at, properties, number } of points) {
    const kind = properties.get('kind')
    const seen = kind === 'sighting' ? properties.get('seen') : SIGHTING_KINDS.includes(kind as never) ? kind : null
    if (kind !== 'pit' && seen === null && FEATURE_KINDS.includes(kind as never)) {
      others++
      continue
    }
    if (kind !== 'pit' && (seen === null || !SIGHTING_KINDS.includes(seen as never)))
      throw new InputError(
        'soil/unknown-kind',
        `Feature ${number} of the soil record is ${JSON.stringify(seen ?? kind ?? null)}; it must be a pit, or a sighting of one of: ${SIGHTING_KINDS.join(', ')}.`,
        { feature: number, kind: seen ?? kind ?? null, allowed: ['pit', ...SIGHTING_KINDS] },
      )
    if (at === null) {
      // A slip may be drawn as an area: then it is no-go ground, which readFeatures makes of it.
      if (kind === 'slip') {
        others++
        continue
      }
      throw new InputError(
        'soil/not-points',
        `Feature ${number} of the soil record is not a point. Mark a pit, or a thing seen, by one point: where it lies nearest to the line.`,
        { feature: number },
      )
    }
    if (kind === 'pit') {
      const plain = inFeature(number, () => plainPit(properties))
      let id = String(properties.get('name') ?? `pit ${number}`)
      if (names.has(id)) id = `${id} (${number})`
      names.add(id)
      const [pit] = inFeature(number, () => soilRecordFrom({ pits: [{ ...plain, id, at }] }).pits)
      pits.push(pit!)
    } else sightings.push({ kind: seen as (typeof SIGHTING_KINDS)[number], at })
  }
  if (others > 0) warnings.push({ code: 'soil/features-left-out', details: { features: others } })
  return { record: { pits, sightings }, warnings }
}

/** Refusals of one feature say which. */
function inFeature<T>(feature: number, work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('soil/'))
      throw new InputError(error.code, `Feature ${feature}: ${error.message}`, { ...error.details, feature })
    throw error
  }
}

const bad = (key: string, why: string): InputError =>
  new InputError('soil/bad-record', `the pit has a wrong ${key}: ${why}. Mend it and open the file again.`, { where: 'the pit', key, why })

function plainPit(properties: Properties): Record<string, unknown> {
  const depth_m = metres(properties, 'depth')
  const layers = properties.get('layers') ?? null
  const texture = properties.get('texture') ?? null
  if (layers !== null && texture !== null) throw bad('texture', 'the layers have textures of their own; give one of the two')
  return {
    depth_m,
    mottlingDepth_m: metres(properties, 'mottling'),
    waterDepth_m: metres(properties, 'water'),
    rockDepth_m: metres(properties, 'rock'),
    crumbTest: properties.get('crumb_test') ?? null,
    cracks: properties.get('cracks') ?? null,
    layers: layers !== null ? layersFrom(layers) : texture !== null ? [{ from_m: 0, to_m: depth_m, texture }] : [],
    tests: testsFrom(properties),
  }
}

/** A measure in metres or feet; null when absent; "none" as it stands. */
function metres(properties: Properties, name: string): unknown {
  const [m, ft] = [properties.get(`${name}_m`) ?? null, properties.get(`${name}_ft`) ?? null]
  if (m !== null && ft !== null) throw bad(name, `it is given as ${name}_m and as ${name}_ft; give one`)
  return typeof ft === 'number' ? ft * METRES_PER.ft : (m ?? ft)
}

const LAYER = /^(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s+([a-z-]+)((?:\s+[a-z-]+)*)$/i
const WORDS: Readonly<Record<string, Readonly<Record<string, unknown>>>> = {
  'many-roots': { roots: 'many' },
  'few-roots': { roots: 'few' },
  'no-roots': { roots: 'none' },
  mottled: { mottled: true },
  'not-mottled': { mottled: false },
}

function layersFrom(text: unknown): Record<string, unknown>[] {
  if (typeof text !== 'string') throw bad('layers', 'they are a text such as "0-0.3 loam; 0.3-1.4 clay-loam mottled", in metres')
  return text
    .split(';')
    .map(part => part.trim())
    .filter(part => part !== '')
    .map(part => {
      const parts = LAYER.exec(part)
      if (!parts)
        throw bad('layers', `"${part.slice(0, 60)}" is no layer; write FROM-TO TEXTURE in metres, such as "0.3-1.4 clay-loam mottled"`)
      const words = parts[4]!
        .trim()
        .toLowerCase()
        .split(/\s+/)
        .filter(word => word !== '')
      const unknown = words.find(word => !(word in WORDS))
      if (unknown !== undefined) throw bad('layers', `"${unknown.slice(0, 40)}" is not one of ${Object.keys(WORDS).join(', ')}`)
      return Object.assign(
        { from_m: Number(parts[1]), to_m: Number(parts[2]), texture: parts[3]!.toLowerCase() },
        ...words.map(word => WORDS[word]),
      ) as Record<string, unknown>
    })
}

const READING_KEYS = [
  'water_mL',
  'time_min',
  'innerDiameter_mm',
  'length_m',
  'width_m',
  'waterDepth_m',
  'from75To25_min',
  'radius_mm',
  'from_mm',
  'to_mm',
]

function testsFrom(properties: Properties): Record<string, unknown>[] {
  const depth_m = metres(properties, 'test_depth')
  const [mmh, inh] = [properties.get('tests_mmh') ?? null, properties.get('tests_inh') ?? null]
  if (mmh !== null && inh !== null) throw bad('tests', 'they are given in mm and in inches an hour; give one')
  const rates = String(mmh ?? inh ?? '')
    .split(/[\s;]+/)
    .filter(rate => rate !== '')
    .map(rate => {
      if (!/^(\d+\.?\d*|\.\d+)$/.test(rate)) throw bad('tests', `"${rate.slice(0, 40)}" is not a rate of 0 or more`)
      return {
        depth_m,
        reading: {
          method: 'rate',
          rate_mmh: Number(rate) * (inh === null ? 1 : MM_PER_INCH),
          measuredIn: properties.get('tests_with') ?? 'other',
        },
      }
    })
  const method = properties.get('test') ?? null
  if (method === null) return rates
  const keys = READING_KEYS.filter(key => properties.has(key)).map(key => [key, properties.get(key)] as const)
  return [...rates, { depth_m, reading: { method, ...Object.fromEntries(keys) } }]
}
