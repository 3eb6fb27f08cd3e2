import type { OutletPlace, OutletSearch } from 'soakline/siting'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { sayOutletRefusal, wordsOf } from './sentences.js'
import { type Sentence, saying, texts } from './templates.js'
import type { Voice } from './voice.js'

const WORDS = {
  title: { en: 'Places where water could be let go', es: 'Lugares donde se podría soltar el agua' },
  lead: {
    en: 'Looked for before any line: firm, gentle ground that leads into existing forest or a stream, past no building. A line is best where one of its ends lies by such a place.',
    es: 'Se buscaron antes que las líneas: suelo firme y suave que lleva a un bosque existente o a una quebrada sin pasar por una construcción. Una línea queda mejor donde uno de sus extremos está junto a un lugar así.',
  },
  none: {
    en: 'No such place was found[; most was left out as: {reasons}].',
    es: 'No se halló ningún lugar así[; lo más quedó fuera por ser: {reasons}].',
  },
  nothingDrawn: {
    en: 'No forest and no stream is drawn, so no place to let water go could be looked for.',
    es: 'No hay bosque ni quebrada dibujados, así que no se pudo buscar dónde soltar el agua.',
  },
  more: { en: 'And {more} more.', es: 'Y {more} más.' },
} as const satisfies Readonly<Record<string, Sentence>>

const PLACE: Sentence = {
  en: 'Place {rank}: into the stream, over ground that falls {slope_ratio}, {room_m:length} wide[; the nearest building lies {nearestBuilding_m:length} from its water].',
  es: 'Lugar {rank}: a la quebrada, por suelo que cae {slope_ratio}, {room_m:length} de ancho[; la construcción más cercana queda a {nearestBuilding_m:length} de su agua].',
  when: {
    key: 'into',
    is: {
      forest: {
        en: 'Place {rank}: into the forest, over ground that falls {slope_ratio}, {room_m:length} wide, with {inForest_m:length} to run inside it[; the nearest building lies {nearestBuilding_m:length} from its water].',
        es: 'Lugar {rank}: al bosque, por suelo que cae {slope_ratio}, {room_m:length} de ancho, con {inForest_m:length} por recorrer adentro[; la construcción más cercana queda a {nearestBuilding_m:length} de su agua].',
      },
    },
  },
}

/** What is said of one outlet. */
export type SaidOutlet = Pick<OutletPlace, 'rank' | 'into' | 'slope_ratio' | 'room_m' | 'nearestBuilding_m' | 'inForest_m'>

/** What a search for outlets found, as a heading and its sentences. */
export interface SaidOutlets {
  readonly title: string
  readonly lead: string
  readonly places: readonly string[]
  /** How many more there are; null where all are said. */
  readonly more: string | null
}

/** The outlets that were found, the best first, or why there is none. */
export function sayOutlets(
  { places, leftOut }: { readonly places: readonly SaidOutlet[]; readonly leftOut: OutletSearch['leftOut'] },
  voice: Voice,
  { shown = 5 } = {},
): SaidOutlets {
  const [words, m] = [texts(WORDS, voice.language), measuresOf(voice)]
  const counts = (Object.keys(leftOut) as (keyof typeof leftOut)[])
    .filter(code => leftOut[code] > 0)
    .sort((a, b) => leftOut[b] - leftOut[a])
  const reasons = counts.slice(0, 3).map(code => sayOutletRefusal(code, voice))
  if (places.length === 0)
    return {
      title: words.title,
      lead:
        counts.length === 0
          ? words.nothingDrawn
          : saying(WORDS.none, voice.language)(factsOfDetails({ reasons: wordsOf(voice).list(reasons) }), m),
      places: [],
      more: null,
    }
  const rest = places.length - shown
  return {
    title: words.title,
    lead: words.lead,
    places: places
      .slice(0, shown)
      .map(({ rank, into, slope_ratio, room_m, nearestBuilding_m, inForest_m }) =>
        saying(PLACE, voice.language)(factsOfDetails({ rank, into, slope_ratio, room_m, nearestBuilding_m, inForest_m }), m),
      ),
    more: rest > 0 ? saying(WORDS.more, voice.language)(factsOfDetails({ more: rest }), m) : null,
  }
}

/** The same as lines for a terminal. */
export function outletsText(search: Parameters<typeof sayOutlets>[0], voice: Voice): string[] {
  const { title, lead, places, more } = sayOutlets(search, voice)
  return [title, lead, ...places.map(text => `  ${text}`), ...(more === null ? [] : [`  ${more}`])]
}
