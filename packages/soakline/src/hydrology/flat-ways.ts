import { inBands, type Steps } from '../foundation/index.js'
import { type ElevationGrid, neighbourOffsets } from '../raster/index.js'
import { OPEN, SINK } from './direction-codes.js'

/** Whole numbers near 1 and √2, so that distances over a flat are exact and turn with the raster. */
const FLAT_STEP = [5, 7, 5, 7, 5, 7, 5, 7] as const

/** Gives flats their directions: over cells of equal height, the shortest way to one that drains; flats without one get a pit. */
export function* drainFlats(ground: ElevationGrid, slope: Uint8Array): Steps<void> {
  const { width, height } = ground.geometry
  const ways = new FlatWays(ground.data, slope, neighbourOffsets(width))
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let cell = firstRow * width; cell < endRow * width; cell++) if (slope[cell] === OPEN) ways.drain(cell)
  })
}

/** Farther than any way over a flat. */
const UNREACHED = 0xffffffff

/** The ways over one flat after the other. A pit that nobody of its height is beside is a flat of one cell. */
class FlatWays {
  /** 8 × how far a cell's water has to go over its flat + the direction: the least is the shortest way, and of those the first clockwise. */
  private readonly ways: Uint32Array
  private readonly flat: number[] = []
  private cells = 0
  /** Steps have two lengths, and each has its queue: within one, cells stand in the order of their distance, and none comes twice. */
  private readonly straight: number[] = []
  private readonly slant: number[] = []
  private straights = 0
  private slants = 0

  constructor(
    private readonly z: Float32Array,
    private readonly slope: Uint8Array,
    private readonly offsets: Int32Array,
  ) {
    this.ways = new Uint32Array(slope.length)
  }

  /** Gives the open cells of a flat their directions; `first` is the first of them in the raster. */
  drain(first: number): void {
    const { slope, ways, flat } = this
    this.straights = 0
    this.slants = 0
    this.gather(first)
    if (this.straights + this.slants === 0) {
      slope[first] = SINK
      if (this.cells === 1) return
      this.reachRound(first, 0)
    }
    this.spread()
    for (let at = slope[first] === SINK ? 1 : 0; at < this.cells; at++) slope[flat[at]!] = ways[flat[at]!]! & 7
  }

  /** The cells of a flat; those beside a cell of their height that has a way out are queued. */
  private gather(first: number): void {
    const { z, slope, offsets, ways, flat } = this
    ways[first] = UNREACHED
    flat[0] = first
    this.cells = 1
    for (let at = 0; at < this.cells; at++) {
      const cell = flat[at]!
      const here = z[cell]!
      for (let k = 0; k < 8; k++) {
        // An open cell lies within the rim: it has eight neighbours, none of them a gap.
        const to = cell + offsets[k]!
        if (z[to] !== here) continue
        if (slope[to] !== OPEN) this.reach(cell, FLAT_STEP[k]!, k)
        else if (ways[to] === 0) {
          ways[to] = UNREACHED
          flat[this.cells++] = to
        }
      }
    }
  }

  private reach(cell: number, far: number, code: number): void {
    const known = this.ways[cell]!
    const way = 8 * far + code
    if (known <= way) return
    this.ways[cell] = way
    if (known >>> 3 === far) return
    if (code & 1) this.slant[this.slants++] = cell
    else this.straight[this.straights++] = cell
  }

  private reachRound(cell: number, far: number): void {
    const { slope, offsets } = this
    for (let k = 0; k < 8; k++) {
      // Of two open cells beside each other none is lower: they are of one flat.
      const to = cell + offsets[k]!
      if (slope[to] === OPEN) this.reach(to, far + FLAT_STEP[k]!, k ^ 4)
    }
  }

  /** Distances spread from what is queued. */
  private spread(): void {
    const { ways, straight, slant } = this
    for (let a = 0, b = 0; a < this.straights || b < this.slants; ) {
      const next = b === this.slants || (a < this.straights && ways[straight[a]!]! <= ways[slant[b]!]!) ? straight[a++]! : slant[b++]!
      this.reachRound(next, ways[next]! >>> 3)
    }
  }
}
