/** A seeded source of numbers, the same in every engine: integers and + − × only. */
export interface Random {
  /** Uniform in [0, 1), 32 bits. */
  uniform(): number
  /** Mean 0, variance 1: the sum of twelve uniforms less six, so it needs no log or cosine; it never leaves ±6. */
  normal(): number
}

/** Source: the "mulberry32" mixing step, public domain; constants from memory, its use here checked by tests of mean and variance. */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  const normal = (): number => {
    let sum = -6
    for (let k = 0; k < 12; k++) sum += uniform()
    return sum
  }
  return { uniform, normal }
}
