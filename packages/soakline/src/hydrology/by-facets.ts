import { inBands } from '../foundation/index.js'
import { COLUMN_STEP, neighbourOffsets, ROW_STEP, STEP_LENGTH } from '../raster/index.js'
import { compiledAs, EVEN, type FlowMethod, MANY } from './flow-network.js'

/**
 * D-infinity: down the steepest of the eight triangular facets round a cell, split by angle between the two neighbours that bound the fall.
 *
 * Facets that lack a corner (border, void) are left out; where no whole facet falls, the steepest neighbour takes all. Equally steep facets that
 * lead different ways take equal parts. Flats and pits follow the drainage.
 * Laws    exact on planes; never uphill; a turned raster gives turned shares, bit for bit.
 * Source  Tarboton (1997), Water Resour. Res. 33(2), 309–319.
 */
export const byFacets: FlowMethod = compiledAs({ by: 'facets' }, function* (ground, { slope }) {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const facet = slope.slice()
  const toNext = new Float32Array(slope.length)
  const even = new Map<number, number[]>()
  const tied: [cell: number, weights: Float32Array][] = []
  // Heights round the cell at hand, NaN where there is none.
  const around = new Float64Array(8)
  const share = (firstRow: number, endRow: number): void => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const k = slope[cell]!
        if (k > 7) continue
        const here = z[cell]!
        if (!(z[cell + offsets[k]!]! < here)) continue // a flat: the drainage's own way
        for (let d = 0; d < 8; d++) {
          const c = column + COLUMN_STEP[d]!
          const r = row + ROW_STEP[d]!
          around[d] = c >= 0 && r >= 0 && c < width && r < height ? z[cell + offsets[d]!]! : Number.NaN
        }
        const ways = steepestWays(here, around)
        if (ways.length === 1) {
          facet[cell] = ways[0]!.first
          toNext[cell] = ways[0]!.toNext
        } else if (ways.length > 1) {
          facet[cell] = MANY
          tied.push([cell, averaged(ways)])
        } else {
          const steepest = (here - around[k]!) / STEP_LENGTH[k]!
          const equals = [...around.keys()].filter(d => (here - around[d]!) / STEP_LENGTH[d]! === steepest).map(d => cell + offsets[d]!)
          if (equals.length > 1) {
            facet[cell] = EVEN
            even.set(cell, equals)
          }
        }
      }
    }
  }
  yield* inBands(height, width, share)
  if (tied.length === 0) return { facet, toNext, even, many: null }
  const row = new Int32Array(slope.length)
  const weight = new Float32Array(8 * tied.length)
  for (const [at, [cell, weights]] of tied.entries()) {
    row[cell] = at
    weight.set(weights, 8 * at)
  }
  return { facet, toNext, even, many: { row, weight } }
})

/** A way down: direction `first` takes `1 − toNext`, the next clockwise the rest. */
interface Way {
  readonly first: number
  readonly toNext: number
}

/** The ways down the steepest facets, more than one only where different ways are equally steep; none where no whole facet falls. */
function steepestWays(here: number, around: Float64Array): Way[] {
  let steepest = 0
  let ways: Way[] = []
  for (let m = 0; m < 8; m++) {
    const straight = m % 2 === 0 ? m : (m + 1) & 7
    const slant = m % 2 === 0 ? m + 1 : m
    const s1 = here - around[straight]!
    const s2 = around[straight]! - around[slant]!
    if (Number.isNaN(s1) || Number.isNaN(s2)) continue
    // Beyond the facet's sides the fall runs along the side itself.
    const alongStraight = s2 <= 0
    const alongSlant = !alongStraight && s2 >= s1
    const s = alongStraight ? s1 : alongSlant ? (here - around[slant]!) / Math.SQRT2 : Math.sqrt(s1 * s1 + s2 * s2)
    if (s <= 0 || s < steepest) continue
    const toSlant = alongStraight ? 0 : alongSlant ? 1 : shareOfAngle(s2 / s1)
    const way =
      toSlant === 0
        ? { first: straight, toNext: 0 }
        : toSlant === 1
          ? { first: slant, toNext: 0 }
          : { first: m, toNext: slant === m ? 1 - toSlant : toSlant }
    if (s > steepest) ways = [way]
    else if (!ways.some(w => w.first === way.first && w.toNext === way.toNext)) ways.push(way)
    steepest = s
  }
  return ways
}

/** Float32 holds whole numbers of this and the rest up to 1 alike. */
const UNIT = 0x1000000

/** The angle whose tangent is given (0–1), as a share of an eighth of a turn; from + − × ÷ √, in whole 2⁻²⁴. */
function shareOfAngle(tangent: number): number {
  // Three halvings bring the angle under π/32, where the series needs few terms.
  let t = tangent
  for (let n = 0; n < 3; n++) t /= 1 + Math.sqrt(1 + t * t)
  const t2 = t * t
  let series = 0
  for (let n = 11; n >= 1; n -= 2) series = 1 / n - t2 * series
  return Math.round(((8 * t * series) / (Math.PI / 4)) * UNIT) / UNIT
}

/** Equal parts of the water for each way. */
function averaged(ways: readonly Way[]): Float32Array {
  // Parts are gathered in whole units first: their sum does not depend on the order.
  const units = new Float64Array(8)
  for (const { first, toNext } of ways) {
    units[first]! += (1 - toNext) * UNIT
    units[(first + 1) & 7]! += toNext * UNIT
  }
  return Float32Array.from(units, n => Math.round(n / ways.length) / UNIT)
}
