import { InputError, inBands } from '../foundation/index.js'
import { MOST_POWER } from '../kernels/index.js'
import { COLUMN_STEP, neighbourOffsets, ROW_STEP, STEP_LENGTH } from '../raster/index.js'
import { compiledAs, type FlowMethod, MANY } from './flow-network.js'
import { power } from './power.js'

/** How a multiple-flow method weighs the lower neighbours of a cell. */
export interface MultipleFlow {
  /** Power of the slope towards each. Default 1.1 (Freeman 1991); 1 in Quinn et al. (1991), 4–6 in Holmgren (1994). */
  readonly exponent?: number
  /** Length of contour across the way to a straight and to a slanting neighbour, in cells. Default 1 and 1: no weights (Freeman 1991). */
  readonly contour_cells?: readonly [straight: number, slant: number]
}

/** Contour lengths of Quinn et al. (1991), Hydrol. Process. 5, 59–79. */
export const QUINN_CONTOUR_CELLS = [0.5, 0.354] as const

/**
 * Multiple flow: every lower neighbour gets water, in proportion to a power of the slope towards it times a length of contour.
 *
 * It spreads water far wider than the fall of the ground does; for pictures of wetness and for comparison, not for catchments. Flats and pits
 * follow the drainage.
 * Laws    never uphill; a turned raster gives turned shares, bit for bit; parts under 3·10⁻⁸ of the largest are dropped.
 * Throws  InputError `flow/bad-exponent`, `flow/bad-contour`.
 * Source  Freeman (1991), Comput. Geosci. 17(3), 413–422; Quinn, Beven, Chevallier & Planchon (1991), Hydrol. Process. 5, 59–79.
 */
export function multiple({ exponent = 1.1, contour_cells: [straight, slant] = [1, 1] }: MultipleFlow = {}): FlowMethod {
  if (!(exponent > 0 && exponent <= 100))
    throw new InputError(
      'flow/bad-exponent',
      `The power of the slope is ${exponent}; give a number above 0 and up to 100, since a level way takes no water.`,
      { exponent },
    )
  if (!(straight > 0 && slant > 0 && straight <= 1 && slant <= 1))
    throw new InputError('flow/bad-contour', `Contour lengths are ${straight} and ${slant} cells; give two above 0 and up to 1.`, {
      straight,
      slant,
    })
  const method: FlowMethod = function* (ground, { slope }) {
    const { width, height } = ground.geometry
    const z = ground.data
    const offsets = neighbourOffsets(width)
    const facet = slope.slice()
    let falling = 0
    for (let cell = 0; cell < slope.length; cell++) if (slope[cell]! < 8) falling++
    const row = new Int32Array(slope.length)
    const weight = new Float32Array(8 * falling)
    let rows = 0
    const falls = new Float64Array(8)
    const share = (firstRow: number, endRow: number): void => {
      for (let r = firstRow, cell = r * width; r < endRow; r++) {
        for (let c = 0; c < width; c++, cell++) {
          const k = slope[cell]!
          if (k > 7) continue
          const here = z[cell]!
          const steepest = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!
          if (!(steepest > 0)) continue // a flat: the drainage's own way
          let lower = 0
          for (let d = 0; d < 8; d++) {
            const column = c + COLUMN_STEP[d]!
            const line = r + ROW_STEP[d]!
            // Below the last row there is no number, which is no more below this one than a gap's.
            const there = column >= 0 && line >= 0 && column < width ? z[cell + offsets[d]!]! : Number.NaN
            const ratio = there < here ? (here - there) / STEP_LENGTH[d]! / steepest : 0
            const part = ratio > 0 ? (exponent === 1 ? ratio : power(ratio, exponent)) * (d % 2 === 0 ? straight : slant) : 0
            falls[d] = part < LEAST ? 0 : part
            if (falls[d]! > 0) lower++
          }
          // One lower neighbour is the steepest, which the slope names already.
          if (lower < 2) continue
          facet[cell] = MANY
          row[cell] = rows
          weight.set(falls, 8 * rows++)
        }
      }
    }
    yield* inBands(height, width, share)
    return { facet, toNext: new Float32Array(slope.length), even: new Map(), many: { row, weight: weight.subarray(0, 8 * rows) } }
  }
  return exponent > MOST_POWER ? method : compiledAs({ by: 'multiple', exponent, contour_cells: [straight, slant] }, method)
}

/** Smaller parts are dropped: 2⁻²⁵. Float32 down to there add up exactly in float64, in any order. */
const LEAST = 1 / 0x2000000
