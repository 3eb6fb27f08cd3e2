import { type ElevationGrid, insideTester, type Point, ringArea_m2, surfaceValue } from 'soakline/raster'

/** About as many strokes as a catchment is given. Judgement: more look like rain. */
const STROKES = 45
const STEPS = 8

/**
 * Short strokes down the fall inside a catchment: a picture of where its water comes from, never an answer.
 *
 * Laws    the strokes begin on a lattice that stays where it is while the catchment changes, so that they do not dance under a moving line.
 */
export function fallLines(ground: ElevationGrid, rings: readonly (readonly Point[])[]): Point[][] {
  const area_m2 = rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)
  if (!(area_m2 > 0)) return []
  const { cell_m, west_m, north_m } = ground.geometry
  const spacing_m = Math.max(3 * cell_m, rounded(Math.sqrt(area_m2 / STROKES)))
  const step_m = (0.75 * spacing_m) / STEPS
  const xs = rings.flatMap(ring => ring.map(p => p[0]))
  const ys = rings.flatMap(ring => ring.map(p => p[1]))
  const first = (least: number, origin: number): number => Math.ceil((least - origin) / spacing_m)
  const lines: Point[][] = []
  const inside = insideTester(rings)
  const [east, north] = [largest(xs), largest(ys)]
  const row0 = first(-largest(ys.map(y => -y)), north_m)
  for (let row = row0; north_m + row * spacing_m <= north; row++)
    for (let column = first(-largest(xs.map(x => -x)), west_m); west_m + column * spacing_m <= east; column++) {
      // Every other row is moved by half a step.
      const start: Point = [west_m + (column + (row % 2 === 0 ? 0 : 0.5)) * spacing_m, north_m + row * spacing_m]
      if (!inside(start)) continue
      const line = [start]
      for (let at: Point | null = start; at && line.length <= STEPS; ) {
        at = downhill(ground, at, step_m)
        if (at && inside(at)) line.push(at)
        else at = null
      }
      if (line.length > STEPS / 2) lines.push(line)
    }
  return lines
}

/** One step down the fall of the surface; null where it has none. */
function downhill(ground: ElevationGrid, [x, y]: Point, step_m: number): Point | null {
  const reach = ground.geometry.cell_m
  const dx = surfaceValue(ground, [x + reach, y]) - surfaceValue(ground, [x - reach, y])
  const dy = surfaceValue(ground, [x, y + reach]) - surfaceValue(ground, [x, y - reach])
  const steep = Math.sqrt(dx * dx + dy * dy)
  return steep > 1e-4 * reach ? [x - (step_m * dx) / steep, y - (step_m * dy) / steep] : null
}

const largest = (values: readonly number[]): number => values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY)

/** The nearest of 1, 2 and 5 times a power of ten below a length. */
function rounded(length: number): number {
  const power = 10 ** Math.floor(Math.log10(length))
  return power * (length >= 5 * power ? 5 : length >= 2 * power ? 2 : 1)
}
