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

const TAKEN: Sentence = {
  en: 'Against the usual limit {taken_m2} more ground is ruled out[ and {freed_m2} is freed]: {reasons}.',
  es: 'Frente al límite de siempre queda fuera {taken_m2} más de terreno[ y se libera {freed_m2}]: {reasons}.',
}

const FREED: Sentence = {
  en: 'Against the usual limit {freed_m2} of ground is freed: {reasons}.',
  es: 'Frente al límite de siempre se libera {freed_m2} de terreno: {reasons}.',
}

/** Ground that changes its reasons but stays ruled out by others. */
const KEPT: Sentence = {
  en: 'Against the usual limit no ground is ruled out or freed, for other reasons hold there: {reasons}.',
  es: 'Frente al límite de siempre no queda fuera ni se libera terreno, pues ahí valen otros motivos: {reasons}.',
}

const BY_REASON: Sentence = { en: '{reason}[ +{gained_m2}][ −{lost_m2}]', es: '{reason}[ +{gained_m2}][ −{lost_m2}]' }

/** How no-go ground differs from what the usual limit gives, in one sentence. */
export function sayLimitChange({ freed_m2, taken_m2, byReason }: NoGoChange, voice: Voice): string {
  // What is 0 is not said.
  const say = (sentence: Sentence, details: Readonly<Record<string, number | string>>): string =>
    saying(sentence, voice.language)(
      factsOfDetails(Object.fromEntries(Object.entries(details).filter(([, value]) => value !== 0))),
      measuresOf(voice),
    )
  if (byReason.length === 0) return say(SAME, {})
  const reasons = byReason.map(({ reason, lost_m2, gained_m2 }) => say(BY_REASON, { reason: sayReason(reason, voice), lost_m2, gained_m2 }))
  return say(taken_m2 > 0 ? TAKEN : freed_m2 > 0 ? FREED : KEPT, { freed_m2, taken_m2, reasons: wordsOf(voice).list(reasons) })
}
