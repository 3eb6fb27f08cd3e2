import type { Place } from 'soakline/plan'

/**
 * A place as a person types it: latitude before longitude in degrees, decimals with point or comma, a letter for the side of the Earth if they
 * like; on a raster without a place on Earth its own metres, east before north. Null when it cannot be read.
 */
export function typedPlace(text: string, local: boolean): Place | null {
  const trimmed = text.trim()
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
