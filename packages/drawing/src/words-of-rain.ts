import type { Sentence } from './templates.js'

/** Remarks on records of rain, on the water of a year, and on what a file of soil left out. */
export const RAIN_REMARKS = {
  'balance/days-missing': {
    en: 'The rain record lacks {days} day(s), in {gaps} gap(s). They were not counted[; the longest gap has {longest} day(s)].',
    es: 'Al registro de lluvia le faltan {days} día(s), en {gaps} hueco(s). No se contaron[; el más largo tiene {longest} día(s)].',
  },
  'balance/intake-unknown': {
    en: 'Unknown: how the ditch fares over the years hangs on how fast the soil takes water, and nobody has felt or tested it yet.',
    es: 'No se sabe: cómo le va a la zanja por los años depende de qué tan rápido se bebe el agua el suelo, y nadie lo ha palpado ni probado.',
  },
  'balance/mosquitoes': {
    en: 'Water stands for up to {longest_h}, longer than {limit_h}, {spellsPerYear} time(s) in an average year. Mosquitoes can breed in it.',
    es: 'El agua queda hasta {longest_h}, más de {limit_h}, {spellsPerYear} veces en un año medio. Ahí pueden criarse zancudos.',
  },
  'balance/roots-under-water': {
    en: 'Water stands for up to {longest_h}, longer than {limit_h}, {spellsPerYear} time(s) in an average year. Most fruit trees drown in it while they grow.',
    es: 'El agua queda hasta {longest_h}, más de {limit_h}, {spellsPerYear} veces en un año medio. La mayoría de los frutales se ahoga así en época de crecimiento.',
  },
  'rain-record/gaps': {
    en: '{days} day(s) have no reading, in {gaps} gap(s)[, the first from {first}]. They were not taken for dry days.',
    es: '{days} día(s) no tienen lectura, en {gaps} hueco(s)[, el primero desde {first}]. No se tomaron por días secos.',
  },
  'rain-record/traces': {
    en: '{readings} reading(s) say “trace”; they count as no rain.',
    es: '{readings} lectura(s) dicen “traza”; cuentan como sin lluvia.',
  },
  'rain-record/columns-left-out': {
    en: 'Columns that are not date or rain were not used[: {columns}].',
    es: 'No se usaron las columnas que no son fecha ni lluvia[: {columns}].',
  },
  'soil/features-left-out': {
    en: '{features} thing(s) in the file are neither pits nor things seen on a walk; they were not used for the soil.',
    es: '{features} cosa(s) del archivo no son calicatas ni cosas vistas al caminar; no se usaron para el suelo.',
  },
  'rating/unstable': {
    en: 'The outflow grows too fast for this time step[, in rows {fromRow} to {toRow} of the table]. The result may swing; take a shorter step.',
    es: 'La salida crece demasiado rápido para este paso de tiempo[, en las filas {fromRow} a {toRow} de la tabla]. El resultado puede oscilar; use un paso más corto.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
