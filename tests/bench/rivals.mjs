// The programs that the speed is set against, where they are installed (Debian: grass-core, saga, gdal-bin): each timed as a process, one thread.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const has = program => spawnSync('which', [program]).status === 0
export const installed = {
  grass: has('grass'),
  saga: has('saga_cmd'),
  gdal: has('gdal_translate') && has('gdaldem') && has('gdal_contour'),
}
const env = { ...process.env, OMP_NUM_THREADS: '1', GDAL_NUM_THREADS: '1' }

/** Wall and processor seconds and peak memory of one process; null where it fails. */
export function timedProcess(program, args, folder = '/tmp') {
  const figures = join(folder, 'time.txt')
  const from = performance.now()
  const timer = existsSync('/usr/bin/time')
  const done = timer
    ? spawnSync('/usr/bin/time', ['-o', figures, '-f', '%U %S %M', program, ...args], { env, encoding: 'utf8', maxBuffer: 1 << 26 })
    : spawnSync(program, args, { env, encoding: 'utf8', maxBuffer: 1 << 26 })
  const wall_s = (performance.now() - from) / 1000
  if (done.status !== 0) return null
  const [user, system, peak] = timer ? readFileSync(figures, 'utf8').trim().split('\n').pop().split(' ').map(Number) : []
  return { wall_s, cpu_s: user + system, peak_MB: (peak * 1024) / 1e6, out: done.stdout }
}

/** What took least time of some runs; null where none came to its end. */
export function leastOf(runs, act) {
  const ended = Array.from({ length: runs }, act).filter(run => run !== null)
  return ended.length > 0 ? ended.reduce((least, run) => (run.wall_s < least.wall_s ? run : least)) : null
}

/** A header that lets GDAL read a file of bare float32. */
export function writeHeader(file, side) {
  writeFileSync(
    file.replace(/\.f32$/, '.hdr'),
    `ENVI\nsamples = ${side}\nlines = ${side}\nbands = 1\ndata type = 4\ninterleave = bsq\nbyte order = 0\nheader offset = 0\n` +
      'map info = {UTM, 1, 1, 500000, 4000000, 1, 1, 30, North, WGS-84}\n',
  )
}

export function asTiff(file, compression) {
  const tiff = file.replace(/\.f32$/, `-${compression.toLowerCase()}.tif`)
  if (!existsSync(tiff))
    spawnSync('gdal_translate', ['-q', '-co', 'TILED=YES', '-co', `COMPRESS=${compression}`, '-co', 'PREDICTOR=3', file, tiff], { env })
  return tiff
}

/** Import, single-direction and multiple-flow analysis by GRASS: each the least of some runs. */
export function grass(tiff, folder, withMultiple, runs) {
  const place = join(folder, 'grass')
  rmSync(place, { recursive: true, force: true })
  spawnSync('grass', ['-c', tiff, place, '-e'], { env })
  const once = args => {
    const figures = join(folder, 'time.txt')
    const done = spawnSync('grass', [join(place, 'PERMANENT'), '--exec', '/usr/bin/time', '-o', figures, '-f', '%e %U %S %M', ...args], {
      env,
    })
    if (done.status !== 0) return null
    const [wall_s, user, system, peak] = readFileSync(figures, 'utf8').trim().split('\n').pop().split(' ').map(Number)
    return { wall_s, cpu_s: user + system, peak_MB: (peak * 1024) / 1e6 }
  }
  const inside = args => leastOf(runs, () => once(args))
  const imported = inside(['r.in.gdal', '-o', '--quiet', '--overwrite', `input=${tiff}`, 'output=dem'])
  spawnSync('grass', [join(place, 'PERMANENT'), '--exec', 'g.region', 'raster=dem'], { env })
  const ask = ['--quiet', '--overwrite', 'elevation=dem', 'accumulation=acc', 'drainage=dir']
  const single = inside(['r.watershed', '-s', ...ask])
  const multiple = withMultiple ? inside(['r.watershed', ...ask]) : null
  rmSync(place, { recursive: true, force: true })
  return { imported, single, multiple }
}

/** Filling and top-down accumulation by SAGA, and what its start alone takes. */
export function saga(file, folder) {
  const dem = join(folder, 'saga-dem.sdat')
  const tiny = join(folder, 'saga-tiny.sdat')
  spawnSync('gdal_translate', ['-q', '-of', 'SAGA', file, dem], { env })
  spawnSync('gdal_translate', ['-q', '-of', 'SAGA', '-srcwin', '0', '0', '50', '50', file, tiny], { env })
  const grid = path => path.replace(/sdat$/, 'sgrd')
  const fill = (from, to) =>
    timedProcess('saga_cmd', ['-c=1', '-f=s', 'ta_preprocessor', '5', `-ELEV=${grid(from)}`, `-FILLED=${to}`, '-MINSLOPE=0.01'], folder)
  const start = fill(tiny, join(folder, 'saga-tiny-filled.sgrd'))
  const filled = fill(dem, join(folder, 'saga-filled.sgrd'))
  const counted = timedProcess(
    'saga_cmd',
    [
      '-c=1',
      '-f=s',
      'ta_hydrology',
      '0',
      `-ELEVATION=${join(folder, 'saga-filled.sgrd')}`,
      `-FLOW=${join(folder, 'saga-flow.sgrd')}`,
      '-METHOD=0',
    ],
    folder,
  )
  return { start, filled, counted }
}
