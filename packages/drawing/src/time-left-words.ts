import { formatCount } from './measures.js'
import { inLanguage, type Language, type Voice } from './voice.js'

/** From here on seconds are told in fives, and from there on minutes. */
const [FIVES_FROM_s, MINUTES_FROM_s] = [10, 90]

interface TimeLeftWords {
  readonly moments: string
  readonly seconds: (count: string) => string
  readonly minutes: (count: string) => string
}

const WORDS: Readonly<Record<Language, TimeLeftWords>> = {
  en: {
    moments: 'a few seconds left',
    seconds: count => `about ${count} s left`,
    minutes: count => `about ${count} minutes left`,
  },
  es: {
    moments: 'faltan unos segundos',
    seconds: count => `faltan unos ${count} s`,
    minutes: count => `faltan unos ${count} minutos`,
  },
}

/** How long work will still take, as people say it; '' while that cannot be said. */
export function sayTimeLeft(left_s: number | null, voice: Voice): string {
  if (left_s === null) return ''
  const say = inLanguage(voice, WORDS)
  if (left_s < FIVES_FROM_s) return say.moments
  return left_s < MINUTES_FROM_s
    ? say.seconds(formatCount(Math.ceil(left_s / 5) * 5, voice))
    : say.minutes(formatCount(Math.ceil(left_s / 60), voice))
}
