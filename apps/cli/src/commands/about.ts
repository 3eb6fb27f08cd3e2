import { openGroundWords, sayGroundSource, sayMegabytes } from '@soakline/drawing'
import { addressSource, GROUND_SOURCES, MAP_DATA_SOURCES, outlineOfGeoTiff } from '@soakline/io'
import type { Command } from '../command.js'
import { jsonText, openFile } from '../files.js'
import { isAddress, rasterOperand, readOptions } from '../ground.js'
import { GROUND_OPTIONS } from '../usage.js'

/** Size and place of a raster before any of its heights is read; or the list of public sources. */
export const about: Command = {
  name: 'about',
  usage: 'about (DEM | https://… --allow HOST | --sources) [--out DIR]',
  options: { ...GROUND_OPTIONS, sources: null },
  async run(args, { voice, network }) {
    const say = openGroundWords(voice)
    const folder = args.options.get('out') ?? '.'
    const written = (name: string, value: unknown) => (args.options.has('out') ? [{ name, content: jsonText(value) }] : [])
    if (args.flags.has('sources')) {
      const main = { format: 'soakline-sources/1', elevation: GROUND_SOURCES, mapData: MAP_DATA_SOURCES }
      return {
        folder,
        main,
        files: written('sources.json', main),
        summary: [
          ...GROUND_SOURCES.flatMap(source => [
            `${source.id}: ${source.name}`,
            ...sayGroundSource(source, voice).map(([name, text]) => `    ${name}: ${text}`),
          ]),
          ...MAP_DATA_SOURCES.flatMap(source => [
            `${source.id}: ${source.name}`,
            `    ${say.licence}: ${source.licence}`,
            `    ${say.credit}: ${source.credit}`,
          ]),
        ],
        exitCode: 0,
      }
    }
    const path = rasterOperand(args)
    const file = isAddress(path) ? null : await openFile(path)
    try {
      const outline = await outlineOfGeoTiff(file ?? (await addressSource(path, network)), readOptions(args))
      const { width, height, fileBytes, box, crs } = outline
      const bytes = 4 * width * height
      const main = { format: 'soakline-about/1', ...outline, memoryBytes: bytes }
      return {
        folder,
        main,
        files: written('about.json', main),
        summary: [
          say.windowSize(String(width), String(height), sayMegabytes(bytes, voice)),
          ...(fileBytes === null ? [] : [say.cliFile(sayMegabytes(fileBytes, voice))]),
          box === null ? say.cliNoPlace : say.cliPlace(box.map(value => value.toFixed(5)).join(',')),
          ...(crs === null ? [] : [say.cliSystem(crs)]),
        ],
        exitCode: 0,
      }
    } finally {
      await file?.close()
    }
  },
}
