// What a stranger writes who has read the README: a raster read from a file, a level line through a place, what drains into it, what is found about it.
import { sayFinding } from '@soakline/drawing'
import { readElevation, writeGeoTiff } from '@soakline/io'
import { lineCatchment, studyWater } from 'soakline/hydrology'
import { assess, settingsFrom, siteOf } from 'soakline/plan'
import { gradient, lineThrough } from 'soakline/terrain'

const [WIDTH, HEIGHT, CELL_M, WEST_M, NORTH_M] = [60, 60, 2, 500000, 4100000]

/** The bytes of a GeoTIFF: a slope of 12 % that falls to the south. */
function hillside() {
  const data = Float32Array.from({ length: WIDTH * HEIGHT }, (_, cell) => 140 - 0.12 * CELL_M * Math.floor(cell / WIDTH))
  const geometry = { width: WIDTH, height: HEIGHT, cell_m: CELL_M, west_m: WEST_M, north_m: NORTH_M, crs: 'EPSG:32630' }
  return writeGeoTiff({ geometry, data }, { unit: 'm' })
}

/** Answers of all three packages, as plain values. */
export async function answer() {
  const { buffer } = await hillside()
  const { grid, report } = await readElevation(buffer, { fileName: 'hillside.tif' })
  const study = studyWater(grid)
  const { path } = lineThrough(grid, [WEST_M + 60, NORTH_M - 60], 40)
  const { area_m2 } = lineCatchment(study.net, grid, path, study.rim)
  const { settings } = settingsFrom({ elevationError_m: 0.1 })
  const ground = { sha256: report.sha256, warnings: report.warnings }
  const { findings } = assess(siteOf(study, gradient(grid), [], settings, ground), path, settings, null)
  const voice = { language: 'en', units: 'metric' }
  return { area_m2, findings: findings.length, said: findings.map(finding => sayFinding(finding, voice)) }
}
