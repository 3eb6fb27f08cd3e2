/** SHA-256 as 64 hexadecimal digits. By the platform where it offers that (secure pages, Node), else worked out here. Source: FIPS 180-4 (2015). */
export async function sha256Hex(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const subtle: SubtleCrypto | undefined = globalThis.crypto?.subtle
  const digest = subtle ? new Uint8Array(await subtle.digest('SHA-256', bytes)) : sha256(bytes)
  return Array.from(digest, byte => byte.toString(16).padStart(2, '0')).join('')
}

/** The first 32 bits of the fractions of square (or cube) roots of primes, which is where the constants come from. */
function fractions(count: number, root: (prime: number) => number): number[] {
  const found: number[] = []
  for (let n = 2; found.length < count; n++) {
    let prime = true
    for (let d = 2; d * d <= n; d++) if (n % d === 0) prime = false
    if (prime) found.push(Math.floor((root(n) % 1) * 2 ** 32) >>> 0)
  }
  return found
}

/** SHA-256 in plain arithmetic, for pages without `crypto.subtle` (plain http). */
export function sha256(bytes: Uint8Array): Uint8Array {
  const k = fractions(64, Math.cbrt)
  const state = Uint32Array.from(fractions(8, Math.sqrt))
  const tail = new Uint8Array(bytes.length % 64 < 56 ? 64 : 128)
  const whole = bytes.length - (bytes.length % 64)
  tail.set(bytes.subarray(whole))
  tail[bytes.length % 64] = 0x80
  new DataView(tail.buffer).setBigUint64(tail.length - 8, BigInt(bytes.length) * 8n)
  const w = new Uint32Array(64)
  const turn = (x: number, n: number): number => (x >>> n) | (x << (32 - n))
  const block = (source: Uint8Array, at: number): void => {
    for (let t = 0; t < 16; t++)
      w[t] = (source[at + 4 * t]! << 24) | (source[at + 4 * t + 1]! << 16) | (source[at + 4 * t + 2]! << 8) | source[at + 4 * t + 3]!
    for (let t = 16; t < 64; t++) {
      const [a, b] = [w[t - 15]!, w[t - 2]!]
      w[t] = w[t - 16]! + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + w[t - 7]! + (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10))
    }
    let [a, b, c, d, e, f, g, h] = state as unknown as [number, number, number, number, number, number, number, number]
    for (let t = 0; t < 64; t++) {
      const one = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + k[t]! + w[t]!) | 0
      const two = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0
      ;[h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0]
    }
    for (const [i, value] of [a, b, c, d, e, f, g, h].entries()) state[i] = state[i]! + value
  }
  for (let at = 0; at < whole; at += 64) block(bytes, at)
  for (let at = 0; at < tail.length; at += 64) block(tail, at)
  const out = new Uint8Array(32)
  const view = new DataView(out.buffer)
  for (const [i, word] of state.entries()) view.setUint32(4 * i, word)
  return out
}
