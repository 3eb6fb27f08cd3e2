import { REFUSED_FILES } from './refused-files.js'
import { REFUSED_FORMATS } from './refused-formats.js'
import { REFUSED_GROUND_WORK } from './refused-ground-work.js'
import { REFUSED_HOSTILE } from './refused-hostile.js'
import { REFUSED_NETWORK } from './refused-network.js'
import { REFUSED_WATER } from './refused-water.js'
import { REFUSED_WORKS } from './refused-works.js'
import type { Sentence } from './templates.js'

/** What a refused input means for the reader, by its code. */
export const REFUSED = {
  ...REFUSED_FILES,
  ...REFUSED_FORMATS,
  ...REFUSED_HOSTILE,
  ...REFUSED_GROUND_WORK,
  ...REFUSED_NETWORK,
  ...REFUSED_WATER,
  ...REFUSED_WORKS,
} as const satisfies Readonly<Record<string, Sentence>>
