import type { Refusal } from './protocol.js'

/** A question that was not answered: it carries the refusal as data. */
export class Refused extends Error {
  override readonly name = 'Refused'

  constructor(readonly refusal: Refusal) {
    super(refusal.message)
  }
}

/** The refusal in whatever was thrown; `unexpected` for a fault of the program. */
export const refusalOf = (error: unknown): Refusal =>
  error instanceof Refused
    ? error.refusal
    : { code: 'unexpected', message: error instanceof Error ? error.message : String(error), details: {} }
