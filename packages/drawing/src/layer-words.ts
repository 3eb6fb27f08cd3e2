import { formatElevation } from './measures.js'
import type { Voice } from './voice.js'

/** Groups of what the plan shows that can be put away or made faint, from the top down. */
export const LAYER_GROUPS = ['names', 'breach', 'overflow', 'drawn', 'catchment', 'contours', 'no-go', 'ground'] as const
/** A group of `LAYER_GROUPS`. */
export type LayerGroup = (typeof LAYER_GROUPS)[number]

/** Tints of the ground from low to high. */
export const RAMPS = ['hill', 'dusk', 'grey'] as const
/** A tint of `RAMPS`. */
export type Ramp = (typeof RAMPS)[number]

/** What the sheet says about what the plan shows, in English. Spanish has the same keys, or does not compile. */
const english = {
  title: 'Layers',
  hidden: (count: string) => `Layers, put away: ${count}`,
  lead: 'From the top down, in the order in which they are drawn. The line, its berm and the buildings always stay.',
  group: {
    names: 'Names',
    drawn: 'What is drawn',
    breach: 'If the berm breaks',
    overflow: 'Overflow',
    catchment: 'Catchment and ridge',
    contours: 'Contours',
    'no-go': 'No-go ground',
    ground: 'Shading and tint of the ground',
  } as Readonly<Record<LayerGroup, string>>,
  strength: (layer: string) => `How strong: ${layer}`,
  ramp: 'Tint of the ground',
  ramps: { hill: 'moss to chalk', dusk: 'blue to sand', grey: 'greys, for printing' } as Readonly<Record<Ramp, string>>,
  all: 'Show all again',
}

/** The words about what the plan shows. */
export type LayerWords = typeof english

const spanish: LayerWords = {
  title: 'Capas',
  hidden: count => `Capas, quitadas: ${count}`,
  lead: 'De arriba abajo, en el orden en que se dibujan. La línea, su camellón y las construcciones se ven siempre.',
  group: {
    names: 'Nombres',
    drawn: 'Lo dibujado',
    breach: 'Si se rompe el camellón',
    overflow: 'Rebose',
    catchment: 'Cuenca y filo',
    contours: 'Curvas de nivel',
    'no-go': 'Terreno vedado',
    ground: 'Sombra y tinte del terreno',
  },
  strength: layer => `Qué tan fuerte: ${layer}`,
  ramp: 'Tinte del terreno',
  ramps: { hill: 'musgo a tiza', dusk: 'azul a arena', grey: 'grises, para imprimir' },
  all: 'Mostrar todo otra vez',
}

/** What the sheet says about what the plan shows. */
export const layerWords = ({ language }: Pick<Voice, 'language'>): LayerWords => (language === 'es' ? spanish : english)

/** The ends of the tint, as they stand at its legend. */
export const sayTintEnds = ([low_m, high_m]: readonly [number, number], voice: Voice): readonly [string, string] => {
  // A plain needs its decimals to show two different heights.
  const decimals = high_m - low_m < 10 ? 1 : 0
  return [formatElevation(low_m, voice, decimals), formatElevation(high_m, voice, decimals)]
}
