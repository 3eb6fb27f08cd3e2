import { plainText } from './escape-text.js'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { GROUND_WORK_NAMES } from './names-of-ground-work.js'
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

/** The name of a step, a place to plant, a tool, an inspection and so on. */
export function nameGroundWork(of: keyof typeof GROUND_WORK_NAMES, code: string, voice: Voice): string {
  const names: Readonly<Record<string, Sentence>> = GROUND_WORK_NAMES[of]
  return Object.hasOwn(names, code) ? names[code]![voice.language] : plainText(code)
}
