import { InputError, type LengthUnit, METRES_PER } from 'soakline/foundation'
import { malformed, type TiffDirectory } from './tiff-directory.js'

/** What the GeoTIFF keys say about place and height. */
export interface GeoReference {
  /** A definition for `openProjection`, or null when the keys name none. */
  readonly crs: string | null
  /** The file's own name for a system that it describes by parameters; null when it has none. */
  readonly crsName: string | null
  /** Why there is none, or what was found; for the refusal. */
  readonly found: string
  readonly pixelIsPoint: boolean
  /** Unit of the heights; null when not stated, `other` when stated and not a metre or a foot. */
  readonly verticalUnit: LengthUnit | 'other' | null
  /** Name of the vertical reference; null when not stated. */
  readonly verticalDatum: string | null
  readonly ellipsoidal: boolean
  readonly hasVerticalSystem: boolean
}

/** Stands for a code where the file describes the thing itself. Source: OGC GeoTIFF 1.1 (19-008r4), from memory. */
const USER_DEFINED = 32767
/** Codes of length units in the EPSG dataset. */
const LENGTH_UNIT: Readonly<Record<number, LengthUnit>> = { 9001: 'm', 9002: 'ft', 9003: 'ftUS' }
/** Codes of ellipsoids in the EPSG dataset that people's own systems name, as PROJ's words; from memory. */
const ELLIPSOID: Readonly<Record<number, string>> = {
  7001: '+ellps=airy',
  7004: '+ellps=bessel',
  7008: '+ellps=clrk66',
  7019: '+ellps=GRS80',
  7022: '+ellps=intl',
  7024: '+ellps=krass',
  7030: '+ellps=WGS84',
}
/** Datums that stand within two metres of WGS 84: WGS 84, NAD83 and its realisations, ETRS89, GDA94, GDA2020, NZGD2000, SIRGAS 2000; from memory. */
const NEAR_WGS84 = [6326, 6269, 6152, 6759, 1116, 6258, 6283, 1168, 6167, 6674]

/**
 * Reads the GeoTIFF keys (tags 34735–34737).
 *
 * Throws  InputError `grid/malformed`, `crs/unit-conflict`, `crs/not-a-plane`.
 * Source  OGC GeoTIFF 1.1, OGC 19-008r4 (2019), annexes on keys and codes.
 *
 * @param answered what the user has settled, so that the file's contradictions about it no longer matter. Default nothing.
 */
export async function readGeoKeys(
  directory: TiffDirectory,
  answered: { readonly crs?: boolean; readonly elevationUnit?: boolean } = {},
): Promise<GeoReference> {
  const keys = keyValues(directory)
  const number = (key: number): number | undefined => (typeof keys.get(key) === 'number' ? (keys.get(key) as number) : undefined)
  const text = (key: number): string => (typeof keys.get(key) === 'string' ? (keys.get(key) as string) : '')
  const { EPSG_DEFINITIONS, VERTICAL_UNITS } = await import('./generated/epsg.js')
  const known = (code: number | undefined): string | undefined =>
    code !== undefined && code !== USER_DEFINED && Object.hasOwn(EPSG_DEFINITIONS, String(code))
      ? EPSG_DEFINITIONS[String(code)]![1]
      : undefined

  const model = number(1024)
  if (model === 3)
    throw new InputError(
      'crs/not-a-plane',
      'The raster is in geocentric coordinates, which no map uses. Reproject it to a metric system.',
      {},
    )
  const [geographic, projected] = [number(2048), number(3072)]
  const citation = text(3073) || text(1026) || text(2049)
  let crs: string | null = null
  let found = citation === '' ? 'no coordinate system' : `"${citation.slice(0, 80)}" without a usable code`
  if (model !== 2 && projected !== undefined && projected !== USER_DEFINED) {
    found = `EPSG:${projected}`
    // Also for a code outside the table: it is refused by its name then.
    crs = `EPSG:${projected}`
    const unit = LENGTH_UNIT[number(3076) ?? 0]
    const proj = known(projected)
    if (!answered.crs && unit !== undefined && proj !== undefined && !sameUnit(proj, METRES_PER[unit])) {
      throw new InputError(
        'crs/unit-conflict',
        `The file names EPSG:${projected} but another length unit (${unit}) than that system has. Lengths would be wrong by a factor. Give the system with --crs, or write the file again.`,
        { crs, unit },
      )
    }
  } else if (model !== 2 && (projected === USER_DEFINED || number(3075) !== undefined)) {
    // A PROJ definition as citation is what this package itself writes beside the parameters.
    crs = citation.startsWith('+proj=') ? citation : userDefined(keys, known(geographic))
  } else if (model !== 1 && geographic !== undefined && geographic !== USER_DEFINED && known(geographic) !== undefined) {
    const angular = number(2054)
    if (angular === undefined || angular === 9102 || angular === 9122) crs = `EPSG:${geographic}`
    else found = `EPSG:${geographic} in an angular unit other than the degree (${angular})`
  } else if (model === 2) {
    const datum = datumOf(keys, known(geographic))
    const angular = number(2054)
    if (datum !== null && (angular === undefined || angular === 9102 || angular === 9122)) crs = `+proj=longlat ${datum}`
  }

  const verticalCode = number(4096)
  const vertical =
    verticalCode !== undefined && Object.hasOwn(VERTICAL_UNITS, String(verticalCode)) ? VERTICAL_UNITS[String(verticalCode)]! : null
  const unitCode = number(4099)
  const stated = unitCode === undefined ? null : (LENGTH_UNIT[unitCode] ?? 'other')
  const verticalUnit = stated ?? vertical?.[1] ?? null
  if (!answered.elevationUnit && stated !== null && vertical !== null && stated !== vertical[1]) {
    throw new InputError(
      'elevation-unit/conflict',
      `The file names the vertical system "${vertical[0]}" but another unit of height (${stated}). Say which with --elevation-unit m, ft or ftUS.`,
      { system: vertical[0], unit: stated },
    )
  }
  return {
    crs,
    crsName: citation === '' || citation.startsWith('+proj=') ? null : citation.slice(0, 120),
    found,
    pixelIsPoint: number(1025) === 2,
    verticalUnit,
    verticalDatum: vertical?.[0] ?? (text(4097) || null),
    // 5001–5033 were heights above an ellipsoid in the first GeoTIFF specification.
    ellipsoidal: verticalCode !== undefined && verticalCode >= 5001 && verticalCode <= 5033,
    hasVerticalSystem: verticalCode !== undefined || unitCode !== undefined,
  }
}

function keyValues(directory: TiffDirectory): Map<number, number | string> {
  const keys = new Map<number, number | string>()
  const header = directory.numbers(34735, 1 << 16)
  if (header.length === 0) return keys
  const count = header[3] ?? 0
  if (header.length < 4 + 4 * count) throw malformed(`${count} GeoTIFF keys announced, ${Math.floor((header.length - 4) / 4)} there`)
  const doubles = directory.numbers(34736, 1 << 16)
  const ascii = directory.text(34737) ?? ''
  for (let k = 0; k < count; k++) {
    const [key, where, length, value] = header.slice(4 + 4 * k, 8 + 4 * k) as [number, number, number, number]
    if (where === 0) keys.set(key, value)
    // The shift to WGS 84 is the one key of several numbers; kept as PROJ writes it.
    else if (where === 34736 && key === 2062 && (length === 3 || length === 7))
      keys.set(key, doubles.slice(value, value + length).join(','))
    else if (where === 34736 && doubles[value] !== undefined) keys.set(key, doubles[value])
    else if (where === 34737) keys.set(key, ascii.slice(value, value + length).replace(/[|\0]+$/, ''))
  }
  return keys
}

function sameUnit(proj: string, unit_m: number): boolean {
  if (proj.includes('+proj=longlat')) return false
  const toMetre = /\+to_meter=(\S+)/.exec(proj)?.[1]
  const named = /\+units=(\S+)/.exec(proj)?.[1]
  const own =
    toMetre !== undefined
      ? Number(toMetre)
      : named === 'us-ft'
        ? METRES_PER.ftUS
        : named === 'ft'
          ? METRES_PER.ft
          : named === undefined || named === 'm'
            ? 1
            : Number.NaN
  return Math.abs(own - unit_m) < 1e-9
}

/** The datum part of a PROJ string, from the geographic code or from the keys; null when neither says. */
function datumOf(keys: ReadonlyMap<number, number | string>, base: string | undefined): string | null {
  if (base !== undefined) return base.replace(/\+proj=\S+\s*/, '').trim()
  const number = (key: number): number | undefined => (typeof keys.get(key) === 'number' ? (keys.get(key) as number) : undefined)
  const [a, b, rf] = [number(2057), number(2058), number(2059)]
  const shape =
    ELLIPSOID[number(2056) ?? 0] ??
    (a !== undefined && a > 6e6 && a < 7e6
      ? rf !== undefined && rf > 0
        ? `+a=${a} +rf=${rf}`
        : b !== undefined && b > 6e6 && b <= a
          ? `+a=${a} +b=${b}`
          : null
      : null)
  if (shape === null) return null
  const meridian = number(2061)
  const stated = keys.get(2062)
  const shift = typeof stated === 'string' && stated !== '' ? stated : NEAR_WGS84.includes(number(2050) ?? 0) ? '0,0,0,0,0,0,0' : null
  return `${shape}${shift === null ? '' : ` +towgs84=${shift}`}${meridian ? ` +pm=${meridian}` : ''}`
}

/** A projected system that the file describes by its parameters. Null when the method is not one of those below, or a parameter is missing. */
function userDefined(keys: ReadonlyMap<number, number | string>, base: string | undefined): string | null {
  const first = (...candidates: number[]): number | undefined => {
    for (const key of candidates) if (Number.isFinite(keys.get(key))) return keys.get(key) as number
    return undefined
  }
  const angular = first(2054)
  if (angular !== undefined && angular !== 9102 && angular !== 9122) return null
  const datum = datumOf(keys, base)
  const unitCode = first(3076)
  const unit_m = unitCode === USER_DEFINED ? first(3077) : unitCode === undefined ? 1 : METRES_PER[LENGTH_UNIT[unitCode] ?? 'm']
  if (
    datum === null ||
    unit_m === undefined ||
    (unitCode !== undefined && unitCode !== USER_DEFINED && LENGTH_UNIT[unitCode] === undefined)
  )
    return null
  const tail = `${datum} +to_meter=${unit_m}`
  // A known projection (3074) with a free base: UTM zones are 16001–16060 north, 16101–16160 south.
  const projection = first(3074)
  if (projection !== undefined && projection > 16000 && projection <= 16160 && projection % 100 >= 1 && projection % 100 <= 60) {
    return `+proj=utm +zone=${projection % 100}${projection > 16100 ? ' +south' : ''} ${tail}`
  }
  const [east, north] = [(first(3082, 3086, 3090) ?? 0) * unit_m, (first(3083, 3087, 3091) ?? 0) * unit_m]
  const offsets = `+x_0=${east} +y_0=${north}`
  const [longitude, latitude] = [first(3080, 3084, 3088), first(3081, 3085, 3089)]
  const [parallel1, parallel2] = [first(3078), first(3079)]
  const scale = first(3092, 3093) ?? 1
  if (longitude === undefined || latitude === undefined) return null
  const place = `+lat_0=${latitude} +lon_0=${longitude}`
  switch (first(3075)) {
    case 1:
      return `+proj=tmerc ${place} +k_0=${scale} ${offsets} ${tail}`
    case 8:
      return parallel1 === undefined || parallel2 === undefined
        ? null
        : `+proj=lcc +lat_1=${parallel1} +lat_2=${parallel2} ${place} ${offsets} ${tail}`
    case 9:
      return `+proj=lcc +lat_1=${latitude} ${place} +k_0=${scale} ${offsets} ${tail}`
    case 10:
      return `+proj=laea ${place} ${offsets} ${tail}`
    case 11:
      return parallel1 === undefined || parallel2 === undefined
        ? null
        : `+proj=aea +lat_1=${parallel1} +lat_2=${parallel2} ${place} ${offsets} ${tail}`
    case 16:
      return `+proj=sterea ${place} +k_0=${scale} ${offsets} ${tail}`
    default:
      return null
  }
}
