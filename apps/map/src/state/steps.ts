import { batch, type ReadonlySignal, type Signal } from '@preact/signals'
import type { ReadOptions } from '@soakline/io'
import type { Plan } from 'soakline/plan'
import type { Hand } from './hand.js'
import { type Edit, type History, perform, redo, undo } from './history.js'
import { changeBetween } from './journal.js'
import type { Keeping } from './keeping.js'
import type { Notices } from './notices.js'
import type { OpenGround } from './open-ground.js'

/** Whether two plans differ in nothing that an answer rests on. */
const asksTheSame = (a: Plan, b: Plan): boolean =>
  (['ground', 'lines', 'features', 'rain', 'soil', 'measuredStorm', 'dailyRain', 'hollows', 'settings'] as const).every(
    key => a[key] === b[key],
  )

/** What steps rest on. */
export interface StepNeeds {
  readonly history: Signal<History>
  readonly plan: ReadonlySignal<Plan>
  readonly ground: ReadonlySignal<OpenGround | null>
  /** How the raster is read while a plan speaks of its ground so. */
  readonly readAs: WeakMap<Plan['ground'], ReadOptions>
  readonly hand: Hand
  readonly keeping: Pick<Keeping, 'readOnly' | 'keep'>
  readonly notices: Pick<Notices, 'tell'>
  /** What a step asks for. */
  readonly next: {
    /** The answer about the line, anew. */
    refresh(): void
    /** The work on the ground, anew: the answer stays. */
    askWork(): void
    /** The open raster, read in another way. */
    readAgain(open: OpenGround, options: ReadOptions): void
    /** The names of the demo, in the language of now. */
    rename(): void
  }
}

/** The steps of work on the plan: each is kept as it is made, and can be taken back. */
export function createSteps({ history, plan, ground, readAs, hand, keeping, notices: { tell }, next }: StepNeeds) {
  const { mode, draftLine, draftFeature, draftSettings, byHand } = hand
  const { readOnly, keep } = keeping

  /** Does an edit and keeps it; nothing is asked. */
  function record(edit: Edit): void {
    const before = plan.value
    history.value = perform(history.value, edit)
    const { ground: now } = plan.value
    const options = now === before.ground ? undefined : readAs.get(now)
    keep({
      what: 'edit',
      name: edit.name,
      joins: edit.joins,
      change: changeBetween(before, plan.value),
      ...(options ? { readAs: options } : {}),
    })
  }

  /** Does an edit, asks again, and keeps the work. */
  function edit(make: (plan: Plan) => Edit) {
    if (readOnly.value) return tell('second-tab')
    record(make(plan.value))
    next.refresh()
  }

  /** Notes something that no answer rests on: the work on the ground is worked out anew, the answer stays. */
  function note(make: (plan: Plan) => Edit) {
    if (readOnly.value) return tell('second-tab')
    record(make(plan.value))
    next.askWork()
  }

  function step(which: 'undo' | 'redo') {
    if (readOnly.value) return tell('second-tab')
    const [before, how] = [plan.value, which === 'undo' ? undo : redo]
    const wasDrafting = draftLine.value !== null || draftFeature.value !== null || draftSettings.value !== null
    batch(() => {
      draftLine.value = null
      draftFeature.value = null
      draftSettings.value = null
      byHand.value = null
      history.value = how(history.value)
      const now = mode.value
      if (now.kind === 'chosen-feature' && !plan.value.features.some(f => f.id === now.id)) mode.value = { kind: 'look' }
    })
    if (plan.value === before) return
    keep({ what: which })
    next.rename()
    const options = plan.value.ground === before.ground ? undefined : readAs.get(plan.value.ground)
    if (options && ground.value) next.readAgain(ground.value, options)
    else if (wasDrafting || !asksTheSame(before, plan.value)) next.refresh()
    else next.askWork()
  }

  return { record, edit, note, undo: () => step('undo'), redo: () => step('redo') }
}
