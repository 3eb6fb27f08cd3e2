import type { Steps } from '../foundation/index.js'
import {
  CONTROL,
  DONE,
  END_ROW,
  FAILED,
  FIELDS,
  FIRST_ROW,
  GUARD,
  HEAP,
  HEIGHT,
  MEMBER,
  MEMBER_BYTES,
  MOST_MEMBERS,
  NEXT_ROW,
  OFFSETS,
  READY,
  STRIDE,
  TURN,
  WIDTH,
} from './fields.js'
import { type Kernel, type KernelMemory, MOST_PAGES, PAGE_BYTES } from './web-assembly.js'

/** The names of the kernels that work on strips, in the order by which members of a crew are told which. */
export const STRIP_KERNELS = [
  'slope',
  'slopeExactly',
  'flatsAcross',
  'takeShared',
  'flats',
  'flatsDone',
  'unlabel',
  'countPits',
  'label',
  'relabelExits',
  'noPasses',
  'lowestPasses',
  'passesBetweenTrees',
  'fill',
  'countDonors',
  'accumulate',
  'scatter',
  'byVector',
  'byFacets',
  'toAllLower',
  'countGivers',
  'ownWater',
  'gather',
  'orderDown',
] as const
/** One of `STRIP_KERNELS`. */
export type StripKernel = (typeof STRIP_KERNELS)[number]

/** Cells in one call of a kernel: many calls to a job, so that an engine soon sees which code is worth its care. */
const CELLS_A_CALL = 1 << 16
/** A strip of fewer rows is not worth a member of its own. */
const LEAST_ROWS = 64
/** Longest wait for the others, in milliseconds, before the caller may look up. */
const WAIT_MS = 20

/** Works a kernel through a member's strip from where it stands, a step for each band of rows; stops early where the kernel says so. */
export function* workStrip(memory: KernelMemory, kernel: Kernel, member: number, asAWhole: boolean): Steps<void> {
  const own = new Int32Array(memory.buffer, MEMBER + MEMBER_BYTES * member, MEMBER_BYTES / 4)
  const stride = new Int32Array(memory.buffer, FIELDS, 8)[STRIDE]!
  const [first, end] = [own[FIRST_ROW]!, own[END_ROW]!]
  const band = asAWhole ? end - first : Math.max(1, Math.floor(CELLS_A_CALL / stride))
  for (let row = own[NEXT_ROW]!; row < end; ) {
    const to = Math.min(row + band, end)
    const reached = kernel(member, row, to) ?? to
    own[NEXT_ROW] = reached
    if (reached < to) return
    row = to
    yield (row - first) / (end - first)
  }
}

/** Cells from row to row of a raster laid out with its padding: whole lines of the processor's cache. */
const strideOf = (width: number): number => Math.ceil((width + 1) / 16) * 16

/** Cells of a raster with its padding. */
const paddedCells = (height: number, stride: number): number => 2 * GUARD + (height + 2) * stride

/** Cells that a raster takes on a bench. */
export const cellsOnBench = (width: number, height: number): number => paddedCells(height, strideOf(width))

/** Waits a little for the others. */
function allDone(control: Int32Array, others: number): boolean {
  const done = Atomics.load(control, DONE)
  if (done < others) Atomics.wait(control, DONE, done, WAIT_MS)
  return Atomics.load(control, DONE) >= others
}

/** Which kernels see a strip as a whole. */
export const seesWhole = (name: StripKernel): boolean => name === 'flatsAcross' || name === 'noPasses'

/**
 * One memory with the kernels that work in it: what lies where, and the work on it, strip by strip.
 *
 * Where the memory is shared, members of a crew have strips of their own; no kernel writes outside its strip but in its own working memory.
 */
export class Workbench {
  private top = HEAP
  /** How many share the present job. */
  members = 1

  constructor(
    readonly memory: KernelMemory,
    private readonly kernels: Readonly<Record<string, Kernel>>,
  ) {}

  /** Lays out the strips of a raster. What was kept before is given up. */
  begin(width: number, height: number): void {
    this.top = HEAP
    const stride = strideOf(width)
    this.set(WIDTH, width)
    this.set(HEIGHT, height)
    this.set(STRIDE, stride)
    const offsets = [-stride, 1 - stride, 1, stride + 1, stride, stride - 1, -1, -stride - 1]
    for (const [k, offset] of offsets.entries()) this.set(OFFSETS + k, offset)
    this.members = Math.max(1, Math.min(this.crewSize(), Math.floor(height / LEAST_ROWS)))
    for (let member = 0; member < MOST_MEMBERS; member++) {
      const own = this.own(member)
      own.fill(0)
      own[FIRST_ROW] = member < this.members ? Math.floor((member * height) / this.members) : height
      own[END_ROW] = member < this.members ? Math.floor(((member + 1) * height) / this.members) : height
    }
  }

  get stride(): number {
    return this.get(STRIDE)
  }

  /** Cells of the raster with its padding. */
  get cells(): number {
    return paddedCells(this.get(HEIGHT), this.stride)
  }

  /** The first cell of a row. */
  rowStart(row: number): number {
    return GUARD + (row + 1) * this.stride
  }

  /** Room for some bytes; its address. Throws RangeError where there is no more memory. */
  allot(bytes: number): number {
    const at = this.top
    this.top = at + 64 * Math.ceil(bytes / 64)
    const short = Math.ceil(this.top / PAGE_BYTES) - this.memory.buffer.byteLength / PAGE_BYTES
    if (this.top / PAGE_BYTES > MOST_PAGES) throw new RangeError(`${this.top} bytes are more than the kernels' memory can hold`)
    if (short > 0) this.memory.grow(short)
    return at
  }

  /** Gives up all room from an address on. */
  giveBack(from: number): void {
    this.top = from
  }

  get(name: number): number {
    return new Uint32Array(this.memory.buffer, FIELDS + 4 * name, 1)[0]!
  }

  set(name: number, value: number): void {
    new Int32Array(this.memory.buffer, FIELDS + 4 * name, 1)[0] = value
  }

  /** Fields of a member. Read and written at once: no view outlives the next `allot`. */
  own(member: number): Int32Array {
    return new Int32Array(this.memory.buffer, MEMBER + MEMBER_BYTES * member, MEMBER_BYTES / 4)
  }

  floats(address: number, count: number): Float32Array {
    return new Float32Array(this.memory.buffer, address, count)
  }

  words(address: number, count: number): Int32Array {
    return new Int32Array(this.memory.buffer, address, count)
  }

  bytes(address: number, count: number): Uint8Array {
    return new Uint8Array(this.memory.buffer, address, count)
  }

  /** Runs a kernel that works alone. */
  alone(name: string, member = 0, firstRow = 0, endRow = 0): void {
    this.kernels[name]!(member, firstRow, endRow)
  }

  /** Runs a kernel on all strips from their beginnings. */
  *run(name: StripKernel): Steps<void> {
    for (let member = 0; member < this.members; member++) {
      const own = this.own(member)
      own[NEXT_ROW] = own[FIRST_ROW]!
    }
    yield* this.goOn(name)
  }

  /** Goes on with a kernel on all strips from where each stands. */
  *goOn(name: StripKernel): Steps<void> {
    const others = this.members - 1
    const control = others > 0 ? new Int32Array(this.memory.buffer, CONTROL, 8) : null
    if (control) {
      Atomics.store(control, DONE, 0)
      Atomics.store(control, FAILED, 0)
      // One word says all of it, so that no one can take half of an older turn for the new one.
      const turns = (Atomics.load(control, TURN) >>> 16) + 1
      Atomics.store(control, TURN, (turns << 16) | (STRIP_KERNELS.indexOf(name) << 8) | this.members)
      Atomics.notify(control, TURN)
    }
    try {
      yield* workStrip(this.memory, this.kernels[name]!, 0, seesWhole(name))
      while (control && !allDone(control, others)) yield 1
    } finally {
      // Called off or not: nobody is left working in memory that goes to the next job.
      while (control && !allDone(control, others));
    }
    if (control && Atomics.load(control, FAILED) > 0) throw new Error(`a member of the crew failed in ${name}`)
  }

  /** Does some work with all strips as one, by this member alone. */
  *asOne(work: () => Steps<void>): Steps<void> {
    const { members } = this
    const own = this.own(0)
    const end = own[END_ROW]!
    own[END_ROW] = this.get(HEIGHT)
    this.members = 1
    try {
      yield* work()
    } finally {
      this.members = members
      this.own(0)[END_ROW] = end
    }
  }

  /** Whether a strip is worked through. */
  isThrough(member: number): boolean {
    const own = this.own(member)
    return own[NEXT_ROW]! >= own[END_ROW]!
  }

  /** Members that can be had: this one, and those who have said that they are ready, in the order of their numbers. */
  crewSize(): number {
    const ready = new Int32Array(this.memory.buffer, CONTROL, 8)[READY]!
    let size = 1
    while (ready & (1 << size)) size++
    return size
  }
}
