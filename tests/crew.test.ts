// The compiled kernels shared out among workers: whoever works, the answer is the same to the bit. The workers run the build.
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { Worker } from 'node:worker_threads'
import { finish, inTurns, seededRandom } from 'soakline/foundation'
import {
  byFacets,
  byVector,
  contributingAreaBy,
  contributingAreaSingle,
  drainage,
  drainageSteps,
  filledSurface,
  flowNetwork,
  multiple,
} from 'soakline/hydrology'
import { type Kernels, openKernels } from 'soakline/kernels'
import { gradient } from 'soakline/terrain'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'
import { TERRAINS, terrain, withLakes } from './helpers/surfaces.js'

/** The same numbers; of no numbers there is one kind. */
const same = (a: ArrayLike<number>, b: ArrayLike<number>): boolean => {
  if (a.length !== b.length) return false
  for (let k = 0; k < a.length; k++) if (!Object.is(a[k], b[k])) return false
  return true
}

describe.each([2, 3, 5])('%d workers', members => {
  const workers: Worker[] = []
  let kernels: Kernels
  beforeAll(async () => {
    const opened = await openKernels({
      members,
      hire: letter => workers.push(new Worker(join(repositoryRoot, 'apps/cli/dist/crew-member.js'), { workerData: letter, execArgv: [] })),
    })
    kernels = opened!
    for (let waited = 0; !kernels.crewIsReady(); waited++) {
      if (waited > 4000) throw new Error('the workers did not come')
      await pause(5)
    }
  })
  afterAll(() => Promise.all(workers.map(worker => worker.terminate())))

  test.each(TERRAINS)('%s ground: drainage, area and gradient are those of the definitions', kind => {
    // Rows for five strips, and flats that lie across them.
    const ground = withLakes(terrain(kind, 3, 131, 400), seededRandom(9), 4)
    const found = drainage(ground, { kernels })
    const defined = drainage(ground)
    expect(same(found.slope, defined.slope), 'slope').toBe(true)
    expect(same(found.direction, defined.direction), 'direction').toBe(true)
    expect(same(found.basin, defined.basin), 'basin').toBe(true)
    for (const name of Object.keys(defined.basins) as (keyof typeof defined.basins)[])
      expect(same(found.basins[name], defined.basins[name]), name).toBe(true)
    expect(same(contributingAreaSingle(found, undefined, kernels).data, contributingAreaSingle(defined).data), 'area').toBe(true)
    expect(same(gradient(ground, kernels).data, gradient(ground).data), 'gradient').toBe(true)
  })

  test('water that spreads is shared and gathered as by one', async () => {
    const ground = withLakes(terrain('gaps', 3, 131, 400), seededRandom(9), 4)
    const drained = drainage(ground)
    const alone = await openKernels()
    const net = flowNetwork(ground, drained, byVector, kernels)
    const defined = flowNetwork(ground, drained, byVector)
    for (const name of ['facet', 'toNext', 'order', 'layer', 'donors'] as const) expect(same(net[name], defined[name]), name).toBe(true)
    for (const method of [byVector, byFacets, multiple()]) {
      const area = (by: Kernels | null) => contributingAreaBy(ground, drained, method, { kernels: by }).data
      expect(same(area(kernels), area(alone))).toBe(true)
    }
  })

  test('the flow kernels in their least memory give the same filled surface, directions and counts', () => {
    const ground = terrain('rough', 4, 131, 400)
    const { width, height } = ground.geometry
    const flow = finish(kernels.flowInRows(ground.geometry, row => ground.data.subarray(row * width, (row + 1) * width)))!
    const defined = drainage(ground)
    const filled = filledSurface(ground, defined).data
    const area = contributingAreaSingle(defined).data
    for (let row = 0; row < height; row++) {
      const here = [row * width, (row + 1) * width] as const
      expect(same(flow.filled_m(row), filled.slice(...here))).toBe(true)
      expect(same(flow.direction(row), defined.direction.slice(...here))).toBe(true)
      expect([...flow.cells(row)]).toEqual([...area.slice(...here)])
    }
    flow.close()
  })

  test('work that is called off leaves the crew fit for the next', async () => {
    const ground = terrain('lakes', 6, 300, 400)
    for (const after of [0, 3, 7]) {
      let steps = 0
      const signal = { aborted: false, reason: new Error('off') }
      await expect(
        inTurns(drainageSteps(ground, { kernels }), { signal, pause: async () => void (signal.aborted = steps++ >= after) }),
      ).rejects.toThrow('off')
    }
    expect(same(drainage(ground, { kernels }).direction, drainage(ground).direction)).toBe(true)
  })
})
