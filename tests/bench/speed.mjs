// The speed of the kernels, of contours, of reading, of a drag and of tried terrains, in millions of cells a second and as ratios to the programs
// in use:
//   node tests/bench/speed.mjs [--part flow,grass] [--resume] [--sizes 1000,4000,10000] [--kinds rough,flat,holes] [--folder DIR] [--keep]
// Prints the machine and its load, one JSON line for each job, and last every bar of speed-bars.mjs with its figure and whether it is met. What
// is measured is noted in the folder as it comes: `--part` measures some of the parts below (`--part none` none), `--resume` only what this
// commit has not measured there yet, and the bars are worked out of all that stands there. `--keep` keeps what was printed in tests/bench/results
// under the day's date. Each job runs in a process of its own. On an idle machine: under load ratios of wall time mean little.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { thisMachine } from './machine.mjs'
import { asTiff, grass, installed, leastOf, saga, timedProcess, writeHeader } from './rivals.mjs'
import { barLines } from './speed-bars.mjs'

const option = (name, otherwise) => (process.argv.includes(`--${name}`) ? process.argv[process.argv.indexOf(`--${name}`) + 1] : otherwise)
const sizes = option('sizes', '1000,4000,10000').split(',').map(Number)
const kinds = option('kinds', 'rough,flat,holes').split(',')
// In memory where there is a folder that lies there: what a disk takes says nothing of the programs.
const folder = option('folder', join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'soakline-bench'))
const resumes = process.argv.includes('--resume')
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

/** A job in some processes, each of which has one first call: of each time the least. */
function inProcesses(count, act) {
  const runs = Array.from({ length: count }, act).filter(run => run !== null)
  if (runs.length === 0) return null
  const least = name => Math.min(...runs.map(run => run[name]))
  return { ...runs[0], ...Object.fromEntries(['first_ms', 'warm_ms', 'cpu_ms', 'median_ms', 'warmUp_ms'].map(name => [name, least(name)])) }
}

const commit = spawnSync('git', ['rev-parse', '--short', 'HEAD'], {
  cwd: fileURLToPath(new URL('.', import.meta.url)),
  encoding: 'utf8',
}).stdout.trim()
tell({
  ...thisMachine(),
  rivals: installed,
  commit,
  at: new Date().toISOString(),
})

/** What stands in the folder, by name, size and kind of ground. */
const notes = join(folder, 'measured.json')
const measured = existsSync(notes) ? JSON.parse(readFileSync(notes, 'utf8')) : {}

/** Measures what `work` gives by name, and notes it; not again where a run is resumed. */
function measure(names, side, kind, work) {
  const keys = names.map(name => `${name} ${side} ${kind}`)
  if (resumes && keys.every(key => measured[key]?.commit === commit)) return
  const found = work()
  names.forEach((name, k) => {
    if (!found[k]) return
    const { out, ...figures } = found[k]
    measured[keys[k]] = { ...figures, load: loadavg()[0], commit, at: new Date().toISOString() }
    const time_s = figures.warm_ms !== undefined ? figures.warm_ms / 1000 : figures.wall_s
    tell({ job: name, side, kind, ...(time_s > 0 ? { Mcells_s: (side * side) / 1e6 / time_s } : {}), ...figures, load: loadavg()[0] })
  })
  writeFileSync(`${notes}.new`, JSON.stringify(measured, null, 1))
  renameSync(`${notes}.new`, notes)
}
const one = (name, side, kind, work) => measure([name], side, kind, () => [work()])

/** The file of a ground as bare float32, made where it is not there yet. */
function groundFile(side, kind) {
  const file = join(folder, `ground-${side}-${kind}.f32`)
  if (!existsSync(file)) job('make', file, side, kind)
  writeHeader(file, side)
  return file
}
const tiffOf = side => asTiff(groundFile(side, 'rough'), 'DEFLATE')
const everyGround = act => {
  for (const side of sizes) for (const kind of kinds) act(side, kind, groundFile(side, kind))
}

const parts = {
  flow() {
    everyGround((side, kind, file) => {
      one('flow, kernels, 1 worker', side, kind, () => inProcesses(side > 5000 ? 1 : 3, () => job('flow', file, side, 1)))
      one('flow, kernels, 2 workers', side, kind, () => job('flow', file, side, 2))
    })
  },
  edit() {
    one('edit of 512 × 512 cells', 512, 'rough', () => inProcesses(5, () => job('flow', groundFile(512, 'rough'), 512, 1)))
  },
  plain() {
    everyGround((side, kind, file) => {
      if (kind === 'rough' || side <= 4000) one('flow, plain', side, kind, () => job('plain', file, side))
    })
  },
  gradient() {
    everyGround((side, kind, file) => one('gradient', side, kind, () => inProcesses(3, () => job('gradient', file, side))))
  },
  spread() {
    everyGround((side, kind, file) => {
      one('dispersive, by vector', side, kind, () => job('spread', file, side, 'byVector'))
      one('dispersive, by facets', side, kind, () => job('spread', file, side, 'byFacets'))
      one('multiple flow', side, kind, () => job('spread', file, side, 'multiple'))
    })
  },
  contours() {
    everyGround((side, kind, file) => {
      one('contours, 1 m', side, kind, () => job('contours', file, side))
      if (kind === 'rough' && side <= 4000) one('contours, d3-contour', side, kind, () => job('d3', file, side))
    })
  },
  reading() {
    if (!installed.gdal) return
    for (const side of sizes) {
      const tiff = tiffOf(side)
      one('reading DEFLATE, predictor 3', side, 'rough', () => job('decode', tiff, side))
      if (side <= 4000) one('reading LZW, predictor 3', side, 'rough', () => job('decode', asTiff(groundFile(side, 'rough'), 'LZW'), side))
      one('whole process', side, 'rough', () => {
        const whole = job('whole', tiff, side, join(folder, 'whole'))
        return whole && { wall_s: whole.process_s, peak_MB: whole.peak_MB }
      })
    }
  },
  gdal() {
    if (!installed.gdal) return
    for (const side of sizes) {
      const tiff = tiffOf(side)
      const asks = (name, program, ...args) =>
        one(name, side, 'rough', () => leastOf(side > 5000 ? 3 : 5, () => timedProcess(program, args, folder)))
      asks('gdal_translate', 'gdal_translate', '-q', '-of', 'ENVI', tiff, join(folder, 'copy.bin'))
      asks('gdaldem slope', 'gdaldem', 'slope', '-q', '-p', '-of', 'ENVI', tiff, join(folder, 'slope.bin'))
      asks('gdal_contour', 'gdal_contour', '-q', '-i', '1', '-f', 'FlatGeobuf', tiff, join(folder, 'c.fgb'))
    }
  },
  grass() {
    if (!installed.grass || !installed.gdal) return
    for (const side of sizes) {
      const names = ['GRASS import', 'GRASS r.watershed -s', ...(side <= 4000 ? ['GRASS r.watershed'] : [])]
      measure(names, side, 'rough', () => {
        const { imported, single, multiple } = grass(tiffOf(side), folder, side <= 4000, side > 5000 ? 1 : 3)
        return [imported, single, multiple]
      })
    }
  },
  saga() {
    if (!installed.saga || !installed.gdal) return
    for (const side of sizes)
      measure(['SAGA start', 'SAGA fill XXL', 'SAGA top-down accumulation'], side, 'rough', () => {
        const { start, filled, counted } = saga(groundFile(side, 'rough'), folder)
        return [start, filled, counted]
      })
  },
  drag() {
    // Of three runs the one whose median is least, as it stands.
    const bestOf = (name, median) =>
      Array.from({ length: 3 }, () => job(name, '', 1000))
        .filter(run => run !== null)
        .reduce((best, run) => (best === null || run[median] < best[median] ? run : best), null)
    one('drag, library in Node', 1000, 'hillside', () => bestOf('drag', 'median_ms'))
    one('drag in the browser', 1000, 'hillside', () => bestOf('dragInBrowser', 'worker_median_ms'))
  },
  doubt() {
    one('200 tried terrains', 500, 'hillside', () => job('doubt', '', 500))
  },
}

const chosen = option('part', Object.keys(parts).join(',')).split(',')
for (const part of chosen) if (part !== 'none') parts[part]()
for (const line of barLines(measured, sizes)) say(line)
tell({ loadAfter: loadavg() })

if (process.argv.includes('--keep')) {
  const results = new URL('./results/', import.meta.url)
  mkdirSync(results, { recursive: true })
  writeFileSync(new URL(`${new Date().toISOString().slice(0, 10)}-speed.txt`, results), `${lines.join('\n')}\n`)
}
