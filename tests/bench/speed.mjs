// The speed of the kernels, of contours and of reading, in millions of cells a second and as ratios to the programs in use, all in one run:
//   node tests/bench/speed.mjs [--sizes 1000,4000,10000] [--kinds rough,flat,holes] [--no-rivals] [--folder DIR] [--keep]
// Prints the machine and its load, one JSON line for each job, and last a table of the bars; `--keep` keeps it all in tests/bench/results under
// the day's date. Each job runs in a process of its own. On an idle machine: under load ratios of wall time mean little.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, loadavg, platform, release, tmpdir, totalmem } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { asTiff, grass, installed, saga, timedProcess, writeHeader } from './rivals.mjs'

const option = (name, otherwise) => (process.argv.includes(`--${name}`) ? process.argv[process.argv.indexOf(`--${name}`) + 1] : otherwise)
const sizes = option('sizes', '1000,4000,10000').split(',').map(Number)
const kinds = option('kinds', 'rough,flat,holes').split(',')
const folder = option('folder', join(tmpdir(), 'soakline-bench'))
const rivals = !process.argv.includes('--no-rivals')
mkdirSync(folder, { recursive: true })

const lines = []
const say = text => {
  lines.push(text)
  process.stdout.write(`${text}\n`)
}
const tell = record =>
  say(JSON.stringify(record, (_, value) => (typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(4)) : value)))

/** Runs a job of speed-jobs.mjs; null, said so, where it ends without an answer. */
function job(name, ...args) {
  const from = performance.now()
  const done = spawnSync(process.execPath, [fileURLToPath(new URL('./speed-jobs.mjs', import.meta.url)), name, ...args.map(String)], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  })
  const process_s = (performance.now() - from) / 1000
  if (done.status !== 0) {
    tell({ job: name, args, failed: done.stderr.trim().split('\n').slice(0, 6).join(' | ') })
    return null
  }
  return { ...JSON.parse(done.stdout), process_s }
}

tell({
  machine: cpus()[0]?.model ?? 'unknown',
  cores: cpus().length,
  memory_GB: totalmem() / 1e9,
  system: `${platform()} ${release()}`,
  load: loadavg(),
  node: process.version,
  rivals: rivals ? installed : 'not asked',
  at: new Date().toISOString(),
})

/** What was measured, by name, size and kind. */
const measured = new Map()
const key = (name, side, kind) => `${name} ${side} ${kind}`
function record(name, side, kind, found) {
  if (!found) return
  const { out, ...figures } = found
  measured.set(key(name, side, kind), figures)
  const time_s = figures.warm_ms !== undefined ? figures.warm_ms / 1000 : figures.wall_s
  tell({ job: name, side, kind, ...(time_s > 0 ? { Mcells_s: (side * side) / 1e6 / time_s } : {}), ...figures, load: loadavg()[0] })
}

for (const side of sizes)
  for (const kind of kinds) {
    const file = join(folder, `ground-${side}-${kind}.f32`)
    if (!existsSync(file)) job('make', file, side, kind)
    writeHeader(file, side)
    record('flow, kernels, 1 worker', side, kind, job('flow', file, side, 1))
    record('flow, kernels, 2 workers', side, kind, job('flow', file, side, 2))
    if (kind !== 'rough') {
      if (side <= 4000) record('flow, plain', side, kind, job('plain', file, side))
      continue
    }
    record('flow, plain', side, kind, job('plain', file, side))
    record('gradient', side, kind, job('gradient', file, side))
    record('contours, 1 m', side, kind, job('contours', file, side))
    if (side <= 4000) {
      record('dispersive, by vector', side, kind, job('dispersive', file, side))
      record('multiple flow', side, kind, job('multiple', file, side))
      record('contours, d3-contour', side, kind, job('d3', file, side))
    }
    if (installed.gdal) {
      const tiff = asTiff(file, 'DEFLATE')
      record('reading DEFLATE, predictor 3', side, kind, job('decode', tiff, side))
      if (side <= 4000) record('reading LZW, predictor 3', side, kind, job('decode', asTiff(file, 'LZW'), side))
      const whole = job('whole', tiff, side, join(folder, 'whole'))
      record('whole process', side, kind, whole && { wall_s: whole.process_s, peak_MB: whole.peak_MB })
      if (rivals) {
        record('gdal_translate', side, kind, timedProcess('gdal_translate', ['-q', '-of', 'ENVI', tiff, join(folder, 'copy.bin')], folder))
        record(
          'gdaldem slope',
          side,
          kind,
          timedProcess('gdaldem', ['slope', '-q', '-p', '-of', 'ENVI', tiff, join(folder, 'slope.bin')], folder),
        )
        rmSync(join(folder, 'c.fgb'), { force: true })
        record(
          'gdal_contour',
          side,
          kind,
          timedProcess('gdal_contour', ['-q', '-i', '1', '-f', 'FlatGeobuf', tiff, join(folder, 'c.fgb')], folder),
        )
      }
      if (rivals && installed.grass) {
        const { imported, single, multiple } = grass(tiff, folder, side <= 4000)
        record('GRASS import', side, kind, imported)
        record('GRASS r.watershed -s', side, kind, single)
        record('GRASS r.watershed', side, kind, multiple)
      }
      if (rivals && installed.saga) {
        const { start, filled, counted } = saga(file, folder)
        record('SAGA start', side, kind, start)
        record('SAGA fill XXL', side, kind, filled)
        record('SAGA top-down accumulation', side, kind, counted)
      }
    }
  }
record('edit of 512 × 512 cells', 512, 'rough', editOf512())

function editOf512() {
  const file = join(folder, 'ground-512-rough.f32')
  if (!existsSync(file)) job('make', file, 512, 'rough')
  return job('flow', file, 512, 1)
}

/** Seconds of a job on rough ground: its warm call, or the process. */
const seconds = (name, side) => {
  const found = measured.get(key(name, side, 'rough'))
  return found ? (found.warm_ms !== undefined ? found.warm_ms / 1000 : found.wall_s) : Number.NaN
}
/** The same in processor time, where it is known: on a busy machine all that can be compared, of one worker with one process. */
const processorSeconds = (name, side) => {
  const found = measured.get(key(name, side, 'rough'))
  return found ? (found.cpu_ms !== undefined ? found.cpu_ms / 1000 : (found.cpu_s ?? Number.NaN)) : Number.NaN
}
const figure = (name, side, what) => measured.get(key(name, side, 'rough'))?.[what] ?? Number.NaN

say('\nbar | asked | measured')
const bar = (name, asked, value, digits = 2) => {
  if (Number.isFinite(value)) say(`${name} | ${asked} | ${value.toFixed(digits)}`)
}
for (const side of sizes) {
  const at = side === 1000 ? 0 : side === 4000 ? 1 : 2
  const grassSingle = seconds('GRASS r.watershed -s', side)
  const one = seconds('flow, kernels, 1 worker', side)
  const two = seconds('flow, kernels, 2 workers', side)
  const sagaBoth = seconds('SAGA fill XXL', side) + seconds('SAGA top-down accumulation', side) - 2 * seconds('SAGA start', side)
  bar(`${side}²: r.watershed -s / flow, one worker`, ['', '≥ 8', '≥ 12'][at], grassSingle / one)
  bar(`${side}²: r.watershed -s / flow, two workers`, ['', '≥ 13', '≥ 22'][at], grassSingle / two)
  bar(`${side}²: r.watershed -s / flow, plain`, ['', '≥ 3.5', '≥ 6'][at], grassSingle / seconds('flow, plain', side))
  bar(`${side}²: SAGA less its start / flow, one worker`, ['', '≥ 15', '≥ 25'][at], sagaBoth / one)
  bar(
    `${side}²: r.watershed -s / flow, one worker, by processor time`,
    '',
    processorSeconds('GRASS r.watershed -s', side) / processorSeconds('flow, kernels, 1 worker', side),
  )
  bar(
    `${side}²: r.watershed -s / flow, plain, by processor time`,
    '',
    processorSeconds('GRASS r.watershed -s', side) / processorSeconds('flow, plain', side),
  )
  bar(
    `${side}²: gdal_contour / contours, by processor time`,
    '',
    processorSeconds('gdal_contour', side) / processorSeconds('contours, 1 m', side),
  )
  bar(`${side}²: first call / warm call`, '≤ 1.25', figure('flow, kernels, 1 worker', side, 'first_ms') / 1000 / one)
  bar(`${side}²: two workers / one`, '≥ 1.65', one / two)
  bar(
    `${side}²: GRASS import and r.watershed / whole process`,
    ['', '≥ 4', '≥ 8'][at],
    (seconds('GRASS import', side) + grassSingle) / seconds('whole process', side),
  )
  bar(
    `${side}²: gdaldem slope less its copy / gradient`,
    '≥ 10',
    (seconds('gdaldem slope', side) - seconds('gdal_translate', side)) / seconds('gradient', side),
  )
  bar(`${side}²: cells a second, dispersive / single-direction pipeline`, '≥ 0.9', one / seconds('dispersive, by vector', side))
  bar(
    `${side}²: r.watershed, multiple / draining and multiple flow`,
    '≥ 5',
    seconds('GRASS r.watershed', side) / (seconds('multiple flow', side) + figure('multiple flow', side, 'drained_ms') / 1000),
  )
  bar(`${side}²: gdal_contour / contours`, '≥ 1', seconds('gdal_contour', side) / seconds('contours, 1 m', side))
  bar(`${side}²: d3-contour / contours`, '≥ 10', seconds('contours, d3-contour', side) / seconds('contours, 1 m', side))
  bar(`${side}²: contours, bytes a vertex`, '≤ 60', figure('contours, 1 m', side, 'peak_bytesPerVertex'), 0)
  bar(
    `${side}²: decoder's general way / reading, DEFLATE`,
    '≥ 3',
    figure('reading DEFLATE, predictor 3', side, 'generic_ms') / 1000 / seconds('reading DEFLATE, predictor 3', side),
  )
  bar(
    `${side}²: decoder's general way / reading, LZW`,
    '≥ 5',
    figure('reading LZW, predictor 3', side, 'generic_ms') / 1000 / seconds('reading LZW, predictor 3', side),
  )
  if (side >= 10000) {
    bar(
      `${side}²: bytes a cell of the whole process of the flow kernels`,
      '≤ 16',
      figure('flow, kernels, 1 worker', side, 'peak_bytesPerCell'),
      1,
    )
    bar(`${side}²: resident MB, flow kernels`, '≤ 2147', figure('flow, kernels, 1 worker', side, 'peak_MB'), 0)
    bar(`${side}²: resident MB, whole process from a GeoTIFF`, '', figure('whole process', side, 'peak_MB'), 0)
  }
}
bar('512²: edit solved, ms', '≤ 16', 1000 * seconds('edit of 512 × 512 cells', 512), 1)
tell({ loadAfter: loadavg() })

if (process.argv.includes('--keep')) {
  const results = new URL('./results/', import.meta.url)
  mkdirSync(results, { recursive: true })
  writeFileSync(new URL(`${new Date().toISOString().slice(0, 10)}-speed.txt`, results), `${lines.join('\n')}\n`)
}
