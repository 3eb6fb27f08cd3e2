import type { Change, Influence } from 'soakline/plan'
import { measuresOf } from './measures.js'
import { sayFinding, sayVerdict } from './sentences.js'
import type { Sentence } from './templates.js'
import type { Voice } from './voice.js'

// What would change an answer most, one thing at a time.

const CHANGED: Readonly<Record<Change, Sentence>> = {
  'more-rain': { en: 'If the storms are a fifth stronger', es: 'Si las tormentas son una quinta parte más fuertes' },
  'less-rain': { en: 'If the storms are a tenth weaker', es: 'Si las tormentas son una décima parte más débiles' },
  'rarer-storm': { en: 'If it is judged by a storm of {value}', es: 'Si se juzga con una tormenta de {value}' },
  'more-runoff': {
    en: 'If the ground sheds more water (curve number {value})',
    es: 'Si el suelo escurre más agua (número de curva {value})',
  },
  'less-runoff': {
    en: 'If the ground sheds less water (curve number {value})',
    es: 'Si el suelo escurre menos agua (número de curva {value})',
  },
  'more-ground': { en: 'If more ground drains in ({value})', es: 'Si escurre más terreno hacia ella ({value})' },
  'less-ground': { en: 'If less ground drains in ({value})', es: 'Si escurre menos terreno hacia ella ({value})' },
  'slower-soil': { en: 'If the soil takes half as much', es: 'Si el suelo recibe la mitad' },
  'faster-soil': { en: 'If the soil takes twice as much', es: 'Si el suelo recibe el doble' },
  deeper: { en: 'With a ditch {value} deep', es: 'Con una zanja de {value} de hondo' },
  shallower: { en: 'With a ditch {value} deep', es: 'Con una zanja de {value} de hondo' },
  'wider-bed': { en: 'With a bed {value} wide', es: 'Con un fondo de {value} de ancho' },
  'other-end': { en: 'If it spills at the other end', es: 'Si rebalsa por el otro extremo' },
}

/** What a check would say after one change: the change, the verdict where it turns, and the sentence that then stands. */
export function sayInfluence({ change, value, unit, before, after }: Influence, voice: Voice): string {
  const m = measuresOf(voice)
  const said = unit === 'chance' ? m.chance(value) : unit === 'm2' ? m.area(value) : unit === 'm' ? m.height(value) : m.number(value)
  const head = CHANGED[change][voice.language].replace('{value}', said)
  const turned = before.verdict === after.verdict ? '' : ` (${sayVerdict(after.verdict, voice)})`
  return `${head}${turned}: ${sayFinding(after, voice)}`
}

const WORDS = {
  title: { en: 'What would change it most', es: 'Qué lo cambiaría más' },
  working: { en: 'One thing after another is changed and worked out again.', es: 'Se cambia una cosa tras otra y se calcula de nuevo.' },
  none: {
    en: 'None of what was tried changes it by much: rain, soil, ground, depth, the other end.',
    es: 'Nada de lo ensayado lo cambia mucho: lluvia, suelo, terreno, hondura, el otro extremo.',
  },
  notTried: {
    en: 'This rests on the ground and on what is drawn, not on rain or soil. Better heights, or things still to be drawn, would change it most.',
    es: 'Esto depende del terreno y de lo dibujado, no de la lluvia ni del suelo. Mejores alturas, o cosas por dibujar, lo cambiarían más.',
  },
  one: { en: 'One thing at a time; two together may do more.', es: 'Una cosa a la vez; dos juntas pueden hacer más.' },
} as const satisfies Readonly<Record<string, Sentence>>

/** Words about what would change an answer most. */
export type MattersWords = Readonly<Record<keyof typeof WORDS, string>>

/** Words about what would change an answer most, in a language. */
export const mattersWords = ({ language }: Pick<Voice, 'language'>): MattersWords =>
  Object.fromEntries(Object.entries(WORDS).map(([key, sentence]) => [key, sentence[language]])) as Record<keyof typeof WORDS, string>
