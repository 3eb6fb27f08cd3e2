/** From a place in the target grid (cells, counted from the centre of its first cell) to cells of the source, counted likewise; NaN outside. */
export type CellMap = (column: number, row: number) => readonly [column: number, row: number]

/** Lattice step in cells: between its nodes the map is taken as bilinear, which is within 8·cell/Earth radius of a cell. */
const STEP = 8
/** Node positions are rounded to this part of a cell, so that engines whose sines differ in the last bit give the same raster. */
const SNAP = 2 ** 20

/**
 * A raster drawn on another grid, bilinear between cell centres.
 *
 * No data  A target cell is NaN unless every source cell that it needs is valid; voids and borders never bleed.
 * Laws     Between the lowest and highest of the four cells used; a map onto cell centres gives the source values.
 * Cost     One pass; the map is asked at one in 64 cells.
 */
export function resampleBilinear(
  source: Float32Array,
  sourceWidth: number,
  sourceHeight: number,
  width: number,
  height: number,
  map: CellMap,
): Float32Array {
  const out = new Float32Array(width * height)
  const nodes = Math.ceil(width / STEP) + 1
  const snapped = (row: number): Float64Array => {
    const line = new Float64Array(nodes * 2)
    for (let n = 0; n < nodes; n++) {
      const [c, r] = map(n * STEP, row)
      line[2 * n] = Math.round(c * SNAP) / SNAP
      line[2 * n + 1] = Math.round(r * SNAP) / SNAP
    }
    return line
  }
  let above = snapped(0)
  for (let top = 0; top < height; top += STEP) {
    const below = snapped(top + STEP)
    for (let row = top; row < Math.min(height, top + STEP); row++) {
      const v = (row - top) / STEP
      for (let column = 0; column < width; column++) {
        const n = Math.floor(column / STEP)
        const u = column / STEP - n
        const c = mix(above[2 * n]!, above[2 * n + 2]!, below[2 * n]!, below[2 * n + 2]!, u, v)
        const r = mix(above[2 * n + 1]!, above[2 * n + 3]!, below[2 * n + 1]!, below[2 * n + 3]!, u, v)
        out[row * width + column] = sample(source, sourceWidth, sourceHeight, c, r)
      }
    }
    above = below
  }
  return out
}

const mix = (a: number, b: number, c: number, d: number, u: number, v: number): number =>
  (a * (1 - u) + b * u) * (1 - v) + (c * (1 - u) + d * u) * v

/** Weights below this are taken as nought, so that a cell on its own centre needs only itself. */
const NOTHING = 1e-5

function sample(source: Float32Array, width: number, height: number, column: number, row: number): number {
  if (!(column > -NOTHING && row > -NOTHING && column < width - 1 + NOTHING && row < height - 1 + NOTHING)) return Number.NaN
  const left = Math.min(width - 1, Math.max(0, Math.floor(column + NOTHING)))
  const up = Math.min(height - 1, Math.max(0, Math.floor(row + NOTHING)))
  const x = Math.max(0, column - left)
  const y = Math.max(0, row - up)
  const at = up * width + left
  const right = x > NOTHING ? 1 : 0
  const down = y > NOTHING ? width : 0
  const upper = right ? source[at]! * (1 - x) + source[at + 1]! * x : source[at]!
  if (!down) return upper
  const lower = right ? source[at + down]! * (1 - x) + source[at + down + 1]! * x : source[at + down]!
  return upper * (1 - y) + lower * y
}
