import proj4 from 'proj4'
import { InputError, METRES_PER, type Warning } from 'soakline/foundation'
import { takenApart } from './compound-system.js'
import { METRES_PER_DEGREE, SEMI_MAJOR_m } from './earth-size.js'

/** A place as longitude, latitude in WGS 84 degrees. */
export type LonLat = [longitude: number, latitude: number]

/** The way between a coordinate system and WGS 84. Coordinates of a projected system are always metres here, whatever its own unit is. */
export interface Projection {
  /** `EPSG:n`, a PROJ definition whose unit is the metre, or `local`. */
  readonly crs: string
  /** The name in the EPSG dataset or in the definition. */
  readonly name: string
  /** `projected`: metres; `geographic`: degrees, never a working system; `local`: plain metres without a place on Earth. */
  readonly kind: 'projected' | 'geographic' | 'local'
  /** Name of the projection method in PROJ's words; `local` has none. */
  readonly method: string
  /** Metres per unit of the system as defined (a foot system: 0.3048 or 1200/3937); NaN for degrees. Coordinates of a file are multiplied by it. */
  readonly horizontalUnit_m: number
  /** What a reader should know about the system: an approximate or unknown datum. */
  readonly warnings: readonly Warning[]
  /** Throws InputError `crs/no-place` (local), `crs/outside-domain`. */
  toLonLat(x: number, y: number): LonLat
  /** Throws InputError `crs/no-place` (local), `vector/not-lonlat`, `crs/outside-domain`. */
  fromLonLat(longitude: number, latitude: number): LonLat
}

/** Lengths of the units that PROJ names, in metres; from the PROJ manual, "Units", from memory. */
const UNIT_m: Readonly<Record<string, number>> = {
  m: 1,
  km: 1000,
  ft: METRES_PER.ft,
  'us-ft': METRES_PER.ftUS,
  yd: 0.9144,
  ch: 20.1168,
  link: 0.201168,
  'ind-yd': 0.91439523,
}

const WGS84 = '+proj=longlat +datum=WGS84 +no_defs'
/** Square of the eccentricity of the WGS 84 ellipsoid. Source: its definition (from memory). */
const ECCENTRICITY2 = 0.00669437999014

/**
 * Opens a coordinate system.
 *
 * Throws  InputError `crs/unknown`, `crs/unit`, `crs/axes`, `crs/needs-grid`.
 * Cost    The table of EPSG codes (1.1 MB) is loaded on the first code.
 *
 * @param definition `EPSG:n`, `local`, a PROJ string, WKT 1 or 2 (of a compound system the part about places), or PROJJSON text.
 */
export async function openProjection(definition: string): Promise<Projection> {
  const text = definition.trim()
  if (/^local$/i.test(text)) return localProjection()
  const code = /^EPSG:{1,2}(\d{3,7})$/i.exec(text)?.[1] ?? (/^OGC:CRS84$/i.test(text) ? '4326' : undefined)
  if (code !== undefined) {
    const { EPSG_DEFINITIONS } = await import('./generated/epsg.js')
    const entry = Object.hasOwn(EPSG_DEFINITIONS, code) ? EPSG_DEFINITIONS[code] : undefined
    if (!entry) {
      throw new InputError(
        'crs/unknown',
        `EPSG:${code} is not in the table of coordinate systems (or needs a datum grid that is not carried). Without it the place and the lengths are not known. Reproject the raster, or give a PROJ or WKT definition.`,
        { crs: `EPSG:${code}` },
      )
    }
    return fromProj(entry[1], `EPSG:${code}`, entry[0])
  }
  if (text.startsWith('+')) return fromProj(text, null, /\+title=([^+]+)/.exec(text)?.[1]?.trim() ?? null)
  if (/^[A-Z_0-9]+\s*[[(]/i.test(text) || text.startsWith('{')) return fromText(takenApart(text).horizontal)
  throw new InputError(
    'crs/unknown',
    `"${text.slice(0, 80)}" is not a coordinate system that can be read. Give EPSG:n, a PROJ string beginning with +proj=, WKT, or local.`,
    { crs: text.slice(0, 200) },
  )
}

/** Plain metres with no place on Earth: x to the east, y to the north. Whoever asks for a longitude is refused with `crs/no-place`. */
export function localProjection(): Projection {
  const refuse = (): never => {
    throw new InputError(
      'crs/no-place',
      'This raster has no place on Earth (its coordinate system is "local"), so longitude and latitude are not known. Give coordinates in metres of the raster, or read it again with --crs EPSG:n.',
    )
  }
  return {
    crs: 'local',
    name: 'local metres',
    kind: 'local',
    method: 'local',
    horizontalUnit_m: 1,
    warnings: [],
    toLonLat: refuse,
    fromLonLat: refuse,
  }
}

/** The UTM zone (WGS 84) of a place. Throws InputError `crs/polar` beyond 84° north or 80° south. */
export function utmCode(longitude: number, latitude: number): string {
  if (!(latitude <= 84 && latitude >= -80)) {
    throw new InputError(
      'crs/polar',
      `Latitude ${latitude.toFixed(2)} lies beyond the UTM zones. Reproject the raster to a metric system of the place.`,
      {
        latitude,
      },
    )
  }
  const zone = Math.min(60, Math.max(1, Math.floor((longitude + 180) / 6) + 1))
  return `EPSG:${latitude >= 0 ? 326 : 327}${String(zone).padStart(2, '0')}`
}

/**
 * How much longer a projection draws lengths than they are on the ground: [north–south, east–west], 1 where true.
 *
 * Source  Radii of curvature of the WGS 84 ellipsoid; differences of the projection over ±10⁻⁴ degrees.
 */
export function groundScale(projection: Projection, longitude: number, latitude: number): [number, number] {
  const d = 1e-4
  const [n, s] = [projection.fromLonLat(longitude, latitude + d), projection.fromLonLat(longitude, latitude - d)]
  const [e, w] = [projection.fromLonLat(longitude + d, latitude), projection.fromLonLat(longitude - d, latitude)]
  return scaleOf(n, s, e, w, latitude, d)
}

function scaleOf(
  n: readonly number[],
  s: readonly number[],
  e: readonly number[],
  w: readonly number[],
  latitude: number,
  d: number,
): [number, number] {
  const sin = Math.sin((latitude * Math.PI) / 180)
  const denominator = 1 - ECCENTRICITY2 * sin * sin
  const northing_m = (((2 * d * Math.PI) / 180) * SEMI_MAJOR_m * (1 - ECCENTRICITY2)) / denominator ** 1.5
  const easting_m = (((2 * d * Math.PI) / 180) * SEMI_MAJOR_m * Math.cos((latitude * Math.PI) / 180)) / Math.sqrt(denominator)
  return [Math.hypot(n[0]! - s[0]!, n[1]! - s[1]!) / northing_m, Math.hypot(e[0]! - w[0]!, e[1]! - w[1]!) / easting_m]
}

/** A definition in PROJ's words; `code` is kept as the name of the system when its unit is the metre already. */
function fromProj(definition: string, code: string | null, givenName: string | null): Projection {
  const parameter = (key: string): string | undefined => new RegExp(`\\+${key}=(\\S+)`).exec(definition)?.[1]
  const method = parameter('proj')
  const shown = code ?? definition
  const name = givenName ?? definition.replace(/\s*\+to_meter=1(?=\s|$)/, '')
  if (method === undefined) {
    throw new InputError('crs/unknown', `"${definition.slice(0, 120)}" names no projection (+proj=). Give EPSG:n or a whole PROJ string.`, {
      crs: shown,
    })
  }
  const axis = parameter('axis')
  if (axis !== undefined && axis !== 'enu') {
    throw new InputError(
      'crs/axes',
      `${shown} (${name}) counts its axes to the ${axis === 'wsu' ? 'west and south' : `"${axis}"`}, and files differ in how they follow that. Reproject the raster to a UTM zone and try again.`,
      { crs: shown, axis },
    )
  }
  const grids = parameter('nadgrids')
  if ((grids !== undefined && grids !== '@null') || parameter('datum') === 'NAD27') {
    throw new InputError(
      'crs/needs-grid',
      `${shown} needs a datum grid (${grids ?? 'NAD27'}) that is not carried. Give the definition with +towgs84, or reproject the raster.`,
      {
        crs: shown,
        grid: grids ?? 'NAD27',
      },
    )
  }
  const geographic = method === 'longlat' || method === 'latlong' || method === 'lonlat' || method === 'latlon'
  const unit = unitOf(parameter('units'), parameter('to_meter'), geographic, shown)
  const metric = geographic ? definition : `${definition.replace(/\s*\+(units|to_meter)=\S+/g, '').trim()} +units=m`
  const crs =
    code !== null && (geographic || unit === 1)
      ? code
      : `${metric.replace(/\s*\+(no_defs|type=crs|title=[^+]*)(?=\s|$)/g, '').trim()} +no_defs`
  return projection({ crs, name, geographic, method, unit_m: unit, definition: metric, warnings: datumWarnings(definition, shown) })
}

/** A datum that differs by more is another system than the one that is named. Judgement: datums of one country lie closer. */
const DATUM_APART_m = 3000

/** WKT and PROJJSON. Where the definition names its own code in the EPSG table, that entry, which knows the datum, if both draw the same map; else as it stands. */
async function fromText(text: string): Promise<Projection> {
  const code = ownCode(text)
  const entry = code === null ? null : await openProjection(code).catch(() => null)
  let own: Projection
  try {
    const { EPSG_DEFINITIONS } = await import('./generated/epsg.js')
    own = asWritten(text, base => EPSG_DEFINITIONS[base]?.[1] ?? null)
  } catch (error) {
    // A method that is not known by its words is known by the code that the definition gives itself, unless its unit says otherwise.
    if (entry !== null && entry.kind === 'projected' && Math.abs(statedUnit_m(text) - entry.horizontalUnit_m) < 1e-9) return entry
    throw error
  }
  return entry !== null && drawsTheSame(own, entry) ? entry : own
}

/** `EPSG:n` that a definition gives for itself as a whole; null where it gives none. */
function ownCode(text: string): string | null {
  if (/WEB_MERCATOR_AUXILIARY_SPHERE/i.test(text) && /^PROJCS\[/i.test(text)) return 'EPSG:3857'
  if (!text.startsWith('{')) {
    // The last of all, closed together with the whole; a remark may follow it.
    const number = /(?:AUTHORITY|ID)\s*\[\s*"EPSG"\s*,\s*"?(\d{3,7})"?\s*\]\s*(?:,\s*REMARK\s*\[[^\]]{0,500}\]\s*)?\]\s*$/i.exec(
      text.slice(-1000),
    )?.[1]
    return number === undefined ? null : `EPSG:${number}`
  }
  try {
    const { id } = JSON.parse(text) as { id?: { authority?: unknown; code?: unknown } }
    return id?.authority === 'EPSG' && Number.isInteger(Number(id.code)) ? `EPSG:${Number(id.code)}` : null
  } catch {
    return null
  }
}

/** Metres of the unit that a projected definition writes last, which is that of its axes; NaN where none is found. */
function statedUnit_m(text: string): number {
  if (!text.startsWith('{'))
    return Number([...text.matchAll(/UNIT\s*\[\s*"[^"]{0,80}"\s*,\s*([\d.eE+-]{1,30})/gi)].at(-1)?.[1] ?? Number.NaN)
  const { coordinate_system: axes } = JSON.parse(text) as { coordinate_system?: { axis?: readonly { unit?: unknown }[] } }
  const unit = axes?.axis?.[0]?.unit
  if (unit === 'metre') return 1
  return Number((unit as { conversion_factor?: unknown } | undefined)?.conversion_factor ?? Number.NaN)
}

/** Whether two systems put a place of the first at the same numbers, but for their datums. */
function drawsTheSame(own: Projection, entry: Projection): boolean {
  if (own.kind !== entry.kind || (own.kind === 'projected' && Math.abs(own.horizontalUnit_m - entry.horizontalUnit_m) > 1e-9)) return false
  const home = /\+lon_0=(\S+)/.exec(own.crs)?.[1]
  const latitudes = ['lat_1', 'lat_0'].flatMap(key => new RegExp(`\\+${key}=(\\S+)`).exec(own.crs)?.[1] ?? [])
  const [longitude, latitude] = [Number(home ?? 0) + 0.5, Number(latitudes.find(value => Number(value) !== 0) ?? 40) + 0.5]
  try {
    const [p, q] = [own.fromLonLat(longitude, latitude), entry.fromLonLat(longitude, latitude)]
    return Math.hypot(p[0] - q[0], p[1] - q[1]) < (own.kind === 'geographic' ? DATUM_APART_m / METRES_PER_DEGREE : DATUM_APART_m)
  } catch {
    return false
  }
}

/** WKT and PROJJSON: read by proj4, written again as a PROJ string in metres, and kept only if both give the same places. */
function asWritten(given: string, baseOf: (code: string) => string | null): Projection {
  // The older word of WKT 2 for the same thing, by which proj4 loses the ellipsoid and the datum.
  const text = given.replace(/\b(BASE)?GEODCRS\b/gi, '$1GEOGCRS')
  let parsed: Readonly<Record<string, unknown>>
  try {
    parsed = new proj4.Proj(text.startsWith('{') ? JSON.parse(text) : text) as unknown as Readonly<Record<string, unknown>>
  } catch (error) {
    throw new InputError(
      'crs/unknown',
      `The definition of the coordinate system cannot be read (${errorText(error)}). Give EPSG:n instead.`,
      { crs: text.slice(0, 200) },
    )
  }
  const number = (key: string): number | undefined => (typeof parsed[key] === 'number' ? (parsed[key] as number) : undefined)
  const names = Array.isArray(parsed.names) ? (parsed.names as readonly unknown[]) : []
  const method =
    names.find((candidate): candidate is string => typeof candidate === 'string' && /^[a-z]{3,8}$/.test(candidate)) ?? 'longlat'
  const degrees = (key: string): number | undefined => {
    const value = number(key)
    return value === undefined ? undefined : Number(((value * 180) / Math.PI).toFixed(12))
  }
  const shift = Array.isArray(parsed.datum_params) ? (parsed.datum_params as readonly unknown[]).join(',') : undefined
  const parts: [string, number | string | undefined][] = [
    ['proj', method],
    ['lat_0', degrees('lat0')],
    ['lon_0', degrees('long0')],
    ['lat_1', degrees('lat1')],
    ['lat_2', degrees('lat2')],
    ['lat_ts', degrees('lat_ts')],
    ['lonc', degrees('longc')],
    ['alpha', degrees('alpha')],
    ['k_0', number('k0')],
    ['x_0', number('x0')],
    ['y_0', number('y0')],
    ['a', number('a')],
    ['b', number('b')],
  ]
  const proj = parts
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => `+${key}=${value}`)
    .join(' ')
  const shifted = (towgs84: string | undefined): string => (towgs84 === undefined ? proj : `${proj} +towgs84=${towgs84}`)
  const geographic = method === 'longlat'
  const toMetre = geographic ? 1 : exactFoot(number('to_meter') ?? 1)
  const name = typeof parsed.name === 'string' ? parsed.name : typeof parsed.srsCode === 'string' ? parsed.srsCode : 'user-defined'
  const openedWith = (towgs84: string | undefined): Projection =>
    fromProj(geographic ? shifted(towgs84) : `${shifted(towgs84)} +to_meter=${toMetre}`, null, name.slice(0, 120))
  const found = shift === '' ? undefined : shift
  // The same place by both readings, or nothing.
  const longitude = degrees('long0') ?? degrees('longc') ?? 0
  const latitude = degrees('lat1') ?? degrees('lat0') ?? 45
  try {
    const own = proj4(WGS84, parsed as never, [longitude + 0.5, latitude + 0.5]) as number[]
    const ours = openedWith(found).fromLonLat(longitude + 0.5, latitude + 0.5)
    const factor = geographic ? 1 : (number('to_meter') ?? 1)
    if (Math.hypot(own[0]! * factor - ours[0], own[1]! * factor - ours[1]) < (geographic ? 1e-9 : 0.001))
      return openedWith(datumShift(parsed, found, baseOf))
  } catch {
    // falls through to the refusal
  }
  throw new InputError(
    'crs/unknown',
    `The coordinate system "${name}" cannot be written in metres without doubt. Give EPSG:n instead, or reproject the raster to a UTM zone.`,
    {
      crs: name,
    },
  )
}

/**
 * Names of datums that stand within two metres of WGS 84, as WKT of both kinds writes them: WGS 84 and the ITRF, NAD83, ETRS89, GDA, NZGD2000, SIRGAS and
 * the national ones of South America and Asia that follow the ITRF. From memory.
 */
const NEAR_WGS84 =
  /^(d_)?(wgs_?(19)?84|world_geodetic_system_1984|itrf|igs|nad_?(19)?83|north_american_(datum_)?1983|etrs_?(19)?89|european_terrestrial_reference|etrf|gda_?(19)?94|gda_?2020|geocentric_datum_of_(australia|korea)|nzgd_?2000|new_zealand_geodetic_datum_2000|sirgas|sistema_de_referencia_geocentrico|posgar_?(98|1998|2007)|posiciones_geodesicas_argentinas|magna|marco_geocentrico|jgd_?20|japanese_geodetic_datum_20|cgcs|china_(geodetic_coordinate_system_)?2000|rgf_?(19)?93|reseau_geodesique_francais_1993|korea(n)?_?(geodetic_datum_)?200[02]|hartebeesthoek|rdn_?2008|sweref_?(19)?99|euref|mexico_itrf|taiwan_datum_1997|twd_?(19)?97|svy21|cr05|peru_?96)/

/**
 * The shift of a definition to WGS 84: of the base system whose code it gives in the table, else what proj4 found. WKT that names a datum close to WGS 84
 * carries none: none is meant. Any other datum without one is unknown, whatever its ellipsoid.
 */
function datumShift(
  parsed: Readonly<Record<string, unknown>>,
  shift: string | undefined,
  baseOf: (code: string) => string | null,
): string | undefined {
  const name = typeof parsed.datumCode === 'string' ? parsed.datumCode.toLowerCase().replace(/[\s()-]+/g, '_') : ''
  const base = /^epsg_(\d+)$/.exec(name)?.[1]
  const definition = base === undefined ? null : baseOf(base)
  if (definition !== null)
    return /\+towgs84=(\S+)/.exec(definition)?.[1] ?? (/\+datum=WGS84|\+ellps=(GRS80|WGS84)/.test(definition) ? '0,0,0,0,0,0,0' : shift)
  return shift ?? (NEAR_WGS84.test(name) ? '0,0,0,0,0,0,0' : undefined)
}

function unitOf(units: string | undefined, toMetre: string | undefined, geographic: boolean, shown: string): number {
  if (geographic) return Number.NaN
  const unit = toMetre !== undefined ? exactFoot(Number(toMetre)) : UNIT_m[units ?? 'm']
  if (unit === undefined || !(unit > 0) || !(unit < 1e4)) {
    throw new InputError(
      'crs/unit',
      `The length unit "${toMetre ?? units}" of ${shown} is not known, so no length would be. Reproject the raster to a metric system.`,
      {
        crs: shown,
        unit: toMetre ?? units,
      },
    )
  }
  return unit
}

/** 0.3048006096… written with few digits is the US survey foot, kept exact; 2 ppm miss a stake. */
const exactFoot = (unit_m: number): number => (Math.abs(unit_m - METRES_PER.ftUS) < 2e-10 ? METRES_PER.ftUS : unit_m)

function datumWarnings(definition: string, shown: string): Warning[] {
  if (/\+datum=(WGS84|NAD83)(\s|$)/.test(definition) || /\+nadgrids=@null/.test(definition)) return []
  const shift = /\+towgs84=(\S+)/.exec(definition)?.[1]
  if (shift !== undefined) {
    // Metres off at worst: the whole holding moves together, so lengths and levels are untouched.
    return shift.split(',').every(value => Number(value) === 0)
      ? []
      : [{ code: 'crs/datum-shift-approximate', details: { crs: shown, towgs84: shift } }]
  }
  return /\+ellps=(WGS84|GRS80)(\s|$)/.test(definition) ? [] : [{ code: 'crs/datum-unknown', details: { crs: shown } }]
}

interface Opening {
  readonly crs: string
  readonly name: string
  readonly geographic: boolean
  readonly method: string
  readonly unit_m: number
  readonly definition: string
  readonly warnings: readonly Warning[]
}

function projection({ crs, name, geographic, method, unit_m, definition, warnings }: Opening): Projection {
  let converter: { forward(at: number[]): number[]; inverse(at: number[]): number[] }
  try {
    converter = proj4(WGS84, definition) as unknown as typeof converter
    converter.inverse([0, 0])
  } catch (error) {
    throw new InputError(
      'crs/unknown',
      `${crs} (${name}) uses a projection that cannot be worked out here (${errorText(error)}). Reproject the raster to a UTM zone.`,
      {
        crs,
        method,
      },
    )
  }
  const central = Number(/\+lon_0=(\S+)/.exec(definition)?.[1] ?? Number.NaN)
  const zone = Number(/\+zone=(\d+)/.exec(definition)?.[1] ?? Number.NaN)
  const meridian =
    method === 'utm' ? zone * 6 - 183 : method === 'tmerc' || method === 'etmerc' ? (Number.isNaN(central) ? 0 : central) : Number.NaN

  const outside = (longitude: number, latitude: number): InputError =>
    new InputError(
      'crs/outside-domain',
      `The place ${longitude.toFixed(5)}, ${latitude.toFixed(5)} (longitude, latitude) lies far outside ${crs} (${name}). Look whether longitude and latitude are swapped, or whether the coordinate system is the right one.`,
      { crs, longitude, latitude },
    )
  const forward = (longitude: number, latitude: number): LonLat => {
    const at = converter.forward([longitude, latitude])
    return [at[0]!, at[1]!]
  }
  /** Far from home a projection still gives numbers; lengths there are wrong by a fifth, or the way back ends elsewhere. */
  const checkDomain = (longitude: number, latitude: number, x: number, y: number): void => {
    if (!Number.isFinite(x) || !Number.isFinite(y)) throw outside(longitude, latitude)
    const away = Math.abs(((longitude - meridian + 540) % 360) - 180)
    if (away > 15) throw outside(longitude, latitude)
    const back = converter.inverse([x, y])
    const turn = Math.abs(((back[0]! - longitude + 540) % 360) - 180)
    if (!(turn * Math.cos((latitude * Math.PI) / 180) < 1e-6) || !(Math.abs(back[1]! - latitude) < 1e-6)) throw outside(longitude, latitude)
    if (geographic || method === 'merc' || method === 'webmerc') return
    const d = 1e-4
    const scale = scaleOf(
      forward(longitude, Math.min(90, latitude + d)),
      forward(longitude, latitude - d),
      forward(longitude + d, latitude),
      forward(longitude - d, latitude),
      latitude,
      d,
    )
    if (!scale.every(value => value > 0.8 && value < 1.25)) throw outside(longitude, latitude)
  }

  return {
    crs,
    name,
    kind: geographic ? 'geographic' : 'projected',
    method,
    horizontalUnit_m: unit_m,
    warnings,
    toLonLat(x, y) {
      let at = Number.isFinite(x) && Number.isFinite(y) ? converter.inverse([x, y]) : [Number.NaN, Number.NaN]
      // Datum shifts and some projections are undone to a millimetre only; one step of correction makes there-and-back exact.
      if (!geographic && at.every(Number.isFinite)) {
        const there = converter.forward([at[0]!, at[1]!])
        at = converter.inverse([2 * x - there[0]!, 2 * y - there[1]!])
      }
      const [longitude, latitude] = [at[0]!, at[1]!]
      if (!(Math.abs(longitude) <= 540) || !(Math.abs(latitude) <= 90)) {
        throw new InputError(
          'crs/outside-domain',
          `The coordinates ${x}, ${y} have no place in ${crs} (${name}). The coordinate system is probably not the right one.`,
          { crs, x, y },
        )
      }
      return [longitude > 180 ? longitude - 360 : longitude < -180 ? longitude + 360 : longitude, latitude]
    },
    fromLonLat(longitude, latitude) {
      if (!(Math.abs(longitude) <= 180) || !(Math.abs(latitude) <= 90)) {
        throw new InputError(
          'vector/not-lonlat',
          `${longitude}, ${latitude} is not a longitude and latitude in degrees. Vectors are read as RFC 7946 GeoJSON: longitude first, WGS 84 degrees. Export them as EPSG:4326.`,
          { longitude, latitude },
        )
      }
      const at = forward(longitude, latitude)
      checkDomain(longitude, latitude, at[0], at[1])
      return at
    },
  }
}

const errorText = (error: unknown): string => (error instanceof Error ? error.message : String(error)).slice(0, 120)
