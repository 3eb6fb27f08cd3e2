/**
 * Nothing is ever called safe: a check holds, is unknown, asks to watch, or fails. The most favourable first: what was found and asks to be watched
 * weighs more than what nobody knows yet, which may still turn out to hold. Source of the order: judgement.
 */
export const VERDICTS = ['holds', 'unknown', 'watch', 'fails'] as const
/** One of `VERDICTS`. */
export type Verdict = (typeof VERDICTS)[number]

/** The checks of an assessment, in the order in which a steward decides things. */
export const CHECKS = [
  'ground-fit',
  'permissions-asked',
  'line-off-no-go',
  'cautions-on-line',
  'line-across-flow',
  'soil-soaks',
  'catchment-complete',
  'storage-holds-storm',
  'spill-carries-peak',
  'freeboard',
  'exit-holds',
  'water-against-fill',
  'local-limits',
  'spill-place',
  'overflow-misses-buildings',
  'overflow-stays-on-holding',
  'breach-misses-buildings',
] as const
/** One of `CHECKS`. */
export type Check = (typeof CHECKS)[number]

/**
 * One check of a plan, as data; `@soakline/drawing` says it in words.
 *
 * Units   `measured` and `limit` are in `unit` (SI); null when asked and not known.
 */
export interface Finding {
  readonly check: Check
  readonly verdict: Verdict
  readonly measured: number | null
  readonly limit: number | null
  readonly unit: string | null
  /** Where along the line, from its first vertex; null when the check is about the whole. */
  readonly chainage_m: number | null
  /** Code of the reason, e.g. `catchment/cut-by-edge`. */
  readonly because: string
  readonly source: string
  /** Values that the sentence needs besides `measured` and `limit`; keys carry their unit. */
  readonly details: Readonly<Record<string, number | string | boolean | null>>
}

/** Above 0 where the first verdict is more unfavourable than the second, below 0 where less. */
export const graver = (a: Verdict, b: Verdict): number => VERDICTS.indexOf(a) - VERDICTS.indexOf(b)

/** The most unfavourable of several verdicts; `holds` for none. */
export function worstVerdict(verdicts: readonly Verdict[]): Verdict {
  return verdicts.reduce<Verdict>((worst, verdict) => (graver(verdict, worst) > 0 ? verdict : worst), 'holds')
}
