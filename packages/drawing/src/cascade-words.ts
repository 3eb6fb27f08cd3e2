import { type Verdict, worstVerdict } from 'soakline/foundation'
import type { Cascade } from 'soakline/plan'
import { measuresOf } from './measures.js'
import type { Sentence } from './templates.js'
import type { Voice } from './voice.js'

// Several ditches on one slope.

const WORDS = {
  into: { en: '{name} spills into {into}.', es: '{name} rebalsa en {into}.' },
  past: { en: '{name} spills past the others.', es: '{name} rebalsa sin llegar a las otras.' },
  own: {
    en: 'Of its {catchment}, {own} reach it without passing a ditch further up.',
    es: 'De sus {catchment}, {own} le llegan sin pasar por una zanja de más arriba.',
  },
  storm: {
    en: 'In a storm of {chance} the water stands {freeboard} under its berm; {peak} leave it at the most.',
    es: 'En una tormenta de {chance} el agua queda {freeboard} bajo el camellón; salen {peak} a lo más.',
  },
  over: {
    en: 'In a storm of {chance} the water runs over its berm.',
    es: 'En una tormenta de {chance} el agua pasa por encima del camellón.',
  },
  fails: {
    en: 'If the berm of {name} gives way, {peak} run out below the last ditch.',
    es: 'Si cede el camellón de {name}, salen {peak} por debajo de la última zanja.',
  },
  alsoFall: {
    en: 'If the berm of {name} gives way, it runs over {others}, which then give way too: {peak} at the most.',
    es: 'Si cede el camellón de {name}, pasa por encima de {others}, que ceden también: {peak} a lo más.',
  },
  unknown: {
    en: 'Unknown: the peak of the storm, or one of the ditches, is not known.',
    es: 'Sin dato: no se conoce el pico de la tormenta o una de las zanjas.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

const fill = (key: keyof typeof WORDS, { language }: Voice, parts: Readonly<Record<string, string>>): string =>
  WORDS[key][language].replace(/\{(\w+)\}/g, (_, name: string) => parts[name] ?? '')

/** What is said of one ditch of a cascade, from the top down. */
export interface SaidDitch {
  /** Index of its line as handed in. */
  readonly line: number
  readonly verdict: Verdict
  readonly sentences: readonly string[]
}

/** Several ditches in words; null where they are not known. `name` gives the name of a line by its index. */
export function sayCascade(cascade: Cascade | null, leastFreeboard_m: number, name: (line: number) => string, voice: Voice): SaidCascade {
  if (cascade === null) return { verdict: 'unknown', lead: fill('unknown', voice, {}), ditches: [] }
  const m = measuresOf(voice)
  const chance = m.chance(cascade.chancePerYear)
  const ditches = cascade.ditches.map((ditch): SaidDitch => {
    const own = name(ditch.line)
    const breaks = cascade.whenFails.find(fails => fails.line === ditch.line)
    const falls = breaks?.alsoFall ?? []
    const over = ditch.freeboard_m < 0
    return {
      line: ditch.line,
      verdict: over ? 'fails' : ditch.freeboard_m < leastFreeboard_m - 1e-9 || falls.length > 0 ? 'watch' : 'holds',
      sentences: [
        ditch.spillsInto === null ? fill('past', voice, { name: own }) : fill('into', voice, { name: own, into: name(ditch.spillsInto) }),
        fill('own', voice, { catchment: m.area(ditch.catchment_m2), own: m.area(ditch.ownArea_m2) }),
        over
          ? fill('over', voice, { chance })
          : fill('storm', voice, { chance, freeboard: m.height(ditch.freeboard_m), peak: m.flow(ditch.peakSpill_m3s) }),
        ...(breaks === undefined
          ? []
          : [
              fill(falls.length > 0 ? 'alsoFall' : 'fails', voice, {
                name: own,
                others: falls.map(name).join(', '),
                peak: m.flow(breaks.peak_m3s),
              }),
            ]),
      ],
    }
  })
  return { verdict: worstVerdict(ditches.map(d => d.verdict)), lead: '', ditches }
}

/** Several ditches in words. */
export interface SaidCascade {
  readonly verdict: Verdict
  /** Why nothing is known; empty otherwise. */
  readonly lead: string
  readonly ditches: readonly SaidDitch[]
}
