import type { Warning } from 'soakline/foundation'
import type { FeatureKind } from 'soakline/siting'
import type { ReadLayer, Refusal, Sent } from '../worker/protocol.js'

/** What was said of a layer that leaves something open. */
export type LayerSaid = Partial<Sent<'readLayers'>['said']> & {
  /** Which of its lines is the swale: its name, or its number in the file. */
  readonly line?: string
  /** What its layers show, in their order. */
  readonly kinds?: readonly LayerKind[]
}

/** A layer that waits for an answer of the user. */
export interface LayerQuestion {
  readonly file: Blob
  readonly name: string
  readonly said: LayerSaid
  readonly refusal: Refusal
}

/** Layers of a file that wait to be told what they show. */
export interface KindQuestion {
  readonly file: Blob
  readonly name: string
  readonly said: LayerSaid
  readonly layers: readonly ReadLayer[]
  /** What was left out of the file as a whole. */
  readonly warnings: readonly Warning[]
}

/** What a layer shows: a kind, the line, what its features say themselves, or nothing that is wanted. */
export type LayerKind = FeatureKind | 'line' | 'own' | 'leave'
