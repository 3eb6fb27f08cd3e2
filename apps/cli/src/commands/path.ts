import { formatLength, sayPathEnd } from '@soakline/drawing'
import { placeInPlan, writeGeoJson } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { polygonsOf } from 'soakline/raster'
import { overflowFrom } from 'soakline/siting'
import type { Command } from '../command.js'
import { jsonText } from '../files.js'
import { openGround, outOption, placeOn, placeOption, rasterOperand, readOptions } from '../ground.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { GROUND_OPTIONS, UsageError } from '../usage.js'

/** Where water released at a place runs. */
export const path: Command = {
  name: 'path',
  usage: 'path DEM --at LON,LAT [--features FILE] [--hollows FILE] --out DIR',
  options: { ...GROUND_OPTIONS, ...STUDY_OPTIONS, at: 'LON,LAT', 'at-xy': 'X,Y' },
  async run(args, talk) {
    const folder = outOption(args)
    const asked = placeOption(args)
    if (!asked) throw new UsageError('Say where the water is released: --at LON,LAT or --at-xy X,Y.')
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const place = placeOn(asked, reading)
    const there = await onTheGround(args, reading, talk)
    const way = overflowFrom(await studyOf(reading, there, talk), there.features, place)
    if (!way) throw new InputError('place/outside', 'There is no ground at the place: it lies in a gap of the raster. Choose another one.')
    const main = {
      format: 'soakline-path/1',
      length_m: way.length_m,
      endsIn: way.endsIn,
      from: placeInPlan(reading.projection, place),
      to: placeInPlan(reading.projection, way.points[way.points.length - 1]!),
      warnings: reading.report.warnings,
    }
    const content = writeGeoJson(
      [
        { shapes: [{ type: 'line', path: way.points }], properties: { what: 'path', length_m: way.length_m, endsIn: way.endsIn } },
        ...(way.band.length > 0 ? [{ shapes: polygonsOf(way.band), properties: { what: 'band' } }] : []),
      ],
      reading.projection,
    )
    return {
      folder,
      main,
      files: [
        { name: 'path.geojson', content },
        { name: 'path.json', content: jsonText(main) },
      ],
      summary: [`${formatLength(way.length_m, talk.voice)}: ${sayPathEnd(way.endsIn, talk.voice)}.`],
      exitCode: 0,
    }
  },
}
