import { InputError } from '../foundation/index.js'
import type { Grid, GridGeometry } from '../raster/index.js'

/** What is taken to be wrong with the heights of a raster. */
export interface ErrorModel {
  /** Standard deviation of the error of one height. */
  readonly sigma_m: number
  /** Part of the variance that neighbours share, 0–1; the rest differs from cell to cell. */
  readonly correlated_ratio: number
  /** How far apart errors of the shared part still agree by 0.39 (about 1/e), rounded to an odd number of cells. */
  readonly correlationLength_m: number
}

/** Where a field lies in the lattice of the whole raster: the same cell has the same error whatever part of it is asked for. */
export interface FieldPlace {
  readonly firstColumn: number
  readonly firstRow: number
  readonly width: number
  readonly height: number
  readonly cell_m: number
}

/** Longest correlation, in cells: beyond it the whole-number sums would no longer be exact. */
export const MOST_CORRELATED_CELLS = 161

/** Which sequence a row of numbers is taken from. */
const WHITE = 1
const SHARED = 2

/** Bytes are uniform on 0–255: variance (256² − 1)/12 each. */
const BYTE_MEAN = 127.5
const BYTE_VARIANCE = (256 * 256 - 1) / 12
/** Two bytes at once, in lanes of sixteen bits. */
const LANES = 0x00ff00ff

/**
 * Working memory of `errorField` and of many fields one after another.
 *
 * Cost    8 bytes a cell of the window widened by three correlation lengths downwards.
 */
export interface FieldScratch {
  tall: Float64Array
  row: Float64Array
  sums: Float64Array
}

/** New working memory; it grows to what the first field needs. */
export const fieldScratch = (): FieldScratch => ({ tall: new Float64Array(0), row: new Float64Array(0), sums: new Float64Array(0) })

/**
 * One drawn field of elevation error: a white part, and a part smoothed over the correlation length, their variances adding up to σ².
 *
 * The white deviate of a cell is the sum of twelve bytes less its mean; the smoothed part is a sum of four bytes a cell, averaged three times over
 * a square of an odd number w of cells and scaled by the kernel's own sum of squares. It is drawn beyond the window's rim as far as the kernel
 * reaches, so that rims and gaps change nothing: every cell has the asked σ in expectation, exactly.
 * Tails   those of a sum of twelve uniforms: never beyond ±5.98 σ, kurtosis 2.9 instead of 3; beyond ±3 σ lie 0.20 % instead of 0.27 %. It comes in
 *         steps of σ/256. The smoothed part sums thousands of bytes and is closer to normal.
 * Laws    the same seed, run and cell give the same bits, in every window and every engine: whole numbers, + − × ÷ √ only.
 * Throws  `doubt/bad-error-model`.
 * Cost    about 20 ns a cell.
 * Source  mixing step after Wellons' "lowbias32" (public domain; constants from memory, checked here by tests of mean, variance and correlation);
 *         correlation of a threefold box average: the quintic B-spline, 26/66 at w cells (derived).
 */
export function errorField(geometry: GridGeometry, model: ErrorModel, seed: number, run: number): Grid<'elevation-error_m'> {
  const data = new Float32Array(geometry.width * geometry.height)
  const { width, height, cell_m } = geometry
  addErrors(data, data, { firstColumn: 0, firstRow: 0, width, height, cell_m }, model, seed, run, fieldScratch())
  return { quantity: 'elevation-error_m', geometry, data }
}

/** Writes `ground` with an error field added into `into`; see `errorField`. */
export function addErrors(
  into: Float32Array,
  ground: Float32Array,
  place: FieldPlace,
  model: ErrorModel,
  seed: number,
  run: number,
  scratch: FieldScratch,
): void {
  const { white_m, shared_m, box } = partsOf(model, place.cell_m)
  const { width, height, firstColumn, firstRow } = place
  const shared = shared_m > 0 ? smoothed(place, box, seed, run, scratch) : null
  const sharedScale = shared_m > 0 ? shared_m / (Math.sqrt(4 * BYTE_VARIANCE) * kernelSquares(box)) : 0
  const whiteScale = white_m / Math.sqrt(12 * BYTE_VARIANCE)
  for (let row = 0, cell = 0; row < height; row++) {
    const first = rowKey(seed, run, WHITE, firstRow + row)
    const second = mixed(first ^ SECOND_KEY)
    let x = (first + Math.imul(3 * firstColumn, STRIDE)) | 0
    for (let column = 0; column < width; column++, cell++) {
      let error = shared ? sharedScale * shared[cell]! : 0
      if (whiteScale > 0) {
        const a = drawn(x, second)
        const b = drawn((x + STRIDE) | 0, second)
        const c = drawn((x + TWO_STRIDES) | 0, second)
        const lanes = (a & LANES) + ((a >>> 8) & LANES) + (b & LANES) + ((b >>> 8) & LANES) + (c & LANES) + ((c >>> 8) & LANES)
        error += whiteScale * ((lanes & 0xffff) + (lanes >>> 16) - 12 * BYTE_MEAN)
        x = (x + THREE_STRIDES) | 0
      }
      into[cell] = ground[cell]! + error
    }
  }
}

/** The standard deviations of both parts and the width of the averaging square in cells. */
function partsOf(
  { sigma_m, correlated_ratio, correlationLength_m }: ErrorModel,
  cell_m: number,
): { white_m: number; shared_m: number; box: number } {
  const box = 2 * Math.floor(correlationLength_m / cell_m / 2) + 1
  if (
    !(
      sigma_m >= 0 &&
      sigma_m < Infinity &&
      correlated_ratio >= 0 &&
      correlated_ratio <= 1 &&
      correlationLength_m >= 0 &&
      box <= MOST_CORRELATED_CELLS
    )
  )
    throw new InputError(
      'doubt/bad-error-model',
      `An elevation error needs σ of 0 or more, a correlated part from 0 to 1, and a correlation length up to ${MOST_CORRELATED_CELLS} cells of ${cell_m} m. Correct the settings.`,
      { sigma_m, correlated_ratio, correlationLength_m, cell_m },
    )
  return { white_m: sigma_m * Math.sqrt(1 - correlated_ratio), shared_m: sigma_m * Math.sqrt(correlated_ratio), box }
}

/** Sum of the squares of the weights of a box averaged three times, in one direction; whole numbers. */
function kernelSquares(box: number): number {
  let kernel = [1]
  for (let pass = 0; pass < 3; pass++) {
    const wider = new Array<number>(kernel.length + box - 1).fill(0)
    for (let k = 0; k < kernel.length; k++) for (let j = 0; j < box; j++) wider[k + j]! += kernel[k]!
    kernel = wider
  }
  return kernel.reduce((sum, weight) => sum + weight * weight, 0)
}

/** Sums of bytes over three boxes one after another, across and down; whole numbers, exact. */
function smoothed(
  { width, height, firstColumn, firstRow }: FieldPlace,
  box: number,
  seed: number,
  run: number,
  scratch: FieldScratch,
): Float64Array {
  const reach = (3 * (box - 1)) / 2
  const tallRows = height + 2 * reach
  const wide = width + 2 * reach
  if (scratch.tall.length < tallRows * width) scratch.tall = new Float64Array(tallRows * width)
  if (scratch.row.length < wide) scratch.row = new Float64Array(wide)
  if (scratch.sums.length < width) scratch.sums = new Float64Array(width)
  const { tall, row, sums } = scratch
  for (let r = 0; r < tallRows; r++) {
    const first = rowKey(seed, run, SHARED, firstRow - reach + r)
    const second = mixed(first ^ SECOND_KEY)
    let x = (first + Math.imul(firstColumn - reach, STRIDE)) | 0
    for (let c = 0; c < wide; c++) {
      const a = drawn(x, second)
      const lanes = (a & LANES) + ((a >>> 8) & LANES)
      row[c] = (lanes & 0xffff) + (lanes >>> 16) - 4 * BYTE_MEAN
      x = (x + STRIDE) | 0
    }
    let length = wide
    for (let pass = 0; pass < 3; pass++) {
      let sum = 0
      for (let c = 0; c < box - 1; c++) sum += row[c]!
      length -= box - 1
      for (let c = 0; c < length; c++) {
        sum += row[c + box - 1]!
        const whole = sum
        sum -= row[c]!
        row[c] = whole
      }
    }
    tall.set(row.subarray(0, width), r * width)
  }
  let rows = tallRows
  for (let pass = 0; pass < 3; pass++) {
    sums.fill(0)
    for (let r = 0; r < box - 1; r++) for (let c = 0, at = r * width; c < width; c++, at++) sums[c]! += tall[at]!
    rows -= box - 1
    for (let r = 0; r < rows; r++)
      for (let c = 0, at = r * width, ahead = (r + box - 1) * width; c < width; c++, at++, ahead++) {
        const whole = sums[c]! + tall[ahead]!
        sums[c] = whole - tall[at]!
        tall[at] = whole
      }
  }
  return tall
}

/** An arbitrary pattern of bits, which sets a row's second key apart from its first. */
const SECOND_KEY = 0x51ed270b
/** From one draw of a row to the next: 2³² over the golden ratio, which is odd, so that no draw of a row comes twice. */
const STRIDE = 0x9e3779b1 | 0
const TWO_STRIDES = (2 * 0x9e3779b1) | 0
const THREE_STRIDES = (3 * 0x9e3779b1) | 0

function mixed(x: number): number {
  x ^= x >>> 16
  x = Math.imul(x, 0x7feb352d)
  x ^= x >>> 15
  x = Math.imul(x, 0x846ca68b)
  return x ^ (x >>> 16)
}

/** As `mixed`, with a second key in the middle: rows do not share one sequence. */
function drawn(x: number, key: number): number {
  x ^= x >>> 16
  x = Math.imul(x, 0x7feb352d)
  x ^= x >>> 15
  x = Math.imul(x ^ key, 0x846ca68b)
  return x ^ (x >>> 16)
}

const rowKey = (seed: number, run: number, kind: number, row: number): number =>
  mixed(mixed(mixed(mixed(seed | 0) + (run | 0)) ^ Math.imul(kind, 0x632be5ab)) + (row | 0))
