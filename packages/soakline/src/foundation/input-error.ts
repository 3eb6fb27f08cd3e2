/** The stable code of a refusal: what it is about, a slash, what is wrong. */
export type InputErrorCode = `${string}/${string}`

/**
 * A refused input. It says what is wrong, why that matters, and what to do next; the code stays the same in every release.
 * A failed check of a plan is never an error: it is a `Finding`.
 */
export class InputError extends Error {
  override readonly name = 'InputError'

  constructor(
    readonly code: InputErrorCode,
    message: string,
    readonly details: Readonly<Record<string, unknown>> = {},
  ) {
    super(message)
  }

  /** What crosses a thread: `structuredClone` would keep only the message. */
  toJSON(): { code: InputErrorCode; message: string; details: Readonly<Record<string, unknown>> } {
    return { code: this.code, message: this.message, details: this.details }
  }
}

/** A remark on an input that was taken all the same: a code and the values that a sentence about it needs. */
export interface Warning {
  readonly code: InputErrorCode
  readonly details: Readonly<Record<string, number | string | boolean | null>>
}
