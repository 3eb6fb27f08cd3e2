// Ground for the speed benchmarks, worked out from a seed: a landscape eroded by its own streams on cells of 10 m, brought to 1 m, with bumps of
// 60 to 6 m, road banks, noise of 3 cm, and about half of its hollows level to the brim (true flats). Smaller sizes are its north-west corner.
// Kinds: `rough` as told; `flat`, a plain of 2 ‰ in whole decimetres; `holes`, rough with a tenth of it missing in blots.
import { finish, seededRandom } from '../../packages/soakline/dist/foundation/index.js'
import { openKernels } from '../../packages/soakline/dist/kernels/index.js'

export const KINDS = ['rough', 'flat', 'holes']
const COARSE = 1024
const COARSE_CELL_M = 10

/** Rows of a ground of `side` × `side` cells, from the north. */
export async function testGround(side, kind, seed = 7) {
  if (kind === 'flat') return flatGround(side, seed)
  const data = brimmed(await roughGround(side, seed), side, await openKernels())
  if (kind === 'holes') {
    const holes = noiseField(seed + 5, 90)
    const small = noiseField(seed + 6, 12)
    for (let row = 0, cell = 0; row < side; row++)
      for (let column = 0; column < side; column++, cell++)
        if (holes(column, row) + 0.3 * small(column, row) > 0.42) data[cell] = Number.NaN
  }
  return data
}

function flatGround(side, seed) {
  const random = seededRandom(seed)
  const data = new Float32Array(side * side)
  const swell = noiseField(seed, 200)
  for (let row = 0, cell = 0; row < side; row++)
    for (let column = 0; column < side; column++, cell++)
      data[cell] = Math.round((100 + 0.002 * (side - row) + 0.5 * swell(column, row) + 0.03 * (random.uniform() - 0.5)) * 10) / 10
  return data
}

async function roughGround(side, seed) {
  const coarse = await eroded(seed)
  const random = seededRandom(seed + 1)
  const octaves = [60, 28, 13, 6].map((size_m, k) => ({ noise: noiseField(seed + 10 + k, size_m), high_m: 0.02 * size_m }))
  const roads = Array.from({ length: 15 }, () => {
    const turn = random.uniform() * Math.PI
    return { cos: Math.cos(turn), sin: Math.sin(turn), away: (random.uniform() * 1.4 - 0.2) * COARSE * COARSE_CELL_M }
  })
  const data = new Float32Array(side * side)
  for (let row = 0, cell = 0; row < side; row++)
    for (let column = 0; column < side; column++, cell++) {
      let z = cubic(coarse, column / COARSE_CELL_M + 2, row / COARSE_CELL_M + 2)
      for (const { noise, high_m } of octaves) z += high_m * noise(column, row)
      for (const { cos, sin, away } of roads) {
        const beside = Math.abs(column * cos + row * sin - away)
        if (beside < 6) z += 1.5 * Math.min(1, (6 - beside) / 3)
      }
      // The sum of four even draws is near enough to a normal one.
      const noise = random.uniform() + random.uniform() + random.uniform() + random.uniform() - 2
      data[cell] = z + 0.052 * noise
    }
  return data
}

/** Heights of the coarse ground after its streams have cut in: implicit stream power and a little creep. After Braun & Willett (2013), Geomorphology 180, 170–179. */
async function eroded(seed) {
  const side = COARSE
  const kernels = await openKernels()
  const z = new Float32Array(side * side)
  const coarse = noiseField(seed, 170)
  const fine = noiseField(seed + 1, 25)
  const random = seededRandom(seed + 2)
  for (let row = 0, cell = 0; row < side; row++)
    for (let column = 0; column < side; column++, cell++) z[cell] = 60 + 30 * coarse(column, row) + 4 * fine(column, row) + random.uniform()
  const offsets = [-side, 1 - side, 1, side + 1, side, side - 1, -1, -side - 1]
  for (let time = 0; time < 12; time++) {
    const flow = finish(kernels.flowInRows({ width: side, height: side }, row => z.subarray(row * side, (row + 1) * side)))
    const direction = new Uint8Array(side * side)
    const cells = new Uint32Array(side * side)
    for (let row = 0; row < side; row++) {
      z.set(flow.filled_m(row), row * side)
      direction.set(flow.direction(row), row * side)
      cells.set(flow.cells(row), row * side)
    }
    flow.close()
    // Downstream before upstream: by falling number of cells.
    const order = Uint32Array.from(cells.keys()).sort((a, b) => cells[b] - cells[a])
    for (const cell of order) {
      if (direction[cell] > 7) continue
      const away = (direction[cell] & 1 ? Math.SQRT2 : 1) * COARSE_CELL_M
      const cut = (0.7 * Math.sqrt(cells[cell])) / away
      z[cell] = (z[cell] + 0.6 + cut * z[cell + offsets[direction[cell]]]) / (1 + cut)
    }
    for (let row = 1; row < side - 1; row++)
      for (let column = 1, cell = row * side + 1; column < side - 1; column++, cell++)
        z[cell] += 0.1 * (z[cell - 1] + z[cell + 1] + z[cell - side] + z[cell + side] - 4 * z[cell])
  }
  return z
}

/** Catmull-Rom between the coarse cells. */
function cubic(z, x, y) {
  const [c, r] = [Math.floor(x), Math.floor(y)]
  const [u, v] = [x - c, y - r]
  const weights = t => [
    0.5 * (-t * t * t + 2 * t * t - t),
    0.5 * (3 * t * t * t - 5 * t * t + 2),
    0.5 * (-3 * t * t * t + 4 * t * t + t),
    0.5 * (t * t * t - t * t),
  ]
  const [a, b, d, e] = weights(u)
  const across = row => {
    const at = row * COARSE + c
    return a * z[at - 1] + b * z[at] + d * z[at + 1] + e * z[at + 2]
  }
  const [f, g, h, i] = weights(v)
  return f * across(r - 1) + g * across(r) + h * across(r + 1) + i * across(r + 2)
}

/** Smooth noise between −1 and 1 whose bumps have about this size. */
function noiseField(seed, size) {
  const random = seededRandom(seed)
  const gx = new Float32Array(65536)
  const gy = new Float32Array(65536)
  for (let k = 0; k < 65536; k++) {
    const turn = random.uniform() * 2 * Math.PI
    gx[k] = Math.cos(turn)
    gy[k] = Math.sin(turn)
  }
  const ease = t => t * t * t * (t * (6 * t - 15) + 10)
  return (column, row) => {
    const [x, y] = [column / size, row / size]
    const [c, r] = [Math.floor(x), Math.floor(y)]
    const [u, v] = [x - c, y - r]
    const at = ((c * 73) ^ (r * 30011)) & 65535
    const right = (((c + 1) * 73) ^ (r * 30011)) & 65535
    const below = ((c * 73) ^ ((r + 1) * 30011)) & 65535
    const corner = (((c + 1) * 73) ^ ((r + 1) * 30011)) & 65535
    const s = ease(u)
    const top = (1 - s) * (gx[at] * u + gy[at] * v) + s * (gx[right] * (u - 1) + gy[right] * v)
    const bottom = (1 - s) * (gx[below] * u + gy[below] * (v - 1)) + s * (gx[corner] * (u - 1) + gy[corner] * (v - 1))
    const t = ease(v)
    return 1.4 * ((1 - t) * top + t * bottom)
  }
}

/** About half of the hollows filled to the brim: which, says the last bits of their level. */
function brimmed(data, side, kernels) {
  const flow = finish(kernels.flowInRows({ width: side, height: side }, row => data.subarray(row * side, (row + 1) * side)))
  for (let row = 0; row < side; row++) {
    const filled = flow.filled_m(row)
    const bits = new Uint32Array(filled.buffer)
    for (let column = 0; column < side; column++)
      if (filled[column] > data[row * side + column] && (bits[column] * 2654435761) & 0x10000) data[row * side + column] = filled[column]
  }
  flow.close()
  return data
}
