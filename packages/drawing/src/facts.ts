import type { Finding } from 'soakline/foundation'
import { plainText } from './escape-text.js'

/** What a sentence about a finding or a warning may ask for. */
export interface Facts {
  /** A number of the details; null when it is not there. */
  number(key: string): number | null
  /** A text of the details, without control characters; null when it is not there or empty. */
  text(key: string): string | null
  /** A code, a yes/no or a number of the details as it stands, to choose among sentences; null when it is not there. */
  code(key: string): string | null
  readonly measured: number | null
  readonly limit: number | null
  /** Of `measured` and `limit`. */
  readonly unit: string | null
  readonly chainage_m: number | null
}

type Details = Readonly<Record<string, unknown>>

/** Facts of details and of a measure against its limit. */
export const factsIn = (
  details: Details,
  {
    measured = null,
    limit = null,
    unit = null,
    chainage_m = null,
  }: Partial<Pick<Finding, 'measured' | 'limit' | 'unit' | 'chainage_m'>> = {},
): Facts => ({
  number: key => {
    const value = Object.hasOwn(details, key) ? details[key] : null
    return typeof value === 'number' && Number.isFinite(value) ? value : null
  },
  text: key => {
    const value = Object.hasOwn(details, key) ? details[key] : null
    const plain = typeof value === 'string' ? plainText(value).trim() : ''
    return plain === '' ? null : plain
  },
  code: key => {
    const value = Object.hasOwn(details, key) ? details[key] : null
    return typeof value === 'string' || typeof value === 'boolean' || typeof value === 'number' ? String(value) : null
  },
  measured,
  limit,
  unit,
  chainage_m,
})

export const factsOfFinding = (f: Finding): Facts => factsIn(f.details, f)
export const factsOfDetails = (details: Details): Facts => factsIn(details)
