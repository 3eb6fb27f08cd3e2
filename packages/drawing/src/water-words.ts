import type { Stage, StormHour } from 'soakline/plan'
import { formatHeight, formatNumber, formatStakeLevel, measuresOf } from './measures.js'
import type { Sentence } from './templates.js'
import type { Voice } from './voice.js'

// The water in the ditch at a level, and in a storm at an hour.

const WORDS = {
  stage: {
    en: 'With the water at {level}, {depth} over the bed, the ditch holds {held}.',
    es: 'Con el agua a {level}, {depth} sobre el fondo, la zanja guarda {held}.',
  },
  nothingLeaves: { en: 'Nothing leaves.', es: 'No sale nada.' },
  leaves: { en: '{flow} leave over the spill.', es: 'Salen {flow} por el vertedero.' },
  leavesUnknown: { en: 'How much leaves is not known.', es: 'Cuánto sale no se sabe.' },
  against: { en: 'It stands {height} against the berm.', es: 'Queda {height} contra el camellón.' },
  atCrest: { en: 'This is the top of the settled berm.', es: 'Es el tope del camellón asentado.' },
  hour: {
    en: 'Hour {hour}: {inflow} run in, {spill} run out, the water stands at {level}.',
    es: 'Hora {hour}: entran {inflow}, salen {spill}, el agua está a {level}.',
  },
  sums: {
    en: 'So far {came} came: {standing} stand in the ditch, {soaked} have soaked in, {spilled} have spilled.',
    es: 'Hasta aquí vinieron {came}: {standing} están en la zanja, {soaked} se infiltraron, {spilled} rebalsaron.',
  },
  soakUnknown: {
    en: 'So far {came} came: {standing} stand in the ditch, {spilled} have spilled. What soaks in is unknown, so none is counted.',
    es: 'Hasta aquí vinieron {came}: {standing} están en la zanja, {spilled} rebalsaron. Lo que se infiltra no se sabe, así que no se cuenta.',
  },
  other: { en: '{name}: {standing} in it, {spill} out.', es: '{name}: {standing} adentro, salen {spill}.' },
  otherHolds: { en: '{name}: {standing} in it.', es: '{name}: {standing} adentro.' },
  otherEmpty: { en: '{name}: still empty.', es: '{name}: todavía vacía.' },
  waiting: {
    en: 'The other swales are still being worked out: for now this one is followed alone.',
    es: 'Las otras zanjas todavía se calculan: por ahora se sigue esta sola.',
  },
  unknown: {
    en: 'The other swales are not followed: the peak of the storm, or one of the ditches, is not known.',
    es: 'Las otras zanjas no se siguen: no se conoce el pico de la tormenta o una de las zanjas.',
  },
  scrubbed: { en: 'hour {hour}', es: 'hora {hour}' },
} as const satisfies Readonly<Record<string, Sentence>>

const fill = (key: keyof typeof WORDS, { language }: Voice, parts: Readonly<Record<string, string>> = {}): string =>
  WORDS[key][language].replace(/\{(\w+)\}/g, (_, name: string) => parts[name] ?? '')

/** Thinner films of water are not told. */
const FILM_m = 0.005

/** What the ditch does with its water at rest at a level. */
export function sayStage({ level_m, depth_m, held_m3, leaves_m3s, againstFill_m, crestOver_m }: Stage, voice: Voice): string {
  const m = measuresOf(voice)
  return [
    fill('stage', voice, { level: formatStakeLevel(level_m, voice), depth: formatHeight(depth_m, voice), held: m.volume(held_m3) }),
    leaves_m3s === null
      ? fill('leavesUnknown', voice)
      : leaves_m3s > 0
        ? fill('leaves', voice, { flow: m.flow(leaves_m3s) })
        : fill('nothingLeaves', voice),
    ...(againstFill_m > FILM_m ? [fill('against', voice, { height: formatHeight(againstFill_m, voice) })] : []),
    ...(crestOver_m < FILM_m ? [fill('atCrest', voice)] : []),
  ].join(' ')
}

const hours = (hour_h: number, voice: Voice): string => formatNumber(hour_h, voice, 1)

/** The storm at an hour, in two sentences. `soakKnown` is false where nobody has tried the soil: then none is counted, and that is said. */
export function sayStormHour(at: StormHour, soakKnown: boolean, voice: Voice): string {
  const m = measuresOf(voice)
  return [
    fill('hour', voice, {
      hour: hours(at.hour_h, voice),
      inflow: m.flow(at.inflow_m3s),
      spill: m.flow(at.spill_m3s),
      level: formatStakeLevel(at.level_m, voice),
    }),
    fill(soakKnown ? 'sums' : 'soakUnknown', voice, {
      came: m.volume(at.came_m3),
      standing: m.volume(at.standing_m3),
      soaked: m.volume(at.soaked_m3),
      spilled: m.volume(at.spilled_m3),
    }),
  ].join(' ')
}

/** Another swale at an hour of the storm, in few words: they stand side by side. */
export function sayOtherSwale(name: string, { level_m, standing_m3, spill_m3s }: StormHour, bedElevation_m: number, voice: Voice): string {
  if (level_m - bedElevation_m < FILM_m) return fill('otherEmpty', voice, { name })
  const m = measuresOf(voice)
  return fill(spill_m3s > 0 ? 'other' : 'otherHolds', voice, { name, standing: m.volume(standing_m3), spill: m.flow(spill_m3s) })
}

/** Why the other swales of a plan are not followed through the storm. */
export const sayNotFollowed = (because: 'waiting' | 'unknown', voice: Voice): string => fill(because, voice)

/** An hour as the slider reads it aloud. */
export const sayHour = (hour_h: number, voice: Voice): string => fill('scrubbed', voice, { hour: hours(hour_h, voice) })
