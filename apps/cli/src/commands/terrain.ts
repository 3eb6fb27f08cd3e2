import { basename } from 'node:path'
import { importReport, sayTerrain } from '@soakline/drawing'
import { placeInPlan, type Reading, writeGeoJson } from '@soakline/io'
import { defaultSettings, GROUND_GRIDS, type Place, siteOf } from 'soakline/plan'
import { cellCentre, type GridGeometry } from 'soakline/raster'
import { contourInterval_m, contourLines, gradient } from 'soakline/terrain'
import type { Command } from '../command.js'
import { jsonText } from '../files.js'
import { gridFiles, gridsOption } from '../grid-files.js'
import { openGround, outOption, rasterOperand, readOptions } from '../ground.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { GROUND_OPTIONS, numberOption } from '../usage.js'

/** Rasters that are always written. */
const ALWAYS = ['filled', 'flow-direction', 'contributing-area', 'contributing-area-single', 'gradient', 'wetness', 'edge'] as const

/** Rasters of the ground's water, contours, and a list of its hollows. */
export const terrain: Command = {
  name: 'terrain',
  usage: 'terrain DEM --out DIR [--interval M] [--features FILE] [--hollows FILE] [--grids NAME,…|all]',
  options: { ...GROUND_OPTIONS, ...STUDY_OPTIONS, interval: 'M', grids: 'NAME,…|all' },
  async run(args, talk) {
    const folder = outOption(args)
    const asked = numberOption(args, 'interval', 1e-6, 1e6)
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const { grid, projection, report } = reading
    const further = gridsOption(args, GROUND_GRIDS)
    const onIt = await onTheGround(args, reading, talk)
    const study = await studyOf(reading, onIt, talk)
    const at = (cell: number): Place => placeInPlan(projection, cellCentre(grid.geometry, cell))
    const steep = gradient(grid)
    const interval = asked ?? contourInterval_m(report.maximum_m - report.minimum_m)
    const lines = contourLines(grid, interval)
    const noGo = () => siteOf(study, steep, onIt.features, defaultSettings(), { sha256: report.sha256, warnings: report.warnings }).noGo
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
      verticalReference: report.verticalReference,
      quantum_m: report.quantum_m,
      voids: report.voids.map(({ at: place, ...gap }) => ({ ...gap, at: placeInPlan(projection, place) })),
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
        at: placeInPlan(projection, choice.at),
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
        ...(await gridFiles([...ALWAYS, ...further], { study, gradient: steep, noGo, answer: null }, projection)),
        { name: 'contours.geojson', content: contoursJson(lines, reading) },
        { name: 'terrain.json', content: jsonText(summary) },
      ],
      summary: [
        ...importReport(basename(rasterOperand(args)), report, sidesOf(grid.geometry), null, talk.voice).map(line => line.join(': ')),
        sayTerrain(summary.hollows, lines.length, talk.voice),
      ],
      exitCode: 0,
    }
  },
}

const sidesOf = ({ width, height, cell_m }: GridGeometry): [number, number] => [width * cell_m, height * cell_m]

const contoursJson = (lines: ReturnType<typeof contourLines>, { projection }: Reading): string =>
  writeGeoJson(
    lines.map(line => ({
      shapes: [{ type: 'line', path: line.path }],
      properties: { elevation_m: line.elevation_m, closed: line.closed },
    })),
    projection,
  )
