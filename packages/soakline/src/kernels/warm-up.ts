import { finish, seededRandom } from '../foundation/index.js'
import type { Benches } from './benches.js'
import { flowInRows } from './flow-in-rows.js'

const SIDE = 160
const ROUNDS = 40

/** Works the flow kernels on a small rough ground, round after round, until the engine has made its best code of them. */
export function warmUp(benches: Benches): void {
  const random = seededRandom(1)
  const heights = Float32Array.from({ length: SIDE * SIDE }, (_, cell) => 0.1 * Math.floor(cell / SIDE) + random.uniform())
  for (let round = 0; round < ROUNDS; round++)
    finish(flowInRows(benches, { width: SIDE, height: SIDE }, row => heights.subarray(row * SIDE, (row + 1) * SIDE)))?.close()
}
