import type { NoGoChange } from 'soakline/siting'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { sayReason, wordsOf } from './sentences.js'
import { type Sentence, saying } from './templates.js'
import type { Voice } from './voice.js'

const SAME: Sentence = {
  en: 'Against the usual limit no ground changes here.',
  es: 'Frente al límite de siempre aquí no cambia ningún terreno.',
}

const CHANGED: Sentence = {
  en: 'Against the usual limit {taken_m2:area} more ground is ruled out and {freed_m2:area} is freed[: {reasons}].',
  es: 'Frente al límite de siempre queda fuera {taken_m2:area} más de terreno y se libera {freed_m2:area}[: {reasons}].',
}

const BY_REASON: Sentence = {
  en: '{reason} +{gained_m2:area} −{lost_m2:area}',
  es: '{reason} +{gained_m2:area} −{lost_m2:area}',
}

/** How no-go ground differs from what the usual limit gives, in one sentence. */
export function sayLimitChange({ freed_m2, taken_m2, byReason }: NoGoChange, voice: Voice): string {
  const say = (sentence: Sentence, details: Readonly<Record<string, number | string>>): string =>
    saying(sentence, voice.language)(factsOfDetails(details), measuresOf(voice))
  if (byReason.length === 0) return say(SAME, {})
  const reasons = byReason.map(({ reason, lost_m2, gained_m2 }) => say(BY_REASON, { reason: sayReason(reason, voice), lost_m2, gained_m2 }))
  return say(CHANGED, { freed_m2, taken_m2, reasons: wordsOf(voice).list(reasons) })
}
