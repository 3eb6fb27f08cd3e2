/** How a number is known. */
export type Known = 'published' | 'derived' | 'common-practice' | 'judgement' | 'from-memory'

/** A number that knows its unit and where it comes from. */
export interface Sourced<Unit extends string = string> {
  readonly value: number
  readonly unit: Unit
  /** Document and table or page, or "common practice, no source", or "from memory, unchecked". */
  readonly source: string
  readonly known: Known
}
