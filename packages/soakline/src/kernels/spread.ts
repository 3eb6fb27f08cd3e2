import { inBands, type Steps, within } from '../foundation/index.js'
import type { Benches } from './benches.js'
import {
  AREA,
  CODE,
  DEGREE,
  DONORS,
  EVEN_CODE,
  GIVES,
  HALVINGS,
  LAYER,
  LAYERS,
  MANTISSAS,
  MANY_CODE,
  POWERS,
  QUEUE,
  QUEUE_HEAD,
  QUEUE_TAIL,
  SHARE,
  VOID_CODE,
  Z,
} from './fields.js'
import { rowsOf } from './raster-on-bench.js'
import type { Workbench } from './workbench.js'

/** A way of sharing water that the kernels know, as the library's methods of these names define it. */
export type SpreadMethod =
  | { readonly by: 'vector' }
  | { readonly by: 'facets' }
  | { readonly by: 'multiple'; readonly exponent: number; readonly contour_cells: readonly [straight: number, slant: number] }

/** What is drained: heights, the slope's own directions, and for each pit where its water comes down (−1 off the raster, −2 nowhere). */
export interface SpreadGround {
  readonly heights: Float32Array
  readonly slope: Uint8Array
  readonly width: number
  readonly height: number
  readonly pits: Int32Array
  readonly jumps: Int32Array
}

/** Where water goes, as a flow network has it: the same bits. */
export interface SpreadWays {
  readonly width: number
  readonly facet: Uint8Array
  readonly toNext: Float32Array
  /** Cells that share evenly, with bits for the directions they give to. */
  readonly even: readonly (readonly [cell: number, gives: number])[]
  readonly donors: Uint8Array
  readonly order: Int32Array
  readonly layer: Int32Array
  readonly layers: number
}

/** As many hollows may come down at one cell, besides its eight neighbours: counts are bytes. */
const MOST_LANDINGS = 240

/**
 * Water gathered by a method that shares it: each cell's own (1, or what is given) and all that reaches it; NaN in voids.
 *
 * Null where more hollows come down at one cell than can be counted.
 */
export function* gatherSpread(
  benches: Benches,
  ground: SpreadGround,
  method: SpreadMethod,
  own: Float64Array | null,
): Steps<Float64Array | null> {
  const { width, height } = ground
  const bench = benches.take(ground)
  try {
    yield* within(0, 0.4, layWays(bench, ground, method))
    if (!layLandings(bench, ground)) return null
    const rowOf = (row: number): Float64Array => new Float64Array(bench.memory.buffer, bench.get(AREA) + 8 * bench.rowStart(row), width)
    yield* within(0.4, 0.45, bench.run('ownWater'))
    if (own) for (let row = 0; row < height; row++) rowOf(row).set(own.subarray(row * width, (row + 1) * width))
    yield* within(
      0.45,
      0.95,
      bench.asOne(() => bench.run('gather')),
    )
    const out = new Float64Array(width * height)
    for (let row = 0; row < height; row++) out.set(rowOf(row), row * width)
    return out
  } finally {
    benches.give(bench)
  }
}

/** The network of a method that shares water; null as in `gatherSpread`, and where cells share unevenly among many, which is not handed out. */
export function* spreadWays(benches: Benches, ground: SpreadGround, method: SpreadMethod): Steps<SpreadWays | null> {
  const { width, height } = ground
  const bench = benches.take(ground)
  try {
    yield* within(0, 0.4, layWays(bench, ground, method, true))
    if (!layLandings(bench, ground)) return null
    // Nobody asks any more how much cells scatter.
    bench.set(LAYER, bench.get(AREA))
    bench.words(bench.get(LAYER), bench.cells).fill(0)
    bench.set(QUEUE_HEAD, 0)
    bench.set(LAYERS, 1)
    yield* within(
      0.4,
      0.8,
      bench.asOne(() => bench.run('orderDown')),
    )
    const cells = width * height
    const facet = new Uint8Array(cells)
    const toNext = new Float32Array(cells)
    const donors = new Uint8Array(cells)
    const layer = new Int32Array(cells)
    const even: [number, number][] = []
    let many = false
    yield* within(
      0.8,
      0.95,
      inBands(height, width, (firstRow, endRow) => {
        for (let row = firstRow; row < endRow; row++) {
          const at = bench.rowStart(row)
          const codes = bench.bytes(bench.get(CODE) + at, width)
          facet.set(codes, row * width)
          toNext.set(bench.floats(bench.get(SHARE) + 4 * at, width), row * width)
          donors.set(bench.bytes(bench.get(DONORS) + at, width), row * width)
          layer.set(bench.words(bench.get(LAYER) + 4 * at, width), row * width)
          for (let column = codes.indexOf(EVEN_CODE); column >= 0; column = codes.indexOf(EVEN_CODE, column + 1))
            even.push([row * width + column, bench.bytes(bench.get(GIVES) + at + column, 1)[0]!])
          many ||= codes.includes(MANY_CODE)
        }
      }),
    )
    if (many) return null
    // Where a pit's water comes down stood in the place of its share.
    for (const pit of ground.pits) if (pit >= 0) toNext[pit] = 0
    const { stride } = bench
    const order = bench.words(bench.get(QUEUE), bench.get(QUEUE_TAIL)).slice()
    const first = bench.rowStart(0)
    for (let k = 0; k < order.length; k++) {
      const row = Math.floor((order[k]! - first) / stride)
      order[k] = order[k]! - first - row * (stride - width)
    }
    return { width, facet, toNext, even, donors, order, layer, layers: bench.get(LAYERS) }
  } finally {
    benches.give(bench)
  }
}

/** Lays heights and slopes on the bench, and has it work out who gives to whom. */
function* layWays(
  bench: Workbench,
  { heights, slope, width, height }: SpreadGround,
  method: SpreadMethod,
  keepsDonors = false,
): Steps<void> {
  bench.begin(width, height)
  const { cells, stride } = bench
  bench.set(Z, bench.allot(4 * cells))
  bench.set(SHARE, bench.allot(4 * cells))
  bench.set(AREA, bench.allot((keepsDonors ? 4 : 8) * cells))
  bench.set(CODE, bench.allot(cells))
  bench.set(GIVES, bench.allot(cells))
  bench.set(DEGREE, bench.allot(cells))
  bench.set(QUEUE, bench.allot(4 * cells + 64))
  bench.set(DONORS, keepsDonors ? bench.allot(cells) : 0)
  const [z, area, code, gives, degree] = [Z, AREA, CODE, GIVES, DEGREE].map(name => bench.get(name)) as [
    number,
    number,
    number,
    number,
    number,
  ]
  for (const [first, end] of [
    [0, bench.rowStart(0)],
    [bench.rowStart(height), cells],
  ] as const) {
    bench.floats(z + 4 * first, end - first).fill(Number.NaN)
    bench.floats(area + 4 * first, end - first).fill(Number.NaN)
    bench.bytes(code + first, end - first).fill(VOID_CODE)
    bench.bytes(gives + first, end - first).fill(0)
    bench.bytes(degree + first, end - first).fill(255)
  }
  const rowOf = rowsOf(heights, width)
  yield* within(
    0,
    0.2,
    inBands(height, width, (firstRow, endRow) => {
      for (let row = firstRow; row < endRow; row++) {
        const at = bench.rowStart(row)
        const to = bench.floats(z + 4 * at, stride)
        to.set(rowOf(row))
        to.fill(Number.NaN, width)
        const codes = bench.bytes(code + at, stride)
        codes.set(slope.subarray(row * width, (row + 1) * width))
        codes.fill(VOID_CODE, width)
      }
    }),
  )
  if (method.by === 'multiple') {
    const table = powerTable(method.exponent, method.contour_cells)
    bench.set(POWERS, bench.allot(8 * table.length))
    new Float64Array(bench.memory.buffer, bench.get(POWERS), table.length).set(table)
  } else bench.set(POWERS, 0)
  if (method.by === 'vector') {
    yield* within(0.2, 0.4, bench.run('scatter'))
    yield* within(0.4, 0.9, bench.run('byVector'))
  } else yield* within(0.2, 0.9, bench.run(method.by === 'multiple' ? 'toAllLower' : 'byFacets'))
  yield* within(0.9, 1, bench.run('countGivers'))
}

/** The largest power that the kernels' series holds for. */
export const MOST_POWER = 20

/**
 * What the kernels raise ratios to a power with, in the order of `CONTOUR`, `BINOMIALS` and the tables from `RECIPROCALS` on: of the middles c of
 * the parts of 1 to 2 their reciprocals and their powers, and the powers of 2⁻ⁿ.
 */
function powerTable(power: number, contour_cells: readonly [number, number]): Float64Array {
  const middles = Array.from({ length: MANTISSAS }, (_, k) => 1 + (k + 0.5) / MANTISSAS)
  const binomials = [power]
  for (let n = 2; n <= 4; n++) binomials.push((binomials[n - 2]! * (power - n + 1)) / n)
  const halvings = Array.from({ length: HALVINGS }, (_, n) => 2 ** (-n * power))
  return Float64Array.of(...contour_cells, ...binomials, ...middles.map(c => 1 / c), ...middles.map(c => c ** power), ...halvings)
}

/** Notes where each pit's water comes down, and that it is waited for there; false where that cannot be counted. */
function layLandings(bench: Workbench, { width, pits, jumps }: SpreadGround): boolean {
  const share = bench.words(bench.get(SHARE), bench.cells)
  const degree = bench.bytes(bench.get(DEGREE), bench.cells)
  const first = bench.rowStart(0)
  const padding = bench.stride - width
  const padded = (cell: number): number => first + cell + Math.floor(cell / width) * padding
  for (let b = 0; b < pits.length; b++) {
    if (pits[b]! < 0) continue
    const to = jumps[b]! < 0 ? jumps[b]! : padded(jumps[b]!)
    share[padded(pits[b]!)] = to
    if (to >= 0 && ++degree[to]! > MOST_LANDINGS) return false
  }
  return true
}
