import { deflateSync } from 'node:zlib'
import { COLOUR_CODES, type ReadOptions, readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { buildLerc, type LercOptions, summed } from './lerc-builder.js'
import { buildPng } from './png-builder.js'
import { refusal } from './refusal.js'
import { buildDem, type DemOptions, ground, type Tag, UTM17 } from './tiff-builder.js'
import { buildZip, concatenated, type PackedFile } from './zip-builder.js'

// Rasters made by hand to do harm, each with the code that it is refused by. Where a file is taken, it is because what is odd about it does none: what comes of it
// stands beside it.

const WIDE = 6
const HIGH = 5
const cells = ground(WIDE, HIGH)
const long = (tag: number, ...values: number[]): Tag => ({ tag, type: 'long', values })
const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values })
const dem = (options: Partial<DemOptions> = {}): ArrayBuffer => buildDem({ width: WIDE, height: HIGH, cells, ...options })
const withTags = (...tags: Tag[]): ArrayBuffer => dem({ tags })
const packed = (bytes: Uint8Array, ...tags: Tag[]): ArrayBuffer => dem({ blocks: [bytes], tags: [short(259, 8), ...tags] })
const deflated = (bytes: Uint8Array = new Uint8Array(cells.buffer)): Uint8Array => new Uint8Array(deflateSync(bytes))
/** A file whose bytes at a place are others. */
const poked = (file: ArrayBuffer, at: number, ...bytes: number[]): ArrayBuffer => {
  const out = new Uint8Array(file.slice(0))
  out.set(bytes, at)
  return out.buffer
}
const u32 = (value: number): number[] => [value & 255, (value >>> 8) & 255, (value >>> 16) & 255, (value >>> 24) & 255]
const cut = (file: ArrayBuffer, share: number): ArrayBuffer => file.slice(0, Math.floor(file.byteLength * share))
const keys = (...changed: (readonly [number, number | string | readonly number[]])[]): NonNullable<DemOptions['keys']> => [
  ...UTM17.filter(([key]) => !changed.some(([other]) => other === key)),
  ...changed,
]
const matrix = (a: number, b: number, c: number, d: number, e: number, f: number): readonly number[] => [
  a,
  b,
  0,
  c,
  d,
  e,
  0,
  f,
  0,
  0,
  0,
  0,
  0,
  0,
  0,
  1,
]
const holed = (value: number, ...at: number[]): Float32Array => {
  const out = cells.slice()
  for (const k of at.length === 0 ? [8, 20] : at) out[k] = value
  return out
}
const tile = (...more: Tag[]): Tag[] => [long(322, 16), long(323, 16), ...more]
const fullTile = new Uint8Array(new Float32Array(256).map((_, k) => 100 + (k % 16) * 0.13 + k * 0.01).buffer)
const text = (value: string): ArrayBuffer => new TextEncoder().encode(value).buffer

/** A blob of LERC in the raster's one strip, and changes of a blob that its check sum does not tell. */
const blob = (options: Partial<LercOptions> = {}): Uint8Array<ArrayBuffer> => buildLerc({ width: WIDE, height: HIGH, cells, ...options })
const lerc = (bytes: Uint8Array, options: Partial<DemOptions> = {}): ArrayBuffer =>
  dem({ blocks: [bytes], tags: [short(259, 34887)], ...options })
const bytesBlob = (): Uint8Array<ArrayBuffer> => blob({ cells: Uint8Array.from(cells, (_, k) => k), how: 'values' })
const pokedBlob = (bytes: Uint8Array<ArrayBuffer>, at: number, ...values: number[]): Uint8Array<ArrayBuffer> => {
  bytes.set(values, at)
  return bytes
}
const cutBlob = (bytes: Uint8Array<ArrayBuffer>, by: number): Uint8Array<ArrayBuffer> =>
  pokedBlob(bytes.slice(0, -by), 34, ...u32(bytes.length - by))
const holes = Array.from(cells, (_, k) => k % 5 !== 2)

type Outcome = string | { readonly voids?: number; readonly least_m?: number; readonly warns?: string }
type Case = readonly [name: string, file: () => ArrayBuffer, expected: Outcome, options?: ReadOptions]

/** A directory with entries written out, for lies that the builder would not tell. */
function rawDirectory(entries: readonly (readonly [tag: number, type: number, count: number, value: number])[], next = 0): ArrayBuffer {
  const view = new DataView(new ArrayBuffer(8 + 2 + 12 * entries.length + 4 + 64))
  view.setUint32(0, 0x002a4949, true)
  view.setUint32(4, 8, true)
  view.setUint16(8, entries.length, true)
  entries.forEach(([tag, type, count, value], k) => {
    view.setUint16(10 + 12 * k, tag, true)
    view.setUint16(12 + 12 * k, type, true)
    view.setUint32(14 + 12 * k, count, true)
    view.setUint32(18 + 12 * k, value, true)
  })
  view.setUint32(10 + 12 * entries.length, next, true)
  return view.buffer
}

/** Many directories, each of one entry, in a row; the last one points where it is said. */
function chain(length: number, last: number): ArrayBuffer {
  const size = 2 + 12 + 4
  const view = new DataView(new ArrayBuffer(8 + size * length))
  view.setUint32(0, 0x002a4949, true)
  view.setUint32(4, 8, true)
  for (let k = 0; k < length; k++) {
    const at = 8 + size * k
    view.setUint16(at, 1, true)
    view.setUint16(at + 2, 256, true)
    view.setUint16(at + 4, 4, true)
    view.setUint32(at + 6, 1, true)
    view.setUint32(at + 10, 6, true)
    view.setUint32(at + 14, k + 1 < length ? at + size : last, true)
  }
  return view.buffer
}

const DIRECTORIES: readonly Case[] = [
  ['no directory at all', () => poked(dem(), 4, 0, 0, 0, 0), 'grid/malformed'],
  ['first directory beyond the end', () => poked(dem(), 4, ...u32(0xfffffff0)), 'grid/truncated'],
  ['first directory at the last byte', () => poked(dem(), 4, ...u32(dem().byteLength - 1)), 'grid/truncated'],
  ['first directory in the header', () => poked(dem(), 4, ...u32(2)), 'grid/truncated'],
  ['a directory of no entries', () => poked(dem(), 8, 0, 0), 'grid/malformed'],
  ['a directory of 65,535 entries', () => poked(dem(), 8, 255, 255), 'grid/malformed'],
  ['a directory of 1,024 entries in a file of some hundred bytes', () => poked(dem(), 8, 0, 4), 'grid/truncated'],
  ['a directory that points at itself', () => dem({ next: 'self' }), 'grid/directory-loop'],
  ['two directories that point at each other', () => chain(2, 8), 'grid/directory-loop'],
  ['a circle of sixty directories', () => chain(60, 8 + 18 * 30), 'grid/directory-loop'],
  ['a thousand directories', () => chain(1000, 0), 'grid/malformed'],
  ['a next directory beyond the end', () => dem({ next: 1_000_000 }), 'grid/truncated'],
  ['a next directory in the middle of the cells', () => dem({ next: dem().byteLength - 20 }), 'grid/malformed'],
  ['a big file whose offsets have 4 bytes', () => poked(dem({ big: true }), 4, 4), 'grid/malformed'],
  ['a big file whose first directory lies at 2⁶³', () => poked(dem({ big: true }), 8, 0, 0, 0, 0, 0, 0, 0, 0x80), 'grid/truncated'],
  ['a big file of 2⁴⁰ entries', () => poked(dem({ big: true }), 16, 0, 0, 0, 0, 0, 1), 'grid/malformed'],
  ['a big file cut in its header', () => dem({ big: true }).slice(0, 12), 'grid/truncated'],
  ['only smaller copies', () => withTags(long(254, 1)), 'grid/malformed'],
  ['only a mask', () => withTags(long(254, 4)), 'grid/malformed'],
  ['another version than 42 or 43', () => poked(dem(), 2, 44), 'grid/unknown-format'],
  ['two byte orders at once', () => poked(dem(), 0, 0x49, 0x4d), 'grid/unknown-format'],
]

const TAGS: readonly Case[] = [
  ['no width', () => withTags(long(256, 0)), 'grid/malformed'],
  ['a width of 2³² − 1', () => withTags(long(256, 0xffffffff)), 'grid/malformed'],
  ['a width and a height whose product is 2⁶²', () => withTags(long(256, 2 ** 31), long(257, 2 ** 31)), 'grid/too-large'],
  ['a hundred thousand squared', () => withTags(long(256, 100_000), long(257, 100_000)), 'grid/too-large'],
  ['twenty thousand squared in some hundred bytes', () => withTags(long(256, 20_000), long(257, 20_000)), 'grid/malformed'],
  ['a width written as a fraction of nought', () => withTags({ tag: 256, type: 'double', values: [Number.NaN] }), 'grid/malformed'],
  ['a width of half a cell', () => withTags({ tag: 256, type: 'double', values: [5.5] }), 'grid/malformed'],
  ['a negative width', () => withTags({ tag: 256, type: 'double', values: [-6] }), 'grid/malformed'],
  [
    'a width of a type that there is not',
    () =>
      rawDirectory([
        [256, 99, 1, 6],
        [257, 4, 1, 5],
      ]),
    'grid/malformed',
  ],
  ['no height', () => rawDirectory([[256, 4, 1, 6]]), 'grid/malformed'],
  ['65,529 samples a cell', () => withTags(short(277, 65529)), 'grid/malformed'],
  ['no samples', () => withTags(short(277, 0)), 'grid/malformed'],
  ['64 samples in cells for one', () => withTags(short(277, 64)), 'grid/malformed'],
  ['cells of no bits', () => withTags(short(258, 0)), 'grid/pixel-type'],
  ['cells of one bit', () => withTags(short(258, 1)), 'grid/pixel-type'],
  ['cells of 12 bits', () => withTags(short(258, 12)), 'grid/pixel-type'],
  ['cells of 128 bits', () => withTags(short(258, 128)), 'grid/pixel-type'],
  ['half floats', () => withTags(short(258, 16)), 'grid/pixel-type'],
  ['whole numbers of 64 bits', () => withTags(short(258, 64), short(339, 2)), 'grid/pixel-type'],
  ['complex numbers', () => withTags(short(339, 6)), 'grid/pixel-type'],
  ['a sample format of 0', () => withTags(short(339, 0)), 'grid/pixel-type'],
  ['bands of several kinds', () => withTags(short(277, 2), short(258, 32, 16), short(339, 3, 3)), 'grid/malformed'],
  ['a thousand million strips', () => withTags({ tag: 273, type: 'long', values: [1, 2], count: 1_000_000_000 }), 'grid/malformed'],
  ['no places of strips', () => withTags({ tag: 273, type: 'long', values: [], count: 0 }), 'grid/malformed'],
  ['a strip beyond the end', () => withTags(long(273, 4_000_000_000)), 'grid/truncated'],
  ['a strip that is longer than the file', () => withTags(long(279, 4_000_000_000)), 'grid/truncated'],
  ['a strip that is too short for its rows', () => withTags(long(279, 20)), 'grid/malformed'],
  ['strips of one row each, and one strip', () => withTags(long(278, 1)), 'grid/malformed'],
  ['strips of no rows', () => withTags(long(278, 0)), 'grid/malformed'],
  ['strips of 2³² − 1 rows, as some writers have it: one strip', () => withTags(long(278, 0xffffffff)), { voids: 0 }],
  [
    'keys that say 60,000',
    () => withTags({ tag: 34735, type: 'short', values: [1, 1, 0, 1, 1024, 0, 1, 1], count: 60_000 }),
    'grid/truncated',
  ],
  ['500 keys in a directory of one', () => withTags(short(34735, 1, 1, 0, 500)), 'grid/malformed'],
  [
    'a pixel size at a place beyond the end',
    () => withTags({ tag: 33550, type: 'double', values: [1, 1, 0], offset: 4e9 }),
    'grid/truncated',
  ],
  ['metadata of 2 GB', () => withTags({ tag: 42112, type: 'ascii', values: '<a/>', count: 2e9 }), 'grid/malformed'],
  ['a value for “no data” of 16 MB', () => withTags({ tag: 42113, type: 'ascii', values: '-9999', count: 16e6 }), 'grid/malformed'],
  [
    'a tag twice: the first counts',
    () => {
      const file = new Uint8Array(dem())
      return poked(file.buffer, 10 + 12, ...file.slice(10, 12))
    },
    'grid/malformed',
  ],
]

const BLOCKS: readonly Case[] = [
  ['tiles of 2³⁰ squared', () => withTags(long(322, 2 ** 30), long(323, 2 ** 30)), 'grid/malformed'],
  ['tiles of no width', () => withTags(long(322, 0), long(323, 16)), 'grid/malformed'],
  ['tiles without a height', () => withTags(long(322, 16)), 'grid/malformed'],
  ['tiles of one cell, one place given', () => withTags(long(322, 1), long(323, 1)), 'grid/malformed'],
  ['tiles of 5,000 squared on 6 by 5 cells', () => withTags(long(322, 5000), long(323, 5000)), 'grid/malformed'],
  [
    'a tile that is cut short',
    () => buildDem({ width: WIDE, height: HIGH, cells, blocks: [fullTile.slice(0, 500)], tags: tile() }),
    'grid/damaged',
  ],
  ['a whole tile, cut at the rim', () => buildDem({ width: WIDE, height: HIGH, cells, blocks: [fullTile], tags: tile() }), { voids: 0 }],
  ['a sparse file without any tile', () => withTags(...tile(long(324, 0), long(325, 0))), 'grid/all-void'],
  [
    'a sparse file with one tile of four',
    () =>
      buildDem({
        width: 32,
        height: 32,
        cells: new Float32Array(0),
        blocks: [fullTile, new Uint8Array(0), new Uint8Array(0), new Uint8Array(0)],
        tags: tile(),
      }),
    { voids: 768 },
  ],
  [
    'a raster of 20,000 squared, all of it left out',
    () =>
      buildDem({
        width: 20_000,
        height: 20_000,
        cells: new Float32Array(0),
        tags: [
          long(322, 512),
          long(323, 512),
          long(324, ...new Array<number>(1600).fill(0)),
          long(325, ...new Array<number>(1600).fill(0)),
        ],
      }),
    'grid/mostly-empty',
  ],
  ['a tile with a length and no place: left out', () => withTags(...tile(long(324, 0), long(325, 500))), 'grid/all-void'],
  ['a tile with a place and no length: left out', () => withTags(...tile(long(324, 500), long(325, 0))), 'grid/all-void'],
  [
    'planes of bands, and places for one of three',
    () => withTags(short(277, 3), short(258, 32, 32, 32), short(339, 3, 3, 3), short(284, 2)),
    'grid/malformed',
    { band: 1 },
  ],
  [
    'ten thousand squared in one DEFLATE block of some bytes',
    () => dem({ width: 10_000, height: 10_000, tags: [short(259, 8)] }),
    'grid/malformed',
  ],
  [
    'two strips at one place: each is read',
    () => dem({ blocks: [new Uint8Array(cells.buffer)], tags: [long(278, 3), long(273, 300, 300), long(279, 72, 72)] }),
    'grid/nodata-unclear',
  ],
]

const PACKING: readonly Case[] = [
  ['CCITT', () => withTags(short(259, 3)), 'grid/compression'],
  ['old JPEG', () => withTags(short(259, 6)), 'grid/compression'],
  ['JPEG, which loses heights', () => withTags(short(259, 7)), 'grid/compression'],
  ['JPEG 2000', () => withTags(short(259, 34712)), 'grid/compression'],
  ['LZMA', () => withTags(short(259, 34925)), 'grid/compression'],
  ['WebP', () => withTags(short(259, 50001)), 'grid/compression'],
  ['JPEG XL', () => withTags(short(259, 50002)), 'grid/compression'],
  ['a method that nobody knows', () => withTags(short(259, 12345)), 'grid/compression'],
  ['DEFLATE: noise', () => packed(Uint8Array.from({ length: 90 }, (_, k) => (k * 37) & 255)), 'grid/damaged'],
  ['DEFLATE: cut', () => packed(deflated().slice(0, -20)), 'grid/damaged'],
  [
    'DEFLATE: a wrong check sum',
    () => {
      const bytes = deflated()
      bytes[bytes.length - 1]! ^= 255
      return packed(bytes)
    },
    'grid/damaged',
  ],
  ['DEFLATE: less than the cells need', () => packed(deflated(new Uint8Array(40))), 'grid/damaged'],
  ['DEFLATE: a stream without its head', () => packed(deflated().slice(2)), 'grid/damaged'],
  ['DEFLATE: a bomb of 64 MB unpacks to its cells alone', () => packed(new Uint8Array(deflateSync(new Uint8Array(64e6)))), { least_m: 0 }],
  ['DEFLATE: nothing', () => packed(new Uint8Array(1)), 'grid/damaged'],
  ['LZW: a code out of turn', () => dem({ blocks: [Uint8Array.from({ length: 40 }, () => 255)], tags: [short(259, 5)] }), 'grid/damaged'],
  ['LZW: the end at once', () => dem({ blocks: [Uint8Array.from([0x80, 0x40, 0x40, 0, 0])], tags: [short(259, 5)] }), 'grid/damaged'],
  [
    'LZW: clears for ever',
    () => dem({ blocks: [new Uint8Array(90).map((_, k) => (k % 9 === 0 ? 0x80 : 0))], tags: [short(259, 5)] }),
    'grid/damaged',
  ],
  ['PackBits: a run that is cut', () => dem({ blocks: [Uint8Array.from([0x81])], tags: [short(259, 32773)] }), 'grid/damaged'],
  [
    'PackBits: nothing but no-operations',
    () => dem({ blocks: [new Uint8Array(60).fill(0x80)], tags: [short(259, 32773)] }),
    'grid/damaged',
  ],
  [
    'PackBits: a piece that is longer than the rest',
    () => dem({ blocks: [Uint8Array.from([127, 1, 2])], tags: [short(259, 32773)] }),
    'grid/damaged',
  ],
  ['ZSTD: no frame', () => dem({ blocks: [new Uint8Array(40)], tags: [short(259, 50000)] }), 'grid/damaged'],
  [
    'ZSTD: a frame that says 2⁶³ bytes',
    () => dem({ blocks: [Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0xe0, 0, 0, 0, 0, 0, 0, 0, 0x80, 1, 0, 0])], tags: [short(259, 50000)] }),
    'grid/damaged',
  ],
  [
    'ZSTD: runs of 4 MB each',
    () =>
      dem({
        blocks: [Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0, 0x58, ...Array.from({ length: 40 }, () => [0xfa, 0xff, 0xff, 7]).flat()])],
        tags: [short(259, 50000)],
      }),
    'grid/damaged',
  ],
  ['LERC: no blob', () => lerc(new Uint8Array(200)), 'grid/damaged'],
  ['LERC: nothing', () => lerc(new Uint8Array(1)), 'grid/damaged'],
  ['LERC: of version 1, which is another format', () => lerc(new TextEncoder().encode(`CntZImage ${' '.repeat(90)}`)), 'grid/damaged'],
  ['LERC 2.6', () => lerc(blob({ says: { version: 6 } })), 'grid/compression'],
  ['LERC of version 2³¹', () => lerc(blob({ says: { version: 2 ** 31 } })), 'grid/damaged'],
  ['LERC: 2³² − 1 columns', () => lerc(blob({ says: { width: 0xffffffff } })), 'grid/damaged'],
  ['LERC: a hundred thousand squared', () => lerc(blob({ says: { width: 100_000, height: 100_000 } })), 'grid/damaged'],
  ['LERC: no rows', () => lerc(blob({ says: { height: 0 } })), 'grid/damaged'],
  ['LERC: a row less than the strip', () => lerc(blob({ says: { height: HIGH - 1 } })), 'grid/damaged'],
  ['LERC: 2³² − 1 values a cell', () => lerc(blob({ says: { depth: 0xffffffff } })), 'grid/damaged'],
  ['LERC: no value a cell', () => lerc(blob({ says: { depth: 0 } })), 'grid/damaged'],
  ['LERC: two values a cell where there is one', () => lerc(blob({ says: { depth: 2 } })), 'grid/damaged'],
  ['LERC: more cells with a value than cells', () => lerc(blob({ says: { valid: 0xffffffff } })), 'grid/damaged'],
  ['LERC: fewer cells with a value, and no mask', () => lerc(blob({ says: { valid: 3 } })), 'grid/damaged'],
  ['LERC: squares of 2³¹ cells', () => lerc(blob({ says: { square: 2 ** 31 } })), 'grid/damaged'],
  ['LERC: squares of no cells', () => lerc(blob({ how: 'squares', error: 0.1, says: { square: 0 } })), 'grid/damaged'],
  ['LERC: 2³² − 1 bytes', () => lerc(blob({ says: { length: 0xffffffff } })), 'grid/damaged'],
  ['LERC: no bytes', () => lerc(blob({ says: { length: 0 } })), 'grid/damaged'],
  ['LERC: cut in its head', () => lerc(blob().slice(0, 40)), 'grid/damaged'],
  ['LERC: cut in its values', () => lerc(blob().slice(0, -9)), 'grid/damaged'],
  ['LERC: cut in its values, and saying so', () => lerc(summed(cutBlob(blob(), 9))), 'grid/damaged'],
  ['LERC: a wrong check sum', () => lerc(Uint8Array.from(blob(), (byte, k) => (k === 80 ? byte ^ 1 : byte))), 'grid/damaged'],
  ['LERC of another type of numbers', () => lerc(blob({ cells: Int16Array.from(cells) })), 'grid/damaged'],
  ['LERC of a type of numbers that there is not', () => lerc(blob({ says: { type: 8 } })), 'grid/damaged'],
  ['LERC: an error that is no number', () => lerc(blob({ says: { error: Number.NaN } })), 'grid/damaged'],
  ['LERC: an error without end', () => lerc(blob({ says: { error: Number.POSITIVE_INFINITY } })), 'grid/damaged'],
  ['LERC: an error below 0', () => lerc(blob({ says: { error: -1 } })), 'grid/damaged'],
  ['LERC: a square that is another one', () => lerc(summed(pokedBlob(blob({ how: 'squares', error: 0.1 }), 79, 0x05))), 'grid/damaged'],
  ['LERC: more numbers than cells', () => lerc(summed(pokedBlob(blob({ how: 'squares', error: 0.1 }), 85, 255))), 'grid/damaged'],
  [
    'LERC: a table of codes for 2³¹ values',
    () => lerc(summed(pokedBlob(bytesBlob(), 74, 0, 0, 0, 128)), { cells: new Uint8Array(30) }),
    'grid/damaged',
  ],
  [
    'LERC: a table of codes without codes',
    () => lerc(summed(pokedBlob(bytesBlob(), 90, 0x40, 0, 1)), { cells: new Uint8Array(30) }),
    'grid/damaged',
  ],
  ['LERC: codes that end too early', () => lerc(summed(cutBlob(bytesBlob(), 24)), { cells: new Uint8Array(30) }), 'grid/damaged'],
  ['LERC: a mask larger than its cells', () => lerc(summed(pokedBlob(blob({ mask: holes }), 70, 255, 127))), 'grid/damaged'],
  ['LERC: a mask without an end', () => lerc(summed(pokedBlob(blob({ mask: holes }), 66, 3))), 'grid/damaged'],
  ['LERC in a compression that there is not', () => lerc(blob(), { tags: [short(259, 34887), long(50674, 4, 3)] }), 'grid/malformed'],
  ['LERC with a predictor', () => lerc(blob(), { tags: [short(259, 34887), short(317, 2)] }), 'grid/malformed'],
  [
    'LERC: a bomb of 64 MB of DEFLATE round a blob',
    () =>
      lerc(new Uint8Array(deflateSync(Buffer.concat([blob(), new Uint8Array(64e6)]))), { tags: [short(259, 34887), long(50674, 4, 1)] }),
    { least_m: cells[0]! },
  ],
  [
    'LERC: runs of 4 MB of ZSTD each',
    () =>
      lerc(Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0, 0x58, ...Array.from({ length: 40 }, () => [0xfa, 0xff, 0xff, 7]).flat()]), {
        tags: [short(259, 34887), long(50674, 4, 2)],
      }),
    'grid/damaged',
  ],
  ['predictor 0', () => packed(deflated(), short(317, 0)), 'grid/malformed'],
  ['predictor 4', () => packed(deflated(), short(317, 4)), 'grid/malformed'],
  ['predictor 65,535', () => packed(deflated(), short(317, 65535)), 'grid/malformed'],
  [
    'the predictor of floats on whole numbers',
    () => dem({ cells: new Int16Array(30), tags: [short(259, 8), short(317, 3)] }),
    'grid/malformed',
  ],
  [
    'the predictor of whole numbers on 64-bit floats',
    () => dem({ cells: new Float64Array(30), tags: [short(259, 8), short(317, 2)] }),
    'grid/malformed',
  ],
]

const CUTS: readonly Case[] = [
  ['after the magic number', () => dem().slice(0, 4), 'grid/truncated'],
  ['in the number of entries', () => dem().slice(0, 9), 'grid/truncated'],
  ['in the directory', () => dem().slice(0, 60), 'grid/truncated'],
  ['in the keys', () => dem().slice(0, dem().byteLength - cells.byteLength - 40), 'grid/truncated'],
  ['at the first cell', () => dem().slice(0, dem().byteLength - cells.byteLength), 'grid/truncated'],
  ['at the last byte', () => dem().slice(0, -1), 'grid/truncated'],
  ['at half', () => cut(dem(), 0.5), 'grid/truncated'],
  ['at half, big', () => cut(dem({ big: true }), 0.5), 'grid/truncated'],
  ['at half, the other byte order', () => cut(dem({ bigEndian: true }), 0.5), 'grid/truncated'],
  [
    'in the second of two packed strips',
    () =>
      dem({
        blocks: [deflated(new Uint8Array(cells.buffer, 0, 72)), deflated(new Uint8Array(cells.buffer, 72)).slice(0, 15)],
        tags: [short(259, 8), long(278, 3)],
      }),
    'grid/damaged',
  ],
  ['in a page that was sent instead', () => text('<!DOCTYPE html><title>404</title>'), 'grid/other-format'],
  ['before it began', () => new ArrayBuffer(0), 'grid/empty-file'],
]

const PLACE: readonly Case[] = [
  ['no georeference', () => dem({ scale: null, tie: null }), 'grid/not-georeferenced'],
  ['a pixel size without a tie', () => dem({ tie: null }), 'grid/not-georeferenced'],
  ['a tie without a pixel size', () => dem({ scale: null }), 'grid/not-georeferenced'],
  ['two ties', () => dem({ tie: [0, 0, 0, 1, 2, 0, 5, 0, 0, 6, 2, 0] }), 'grid/not-georeferenced'],
  ['a tie of five numbers', () => dem({ tie: [0, 0, 0, 500000, 4000000] }), 'grid/not-georeferenced'],
  ['a pixel size of NaN', () => dem({ scale: [Number.NaN, 1, 0] }), 'grid/malformed'],
  ['a pixel size without end', () => dem({ scale: [1, Number.POSITIVE_INFINITY, 0] }), 'grid/malformed'],
  ['a tie at NaN', () => dem({ tie: [0, 0, 0, Number.NaN, 4000000, 0] }), 'grid/malformed'],
  ['a tie to column NaN', () => dem({ tie: [Number.NaN, 0, 0, 500000, 4000000, 0] }), 'grid/malformed'],
  ['a pixel size of nought', () => dem({ scale: [0, 1, 0] }), 'grid/cell-size'],
  ['a pixel size of 10⁻³⁰⁰', () => dem({ scale: [1e-300, 1e-300, 0] }), 'grid/cell-size'],
  ['a pixel size of 10³⁰⁰', () => dem({ scale: [1e300, 1e300, 0] }), 'grid/cell-size'],
  ['pixels of a tenth of a millimetre', () => dem({ scale: [1e-4, 1e-4, 0] }), 'grid/cell-size'],
  ['pixels of 50 by 0.001 m', () => dem({ scale: [50, 0.001, 0] }), 'grid/cell-size'],
  [
    'a corner so far out that a cell is less than its rounding, on a system',
    () => dem({ tie: [0, 0, 0, 1e17, 4000000, 0] }),
    'grid/cell-size',
  ],
  ['the same in plain metres', () => dem({ tie: [0, 0, 0, 1e17, 4000000, 0], keys: [] }), 'grid/cell-size', { crs: 'local' }],
  ['a corner of the other hemisphere’s ocean of numbers', () => dem({ tie: [0, 0, 0, 5e8, 4e9, 0] }), 'crs/outside-domain'],
  ['a matrix of NaN', () => dem({ matrix: matrix(Number.NaN, 0, 0, 0, 0, 0) }), 'grid/malformed'],
  ['a matrix of noughts', () => dem({ matrix: matrix(0, 0, 0, 0, 0, 0) }), 'grid/cell-size'],
  ['a matrix of seven numbers', () => dem({ matrix: [1, 0, 0, 500000, 0, -1, 0] }), 'grid/not-georeferenced'],
  ['turned by a quarter', () => dem({ matrix: matrix(0, 1, 500000, -1, 0, 4000000) }), 'grid/rotated'],
  ['turned by a degree', () => dem({ matrix: matrix(0.99985, 0.01745, 500000, 0.01745, -0.99985, 4000000) }), 'grid/rotated'],
  ['sheared', () => dem({ matrix: matrix(1, 0.5, 500000, 0, -1, 4000000) }), 'grid/rotated'],
  [
    'degrees at 900° north',
    () =>
      dem({
        keys: [
          [1024, 2],
          [2048, 4326],
        ],
        scale: [1e-4, 1e-4, 0],
        tie: [0, 0, 0, 10, 900, 0],
      }),
    'crs/outside-domain',
    { elevationUnit: 'm' },
  ],
  [
    'degrees at the pole',
    () =>
      dem({
        keys: [
          [1024, 2],
          [2048, 4326],
        ],
        scale: [1e-4, 1e-4, 0],
        tie: [0, 0, 0, 10, 89.9, 0],
      }),
    'crs/polar',
    { elevationUnit: 'm' },
  ],
  [
    'degrees a thousand turns round',
    () =>
      dem({
        keys: [
          [1024, 2],
          [2048, 4326],
        ],
        scale: [1e-4, 1e-4, 0],
        tie: [0, 0, 0, 360_010, 45, 0],
      }),
    'crs/outside-domain',
    { elevationUnit: 'm' },
  ],
]

const KEYS: readonly Case[] = [
  ['no keys', () => dem({ keys: [] }), 'crs/unknown'],
  ['a code that there is not', () => dem({ keys: keys([3072, 9]) }), 'crs/unknown'],
  ['a code above the table', () => dem({ keys: keys([3072, 65534]) }), 'crs/unknown'],
  ['a system of its own without parameters', () => dem({ keys: keys([3072, 32767]) }), 'crs/unknown'],
  [
    'a system of its own with parameters of NaN',
    () => dem({ keys: keys([3072, 32767], [3075, 1], [2048, 4326], [3080, [Number.NaN]], [3081, [0]]) }),
    'crs/unknown',
  ],
  [
    'a parameter at place 65,535',
    () => dem({ tags: [short(34735, 1, 1, 0, 3, 1024, 0, 1, 1, 3072, 0, 1, 32767, 3080, 34736, 1, 65535)] }),
    'crs/unknown',
  ],
  ['a name at place 65,535', () => dem({ tags: [short(34735, 1, 1, 0, 2, 1024, 0, 1, 1, 3073, 34737, 60000, 65535)] }), 'crs/unknown'],
  ['keys without a header', () => withTags(short(34735, 1)), 'grid/malformed'],
  ['geocentric', () => dem({ keys: keys([1024, 3]) }), 'crs/not-a-plane'],
  ['a model that there is not', () => dem({ keys: [[1024, 77]] }), 'crs/unknown'],
  ['metres in a system of feet', () => dem({ keys: keys([3072, 2264], [3076, 9001]) }), 'crs/unit-conflict'],
  ['heights in a unit that is no length', () => dem({ keys: keys([4099, 9102]) }), 'elevation-unit/unknown'],
  ['two units of height', () => dem({ keys: keys([4096, 5703], [4099, 9003]) }), 'elevation-unit/conflict'],
  [
    'a band in bananas',
    () => dem({ metadata: '<Item name="UNITTYPE" sample="0" role="unittype">banana</Item>' }),
    'elevation-unit/unknown',
  ],
  ['a scale of nought', () => dem({ metadata: '<Item name="SCALE" sample="0" role="scale">0</Item>' }), 'grid/malformed'],
  ['a scale in words', () => dem({ metadata: '<Item name="SCALE" sample="0" role="scale">much</Item>' }), 'grid/malformed'],
  ['an offset without end', () => dem({ metadata: '<Item name="OFFSET" sample="0" role="offset">1e999</Item>' }), 'grid/malformed'],
  [
    'a scale that makes mountains of 10³⁰ m',
    () => dem({ metadata: '<Item name="SCALE" sample="0" role="scale">1e28</Item>' }),
    'grid/implausible-heights',
  ],
  ['metadata that never closes, 300 kB of it', () => dem({ metadata: '<Item '.repeat(50_000) }), { voids: 0 }],
  ['a stretched third axis', () => dem({ keys: keys([4096, 5703]), scale: [1, 1, 0.3048] }), 'grid/vertical-scale'],
  ['a third axis of NaN', () => dem({ keys: keys([4096, 5703]), scale: [1, 1, Number.NaN] }), 'grid/vertical-scale'],
]

const VALUES: readonly Case[] = [
  ['−9999 without a word', () => dem({ cells: holed(-9999) }), 'grid/nodata-unclear'],
  ['−3.4·10³⁸ without a word', () => dem({ cells: holed(-3.4028234663852886e38) }), 'grid/nodata-unclear'],
  ['10³⁰ without a word', () => dem({ cells: holed(1e30) }), 'grid/nodata-unclear'],
  ['−32768 beside a tag of −9999', () => dem({ cells: holed(-32768), nodata: '-9999' }), 'grid/nodata-unclear'],
  ['a tag of −9999 with a decimal comma', () => dem({ cells: holed(-9999), nodata: '-9999,0' }), 'grid/nodata-unclear'],
  ['a tag of −9999 in hexadecimal', () => dem({ cells: holed(-9999), nodata: '0xD8F1' }), 'grid/nodata-unclear'],
  ['a tag of two numbers', () => dem({ cells: holed(-9999), nodata: '-9999 -9999' }), 'grid/nodata-unclear'],
  ['a tag of nothing', () => dem({ nodata: '' }), { voids: 0, warns: 'grid/nodata-unreadable' }],
  ['a tag of markup', () => dem({ nodata: '<script>alert(1)</script>' }), { voids: 0, warns: 'grid/nodata-unreadable' }],
  ['a tag that rounds to its float32 cells', () => dem({ cells: holed(-3.4e38), nodata: '-3.39999999999999996e+38' }), { voids: 2 }],
  ['a tag that is a height among heights', () => dem({ cells: holed(101.5), nodata: '101.5' }), 'grid/nodata-is-a-height'],
  ['a tag of 0 on a coast', () => dem({ cells: cells.map((z, k) => (k % 7 === 0 ? 0 : z - 100)), nodata: '0' }), 'grid/nodata-is-a-height'],
  ['NaN', () => dem({ cells: holed(Number.NaN) }), { voids: 2 }],
  ['infinities', () => dem({ cells: holed(Number.NEGATIVE_INFINITY) }), { voids: 2, warns: 'grid/infinite-cells' }],
  ['nothing but NaN', () => dem({ cells: cells.map(() => Number.NaN) }), 'grid/all-void'],
  ['nothing but “no data”', () => dem({ cells: cells.map(() => -9999), nodata: '-9999' }), 'grid/all-void'],
  ['heights of 10⁶ m', () => dem({ cells: cells.map(z => z * 1e4) }), 'grid/implausible-heights'],
  ['heights at the centre of the Earth', () => dem({ cells: cells.map(z => z - 6.4e6) }), 'grid/implausible-heights'],
  [
    'whole numbers with a tag that they cannot hold',
    () => dem({ cells: Int16Array.from(cells), nodata: '-3.4028234663852886e+38' }),
    { voids: 0, warns: 'grid/nodata-impossible' },
  ],
  [
    '64-bit floats at the end of their range',
    () => dem({ cells: Float64Array.from(cells, (z, k) => (k === 3 ? 1.7e308 : z)) }),
    'grid/nodata-unclear',
  ],
  [
    'numbers so small that they are nought',
    () => dem({ cells: Float64Array.from(cells, (z, k) => (k === 3 ? 5e-324 : z)) }),
    { least_m: 0 },
  ],
]

const BANDS: readonly Case[] = [
  ['a palette', () => withTags(short(262, 3)), 'grid/colours'],
  ['a picture in one band', () => withTags(short(262, 6)), 'grid/colours'],
  [
    'a picture in three',
    () =>
      dem({
        cells: new Uint8Array(30),
        tags: [short(262, 2), short(277, 3), short(258, 8, 8, 8), short(339, 1, 1, 1)],
        blocks: [new Uint8Array(90)],
      }),
    'grid/colours',
  ],
  [
    'colours of 16 bits, taken for heights',
    () =>
      dem({
        cells: new Uint16Array(30),
        tags: [short(262, 2), short(277, 3), short(258, 16, 16, 16), short(339, 1, 1, 1)],
        blocks: [new Uint8Array(180)],
      }),
    'grid/malformed',
    { colours: COLOUR_CODES.terrarium },
  ],
  [
    'a step of NaN',
    () =>
      dem({
        cells: new Uint8Array(30),
        tags: [short(262, 2), short(277, 3), short(258, 8, 8, 8), short(339, 1, 1, 1)],
        blocks: [new Uint8Array(90)],
      }),
    'colours/bad-code',
    { colours: { base_m: 0, step_m: Number.NaN } },
  ],
  ['several bands', () => withTags(short(277, 2), short(258, 32, 32), short(339, 3, 3), long(279, 120)), 'grid/malformed'],
  ['band 2 of one', () => dem(), 'grid/no-such-band', { band: 2 }],
  ['band 0', () => dem(), 'grid/no-such-band', { band: 0 }],
  ['band 1.5', () => dem(), 'grid/no-such-band', { band: 1.5 }],
  ['band NaN', () => dem(), 'grid/no-such-band', { band: Number.NaN }],
]

const HEADER = 'ncols 4\nnrows 3\nxllcorner 500000\nyllcorner 4000000\ncellsize 2\n'
const ROWS = '101 102 103 104\n101 102 103 104\n101 102 103 104\n'
const ascii =
  (header: string, rows = ROWS) =>
  (): ArrayBuffer =>
    text(header + rows)
const local: ReadOptions = { crs: 'local' }

const GRIDS: readonly Case[] = [
  ['ten million columns in a hundred bytes', ascii(HEADER.replace('ncols 4', 'ncols 10000000')), 'grid/truncated', local],
  ['10⁹ by 10⁹', ascii(HEADER.replace('ncols 4', 'ncols 1e9').replace('nrows 3', 'nrows 1e9')), 'grid/too-large', local],
  ['columns of 10³⁰⁸', ascii(HEADER.replace('ncols 4', 'ncols 1e308')), 'ascii-grid/header', local],
  ['columns of NaN', ascii(HEADER.replace('ncols 4', 'ncols nan')), 'grid/unknown-format', local],
  ['rows of NaN', ascii(HEADER.replace('nrows 3', 'nrows nan')), 'ascii-grid/header', local],
  ['minus nought columns', ascii(HEADER.replace('ncols 4', 'ncols -0')), 'ascii-grid/header', local],
  ['a cell of 10⁻⁹', ascii(HEADER.replace('cellsize 2', 'cellsize 1e-9')), 'ascii-grid/header', local],
  ['a cell without end', ascii(HEADER.replace('cellsize 2', 'cellsize 1e999')), 'ascii-grid/header', local],
  ['a corner at 10³⁰⁰', ascii(HEADER.replace('500000', '1e300')), 'grid/cell-size', local],
  ['a corner in words', ascii(HEADER.replace('500000', 'west')), 'ascii-grid/header', local],
  ['a header line of a prototype', ascii(`${HEADER}__proto__ 1\n`), 'ascii-grid/header', local],
  ['a header of four thousand lines', ascii(HEADER + 'nodata_value -9999\n'.repeat(400)), 'ascii-grid/header', local],
  ['a number of a thousand digits', ascii(HEADER, ROWS.replace('104', '1'.repeat(1000))), 'ascii-grid/number', local],
  ['a number without end', ascii(HEADER, ROWS.replace('104', '1e400')), 'ascii-grid/number', local],
  [
    'a number of 10³⁰⁰, which float32 cannot hold',
    ascii(HEADER, ROWS.replace('104', '1e300')),
    { voids: 1, warns: 'grid/infinite-cells' },
    local,
  ],
  ['a formula', ascii(HEADER, ROWS.replace('104', '=1+1')), 'ascii-grid/number', local],
  ['Arabic digits', ascii(HEADER, ROWS.replace('104', '١٠٤')), 'ascii-grid/number', local],
  ['a null byte among the numbers', ascii(HEADER, ROWS.replace('104', '10\u00004')), 'ascii-grid/number', local],
  ['one number too few', ascii(HEADER, ROWS.replace(' 104\n101 102 103 104\n', '\n101 102 103 104\n')), 'grid/truncated', local],
  ['one number too many', ascii(HEADER, `${ROWS}7`), 'ascii-grid/too-many-numbers', local],
  ['−9999 without a header line', ascii(HEADER, ROWS.replaceAll('102', '-9999')), 'grid/nodata-unclear', local],
  ['every cell the value for “no data”', ascii(`${HEADER}nodata_value 7\n`, '7 7 7 7 7 7 7 7 7 7 7 7'), 'grid/all-void', local],
]

const side = 8
const picture =
  (options: object = {}) =>
  (): ArrayBuffer =>
    buildPng({
      width: side,
      height: side,
      data: Uint8Array.from({ length: side * side * 3 }, (_, k) => [131, 40, k & 255][k % 3]!),
      ...options,
    })
const placed: ReadOptions = { colours: COLOUR_CODES.terrarium, tile: { z: 14, x: 4500, y: 6400 } }
const hgt = (fileName: string): ReadOptions => ({ fileName, maxCells: 2e6 })

const TILES: readonly Case[] = [
  ['picture: 2³¹ by 2³¹', picture({ saysWidth: 2 ** 31, saysHeight: 2 ** 31 }), 'grid/too-large', placed],
  ['picture: nought by nought', picture({ saysWidth: 0, saysHeight: 0 }), 'picture/damaged', placed],
  ['picture: 4,000 squared in some bytes', picture({ saysWidth: 4000, saysHeight: 4000 }), 'picture/damaged', placed],
  [
    'picture: 20,000 squared, a bomb of noughts',
    picture({ saysWidth: 19_000, saysHeight: 19_000, packed: new Uint8Array(deflateSync(new Uint8Array(1e6))) }),
    'picture/damaged',
    placed,
  ],
  [
    'picture: a bomb behind its pixels is not unpacked',
    picture({ packed: new Uint8Array(deflateSync(new Uint8Array(64e6))) }),
    'grid/nodata-unclear',
    placed,
  ],
  ['picture: cut in its signature', () => picture()().slice(0, 6), 'grid/unknown-format', placed],
  ['picture: cut in its header', () => picture()().slice(0, 20), 'picture/damaged', placed],
  ['picture: cut in its pixels', () => cut(picture()(), 0.7), 'picture/damaged', placed],
  ['picture: a part of 2³¹ bytes', () => poked(picture()(), 33, 0x80, 0, 0, 0), 'picture/damaged', placed],
  ['picture: a palette', picture({ kind: 3 }), 'picture/kind', placed],
  ['picture: interlaced', picture({ interlace: 1 }), 'picture/kind', placed],
  ['picture: an unknown filter', picture({ filter: 9 }), 'picture/damaged', placed],
  ['picture: no way of packing said', picture(), 'colours/unknown-code', {}],
  ['picture: no place said', picture(), 'tile/unknown-place', { colours: COLOUR_CODES.terrarium }],
  ['picture: zoom 1,000', picture(), 'tile/bad-place', { ...placed, tile: { z: 1000, x: 0, y: 0 } }],
  ['picture: zoom −1', picture(), 'tile/bad-place', { ...placed, tile: { z: -1, x: 0, y: 0 } }],
  ['picture: column NaN', picture(), 'tile/bad-place', { ...placed, tile: { z: 3, x: Number.NaN, y: 0 } }],
  ['height tile: one byte short', () => new ArrayBuffer(1201 * 1201 * 2 - 1), 'height-tile/size', hgt('N36W081.hgt')],
  ['height tile: empty', () => new ArrayBuffer(0), 'grid/empty-file', hgt('N36W081.hgt')],
  ['height tile: no place in its name', () => new ArrayBuffer(1201 * 1201 * 2), 'height-tile/name', hgt('dem.hgt')],
  ['height tile: 99° north', () => new ArrayBuffer(1201 * 1201 * 2), 'height-tile/name', hgt('N99W081.hgt')],
  ['height tile: 999° west', () => new ArrayBuffer(1201 * 1201 * 2), 'height-tile/name', hgt('N36W999.hgt')],
  [
    'height tile: all of it void',
    () => new Int16Array(1201 * 1201).fill(0x0080).buffer as ArrayBuffer,
    'grid/all-void',
    hgt('N36W081.hgt'),
  ],
]

const tiff: PackedFile = { name: 'dem.tif', content: new Uint8Array(dem()) }
const zip =
  (...files: PackedFile[]) =>
  (): ArrayBuffer =>
    buildZip(files)
/** Entries that all lie on the same bytes. */
const shared = (count: number): PackedFile[] =>
  Array.from({ length: count }, (_, k) => ({ name: `a${k}.tif`, content: new Uint8Array(50_000), ...(k === 0 ? {} : { sharesWith: 0 }) }))

const ARCHIVES: readonly Case[] = [
  ['empty', zip(), 'grid/unknown-format'],
  ['no end', () => cut(zip(tiff)(), 0.9), 'archive/damaged'],
  ['a directory that begins beyond the end', () => buildZip([tiff], { start: 4e9 }), 'archive/damaged'],
  ['5,000 entries said, one there', () => buildZip([tiff], { entries: 5000 }), 'archive/too-many-files'],
  [
    '4,097 folders count as entries',
    zip(...Array.from({ length: 4097 }, (_, k) => ({ name: `d${k}/`, content: '' }))),
    'archive/too-many-files',
  ],
  ['more than 4 GB', () => buildZip([tiff], { entries: 0xffff }), 'archive/unknown-packing'],
  ['a bomb: more than DEFLATE can give', zip({ ...tiff, bytes: 0xfffffff0 }), 'archive/damaged'],
  [
    'a bomb: what the directory says is more than may be unpacked',
    zip({
      name: 'a.tif',
      content: Uint8Array.from({ length: 1_100_000 }, (_, k) => (k * k) >>> 7),
      stored: true,
      method: 8,
      bytes: 2 ** 30 + 1,
    }),
    'archive/too-large',
  ],
  ['a bomb: hundred names for the same bytes', zip(...shared(100)), 'archive/overlapping'],
  ['a folder entry that holds bytes: they are not looked at', zip({ name: 'folder/', content: new Uint8Array(1e6) }, tiff), { voids: 0 }],
  ['a folder whose name ends in .tif/', zip({ name: 'dem.tif/', content: '' }), 'archive/no-ground'],
  ['a path upwards: a name and no place', zip({ ...tiff, name: '../../../etc/dem.tif' }), { voids: 0 }],
  ['a path from the root', zip({ ...tiff, name: '/etc/dem.tif' }), { voids: 0 }],
  ['a path of another system', zip({ ...tiff, name: 'C:\\dem.tif' }), { voids: 0 }],
  ['a name of 60,000 letters', zip({ ...tiff, name: `${'a'.repeat(60_000)}.tif` }), { voids: 0 }],
  ['the name of a prototype', zip({ ...tiff, name: '__proto__' }), 'archive/no-ground'],
  ['two files of one name', zip(tiff, tiff), 'archive/several-files'],
  ['an archive in an archive', zip({ name: 'a.tif', content: new Uint8Array(buildZip([tiff])) }), 'archive/nested'],
  ['a password', zip({ ...tiff, flags: 1 }), 'archive/locked'],
  ['a packing of another kind', zip({ ...tiff, method: 14 }), 'archive/unknown-packing'],
  ['a wrong check sum', zip({ ...tiff, crc: 1 }), 'archive/damaged'],
  ['bytes that do not unpack', zip({ ...tiff, stored: true, method: 8 }), 'archive/damaged'],
  ['fewer bytes than said', zip({ ...tiff, bytes: dem().byteLength + 9 }), 'archive/damaged'],
  [
    'a comment that is longer than the file',
    () => {
      const bytes = new Uint8Array(zip(tiff)())
      bytes[bytes.length - 1] = 255
      return bytes.buffer
    },
    'archive/damaged',
  ],
  [
    'a second end record in the comment',
    () => concatenated([new Uint8Array(zip(tiff)()), new Uint8Array(zip({ name: 'b.txt', content: '' })())]),
    'archive/damaged',
  ],
  ['a hostile raster inside', zip({ name: 'dem.tif', content: new Uint8Array(dem({ next: 'self' })) }), 'grid/directory-loop'],
  [
    'a system of a thousand brackets beside a grid',
    zip({ name: 'a.asc', content: HEADER + ROWS }, { name: 'a.prj', content: 'PROJCS["a",'.repeat(1000) }),
    'crs/unknown',
  ],
]

const KINDS = { DIRECTORIES, TAGS, BLOCKS, PACKING, CUTS, PLACE, KEYS, VALUES, BANDS, GRIDS, TILES, ARCHIVES }

test('there are at least 120 of them, each with a name of its own', () => {
  const names = Object.entries(KINDS).flatMap(([kind, cases]) => cases.map(([name]) => `${kind} ${name}`))
  expect(names.length).toBeGreaterThanOrEqual(120)
  expect(new Set(names).size).toBe(names.length)
})

describe.each(Object.entries(KINDS))('%s', (_, cases) => {
  test.each(cases.map(([name, ...rest]) => ({ name, rest })))('$name', async ({ rest: [file, expected, options = {}] }) => {
    const bytes = file()
    const before = process.memoryUsage().arrayBuffers
    if (typeof expected === 'string') {
      const refused = await refusal(() => readElevation(bytes, options))
      expect(refused.code).toBe(expected)
      expect(refused.message.length).toBeLessThan(700)
    } else {
      const { report } = await readElevation(bytes, options)
      if (expected.voids !== undefined) expect(report.voidCells).toBe(expected.voids)
      if (expected.least_m !== undefined) expect(report.minimum_m).toBeCloseTo(expected.least_m, 6)
      if (expected.warns !== undefined) expect(report.warnings.map(warning => warning.code as string)).toContain(expected.warns)
    }
    // What a file says must not become memory; the decoder's own tables are few megabytes.
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(60e6)
  })
})
