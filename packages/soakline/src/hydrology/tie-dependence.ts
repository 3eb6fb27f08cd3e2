import { finish, type Steps, within } from '../foundation/index.js'
import { type ElevationGrid, type Mask, neighbourOffsets } from '../raster/index.js'
import { contributingAreaSingle } from './contributing-area.js'
import { VOID } from './direction-codes.js'
import { type Drainage, drainageSteps } from './drainage.js'

/**
 * 1 where the single directions hang on the order in which equals were looked at, and not on the ground alone: the cell's own direction, or
 * which cells drain through it.
 *
 * Equals are neighbours that are equally steep, ways over a flat that are equally long, cells of one flat any of which may be its pit, and
 * passes of equal height and drop. Rather than follow each of these rules, the ground is turned and mirrored in all eight ways and worked out
 * again: what does not come out the same is flagged. Two equal ways that meet again further down leave the cells below unflagged.
 * Laws    off the flags, directions, single contributing areas and catchments of cells turn with the raster, bit for bit; turning the raster
 *         turns the flags; on ground without hollows a cell with several steepest neighbours is always flagged (each of the eight looks at them
 *         from another side; in a hollow all eight may agree again).
 * No data 0 in voids.
 * Cost    seven times the drainage; one raster of directions and one of sums at a time.
 */
export function tieDependence(ground: ElevationGrid, drained: Drainage): Mask {
  return finish(tieDependenceSteps(ground, drained))
}

/** `tieDependence` in steps. */
export function* tieDependenceSteps(ground: ElevationGrid, drained: Drainage): Steps<Mask> {
  const { geometry } = ground
  const cells = ground.data.length
  const data = new Uint8Array(cells)
  const marks = Float64Array.from({ length: cells }, (_, cell) => markOf(cell))
  const sums = drainedMarks(drained, marks)
  const steps = neighbourOffsets(geometry.width)
  const keep = keptPits(drained)
  for (let turn = 1; turn < 8; turn++) {
    const { width, height, from } = turned(geometry.width, geometry.height, turn)
    const now = new Int32Array(cells)
    for (let cell = 0; cell < cells; cell++) now[from[cell]!] = cell
    const turnedGround: ElevationGrid = {
      quantity: 'elevation_m',
      geometry: { ...geometry, width, height },
      data: Float32Array.from(from, cell => ground.data[cell]!),
    }
    const again = yield* within((turn - 1) / 7, (turn - 0.2) / 7, drainageSteps(turnedGround, { keep: keep.map(pit => now[pit]!) }))
    const sumsAgain = drainedMarks(
      again,
      Float64Array.from(from, cell => marks[cell]!),
    )
    const turnedSteps = neighbourOffsets(width)
    for (let cell = 0; cell < cells; cell++) {
      const there = now[cell]!
      const code = drained.direction[cell]!
      const codeAgain = again.direction[there]!
      if (code === VOID) continue
      const same = code > 7 || codeAgain > 7 ? code === codeAgain : from[there + turnedSteps[codeAgain]!] === cell + steps[code]!
      if (!same || sums[cell] !== sumsAgain[there]) data[cell] = 1
    }
  }
  return { geometry, data }
}

/** The sum of marks of all cells that drain through each: another set of cells has, as good as surely, another sum. */
const drainedMarks = ({ geometry, ...drained }: Drainage, marks: Float64Array): Float64Array =>
  contributingAreaSingle({ ...drained, geometry: { ...geometry, cell_m: 1 } }, { quantity: 'mark', geometry, data: marks }).data

/** A scrambled whole number of 28 bits for each cell, so that 2²⁵ of them add up exactly. */
function markOf(cell: number): number {
  let h = Math.imul(cell + 1, 0x9e3779b1)
  h = Math.imul(h ^ (h >>> 15), 0x85ebca77)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae3d)
  return (h ^ (h >>> 16)) >>> 4
}

const keptPits = ({ basins }: Drainage): number[] => [...basins.pit].filter((pit, b) => pit >= 0 && basins.passInside[b]! < 0)

/** A raster's size when it is turned or mirrored in one of eight ways, and for each cell the one that comes to lie there. */
function turned(width: number, height: number, turn: number): { width: number; height: number; from: Int32Array } {
  const swaps = turn >= 4
  const from = new Int32Array(width * height)
  const [columns, rows] = swaps ? [height, width] : [width, height]
  for (let row = 0, cell = 0; row < rows; row++)
    for (let column = 0; column < columns; column++, cell++) {
      const c = swaps ? row : column
      const r = swaps ? column : row
      from[cell] = (turn & 2 ? height - 1 - r : r) * width + (turn & 1 ? width - 1 - c : c)
    }
  return { width: columns, height: rows, from }
}
