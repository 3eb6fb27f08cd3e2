import { studyWater } from 'soakline/hydrology'
import { openKernels } from 'soakline/kernels'
import { gradient } from 'soakline/terrain'
import { expect, test, vi } from 'vitest'
import { terrain } from '../../../../tests/helpers/surfaces.js'

// From the first buffer that is taken away on, an engine may look before every access of any typed array whether its own is still there: memory that
// grows takes its buffer away.

test.each(['smooth', 'lakes', 'gaps', 'rough'] as const)(
  'a study of %s ground has its room from the start: no buffer is taken away',
  async kind => {
    const { Memory } = (globalThis as unknown as { WebAssembly: { Memory: { prototype: { grow(pages: number): number } } } }).WebAssembly
    const grow = vi.spyOn(Memory.prototype, 'grow')
    const kernels = (await openKernels())!
    for (const [width, height] of [
      [40, 30],
      [400, 300],
      [90, 120],
    ] as const) {
      const ground = terrain(kind, 1, width, height)
      studyWater(ground, { kernels })
      gradient(ground, kernels)
    }
    kernels.warmUp()
    expect(grow).not.toHaveBeenCalled()
    grow.mockRestore()
  },
)
