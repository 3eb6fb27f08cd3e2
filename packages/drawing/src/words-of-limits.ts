import type { Sentence } from './templates.js'

// Where a method was asked for outside the limits it was published with.

/** The limits that a time of concentration can leave. */
const TIME_LIMITS = {
  'travel/sheet-too-long': {
    en: 'Water runs as a thin sheet for {most:length} at most, and {measured:length} were asked for.',
    es: 'El agua corre como lámina delgada {most:length} a lo sumo, y se pidieron {measured:length}.',
  },
  'travel/shallow-too-steep': {
    en: 'The way of the water falls {measured:slope}; the rule for shallow flow was drawn for at most {most:slope}.',
    es: 'El camino del agua baja {measured:slope}; la regla del flujo somero se trazó para {most:slope} a lo sumo.',
  },
  'travel/slope-outside-kirpich': {
    en: 'The way of the water falls {measured:slope}; the Kirpich rule was made from {least:slope} to {most:slope}.',
    es: 'El camino del agua baja {measured:slope}; la regla de Kirpich salió de pendientes de {least:slope} a {most:slope}.',
  },
  'travel/area-outside-kirpich': {
    en: 'The catchment has {measured:area}; the Kirpich rule was made from {least:area} to {most:area}.',
    es: 'La cuenca tiene {measured:area}; la regla de Kirpich salió de cuencas de {least:area} a {most:area}.',
  },
  'travel/curve-number-outside-lag': {
    en: 'The runoff number is {measured:number}; the lag rule was made from {least:number} to {most:number}.',
    es: 'El número de escurrimiento es {measured:number}; la regla del retardo salió de {least:number} a {most:number}.',
  },
  'travel/area-outside-lag': {
    en: 'The catchment has {measured:area}; the lag rule was made from {least:area} to {most:area}.',
    es: 'La cuenca tiene {measured:area}; la regla del retardo salió de cuencas de {least:area} a {most:area}.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

const RUNOFF_LIMITS = {
  'runoff/curve-number-low': {
    en: 'The runoff number for this cover and soil is so low[ ({measured:number}, under {limit:number})] that the method is weak here. Real runoff may be higher.',
    es: 'El número de escurrimiento de esta cubierta y este suelo es tan bajo[ ({measured:number}, menor que {limit:number})] que el método es débil aquí. Puede escurrir más.',
  },
  'runoff/small-less-accurate': {
    en: 'So little water runs off in this storm[ ({measured:depth}, under {limit:depth})] that the method is not exact for it.',
    es: 'En este aguacero escurre tan poca agua[ ({measured:depth}, menos de {limit:depth})] que el método no es exacto para él.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

/** As remarks beside a number. */
export const LIMIT_REMARKS = { ...TIME_LIMITS, ...RUNOFF_LIMITS } as const

type Limit = keyof typeof LIMIT_REMARKS

const outside = (codes: readonly string[], then: Sentence): Record<Limit, Sentence> =>
  Object.fromEntries(
    codes.map(code => {
      const { en, es } = LIMIT_REMARKS[code as Limit]
      return [code, { en: `Outside the method’s limits. ${en}${then.en}`, es: `Fuera de los límites del método. ${es}${then.es}` }]
    }),
  ) as Record<Limit, Sentence>

/** As findings: the limit that was left, and what was done about it. */
export const LIMIT_FINDINGS: Readonly<Record<Limit, Sentence>> = {
  ...outside(Object.keys(TIME_LIMITS), {
    en: ' The shortest time was taken instead, which makes the highest peak.',
    es: ' En su lugar se tomó el tiempo más corto, que da la crecida más alta.',
  }),
  ...outside(Object.keys(RUNOFF_LIMITS), { en: '', es: '' }),
}

const TIME_NEXT: Sentence = {
  en: 'In the settings choose another way to work out the time of concentration, one that was made for ground like this.',
  es: 'En los ajustes escoja otra manera de calcular el tiempo de concentración, una hecha para un terreno como este.',
}

export const LIMIT_NEXT: Readonly<Record<Limit, Sentence>> = {
  'travel/sheet-too-long': TIME_NEXT,
  'travel/shallow-too-steep': TIME_NEXT,
  'travel/slope-outside-kirpich': TIME_NEXT,
  'travel/area-outside-kirpich': TIME_NEXT,
  'travel/curve-number-outside-lag': TIME_NEXT,
  'travel/area-outside-lag': TIME_NEXT,
  'runoff/curve-number-low': {
    en: 'Work the runoff out from the soil’s texture instead (in the settings), and ask neighbors what storms have sent down this slope.',
    es: 'Calcule el escurrimiento por la textura del suelo (en los ajustes), y pregunte a los vecinos qué han bajado los aguaceros por esta ladera.',
  },
  'runoff/small-less-accurate': {
    en: 'Do not count on the storm being kept: the spill is sized for wet ground all the same. Watch what the first storms send.',
    es: 'No cuente con que el aguacero se guarde: el vertedero igual se calcula para suelo mojado. Observe qué mandan los primeros aguaceros.',
  },
}
