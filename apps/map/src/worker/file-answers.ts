import {
  archiveHolds,
  blobSource,
  cutGround,
  featureInPlan,
  groundInside,
  joinedLayers,
  openProjection,
  placeInPlan,
  readAsBuilt,
  readDailyRain,
  readFeatures,
  readLevelBook,
  readLineFile,
  readMeasuredStorm,
  readRainTable,
  readVectorLayers,
  withoutGroundInside,
} from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { readPlan } from 'soakline/plan'
import { HEAD_BYTES, headKind, MOST_TEXT_BYTES, textKind } from '../state/file-kind.js'
import type { Answered, FileQuestion, LyingOn, Sent } from './protocol.js'
import { readGround } from './read-ground.js'

/** What answers the questions about files from outside. They rest on nothing but what is sent, so that whoever answers can be ended at any time. */
export type FileAnswers = { readonly [K in FileQuestion]: (sent: Sent<K>) => Answered<K> | Promise<Answered<K>> }

export const fileAnswers: FileAnswers = {
  readGround: async sent => {
    const { grid, report } = await readGround(sent)
    return { grid, report }
  },

  cutGround: async ({ name, file, options }) => ({ file: (await cutGround(blobSource(file, name), options)).buffer }),

  async fileKind({ name, file }) {
    const head = headKind(name, new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()))
    if (head === 'archive') return { kind: archiveHolds(await file.arrayBuffer()) === 'ground' ? 'ground' : 'layer' }
    if (head !== null) return { kind: head }
    if (file.size > MOST_TEXT_BYTES)
      throw new InputError('file/too-large', `A text of ${file.size} bytes is more than is read, ${MOST_TEXT_BYTES}.`, { bytes: file.size })
    return { kind: textKind(name, await file.text()) }
  },

  async readLayers({ bytes, on, said }) {
    const { layers, ...file } = await readVectorLayers(bytes, { local: on.extent === null, ...said })
    const geojson = layers.some(({ problem }) => problem !== null) ? null : joinedLayers(layers)
    return {
      ...file,
      layers: layers.map(({ problem, ...layer }) => ({ ...layer, problem: problem?.toJSON() ?? null })),
      // A layer is never a plan or a table, whatever its features are called.
      together: geojson === null ? null : { geojson, kind: textKind('layer.geojson', geojson) },
    }
  },

  async importFeatures({ text, on }) {
    const projection = await openProjection(on.crs)
    const { features, warnings } = readFeatures(text, projection, within(on))
    return { features: features.map(feature => featureInPlan(feature, projection)), warnings }
  },

  async importLine({ text, on, line }) {
    const projection = await openProjection(on.crs)
    const { path, warnings } = readLineFile(text, projection, { ...within(on), ...(line === undefined ? {} : { line }) })
    return { path: path.map(at => placeInPlan(projection, at)), warnings }
  },

  importRain: ({ text }) => readRainTable(text),

  importStorm({ text }) {
    const { step_h, depths_mm } = readMeasuredStorm(text)
    return { step_h, depths_mm }
  },

  importDailyRain({ text }) {
    const { rain, warnings } = readDailyRain(text)
    const { firstDay, depths_mm } = rain
    return { firstDay, depths_mm: depths_mm.map(depth => (Number.isNaN(depth) ? null : depth)), warnings }
  },

  importReadings: ({ text, stakes }) => ({
    readings: readAsBuilt(text, { stakes }).map(({ what, chainage_m, level_m }) => ({ what, chainage_m, level_m })),
  }),

  importLevelBook: ({ text }) => readLevelBook(text),

  async importPlan({ text }) {
    const whole = readPlan(text)
    return { plan: withoutGroundInside(whole), inside: await groundInside(whole) }
  },
}

const within = ({ extent }: LyingOn) => (extent === null ? {} : { extent })
