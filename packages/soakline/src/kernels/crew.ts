import { CONTROL, DONE, FAILED, READY, TURN } from './fields.js'
import { type CompiledModule, engine, type KernelMemory } from './web-assembly.js'
import { STRIP_KERNELS, seesWhole, workStrip } from './workbench.js'

/** What a shell hands to a worker that is to join the crew: may be sent as it is. */
export interface CrewLetter {
  readonly module: CompiledModule
  readonly memory: KernelMemory
  readonly member: number
}

/**
 * The work of a member of a crew, in a worker that a shell has opened: waits for the next kernel, works its strip, says that it is done.
 * Does not return; the shell ends the worker.
 */
export function joinCrew({ module, memory, member }: CrewLetter): never {
  const wasm = engine()
  if (!wasm) throw new Error('no WebAssembly in this worker')
  const { exports: kernels } = new wasm.Instance(module, { env: { memory } })
  const control = new Int32Array(memory.buffer, CONTROL, 8)
  let turn = Atomics.load(control, TURN)
  Atomics.or(control, READY, 1 << member)
  for (;;) {
    Atomics.wait(control, TURN, turn)
    turn = Atomics.load(control, TURN)
    // The word holds how many share the job: whoever became ready in the midst of it has no strip, and is not waited for.
    if (member >= (turn & 255)) continue
    const name = STRIP_KERNELS[(turn >> 8) & 255]!
    try {
      const steps = workStrip(memory, kernels[name]!, member, seesWhole(name))
      while (!steps.next().done);
    } catch {
      Atomics.add(control, FAILED, 1)
    }
    Atomics.add(control, DONE, 1)
    Atomics.notify(control, DONE)
  }
}
