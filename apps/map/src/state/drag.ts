import { batch, computed, type ReadonlySignal } from '@preact/signals'
import type { Place, Plan, PlanLine, Settings } from 'soakline/plan'
import { fromDisplay, toDisplay } from '../display.js'
import type { Display, GroundCard, LineAnswer } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Hand } from './hand.js'
import type { Edit } from './history.js'
import { heldAfter, heldVertices, nudged } from './hold.js'
import type { LineAnswers } from './line-answers.js'
import type { Handle } from './mode.js'
import type { Notices } from './notices.js'
import { cornersOf, positionsOf } from './positions.js'
import { spillDraggedTo, spillOnMap } from './spill-handle.js'

/** A handle at its place. */
export interface HandlePlace {
  readonly handle: Handle
  readonly place: Place
  /** To which side it stands off, east and south on the screen, as a unit vector; absent: it stands on its place. */
  readonly lean?: readonly [x: number, y: number]
}

/** Handles of a chosen feature on the plan. */
const MOST_HANDLES = 40

type Phase = 'start' | 'move' | 'end'

/** What dragging rests on. */
export interface DragNeeds {
  readonly plan: ReadonlySignal<Plan>
  readonly hand: Hand
  readonly localCentre: ReadonlySignal<GroundCard['localCentre']>
  readonly answer: ReadonlySignal<LineAnswer | null>
  readonly readOnly: ReadonlySignal<boolean>
  readonly lineAnswers: Pick<LineAnswers, 'refresh' | 'traceLine'>
  readonly notices: Pick<Notices, 'tell'>
  /** Points at a place along the line; null at none. */
  point(chainage_m: number | null): void
  edit(make: (plan: Plan) => Edit): void
}

/** What the hand takes hold of and moves: answered while it moves, an edit when it lets go. */
export function createDrag({ plan, hand, localCentre, answer, readOnly, lineAnswers, notices: { tell }, point, edit }: DragNeeds) {
  const { mode, shaping, draftLine, draftFeature, draftSettings, tracing, line, chosen } = hand
  const { refresh, traceLine } = lineAnswers

  /** The vertices of a line that was shaped here stay at hand by their numbers; of any other line they are spread evenly. */
  const heldOn = new WeakMap<PlanLine['path'], readonly number[]>()
  const heldOf = (path: PlanLine['path']): readonly number[] => heldOn.get(path) ?? heldVertices(path)

  /** Where the plan can be taken hold of. */
  const handles = computed<readonly HandlePlace[]>(() => {
    const now = mode.value
    if (now.kind === 'chosen-feature') {
      const feature = chosen.value
      if (feature === null) return []
      const all = positionsOf(feature.geometry).flatMap((row, ring) =>
        cornersOf(row).map((place, index) => ({ handle: { what: 'feature-vertex' as const, id: feature.id, ring, index }, place })),
      )
      // A long stream has hundreds of vertices: some of them, evenly spread, can be taken hold of on the plan; the list has all.
      const each = Math.ceil(all.length / MOST_HANDLES)
      return all.filter((_, k) => k % each === 0)
    }
    const path = line.value?.path
    if (now.kind !== 'look' || path === undefined || path.length < 2) return []
    const spill = answer.value === null || readOnly.value ? null : spillOnMap(answer.value, draftSettings.value?.spillChainage_m ?? null)
    const held: HandlePlace[] = [
      { handle: { what: 'line-end', end: 'first' }, place: path[0]! },
      { handle: { what: 'line-end', end: 'last' }, place: path[path.length - 1]! },
    ]
    if (line.value?.traced && !shaping.value) held.push({ handle: { what: 'line-through' }, place: line.value.traced.through })
    else
      for (const [number, index] of heldOf(path).entries())
        if (index > 0 && index < path.length - 1) held.push({ handle: { what: 'line-vertex', number }, place: path[index]! })
    if (spill !== null) held.push({ handle: { what: 'spill' }, place: fromDisplay(spill.at, localCentre.value), lean: spill.lean })
    return held
  })

  /** Settings under the finger: answered while it moves, kept when it lifts. */
  function trySettings(parts: Partial<Settings>): void {
    if (readOnly.value || plan.value.lines.length === 0) return
    draftSettings.value = parts
    refresh()
  }

  function keepSettings(parts: Partial<Settings>, joins: string | null = null): void {
    batch(() => {
      draftSettings.value = null
      edit(p => edits.setSettings(p, parts, joins))
    })
  }

  /** The spill is drawn along the line. */
  function dragSpill(place: Place, phase: Phase, joins: string | null): void {
    const about = answer.value
    if (about === null) return
    const spillChainage_m = spillDraggedTo(about, toDisplay(place, localCentre.value))
    if (spillChainage_m === null || phase === 'start') return
    if (phase === 'move') trySettings({ spillChainage_m })
    else keepSettings({ spillChainage_m }, joins)
  }

  function dragLine(handle: Handle, place: Place, phase: Phase, joins: string | null) {
    const held = plan.value.lines[0]
    if (held === undefined) return
    const commit = phase === 'end' ? { name: 'move-line' as const, joins } : null
    if (handle.what === 'line-through') {
      const { length_m, fall_ratio } = held.traced ?? tracing.value
      traceLine({ kind: 'through', through: place, length_m, fall_ratio }, commit)
    } else if (handle.what === 'line-end' && held.traced && !shaping.value) {
      traceLine({ kind: 'end', line: held, end: handle.end, place }, commit)
    } else {
      const spread = heldOf(held.path)
      const number =
        handle.what === 'line-vertex' ? handle.number : handle.what === 'line-end' && handle.end === 'last' ? spread.length - 1 : 0
      const index = spread[number]
      if (index === undefined) return
      const moved = edits.withVertex(held, index, place, spread[number - 1] ?? -1, spread[number + 1] ?? held.path.length)
      heldOn.set(moved.path, heldAfter(spread, number))
      if (phase === 'end') {
        batch(() => {
          draftLine.value = null
          edit(p => edits.setLine(p, 'move-line', moved, joins))
        })
      } else {
        draftLine.value = moved
        refresh()
      }
    }
  }

  /** A handle is dragged, or moved by a key. */
  function drag(handle: Handle, place: Place, phase: Phase, joins: string | null = null) {
    if (readOnly.value) return tell('second-tab')
    if (phase !== 'end') point(null)
    if (handle.what === 'spill') return dragSpill(place, phase, joins)
    if (handle.what !== 'feature-vertex') return dragLine(handle, place, phase, joins)
    const feature = plan.value.features.find(f => f.id === handle.id)
    if (feature === undefined) return
    const moved = edits.movedFeature(feature, handle.ring, handle.index, place)
    if (phase === 'end') {
      batch(() => {
        draftFeature.value = null
        edit(p => edits.setFeature(p, moved, joins))
      })
    } else {
      draftFeature.value = moved
      refresh()
    }
  }

  return {
    handles,
    trySettings,
    keepSettings,
    drag,
    dragDisplay: (handle: Handle, at: Display, phase: Phase) => drag(handle, fromDisplay(at, localCentre.value), phase),
    nudge(handle: Handle, from: Place, east_m: number, north_m: number): void {
      drag(handle, nudged(from, east_m, north_m, localCentre.value), 'end', `nudge-${JSON.stringify(handle)}`)
    },
  }
}
