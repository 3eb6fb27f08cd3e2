import type { Place, PlanFeature } from 'soakline/plan'

type Geometry = PlanFeature['geometry']

const isPlace = (value: unknown): value is Place => Array.isArray(value) && typeof value[0] === 'number' && typeof value[1] === 'number'

/** The rows of positions of a geometry, in the order of the file: a point is one row of one, a polygon one row for each ring. */
export function positionsOf(geometry: Geometry): readonly (readonly Place[])[] {
  const rows: Place[][] = []
  const walk = (value: unknown): void => {
    if (isPlace(value)) rows.push([value])
    else if (Array.isArray(value) && value.length > 0 && value.every(isPlace)) rows.push([...(value as Place[])])
    else if (Array.isArray(value)) for (const part of value) walk(part)
  }
  walk(geometry.coordinates)
  return rows
}

/** A ring's last position repeats its first. */
const isRing = (row: readonly Place[]): boolean => {
  const [first, last] = [row[0], row[row.length - 1]]
  return row.length > 3 && first !== undefined && last !== undefined && first[0] === last[0] && first[1] === last[1]
}

/** The positions that can be taken hold of: a ring's last one, which repeats its first, is left out. */
export const cornersOf = (row: readonly Place[]): readonly Place[] => (isRing(row) ? row.slice(0, -1) : row)

/** The geometry with one position elsewhere; a closed ring stays closed. */
export function replacePosition(geometry: Geometry, ring: number, index: number, place: Place): Geometry {
  return changeRow(geometry, ring, row => {
    const closed = isRing(row)
    return row.map((p, k) => (k === index || (closed && index === 0 && k === row.length - 1) ? place : p))
  })
}

/** The geometry without one position; null when too few would be left. */
export function removePosition(geometry: Geometry, ring: number, index: number): Geometry | null {
  const row = positionsOf(geometry)[ring]
  if (row === undefined) return null
  const corners = cornersOf(row)
  const closed = corners.length < row.length
  if (corners.length <= (closed ? 3 : 2)) return null
  const left = corners.filter((_, k) => k !== index)
  return changeRow(geometry, ring, () => (closed ? [...left, left[0]!] : left))
}

/** The geometry with a new position half-way to the next one. */
export function insertPosition(geometry: Geometry, ring: number, index: number): Geometry {
  return changeRow(geometry, ring, row => {
    const [a, b] = [row[index], row[index + 1]]
    if (a === undefined || b === undefined) return row
    return [...row.slice(0, index + 1), [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], ...row.slice(index + 1)]
  })
}

function changeRow(geometry: Geometry, ring: number, how: (row: readonly Place[]) => readonly Place[]): Geometry {
  let n = -1
  const walk = (value: unknown): unknown => {
    if (isPlace(value)) return ++n === ring ? how([value])[0] : value
    if (Array.isArray(value) && value.length > 0 && value.every(isPlace)) return ++n === ring ? how(value as readonly Place[]) : value
    return Array.isArray(value) ? value.map(walk) : value
  }
  return { ...geometry, coordinates: walk(geometry.coordinates) }
}
