import type { InputErrorCode } from 'soakline/foundation'
import { refusalOf } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'

/** A refusal of the sheet's own. */
export const refusal = (code: InputErrorCode): Refusal => ({ code, message: code, details: {} })

/** The refusal in what was thrown by the library itself, or by the worker. */
export function refusalIn(error: unknown): Refusal {
  const own = error as Partial<Refusal>
  return typeof own?.code === 'string' ? { code: own.code, message: own.message ?? own.code, details: own.details ?? {} } : refusalOf(error)
}
