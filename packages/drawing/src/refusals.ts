import { factsIn } from './facts.js'
import { measuresOf } from './measures.js'
import { REFUSED } from './refused.js'
import { sheetWords } from './sheet-words.js'
import { saying } from './templates.js'
import type { Voice } from './voice.js'

/** A refusal in words, with the values that it carries; null for a code that has no sentence. */
export function sayRefusal(
  { code, details = {} }: { readonly code: string; readonly details?: Readonly<Record<string, unknown>> },
  voice: Voice,
): string | null {
  if (Object.hasOwn(REFUSED, code))
    return saying(REFUSED[code as keyof typeof REFUSED], voice.language)(factsIn(details), measuresOf(voice))
  const { refusal } = sheetWords(voice)
  return Object.hasOwn(refusal, code) ? refusal[code]! : null
}
