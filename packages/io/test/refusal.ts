import { InputError } from 'soakline/foundation'

/** The code and message of a refusal; anything else that happens is thrown on, so that a test shows it. */
export async function refusal(work: () => unknown): Promise<{ code: string; message: string; details: Readonly<Record<string, unknown>> }> {
  try {
    await work()
  } catch (error) {
    if (error instanceof InputError) return { code: error.code, message: error.message, details: error.details }
    throw error
  }
  throw new Error('nothing was refused')
}
