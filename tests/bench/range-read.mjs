import { createServer } from 'node:http'
import { deflateSync } from 'node:zlib'
import { addressSource, openProjection, readElevationFrom } from '../../packages/io/dist/index.js'

const [SIDE, TILE] = [20_480, 512]
const ACROSS = SIDE / TILE

/**
 * A cloud-optimised raster of 20,480 × 20,480 cells, DEFLATE in tiles of 512, of which only those about the middle hold ground; the bytes of the four tiles
 * that a square of 1000 cells about its middle touches, and that middle in degrees.
 */
export async function rangeRaster() {
  const tiles = new Map()
  for (let row = 18; row <= 22; row++)
    for (let column = 18; column <= 22; column++) {
      const cells = new Float32Array(TILE * TILE)
      for (let k = 0; k < cells.length; k++) {
        const [x, y] = [column * TILE + (k % TILE), row * TILE + Math.floor(k / TILE)]
        cells[k] = 300 + 0.08 * x + 0.05 * y + 4 * Math.sin(x / 60) * Math.cos(y / 45) + 0.01 * ((x * 7 + y * 13) % 11)
      }
      tiles.set(row * ACROSS + column, deflateSync(new Uint8Array(cells.buffer), { level: 6 }))
    }
  const count = ACROSS * ACROSS
  const keys = [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 32617]
  const tags = [
    [256, 4, [SIDE]],
    [257, 4, [SIDE]],
    [258, 3, [32]],
    [259, 3, [8]],
    [262, 3, [1]],
    [277, 3, [1]],
    [322, 4, [TILE]],
    [323, 4, [TILE]],
    [324, 4, Array(count).fill(0)],
    [325, 4, Array(count).fill(0)],
    [339, 3, [3]],
    [33550, 12, [1, 1, 0]],
    [33922, 12, [0, 0, 0, 500_000, 4_000_000, 0]],
    [34735, 3, keys],
  ]
  const size = { 3: 2, 4: 4, 12: 8 }
  let next = 8 + 2 + 12 * tags.length + 4
  const places = tags.map(([, type, values]) => {
    const length = size[type] * values.length
    if (length <= 4) return 0
    const at = next
    next += length
    return at
  })
  for (const [k, bytes] of tiles) {
    tags[8][2][k] = next
    tags[9][2][k] = bytes.length
    next += bytes.length
  }
  const out = new Uint8Array(next)
  const view = new DataView(out.buffer)
  out.set([0x49, 0x49, 42, 0, 8, 0, 0, 0])
  view.setUint16(8, tags.length, true)
  tags.forEach(([tag, type, values], k) => {
    const at = 10 + 12 * k
    view.setUint16(at, tag, true)
    view.setUint16(at + 2, type, true)
    view.setUint32(at + 4, values.length, true)
    let where = places[k]
    if (where === 0) where = at + 8
    else view.setUint32(at + 8, where, true)
    for (const value of values) {
      if (type === 3) view.setUint16(where, value, true)
      else if (type === 4) view.setUint32(where, value, true)
      else view.setFloat64(where, value, true)
      where += size[type]
    }
  })
  for (const [k, bytes] of tiles) out.set(bytes, tags[8][2][k])
  let touchedBytes = 0
  for (let row = 19; row <= 20; row++) for (let column = 19; column <= 20; column++) touchedBytes += tiles.get(row * ACROSS + column).length
  const middle = (await openProjection('EPSG:32617')).toLonLat(500_000 + SIDE / 2, 4_000_000 - SIDE / 2)
  return { bytes: out, touchedBytes, middle }
}

/** A window of 1000 × 1000 cells out of that raster, from a server on this machine: bytes against those of the touched tiles, and time until the ground is ready. */
export async function rangeReadBench(times = 5) {
  const { bytes, touchedBytes } = await rangeRaster()
  const server = createServer((request, response) => {
    const [, from, to] = /bytes=(\d+)-(\d+)/.exec(request.headers.range)
    const part = bytes.subarray(Number(from), Math.min(bytes.length, Number(to) + 1))
    response.writeHead(206, {
      'content-range': `bytes ${from}-${Number(from) + part.length - 1}/${bytes.length}`,
      'content-length': part.length,
    })
    response.end(part)
  })
  await new Promise(done => server.listen(0, '127.0.0.1', done))
  const address = `http://127.0.0.1:${server.address().port}/large.tif`
  const took_ms = []
  let read = 0
  let requests = 0
  for (let k = 0; k < times; k++) {
    read = 0
    requests = 0
    const begun = performance.now()
    const source = await addressSource(address, {
      fetch,
      onBytes: n => {
        read += n
        requests++
      },
    })
    // Cells 9740 to 10,740 each way: two tiles across, two down.
    const { grid } = await readElevationFrom(source, {
      elevationUnit: 'm',
      window: { in: 'own', box: [509_742, 3_989_262, 510_738, 3_990_258] },
    })
    took_ms.push(performance.now() - begun)
    if (grid.geometry.width !== 1000 || grid.geometry.height !== 1000) throw new Error('The window has another size.')
  }
  server.close()
  server.closeAllConnections()
  return {
    side: SIDE,
    window: 1000,
    requests,
    read_bytes: read,
    touched_bytes: touchedBytes,
    ratio: read / touchedBytes,
    first_ms: took_ms[0],
    best_ms: Math.min(...took_ms),
  }
}
