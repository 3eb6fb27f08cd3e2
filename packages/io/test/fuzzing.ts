import { Worker } from 'node:worker_threads'

/** A source of whole numbers below n; the same for the same seed. */
export type Chance = (n: number) => number

export function chance(seed: number): Chance {
  let state = (seed * 2654435761 + 12345) >>> 0
  return n => {
    state = (Math.imul(state ^ (state >>> 15), 0x2c1b3c6d) + 0x9e3779b9) >>> 0
    const mixed = Math.imul(state ^ (state >>> 12), 0x297a2d39) >>> 0
    return Math.floor(((mixed ^ (mixed >>> 15)) >>> 0) / (2 ** 32 / n))
  }
}

/** Bytes that mean something to some format: noughts, signs, digits, quotes, brackets. */
const BYTES = [0, 1, 0x7f, 0x80, 0xff, 0x20, 0x2d, 0x39, 0x22, 0x3c, 0x5b, 0x7b]
/** Letters that mean something to some text. */
const LETTERS = new TextEncoder().encode(' \n\t,;.-+0129eE"\'<>/&[]{}:=_%')
/** Sizes, counts and places as a hostile file states them. */
const SIZES = [
  0, 1, 2, 3, 255, 256, 257, 4095, 65535, 65536, 65537, 0xffffff, 0x1000000, 0x10000000, 0x3fffffff, 0x40000000, 0x7ffffffe, 0x7fffffff,
  0x80000000, 0xfffffffe, 0xffffffff,
]
/** Numbers and words as a hostile text states them. */
const WORDS = [
  '',
  '0',
  '-0',
  '-1',
  '1e308',
  '1e309',
  '-1e309',
  '1e-320',
  '4294967295',
  '99999999999999999999',
  '0x7f',
  '1,5',
  'nan',
  'Infinity',
  'null',
  '[]',
  '{}',
  '"',
  '__proto__',
  'constructor',
  '٣',
  '\u0000',
  '=1+1',
]
const encoded = WORDS.map(word => new TextEncoder().encode(word))

/** A part of a file where sizes and places stand, from the first byte to the one before the last; `'text'`: a text, which changes within its letters. */
export type Hot = readonly [from: number, to: number] | 'text'

/**
 * A file with one to four changes: bytes, whole sizes in either order, words in place of numbers, pieces cut off, doubled, or repeated to a great depth.
 *
 * @param hot where half of the changes are made; default anywhere
 */
export function changed(bytes: Uint8Array, below: Chance, hot?: Hot): Uint8Array<ArrayBuffer> {
  const isText = hot === 'text'
  let out = bytes.slice() as Uint8Array<ArrayBuffer>
  const place = (): number =>
    hot && !isText && below(2) === 0 ? Math.min(out.length, hot[0] + below(hot[1] - hot[0])) : below(out.length || 1)
  const splice = (at: number, gone: number, piece: Uint8Array): void => {
    const longer = new Uint8Array(Math.max(0, out.length - gone) + piece.length)
    longer.set(out.subarray(0, at))
    longer.set(piece, at)
    longer.set(out.subarray(at + gone), at + piece.length)
    out = longer
  }
  for (let k = below(2) === 0 ? 1 : 1 + below(4); k > 0; k--) {
    const at = place()
    // Bytes that are no text at all are one case among many for a text: its own words are what it is broken by.
    const what = isText && below(20) > 0 ? [0, 1, 2, 6, 7, 7, 7, 8, 8, 9][below(10)]! : below(10)
    switch (what) {
      case 0:
      case 1:
        out[at] = isText ? LETTERS[below(LETTERS.length)]! : BYTES[below(BYTES.length)]!
        break
      case 2:
        out[at] = isText ? 0x20 + below(95) : below(256)
        break
      case 3:
      case 4: {
        const size = SIZES[below(SIZES.length)]!
        const width = 1 << below(3)
        const little = below(2) === 0
        // Fields stand at even places in most formats.
        const from = below(2) === 0 ? at & ~1 : at
        for (let b = 0; b < width && from + b < out.length; b++) out[from + b] = (size >>> (8 * (little ? b : width - 1 - b))) & 255
        break
      }
      case 5:
        out.fill(below(256), at, at + below(8))
        break
      case 6:
        out = out.slice(0, at)
        break
      case 7: {
        // The number that stands at or after the place, if the file is a text there.
        let from = at
        while (from < out.length && from < at + 40 && !isDigit(out[from]!)) from++
        let to = from
        while (to < out.length && (isDigit(out[to]!) || out[to] === 0x2e)) to++
        if (to > from && to - from < 40) splice(from, to - from, encoded[below(encoded.length)]!)
        break
      }
      case 8:
        splice(below(out.length + 1), 0, out.slice(at, at + below(40)))
        break
      default: {
        // The same piece very often: depth, length, number of entries.
        const piece = out.slice(at, at + 1 + below(12))
        const often = below(8) === 0 ? 3000 : 20
        const long = new Uint8Array(piece.length * often)
        for (let n = 0; n < often; n++) long.set(piece, n * piece.length)
        splice(at, 0, long)
      }
    }
  }
  return out
}

const isDigit = (byte: number): boolean => byte >= 0x30 && byte <= 0x39

/** What was asked of the allocator since it was last looked at. Unit: bytes. */
export interface Allocations {
  /** Largest single one. */
  largest: number
  /** All together, given back or not. */
  total: number
  /** Where a budget was passed, as the first lines of the stack. */
  beyond: string | null
}

const TYPED = [
  'ArrayBuffer',
  'Int8Array',
  'Uint8Array',
  'Uint8ClampedArray',
  'Int16Array',
  'Uint16Array',
  'Int32Array',
  'Uint32Array',
  'Float32Array',
  'Float64Array',
] as const

/**
 * Puts an allocator in between that notes every size asked for. One that is beyond the budget is noted and fed with the largest that is allowed, not refused:
 * a refusal could be caught on its way and taken for a damaged file, and what comes after it would never be seen.
 *
 * Gives what was noted, and the way to take the allocator out again.
 */
export function watchAllocations(most: number): { seen: Allocations; stop(): void } {
  const seen: Allocations = { largest: 0, total: 0, beyond: null }
  const global = globalThis as unknown as Record<string, unknown>
  const real = new Map<string, unknown>()
  const note = (bytes: number): number => {
    if (bytes > seen.largest) seen.largest = bytes
    if (bytes > 0) seen.total += bytes
    if (bytes > most) seen.beyond ??= `${bytes} bytes ${(new Error().stack ?? '').split('\n').slice(3, 7).join(' ')}`
    return Math.min(bytes, most)
  }
  const watch = (name: string, size: number): void => {
    const own = global[name] as { new (...given: unknown[]): object }
    real.set(name, own)
    const watched: unknown = new Proxy(own, {
      construct(target, given: unknown[], newTarget): object {
        if (given.length > 0 && typeof given[0] === 'number' && (name !== 'Array' || given.length === 1)) {
          const fed = note(given[0] * size)
          if (given[0] * size > most) given = [Math.floor(fed / size), ...given.slice(1)]
        }
        return Reflect.construct(target, given, newTarget === watched ? target : newTarget)
      },
    })
    global[name] = watched
  }
  for (const name of TYPED) watch(name, (global[name] as { BYTES_PER_ELEMENT?: number }).BYTES_PER_ELEMENT ?? 1)
  const from = Array.from
  const repeat = String.prototype.repeat
  Array.from = ((source: { length?: number }, ...rest: [never]) => {
    const length = source?.length
    if (typeof length !== 'number' || typeof source === 'string') return from(source as never, ...rest)
    return note(length * 8) < length * 8 ? [] : from(source as never, ...rest)
  }) as typeof Array.from
  String.prototype.repeat = function (count: number): string {
    return note(this.length * count) < this.length * count ? '' : repeat.call(this, count)
  }
  return {
    seen,
    stop() {
      for (const [name, own] of real) global[name] = own
      Array.from = from
      String.prototype.repeat = repeat
    },
  }
}

/** Ends the process, and says in which case, when no new case has begun for so long: a decoder that spins cannot be asked from its own thread. */
export function watchTurns(most_ms: number): { begin(what: string, seed: number): void; stop(): Promise<number> } {
  const beat = new Int32Array(new SharedArrayBuffer(8))
  const words = new Uint8Array(new SharedArrayBuffer(200))
  const watcher = new Worker(
    `const { workerData: { beat, words, most } } = require('node:worker_threads')
     const { writeSync } = require('node:fs')
     let last = -1, since = Date.now()
     setInterval(() => {
       const now = Atomics.load(beat, 0)
       if (now !== last) { last = now; since = Date.now() }
       else if (Date.now() - since > most) {
         writeSync(2, 'A decoder hangs: ' + Buffer.from(words).toString().replace(/\\0+$/, '') + ', seed ' + Atomics.load(beat, 1) + '\\n')
         process.kill(process.pid, 'SIGKILL')
       }
     }, 500)`,
    { eval: true, workerData: { beat, words, most: most_ms } },
  )
  watcher.unref()
  return {
    begin(what, seed) {
      if (seed === 1) {
        words.fill(0)
        words.set(new TextEncoder().encode(what).subarray(0, 200))
      }
      Atomics.store(beat, 1, seed)
      Atomics.add(beat, 0, 1)
    },
    stop: () => watcher.terminate(),
  }
}
