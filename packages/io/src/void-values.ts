import { InputError, type Warning } from 'soakline/foundation'
import type { PixelType } from './tiff-pixels.js'

/** Values that programs write where they know nothing. Common practice, no source. */
const USUAL = new Set([-9999, -99999, -999999, -32768, -32767, -2147483648, 9999, 32767, 65535, 99999, -999, -9999.9])
/** A height this far from every other height of the raster is not ground. Judgement. */
const GAP = 500
/** A value nearer than this to the other heights could be ground as well as "no data": 0 on a coast. Judgement. */
const NEAR = 10

/**
 * Turns the cells that mean "no data" into NaN, in place.
 *
 * Laws    A value is compared as the cells hold it: rounded to float32 for float32 cells, and never equal for whole-number cells that cannot hold it.
 * Throws  InputError `grid/nodata-unclear` when an isolated usual void value remains and nobody says what it means; `grid/nodata-is-a-height` when
 *         the file's own value lies among its heights, as 0 does on a coast.
 *
 * @param text the file's own words, or null
 * @param asked the user's values, or null
 * @param suspects further values that are asked about where they stand far from all others; the caller's format knows them
 */
export function maskVoids(
  data: Float32Array | Float64Array,
  pixel: PixelType,
  text: string | null,
  asked: readonly number[] | null,
  suspects: readonly number[] = [],
): Warning[] {
  const warnings: Warning[] = []
  let values: number[] = []
  if (asked !== null) values = [...asked]
  else if (text !== null) {
    const parsed = parseStrictly(text)
    if (parsed === null) warnings.push({ code: 'grid/nodata-unreadable', details: { text: text.slice(0, 60) } })
    else values = [parsed]
  }
  for (const value of values) {
    if (Number.isNaN(value)) continue
    const held = asHeld(value, pixel)
    if (held === null) {
      warnings.push({ code: 'grid/nodata-impossible', details: { value, pixel: `${pixel.kind} ${pixel.bits}` } })
      continue
    }
    let cells = 0
    for (let i = 0; i < data.length; i++) {
      if (data[i] !== held) continue
      data[i] = Number.NaN
      cells++
    }
    if (asked === null && cells > 0) refuseAmongHeights(data, held, cells)
  }
  let heights = extremes(data)
  let infinite = 0
  if (heights.least === Number.NEGATIVE_INFINITY || heights.most === Number.POSITIVE_INFINITY) {
    for (let i = 0; i < data.length; i++) {
      if (data[i] === Number.POSITIVE_INFINITY || data[i] === Number.NEGATIVE_INFINITY) {
        data[i] = Number.NaN
        infinite++
      }
    }
    heights = extremes(data)
  }
  if (infinite > 0) warnings.push({ code: 'grid/infinite-cells', details: { cells: infinite } })
  // "None means no data" is an answer too.
  if (asked === null || !asked.some(Number.isNaN)) refuseIsolated(data, heights, text, suspects)
  return warnings
}

/** A number and nothing else; `nan` and `inf` as C prints them. Null when the text is something else. */
function parseStrictly(text: string): number | null {
  const trimmed = text.trim()
  if (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(trimmed)) return Number(trimmed)
  if (/^[+-]?nan$/i.test(trimmed)) return Number.NaN
  const infinite = /^([+-]?)inf(inity)?$/i.exec(trimmed)
  return infinite ? (infinite[1] === '-' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY) : null
}

/** The value as a cell of this type holds it, or null when it cannot. */
function asHeld(value: number, pixel: PixelType): number | null {
  if (pixel.kind === 'float') return pixel.bits === 32 ? Math.fround(value) : value
  const least = pixel.kind === 'signed' ? -(2 ** (pixel.bits - 1)) : 0
  const most = pixel.kind === 'signed' ? 2 ** (pixel.bits - 1) - 1 : 2 ** pixel.bits - 1
  return Number.isInteger(value) && value >= least && value <= most ? value : null
}

interface Extremes {
  readonly least: number
  readonly most: number
}

/** The lowest and the highest number; Infinity and −Infinity where there is none. */
function extremes(data: Float32Array | Float64Array): Extremes {
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < data.length; i++) {
    if (data[i]! < least) least = data[i]!
    if (data[i]! > most) most = data[i]!
  }
  return { least, most }
}

function refuseAmongHeights(data: Float32Array | Float64Array, value: number, cells: number): void {
  const { least, most } = extremes(data)
  if (!(value > least - NEAR && value < most + NEAR)) return
  throw new InputError(
    'grid/nodata-is-a-height',
    `The file says that ${value} means "no data", and ${cells} cells hold it; but its heights run from ${Number(least.toPrecision(7))} to ${Number(most.toPrecision(7))}, so those cells could be ground. Give --nodata ${value} if they are gaps, or --nodata nan if they are ground.`,
    { value, count: cells, least, most },
  )
}

function refuseIsolated(
  data: Float32Array | Float64Array,
  { least, most }: Extremes,
  text: string | null,
  suspects: readonly number[],
): void {
  for (const value of [least, most]) {
    const usual =
      Math.abs(value) > 1e30 || [...USUAL, ...suspects].some(candidate => candidate === value || Math.fround(candidate) === value)
    if (!usual) continue
    let count = 0
    let nearest = Number.POSITIVE_INFINITY
    for (let i = 0; i < data.length; i++) {
      const away = Math.abs(data[i]! - value)
      if (away === 0) count++
      else if (away < nearest) nearest = away
    }
    if (count > 0 && nearest > GAP) {
      const shown = Number(value.toPrecision(9))
      throw new InputError(
        'grid/nodata-unclear',
        `${count} cells hold ${shown}, far from every other height, and the file ${text === null ? 'does not say' : `says "${text.trim().slice(0, 30)}"`} what means "no data". Taken as ground they would be a pit or a tower. Give --nodata ${shown} (or --nodata nan if it is ground).`,
        { value, count, tag: text },
      )
    }
  }
}
