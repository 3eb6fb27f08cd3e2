import { type Random, seededRandom } from 'soakline/foundation'
import { type ElevationGrid, fromLattice, type GridGeometry, type Point } from 'soakline/raster'

/** A height at every place. */
export type Surface = (x: number, y: number) => number

/** A surface read at cell centres; the south-west corner of the raster is (0, 0). */
export function gridOf(width: number, height: number, cell_m: number, surface: Surface): ElevationGrid {
  const geometry: GridGeometry = { width, height, cell_m, west_m: 0, north_m: height * cell_m, crs: 'local' }
  const data = Float32Array.from({ length: width * height }, (_, cell) => {
    const [x, y] = fromLattice(geometry, cell % width, Math.floor(cell / width))
    return surface(x, y)
  })
  return { quantity: 'elevation_m', geometry, data }
}

/** Unit vector of an azimuth, degrees clockwise from north. */
export const heading = (azimuth_deg: number): Point => [Math.sin((azimuth_deg * Math.PI) / 180), Math.cos((azimuth_deg * Math.PI) / 180)]

/** A plane that falls towards an azimuth. */
export function plane(azimuth_deg: number, fall_ratio: number, [cx, cy]: Point, height_m = 100): Surface {
  const [east, north] = heading(azimuth_deg)
  return (x, y) => height_m - fall_ratio * ((x - cx) * east + (y - cy) * north)
}

/** Two planes that fall to both sides of a ridge through a place; one of them falls towards the azimuth. */
export function roof(azimuth_deg: number, fall_ratio: number, [cx, cy]: Point, height_m = 100): Surface {
  const [east, north] = heading(azimuth_deg)
  return (x, y) => height_m - fall_ratio * Math.abs((x - cx) * east + (y - cy) * north)
}

/** Two planes that rise to both sides of a level or falling channel; the channel falls towards the azimuth. */
export function vValley(azimuth_deg: number, side_ratio: number, fall_ratio: number, [cx, cy]: Point, height_m = 100): Surface {
  const [east, north] = heading(azimuth_deg)
  return (x, y) => height_m - fall_ratio * ((x - cx) * east + (y - cy) * north) + side_ratio * Math.abs((x - cx) * north - (y - cy) * east)
}

/** A cone that sheds water in all directions. */
export const cone =
  (fall_ratio: number, [cx, cy]: Point, height_m = 100): Surface =>
  (x, y) =>
    height_m - fall_ratio * Math.sqrt((x - cx) ** 2 + (y - cy) ** 2)

/** A cone upside down, that gathers water from all sides, within a circular ridge beyond which the ground falls away. */
export const hollowCone =
  (fall_ratio: number, [cx, cy]: Point, ridge_m: number, height_m = 100): Surface =>
  (x, y) =>
    height_m - fall_ratio * Math.abs(Math.sqrt((x - cx) ** 2 + (y - cy) ** 2) - ridge_m)

/** A saddle: it rises to both sides along the azimuth and falls to both sides across it. */
export function saddle(azimuth_deg: number, bend_per_m: number, [cx, cy]: Point, height_m = 100): Surface {
  const [east, north] = heading(azimuth_deg)
  return (x, y) => {
    const along = (x - cx) * east + (y - cy) * north
    const across = (x - cx) * north - (y - cy) * east
    return height_m + bend_per_m * (along * along - across * across)
  }
}

/** A straight line across an azimuth, its middle at a distance from a place in that azimuth; vertices at most 1 m apart. */
export function lineAcross(azimuth_deg: number, [cx, cy]: Point, away_m: number, length_m: number): Point[] {
  const [east, north] = heading(azimuth_deg)
  const steps = Math.ceil(length_m)
  return Array.from({ length: steps + 1 }, (_, k): Point => {
    const along = length_m * (k / steps - 0.5)
    return [cx + away_m * east - along * north, cy + away_m * north + along * east]
  })
}

/** An arc round a place, its middle in an azimuth; vertices at most 1 m apart. */
export function arc(azimuth_deg: number, [cx, cy]: Point, radius_m: number, length_m: number): Point[] {
  const steps = Math.ceil(length_m)
  return Array.from({ length: steps + 1 }, (_, k): Point => {
    const [east, north] = heading(azimuth_deg + ((length_m * (k / steps - 0.5)) / radius_m) * (180 / Math.PI))
    return [cx + radius_m * east, cy + radius_m * north]
  })
}

/** What drains into a contour line by geometry alone, m². */
export const exactCatchment_m2 = {
  /** The rectangle between line and ridge. */
  roof: (length_m: number, fromRidge_m: number): number => length_m * fromRidge_m,
  /** The sector above the arc. */
  cone: (length_m: number, radius_m: number): number => (length_m * radius_m) / 2,
  /** The piece of ring between the arc and the ridge round it. */
  hollowCone: (length_m: number, radius_m: number, ridge_m: number): number =>
    (length_m * (ridge_m * ridge_m - radius_m * radius_m)) / (2 * radius_m),
}

/** Smooth hills and hollows, some metres high, on a slope. */
export function smoothHills(random: Random, width: number, height: number, cell_m = 1): ElevationGrid {
  const size = Math.max(width, height) * cell_m
  const hills = Array.from({ length: 6 }, () => ({
    x: random.uniform() * width * cell_m,
    y: random.uniform() * height * cell_m,
    high: random.normal() * 0.08 * size,
    wide: (0.1 + 0.25 * random.uniform()) * size,
  }))
  const fall = plane(random.uniform() * 360, 0.15 * random.uniform(), [0, 0])
  return gridOf(width, height, cell_m, (x, y) => {
    let z = fall(x, y)
    for (const hill of hills) z += hill.high / (1 + ((x - hill.x) ** 2 + (y - hill.y) ** 2) / (hill.wide * hill.wide))
    return z
  })
}

/** The same ground with other heights. */
export const reshaped = (grid: ElevationGrid, height: (z: number, cell: number) => number): ElevationGrid => ({
  ...grid,
  data: grid.data.map(height),
})

/** Noise from cell to cell: pits everywhere. */
export const roughened = (grid: ElevationGrid, random: Random, deviation_m: number): ElevationGrid =>
  reshaped(grid, z => z + deviation_m * random.normal())

/** Heights rounded to a step: flats and ties. */
export const rounded = (grid: ElevationGrid, step_m: number): ElevationGrid => reshaped(grid, z => Math.round(z / step_m) * step_m)

/** Some single cells and one rectangle without data. */
export function withGaps(grid: ElevationGrid, random: Random, share: number): ElevationGrid {
  const { width, height } = grid.geometry
  const left = Math.floor(random.uniform() * width)
  const top = Math.floor(random.uniform() * height)
  const right = left + Math.floor((random.uniform() * width) / 3)
  const bottom = top + Math.floor((random.uniform() * height) / 3)
  return reshaped(grid, (z, cell) => {
    const column = cell % width
    const row = Math.floor(cell / width)
    return random.uniform() < share || (column >= left && column < right && row >= top && row < bottom) ? Number.NaN : z
  })
}

/** Level discs, as a survey of open water gives them. */
export function withLakes(grid: ElevationGrid, random: Random, lakes: number): ElevationGrid {
  const { width, height } = grid.geometry
  const data = grid.data.slice()
  for (let k = 0; k < lakes; k++) {
    const column = random.uniform() * width
    const row = random.uniform() * height
    const radius = (0.08 + 0.12 * random.uniform()) * Math.min(width, height)
    const wet = [...data.keys()].filter(cell => ((cell % width) - column) ** 2 + (Math.floor(cell / width) - row) ** 2 < radius * radius)
    const level = wet.reduce((lowest, cell) => Math.min(lowest, data[cell]!), Number.POSITIVE_INFINITY)
    for (const cell of wet) data[cell] = level
  }
  return { ...grid, data }
}

/** Kinds of invented ground, from gentle to nasty. */
export const TERRAINS = ['smooth', 'rough', 'lakes', 'decimetres', 'metres', 'gaps', 'metres with gaps', 'level'] as const
export type Terrain = (typeof TERRAINS)[number]

/** Kinds without equal heights. */
export const TIE_FREE: readonly Terrain[] = ['smooth', 'rough', 'gaps']

/** Invented ground of a kind, the same for the same seed. */
export function terrain(kind: Terrain, seed: number, width: number, height: number, cell_m = 1): ElevationGrid {
  const random = seededRandom(seed)
  const hills = smoothHills(random, width, height, cell_m)
  switch (kind) {
    case 'smooth':
      return untied(hills)
    case 'rough':
      return untied(roughened(hills, random, 0.3))
    case 'lakes':
      return withLakes(roughened(hills, random, 0.05), random, 3)
    case 'decimetres':
      return rounded(roughened(hills, random, 0.1), 0.1)
    case 'metres':
      return rounded(hills, 1)
    case 'gaps':
      return untied(withGaps(roughened(hills, random, 0.2), random, 0.03))
    case 'metres with gaps':
      return withGaps(rounded(roughened(hills, random, 0.5), 1), random, 0.05)
    case 'level':
      return reshaped(hills, () => 7)
  }
}

/** The same ground, equal heights set apart by the last digit of float32: by chance two passes of a hollow may be equal, and either is as good. */
function untied(grid: ElevationGrid): ElevationGrid {
  const data = grid.data.slice()
  const digits = new Int32Array(data.buffer)
  const taken = new Set<number>()
  for (let cell = 0; cell < data.length; cell++) {
    if (Number.isNaN(data[cell]!)) continue
    while (taken.has(digits[cell]!)) digits[cell]!++
    taken.add(digits[cell]!)
  }
  return { ...grid, data }
}

/** Whole heights from 0 to `high`, drawn cell by cell, with some cells void: hard on every rule about ties. */
export function dice(seed: number, width: number, height: number, high: number, voidShare = 0): ElevationGrid {
  const random = seededRandom(seed)
  return gridOf(width, height, 1, () => (random.uniform() < voidShare ? Number.NaN : Math.floor(random.uniform() * (high + 1))))
}

/** The eight ways to turn and mirror a raster. */
export const SYMMETRIES = [0, 1, 2, 3, 4, 5, 6, 7] as const
export type Symmetry = (typeof SYMMETRIES)[number]

/** Size of the turned raster, and for each of its cells the cell of the original that comes to lie there. */
export function turning(width: number, height: number, symmetry: Symmetry): { width: number; height: number; from: Int32Array } {
  const swaps = symmetry >= 4
  const newWidth = swaps ? height : width
  const newHeight = swaps ? width : height
  const from = new Int32Array(width * height)
  for (let row = 0, cell = 0; row < newHeight; row++)
    for (let column = 0; column < newWidth; column++, cell++) {
      const [c, r] = swaps ? [row, column] : [column, row]
      from[cell] = (symmetry & 2 ? height - 1 - r : r) * width + (symmetry & 1 ? width - 1 - c : c)
    }
  return { width: newWidth, height: newHeight, from }
}

/** A raster turned or mirrored. */
export function turned(grid: ElevationGrid, symmetry: Symmetry): ElevationGrid {
  const { width, height, from } = turning(grid.geometry.width, grid.geometry.height, symmetry)
  const { cell_m } = grid.geometry
  return {
    quantity: 'elevation_m',
    geometry: { ...grid.geometry, width, height, north_m: height * cell_m },
    data: Float32Array.from(from, cell => grid.data[cell]!),
  }
}

/** A window of a raster. */
export function cropped(grid: ElevationGrid, left: number, top: number, width: number, height: number): ElevationGrid {
  const g = grid.geometry
  return {
    quantity: 'elevation_m',
    geometry: { ...g, width, height, west_m: g.west_m + left * g.cell_m, north_m: g.north_m - top * g.cell_m },
    data: Float32Array.from(
      { length: width * height },
      (_, cell) => grid.data[(top + Math.floor(cell / width)) * g.width + left + (cell % width)]!,
    ),
  }
}

/** A raster within a frame of void, some cells wide. */
export function framed(grid: ElevationGrid, cells: number): ElevationGrid {
  const g = grid.geometry
  const width = g.width + 2 * cells
  const height = g.height + 2 * cells
  return {
    quantity: 'elevation_m',
    geometry: { ...g, width, height, west_m: g.west_m - cells * g.cell_m, north_m: g.north_m + cells * g.cell_m },
    data: Float32Array.from({ length: width * height }, (_, cell) => {
      const column = (cell % width) - cells
      const row = Math.floor(cell / width) - cells
      return column >= 0 && row >= 0 && column < g.width && row < g.height ? grid.data[row * g.width + column]! : Number.NaN
    }),
  }
}
