import { signal } from '@preact/signals'
import { joinedLayers, outlineOfText } from '@soakline/io'
import type { Kept, Store } from '../src/state/browser-store.js'
import { textKind } from '../src/state/file-kind.js'
import { createSheet } from '../src/state/sheet.js'
import type { AskOptions } from '../src/worker/client.js'
import { fileAnswers } from '../src/worker/file-answers.js'
import type { Question } from '../src/worker/protocol.js'

export const tiff = (): Blob => new Blob([new Uint8Array([0x49, 0x49, 0x2a, 0, 1, 2, 3])])
export const EMPTY = { type: 'FeatureCollection', features: [] }

/** A layer as the worker gives it. */
export const layerOf = (geojson: string, source = '', more: object = {}) => ({
  source,
  part: '',
  geojson,
  outline: outlineOfText(geojson),
  warnings: [],
  problem: null,
  ...more,
})

type Layer = ReturnType<typeof layerOf> & { readonly problem: unknown }

/** What a reader says of all layers of a file, where a test gives only the layers. */
function together(layers: readonly Layer[]) {
  const geojson = layers.some(({ problem }) => problem !== null) ? null : joinedLayers(layers)
  return { together: geojson === null ? null : { geojson, kind: textKind('layer.geojson', geojson) } }
}

/** A worker that answers at once with little; each question may be overridden. */
export function fakeWorld(
  own: Partial<Record<Question, (sent: never, options: AskOptions) => unknown>> = {},
  kept: Kept | null = null,
  mine = true,
  openStore: (() => Promise<Store>) | null = null,
) {
  const asked: { question: Question; sent: unknown }[] = []
  const written: Kept[] = []
  const answers = {
    ...fileAnswers,
    openGround: ({ name }: { name: string }) => ({
      name,
      report: { sha256: name, crs: 'EPSG:32625', warnings: [] },
      bounds: [0, 0, 1, 1],
      localCentre: null,
      groundNumber: 1,
    }),
    tile: () => null,
    contours: () => EMPTY,
    setSite: () => ({ noGo: EMPTY, halos: EMPTY, warnings: [], hollows: [] }),
    traceLine: ({ through, length_m }: { through: readonly [number, number]; length_m: number }) => ({
      path: [[through[0] - length_m / 2e5, through[1]], through, [through[0] + length_m / 2e5, through[1]]],
      length_m,
      elevation_m: 1,
    }),
    answer: ({ revision, line }: { revision: number; line: { path: unknown } }) => ({
      revision,
      assessment: { line, storage: null },
      drawn: EMPTY,
      took_ms: 1,
    }),
    whole: () => new Promise(() => undefined),
    candidates: () => ({ lines: [], remarks: [], ruledOut: [], drawn: EMPTY }),
    sectionAt: () => null,
    walkLine: () => null,
    fitLine: () => null,
    linesBelow: () => ({ lines: [], drop_m: 1 }),
    stages: () => null,
    dugView: () => null,
    matters: () => [],
    compare: () => ({ compared: null, drawn: EMPTY }),
    cascade: () => null,
    limitChange: () => null,
    readPlace: () => null,
    measure: () => null,
    findSystems: () => [],
    importFeatures: () => ({ features: [], warnings: [] }),
    importLine: () => ({
      path: [
        [0, 0],
        [0.001, 0],
      ],
      warnings: [],
    }),
    importRain: () => ({ rows: [], warnings: [] }),
    groundWork: () => null,
    fieldFile: () => '',
    gridFile: () => new Uint8Array(),
    drawingSet: () => '',
    report: () => '',
    bringGround: () => ({ file: new ArrayBuffer(0), fileName: '', warnings: [] }),
    bringMapData: () => ({ geojson: '{}', counts: {}, warnings: [] }),
    forgetBrought: () => null,
    cutGround: () => ({ file: new ArrayBuffer(8) }),
    ...own,
  } as Record<Question, (sent: never, options: AskOptions) => unknown>
  const store: Store = {
    claim: async () => kept,
    read: async () => kept,
    write: async (base, rows) => void written.push({ ...base, rows }),
    append: async rows => void written.push({ ...written.at(-1)!, rows: [...written.at(-1)!.rows, ...rows] }),
    copyTo: async () => undefined,
    readFrom: async () => null,
  }
  const sheet = createSheet({
    ask: (async (question: Question, sent: unknown, options: AskOptions = {}) => {
      const { signal } = options
      asked.push({ question, sent })
      await Promise.resolve()
      signal?.throwIfAborted()
      const calledOff = new Promise((_, reject) => signal?.addEventListener('abort', () => reject(signal.reason)))
      calledOff.catch(() => undefined)
      const answer = await Promise.race([answers[question](sent as never, options), calledOff])
      return question === 'readLayers' ? { ...together((answer as { layers: readonly Layer[] }).layers), ...(answer as object) } : answer
    }) as never,
    demoFile: async name => (name.endsWith('.tif') ? tiff() : new Blob([name === 'settings.json' ? '{}' : '{"features":[]}'])),
    openStore: openStore ?? (async () => store),
    tab: { claim: async () => mine, takeOver: async () => undefined },
    askToLast: async () => false,
    now: () => new Date(0),
    language: signal('en' as const),
    demoHolding: () => 'Demo',
  })
  return { sheet, asked, written }
}

/** Lets every promise that can be kept be kept. */
export const settled = () => new Promise(resolve => setTimeout(resolve, 5))
