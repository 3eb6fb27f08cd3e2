// Compares the terrain engine with GDAL, SAGA and GRASS on any elevation GeoTIFF in metres, north up:
//   node tests/reference-programs/compare.mjs DEM.tif [DEM.tif …] [--interval M]
// Needs gdal-bin, saga and grass-core (Debian's names) and a built project. Prints a line for each comparison; ends with 1 if a tolerance is
// missed. The tolerances are those of the tests on kept reference results (tests/real-ground).
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { fromArrayBuffer } from 'geotiff'
import { readElevation, writeGeoTiff } from '../../packages/io/dist/index.js'
import { contributingAreaSingle, drainage, filledSurface, hollows, LEAVES } from '../../packages/soakline/dist/hydrology/index.js'
import { neighbourOffsets, pathLength_m, rimCells, STEP_LENGTH } from '../../packages/soakline/dist/raster/index.js'
import { contourInterval_m, contourLines, gradient } from '../../packages/soakline/dist/terrain/index.js'

const { values, positionals } = parseArgs({ allowPositionals: true, options: { interval: { type: 'string' } } })
if (positionals.length === 0) {
  console.error('Usage: node tests/reference-programs/compare.mjs DEM.tif [DEM.tif …] [--interval M]')
  process.exit(2)
}

let missed = 0
const folder = mkdtempSync(join(tmpdir(), 'soakline-compare-'))
try {
  console.log([version('gdal_translate'), version('saga_cmd'), `GRASS ${run('grass', ['--config', 'version']).trim()}`].join(' · '))
  for (const file of positionals) await compare(resolve(file))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
process.exitCode = missed > 0 ? 1 : 0

async function compare(file) {
  console.log(`\n${file}`)
  const { grid: ground, report } = await readElevation(bytesOf(file), { crs: 'local', elevationUnit: 'm' })
  const { geometry } = ground
  const { width, height, cell_m } = geometry
  console.log(`  ${width} × ${height} cells of ${cell_m} m, ${report.voidCells} void`)
  const interval_m = Number(values.interval ?? contourInterval_m(report.maximum_m - report.minimum_m))

  // A plain copy without a coordinate system: no program can take the cells for anything but metres.
  const dem = join(folder, 'dem.tif')
  writeFileSync(dem, await writeGeoTiff({ geometry: { ...geometry, crs: 'local' }, data: ground.data }, { unit: 'm' }))
  run('gdal_translate', ['-q', '-of', 'SAGA', dem, join(folder, 'dem.sdat')])

  // — hollows
  const drained = drainage(ground)
  const filled = filledSurface(ground, drained)
  fillBySaga('filled', 0)
  const sagaFilled = await rasterOf(join(folder, 'filled.sdat'))
  let furthest = 0
  filled.data.forEach((z, cell) => {
    if (Number.isNaN(z) !== Number.isNaN(sagaFilled[cell])) furthest = Number.POSITIVE_INFINITY
    else if (!Number.isNaN(z)) furthest = Math.max(furthest, Math.abs(z - sagaFilled[cell]))
  })
  tell('filled surface, SAGA (Wang & Liu)', `furthest ${furthest.toExponential(1)} m`, furthest <= 1e-4)
  console.log(`  hollows: ${hollows(ground, filled, drained).length}`)

  // — single directions, by what they accumulate: on a surface that SAGA has made to drain
  fillBySaga('conditioned', 0.01)
  run('saga_cmd', [
    'ta_hydrology',
    '0',
    '-ELEVATION',
    at('conditioned.sgrd'),
    '-FLOW',
    at('flow.sgrd'),
    '-FLOW_UNIT',
    '0',
    '-METHOD',
    '0',
    '-STEP',
    '1',
    '-LINEAR_DO',
    '0',
  ])
  const conditioned = { ...ground, data: Float32Array.from(await rasterOf(at('conditioned.sdat'))) }
  const flow = await rasterOf(at('flow.sdat'))
  const drainedConditioned = drainage(conditioned)
  const area = contributingAreaSingle(drainedConditioned)
  const unsure = unsureCells(conditioned, drainedConditioned)
  let compared = 0
  let different = 0
  area.data.forEach((m2, cell) => {
    if (unsure[cell] || Number.isNaN(m2)) return
    compared++
    if (Math.abs(m2 / (cell_m * cell_m) - flow[cell]) > 0.5) different++
  })
  tell(
    'cells accumulated along single directions, SAGA',
    `${different} different of ${compared} that no tie and no rim cell could change`,
    different === 0,
  )

  // — slope
  const steep = gradient(ground)
  run('gdaldem', ['slope', '-q', dem, at('slope.tif'), '-alg', 'Horn'])
  slopeAgainst('GDAL', await rasterOf(at('slope.tif')))
  const script = [
    `r.in.gdal -o --quiet input=${dem} output=dem`,
    'g.region raster=dem',
    'r.slope.aspect --quiet elevation=dem slope=slope format=degrees',
    `r.out.gdal -c -f --quiet input=slope output=${at('grass-slope.tif')} nodata=-9999 type=Float32`,
    `r.contour --quiet input=dem output=contours step=${interval_m} cut=0`,
    `v.to.db -p --quiet map=contours type=line option=length columns=l units=meters separator=comma > ${at('grass-contours.csv')}`,
  ].join(' && ')
  run('grass', ['--tmp-location', 'XY', '--exec', 'bash', '-c', script])
  slopeAgainst('GRASS', await rasterOf(at('grass-slope.tif')))

  // — contours, level by level where they stay off the rim and the voids: programs end them half a cell apart
  run('gdal_contour', ['-q', '-a', 'elev', '-i', String(interval_m), '-f', 'CSV', '-lco', 'GEOMETRY=AS_WKT', dem, at('contours')])
  const theirs = new Map()
  // gdal_contour goes on for half a cell beyond the outermost cell centres, and has lines of its own there: that rim is left out.
  const centres = [
    geometry.west_m + cell_m / 2,
    geometry.north_m - (height - 0.5) * cell_m,
    geometry.west_m + (width - 0.5) * cell_m,
    geometry.north_m - cell_m / 2,
  ]
  for (const line of readFileSync(join(at('contours'), 'contour.csv'), 'utf8').split('\n')) {
    const found = /^"?LINESTRING ?Z? ?\(([^)]*)\)"?,.*?,?"?(-?[\d.]+)"?\s*$/.exec(line)
    if (!found) continue
    const path = found[1].split(',').map(pair => pair.trim().split(' ').map(Number))
    theirs.set(Number(found[2]), (theirs.get(Number(found[2])) ?? 0) + lengthWithin(path, centres))
  }
  const ours = new Map()
  for (const { elevation_m, path } of contourLines(ground, interval_m)) {
    ours.set(elevation_m, (ours.get(elevation_m) ?? 0) + pathLength_m(path))
  }
  let total = 0
  let theirTotal = 0
  let worst = 0
  for (const [level, length_m] of ours) {
    total += length_m
    theirTotal += theirs.get(level) ?? 0
    worst = Math.max(worst, Math.abs((theirs.get(level) ?? 0) / length_m - 1))
  }
  const apart = Math.abs(theirTotal / total - 1)
  tell(
    'contour length in total, GDAL',
    `${total.toFixed(0)} m, ${(100 * apart).toFixed(2)} % apart; ${(100 * worst).toFixed(2)} % on the worst of ${ours.size} levels`,
    apart <= 0.01,
  )
  const grassTotal = readFileSync(at('grass-contours.csv'), 'utf8')
    .split('\n')
    .reduce((sum, line) => sum + (Number(line.split(',').pop()) || 0), 0)
  const off = Math.abs(total / grassTotal - 1)
  tell('contour length in total, GRASS', `${total.toFixed(0)} m, ${(100 * off).toFixed(2)} % apart`, off <= 0.01)

  function at(name) {
    return join(folder, name)
  }

  function fillBySaga(name, slope_deg) {
    run('saga_cmd', [
      'ta_preprocessor',
      '4',
      '-ELEV',
      at('dem.sgrd'),
      '-FILLED',
      at(`${name}.sgrd`),
      '-FDIR',
      at('fd.sgrd'),
      '-WSHED',
      at('ws.sgrd'),
      '-MINSLOPE',
      String(slope_deg),
    ])
  }

  function slopeAgainst(program, theirs_deg) {
    let furthest = 0
    let both = 0
    steep.data.forEach((ratio, cell) => {
      if (Number.isNaN(ratio) || Number.isNaN(theirs_deg[cell])) return
      both++
      furthest = Math.max(furthest, Math.abs((Math.atan(ratio) * 180) / Math.PI - theirs_deg[cell]))
    })
    tell(`slope, ${program} (Horn)`, `furthest ${furthest.toExponential(1)}° on ${both} cells`, furthest <= 0.01 && both > 0)
  }
}

/** Length of a path inside a box: west, south, east, north. */
function lengthWithin(path, [west, south, east, north]) {
  let sum = 0
  for (let k = 1; k < path.length; k++) {
    const [[ax, ay], [bx, by]] = [path[k - 1], path[k]]
    let [from, to] = [0, 1]
    for (const [at, step, low, high] of [
      [ax, bx - ax, west, east],
      [ay, by - ay, south, north],
    ]) {
      if (step === 0) {
        if (at < low || at > high) to = 0
        continue
      }
      const [one, other] = [(low - at) / step, (high - at) / step]
      from = Math.max(from, Math.min(one, other))
      to = Math.min(to, Math.max(one, other))
    }
    if (to > from) sum += (to - from) * Math.sqrt((bx - ax) ** 2 + (by - ay) ** 2)
  }
  return sum
}

/** Cells whose single-direction water a tie or a rim cell could change: there two programs may differ and both be right. */
function unsureCells(ground, { direction }) {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const unsure = rimCells(z, width, height)
  const open = []
  const put = cell => {
    if (unsure[cell] === 2) return
    unsure[cell] = 2
    open.push(cell)
  }
  for (let cell = 0; cell < z.length; cell++) {
    if (unsure[cell] || Number.isNaN(z[cell])) continue
    const drops = Array.from(offsets, (step, k) => (z[cell] - z[cell + step]) / STEP_LENGTH[k])
    const most = Math.max(...drops)
    const equals = offsets.filter((_, k) => drops[k] >= most * (1 - 1e-6))
    if (equals.length > 1) for (const step of equals) put(cell + step)
  }
  for (let cell = 0; cell < z.length; cell++) if (unsure[cell] === 1) put(cell)
  while (open.length > 0) {
    const cell = open.pop()
    if (direction[cell] < LEAVES) put(cell + offsets[direction[cell]])
  }
  return unsure
}

function tell(what, found, holds) {
  if (!holds) missed++
  console.log(`  ${holds ? 'agrees' : 'DIFFERS'}: ${what}: ${found}`)
}

function run(command, words) {
  const { status, error, stdout, stderr } = spawnSync(command, words, { encoding: 'utf8', maxBuffer: 1 << 28 })
  if (error?.code === 'ENOENT') throw new Error(`${command} is not installed: apt-get install gdal-bin saga grass-core`)
  if (status !== 0) throw new Error(`${command} ${words.join(' ')} ended with ${status}: ${stderr || stdout}`)
  return stdout
}

function version(command) {
  return (
    run(command, ['--version'])
      .split('\n')
      .find(line => /\d/.test(line))
      ?.trim() ?? command
  )
}

function bytesOf(file) {
  const bytes = readFileSync(file)
  return bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength)
}

/** A raster's cells as numbers, no data as NaN; other formats than GeoTIFF are turned into it first. */
async function rasterOf(file) {
  let tiff = file
  if (!file.endsWith('.tif')) {
    tiff = `${file}.tif`
    run('gdal_translate', ['-q', file, tiff])
  }
  const image = await (await fromArrayBuffer(bytesOf(tiff))).getImage()
  const nodata = image.getGDALNoData()
  const band = await image.readRasters({ interleave: true })
  return Float64Array.from(band, value => (value === nodata ? Number.NaN : value))
}
