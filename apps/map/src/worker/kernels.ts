import { type Kernels, openKernels } from 'soakline/kernels'

/** Ground of fewer cells is worked alone sooner than a second worker is up. */
const WORTH_A_CREW_CELLS = 4_000_000

/** Opens the compiled kernels when they are first needed; a second worker for large ground, where the page may share memory with it. */
export function kernelsWhenNeeded(): (cells: number) => Promise<Kernels | null> {
  let alone: Promise<Kernels | null> | null = null
  let crew: Promise<Kernels | null> | null = null
  const mayShare = self.crossOriginIsolated && navigator.hardwareConcurrency > 1
  return cells => {
    if (cells < WORTH_A_CREW_CELLS || !mayShare) return (alone ??= openKernels())
    return (crew ??= openKernels({ members: 2, hire: letter => newMember().postMessage(letter) }))
  }
}

const newMember = (): Worker => new Worker(new URL('./crew-member.ts', import.meta.url), { type: 'module' })
