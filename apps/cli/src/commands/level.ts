import { sayLevelLine } from '@soakline/drawing'
import { placeInPlan, writeGeoJson } from '@soakline/io'
import { pathLength_m } from 'soakline/raster'
import { lineThrough } from 'soakline/terrain'
import type { Command } from '../command.js'
import { jsonText } from '../files.js'
import { openGround, outOption, placeOn, placeOption, rasterOperand, readOptions } from '../ground.js'
import { GROUND_OPTIONS, numberOption, UsageError } from '../usage.js'

/** The level, or gently falling, line through a place. */
export const level: Command = {
  name: 'level',
  usage: 'level DEM --at LON,LAT [--fall RATIO] [--length M] --out DIR',
  options: { ...GROUND_OPTIONS, at: 'LON,LAT', 'at-xy': 'X,Y', fall: 'RATIO', length: 'M' },
  async run(args, talk) {
    const folder = outOption(args)
    const fall_ratio = numberOption(args, 'fall', -1, 1) ?? 0
    const asked_m = numberOption(args, 'length', 0.1, 1e6) ?? 100
    const asked = placeOption(args)
    if (!asked) throw new UsageError('Say through which place: --at LON,LAT or --at-xy X,Y.')
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const place = placeOn(asked, reading)
    const line = lineThrough(reading.grid, place, asked_m, fall_ratio)
    const length_m = pathLength_m(line.path)
    const first_m = line.ground_m[0]!
    const last_m = line.ground_m[line.ground_m.length - 1]!
    const main = {
      format: 'soakline-line/1',
      length_m,
      fall_ratio,
      elevation_m: first_m,
      endElevation_m: last_m,
      startsAt: line.ends[0],
      endsAt: line.ends[1],
      through: placeInPlan(reading.projection, place),
      vertices: line.path.length,
      warnings: reading.report.warnings,
    }
    const content = writeGeoJson(
      [
        {
          shapes: [{ type: 'line', path: line.path }],
          heights_m: [...line.ground_m],
          properties: { length_m, fall_ratio, elevation_m: first_m },
        },
      ],
      reading.projection,
    )
    return {
      folder,
      main,
      files: [
        { name: 'line.geojson', content },
        { name: 'line.json', content: jsonText(main) },
      ],
      summary: [sayLevelLine({ length_m, from_m: first_m, to_m: last_m }, talk.voice)],
      exitCode: 0,
    }
  },
}
