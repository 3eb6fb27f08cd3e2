import type { Point } from './grid.js'

/** Sides of rings to a strip, about: fewer make more strips than places to ask about, more make each answer longer. Source: judgement. */
const SIDES_A_STRIP = 4
const MOST_STRIPS = 4096

/**
 * `insideRings` for one set of rings and many places: the sides are sorted by height into strips once, and each place goes through those of its own.
 *
 * Laws    it answers as `insideRings` does, to the last bit of a place.
 * Cost    some steps for each side, then some for each place.
 */
export function insideTester(rings: readonly (readonly Point[])[]): (place: Point) => boolean {
  let count = 0
  let south = Number.POSITIVE_INFINITY
  let north = Number.NEGATIVE_INFINITY
  for (const ring of rings) {
    count += ring.length
    for (let k = 0; k < ring.length; k++) {
      const y = ring[k]![1]
      if (y < south) south = y
      if (y > north) north = y
    }
  }
  // Each side as `insideRings` takes it: from a vertex to the one before it.
  const sides = new Float64Array(4 * count)
  let next = 0
  for (const ring of rings)
    for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
      sides[next++] = ring[k]![0]
      sides[next++] = ring[k]![1]
      sides[next++] = ring[j]![0]
      sides[next++] = ring[j]![1]
    }
  const strips = Math.min(MOST_STRIPS, Math.max(1, Math.ceil(count / SIDES_A_STRIP)))
  const perMetre = north > south ? strips / (north - south) : 0
  // Growing with y, rounding and all: a side that a place's height lies on is in the strip of that height.
  const stripOf = (y: number): number => Math.min(strips - 1, Math.floor((y - south) * perMetre))
  const ends = new Int32Array(strips + 1)
  for (let k = 0; k < sides.length; k += 4) {
    const [from, to] = stripsOf(k)
    for (let strip = from; strip <= to; strip++) ends[strip + 1]!++
  }
  for (let strip = 0; strip < strips; strip++) ends[strip + 1]! += ends[strip]!
  const inStrip = new Int32Array(ends[strips]!)
  const filled = ends.slice()
  for (let k = 0; k < sides.length; k += 4) {
    const [from, to] = stripsOf(k)
    for (let strip = from; strip <= to; strip++) inStrip[filled[strip]!++] = k
  }
  return ([x, y]) => {
    if (!(y >= south && y <= north)) return false
    const strip = stripOf(y)
    let inside = false
    for (let n = ends[strip]!; n < ends[strip + 1]!; n++) {
      const k = inStrip[n]!
      const ay = sides[k + 1]!
      const by = sides[k + 3]!
      if (ay > y !== by > y && x < ((sides[k + 2]! - sides[k]!) * (y - ay)) / (by - ay) + sides[k]!) inside = !inside
    }
    return inside
  }

  function stripsOf(k: number): readonly [from: number, to: number] {
    const a = stripOf(sides[k + 1]!)
    const b = stripOf(sides[k + 3]!)
    return a < b ? [a, b] : [b, a]
  }
}
