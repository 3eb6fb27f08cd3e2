import { seededRandom } from 'soakline/foundation'
import type { Hillside } from './random-hillside.js'

/*
 * A slow second opinion on where an overflow runs, that shares no code with the library but its source of uniform numbers: fields of error by
 * Box–Muller and a Gaussian kernel, water as a particle that steps down the true gradient of the bilinear surface, hollows filled cell by cell.
 */

/** How near the water of one run came to the cabin. */
export interface OracleRun {
  /** In clearances: the larger of distance over clearance in plan, and rise to the floor over clearance in height; the least along the way. */
  readonly clearances: number
  readonly nearest_m: number
}

/** Runs of the oracle on a hillside, one after another for as long as they are asked for. */
export function* particleRuns(hill: Hillside, clearance: { plan_m: number; height_m: number }): Generator<OracleRun, never> {
  const random = seededRandom(hill.seed * 104729 + 71)
  let other = Number.NaN
  const normal = (): number => {
    const kept = other
    other = Number.NaN
    if (!Number.isNaN(kept)) return kept
    const far = Math.sqrt(-2 * Math.log(1 - random.uniform()))
    const turn = 2 * Math.PI * random.uniform()
    other = far * Math.sin(turn)
    return far * Math.cos(turn)
  }
  for (;;) yield oneRun(hill, clearance, normal)
}

function oneRun(hill: Hillside, clearance: { plan_m: number; height_m: number }, normal: () => number): OracleRun {
  const { width, height } = hill.ground.geometry
  const error = field(width, height, hill, normal)
  const z = error.map((wrong, cell) => hill.ground.data[cell]! + wrong)
  // x of cell centres is column + 0.5; y runs north from the south rim.
  const column = (x: number): number => x - 0.5
  const row = (y: number): number => height - y - 0.5
  const xs = hill.corners.map(c => column(c[0]))
  const ys = hill.corners.map(c => row(c[1]))
  let floor = Number.POSITIVE_INFINITY
  for (let r = 0; r < height; r++)
    for (let c = 0; c < width; c++) if (awayFrom(xs, ys, c, r) <= 0.5) floor = Math.min(floor, z[r * width + c]!)
  let clearances = Number.POSITIVE_INFINITY
  let nearest_m = Number.POSITIVE_INFINITY
  const water = (u: number, v: number, level: number): void => {
    const away = awayFrom(xs, ys, u, v)
    nearest_m = Math.min(nearest_m, away)
    clearances = Math.min(clearances, Math.max(away / clearance.plan_m, (floor - level) / clearance.height_m))
  }
  for (const [x, y] of hill.sills.flat()) release(z, width, height, column(x), row(y), water)
  return { clearances, nearest_m }
}

/** Steps of a tenth of a cell down the gradient; where that leads no lower the hollow round the place is filled until it spills. */
function release(
  z: Float64Array,
  width: number,
  height: number,
  u0: number,
  v0: number,
  water: (u: number, v: number, level: number) => void,
): void {
  let u = u0
  let v = v0
  const wet = new Set<number>()
  const STEP = 0.1
  const heightAt = (a: number, b: number): number => {
    const c = Math.min(width - 2, Math.floor(a))
    const r = Math.min(height - 2, Math.floor(b))
    const fa = a - c
    const fb = b - r
    const at = r * width + c
    return (1 - fb) * ((1 - fa) * z[at]! + fa * z[at + 1]!) + fb * ((1 - fa) * z[at + width]! + fa * z[at + width + 1]!)
  }
  for (let steps = 0; steps < 20_000; steps++) {
    if (!(u > 0 && v > 0 && u < width - 1 && v < height - 1)) return
    const here = heightAt(u, v)
    water(u, v, here)
    const c = Math.floor(u)
    const r = Math.floor(v)
    const at = r * width + c
    const fa = u - c
    const fb = v - r
    const du = (1 - fb) * (z[at + 1]! - z[at]!) + fb * (z[at + width + 1]! - z[at + width]!)
    const dv = (1 - fa) * (z[at + width]! - z[at]!) + fa * (z[at + width + 1]! - z[at + 1]!)
    const steep = Math.hypot(du, dv)
    let moved = false
    for (let step = STEP; steep > 0 && step > 0.01; step /= 2) {
      const nu = u - (step * du) / steep
      const nv = v - (step * dv) / steep
      if (nu <= 0 || nv <= 0 || nu >= width - 1 || nv >= height - 1) return
      if (heightAt(nu, nv) < here) {
        u = nu
        v = nv
        moved = true
        break
      }
    }
    if (moved) continue
    const out = fillAndSpill(z, width, height, Math.round(v) * width + Math.round(u), wet)
    for (const cell of out.flooded) water(cell % width, Math.floor(cell / width), out.level)
    if (out.to < 0) return
    u = out.to % width
    v = Math.floor(out.to / width)
    // Nothing of the raster's rim has a surface on all sides.
    if (u === 0 || v === 0 || u === width - 1 || v === height - 1) return
  }
}

/** Floods from a cell, always the lowest cell on its shore next, until one lies lower than the water and was not flooded before. */
function fillAndSpill(
  z: Float64Array,
  width: number,
  height: number,
  start: number,
  wet: Set<number>,
): { to: number; level: number; flooded: number[] } {
  const inside = new Set<number>()
  const shore = new Set([start])
  const flooded: number[] = []
  let level = Number.NEGATIVE_INFINITY
  for (;;) {
    let next = -1
    for (const cell of shore) if (next < 0 || z[cell]! < z[next]!) next = cell
    if (next < 0) return { to: -1, level, flooded }
    if (z[next]! < level && !wet.has(next) && next !== start) {
      for (const cell of inside) wet.add(cell)
      return { to: next, level, flooded }
    }
    shore.delete(next)
    inside.add(next)
    flooded.push(next)
    level = Math.max(level, z[next]!)
    const c = next % width
    const r = Math.floor(next / width)
    if (c === 0 || r === 0 || c === width - 1 || r === height - 1) return { to: -1, level, flooded }
    for (let dr = -1; dr <= 1; dr++)
      for (let dc = -1; dc <= 1; dc++) {
        const to = next + dr * width + dc
        if (!inside.has(to)) shore.add(to)
      }
  }
}

/** A field of error: white, and smoothed by a Gaussian whose own correlation falls to 1/e at the stated length. */
function field(
  width: number,
  height: number,
  { sigma_m, correlated_ratio, correlationLength_m }: Hillside,
  normal: () => number,
): Float64Array {
  // The correlation of noise smoothed by exp(−x²/2s²) is exp(−x²/4s²): 1/e at 2s.
  const s = correlationLength_m / 2
  const reach = Math.ceil(2.5 * s)
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-((k - reach) ** 2) / (2 * s * s)))
  const norm = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0))
  const wide = width + 2 * reach
  const tall = height + 2 * reach
  const noise = new Float64Array(wide * tall)
  for (let cell = 0; cell < noise.length; cell++) noise[cell] = normal()
  const across = new Float64Array(width * tall)
  for (let r = 0; r < tall; r++)
    for (let c = 0; c < width; c++) {
      let sum = 0
      for (let k = 0; k < weights.length; k++) sum += weights[k]! * noise[r * wide + c + k]!
      across[r * width + c] = sum / norm
    }
  const shared = sigma_m * Math.sqrt(correlated_ratio)
  const own = sigma_m * Math.sqrt(1 - correlated_ratio)
  return Float64Array.from({ length: width * height }, (_, cell) => {
    const c = cell % width
    const r = Math.floor(cell / width)
    let sum = 0
    for (let k = 0; k < weights.length; k++) sum += weights[k]! * across[(r + k) * width + c]!
    return (shared * sum) / norm + (own > 0 ? own * normal() : 0)
  })
}

/** Distance of a place from a convex or concave polygon, 0 inside. */
function awayFrom(xs: readonly number[], ys: readonly number[], u: number, v: number): number {
  let least = Number.POSITIVE_INFINITY
  let windings = 0
  for (let k = 0; k < xs.length; k++) {
    const j = (k + 1) % xs.length
    const ex = xs[j]! - xs[k]!
    const ey = ys[j]! - ys[k]!
    const t = Math.max(0, Math.min(1, ((u - xs[k]!) * ex + (v - ys[k]!) * ey) / (ex * ex + ey * ey)))
    least = Math.min(least, Math.hypot(u - xs[k]! - t * ex, v - ys[k]! - t * ey))
    const side = ex * (v - ys[k]!) - ey * (u - xs[k]!)
    if (ys[k]! <= v && ys[j]! > v && side > 0) windings++
    if (ys[k]! > v && ys[j]! <= v && side < 0) windings--
  }
  return windings !== 0 ? 0 : least
}
