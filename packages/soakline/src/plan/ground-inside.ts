import { answersSchema, type GroundAnswers, problemWithAnswers } from './ground-answers.js'

/**
 * The raster's own file within the plan, packed, so that the plan opens where the raster is not at hand. It is read again by the plan's `answers`, or by its own.
 */
export interface GroundInside {
  readonly packing: 'deflate' | 'none'
  /** Bytes of the file, unpacked. */
  readonly bytes: number
  readonly base64: string
  /** What was said of this file where it is a part of the raster that the plan's own answers are about; absent: those. */
  readonly answers?: GroundAnswers
}

/** What is wrong with the ground in a plan; null where nothing is. */
export function problemWithGroundInside(value: unknown): string | null {
  const inside = value as Partial<GroundInside> | null
  if (typeof inside !== 'object' || inside === null) return '"ground.inside" must be an object'
  if (inside.packing !== 'deflate' && inside.packing !== 'none') return '"ground.inside.packing" must be deflate or none'
  if (!Number.isInteger(inside.bytes) || inside.bytes! < 1) return '"ground.inside.bytes" must be a whole number above 0'
  if (typeof inside.base64 !== 'string' || !/^[A-Za-z0-9+/]+={0,2}$/.test(inside.base64) || inside.base64.length % 4 !== 0)
    return '"ground.inside.base64" must be base 64'
  return problemWithAnswers(inside.answers, 'ground.inside.answers')
}

/** JSON Schema (2020-12) of the ground in a plan. */
export function groundInsideSchema(): Record<string, unknown> {
  return {
    description: "The raster's own file, so that the plan opens without it; absent: it is named and known by its hash alone.",
    type: 'object',
    required: ['packing', 'bytes', 'base64'],
    properties: {
      packing: { enum: ['deflate', 'none'] },
      bytes: { type: 'integer', minimum: 1 },
      base64: { type: 'string', contentEncoding: 'base64' },
      answers: answersSchema(),
    },
  }
}
