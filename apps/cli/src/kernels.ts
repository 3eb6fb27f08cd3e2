import { availableParallelism } from 'node:os'
import { setTimeout as pause } from 'node:timers/promises'
import { Worker } from 'node:worker_threads'
import { type Kernels, openKernels } from 'soakline/kernels'

/** Ground of fewer cells is studied sooner than kernels are opened; ground of fewer is worked alone sooner than a second worker is up. */
const WORTH_KERNELS_CELLS = 250_000
const WORTH_A_CREW_CELLS = 4_000_000
/** Longest wait for the second worker, in milliseconds: it may come later and join the next job. */
const MOST_WAIT_MS = 500

/**
 * Compiled kernels for a ground of so many cells; null where plain functions are as good. Answers do not depend on it.
 *
 * `SOAKLINE_KERNELS` in the environment says otherwise: 0 for none, else how many workers, whatever the ground.
 */
export async function kernelsFor(cells: number): Promise<Kernels | null> {
  const members = membersFor(cells, process.env.SOAKLINE_KERNELS)
  if (members === 0) return null
  const kernels = await openKernels({
    members,
    hire(letter) {
      const worker = new Worker(new URL('./crew-member.js', import.meta.url), { workerData: letter })
      // It waits for work in vain when all is done, and must not keep the program from ending.
      worker.unref()
      worker.on('error', () => undefined)
    },
  })
  for (let waited = 0; members > 1 && kernels && !kernels.crewIsReady() && waited < MOST_WAIT_MS; waited += 5) await pause(5)
  return kernels
}

function membersFor(cells: number, asked: string | undefined): number {
  if (asked !== undefined && /^\d{1,2}$/.test(asked)) return Number(asked)
  if (cells < WORTH_KERNELS_CELLS) return 0
  return cells < WORTH_A_CREW_CELLS ? 1 : Math.min(2, availableParallelism())
}
