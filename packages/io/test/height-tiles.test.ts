import { COLOUR_CODES, readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { tileAffine } from '../src/colour-heights.js'
import { readPng } from '../src/png.js'
import { readStoredHeightTile } from '../src/srtm-tile.js'
import { buildPng, type PictureOptions } from './png-builder.js'
import { refusal } from './refusal.js'
import { buildZip } from './zip-builder.js'

describe('tiles of a square degree', () => {
  const tile = (side: number, at: (column: number, row: number) => number): ArrayBuffer => {
    const view = new DataView(new ArrayBuffer(side * side * 2))
    for (let k = 0; k < side * side; k++) view.setInt16(2 * k, at(k % side, Math.floor(k / side)))
    return view.buffer
  }
  const plane = tile(1201, (column, row) => (column === 7 && row === 9 ? -32768 : 1200 - row + column))

  test('failure 34: the name is the south-west sample, the high byte comes first, -32768 is a gap', async () => {
    for (const [fileName, west, south] of [
      ['N36W081.hgt', -81, 36],
      ['some/folder/s04e012.SRTMGL3.hgt', 12, -4],
      ['N00E000.hgt', 0, 0],
    ] as const) {
      const { width, affine, data, verticalUnit } = await readStoredHeightTile(plane, { fileName })
      expect(width).toBe(1201)
      // The centre of the lowest left cell is the whole degree.
      expect(affine[2] + affine[0] / 2).toBeCloseTo(west, 12)
      expect(affine[5] + affine[4] * 1200.5).toBeCloseTo(south, 12)
      expect([data[0], data[1200], data[1200 * 1201]]).toEqual([1200, 2400, 0])
      expect(data[9 * 1201 + 7]).toBeNaN()
      expect(verticalUnit).toBe('m')
    }
  })

  test('zipped or not it opens in the zone of its place, without a question', async () => {
    const { report, grid, projection } = await readElevation(plane, { fileName: 'N36W081.hgt' })
    expect(report).toMatchObject({ crs: 'EPSG:32617', elevationUnit: 'm', elevationUnitFrom: 'file', format: 'height tile of one degree' })
    expect(report.warnings.map(w => w.code)).toContain('grid/reprojected')
    // The sample on 36°30′ N 80°30′ W is the middle one.
    const [x, y] = projection.fromLonLat(-80.5, 36.5)
    const g = grid.geometry
    const z = grid.data[Math.floor((g.north_m - y) / g.cell_m) * g.width + Math.floor((x - g.west_m) / g.cell_m)]!
    expect(Math.abs(z - 1200)).toBeLessThan(2)
    const zipped = await readElevation(buildZip([{ name: 'N36W081.hgt', content: new Uint8Array(plane) }]))
    expect(zipped.report.sha256).toBe(report.sha256)
  })

  test('without a name or with another size it is refused', async () => {
    expect((await refusal(() => readElevation(plane, { fileName: 'tile.hgt' }))).code).toBe('height-tile/name')
    expect((await refusal(() => readElevation(plane, { fileName: 'N95W081.hgt' }))).code).toBe('height-tile/name')
    expect((await refusal(() => readElevation(plane, { fileName: 'N36E180.hgt' }))).code).toBe('height-tile/name')
    expect((await refusal(() => readElevation(plane.slice(0, 1e6), { fileName: 'N36W081.hgt' }))).code).toBe('height-tile/size')
    expect((await refusal(() => readElevation(plane, { fileName: 'N36W081.hgt', maxCells: 1e6 }))).code).toBe('grid/too-large')
    expect((await refusal(() => readElevation(plane))).code).toBe('grid/unknown-format')
  })
})

describe('tiles of heights in colours', () => {
  const side = 16
  const height = (k: number): number => 850 + (k % side) * 1.5 + Math.floor(k / side)
  const packed = ({ base_m, step_m }: { base_m: number; step_m: number }, samples = 3, gap = -1): Uint8Array => {
    const data = new Uint8Array(side * side * samples)
    for (let k = 0; k < side * side; k++) {
      const n = Math.round((height(k) - base_m) / step_m)
      data.set([n >> 16, (n >> 8) & 255, n & 255], k * samples)
      if (samples === 4) data[k * 4 + 3] = k === gap ? 0 : 255
    }
    return data
  }
  const picture = (options: Partial<PictureOptions> = {}): ArrayBuffer =>
    buildPng({ width: side, height: side, data: packed(COLOUR_CODES.terrarium), ...options })
  const at = { tile: { z: 14, x: 4500, y: 6400 }, crs: undefined }
  const options = { colours: COLOUR_CODES.terrarium, tile: at.tile }

  test('the way of packing and the place are asked, in turn; nothing is guessed', async () => {
    expect((await refusal(() => readElevation(picture()))).code).toBe('colours/unknown-code')
    expect((await refusal(() => readElevation(picture(), { colours: COLOUR_CODES.terrarium }))).code).toBe('tile/unknown-place')
    const { report } = await readElevation(picture(), options)
    expect(report.minimum_m).toBeGreaterThan(849.9)
    expect(report.maximum_m).toBeLessThan(height(side * side - 1) + 0.1)
    expect(report).toMatchObject({ crs: 'EPSG:32617', elevationUnitFrom: 'file' })
    // The same colours by the other way of packing are 850 km: told, not drawn.
    const wrong = { ...options, colours: COLOUR_CODES['terrain-rgb'] }
    expect((await refusal(() => readElevation(picture(), wrong))).code).toBe('grid/implausible-heights')
    const right = await readElevation(picture({ data: packed(COLOUR_CODES['terrain-rgb']) }), wrong)
    expect(right.report.minimum_m).toBeCloseTo(report.minimum_m, 0)
  })

  test('every filter of the standard and a fourth sample give the same pixels; what is not solid is a gap', async () => {
    const plain = await readPng(new Uint8Array(picture()), 1e6)
    for (const filter of [0, 1, 2, 3, 4]) expect((await readPng(new Uint8Array(picture({ filter })), 1e6)).data).toEqual(plain.data)
    const holed = picture({ kind: 6, data: packed(COLOUR_CODES.terrarium, 4, 120) })
    const [whole, gaps] = [await readElevation(picture(), options), await readElevation(holed, options)]
    expect(gaps.report.voidCells).toBeGreaterThan(whole.report.voidCells)
  })

  test('black pixels far below the ground are asked about', async () => {
    const data = packed(COLOUR_CODES['terrain-rgb'])
    data.fill(0, 30, 33)
    const asked = await refusal(() => readElevation(picture({ data }), { ...options, colours: COLOUR_CODES['terrain-rgb'] }))
    expect(asked).toMatchObject({ code: 'grid/nodata-unclear', details: { value: -10000, count: 1 } })
  })

  test('the tile lies where its address says: 0/0/0 is the whole square, 1/1/1 its south-east quarter', () => {
    const edge = 20037508.342789244
    for (const [tile, expected] of [
      [{ z: 0, x: 0, y: 0 }, [-edge, edge, (2 * edge) / 256]],
      [{ z: 1, x: 1, y: 1 }, [0, 0, edge / 256]],
    ] as const) {
      const [a, , c, , e, f] = tileAffine(tile, 256)
      expect(c).toBeCloseTo(expected[0], 6)
      expect(f).toBeCloseTo(expected[1], 6)
      expect(a).toBeCloseTo(expected[2], 9)
      expect(e).toBeCloseTo(-expected[2], 9)
    }
  })

  test.each<[string, ArrayBuffer, object, string]>([
    ['cut', picture().slice(0, 100), {}, 'picture/damaged'],
    ['a wrong check sum', new Uint8Array(picture()).map((byte, k) => (k === 45 ? byte ^ 1 : byte)).buffer, {}, 'picture/damaged'],
    ['a size of nought', picture({ saysWidth: 0 }), {}, 'picture/damaged'],
    ['a size beyond its bytes', picture({ saysWidth: 4000, saysHeight: 4000 }), {}, 'picture/damaged'],
    ['a size beyond the limit', picture({ saysWidth: 100_000, saysHeight: 100_000 }), {}, 'grid/too-large'],
    ['fewer rows than promised', picture({ saysHeight: side + 1 }), {}, 'picture/damaged'],
    ['a palette', picture({ kind: 3 }), {}, 'picture/kind'],
    ['16 bits', picture({ depth: 16 }), {}, 'picture/kind'],
    ['interlaced', picture({ interlace: 1 }), {}, 'picture/kind'],
    ['bytes that do not unpack', picture({ packed: Uint8Array.from({ length: 40 }, (_, k) => k * 7) }), {}, 'picture/damaged'],
    ['a filter of no number', picture({ filter: 9 }), {}, 'picture/damaged'],
    ['no base', picture(), { colours: { base_m: Number.NaN, step_m: 1 } }, 'colours/bad-code'],
    ['a step of nought', picture(), { colours: { base_m: 0, step_m: 0 } }, 'colours/bad-code'],
    ['an address beyond its zoom', picture(), { tile: { z: 2, x: 4, y: 0 } }, 'tile/bad-place'],
    ['no square', buildPng({ width: 2, height: 3, data: new Uint8Array(18) }), {}, 'tile/not-square'],
  ])('refused: %s', async (_, file, said, expected) => {
    expect((await refusal(() => readElevation(file, { ...options, ...said }))).code).toBe(expected)
  })
})
