import { InputError } from 'soakline/foundation'

/** The code with which something is refused, or `answered`; anything else that happens is thrown on, so that a test shows it. */
export function refusalCode(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
  return 'answered'
}
