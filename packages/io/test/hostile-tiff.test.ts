import { readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'
import { buildDem, ground, type Tag } from './tiff-builder.js'

const small = { width: 6, height: 5, cells: ground(6, 5) } as const
const claim = (...tags: Tag[]): ArrayBuffer => buildDem({ ...small, tags })
const long = (tag: number, ...values: number[]): Tag => ({ tag, type: 'long', values })
const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values })
const code = async (bytes: ArrayBuffer): Promise<string> => (await refusal(() => readElevation(bytes))).code
const deflate = async (bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> =>
  new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(new CompressionStream('deflate'))).arrayBuffer())

describe('files that are no TIFF', () => {
  test('empty, text and pictures are refused by what they are, not by their name', async () => {
    expect(await code(new ArrayBuffer(0))).toBe('grid/empty-file')
    expect(await code(new TextEncoder().encode('letter 3\nabout rows\n').buffer)).toBe('grid/unknown-format')
    expect(await code(Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]).buffer)).toBe('picture/damaged')
    expect(await code(new TextEncoder().encode('<html>404</html>').buffer)).toBe('grid/other-format')
  })
})

describe('files that stop too early', () => {
  test('at every length a cut file is refused, never read in part', async () => {
    const whole = buildDem(small)
    for (let length = 1; length < whole.byteLength; length += length < 300 ? 1 : 7) {
      const refused = await refusal(() => readElevation(whole.slice(0, length)))
      expect(['grid/truncated', 'grid/unknown-format', 'grid/malformed']).toContain(refused.code)
    }
  })

  test('failure 37: the share that is there is told', async () => {
    const whole = buildDem({ width: 100, height: 100, cells: ground(100, 100) })
    const refused = await refusal(() => readElevation(whole.slice(0, Math.round(whole.byteLength * 0.61))))
    expect(refused.code).toBe('grid/truncated')
    expect(refused.message).toMatch(/6[01] %/)
  })

  test('a block that stops inside its compression is damaged', async () => {
    const packed = await deflate(new Uint8Array(small.cells.buffer.slice(0)) as Uint8Array<ArrayBuffer>)
    const file = buildDem({ ...small, blocks: [packed.slice(0, packed.length - 12)], tags: [short(259, 8)] })
    expect(await code(file)).toBe('grid/damaged')
    expect(await code(buildDem({ ...small, blocks: [Uint8Array.from([1, 2, 3, 4, 5, 6, 7, 8, 9])], tags: [short(259, 8)] }))).toBe(
      'grid/damaged',
    )
    expect(await code(buildDem({ ...small, blocks: [Uint8Array.from([0xff, 0xff, 0xff, 0xff])], tags: [short(259, 5)] }))).toBe(
      'grid/damaged',
    )
    expect(
      await code(buildDem({ ...small, blocks: [Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0x00, 0x58, 0x01])], tags: [short(259, 50000)] })),
    ).toBe('grid/damaged')
  })
})

describe('files that lie', () => {
  test('failure 38: a directory that points at itself ends at once', async () => {
    expect(await code(buildDem({ ...small, next: 'self' }))).toBe('grid/directory-loop')
  })

  test('a next directory beyond the end is a file that stops too early', async () => {
    expect(await code(buildDem({ ...small, next: 1_000_000 }))).toBe('grid/truncated')
  })

  test('failures 35, 39: huge sizes are refused before anything is allocated', async () => {
    const before = process.memoryUsage().arrayBuffers
    for (const [tags, expected] of [
      [[long(256, 100_000), long(257, 100_000)], 'grid/too-large'],
      [[long(256, 20_000), long(257, 20_000)], 'grid/malformed'],
      [[long(256, 0)], 'grid/malformed'],
      [[long(256, 4_294_967_295), long(257, 4_294_967_295)], 'grid/malformed'],
      [[long(322, 2 ** 30), long(323, 2 ** 30)], 'grid/malformed'],
      [[short(277, 65529)], 'grid/malformed'],
      [[long(278, 1)], 'grid/malformed'],
    ] as const) {
      expect(await code(claim(...tags))).toBe(expected)
    }
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(50e6)
  })

  test('counts beyond the file are refused', async () => {
    expect(await code(claim({ tag: 273, type: 'long', values: [1, 2], count: 1_000_000_000 }))).toBe('grid/malformed')
    expect(await code(claim({ tag: 34735, type: 'short', values: [1, 1, 0, 1, 1024, 0, 1, 1], count: 60_000 }))).toBe('grid/truncated')
    expect(await code(claim({ tag: 33550, type: 'double', values: [1, 1, 0], offset: 4_000_000_000 }))).toBe('grid/truncated')
    expect(await code(claim(short(34735, 1, 1, 0, 500)))).toBe('grid/malformed')
  })

  test('failure 40: a bomb unpacks to what its cells need and no further', async () => {
    const bomb = await deflate(new Uint8Array(64_000_000))
    expect(bomb.length).toBeLessThan(100_000)
    const before = process.memoryUsage().arrayBuffers
    const { report } = await readElevation(buildDem({ ...small, blocks: [bomb], tags: [short(259, 8)] }))
    expect(report.maximum_m).toBe(0)
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(40e6)
  })

  test('few bytes that promise many cells are refused', async () => {
    expect(await code(buildDem({ ...small, width: 10_000, height: 10_000, tags: [short(259, 8)] }))).toBe('grid/malformed')
    const tiles = [
      long(322, 512),
      long(323, 512),
      long(324, ...new Array<number>(1600).fill(0)),
      long(325, ...new Array<number>(1600).fill(0)),
    ]
    expect(await code(buildDem({ ...small, width: 20_000, height: 20_000, tags: tiles }))).toBe('grid/mostly-empty')
  })

  test('the limit on cells is the caller’s', async () => {
    expect((await refusal(() => readElevation(buildDem(small), { maxCells: 29 }))).code).toBe('grid/too-large')
    expect((await readElevation(buildDem(small), { maxCells: 30 })).report.fileCells).toEqual([6, 5])
  })

  test('law: whatever byte is changed, the file is read or refused with a code, and soon', async () => {
    const whole = new Uint8Array(buildDem({ ...small, nodata: '-9999', metadata: '<GDALMetadata></GDALMetadata>' }))
    for (let at = 0; at < whole.length; at++) {
      for (const value of [0, 1, 0x7f, 0xff]) {
        const changed = whole.slice()
        if (changed[at] === value) continue
        changed[at] = value
        try {
          await readElevation(changed.buffer, { maxCells: 1e6 })
        } catch (error) {
          expect(error, `byte ${at} = ${value}`).toHaveProperty('code')
        }
      }
    }
  })
})
