import { seededRandom } from 'soakline/foundation'
import type { ElevationGrid, Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'
import { gridOf, heading } from './surfaces.js'

/** A hillside with a level ditch on it, the places of its sill, and a cabin below. */
export interface Hillside {
  readonly seed: number
  readonly ground: ElevationGrid
  readonly line: readonly Point[]
  /** Places along the two sills, one past each end of the line: it spills where its berm happens to be lowest. */
  readonly sills: readonly (readonly Point[])[]
  readonly cabin: SiteFeature
  readonly corners: readonly Point[]
  /** What the heights are wrong by. */
  readonly sigma_m: number
  readonly correlated_ratio: number
  readonly correlationLength_m: number
}

/** Cells to a side, 1 m each. */
export const HILLSIDE_CELLS = 80

/**
 * An invented hillside: a slope of 4–25 % in any direction, with some spurs and hollows across it and some bumps; a ditch of 16 m near its top, and
 * a cabin of 6 × 8 m somewhere below it.
 */
export function randomHillside(seed: number): Hillside {
  const random = seededRandom(seed * 7919 + 13)
  const size = HILLSIDE_CELLS
  const middle = size / 2
  const azimuth = 360 * random.uniform()
  const [east, north] = heading(azimuth)
  const fall = 0.04 + 0.21 * random.uniform() * random.uniform()
  const bend = (random.uniform() - 0.5) * 0.0006
  // Spurs and hollows run down the slope, some askew.
  const ribs = Array.from({ length: 3 }, () => ({
    skew: 0.4 * (random.uniform() - 0.5),
    long: 18 + 40 * random.uniform(),
    high: 1.2 * random.uniform() * random.uniform(),
    phase: 2 * Math.PI * random.uniform(),
  }))
  const bumps = Array.from({ length: 4 }, () => ({
    x: size * random.uniform(),
    y: size * random.uniform(),
    high: 0.9 * (random.uniform() - 0.5),
    wide: 5 + 14 * random.uniform(),
  }))
  const ground = gridOf(size, size, 1, (x, y) => {
    const down = (x - middle) * east + (y - middle) * north
    const across = (x - middle) * north - (y - middle) * east
    let z = 50 - fall * down + bend * down * down
    for (const rib of ribs) z += rib.high * Math.sin(((across + rib.skew * down) * 2 * Math.PI) / rib.long + rib.phase)
    for (const bump of bumps) z += bump.high / (1 + ((x - bump.x) ** 2 + (y - bump.y) ** 2) / (bump.wide * bump.wide))
    return z
  })
  const place = (down: number, across: number): Point => [middle + down * east + across * north, middle + down * north - across * east]
  const top = -28 + 8 * random.uniform()
  const shift = 16 * (random.uniform() - 0.5)
  const line = Array.from({ length: 17 }, (_, k): Point => place(top, shift - 8 + k))
  const sills = [-9, 7].map(first => [0, 1, 2].map(k => place(top, shift + first + k)))
  const cabinDown = top + 12 + 32 * random.uniform()
  const cabinAcross = Math.min(36, Math.max(-36, shift + 76 * (random.uniform() - 0.5)))
  const corners: Point[] = [
    [-3, -4],
    [3, -4],
    [3, 4],
    [-3, 4],
  ].map(([a, b]) => place(cabinDown + a!, cabinAcross + b!))
  return {
    seed,
    ground,
    line,
    sills,
    cabin: { id: 'cabin', kind: 'building', name: 'cabin', floor_m: null, shapes: [{ type: 'polygon', rings: [corners] }] },
    corners,
    sigma_m: [0.03, 0.05, 0.1, 0.15][Math.floor(4 * random.uniform())]!,
    correlated_ratio: [0.5, 0.8, 1][Math.floor(3 * random.uniform())]!,
    correlationLength_m: [4, 8, 14][Math.floor(3 * random.uniform())]!,
  }
}
