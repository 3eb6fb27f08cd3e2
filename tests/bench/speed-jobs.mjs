// One job of the speed benchmark in a process of its own, so that memory and first calls are its own: prints one JSON record. Run by speed.mjs.
import { closeSync, openSync, readFileSync, readSync, writeFileSync, writeSync } from 'node:fs'
import { setTimeout as pause } from 'node:timers/promises'
import { Worker } from 'node:worker_threads'
import { inflateSync } from 'node:zlib'
import { readStoredGeoTiff } from '../../packages/io/dist/index.js'
import { finish } from '../../packages/soakline/dist/foundation/index.js'
import {
  byFacets,
  byVector,
  contributingAreaBy,
  contributingAreaSingle,
  drainage,
  filledSurface,
  multiple,
} from '../../packages/soakline/dist/hydrology/index.js'
import { openKernels } from '../../packages/soakline/dist/kernels/index.js'
import { gradient, packedContours } from '../../packages/soakline/dist/terrain/index.js'
import { KINDS, testGround } from './test-ground.mjs'

const inflate = (packed, maxOutputLength) => inflateSync(packed, { maxOutputLength })
const grid = (side, data) => ({
  quantity: 'elevation_m',
  geometry: { width: side, height: side, cell_m: 1, west_m: 0, north_m: side, crs: 'local' },
  data,
})

/** Rows of a file of bare float32, one at a time: the raster is held once only, by whoever wants it. */
function rowReader(file, side) {
  const handle = openSync(file)
  const row = new Float32Array(side)
  return {
    read(k) {
      readSync(handle, row, 0, 4 * side, 4 * side * k)
      return row
    },
    close: () => closeSync(handle),
  }
}

function allOf(file) {
  const bytes = readFileSync(file)
  return new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4)
}

/** The bytes of a file; small ones share memory with others and are copied. */
function bufferOf(file) {
  const bytes = readFileSync(file)
  return bytes.length === bytes.buffer.byteLength ? bytes.buffer : bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length)
}

/** Milliseconds of the first call and of those after it; the least of these counts as the warm one. */
async function timed(calls, act) {
  const times = []
  const processor = []
  for (let k = 0; k < calls; k++) {
    const before = process.cpuUsage()
    const from = performance.now()
    await act()
    times.push(performance.now() - from)
    const { user, system } = process.cpuUsage(before)
    processor.push((user + system) / 1000)
  }
  const warm = times.length > 1 ? times.slice(1) : times
  return {
    first_ms: times[0],
    warm_ms: Math.min(...warm),
    cpu_ms: Math.min(...processor),
    median_ms: [...warm].sort((a, b) => a - b)[warm.length >> 1],
  }
}

/** Most memory that this process has held, in millions of bytes. */
const peak_MB = () => (process.resourceUsage().maxRSS * 1024) / 1e6

async function crewOf(members) {
  const workers = []
  const kernels = await openKernels({
    members,
    hire: letter => workers.push(new Worker(new URL('../../apps/cli/dist/crew-member.js', import.meta.url), { workerData: letter })),
  })
  while (!kernels.crewIsReady()) await pause(5)
  return { kernels, end: () => Promise.all(workers.map(worker => worker.terminate())) }
}

/** Calls of a job of seconds; of milliseconds more are needed before the engine has done with its code. */
const callsFor = side => (side > 5000 ? 3 : side > 2000 ? 5 : 16)

const jobs = {
  async make(file, side, kind) {
    const from = performance.now()
    const data = await testGround(side, kind)
    writeFileSync(file, new Uint8Array(data.buffer))
    return { made_ms: performance.now() - from }
  },
  /** Filling, single direction and accumulation by the kernels, the raster in memory before. */
  async flow(file, side, members) {
    const { kernels, end } = await crewOf(Number(members))
    // 10 000 × 10 000 cells are read from the file row by row: a second copy would tell nothing but its own size.
    const rows = side > 5000 ? rowReader(file, side) : null
    const data = rows ? null : allOf(file)
    const rowOf = rows ? rows.read : row => data.subarray(row * side, (row + 1) * side)
    let sum = 0
    const opened = performance.now()
    kernels.warmUp()
    const warmUp_ms = performance.now() - opened
    const times = await timed(callsFor(side), () => {
      const flow = finish(kernels.flowInRows({ width: side, height: side }, rowOf))
      sum = flow.cells(side - 1)[0]
      flow.close()
    })
    rows?.close()
    const most_MB = peak_MB()
    await end()
    return { ...times, warmUp_ms, corner: sum, peak_MB: most_MB, peak_bytesPerCell: (most_MB * 1e6) / (side * side) }
  },
  /** The same by the plain definitions. */
  async plain(file, side) {
    const ground = grid(side, allOf(file))
    const times = await timed(side > 5000 ? 3 : 5, () => {
      const drained = drainage(ground)
      filledSurface(ground, drained)
      contributingAreaSingle(drained)
    })
    return { ...times, peak_MB: peak_MB() }
  },
  /** The gradient by the kernels, row by row as the flow is; with a raster of its own for the answer; and by the plain definition. */
  async gradient(file, side) {
    const ground = grid(side, allOf(file))
    const kernels = await openKernels()
    const rowOf = row => ground.data.subarray(row * side, (row + 1) * side)
    let steepest = 0
    const take = found => {
      steepest = Math.max(steepest, found[side >> 1])
    }
    const inRows = await timed(24, () => finish(kernels.steepnessInRows(ground.geometry, rowOf, take)))
    const whole = await timed(callsFor(side), () => void gradient(ground, kernels))
    const plain = await timed(2, () => void gradient(ground))
    return { ...inRows, steepest, whole_ms: whole.warm_ms, plain_ms: plain.warm_ms }
  },
  /** Direction and accumulation of a method that spreads water, on drained ground, and what the draining takes. */
  async spread(file, side, name) {
    const ground = grid(side, allOf(file))
    const kernels = await openKernels()
    const fill = await timed(callsFor(side), () => void drainage(ground, { kernels }))
    const drained = drainage(ground, { kernels })
    const method = { byVector, byFacets, multiple: multiple() }[name]
    const times = await timed(callsFor(side), () => void contributingAreaBy(ground, drained, method, { kernels }))
    const most_MB = peak_MB()
    if (side > 2000) return { drained_ms: fill.warm_ms, ...times, peak_MB: most_MB }
    const plain = await timed(2, () => void contributingAreaBy(ground, drained, method))
    return { drained_ms: fill.warm_ms, ...times, peak_MB: most_MB, plain_ms: plain.warm_ms }
  },
  async contours(file, side) {
    const ground = grid(side, allOf(file))
    // The engine's own memory for code is no part of the vertices': a piece of the ground first.
    packedContours(
      { ...ground, geometry: { ...ground.geometry, height: Math.min(256, side) }, data: ground.data.subarray(0, 256 * side) },
      1,
    )
    let base = process.resourceUsage().maxRSS
    let vertices = 0
    let perVertex = 0
    const times = await timed(side > 5000 ? 1 : 3, () => {
      vertices = packedContours(ground, 1).xy.length / 2
      if (perVertex === 0) perVertex = ((process.resourceUsage().maxRSS - base) * 1024) / vertices
      base = 0
    })
    return { ...times, vertices, peak_bytesPerVertex: perVertex }
  },
  async d3(file, side) {
    const { contours } = await import('d3-contour')
    const data = allOf(file)
    let [low, high] = [Infinity, -Infinity]
    for (let k = 0; k < data.length; k++) {
      if (data[k] < low) low = data[k]
      if (data[k] > high) high = data[k]
    }
    const levels = Array.from({ length: Math.floor(high) - Math.ceil(low) + 1 }, (_, k) => Math.ceil(low) + k)
    return { ...(await timed(1, () => void contours().size([side, side]).thresholds(levels)(data))), levels: levels.length }
  },
  /** Reading a GeoTIFF, and the decoder library's general way for the same file. */
  async decode(file) {
    const buffer = bufferOf(file)
    const own = await timed(4, () => readStoredGeoTiff(buffer, { inflate }))
    const streamed = await timed(2, () => readStoredGeoTiff(buffer))
    const { fromArrayBuffer } = await import('geotiff')
    const generic = await timed(2, async () => (await (await fromArrayBuffer(buffer)).getImage()).readRasters({ interleave: true }))
    return { ...own, streamed_ms: streamed.warm_ms, generic_ms: generic.warm_ms }
  },
  /** Answers while a line is dragged, library alone and in the built sheet: both on code that is ready, which the sheet sees to by itself. */
  drag: async (_, side) => {
    const { dragBench } = await import('./drag.mjs')
    dragBench(300, 60)
    return dragBench(side, 60)
  },
  dragInBrowser: async (_, side) => (await import('./drag-in-browser.mjs')).dragInBrowser(side, 60),
  /** 200 tried terrains for a line above a building. */
  doubt: async (_, side) => (await import('./tried-terrains.mjs')).triedTerrains(side, 200),
  /** From a GeoTIFF to two rasters on disk, in one go. */
  async whole(file, side, out) {
    const kernels = await openKernels()
    const { width, height, data } = await readStoredGeoTiff(bufferOf(file), { inflate })
    const flow = finish(kernels.flowInRows({ width, height }, row => data.subarray(row * width, (row + 1) * width)))
    const files = [openSync(`${out}-direction.bin`, 'w'), openSync(`${out}-cells.bin`, 'w')]
    for (let row = 0; row < height; row++) {
      writeSync(files[0], flow.direction(row))
      writeSync(files[1], flow.cells(row))
    }
    files.forEach(closeSync)
    return { peak_MB: peak_MB() }
  },
}

const [job, file, side, ...rest] = process.argv.slice(2)
if (job === 'kinds') process.stdout.write(JSON.stringify(KINDS))
else process.stdout.write(JSON.stringify(await jobs[job](file, Number(side), ...rest)))
process.exit(0)
