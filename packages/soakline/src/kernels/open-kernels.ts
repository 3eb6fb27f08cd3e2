import type { Steps } from '../foundation/index.js'
import type { Benches } from './benches.js'
import { countUpslope } from './count-upslope.js'
import type { CrewLetter } from './crew.js'
import { MOST_MEMBERS } from './fields.js'
import { type FlowRows, flowInRows } from './flow-in-rows.js'
import { type SolvedDrainage, solveDrainage } from './solve-drainage.js'
import { gatherSpread, type SpreadGround, type SpreadMethod, type SpreadWays, spreadWays } from './spread.js'
import { steepnessInRows } from './steepness.js'
import { warmUp } from './warm-up.js'
import { type CompiledModule, engine, fromBase64, MOST_PAGES, PAGE_BYTES } from './web-assembly.js'
import { cellsOnBench, Workbench } from './workbench.js'

/**
 * Compiled kernels, to be handed to the functions that can use them: what they give is the same, bit for bit, as without.
 *
 * No view on their memory ever leaves them. The memory of the largest job is kept for the next one until it is forgotten.
 */
export interface Kernels {
  /** The drainage of a raster of heights, as `drainage` defines it; null where the heights are infinite, for which only the definition holds. */
  drainage(heights: Float32Array, size: RasterSize, keep: readonly number[]): Steps<SolvedDrainage | null>
  /** How many cells drain through each cell by given directions, itself included; 0 in voids. `count` is told of each row. */
  cellsUpslope(direction: Uint8Array, size: RasterSize, count: (row: number, cells: Uint32Array) => void): Steps<void>
  /** Horn's gradient as `gradient` defines it, row by row: `take` is told each row's, which holds until it returns. */
  steepnessInRows(
    size: RasterSize & { readonly cell_m: number },
    rowOf: (row: number) => Float32Array,
    take: (found: Float32Array, row: number) => void,
  ): Steps<void>
  /** The network of a method that shares water, to the bit; null where only the definition gives it. */
  spreadWays(ground: SpreadGround, method: SpreadMethod): Steps<SpreadWays | null>
  /** Water gathered by such a method, from 1 or what is given for each cell; within rounding (1e-12 of each) of the definition. NaN in voids. */
  gatherSpread(ground: SpreadGround, method: SpreadMethod, own: Float64Array | null): Steps<Float64Array | null>
  /**
   * Filling, single direction and accumulation in the least memory: 13 to 15 bytes a cell, the heights included, which are handed in row by
   * row. Null where heights are infinite.
   */
  flowInRows(size: RasterSize, heightsOfRow: (row: number) => Float32Array): Steps<FlowRows | null>
  /** Has the engine make its best code of the flow kernels before they are needed: a first job is then as fast as later ones. Cost some 0.2 s. */
  warmUp(): void
  /** Whether all workers that were hired have joined. */
  crewIsReady(): boolean
  /** Lets go of memory that is kept. A crew keeps its own. */
  forget(): void
}

/** Cells of a raster. */
export interface RasterSize {
  readonly width: number
  readonly height: number
}

/** How the kernels are opened. */
export interface KernelOptions {
  /**
   * Members of the crew, this worker included; default 1. More than one needs shared memory: Node, or a page that is cross-origin isolated.
   * What comes out does not depend on it.
   */
  readonly members?: number
  /** Opens a worker that calls `joinCrew` with the letter. Until it has, the work is done without it. */
  readonly hire?: (letter: CrewLetter) => void
}

/**
 * Makes the kernels ready; null where WebAssembly, its SIMD instructions or leave to compile are missing: then the plain functions do the work.
 *
 * Cost  some 10 ms, once.
 */
export async function openKernels({ members = 1, hire }: KernelOptions = {}): Promise<Kernels | null> {
  const wasm = engine()
  if (!wasm) return null
  const alone = await compiled(false)
  if (!alone) return null
  const crew = hire && members > 1 ? await gatherCrew(Math.min(members, MOST_MEMBERS), hire) : null
  let crewIsBusy = false
  let kept: Workbench | null = null
  const make = (bytes: number): Workbench => {
    const memory = new wasm.Memory({ initial: Math.ceil(bytes / PAGE_BYTES) })
    return new Workbench(memory, new wasm.Instance(alone, { env: { memory } }).exports)
  }
  const benches: Benches = {
    take(size) {
      if (crew && !crewIsBusy) {
        crewIsBusy = true
        return crew
      }
      const room = roomFor(size)
      const bench = kept !== null && kept.memory.buffer.byteLength >= room ? kept : make(room)
      kept = null
      return bench
    },
    give(bench) {
      if (bench === crew) crewIsBusy = false
      else kept = bench
    },
  }
  return {
    drainage: (heights, size, keep) => solveDrainage(benches, heights, size, keep),
    cellsUpslope: (direction, size, count) => countUpslope(benches, direction, size, count),
    steepnessInRows: (size, rowOf, take) => steepnessInRows(benches, size, rowOf, take),
    spreadWays: (ground, method) => spreadWays(benches, ground, method),
    gatherSpread: (ground, method, own) => gatherSpread(benches, ground, method, own),
    flowInRows: (size, heightsOfRow) => flowInRows(benches, size, heightsOfRow),
    warmUp: () => warmUp(benches),
    crewIsReady: () => !crew || crew.crewSize() === Math.min(members, MOST_MEMBERS),
    forget() {
      kept = null
    },
  }
}

/** For each cell, its padding included. Source: measured, 13 to 23 bytes on hillsides, noise and rasters where every other cell is a pit. */
const ROOM_A_CELL = 24
/** For what a raster of any size takes besides. Source: judgement. */
const LEAST_ROOM_BYTES = 1 << 20
/** The memory of larger jobs grows as they go on: nobody drags a line over so many cells, and not every system gives away memory before it is used. Source: judgement. */
const MOST_ROOM_BYTES = 1 << 28

/**
 * Bytes that a job on a raster is given from the start, so that its memory hardly ever grows: growing takes the buffer away from under its views, and from
 * the first buffer that is taken away on an engine may look before every access of any typed array whether its own is still there. Walks over a network
 * took a fifth more time by that, measured in V8.
 */
const roomFor = ({ width, height }: RasterSize): number =>
  Math.min(LEAST_ROOM_BYTES + ROOM_A_CELL * cellsOnBench(width, height), MOST_ROOM_BYTES)

async function gatherCrew(members: number, hire: (letter: CrewLetter) => void): Promise<Workbench | null> {
  const wasm = engine()
  const module = await compiled(true)
  if (!wasm || !module) return null
  try {
    const memory = new wasm.Memory({ initial: 1, maximum: MOST_PAGES, shared: true })
    for (let member = 1; member < members; member++) hire({ module, memory, member })
    return new Workbench(memory, new wasm.Instance(module, { env: { memory } }).exports)
  } catch {
    return null
  }
}

async function compiled(shared: boolean): Promise<CompiledModule | null> {
  const { OWN_MEMORY, SHARED_MEMORY } = await import('./generated/bytes.js')
  try {
    return (await engine()?.compile(fromBase64(shared ? SHARED_MEMORY : OWN_MEMORY))) ?? null
  } catch {
    return null
  }
}
