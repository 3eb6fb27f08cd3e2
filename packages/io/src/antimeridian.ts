/** Longitude, latitude and perhaps a height. */
type Position = readonly number[]

const jumps = (a: Position, b: Position): boolean => Math.abs(a[0]! - b[0]!) > 180

/** Whether a line runs over 180° on its shorter way: between two of its places longitude leaps by more than half a turn. */
export const crossesAntimeridian = (path: readonly Position[]): boolean => path.some((at, k) => k > 0 && jumps(path[k - 1]!, at))

const round = (value: number): number => Math.round(value * 1e9) / 1e9 + 0

/** The place between two others at a share of the way; heights where both have one. */
const between = (a: Position, b: Position, share: number, longitude: number): number[] => [
  longitude,
  round(a[1]! + share * (b[1]! - a[1]!)),
  ...(a.length > 2 && b.length > 2 ? [Math.round((a[2]! + share * (b[2]! - a[2]!)) * 1e4) / 1e4] : []),
]

/**
 * The parts of a line on either side of 180°, each ending on it.
 *
 * Laws    joined again by `joinedAcross` they are the line, with a place more on each crossing; a line that does not cross is the only part.
 * Source  RFC 7946 (2016), section 3.1.9.
 */
export function cutLine(path: readonly Position[]): Position[][] {
  const parts: Position[][] = [[]]
  for (const [k, at] of path.entries()) {
    const before = path[k - 1]
    if (before && jumps(before, at)) {
      const side = before[0]! > 0 ? 180 : -180
      const span = 360 - Math.abs(at[0]! - before[0]!)
      const share = span === 0 ? 0 : (180 - Math.abs(before[0]!)) / span
      if (Math.abs(before[0]!) !== 180) parts[parts.length - 1]!.push(between(before, at, share, side))
      parts.push(Math.abs(at[0]!) === 180 ? [] : [between(before, at, share, -side)])
    }
    parts[parts.length - 1]!.push(at)
  }
  return parts.filter(part => part.length > 1)
}

/** The one line of parts that each go on where the one before met 180°; null where they do not. */
export function joinedAcross(parts: readonly (readonly Position[])[]): Position[] | null {
  const [first = [], ...rest] = parts
  const joined = [...first]
  for (const part of rest) {
    const [end, begin] = [joined[joined.length - 1], part[0]]
    if (!end || !begin || Math.abs(end[0]!) !== 180 || begin[0] !== -end[0]! || Math.abs(end[1]! - begin[1]!) > 2e-9) return null
    joined.push(...part.slice(1))
  }
  return joined
}

/**
 * The parts of a polygon on either side of 180°, each closed along it. Rings are closed, the outer one first.
 *
 * Laws    together they cover what the polygon covers; rings keep their sense; a polygon that does not cross is the only part. Of an outline that bends
 *         back over 180° the pieces on one side hang together by a line along it.
 * Source  RFC 7946 (2016), section 3.1.9; cutting by Sutherland & Hodgman (1974), Communications of the ACM 17(1), 32–42.
 */
export function cutPolygon(rings: readonly (readonly Position[])[]): Position[][][] {
  const [outer = []] = rings
  if (!rings.some(crossesAntimeridian)) return [rings.map(ring => [...ring])]
  // Longitudes run on beyond 180° from where the outline begins; the holes with it.
  const base = outer[0]![0]!
  const unrolled = rings.map(ring => ring.map(at => [at[0]! + 360 * Math.round((base - at[0]!) / 360), ...at.slice(1)]))
  const limit = Math.max(...unrolled.flat().map(at => at[0]!)) > 180 ? 180 : -180
  return ([1, -1] as const).flatMap(side => {
    const cut = unrolled.map(ring => clipped(ring, limit, side)).filter(ring => ring.length > 3)
    return cut.length === 0 || clipped(unrolled[0]!, limit, side).length <= 3 ? [] : [cut]
  })
}

/** The part of a closed ring west (1) or east (−1) of a longitude, rolled back to −180…180. */
function clipped(ring: readonly Position[], limit: number, side: 1 | -1): Position[] {
  const inside = (at: Position): boolean => side * (limit - at[0]!) >= 0
  const out: number[][] = []
  for (let k = 1; k < ring.length; k++) {
    const [a, b] = [ring[k - 1]!, ring[k]!]
    if (inside(a) !== inside(b)) out.push(between(a, b, (limit - a[0]!) / (b[0]! - a[0]!), limit))
    if (inside(b)) out.push([...b])
  }
  // On the far side the meridian itself is that of the other sign.
  const far = limit > 0 === side < 0
  const rolled = out.map(at => [
    at[0]! > 180 ? round(at[0]! - 360) : at[0]! < -180 ? round(at[0]! + 360) : far && at[0] === limit ? -limit : at[0]!,
    ...at.slice(1),
  ])
  return rolled.length === 0 ? [] : [...rolled, rolled[0]!]
}
