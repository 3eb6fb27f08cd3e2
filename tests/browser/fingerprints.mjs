// What the engine makes of a ground, as one hash for each result: the same code runs in Node and in a page (see same-bits.test.ts).

/** Hashes of all results on a ground; the first argument holds the rooms. With compiled kernels where they are given. */
export async function fingerprints({ hydrology, plan, terrain }, ground, kernels = null) {
  const { geometry } = ground
  const { width, height, cell_m } = geometry
  const study = hydrology.studyWater(ground, { kernels })
  const { drained, filled, net, rim } = study
  const steep = terrain.gradient(ground, kernels)
  const interval_m = 1
  const contours = terrain.contourLines(ground, interval_m)
  const answers = {}
  const keep = async (name, values) => {
    answers[name] = await hashOf(values)
  }
  await keep('filled', filled.data)
  await keep('direction', drained.direction)
  await keep('basin', drained.basin)
  await keep('level_m', drained.basins.level_m)
  await keep('facet', net.facet)
  await keep('toNext', net.toNext)
  await keep('order', net.order)
  await keep('rim', rim.data)
  await keep('edge', hydrology.edgeReach(net, rim).data)
  await keep('area', hydrology.contributingArea(net).data)
  await keep('areaSingle', hydrology.contributingAreaSingle(drained, undefined, kernels).data)
  await keep('gradient', steep.data)
  await keep('hollows', Float64Array.from(study.hollows.flatMap(h => [h.deepest, h.cells, h.volume_m3, h.rim_m, h.spillCell])))
  await keep('contours', Float64Array.from(contours.flatMap(({ elevation_m, path }) => [elevation_m, ...path.flat()])))

  // Lines through nine places, level and falling, and the whole answer about each.
  const lines = []
  const found = []
  const { settings } = plan.settingsFrom({ elevationError_m: 0.1, allBuildingsDrawn: true })
  const place = (column, row) => [geometry.west_m + column * cell_m, geometry.north_m - row * cell_m]
  const [x, y] = place(0.45 * width, 0.7 * height)
  const house = {
    id: 'house',
    kind: 'building',
    name: 'house',
    floor_m: null,
    shapes: [
      {
        type: 'polygon',
        rings: [
          [
            [x, y],
            [x + 8 * cell_m, y],
            [x + 8 * cell_m, y + 6 * cell_m],
            [x, y + 6 * cell_m],
          ],
        ],
      },
    ],
  }
  const site = plan.siteOf(study, steep, [house], settings, { sha256: '', warnings: [] })
  for (const row of [0.3, 0.5, 0.7])
    for (const column of [0.3, 0.5, 0.7])
      for (const fall of [0, 0.005]) {
        try {
          const { path } = terrain.lineThrough(ground, place(column * width, row * height), 30 * cell_m, fall)
          lines.push(...path.flat(), Number.POSITIVE_INFINITY)
          const { share } = hydrology.lineCatchment(net, ground, path, rim)
          lines.push(...share.data.filter(part => part > 0))
          const { findings, catchment, spills } = plan.assess(site, path, settings, null)
          found.push({
            findings: findings.map(({ check, verdict, because }) => [check, verdict, because]),
            // Other numbers agree as printed.
            printed: [catchment.area_m2, catchment.longestFlow_m, ...spills.map(s => s.path.length_m)].map(v => v.toPrecision(9)),
            ends: spills.map(s => [s.rank, s.path.endsIn, s.path.reachesBuilding]),
          })
        } catch (error) {
          if (typeof error.code !== 'string') throw error
          found.push(error.code)
        }
      }
  await keep('lines', Float64Array.from(lines))
  answers.answers = JSON.stringify(found)
  return answers
}

/** SHA-256 of an array's bytes, whatever bits its NaN have. */
async function hashOf(values) {
  const copy = values.slice()
  const bytes = new Uint8Array(copy.buffer)
  if (copy instanceof Float32Array || copy instanceof Float64Array) {
    const size = copy.BYTES_PER_ELEMENT
    for (let k = 0; k < copy.length; k++) if (Number.isNaN(copy[k])) bytes.fill(0xff, k * size, (k + 1) * size)
  }
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return Array.from(digest.slice(0, 8), byte => byte.toString(16).padStart(2, '0')).join('')
}
