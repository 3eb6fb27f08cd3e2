import type { CrewLetter } from './crew.js'
import { MOST_MEMBERS } from './fields.js'
import { type CompiledModule, engine, fromBase64, MOST_PAGES } from './web-assembly.js'
import { Workbench } from './workbench.js'

/**
 * Compiled kernels, to be handed to the functions that can use them: what they give is the same, bit for bit, as without.
 *
 * No view on their memory ever leaves them. The memory of the largest job is kept for the next one until it is forgotten.
 */
export interface Kernels {
  /** Takes a workbench for one job; a second job at the same time gets another. */
  take(): Workbench
  /** Gives it back after the job. */
  give(bench: Workbench): void
  /** Whether all workers that were hired have joined. */
  crewIsReady(): boolean
  /** Lets go of memory that is kept. A crew keeps its own. */
  forget(): void
}

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
  const make = (): Workbench => {
    const memory = new wasm.Memory({ initial: 1 })
    return new Workbench(memory, new wasm.Instance(alone, { env: { memory } }).exports)
  }
  return {
    take() {
      if (crew && !crewIsBusy) {
        crewIsBusy = true
        return crew
      }
      const bench = kept ?? make()
      kept = null
      return bench
    },
    give(bench) {
      if (bench === crew) crewIsBusy = false
      else kept = bench
    },
    crewIsReady: () => !crew || crew.crewSize() === Math.min(members, MOST_MEMBERS),
    forget() {
      kept = null
    },
  }
}

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
