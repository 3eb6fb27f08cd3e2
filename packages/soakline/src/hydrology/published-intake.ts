import { InputError, type Known, MM_PER_INCH } from '../foundation/index.js'
import { GREEN_AMPT, TEXTURES, type Texture } from './green-ampt.js'

/** What one document says a soil takes in for good, once wet. */
export interface PublishedIntake {
  readonly texture: Texture
  readonly low_mmh: number
  /** The same as `low_mmh` where one number is printed; null where only "more than" is. */
  readonly high_mmh: number | null
  readonly source: string
  readonly known: Known
}

const FAO = 'FAO Irrigation Water Management Training Manual, basic infiltration rates (public copies)'

const fao = (texture: Texture, low_mmh: number, high_mmh: number | null, known: Known = 'published'): PublishedIntake => ({
  texture,
  low_mmh,
  high_mmh,
  source: known === 'from-memory' ? `${FAO}; this row from memory, unchecked` : FAO,
  known,
})

/** A class of the Minnesota design rates, and the textures that fall in it. */
export interface MinnesotaRate {
  readonly soil: string
  readonly rate_inh: number
  readonly textures: readonly Texture[]
}

/**
 * Design rates by hydrologic soil group.
 *
 * Source  Minnesota Stormwater Manual, design infiltration rates (read); which texture falls in which class follows the textures of USDA TR-55 (1986)
 *         App. A. Gravel and silty sand are no class of the texture triangle.
 */
export const MINNESOTA_RATES: readonly MinnesotaRate[] = [
  { soil: 'A: gravel', rate_inh: 1.63, textures: [] },
  { soil: 'A: sand', rate_inh: 0.8, textures: ['sand', 'loamy-sand', 'sandy-loam'] },
  { soil: 'B: silty sand', rate_inh: 0.45, textures: [] },
  { soil: 'B: loam, silt loam', rate_inh: 0.3, textures: ['loam', 'silt-loam'] },
  { soil: 'C', rate_inh: 0.2, textures: ['sandy-clay-loam'] },
  { soil: 'D', rate_inh: 0.06, textures: ['clay-loam', 'silty-clay-loam', 'sandy-clay', 'silty-clay', 'clay'] },
]

/**
 * Basic infiltration by texture.
 *
 * Source  FAO Irrigation Water Management Training Manual; the row of sand from memory ("less than 30" in one copy is a slip for more).
 */
export const FAO_BASIC_INTAKE: readonly PublishedIntake[] = [
  fao('sand', 30, null, 'from-memory'),
  fao('sandy-loam', 20, 30),
  fao('loam', 10, 20),
  fao('clay-loam', 5, 10),
  fao('clay', 1, 5),
]

/** All that is published here on the intake of each texture: they disagree tenfold, which is why a test in the ground is worth a day. */
export const PUBLISHED_INTAKE: readonly PublishedIntake[] = [
  ...FAO_BASIC_INTAKE,
  ...MINNESOTA_RATES.flatMap(({ soil, rate_inh, textures }) =>
    textures.map((texture): PublishedIntake => {
      const rate_mmh = rate_inh * MM_PER_INCH
      return {
        texture,
        low_mmh: rate_mmh,
        high_mmh: rate_mmh,
        source: `Minnesota Stormwater Manual, design infiltration rate of ${soil}`,
        known: 'published',
      }
    }),
  ),
  ...GREEN_AMPT.map(
    ({ texture, conductivity_mmh, source, known }): PublishedIntake => ({
      texture,
      low_mmh: conductivity_mmh,
      high_mmh: conductivity_mmh,
      source,
      known,
    }),
  ),
]

/** The spread of what is published for one texture. */
export interface IntakeSpread {
  readonly texture: Texture
  readonly low_mmh: number
  /** The middle one of all printed numbers (the mean of two where they are even). */
  readonly middle_mmh: number
  readonly high_mmh: number
  readonly lowSource: string
  readonly lowKnown: Known
}

/**
 * Lowest, middle and highest published intake of a texture.
 *
 * Units   mm/h.
 * Laws    low ≤ middle ≤ high.
 * Throws  `soil/unknown-texture`.
 * Source  `PUBLISHED_INTAKE`, each with its document.
 */
export function publishedIntake(texture: Texture): IntakeSpread {
  const of = PUBLISHED_INTAKE.filter(p => p.texture === texture)
  const lowest = of.reduce<PublishedIntake | null>((low, p) => (low === null || p.low_mmh < low.low_mmh ? p : low), null)
  if (lowest === null)
    throw new InputError('soil/unknown-texture', `No intake is published here for "${texture}"; take one of ${TEXTURES.join(', ')}.`, {
      texture,
    })
  const printed = of
    .flatMap(p => (p.high_mmh === null || p.high_mmh === p.low_mmh ? [p.low_mmh] : [p.low_mmh, p.high_mmh]))
    .sort((a, b) => a - b)
  const half = Math.floor(printed.length / 2)
  return {
    texture,
    low_mmh: lowest.low_mmh,
    middle_mmh: printed.length % 2 === 1 ? printed[half]! : (printed[half - 1]! + printed[half]!) / 2,
    high_mmh: printed.at(-1)!,
    lowSource: lowest.source,
    lowKnown: lowest.known,
  }
}
