import { InputError, type Known } from '../foundation/index.js'

/**
 * Volume between stations by average end area.
 *
 * Shapes  `spacing_m` one number for all stretches, or one for each (one fewer than areas).
 * Laws    exact where the area changes evenly; too large for solids that taper.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `volume/bad-area`.
 * Source  trapezium rule; common practice of earthwork.
 */
export function averageEndArea_m3(areas_m2: readonly number[], spacing_m: number | readonly number[]): number {
  if (areas_m2.length < 2)
    throw new InputError('line/too-few-stakes', `A volume needs areas at two stations or more; there are ${areas_m2.length}.`, {
      stakes: areas_m2.length,
    })
  if (typeof spacing_m !== 'number' && spacing_m.length !== areas_m2.length - 1)
    throw new InputError(
      'line/bad-spacing',
      `${spacing_m.length} spacings for ${areas_m2.length} stations; give one for all, or one for each of the ${areas_m2.length - 1} stretches.`,
      { spacings: spacing_m.length, stakes: areas_m2.length },
    )
  for (const area_m2 of areas_m2) checkFrom0('volume/bad-area', 'an area', area_m2)
  let sum = 0
  for (let k = 1; k < areas_m2.length; k++) {
    const length_m = typeof spacing_m === 'number' ? spacing_m : spacing_m[k - 1]!
    checkFrom0('line/bad-spacing', 'a spacing', length_m)
    sum += ((areas_m2[k - 1]! + areas_m2[k]!) / 2) * length_m
  }
  return sum
}

/**
 * Volume of a stretch from its end areas and the area half-way.
 *
 * Laws    exact where the area is up to a cubic along the stretch; `middle_m2` is the area of the middle section, not the mean of the ends.
 * Throws  `volume/bad-area`, `line/bad-spacing`.
 * Source  prismoidal (Simpson's) rule.
 */
export function prismoidal_m3(first_m2: number, middle_m2: number, last_m2: number, length_m: number): number {
  for (const area_m2 of [first_m2, middle_m2, last_m2]) checkFrom0('volume/bad-area', 'an area', area_m2)
  checkFrom0('line/bad-spacing', 'the length', length_m)
  return (length_m / 6) * (first_m2 + 4 * middle_m2 + last_m2)
}

/**
 * Volume of a triangular bank or ditch, both sides sloping alike, whose height changes evenly; and by how much average end area overstates it.
 *
 * Throws  `volume/bad-area`, `line/bad-spacing`.
 * Source  z L (h₁² + h₁h₂ + h₂²)/3; excess z L (h₁ − h₂)²/6; derived.
 */
export function taperingPrism(
  sideSlope_ratio: number,
  firstHeight_m: number,
  lastHeight_m: number,
  length_m: number,
): { readonly exact_m3: number; readonly averageEndArea_m3: number; readonly excess_m3: number } {
  for (const size of [sideSlope_ratio, firstHeight_m, lastHeight_m]) checkFrom0('volume/bad-area', 'a height or side slope', size)
  const zL = sideSlope_ratio * length_m
  const difference = firstHeight_m - lastHeight_m
  return {
    exact_m3: (zL * (firstHeight_m * firstHeight_m + firstHeight_m * lastHeight_m + lastHeight_m * lastHeight_m)) / 3,
    averageEndArea_m3: averageEndArea_m3(
      [sideSlope_ratio * firstHeight_m * firstHeight_m, sideSlope_ratio * lastHeight_m * lastHeight_m],
      length_m,
    ),
    excess_m3: (zL * difference * difference) / 6,
  }
}

/**
 * The cut half of a level bench whose cut just fills the other half, before bulking.
 *
 * Units   `halfWidth_m` the level width in cut; area per metre of bench.
 * Throws  `volume/bad-area`; `section/cut-never-ends` where the face is no steeper than the ground.
 * Source  w² s / (2 (1 − z s)); derived.
 */
export function benchCut(
  halfWidth_m: number,
  groundSlope_ratio: number,
  faceSlope_ratio: number,
): { readonly area_m2: number; readonly faceHeight_m: number } {
  for (const size of [halfWidth_m, groundSlope_ratio, faceSlope_ratio]) checkFrom0('volume/bad-area', 'a width or slope', size)
  if (groundSlope_ratio * faceSlope_ratio >= 1)
    throw new InputError(
      'section/cut-never-ends',
      `A face of ${faceSlope_ratio}:1 is no steeper than ground of ${groundSlope_ratio} rise/run and never comes out; cut it steeper.`,
      { faceSlope_ratio, groundSlope_ratio },
    )
  const faceHeight_m = (halfWidth_m * groundSlope_ratio) / (1 - groundSlope_ratio * faceSlope_ratio)
  return { area_m2: (halfWidth_m * faceHeight_m) / 2, faceHeight_m }
}

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

function tabled(low: number, high: number): SourcedRange {
  return { low, high, source: 'range of published earthwork tables, which differ', known: 'published' }
}

function checkFrom0(code: 'volume/bad-area' | 'volume/bad-ratio' | 'line/bad-spacing', what: string, value: number): void {
  if (!(value >= 0 && value < Infinity)) throw new InputError(code, `${what} is ${value}; give a number of 0 or more.`, { value })
}
