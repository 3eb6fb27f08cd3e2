/** Longitude and latitude in degrees, and a height where there is one. */
type At = readonly number[]

/** The same places with longitudes that run on past 180° instead of jumping to the other side of the map; the first one stays. */
export function continuous(path: readonly At[]): number[][] {
  let turns = 0
  return path.map((at, k) => {
    const step = k === 0 ? 0 : at[0]! - path[k - 1]![0]!
    if (step > 180) turns -= 360
    else if (step < -180) turns += 360
    return [at[0]! + turns, ...at.slice(1)]
  })
}

const crosses = (path: readonly At[]): boolean => path.some((at, k) => k > 0 && Math.abs(at[0]! - path[k - 1]![0]!) > 180)

/** Where a side meets a meridian, heights between those of its ends. */
function meets(p: At, q: At, meridian: number): number[] {
  const t = (meridian - p[0]!) / (q[0]! - p[0]!)
  return p.map((value, k) => (k === 0 ? meridian : value + t * ((q[k] ?? value) - value)))
}

/**
 * A line in pieces that each lie on one side of the antimeridian; the line itself where it does not cross it.
 *
 * Source  RFC 7946 (2016), section 3.1.9.
 */
export function cutLine(path: readonly At[]): (readonly At[])[] {
  if (!crosses(path)) return [path]
  const run = continuous(path)
  const side = (longitude: number): number => Math.floor((longitude + 180) / 360)
  const pieces: number[][][] = [[run[0]!]]
  for (let k = 1; k < run.length; k++) {
    const [p, q] = [run[k - 1]!, run[k]!]
    if (side(p[0]!) !== side(q[0]!)) {
      const at = meets(p, q, 360 * Math.max(side(p[0]!), side(q[0]!)) - 180)
      pieces.at(-1)!.push(at)
      pieces.push([at])
    }
    pieces.at(-1)!.push(q)
  }
  return pieces.map(piece => {
    // The place on the meridian belongs to the side that its piece lies on.
    const turn = 360 * side((piece[0]![0]! + piece.at(-1)![0]!) / 2)
    return piece.map(at => [at[0]! - turn, ...at.slice(1)])
  })
}

/** The one line of pieces that each go on where the one before met the antimeridian, as `cutLine` makes them; null where they do not. */
export function joinedAcross(pieces: readonly (readonly At[])[]): At[] | null {
  const [first = [], ...rest] = pieces
  const joined = [...first]
  for (const piece of rest) {
    const [end, begin] = [joined.at(-1), piece[0]]
    if (!end || !begin || Math.abs(end[0]!) !== 180 || begin[0] !== -end[0]! || Math.abs(end[1]! - begin[1]!) > 2e-9) return null
    joined.push(...piece.slice(1))
  }
  return joined
}

/**
 * A polygon's rings, closed, in polygons that each lie on one side of the antimeridian; the polygon itself where it does not cross it.
 *
 * Source  RFC 7946 (2016), section 3.1.9; I. E. Sutherland and G. W. Hodgman, "Reentrant polygon clipping", CACM 17 (1974), from memory.
 */
export function cutPolygon(rings: readonly (readonly At[])[]): (readonly (readonly At[])[])[] {
  if (!rings.some(crosses)) return [rings]
  const outer = continuous(rings[0]!)
  // Holes lie by their ring, whichever side of the map their first corner is written on.
  const runs = rings.map((ring, k) => {
    const run = continuous(ring)
    const turn = k === 0 ? 0 : 360 * Math.round((outer[0]![0]! - run[0]![0]!) / 360)
    return run.map(at => [at[0]! + turn, ...at.slice(1)])
  })
  const meridian = Math.max(...outer.map(at => at[0]!)) > 180 ? 180 : -180
  return [-1, 1].map(sign => {
    // What lies beyond the meridian is written on the other side of the map.
    const turn = sign * meridian > 0 ? sign * 360 : 0
    const cut = runs.map(run => clipped(run, at => sign * (at[0]! - meridian) >= 0, meridian))
    const on = cut.flat().filter(at => at[0] === meridian)
    return cut.map(ring => tied(ring, on, meridian).map(at => [at[0]! - turn, ...at.slice(1)])).filter(ring => ring.length >= 4)
  })
}

/** A closed ring cut to one side of a meridian, closed again. */
function clipped(ring: readonly number[][], inside: (at: At) => boolean, meridian: number): number[][] {
  const out: number[][] = []
  for (let k = 1; k < ring.length; k++) {
    const [p, q] = [ring[k - 1]!, ring[k]!]
    if (inside(p) !== inside(q)) out.push(meets(p, q, meridian))
    if (inside(q)) out.push(q)
  }
  return out.length === 0 ? out : [...out, out[0]!]
}

/** A ring whose sides along the meridian go by every corner there, also those of other rings: drawn on a plane they would else part by a millimetre. */
function tied(ring: readonly number[][], on: readonly number[][], meridian: number): number[][] {
  return ring.flatMap((q, k) => {
    const p = ring[k - 1]
    if (p === undefined || p[0] !== meridian || q[0] !== meridian) return [q]
    const north = q[1]! > p[1]!
    const between = on.filter(at => at[1]! > Math.min(p[1]!, q[1]!) && at[1]! < Math.max(p[1]!, q[1]!))
    return [...between.sort((a, b) => (north ? a[1]! - b[1]! : b[1]! - a[1]!)), q]
  })
}
