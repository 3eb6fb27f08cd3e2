/**
 * Working memory of the walks over a part of a network. A shell that asks again and again (a line under the finger) keeps one for each ground and
 * hands it in: nothing of it outlives a walk but the shares of the last catchment, which the next walk clears.
 */
export interface WalkScratch {
  readonly links: Int32Array
  readonly amounts: Float64Array
  readonly shares: Float64Array
  readonly lengths: Float32Array
  /** All 0 between walks. */
  readonly rows: Int32Array
  /** The first `touched` of them are the cells of `shares` and `lengths` that are not 0. */
  readonly reached: Int32Array
  touched: number
  /** The cells of a walk in its order, while it runs. */
  readonly walked: Int32Array
}

/** New working memory for rasters of this many cells. 36 bytes a cell. */
export const walkScratch = (cells: number): WalkScratch => ({
  links: new Int32Array(cells),
  amounts: new Float64Array(cells),
  shares: new Float64Array(cells),
  lengths: new Float32Array(cells),
  rows: new Int32Array(cells),
  reached: new Int32Array(cells),
  touched: 0,
  walked: new Int32Array(cells),
})

/**
 * A queue of cells that gives those of the lowest layer first (or, turned, of the highest), each once: the way to walk a part of a network in
 * its order without passing over the whole. Cells pushed while it runs must lie beyond the layer at hand.
 */
export class LayerQueue {
  /** For each layer its first cell, plus 1; 0 for none. */
  private readonly heads: Int32Array
  /** For each cell that was ever pushed the next of its layer, plus 2; 1 for none, 0 for a cell never pushed. */
  private readonly links: Int32Array
  private at: number

  /**
   * @param layer of each cell; @param layers how many there are; @param sense 1 gives the lowest layer first, −1 the highest
   * @param links a cleared array of one number a cell; it is left with the cells that were pushed not 0
   */
  constructor(
    private readonly layer: Int32Array,
    layers: number,
    private readonly sense: 1 | -1,
    links: Int32Array,
  ) {
    this.heads = new Int32Array(layers)
    this.links = links
    this.at = sense > 0 ? 0 : layers - 1
  }

  push(cell: number): void {
    const { links, heads } = this
    const at = this.layer[cell]!
    const link = links[cell]!
    const head = heads[at]!
    // All ones for a cell never pushed, 0 for one that was: which of them it is cannot be foretold, and a branch would cost more than both.
    const isNew = (link - 1) >> 31
    links[cell] = link | ((head + 1) & isNew)
    heads[at] = head ^ ((head ^ (cell + 1)) & isNew)
  }

  /** Pushes the neighbours of a cell whose bits are set in the word. */
  pushAround(cell: number, word: number, offsets: Int32Array): void {
    const { layer, links, heads } = this
    for (let bits = word; bits !== 0; bits &= bits - 1) {
      const next = cell + offsets[31 - Math.clz32(bits & -bits)]!
      if (links[next] !== 0) continue
      const at = layer[next]!
      links[next] = heads[at]! + 1
      heads[at] = next + 1
    }
  }

  /** −1 when empty. */
  pop(): number {
    const { heads } = this
    for (; this.at >= 0 && this.at < heads.length; this.at += this.sense) {
      const cell = heads[this.at]! - 1
      if (cell < 0) continue
      heads[this.at] = this.links[cell]! - 1
      return cell
    }
    return -1
  }
}
