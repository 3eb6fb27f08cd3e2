// Time of one answer while a line is dragged, on a 1000 × 1000 hillside at 1 m with buildings, wood and stream. Ratios and machine are printed
// by run.mjs; this file prints milliseconds of one run, for a person to read beside an earlier run on the same machine.
import { seededRandom } from '../../packages/soakline/dist/foundation/index.js'
import { studyWater, walkScratch } from '../../packages/soakline/dist/hydrology/index.js'
import { assess, settingsFrom, siteOf } from '../../packages/soakline/dist/plan/index.js'
import { gradient, lineThrough } from '../../packages/soakline/dist/terrain/index.js'

/** A seeded hillside below a ridge at 30 % of the way down, with spurs, hollows of a few centimetres and noise. */
export function hillside(side, seed = 1) {
  const random = seededRandom(seed)
  const bumps = Array.from({ length: 60 }, () => ({
    x: random.uniform() * side,
    y: random.uniform() * side,
    r: 30 + random.uniform() * 120,
    h: (random.uniform() - 0.5) * 14,
  }))
  const data = new Float32Array(side * side)
  for (let row = 0, cell = 0; row < side; row++)
    for (let column = 0; column < side; column++, cell++) {
      let z = 200 - 0.09 * Math.abs(row - 0.3 * side) + random.normal() * 0.02
      for (const b of bumps) {
        const d2 = ((column - b.x) ** 2 + (row - b.y) ** 2) / (b.r * b.r)
        if (d2 < 1) z += b.h * (1 - d2) * (1 - d2)
      }
      data[cell] = z
    }
  return { quantity: 'elevation_m', geometry: { width: side, height: side, cell_m: 1, west_m: 0, north_m: side, crs: 'local' }, data }
}

const box = (x, y, w, h) => ({
  type: 'polygon',
  rings: [
    [
      [x, y],
      [x + w, y],
      [x + w, y + h],
      [x, y + h],
    ],
  ],
})
const feature = (id, kind, shape) => ({ id, kind, name: id, shapes: [shape], floor_m: null })

export function dragBench(side = 1000, steps = 40) {
  const ground = hillside(side)
  const features = [
    feature('cabin', 'building', box(0.45 * side, 0.2 * side, 10, 8)),
    feature('barn', 'building', box(0.6 * side, 0.15 * side, 20, 12)),
    feature('wood', 'forest', box(0.7 * side, 0.3 * side, 0.2 * side, 0.2 * side)),
    feature('stream', 'stream', {
      type: 'line',
      path: [
        [0, 0.05 * side],
        [side, 0.04 * side],
      ],
    }),
  ]
  const { settings } = settingsFrom({ elevationError_m: 0.1, allBuildingsDrawn: true })
  const started = performance.now()
  const study = studyWater(ground)
  const studied = performance.now() - started
  const site = siteOf(study, gradient(ground), features, settings, { sha256: '', warnings: [] })
  // Short bursts as well, so that peaks, sill and freeboard are worked out with every step.
  const rain = {
    rows: [
      [1 / 12, 7.5, 13.4, 17],
      [0.25, 14.3, 25.9, 33],
      [1, 26, 49, 62],
      [6, 44, 88, 116],
      [24, 62, 126, 165],
    ].flatMap(([duration_h, ...depths]) => depths.map((depth_mm, k) => ({ duration_h, chancePerYear: [0.5, 0.04, 0.01][k], depth_mm }))),
  }
  const scratch = walkScratch(side * side)
  const times = []
  const traced = []
  const areas = []
  for (let k = 0; k < steps; k++) {
    const t0 = performance.now()
    const line = lineThrough(ground, [0.5 * side + k, 0.5 * side - k * 0.7], 120)
    const t1 = performance.now()
    areas.push(assess(site, line.path, settings, rain, { scratch, live: true }).catchment.area_m2)
    times.push(performance.now() - t1)
    traced.push(t1 - t0)
  }
  const median = list => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)]
  const nearWorst = list => [...list].sort((a, b) => a - b)[Math.ceil(0.95 * list.length) - 1]
  return {
    side,
    studied_ms: studied,
    first_ms: times[0],
    median_ms: median(times),
    p95_ms: nearWorst(times.slice(3)),
    worst_ms: Math.max(...times.slice(3)),
    trace_ms: median(traced),
    medianCatchment_m2: median(areas),
  }
}

if (import.meta.url === `file://${process.argv[1]}`) for (const side of [500, 1000]) console.log(dragBench(side))
