import type { Known } from '../foundation/index.js'
import { checkFrom0 } from './volumes.js'

/** How the earth of one dug volume measures in its three states. */
export interface EarthVolumes {
  /** As it lies in the ground. */
  readonly bank_m3: number
  /** As it lies on the barrow or in the heap. */
  readonly loose_m3: number
  /** As it lies in the berm, packed and settled. */
  readonly compacted_m3: number
  /** Bank per loose: what a measured barrow-load took out of the ground. */
  readonly load_ratio: number
}

/**
 * Bank volume to loose and compacted.
 *
 * Units   `swell_ratio` gain over bank, 0.25 for 25 %; `compactedPerBank_ratio` berm per bank, 0.85 when it packs to 85 %.
 * Throws  `volume/bad-area`, `volume/bad-ratio`.
 * Source  definitions; ranges by soil in `SOIL_VOLUMES`.
 */
export function earthVolumes(bank_m3: number, swell_ratio: number, compactedPerBank_ratio: number): EarthVolumes {
  checkFrom0('volume/bad-area', 'a volume', bank_m3)
  checkFrom0('volume/bad-ratio', 'the swell', swell_ratio)
  checkFrom0('volume/bad-ratio', 'the compacted volume per bank volume', compactedPerBank_ratio)
  return {
    bank_m3,
    loose_m3: bank_m3 * (1 + swell_ratio),
    compacted_m3: bank_m3 * compactedPerBank_ratio,
    load_ratio: 1 / (1 + swell_ratio),
  }
}

/** A published range, low to high, and how it is known. */
export interface SourcedRange {
  readonly low: number
  readonly high: number
  readonly source: string
  readonly known: Known
}

/** Swell and compaction by soil: ranges, since sources differ and so do soils. */
export const SOIL_VOLUMES: Readonly<
  Record<'sand-gravel' | 'loam' | 'clay', { readonly swell_ratio: SourcedRange; readonly compactedPerBank_ratio: SourcedRange }>
> = {
  'sand-gravel': { swell_ratio: tabled(0.05, 0.2), compactedPerBank_ratio: tabled(0.88, 0.95) },
  loam: { swell_ratio: tabled(0.2, 0.3), compactedPerBank_ratio: tabled(0.82, 0.88) },
  clay: { swell_ratio: tabled(0.35, 0.5), compactedPerBank_ratio: tabled(0.78, 0.9) },
}

function tabled(low: number, high: number): SourcedRange {
  return { low, high, source: 'range of published earthwork tables, which differ', known: 'published' }
}
