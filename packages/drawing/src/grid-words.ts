import type { GridName } from 'soakline/plan'
import type { Sentence } from './templates.js'
import type { Voice } from './voice.js'

/** Names of the rasters that can be saved. */
const GRIDS = {
  ground: { en: 'heights of the ground', es: 'alturas del terreno' },
  filled: { en: 'heights with hollows full', es: 'alturas con las hondonadas llenas' },
  'hollow-depth': { en: 'depth of hollows', es: 'hondura de las hondonadas' },
  'flow-direction': { en: 'direction of flow', es: 'dirección del agua' },
  'contributing-area': { en: 'ground that drains through each cell (spreading)', es: 'terreno que drena por cada celda (repartido)' },
  'contributing-area-single': {
    en: 'ground that drains through each cell (one direction)',
    es: 'terreno que drena por cada celda (una dirección)',
  },
  gradient: { en: 'slope', es: 'pendiente' },
  aspect: { en: 'which way the slope faces', es: 'hacia dónde mira la ladera' },
  'profile-curvature': { en: 'bend along the slope', es: 'curvatura en el sentido de la pendiente' },
  'plan-curvature': { en: 'bend across the slope', es: 'curvatura a lo ancho de la ladera' },
  wetness: { en: 'wetness index', es: 'índice de humedad' },
  edge: { en: 'where water may come in from beyond the data', es: 'donde puede entrar agua de más allá de los datos' },
  'no-go': { en: 'no-go ground, with its reasons as bits', es: 'terreno vedado, con sus razones en bits' },
  'catchment-share': { en: 'share of each cell that this line catches', es: 'parte de cada celda que recoge esta línea' },
  'overflow-band': { en: 'where the overflow may spread', es: 'por dónde puede extenderse el rebalse' },
} as const satisfies Readonly<Record<GridName, Sentence>>

/** What the choice of a raster says. */
const WORDS = {
  title: { en: 'Save a raster (GeoTIFF)', es: 'Guardar un ráster (GeoTIFF)' },
  which: { en: 'Which one', es: 'Cuál' },
  text: {
    en: 'On the working grid, for another GIS. What is about a line is that of the line in sight.',
    es: 'En la cuadrícula de trabajo, para otro SIG. Lo que trata de una línea es de la que está a la vista.',
  },
  save: { en: 'Save it', es: 'Guardarlo' },
} as const satisfies Readonly<Record<string, Sentence>>

export const sayGrid = (name: GridName, { language }: Voice): string => GRIDS[name][language]
export const gridWords = ({ language }: Voice): Readonly<Record<keyof typeof WORDS, string>> =>
  Object.fromEntries(Object.entries(WORDS).map(([key, sentence]) => [key, sentence[language]])) as Record<keyof typeof WORDS, string>
