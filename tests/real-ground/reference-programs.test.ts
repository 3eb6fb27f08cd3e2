import {
  contributingAreaSingle,
  drainage,
  type FlowNetwork,
  filledSurface,
  flowNetwork,
  hollows,
  inflowRim,
  lineCatchment,
  pointCatchment,
  single,
  wetnessIndex,
} from 'soakline/hydrology'
import { cellAt, cellCentre, cellsAlong, pathLength_m, rimCells, surfaceValue } from 'soakline/raster'
import { aspect, gradient, linesAt } from 'soakline/terrain'
import { beforeAll, describe, expect, test } from 'vitest'
import { type RealCase, realCase, realCases, realContours, realGround, realRaster } from '../helpers/real-ground.js'

// Results of GDAL 3.6.2, SAGA 8.5.0, scikit-image 0.19.3 and NumPy 1.24.2 on the same rasters. Flags of the single directions: a sum of 1 = tie,
// 2 = an edge cell lies upstream, 4 = a tie or an edge cell could send water here, 8 = filled.
const TIE = 1
const UNSURE = 4

const degrees = (radians: number): number => (radians * 180) / Math.PI
/** Intersection over union of two sets of cells. */
function overlap(a: (cell: number) => boolean, b: (cell: number) => boolean, cells: number): number {
  let both = 0
  let either = 0
  for (let cell = 0; cell < cells; cell++) {
    if (a(cell) && b(cell)) both++
    if (a(cell) || b(cell)) either++
  }
  return both / either
}

const present = realCases()
if (present.length === 0)
  test('reference rasters of other programs are not on this machine: their comparisons are left out', () => {
    console.log('real-ground: the folder of reference rasters is absent; only the volcano is compared')
  })

describe.each(present)('real ground %s', name => {
  let facts: RealCase
  let ground: Awaited<ReturnType<typeof realGround>>
  let conditioned: typeof ground
  let drained: ReturnType<typeof drainage>
  let conditionedDrained: typeof drained

  beforeAll(async () => {
    facts = realCase(name)
    ground = await realGround(name)
    conditioned = await realGround(name, 'conditioned.tif')
    drained = drainage(ground)
    conditionedDrained = drainage(conditioned)
  })

  test('filled surface: 1e-4 m (SAGA Wang & Liu without slope, scikit-image reconstruction by erosion)', async () => {
    const reference = await realRaster(name, 'filled.tif')
    filledSurface(ground, drained).data.forEach((z, cell) => {
      if (Number.isNaN(z) !== Number.isNaN(reference[cell]!) || Math.abs(z - reference[cell]!) > 1e-4)
        expect.fail(`cell ${cell}: ${z} instead of ${reference[cell]}`)
    })
  })

  test('hollows: the same number, volume within 0.1 %', () => {
    const found = hollows(ground, filledSurface(ground, drained), drained)
    const { count, total_volume_m3, max_depth_m } = facts.depressions
    expect(found).toHaveLength(count)
    expect(Math.abs(found.reduce((sum, h) => sum + h.volume_m3, 0) / total_volume_m3 - 1)).toBeLessThan(0.001)
    expect(Math.max(...found.map(h => h.depth_m))).toBeCloseTo(max_depth_m, 4)
  })

  test('slope within 0.01°, aspect as far off as the same error of slope turns it (gdaldem, Horn)', async () => {
    const slopes = await realRaster(name, 'slope_deg.tif')
    const aspects = await realRaster(name, 'aspect_deg.tif')
    const { data } = aspect(ground)
    let compared = 0
    gradient(ground).data.forEach((ratio, cell) => {
      if (Number.isNaN(ratio) !== Number.isNaN(slopes[cell]!)) expect.fail(`cell ${cell}: ${ratio}, the reference has ${slopes[cell]}`)
      const slope = degrees(Math.atan(ratio))
      if (Math.abs(slope - slopes[cell]!) > 0.01) expect.fail(`cell ${cell}: slope ${slope} instead of ${slopes[cell]}`)
      // gdaldem adds heights in float32: near 400–800 m that is 0.0025° of slope, which turns the aspect of a slope of 0.2° by 0.7°.
      if (slope < 0.1 || Number.isNaN(aspects[cell]!)) return
      const turn = Math.abs(((data[cell]! - aspects[cell]! + 540) % 360) - 180)
      if (turn > 0.01 && ((turn * Math.PI) / 180) * slope > 0.005)
        expect.fail(`cell ${cell}: aspect ${data[cell]} instead of ${aspects[cell]}, slope ${slope}`)
      compared++
    })
    expect(compared).toBeGreaterThan(0.8 * facts.valid_cells)
  })

  test('wetness within 1e-4 of SAGA’s, given the same areas and slopes', async () => {
    const slopes = await realRaster(name, 'slope_deg.tif')
    const cells = await realRaster(name, 'd8_acc.tif')
    const reference = await realRaster(name, 'twi.tif')
    const { geometry } = ground
    const area = { quantity: 'contributing-area_m2', geometry, data: cells.map(n => n * geometry.cell_m ** 2) } as const
    const slope = { quantity: 'gradient_ratio', geometry, data: Float32Array.from(slopes, s => Math.tan((s * Math.PI) / 180)) } as const
    let compared = 0
    wetnessIndex(area, slope).data.forEach((wetness, cell) => {
      if (Number.isNaN(reference[cell]!) || Number.isNaN(wetness)) return
      compared++
      if (Math.abs(wetness - reference[cell]!) > 1e-4) expect.fail(`cell ${cell}: ${wetness} instead of ${reference[cell]}`)
    })
    expect(compared).toBeGreaterThan(0.9 * facts.valid_cells)
  })

  test('single directions on the conditioned surface: equal on every cell that is neither a tie nor on the rim (SAGA, NumPy)', async () => {
    const reference = await realRaster(name, 'd8_direction_deg.tif')
    const flags = await realRaster(name, 'd8_flags.tif')
    const { width, height } = conditioned.geometry
    const rim = rimCells(conditioned.data, width, height)
    let compared = 0
    conditionedDrained.direction.forEach((k, cell) => {
      if (Number.isNaN(conditioned.data[cell]!) || rim[cell] || flags[cell]! & TIE) return
      compared++
      const azimuth = k < 8 ? 45 * k || 360 : 0
      if (azimuth !== reference[cell]) expect.fail(`cell ${cell}: ${azimuth}° instead of ${reference[cell]}°`)
    })
    expect(compared).toBeGreaterThan(0.85 * facts.valid_cells)
  })

  test('single contributing area: equal wherever no tie and no edge cell could send water; none is lost', async () => {
    const reference = await realRaster(name, 'd8_acc.tif')
    const flags = await realRaster(name, 'd8_flags.tif')
    const cell_m2 = conditioned.geometry.cell_m ** 2
    let compared = 0
    let out = 0
    contributingAreaSingle(conditionedDrained).data.forEach((area, cell) => {
      if (Number.isNaN(area)) return
      if (conditionedDrained.direction[cell]! > 7) out += area / cell_m2
      if (flags[cell]! & UNSURE) return
      compared++
      if (Math.abs(area / cell_m2 - reference[cell]!) > 1e-6)
        expect.fail(`cell ${cell}: ${area / cell_m2} cells instead of ${reference[cell]}`)
    })
    expect(compared).toBeGreaterThan(0.55 * facts.valid_cells)
    expect(out).toBeCloseTo(facts.valid_cells, 6)
  })

  test('catchments of points: within 1 % on the conditioned surface; from the plain ground IoU ≥ 0.90 within two cells (SAGA, GRASS r.watershed)', async () => {
    const labels = await realRaster(name, 'watersheds.tif')
    const rim = inflowRim(ground, drained)
    const conditionedRim = inflowRim(conditioned, conditionedDrained)
    const g = ground.geometry
    for (const { id, x, y, cells } of facts.pour_points) {
      const area = pointCatchment(conditionedDrained, [x, y], conditionedRim)!.area_m2 / g.cell_m ** 2
      expect(Math.abs(area / cells - 1)).toBeLessThan(0.01)
      const middle = cellAt(g, x, y)
      let best = 0
      for (let row = -2; row <= 2; row++)
        for (let column = -2; column <= 2; column++) {
          const found = pointCatchment(drained, cellCentre(g, middle + row * g.width + column), rim)
          if (found)
            best = Math.max(
              best,
              overlap(
                cell => found.share.data[cell] === 1,
                cell => labels[cell] === id,
                labels.length,
              ),
            )
        }
      expect(best, `point ${id}`).toBeGreaterThanOrEqual(0.9)
    }
  })

  test('contour lengths within 1 % for each level, half a cell (slanting: more) allowed for each open end (gdal_contour)', () => {
    let closedOnly = 0
    for (const [level, { length_m }] of Object.entries(facts.contour.levels)) {
      const lines = linesAt(ground, Number(level))
      const open = lines.filter(line => !line.closed).length
      const length = lines.reduce((sum, line) => sum + pathLength_m(line.path), 0)
      // gdal_contour runs half a cell past the outermost cell centres, and knows short lines that lie wholly there.
      const allowed = 0.01 * length_m + open * 1.5 * ground.geometry.cell_m
      expect(Math.abs(length - length_m), `level ${level}, ${open} open lines`).toBeLessThan(allowed)
      if (open === 0) {
        closedOnly++
        expect(Math.abs(length / length_m - 1), `closed level ${level}`).toBeLessThan(0.001)
      }
    }
    if (name === 'volcano_10m' || name === 'moraine_1m') expect(closedOnly).toBeGreaterThan(3)
  })

  test('their contour vertices lie at their level on our surface, to a millimetre of place (gdal_contour)', () => {
    let compared = 0
    for (const [level, paths] of realContours(name))
      for (const place of paths.flat()) {
        const z = surfaceValue(ground, place)
        if (Number.isNaN(z)) continue
        compared++
        // Written to 1 mm; at heights on the level itself gdal_contour shifts the surface a little.
        if (Math.abs(z - level) > 0.005) expect.fail(`${z} at ${place} instead of ${level}`)
      }
    expect(compared).toBeGreaterThan(1000)
  })

  test('what drains into a line: IoU ≥ 0.97 by single directions, ≥ 0.93 by the dispersive network that is reported (SAGA, NumPy)', async () => {
    if (!facts.line) return
    const path = facts.line.coordinates
    const g = ground.geometry
    const reference = await realRaster(name, 'line_catchment.tif')
    const onLine = new Set(path.slice(1).flatMap((b, k) => cellsAlong(g, path[k]!, b)))
    const rim = inflowRim(ground, drained)
    const iou = (net: FlowNetwork): number => {
      const { share } = lineCatchment(net, ground, path, rim)
      return overlap(
        cell => share.data[cell]! >= 0.5 || onLine.has(cell),
        cell => reference[cell]! > 0,
        reference.length,
      )
    }
    const bySingle = iou(flowNetwork(ground, drained, single))
    const dispersive = iou(flowNetwork(ground, drained))
    expect(bySingle).toBeGreaterThanOrEqual(0.97)
    expect(dispersive).toBeGreaterThanOrEqual(0.93)
  })
})
