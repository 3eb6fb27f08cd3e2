/** Why no swale goes there, or why a professional should be asked first. A cell's reasons are bits in this order. */
export const NO_GO_REASONS = [
  'above-building',
  'near-building',
  'forest',
  'wet-ground',
  'spring',
  'septic',
  'well',
  'boundary',
  'track',
  'stream',
  'utility',
  'slip',
  'hollow',
  'too-steep',
  'seepage',
  'high-wetness',
  'slide-prone',
  'steep-weak-soil',
  'above-bank',
  'above-slip',
] as const
/** One of `NO_GO_REASONS`. */
export type NoGoReason = (typeof NO_GO_REASONS)[number]

/** Reasons to ask a professional or to look on site: where they are missing, nothing is cleared. */
export const CAUTIONS = [
  'high-wetness',
  'slide-prone',
  'steep-weak-soil',
  'above-bank',
  'above-slip',
] as const satisfies readonly NoGoReason[]

/** A reason's bit in a cell's word. */
export const reasonBit = (reason: NoGoReason): number => 1 << NO_GO_REASONS.indexOf(reason)

/** The reasons held in a cell's word. */
export const reasonsOf = (word: number): NoGoReason[] => NO_GO_REASONS.filter((_, k) => word & (1 << k))

/** The bits of all cautions. */
export const CAUTION_BITS = CAUTIONS.reduce((bits, reason) => bits | reasonBit(reason), 0)
