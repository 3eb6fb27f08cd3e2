import type { Ramp } from '@soakline/drawing'
import { type ElevationGrid, type GridGeometry, type Point, toLattice } from 'soakline/raster'
import { tintsOf } from './tints.js'

/** A tile of the map's square scheme. */
export interface TileName {
  readonly z: number
  readonly x: number
  readonly y: number
}

/** Straight (not premultiplied) red, green, blue, alpha. */
export interface Picture {
  readonly width: number
  readonly height: number
  readonly pixels: Uint8ClampedArray<ArrayBuffer>
}

/** How a ground is best shown, worked out once. */
export interface GroundLook {
  /** The heights between which the tint runs. */
  readonly low_m: number
  readonly high_m: number
  /** Vertical exaggeration of the shading: flat ground is drawn steeper than it is, so that it does not look flat. */
  readonly exaggeration: number
}

/** Side of a tile in pixels. */
export const TILE_PX = 256
/** Tiles are projected exactly on this many places a side, and linearly between them. */
const KNOTS = 17

/** The slope that the steeper tenth of the ground is drawn with. Judgement: seen on screens. */
const SHOWN_SLOPE = 0.5
const LARGEST_EXAGGERATION = 12

/** Looks at a sample of the cells. Cost: at most about 20 000 cells. */
export function groundLook(ground: ElevationGrid): GroundLook {
  const { width, height, cell_m } = ground.geometry
  const step = Math.max(1, Math.floor(Math.sqrt((width * height) / 20_000)))
  const heights: number[] = []
  const slopes: number[] = []
  for (let row = 0; row < height; row += step)
    for (let column = 0; column < width; column += step) {
      const at = row * width + column
      const z = ground.data[at]!
      if (!Number.isNaN(z)) heights.push(z)
      if (column + 1 >= width || row + 1 >= height) continue
      const slope = Math.hypot(ground.data[at + 1]! - z, ground.data[at + width]! - z) / cell_m
      if (!Number.isNaN(slope)) slopes.push(slope)
    }
  heights.sort((a, b) => a - b)
  slopes.sort((a, b) => a - b)
  const part = (sorted: readonly number[], share: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0
  const steep = part(slopes, 0.9)
  return {
    low_m: part(heights, 0.02),
    high_m: Math.max(part(heights, 0.98), part(heights, 0.02) + 0.01),
    exaggeration: steep > 0 ? Math.min(LARGEST_EXAGGERATION, Math.max(1, SHOWN_SLOPE / steep)) : 1,
  }
}

/** The main light from the north-west and a weaker one from the south-west, as unit vectors to the east, the north and up. */
const LIGHTS = [
  { east: -0.5, north: 0.5, up: Math.SQRT1_2, weight: 0.72 },
  { east: -0.78, north: -0.35, up: 0.52, weight: 0.28 },
] as const

/** Longitude and latitude of a place in a tile, u and v from 0 (west, north) to 1. */
export function inTile({ z, x, y }: TileName, u: number, v: number): [number, number] {
  const n = 2 ** z
  const north = Math.PI * (1 - (2 * (y + v)) / n)
  return [((x + u) / n) * 360 - 180, (Math.atan(Math.sinh(north)) * 180) / Math.PI]
}

/**
 * The ground of a tile, shaded by two lights and tinted by its height; null where the tile shows no ground.
 *
 * No data  transparent, beyond the raster and in voids.
 * Laws     depends on the grid and the tile alone; the same ground in two tiles has the same colour at their common rim.
 * Cost     five looks at the surface for each pixel.
 *
 * @param toWorking from map degrees to the raster's own metres; may throw or give NaN far away
 */
export function shadeTile(
  ground: ElevationGrid,
  look: GroundLook,
  tile: TileName,
  toWorking: (longitude: number, latitude: number) => Point,
  night: boolean,
  ramp: Ramp = 'hill',
): Picture | null {
  const knots = latticeKnots(ground.geometry, tile, toWorking)
  if (!knots) return null
  const { stops, dark, bright } = tintsOf(ramp, night)
  const { data } = ground
  const { width, height, cell_m } = ground.geometry
  const pixels = new Uint8ClampedArray(TILE_PX * TILE_PX * 4)

  const surface = (u: number, v: number): number => {
    // The outer half of a rim cell is drawn like its centre.
    if (!(u > -0.5 && v > -0.5 && u < width - 0.5 && v < height - 0.5)) return Number.NaN
    const cu = Math.min(Math.max(u, 0), width - 1)
    const cv = Math.min(Math.max(v, 0), height - 1)
    const column = Math.min(Math.floor(cu), width - 2)
    const row = Math.min(Math.floor(cv), height - 2)
    const a = cu - column
    const b = cv - row
    const at = row * width + column
    const top = data[at]! + a * (data[at + 1]! - data[at]!)
    const bottom = data[at + width]! + a * (data[at + width + 1]! - data[at + width]!)
    return top + b * (bottom - top)
  }

  // Slopes are taken over one cell, or over one pixel where that is longer.
  const pixel = Math.abs(knots.u[KNOTS - 1]! - knots.u[0]!) / TILE_PX
  const reach = Math.max(1, pixel)
  const perMetre = look.exaggeration / (2 * reach * cell_m)
  const range = look.high_m - look.low_m
  let shown = false
  for (let py = 0, out = 0; py < TILE_PX; py++) {
    const gv = ((py + 0.5) / TILE_PX) * (KNOTS - 1)
    const kv = Math.floor(gv)
    const fv = gv - kv
    for (let px = 0; px < TILE_PX; px++, out += 4) {
      const gu = ((px + 0.5) / TILE_PX) * (KNOTS - 1)
      const ku = Math.floor(gu)
      const fu = gu - ku
      const k = kv * KNOTS + ku
      const u = between(knots.u, k, fu, fv)
      const v = between(knots.v, k, fu, fv)
      const z = surface(u, v)
      if (Number.isNaN(z)) continue
      // Where a neighbour has no data, the slope is taken on the other side alone.
      const east = or(surface(u + reach, v), z)
      const west = or(surface(u - reach, v), z)
      const south = or(surface(u, v + reach), z)
      const north = or(surface(u, v - reach), z)
      const riseEast = (east - west) * perMetre
      const riseNorth = (north - south) * perMetre
      const up = 1 / Math.sqrt(1 + riseEast * riseEast + riseNorth * riseNorth)
      let light = 0
      for (const l of LIGHTS) light += l.weight * Math.max(0, (l.up - l.east * riseEast - l.north * riseNorth) * up)
      // Level ground keeps its tint.
      const tone =
        light < LEVEL_LIGHT ? dark + (1 - dark) * (light / LEVEL_LIGHT) : 1 + (bright - 1) * ((light - LEVEL_LIGHT) / (1 - LEVEL_LIGHT))
      const h = Math.min(1, Math.max(0, (z - look.low_m) / range)) * 2
      const [from, to] = h < 1 ? [stops[0], stops[1]] : [stops[1], stops[2]]
      const t = h < 1 ? h : h - 1
      for (let c = 0; c < 3; c++) pixels[out + c] = (from[c as 0 | 1 | 2] + t * (to[c as 0 | 1 | 2] - from[c as 0 | 1 | 2])) * tone
      pixels[out + 3] = 255
      shown = true
    }
  }
  return shown ? { width: TILE_PX, height: TILE_PX, pixels } : null
}

const LEVEL_LIGHT = LIGHTS.reduce((sum, l) => sum + l.weight * l.up, 0)

const or = (value: number, instead: number): number => (Number.isNaN(value) ? instead : value)

const between = (knots: Float64Array, k: number, fu: number, fv: number): number => {
  const top = knots[k]! + fu * (knots[k + 1]! - knots[k]!)
  const bottom = knots[k + KNOTS]! + fu * (knots[k + KNOTS + 1]! - knots[k + KNOTS]!)
  return top + fv * (bottom - top)
}

/** Lattice places of the tile's knots; null where the tile lies wholly beyond the raster. */
function latticeKnots(
  g: GridGeometry,
  tile: TileName,
  toWorking: (longitude: number, latitude: number) => Point,
): { readonly u: Float64Array; readonly v: Float64Array } | null {
  const u = new Float64Array(KNOTS * KNOTS)
  const v = new Float64Array(KNOTS * KNOTS)
  let [west, east, north, south] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let row = 0; row < KNOTS; row++)
    for (let column = 0; column < KNOTS; column++) {
      const k = row * KNOTS + column
      const at = place(inTile(tile, column / (KNOTS - 1), row / (KNOTS - 1)), toWorking)
      const lattice = toLattice(g, at)
      u[k] = lattice.u
      v[k] = lattice.v
      west = Math.min(west, lattice.u)
      east = Math.max(east, lattice.u)
      north = Math.min(north, lattice.v)
      south = Math.max(south, lattice.v)
    }
  return east < -0.5 || south < -0.5 || west > g.width - 0.5 || north > g.height - 0.5 ? null : { u, v }
}

function place([longitude, latitude]: readonly [number, number], toWorking: (longitude: number, latitude: number) => Point): Point {
  try {
    return toWorking(longitude, latitude)
  } catch {
    // Beyond the domain of the projection there is no ground either.
    return [Number.NaN, Number.NaN]
  }
}
