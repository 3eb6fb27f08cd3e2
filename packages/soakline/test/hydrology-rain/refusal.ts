import { InputError } from '../../src/foundation/index.js'

/** The code with which work is refused, or "answered". */
export const refusal = (work: () => unknown): string => {
  try {
    work()
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
  return 'answered'
}
