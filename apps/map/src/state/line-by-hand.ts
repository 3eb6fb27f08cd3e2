import { batch, type ReadonlySignal } from '@preact/signals'
import type { Place, Plan } from 'soakline/plan'
import { fromDisplay } from '../display.js'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { Display, FoundLines, GroundCard } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Hand } from './hand.js'
import type { Edit } from './history.js'
import { roughLength_m } from './hold.js'
import type { LineAnswers } from './line-answers.js'
import type { Notices } from './notices.js'
import type { Tracing } from './traced-line.js'

/** What making a line rests on. */
export interface LineNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly hand: Hand
  readonly localCentre: ReadonlySignal<GroundCard['localCentre']>
  readonly found: ReadonlySignal<{ readonly search: FoundLines } | null>
  readonly traceProblem: Tracing['traceProblem']
  readonly traceLine: LineAnswers['traceLine']
  readonly readOnly: ReadonlySignal<boolean>
  readonly notices: Pick<Notices, 'tell'>
  edit(make: (plan: Plan) => Edit): void
}

/** The ways in which the line comes about: pointed to, walked, taken, fitted, traced anew. */
export function createLineByHand(needs: LineNeeds) {
  const { ask, plan, hand, localCentre, found: possible, traceProblem, traceLine, readOnly, edit } = needs
  const { tell } = needs.notices
  const { mode, shaping, tracing, byHand } = hand

  function pointAt(through: Place) {
    if (readOnly.value) return tell('second-tab')
    batch(hand.rest)
    traceLine({ kind: 'through', through, ...tracing.value }, { name: 'trace-line', joins: null })
  }

  /** The first end of a walked line, or its other end. */
  function walk(from: Place | null, place: Place) {
    if (readOnly.value) return tell('second-tab')
    byHand.value = null
    if (from === null) {
      mode.value = { kind: 'walk-line', from: place }
      return
    }
    batch(hand.rest)
    traceLine({ kind: 'walk', from, toward: place }, { name: 'walk-line', joins: null })
  }

  return {
    pointAt,
    walk,
    /** Makes a possible line the plan's line. */
    takeFound(rank: number): void {
      const line = possible.value?.search.lines.find(one => one.rank === rank)
      if (line === undefined) return
      batch(hand.rest)
      edit(p => edits.setLine(p, 'take-line', { id: `found-${rank}`, path: line.path }))
    },
    /** Another line of the plan becomes the one that is worked on, ready to be dragged. */
    takeLine(id: string): void {
      batch(() => {
        hand.rest()
        edit(p => edits.workOn(p, id))
      })
    },
    /** Where the pointer is while a line is walked: it is answered as it grows. */
    walkTo(at: Display): void {
      const now = mode.value
      if (now.kind === 'walk-line' && now.from !== null && !readOnly.value)
        traceLine({ kind: 'walk', from: now.from, toward: fromDisplay(at, localCentre.value) }, null)
    },
    /** The drawn line is laid on the contour that it comes nearest to. */
    async fitLine(): Promise<void> {
      const [held] = plan.value.lines
      if (held === undefined) return
      try {
        const found = await ask('fitLine', { path: held.path })
        byHand.value = found === null ? 'no-fit' : 'fitted'
        if (found === null || plan.value.lines[0] !== held) return
        shaping.value = false
        const traced = { through: found.through, length_m: found.length_m, fall_ratio: 0 }
        edit(p => edits.setLine(p, 'trace-line', { ...held, path: found.path, traced }))
      } catch (error) {
        traceProblem.value = refusalOf(error)
      }
    },
    /** Length and fall of the traced line: the line at hand is traced again with them. */
    setTracing(parts: Partial<{ readonly length_m: number; readonly fall_ratio: number }>): void {
      tracing.value = { ...tracing.value, ...parts }
      const held = plan.value.lines[0]
      if (held?.traced === undefined || readOnly.value) return
      const { through, length_m, fall_ratio } = { ...held.traced, ...parts }
      traceLine({ kind: 'through', through, length_m, fall_ratio }, { name: 'move-line', joins: 'tracing' })
    },
    /** A free line becomes a level one through its middle vertex. */
    level(): void {
      const path = plan.value.lines[0]?.path
      if (path === undefined) return
      const length_m = roughLength_m(path, localCentre.value)
      batch(() => {
        shaping.value = false
        tracing.value = { length_m, fall_ratio: 0 }
      })
      const through = path[Math.floor(path.length / 2)]!
      traceLine({ kind: 'through', through, length_m, fall_ratio: 0 }, { name: 'trace-line', joins: null })
    },
  }
}

export type LineByHand = ReturnType<typeof createLineByHand>
