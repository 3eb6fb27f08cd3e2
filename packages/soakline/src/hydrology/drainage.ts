import { finish, inBands, type Steps, within } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import { type ElevationGrid, type Grid, type GridGeometry, neighbourOffsets, rimCells, STEP_LENGTH } from '../raster/index.js'
import { type Basins, joinBasins } from './basin-passes.js'
import { inside, LEAVES, NONE, OPEN, SINK, VOID } from './direction-codes.js'
import { drainFlats } from './flat-ways.js'

/**
 * How single-direction water runs on a ground: one direction byte a cell, and the basin graph behind it.
 *
 * A cell drains to its steepest lower neighbour (O'Callaghan & Mark 1984). Water on a flat goes the shortest way over the flat to the nearest
 * place where it can leave, and, where the flat has no such place, to one cell of it: its pit. A pit's water leaves its hollow over the lowest
 * pass, as if the hollow were full: along the way from the pit to that pass the directions are turned round. Border cells and cells beside
 * voids drain inward where a neighbour is lower, else off the raster, and any of them can let a hollow's water out at its own height.
 *
 * Laws    following the directions from any cell ends off the raster or in a kept sink; no circle.
 * Source  basin graph with the lowest pass of each basin after Cordonnier, Bovy & Braun (2019), ESurf 7, 549–562; own construction.
 */
export interface Drainage {
  readonly geometry: GridGeometry
  /** Where water goes with hollows passing it on: 0–7, `LEAVES`, `SINK` (a kept hollow's pit) or `VOID`. */
  readonly direction: Uint8Array
  /** Where the slope itself leads: as `direction`, but `SINK` at every pit. */
  readonly slope: Uint8Array
  /** The basin of each cell: 0 runs off the raster without a pit, k ≥ 1 to `basins.pit[k]`, −1 is void. */
  readonly basin: Int32Array
  readonly basins: Basins
}

/** How a drainage is worked out. */
export interface DrainageOptions {
  /** Cells whose hollows hold their water: it is not passed on. */
  readonly keep?: readonly number[]
  /** Compiled kernels that do the work, with the same answer to the bit; what stands below is its definition, and does it where there are none. */
  readonly kernels?: Kernels | null
}

/** Works out the drainage of a ground. */
export function drainage(ground: ElevationGrid, options: DrainageOptions = {}): Drainage {
  return finish(drainageSteps(ground, options))
}

/** `drainage` in steps. */
export function* drainageSteps(ground: ElevationGrid, { keep = [], kernels = null }: DrainageOptions = {}): Steps<Drainage> {
  const { geometry } = ground
  if (kernels) {
    const solved = yield* kernels.drainage(ground.data, geometry, keep)
    if (solved) {
      const { basin, ...basins } = solved.basins
      return { geometry, direction: solved.direction, slope: solved.slope, basin, basins }
    }
  }
  const rim = rimCells(ground.data, geometry.width, geometry.height)
  const slope = yield* within(0, 0.3, slopeDirections(ground, rim))
  yield* within(0.3, 0.45, drainFlats(ground, slope))
  const { basin, pits } = yield* within(0.45, 0.6, labelBasins(geometry, slope))
  const basins = yield* within(0.6, 0.95, joinBasins(ground, rim, basin, pits, keep))
  const direction = turnPitsRound(geometry.width, slope, basins)
  return { geometry, direction, slope, basin, basins }
}

/** The steepest lower neighbour of each cell; ties go to the first clockwise from north. */
function* slopeDirections(ground: ElevationGrid, rim: Uint8Array): Steps<Uint8Array> {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const slope = new Uint8Array(width * height)
  const falls = new Float64Array(8)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const here = z[cell]!
        // Most cells have eight neighbours, no gap among them, and are not infinitely high.
        if (here - here === 0 && rim[cell] === 0) {
          slope[cell] = steepestOfEight(z, cell, width, falls)
          continue
        }
        let best = Number.isNaN(here) ? VOID : rim[cell] ? LEAVES : OPEN
        let steepest = 0
        for (let k = 0; k < 8; k++) {
          if (!inside(column, row, k, width, height)) continue
          const fall = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!
          if (fall > steepest) {
            steepest = fall
            best = k
          }
        }
        slope[cell] = best
      }
    }
  })
  return slope
}

/** The direction of the steepest fall of eight, found without a branch: which it is cannot be foretold, and wrong guesses would take most of the time. */
function steepestOfEight(z: Float32Array, cell: number, width: number, falls: Float64Array): number {
  const here = z[cell]!
  const north = cell - width
  const south = cell + width
  falls[0] = here - z[north]!
  falls[1] = (here - z[north + 1]!) / Math.SQRT2
  falls[2] = here - z[cell + 1]!
  falls[3] = (here - z[south + 1]!) / Math.SQRT2
  falls[4] = here - z[south]!
  falls[5] = (here - z[south - 1]!) / Math.SQRT2
  falls[6] = here - z[cell - 1]!
  falls[7] = (here - z[north - 1]!) / Math.SQRT2
  // By twos, fours and eight: the later one only where it is steeper.
  const n = Number(falls[1] > falls[0])
  const e = 2 + Number(falls[3] > falls[2])
  const s = 4 + Number(falls[5] > falls[4])
  const w = 6 + Number(falls[7] > falls[6])
  const ne = n + (e - n) * Number(falls[e]! > falls[n]!)
  const sw = s + (w - s) * Number(falls[w]! > falls[s]!)
  const best = ne + (sw - ne) * Number(falls[sw]! > falls[ne]!)
  return falls[best]! > 0 ? best : OPEN
}

function* labelBasins({ width, height }: GridGeometry, slope: Uint8Array): Steps<{ basin: Int32Array; pits: number[] }> {
  const offsets = neighbourOffsets(width)
  const UNKNOWN = -2
  const basin = new Int32Array(slope.length).fill(UNKNOWN)
  const pits = [NONE]
  const path = new Int32Array(slope.length)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let start = firstRow * width; start < endRow * width; start++) {
      if (basin[start] !== UNKNOWN) continue
      // Down to a cell whose basin is known or ends here; then all that was passed has its name.
      let cells = 0
      let end = start
      for (; basin[end] === UNKNOWN && slope[end]! < 8; end += offsets[slope[end]!]!) path[cells++] = end
      if (basin[end] === UNKNOWN) {
        const code = slope[end]!
        basin[end] = code === VOID ? NONE : code === LEAVES ? 0 : pits.length
        if (code === SINK) pits.push(end)
      }
      const label = basin[end]!
      for (let at = 0; at < cells; at++) basin[path[at]!] = label
    }
  })
  return { basin, pits }
}

/** Turns the way from each pit to its pass round, so that every cell leads off the raster or into a kept sink. */
function turnPitsRound(width: number, slope: Uint8Array, basins: Basins): Uint8Array {
  const offsets = neighbourOffsets(width)
  const direction = slope.slice()
  for (let b = 1; b < basins.pit.length; b++) {
    let cell = basins.passInside[b]!
    if (cell === NONE) continue
    const beyond = basins.passOutside[b]!
    let turned = beyond === NONE ? LEAVES : offsets.indexOf(beyond - cell)
    for (;;) {
      const was = slope[cell]!
      direction[cell] = turned
      if (was === SINK) break
      turned = (was + 4) % 8
      cell += offsets[was]!
    }
  }
  return direction
}

/**
 * The ground with every hollow filled to the height at which its water can go on. Kept hollows stay open.
 *
 * Laws    never lower than the ground; filling twice changes nothing; only cells inside hollows change.
 */
export function filledSurface(ground: ElevationGrid, { basin, basins }: Drainage): Grid<'filled_m'> {
  const data = new Float32Array(ground.data.length)
  for (let cell = 0; cell < data.length; cell++) {
    const z = ground.data[cell]!
    const level = basin[cell]! > 0 ? basins.level_m[basin[cell]!]! : Number.NEGATIVE_INFINITY
    data[cell] = z < level ? level : z
  }
  return { quantity: 'filled_m', geometry: ground.geometry, data }
}
