const NONE = -1

/**
 * A queue of cells that gives those of the lowest layer first (or, turned, of the highest), each once: the way to walk a part of a network in
 * its order without passing over the whole. Cells pushed while it runs must lie beyond the layer at hand.
 */
export class LayerQueue {
  private readonly heads: Int32Array
  private cells = new Int32Array(4096)
  private next = new Int32Array(4096)
  private size = 0
  private readonly queued: Uint8Array
  private at: number

  /** @param layer of each cell; @param layers how many there are; @param sense 1 gives the lowest layer first, −1 the highest */
  constructor(
    private readonly layer: Int32Array,
    layers: number,
    private readonly sense: 1 | -1,
  ) {
    this.heads = new Int32Array(layers).fill(NONE)
    this.queued = new Uint8Array(layer.length)
    this.at = sense > 0 ? 0 : layers - 1
  }

  push(cell: number): void {
    if (this.queued[cell]) return
    this.queued[cell] = 1
    if (this.size === this.cells.length) {
      this.cells = grown(this.cells)
      this.next = grown(this.next)
    }
    const layer = this.layer[cell]!
    this.cells[this.size] = cell
    this.next[this.size] = this.heads[layer]!
    this.heads[layer] = this.size++
  }

  /** −1 when empty. */
  pop(): number {
    const { heads } = this
    for (; this.at >= 0 && this.at < heads.length; this.at += this.sense) {
      const item = heads[this.at]!
      if (item === NONE) continue
      heads[this.at] = this.next[item]!
      return this.cells[item]!
    }
    return NONE
  }
}

function grown(items: Int32Array): Int32Array<ArrayBuffer> {
  const larger = new Int32Array(2 * items.length)
  larger.set(items)
  return larger
}
