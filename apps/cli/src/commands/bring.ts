import { openGroundWords } from '@soakline/drawing'
import {
  type Box,
  boxRound,
  bringGround,
  bringMapData,
  GROUND_SOURCES,
  groundSourceFrom,
  hostOf,
  hostOfSource,
  MAP_DATA_SOURCES,
  mapDataSourceFrom,
} from '@soakline/io'
import type { Command } from '../command.js'
import { jsonText, type OutputFile, readJson } from '../files.js'
import { outOption, windowOption } from '../ground.js'
import { type Arguments, NETWORK_OPTIONS, numberOption, type OptionTable, pairOption, UsageError } from '../usage.js'

const OPTIONS: OptionTable = {
  ...NETWORK_OPTIONS,
  from: 'SOURCE|FILE.json',
  window: 'WEST,SOUTH,EAST,NORTH',
  at: 'LON,LAT',
  side: 'M',
  'map-data': null,
  'map-from': 'FILE.json',
  'map-only': null,
  out: 'DIR',
  language: 'en|es',
  units: 'metric|us',
  json: null,
}
/** Side of the square round a place. Judgement: a holding with the ground that drains to it. */
const SIDE_M = 1500

/** Open elevation, and what the open map knows, for a box: written as files that need no network any more. */
export const bring: Command = {
  name: 'bring',
  usage:
    'bring (--window WEST,SOUTH,EAST,NORTH | --at LON,LAT [--side M]) --from SOURCE --allow HOST,… [--map-data] [--map-only] [--keep DIR] --out DIR   (about --sources lists the sources)',
  options: OPTIONS,
  async run(args, { voice, warn, network }) {
    const say = openGroundWords(voice)
    const folder = outOption(args)
    const box = boxOption(args)
    const files: OutputFile[] = []
    const summary: string[] = []
    const brought: Record<string, unknown>[] = []
    if (!args.flags.has('map-only')) {
      const source = await groundSource(args)
      const { file, width, height, warnings } = await bringGround(source, box, {
        ...network,
        dateText: new Date().toISOString().slice(0, 10),
      })
      for (const warning of warnings) warn(warning)
      files.push({ name: 'ground.tif', content: file })
      summary.push(say.cliWrote(String(width), String(height), 'ground.tif'), say.cliHost(hostOfSource(source)))
      brought.push({ file: 'ground.tif', host: hostOfSource(source), ...source })
    }
    if (args.flags.has('map-data') || args.flags.has('map-only')) {
      const own = args.options.get('map-from')
      const source = own === undefined ? MAP_DATA_SOURCES[0]! : mapDataSourceFrom(await readJson(own))
      const { geojson, counts, warnings } = await bringMapData(source, box, network)
      for (const warning of warnings) warn(warning)
      files.push({ name: 'features.geojson', content: geojson })
      const count = Object.values(counts).reduce((sum, one) => sum + one, 0)
      summary.push(say.cliFeatures(String(count), 'features.geojson'), say.cliHost(hostOf(source.address)))
      brought.push({ file: 'features.geojson', host: hostOf(source.address), counts, ...source })
    }
    const main = { format: 'soakline-brought/1', box, brought }
    files.push({ name: 'brought.json', content: jsonText(main) })
    return { folder, main, files, summary, exitCode: 0 }
  },
}

/** The area that is meant. Throws UsageError. */
function boxOption(args: Arguments): Box {
  const at = pairOption(args, 'at')
  const window = windowOption(args)
  if ((at === undefined) === (window === undefined)) throw new UsageError('Say which area: --window WEST,SOUTH,EAST,NORTH or --at LON,LAT.')
  return window?.box ?? boxRound(at!, numberOption(args, 'side', 10, 50_000) ?? SIDE_M)
}

/** The source that `--from` names: by its id, or in a file of the user's own. Throws UsageError, InputError. */
async function groundSource(args: Arguments) {
  const from = args.options.get('from')
  if (from === undefined)
    throw new UsageError(`Say from where: --from ${GROUND_SOURCES.map(({ id }) => id).join('|')}, or a file that describes a source.`)
  return GROUND_SOURCES.find(({ id }) => id === from) ?? groundSourceFrom(await readJson(from))
}
