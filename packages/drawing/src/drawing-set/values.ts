import { escapeText } from '../escape-text.js'
import {
  formatArea,
  formatChance,
  formatCount,
  formatDepth,
  formatDuration,
  formatEarth,
  formatElevation,
  formatFlow,
  formatHeight,
  formatIntake,
  formatLength,
  formatNumber,
  formatPlace,
  formatSlope,
  formatSpeed,
  formatStakeLevel,
  formatVolume,
  type Maybe,
} from '../measures.js'
import type { Voice } from '../voice.js'
import type { Said } from './blocks.js'

/** Formats of printed values. `stake` is a level or a length to the hundredth without its unit, which heads the column. */
const FORMATS = {
  length: formatLength,
  height: formatHeight,
  /** What an instrument may miss: in millimetres, or parts of an inch. */
  fine: (value: Maybe, voice: Voice) => formatDepth(typeof value === 'number' ? 1000 * value : value, voice),
  elevation: (value: Maybe, voice: Voice) => formatElevation(value, voice, 2),
  level: formatStakeLevel,
  stake: (value: Maybe, voice: Voice) =>
    formatStakeLevel(value, voice)
      .replace(/(\d) \D+$/, '$1')
      // Less than half a hundredth below nothing is nothing.
      .replace(/^-(?=0\D00$)/, ''),
  area: formatArea,
  volume: formatVolume,
  earth: formatEarth,
  depth: formatDepth,
  slope: formatSlope,
  chance: formatChance,
  duration: formatDuration,
  speed: formatSpeed,
  flow: formatFlow,
  intake: formatIntake,
  count: formatCount,
  number: (value: Maybe, voice: Voice) => formatNumber(value, voice, 1),
  coordinate: (value: Maybe, voice: Voice) => formatPlace(value, voice, 2),
  degrees: (value: Maybe, voice: Voice) => formatPlace(value, voice, 7),
  bearing: (value: Maybe, voice: Voice) => `${formatNumber(value, voice, 1)}°`,
} as const
/** How a value is shown. */
export type ValueFormat = keyof typeof FORMATS

/** A value as the set prints it. */
export const sayValue = (as: ValueFormat, value: Maybe, voice: Voice): string => FORMATS[as](value, voice)

/**
 * Values of the set by where they come from: a printed value carries its place in the answer (or, after `papers.`, in the field papers), so that
 * whoever reads the page by machine can hold it against `assessment.json`.
 */
export const valuesFor =
  (voice: Voice) =>
  (of: string, as: ValueFormat, value: Maybe): Said => {
    const text = sayValue(as, value, voice)
    return { text, html: `<span class="value" data-of="${escapeText(of)}" data-as="${as}">${escapeText(text)}</span>` }
  }
