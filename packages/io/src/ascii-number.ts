/** Powers of ten that a double holds exactly. */
const POWERS = Array.from({ length: 23 }, (_, k) => Number(`1e${k}`))

/**
 * A plain decimal number between two places of a text in ASCII, or null; `nan` in any case is NaN.
 *
 * Laws    The same double as `Number` gives: up to 15 digits with a power of ten up to 22 are exact in one step, the rest is left to `Number`.
 * Source  W. D. Clinger, "How to read floating point numbers accurately", PLDI 1990: the fast case.
 */
export function asciiNumber(bytes: Uint8Array, from: number, to: number): number | null {
  let at = from
  const first = bytes[at]
  const negative = first === 0x2d
  if (negative || first === 0x2b) at++
  let [value, digits, scale, seen] = [0, 0, 0, 0]
  let point = false
  for (; at < to; at++) {
    const byte = bytes[at]!
    if (byte >= 0x30 && byte <= 0x39) {
      value = value * 10 + (byte - 0x30)
      if (value > 0) digits++
      if (point) scale--
      seen++
    } else if (byte === 0x2e && !point) point = true
    else break
  }
  if (seen === 0) return isNan(bytes, at, to) ? Number.NaN : null
  if (at < to) {
    if (bytes[at] !== 0x65 && bytes[at] !== 0x45) return null
    at++
    const sign = bytes[at] === 0x2d ? -1 : 1
    if (bytes[at] === 0x2d || bytes[at] === 0x2b) at++
    if (at === to) return null
    let exponent = 0
    for (; at < to; at++) {
      const byte = bytes[at]!
      if (byte < 0x30 || byte > 0x39) return null
      exponent = Math.min(100_000, exponent * 10 + (byte - 0x30))
    }
    scale += sign * exponent
  }
  if (digits > 15 || scale > 22 || scale < -22) {
    const whole = Number(String.fromCharCode(...bytes.subarray(from, Math.min(to, from + 400))))
    return to - from <= 400 && Number.isFinite(whole) ? whole : null
  }
  const magnitude = scale < 0 ? value / POWERS[-scale]! : value * POWERS[scale]!
  return negative ? -magnitude : magnitude
}

const isNan = (bytes: Uint8Array, from: number, to: number): boolean =>
  to - from === 3 && (bytes[from]! | 32) === 0x6e && (bytes[from + 1]! | 32) === 0x61 && (bytes[from + 2]! | 32) === 0x6e
