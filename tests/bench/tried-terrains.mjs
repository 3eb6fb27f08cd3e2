// Time of tried terrains for a line with two spills above a building, all of a hillside at 1 m tried: one record, run by speed.mjs.
import { studyWater } from '../../packages/soakline/dist/hydrology/index.js'
import { doubtRuns } from '../../packages/soakline/dist/siting/index.js'
import { lineThrough } from '../../packages/soakline/dist/terrain/index.js'
import { hillside } from './drag.mjs'

export function triedTerrains(side, runs) {
  const ground = hillside(side)
  const study = studyWater(ground)
  const { path } = lineThrough(ground, [0.5 * side, 0.5 * side], 120)
  const corner = [0.45 * side, 0.25 * side]
  const rings = [[corner, [corner[0] + 10, corner[1]], [corner[0] + 10, corner[1] + 8], [corner[0], corner[1] + 8]]]
  const cabin = { id: 'cabin', kind: 'building', name: 'cabin', floor_m: null, shapes: [{ type: 'polygon', rings }] }
  const question = {
    line: path,
    spills: [[path[0]], [path[path.length - 1]]],
    error: { sigma_m: 0.1, correlated_ratio: 0.5, correlationLength_m: 20 },
    clearance: { plan_m: 10, height_m: 0.35 },
    seed: 7,
    runs,
  }
  const before = process.cpuUsage()
  const from = performance.now()
  // A margin as wide as the raster: nothing of it is left out.
  const { geometry, areas_m2 } = doubtRuns(study, [cabin], question, { marginCells: side })
  const wall_s = (performance.now() - from) / 1000
  const { user, system } = process.cpuUsage(before)
  return { wall_s, cpu_s: (user + system) / 1e6, runs: areas_m2.length, columns: geometry.width, rows: geometry.height }
}
