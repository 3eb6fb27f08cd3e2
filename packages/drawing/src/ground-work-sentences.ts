import { plainText } from './escape-text.js'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { wordsOf } from './sentences.js'
import { type Sentence, saying } from './templates.js'
import type { Voice } from './voice.js'
import { AS_BUILT_REMARKS, CROSSING_REFUSED, PLANT_REASONS, STORM_COMPARED } from './words-of-ground-work.js'

const SENTENCES: Readonly<Record<string, Sentence>> = { ...AS_BUILT_REMARKS, ...STORM_COMPARED, ...PLANT_REASONS, ...CROSSING_REFUSED }

/** A code of what was built, seen in a storm, planted or crossed, with its values, in words. */
export function sayGroundWork(code: string, values: Readonly<Record<string, unknown>>, voice: Voice): string {
  return Object.hasOwn(SENTENCES, code)
    ? saying(SENTENCES[code]!, voice.language)(factsOfDetails(values), measuresOf(voice))
    : wordsOf(voice).codeUnknown(plainText(code))
}
