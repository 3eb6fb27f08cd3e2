import {
  claimsGround,
  isFeatureKind,
  isRainRecord,
  looksLikeArchive,
  looksLikeDxf,
  looksLikePointTable,
  looksLikeRaster,
  looksLikeSqlite,
  surveyTableKind,
} from '@soakline/io'
import { SETTINGS } from 'soakline/plan'

/** What a dropped file seems to be, by what stands in it; its name only helps where nothing else does. */
export type FileKind =
  | 'ground'
  | 'features'
  | 'features-without-kind'
  /** A layer that is no GeoJSON yet. */
  | 'layer'
  | 'line'
  | 'rain'
  | 'storm'
  | 'daily-rain'
  | 'readings'
  | 'level-book'
  | 'plan'
  | 'settings'
  | 'table-without-header'
  | 'unknown'

/** Text files larger than this are not read into memory whole. */
export const MOST_TEXT_BYTES = 100e6

/** Enough of a file to know it by. */
export const HEAD_BYTES = 512

/** What the first bytes say, where they say it: rasters, drawings, databases, and archives, whose contents must be looked at. */
export function headKind(name: string, head: Uint8Array): 'ground' | 'layer' | 'archive' | null {
  if (looksLikeRaster(head, name)) return 'ground'
  if (looksLikeDxf(head) || /\.dxf$/i.test(name) || looksLikeSqlite(head)) return 'layer'
  return looksLikeArchive(head) ? 'archive' : null
}

/** A table of levels read on the dug ditch: a place along the line, then what was read there. */
const READINGS =
  /^"?(stake|chainage|distance|estaca|progresiva|distancia|what|qu[eé])[^,;\t]*[,;\t].*(bed|crest|berm|sill|level|lecho|fondo|cresta|corona|bordo|camell[oó]n|vertedero|umbral|nivel|cota)/i

/** A level book as it was written down: readings back and fore. */
const LEVEL_BOOK = /(^|[,;\t"])(back|backsight|bs|atr[aá]s)[^,;\t]*[,;\t].*(fore|foresight|fs|adelante)/i

/** Kind of a file without TIFF's first bytes. */
export function textKind(name: string, text: string): FileKind {
  const trimmed = text.replace(/^\uFEFF/, '').trimStart()
  if (trimmed.startsWith('{')) return jsonKind(trimmed)
  if (/^<(?=kml|gpx)|^<[\s\S]*?<(kml|gpx)[\s>]/i.test(trimmed.slice(0, 2000)) || /\.(kml|gpx|kmz|gpkg|shp)$/i.test(name)) return 'layer'
  const header = trimmed.slice(0, 400).split(/\r?\n/)[0] ?? ''
  if (/duration|chance|return_period/i.test(header) && /[,;\t]/.test(header)) return 'rain'
  if (/^(time|t|tiempo)_(h|hr|hours|min|minutes)\s*[,;\t]/i.test(header)) return 'storm'
  if (isRainRecord(header)) return 'daily-rain'
  if (LEVEL_BOOK.test(header)) return 'level-book'
  if (READINGS.test(header)) return 'readings'
  if (looksLikePointTable(trimmed.slice(0, 4096))) return 'layer'
  const table = surveyTableKind(trimmed.slice(0, 4096))
  if (table !== null) return table === 'header' ? 'ground' : 'table-without-header'
  if (claimsGround(name)) return 'ground'
  if (/\.(geo)?json$/i.test(name)) return 'features'
  if (/\.(csv|txt)$/i.test(name)) return 'rain'
  return 'unknown'
}

function jsonKind(text: string): FileKind {
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch {
    return text.includes('"soakline-plan/') ? 'plan' : 'features'
  }
  const object = value as { format?: unknown; type?: unknown; features?: unknown }
  if (typeof object.format === 'string' && object.format.startsWith('soakline-plan/')) return 'plan'
  if (typeof object.type === 'string') return geoJsonKind(object)
  return Object.keys(object).some(key => Object.hasOwn(SETTINGS, key)) ? 'settings' : 'features'
}

function geoJsonKind(object: { type?: unknown; features?: unknown }): FileKind {
  const features = (Array.isArray(object.features) ? object.features : [object]) as {
    properties?: { kind?: unknown } | null
    geometry?: { type?: unknown } | null
    type?: unknown
  }[]
  if (features.every(f => isFeatureKind(f?.properties?.kind))) return 'features'
  const shapes = features.map(f => f?.geometry?.type ?? f?.type)
  // Files of ours say what each shape is: the one line among them is the swale.
  const own = features.filter((f, k) => (f?.properties as { what?: unknown } | null)?.what === 'line' && shapes[k] === 'LineString')
  return own.length === 1 || (shapes.length === 1 && shapes[0] === 'LineString') ? 'line' : 'features-without-kind'
}
