import type { Warning } from 'soakline/foundation'
import type { SiteFeature } from 'soakline/siting'
import { plainText } from './escape-text.js'

/** What a sheet shows that others have made: its ground, and what is drawn on it. */
export interface Credited {
  readonly assessment: { readonly ground: { readonly warnings: readonly Warning[] } }
  readonly features?: readonly Pick<SiteFeature, 'source'>[]
}

/** Whom the data on a sheet are owed to, in the words that their licences ask for, each once. */
export function creditsOf({ assessment, features = [] }: Credited): string[] {
  const ground = assessment.ground.warnings.flatMap(({ code, details }) => (code === 'ground/credit' ? [details.credit] : []))
  const said = [...ground, ...features.map(({ source }) => source)]
  return [...new Set(said.flatMap(credit => (typeof credit === 'string' && credit.trim() !== '' ? [plainText(credit).trim()] : [])))]
}
