import type { SoilAnswer } from 'soakline/hydrology'
import { plainText } from './escape-text.js'
import { measuresOf } from './measures.js'
import { sayPathEnd, sayReason, wordsOf } from './sentences.js'
import { type Sentence, sayByKey } from './templates.js'
import type { Voice } from './voice.js'

/** What the soil lets be done. */
const SOIL_ANSWER = {
  soak: { en: 'soak', es: 'infiltrar' },
  'lead-away': { en: 'lead the water away', es: 'llevar el agua a otro lado' },
  'do-not-dig': { en: 'do not dig', es: 'no cavar' },
  unknown: { en: 'unknown', es: 'no se sabe' },
} as const satisfies Readonly<Record<SoilAnswer, Sentence>>

/** What an intake is counted on. */
const COUNTED_ON: Readonly<Record<string, Sentence>> = {
  'intake/unknown': { en: 'not known', es: 'sin dato' },
  'intake/half-slowest-test': { en: 'half the slowest test', es: 'la mitad de la prueba más lenta' },
  'intake/lowest-published': { en: 'the lowest that is published', es: 'lo más bajo publicado' },
  'intake/few-tests-lower': { en: 'half the slowest of too few tests', es: 'la mitad de la más lenta de muy pocas pruebas' },
}

/** What lies below a break that is no drawn thing. */
const BELOW: Readonly<Record<string, Sentence>> = {
  'not-known': { en: 'not known', es: 'sin dato' },
  nothing: { en: 'nothing that was drawn', es: 'nada dibujado' },
}

const wordIn = (table: Readonly<Record<string, Sentence>>, code: string, { language }: Voice): string | null =>
  Object.hasOwn(table, code) ? table[code]![language] : null

/** A value that a finding rests on, in words and units: numbers by the ending of their key, codes by their table. */
export function sayFact(key: string, value: number | string | boolean, voice: Voice): string {
  const words = wordsOf(voice)
  if (typeof value === 'boolean') return value ? words.yes : words.no
  if (typeof value === 'number') return sayByKey(key, value, measuresOf(voice))
  if (key === 'reasons')
    return value
      .split(',')
      .map(code => sayReason(code.trim(), voice))
      .join(', ')
  if (key === 'endsIn') return sayPathEnd(value, voice)
  if (key === 'texture') return Object.hasOwn(words.choice, value) ? words.choice[value]! : plainText(value)
  if (key === 'below' && Object.hasOwn(words.feature, value)) return words.feature[value as keyof typeof words.feature]
  const table = key === 'answer' ? SOIL_ANSWER : key === 'because' ? COUNTED_ON : key === 'below' ? BELOW : {}
  return wordIn(table, value, voice) ?? plainText(value)
}
