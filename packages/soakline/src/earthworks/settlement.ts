import { InputError, type Known } from '../foundation/index.js'
import { checkFrom0 } from './volumes.js'

/** Which height an allowance for settlement is a share of: `of-settled` builds H (1 + s), `of-built` builds H / (1 − s). Sources seldom say. */
export type SettlementConvention = 'of-settled' | 'of-built'

/** Shares of height by which fresh berms settle. */
export const SETTLEMENT: Readonly<
  Record<'compacted' | 'machine-dumped' | 'hand-dumped', { readonly share_ratio: number; readonly source: string; readonly known: Known }>
> = {
  compacted: { share_ratio: 0.05, source: 'from memory, unchecked', known: 'from-memory' },
  'machine-dumped': {
    share_ratio: 0.1,
    source: 'from memory, unchecked; 10 % is also taught for small earth dams (Stephens 2010)',
    known: 'from-memory',
  },
  'hand-dumped': { share_ratio: 0.25, source: 'upper end, from memory, unchecked', known: 'from-memory' },
}

/**
 * Height to build so that the berm ends at a height once settled. 0.50 m with 10 % is 0.55 m one way and 0.556 m the other.
 *
 * Throws  `volume/bad-area`, `volume/bad-ratio` (a share from 1 up settles to nothing).
 * Source  definitions.
 */
export function constructionHeight_m(settledHeight_m: number, settlement_ratio: number, convention: SettlementConvention): number {
  checkFrom0('volume/bad-area', 'a height', settledHeight_m)
  if (!(settlement_ratio >= 0 && settlement_ratio < 1))
    throw new InputError(
      'volume/bad-ratio',
      `The settlement is ${settlement_ratio}; it lies from 0 up to, not including, 1 (10 % is 0.1).`,
      { settlement_ratio },
    )
  return convention === 'of-settled' ? settledHeight_m * (1 + settlement_ratio) : settledHeight_m / (1 - settlement_ratio)
}
