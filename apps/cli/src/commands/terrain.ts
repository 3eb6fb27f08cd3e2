import { type Reading, writeGeoJson, writeGeoTiff } from '@soakline/io'
import { contributingArea, contributingAreaSingle, edgeReach, inflowRim, VOID, wetnessIndex } from 'soakline/hydrology'
import { cellCentre, type GridGeometry } from 'soakline/raster'
import { contourInterval_m, contourLines, gradient } from 'soakline/terrain'
import type { Command } from '../command.js'
import { jsonText } from '../files.js'
import { openGround, outOption, placeInJson, rasterOperand, readOptions } from '../ground.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { GROUND_OPTIONS, numberOption } from '../usage.js'

const NODATA = -9999

/** Rasters of the ground's water, contours, and a list of its hollows. */
export const terrain: Command = {
  name: 'terrain',
  usage: 'terrain DEM --out DIR [--interval M] [--features FILE] [--hollows FILE]',
  options: { ...GROUND_OPTIONS, ...STUDY_OPTIONS, interval: 'M' },
  async run(args, talk) {
    const folder = outOption(args)
    const asked = numberOption(args, 'interval', 1e-6, 1e6)
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const { grid, projection, report } = reading
    const study = await studyOf(reading, await onTheGround(args, reading, talk), talk)
    const at = (cell: number): [number, number] => placeInJson(projection, cellCentre(grid.geometry, cell))
    const steep = gradient(grid)
    const area = contributingArea(study.net)
    const areaSingle = contributingAreaSingle(study.drained)
    const interval = asked ?? contourInterval_m(report.maximum_m - report.minimum_m)
    const lines = contourLines(grid, interval)
    const raster = (data: Float32Array | Float64Array | Uint16Array | Uint8Array, nodata: number | null): Promise<Uint8Array> =>
      writeGeoTiff({ geometry: grid.geometry, data }, { nodata, crs: projection.crs })
    const summary = {
      format: 'soakline-terrain/1',
      width: grid.geometry.width,
      height: grid.geometry.height,
      cell_m: grid.geometry.cell_m,
      crs: report.crs,
      crsName: report.crsName,
      elevationUnit: report.elevationUnit,
      elevationUnitFrom: report.elevationUnitFrom,
      minimum_m: report.minimum_m,
      maximum_m: report.maximum_m,
      voidCells: report.voidCells,
      sha256: report.sha256,
      contourInterval_m: interval,
      hollows: study.hollows.map(h => ({
        deepest: at(h.deepest),
        spill: at(h.spillCell),
        rim_m: h.rim_m,
        depth_m: h.depth_m,
        area_m2: h.area_m2,
        volume_m3: h.volume_m3,
        touchesRim: h.touchesRim,
        guess: h.guess.is,
        because: h.guess.because,
      })),
      culvertPlaces: study.culvertPlaces.map(({ from, to, ...place }) => ({ ...place, from: at(from), to: at(to) })),
      treated: study.outcomes.map(({ choice, hollow, done, because, cuts }) => ({
        at: placeInJson(projection, choice.at),
        hollow,
        treatment: choice.treatment,
        done,
        because,
        cut_m3: cuts.reduce((sum, cut) => sum + cut.volume_m3, 0),
      })),
      drawn: study.drawn.map(({ kind, index, changed, volume_m3 }) => ({ kind, index, cells: changed.length, volume_m3 })),
      warnings: report.warnings,
    }
    return {
      folder,
      main: summary,
      files: [
        { name: 'filled.tif', content: await raster(study.filled.data, NODATA) },
        { name: 'flow-direction.tif', content: await raster(degrees(study.drained.direction), 65535) },
        { name: 'contributing-area.tif', content: await raster(area.data, NODATA) },
        { name: 'contributing-area-single.tif', content: await raster(areaSingle.data, NODATA) },
        { name: 'gradient.tif', content: await raster(steep.data, NODATA) },
        { name: 'wetness.tif', content: await raster(wetnessIndex(area, steep).data, NODATA) },
        {
          name: 'edge.tif',
          content: await raster(edgeReach(study.net, inflowRim(study.ground, study.drained, Number.POSITIVE_INFINITY)).data, null),
        },
        { name: 'contours.geojson', content: contoursJson(lines, reading) },
        { name: 'terrain.json', content: jsonText(summary) },
      ],
      summary: terrainSummary(summary, grid.geometry, lines.length, talk.voice.language === 'es'),
      exitCode: 0,
    }
  },
}

/** Degrees clockwise from grid north, north 360; 0 where water leaves or stays; 65535 without data. */
const degrees = (direction: Uint8Array): Uint16Array =>
  Uint16Array.from(direction, code => (code === VOID ? 65535 : code > 7 ? 0 : code === 0 ? 360 : 45 * code))

const contoursJson = (lines: ReturnType<typeof contourLines>, { projection }: Reading): string =>
  writeGeoJson(
    lines.map(line => ({
      shapes: [{ type: 'line', path: line.path }],
      properties: { elevation_m: line.elevation_m, closed: line.closed },
    })),
    projection,
  )

function terrainSummary(
  t: {
    cell_m: number
    minimum_m: number
    maximum_m: number
    voidCells: number
    hollows: readonly { depth_m: number; volume_m3: number }[]
  },
  g: GridGeometry,
  contours: number,
  spanish: boolean,
): string[] {
  const deepest = t.hollows[0]
  return spanish
    ? [
        `${g.width} × ${g.height} celdas de ${t.cell_m} m; alturas de ${t.minimum_m.toFixed(2)} a ${t.maximum_m.toFixed(2)} m; ${t.voidCells} celdas sin datos.`,
        `${t.hollows.length} hondonadas${deepest ? `; la mayor guarda ${Math.round(deepest.volume_m3)} m³ y tiene ${deepest.depth_m.toFixed(2)} m de hondo` : ''}. ${contours} curvas de nivel.`,
      ]
    : [
        `${g.width} × ${g.height} cells of ${t.cell_m} m; heights ${t.minimum_m.toFixed(2)} to ${t.maximum_m.toFixed(2)} m; ${t.voidCells} cells without data.`,
        `${t.hollows.length} hollows${deepest ? `; the largest holds ${Math.round(deepest.volume_m3)} m³ and is ${deepest.depth_m.toFixed(2)} m deep` : ''}. ${contours} contour lines.`,
      ]
}
