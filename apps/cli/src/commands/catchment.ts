import { sayCatchment } from '@soakline/drawing'
import { placeInPlan, writeGeoJson } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { type Catchment, catchmentOutline, lineCatchment, pastEnds, pointCatchment } from 'soakline/hydrology'
import { type Point, polygonsOf, ringArea_m2, surfaceValue } from 'soakline/raster'
import type { Command } from '../command.js'
import { jsonText } from '../files.js'
import { LINE_OPTIONS, lineFrom, openGround, outOption, placeOn, placeOption, rasterOperand, readOptions } from '../ground.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { GROUND_OPTIONS, UsageError } from '../usage.js'

/** What drains into a line, or through a cell. */
export const catchment: Command = {
  name: 'catchment',
  usage: 'catchment DEM (--line FILE | --at LON,LAT) [--features FILE] [--hollows FILE] --out DIR',
  options: { ...GROUND_OPTIONS, ...STUDY_OPTIONS, ...LINE_OPTIONS, at: 'LON,LAT', 'at-xy': 'X,Y' },
  async run(args, talk) {
    const folder = outOption(args)
    const lineFile = args.options.get('line')
    const asked = placeOption(args)
    if ((lineFile === undefined) === (asked === null))
      throw new UsageError('Say what the water drains into: --line FILE or --at LON,LAT (or --at-xy X,Y).')
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const { projection } = reading
    // A refused line costs nothing: it is read before the water is studied.
    const target = lineFile === undefined ? [placeOn(asked!, reading)] : await lineFrom(lineFile, args, reading, talk)
    const study = await studyOf(reading, await onTheGround(args, reading, talk), talk)
    let found: Catchment | null
    if (lineFile === undefined) found = pointCatchment(study.drained, target[0]!, study.rim)
    else {
      checkOnGround(target, reading.grid)
      found = lineCatchment(study.net, study.ground, target, study.rim)
    }
    if (!found)
      throw new InputError('place/outside', 'There is no ground at the place: it lies in a gap of the raster. Choose another one.')
    const outline = catchmentOutline(study.ground, found, target)
    const polygonArea_m2 = outline.rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)
    const main = {
      format: 'soakline-catchment/1',
      area_m2: found.area_m2,
      polygonArea_m2,
      cutByEdge: found.cutByEdge,
      edgeShare_ratio: found.edgeShare_ratio,
      longestFlow_m: found.longestFlow_m,
      ridge: outline.highPoint && {
        highPoint: placeInPlan(projection, outline.highPoint.at),
        elevation_m: outline.highPoint.elevation_m,
        length_m: outline.ridgeLength_m,
      },
      // What passes within ten metres of the ends unseen; of a place there are no ends.
      ...(lineFile === undefined ? {} : { pastEnds: pastEnds(study.net, study.ground, target, study.rim, found) }),
      warnings: reading.report.warnings,
    }
    const polygons = polygonsOf(outline.rings)
    const content = writeGeoJson(
      [
        { shapes: polygons, properties: { what: 'catchment', area_m2: found.area_m2, polygonArea_m2, cutByEdge: found.cutByEdge } },
        ...outline.ridges.map(path => ({ shapes: [{ type: 'line' as const, path }], properties: { what: 'ridge' } })),
      ],
      projection,
    )
    const ridge_m = outline.highPoint?.elevation_m ?? null
    const summary = sayCatchment({ ...found, ridge_m }, talk.voice)
    return {
      folder,
      main,
      files: [
        { name: 'catchment.geojson', content },
        { name: 'catchment.json', content: jsonText(main) },
      ],
      summary,
      exitCode: 0,
    }
  },
}

/** Throws InputError `line/outside` where a vertex has no ground. */
function checkOnGround(line: readonly Point[], grid: Parameters<typeof surfaceValue>[0]): void {
  const k = line.findIndex(at => !Number.isFinite(surfaceValue(grid, at)))
  if (k >= 0)
    throw new InputError(
      'line/outside',
      `Vertex ${k + 1} of the line has no ground: it lies outside the raster or in a gap of it. Draw the line inside the elevation data.`,
      { vertex: k + 1 },
    )
}
