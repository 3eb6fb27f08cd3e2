import type { Finding } from 'soakline/foundation'
import { plainText } from './escape-text.js'

/** What a sentence about a finding or a warning may ask for. */
export interface Facts {
  /** A number of the details; null when it is not there. */
  number(key: string): number | null
  /** A text of the details, without control characters; null when it is not there or empty. */
  text(key: string): string | null
  readonly measured: number | null
  readonly limit: number | null
  readonly chainage_m: number | null
}

type Details = Readonly<Record<string, number | string | boolean | null>>

const factsIn = (details: Details, measured: number | null, limit: number | null, chainage_m: number | null): Facts => ({
  number: key => {
    const value = Object.hasOwn(details, key) ? details[key] : null
    return typeof value === 'number' && Number.isFinite(value) ? value : null
  },
  text: key => {
    const value = Object.hasOwn(details, key) ? details[key] : null
    const plain = typeof value === 'string' ? plainText(value).trim() : ''
    return plain === '' ? null : plain
  },
  measured,
  limit,
  chainage_m,
})

export const factsOfFinding = (f: Finding): Facts => factsIn(f.details, f.measured, f.limit, f.chainage_m)
export const factsOfDetails = (details: Details): Facts => factsIn(details, null, null, null)
