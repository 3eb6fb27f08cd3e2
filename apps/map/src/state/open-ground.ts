import type { ReadOptions } from '@soakline/io'
import type { Plan } from 'soakline/plan'
import type { GroundCard, Refusal } from '../worker/protocol.js'

/** The raster that is open, with what is needed to read it again. */
export interface OpenGround {
  readonly card: GroundCard
  readonly file: Blob
  readonly name: string
  readonly options: ReadOptions
  readonly demo: boolean
}

/** A raster that waits for an answer of the user before it can be read. */
export interface GroundQuestion {
  readonly file: Blob
  readonly name: string
  readonly options: ReadOptions
  readonly refusal: Refusal
  readonly plan: Plan | null
  readonly demo: boolean
  /** Where the file is a part that was cut out: how the whole was read. */
  readonly cutWith?: ReadOptions | undefined
}
