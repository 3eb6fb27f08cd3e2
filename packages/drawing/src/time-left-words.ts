import { formatCount } from './measures.js'
import type { Voice } from './voice.js'

/** From here on seconds are told in fives, and from there on minutes. */
const [FIVES_FROM_s, MINUTES_FROM_s] = [10, 90]

/** How long work will still take, as people say it; '' while that cannot be said. */
export function sayTimeLeft(left_s: number | null, voice: Voice): string {
  if (left_s === null) return ''
  const es = voice.language === 'es'
  if (left_s < FIVES_FROM_s) return es ? 'faltan unos segundos' : 'a few seconds left'
  if (left_s < MINUTES_FROM_s) {
    const seconds = formatCount(Math.ceil(left_s / 5) * 5, voice)
    return es ? `faltan unos ${seconds} s` : `about ${seconds} s left`
  }
  const minutes = formatCount(Math.ceil(left_s / 60), voice)
  return es ? `faltan unos ${minutes} minutos` : `about ${minutes} minutes left`
}
