import type { SoilAnswer } from 'soakline/hydrology'
import type { Sentence } from './templates.js'

/** What all that was dug and seen comes to. */
export const SOIL_ANSWERS = {
  soak: {
    en: 'By what was dug and seen, this soil takes the water.',
    es: 'Por lo que se cavó y se vio, este suelo recibe el agua.',
  },
  'lead-away': {
    en: 'By what was dug and seen, lead the water away instead of soaking it here.',
    es: 'Por lo que se cavó y se vio, lleve el agua a otro lado en vez de infiltrarla aquí.',
  },
  'do-not-dig': {
    en: 'By what was dug and seen, do not dig here.',
    es: 'Por lo que se cavó y se vio, no cave aquí.',
  },
  unknown: {
    en: 'Unknown: what was dug and seen does not decide it yet.',
    es: 'No se sabe: lo que se cavó y se vio todavía no lo decide.',
  },
} as const satisfies Readonly<Record<SoilAnswer, Sentence>>

/** Headings and names of the soil's reasons and of the water of a year. */
export const SOIL_AND_YEAR = {
  soil: { en: 'What pits, tests and the walk say', es: 'Lo que dicen calicatas, pruebas y recorrido' },
  pit: { en: 'Pit', es: 'Calicata' },
  found: { en: 'What was found', es: 'Lo que se halló' },
  source: { en: 'Source', es: 'Fuente' },
  measured: { en: 'The storm that was measured', es: 'El aguacero que se midió' },
  measuredLead: {
    en: 'As this ditch would have taken it, empty and on soil as wet as usual. It judges nothing: a storm that has been is no worst case.',
    es: 'Como lo habría recibido esta zanja, vacía y con el suelo mojado como de costumbre. No decide nada: un aguacero que ya pasó no es el peor.',
  },
  measuredShort: {
    en: 'The measured storm of {rain_mm} would have sent about {runoff_m3}[; the empty ditch keeps {kept_m3} of it].',
    es: 'El aguacero medido de {rain_mm} habría mandado unos {runoff_m3}[; la zanja vacía guarda {kept_m3}].',
  },
  measuredFrom: { en: 'Record', es: 'Registro' },
  measuredTime: { en: 'Duration', es: 'Duración' },
  measuredRain: { en: 'Rain', es: 'Lluvia' },
  measuredRunoff: { en: 'Water sent', es: 'Agua que manda' },
  measuredPeak: { en: 'Fastest inflow', es: 'Entrada más fuerte' },
  measuredKept: { en: 'Kept in the ditch', es: 'Queda en la zanja' },
  measuredSpilled: { en: 'Spilled', es: 'Rebalsa' },
  unknown: { en: 'unknown', es: 'no se sabe' },
  year: { en: 'The ditch over the years of the rain record', es: 'La zanja en los años del registro de lluvia' },
  yearLead: {
    en: 'Every day of the record that has a reading, one after another. Other years will differ.',
    es: 'Todos los días del registro que tienen lectura, uno tras otro. Otros años serán distintos.',
  },
  yearShort: {
    en: 'Over the {days} days of the rain record it spills {spillsPerYear} time(s) in an average year[; {soaked_ratio} of the water that ran in soaked in].',
    es: 'En los {days} días del registro de lluvia rebalsa {spillsPerYear} veces en un año medio[; se infiltró el {soaked_ratio} del agua que entró].',
  },
  days: { en: 'Days with a reading', es: 'Días con lectura' },
  spills: { en: 'Spills in an average year', es: 'Rebalses en un año medio' },
  daysSpilling: { en: 'Days on which it spills, in an average year', es: 'Días en que rebalsa, en un año medio' },
  inflow: { en: 'Water that ran in', es: 'Agua que entró' },
  soaked: { en: 'Of it soaked in', es: 'De ella se infiltró' },
  spilled: { en: 'Of it spilled', es: 'De ella rebalsó' },
  longest: { en: 'Longest time with water standing', es: 'Tiempo más largo con agua' },
  largest: { en: 'Largest spill of a day', es: 'Mayor rebalse de un día' },
} as const satisfies Readonly<Record<string, Sentence>>
