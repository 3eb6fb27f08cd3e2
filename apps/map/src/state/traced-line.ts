import { type ReadonlySignal, signal } from '@preact/signals'
import type { Place, Plan, PlanLine } from 'soakline/plan'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { GroundCard, Refusal } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Hand } from './hand.js'
import { roughLength_m, tracedBetween } from './hold.js'

/** How the hand says where a level line runs: through a place, to a new end, or from a place toward another. */
export type Trace =
  | { readonly kind: 'through'; readonly through: Place; readonly length_m: number; readonly fall_ratio: number }
  | { readonly kind: 'end'; readonly line: PlanLine; readonly end: 'first' | 'last'; readonly place: Place }
  | { readonly kind: 'walk'; readonly from: Place; readonly toward: Place }

/** What tracing rests on. */
export interface TracingNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly hand: Pick<Hand, 'draftLine' | 'adding'>
  readonly localCentre: ReadonlySignal<GroundCard['localCentre']>
  /** Is told of every refusal. */
  refused(error: unknown): void
}

/** Lines that the worker traces on the ground. */
export function createTracing({ ask, plan, hand: { draftLine, adding }, localCentre, refused }: TracingNeeds) {
  /** Why no line could be traced at the place last pointed to; the line before stays. */
  const traceProblem = signal<Refusal | null>(null)

  /** The line of a trace; null where there is none. */
  async function follow(trace: Trace): Promise<PlanLine | null> {
    try {
      if (trace.kind === 'walk') return await walked(trace)
      const sent = trace.kind === 'through' ? trace : await towardEnd(trace)
      if (sent === null) return draftLine.value
      const { through, length_m, fall_ratio } = sent
      const { path } = await ask('traceLine', { through, length_m, fall_ratio })
      traceProblem.value = null
      return { ...lineToBe(), path, traced: { through, fall_ratio, length_m } }
    } catch (error) {
      traceProblem.value = refusalOf(error)
      refused(error)
      return null
    }
  }

  /** What stays of the plan's line when it is traced anew: its id; a line that is added has one of its own. */
  function lineToBe(): Omit<PlanLine, 'path'> {
    const [first] = plan.value.lines
    return first === undefined || adding.value ? { id: edits.freshId('line', plan.value.lines) } : first
  }

  /** The level line from a place toward another; null where none leads there. */
  async function walked({ from, toward }: Extract<Trace, { kind: 'walk' }>): Promise<PlanLine | null> {
    const found = await ask('walkLine', { from, toward })
    traceProblem.value = null
    return found && { ...lineToBe(), path: found.path, traced: { through: found.through, length_m: found.length_m, fall_ratio: 0 } }
  }

  /** A line is made longer or shorter by tracing on from it and keeping the piece between its other end and the finger. */
  async function towardEnd({ line: held, end, place }: Extract<Trace, { kind: 'end' }>) {
    const traced = held.traced
    if (!traced) return null
    const far = roughLength_m([held.path[end === 'first' ? 0 : held.path.length - 1]!, place], localCentre.value)
    const { path } = await ask('traceLine', {
      through: traced.through,
      length_m: 2 * (traced.length_m + 2 * far),
      fall_ratio: traced.fall_ratio,
    })
    const piece = tracedBetween(path, held, end, place, localCentre.value)
    return piece && { ...piece, fall_ratio: traced.fall_ratio }
  }

  return { traceProblem, follow }
}

export type Tracing = ReturnType<typeof createTracing>
