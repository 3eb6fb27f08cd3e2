import type { Place } from 'soakline/plan'

/**
 * A place as a person types it: latitude before longitude in degrees, decimals with point or comma, a letter for the side of the Earth if they
 * like; or in degrees and minutes, as sets for satellite positions show them; on a raster without a place on Earth its own metres, east before north. Null when it cannot be read.
 */
export function typedPlace(text: string, local: boolean): Place | null {
  const trimmed = text.trim()
  const sexagesimal = local ? null : inMinutes(trimmed)
  if (sexagesimal !== null) return sexagesimal
  const loose = trimmed.split(/[\s;]+/).filter(part => part !== '')
  // "36.5, -32.8" and "36,5 -32,8": a comma parts the numbers only when nothing else does, or when it stands at the end of a word.
  const parts =
    loose.length === 2 ? loose.map(part => part.replace(/,$/, '').replace(',', '.')) : trimmed.split(',').map(part => part.trim())
  if (parts.length !== 2) return null
  const [a, b] = parts.map(degrees)
  if (a == null || b == null) return null
  if (local) return [a, b]
  return Math.abs(a) <= 90 && Math.abs(b) <= 180 ? [b, a] : null
}

const MINUTES = /^(\d+)\s*°\s*(\d+(?:[.,]\d+)?)\s*[′'’]\s*(?:(\d+(?:[.,]\d+)?)\s*[″"”]\s*)?([NSEWO])$/i

/** Degrees, minutes and perhaps seconds of a latitude and a longitude, each with its side of the Earth; null where the text is anything else. */
function inMinutes(text: string): Place | null {
  const parts = text.split(/(?<=[NS])[\s,;]+/i)
  if (parts.length !== 2) return null
  const [latitude, longitude] = parts.map(part => {
    const match = MINUTES.exec(part.trim())
    if (match === null) return null
    const [, whole, minutes = '0', seconds = '0', side = ''] = match
    const [m, s] = [minutes, seconds].map(number => Number(number.replace(',', '.')))
    return m! < 60 && s! < 60 ? { side: side.toUpperCase(), value: Number(whole) + m! / 60 + s! / 3600 } : null
  })
  if (!latitude || !longitude || !/[NS]/.test(latitude.side) || !/[EWO]/.test(longitude.side)) return null
  if (latitude.value > 90 || longitude.value > 180) return null
  return [longitude.side === 'E' ? longitude.value : -longitude.value, latitude.side === 'N' ? latitude.value : -latitude.value]
}

function degrees(part: string): number | null {
  const match = /^([+-]?\d+(?:\.\d+)?)°?\s*([NSEWO])?$/i.exec(part)
  if (match === null) return null
  const value = Number(match[1])
  const side = match[2]?.toUpperCase()
  return side === 'S' || side === 'W' || side === 'O' ? -Math.abs(value) : value
}

/** A place as people write it: latitude, longitude with six decimals (a tenth of a metre), or the raster's own metres. */
export const writtenPlace = (place: Place, local: boolean): string =>
  local ? `${place[0].toFixed(1)}, ${place[1].toFixed(1)}` : `${place[1].toFixed(6)}, ${place[0].toFixed(6)}`
