import type { Facts } from './facts.js'
import type { Maybe, Measures } from './measures.js'
import type { Language } from './voice.js'

/**
 * A sentence with gaps, in both languages.
 *
 * `{key}` is a value of the details, said by the key's ending as `ENDINGS` has it, else as a plain number; `{key:length}` names the format; `{key?a building}` says
 * what stands there when the value is missing, which else is "not known". What stands in [square brackets] is said only where all its values are known.
 */
export interface Sentence {
  readonly en: string
  readonly es: string
  /** Other sentences for some values of a code, a yes/no or a count in the details. */
  readonly when?: { readonly key: string; readonly is: Readonly<Record<string, Sentence>> }
}

/** A sentence made from what a finding or a warning carries. */
export type Say = (f: Facts, m: Measures) => string

/** How a value can be said. */
const FORMATS = {
  height: (m: Measures, value: Maybe) => m.height(value),
  length: (m: Measures, value: Maybe) => m.length(value),
  /** A height or a distance, by how large it is. */
  size: (m: Measures, value: Maybe) => (Math.abs(value ?? 0) < 3 ? m.height(value) : m.length(value)),
  area: (m: Measures, value: Maybe) => m.area(value),
  volume: (m: Measures, value: Maybe) => m.volume(value),
  flow: (m: Measures, value: Maybe) => m.flow(value),
  speed: (m: Measures, value: Maybe) => m.speed(value),
  depth: (m: Measures, value: Maybe) => m.depth(value),
  duration: (m: Measures, value: Maybe) => m.duration(value),
  slope: (m: Measures, value: Maybe) => m.slope(value),
  chance: (m: Measures, value: Maybe) => m.chance(value),
  number: (m: Measures, value: Maybe) => m.number(value),
  /** How often: two digits are as sure as it is. */
  often: (m: Measures, value: Maybe) => m.number(value === null || value === undefined ? value : Number(value.toPrecision(2))),
} as const
type Format = keyof typeof FORMATS

/** What the ending of a key says of its value, the longer ending first. A rate in mm/h is said as a depth: the sentence adds "an hour". */
const ENDINGS: readonly (readonly [string, Format])[] = [
  ['_mmh', 'depth'],
  ['_m3s', 'flow'],
  ['_ms', 'speed'],
  ['_mm', 'depth'],
  ['_m3', 'volume'],
  ['_m2', 'area'],
  ['_m', 'size'],
  ['_h', 'duration'],
  ['_ratio', 'slope'],
  ['chancePerYear', 'chance'],
  ['PerYear', 'often'],
]

/** Formats of what a finding measured, by its unit. */
const UNITS: Readonly<Record<string, Format>> = {
  m: 'size',
  m2: 'area',
  m3: 'volume',
  'm3/s': 'flow',
  'm/s': 'speed',
  mm: 'depth',
  h: 'duration',
  '1': 'slope',
  'rise/run': 'slope',
}

const GAP = /\{(\w+)(?::(\w+))?(?:\?([^{}]*))?\}/g

function formatOf(key: string, named: string | undefined, unit: string | null): Format {
  if (named !== undefined && Object.hasOwn(FORMATS, named)) return named as Format
  if (key === 'measured' || key === 'limit') return (unit !== null && Object.hasOwn(UNITS, unit) ? UNITS[unit] : undefined) ?? 'number'
  return ENDINGS.find(([ending]) => key.endsWith(ending))?.[1] ?? 'number'
}

/** A number as the ending of its key has it. */
export const sayByKey = (key: string, value: number, m: Measures): string => FORMATS[formatOf(key, undefined, null)](m, value)

function numberAt(f: Facts, key: string): number | null {
  if (key === 'measured' || key === 'limit') return f[key] ?? f.number(key)
  return f.number(key) ?? (key === 'chainage_m' ? f.chainage_m : null)
}

/** A template with its gaps filled. Nothing from the details is read as a template again. */
export function filled(template: string, f: Facts, m: Measures): string {
  const known = (key: string): boolean => numberAt(f, key) !== null || f.text(key) !== null
  const all = template.replace(/\[([^[\]]*)\]/g, (_, part: string) => ([...part.matchAll(GAP)].every(([, key]) => known(key!)) ? part : ''))
  return all.replace(GAP, (_, key: string, named?: string, instead?: string) => {
    const text = f.text(key)
    if (text !== null) return text
    const value = numberAt(f, key)
    return value === null && instead !== undefined ? instead : FORMATS[formatOf(key, named, f.unit)](m, value)
  })
}

/** The sentence as a function of what is known, in one language. */
export const saying =
  (sentence: Sentence, language: Language): Say =>
  (f, m) => {
    const code = sentence.when && f.code(sentence.when.key)
    const other = code !== null && code !== undefined && Object.hasOwn(sentence.when!.is, code) ? sentence.when!.is[code]! : sentence
    return filled(other[language], f, m)
  }

type Sentences<K extends string> = Readonly<Record<K, Sentence>>

const each = <K extends string, T>(table: Sentences<K>, make: (sentence: Sentence) => T): Record<K, T> =>
  Object.fromEntries(Object.entries<Sentence>(table).map(([code, sentence]) => [code, make(sentence)])) as Record<K, T>

/** A table of sentences as the functions of a dictionary. */
export const sayings = <K extends string>(table: Sentences<K>, language: Language): Record<K, Say> =>
  each(table, sentence => saying(sentence, language))

/** A table of sentences as plain texts, for where no values are at hand: what rests on values alone is left out. */
export const texts = <K extends string>(table: Sentences<K>, language: Language): Record<K, string> =>
  each(table, sentence => sentence[language].replace(/\[[^[\]]*\{[^[\]]*\]/g, '').replace(/[[\]]/g, ''))
