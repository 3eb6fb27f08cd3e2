import type { ReadOptions } from '@soakline/io'
import type { Plan } from 'soakline/plan'
import { type EditName, editBetween, type History, keysBetween, perform, redo, startHistory, undo } from './history.js'

/** A run of an array's items that gave way to others. */
interface Splice {
  readonly at: number
  readonly gone: number
  readonly put: readonly unknown[]
}

/** What one step changed in a plan, as data that can be kept. Of arrays only the run that changed, so that a nudge among a thousand features stays small. */
export interface PlanChange {
  readonly set: Readonly<Record<string, unknown>>
  readonly spliced: Readonly<Record<string, Splice>>
  readonly dropped: readonly string[]
}

/** One step of the work as the journal keeps it. */
export type JournalRow =
  | {
      readonly what: 'edit'
      readonly name: EditName
      readonly joins: string | null
      readonly change: PlanChange
      /** How the raster is read from this step on, where the step changed that. */
      readonly readAs?: ReadOptions
    }
  | { readonly what: 'undo' | 'redo' }
  /** The demo's names in another language: no step of the user's. */
  | { readonly what: 'rename'; readonly change: PlanChange }
  /** The plan as it stood was saved to a file. */
  | { readonly what: 'in-file' }

const sameStart = (a: readonly unknown[], b: readonly unknown[]): number => {
  let k = 0
  while (k < a.length && k < b.length && a[k] === b[k]) k++
  return k
}

function spliceBetween(before: readonly unknown[], after: readonly unknown[]): Splice {
  const at = sameStart(before, after)
  const end = sameStart(before.slice(at).reverse(), after.slice(at).reverse())
  return { at, gone: before.length - at - end, put: after.slice(at, after.length - end) }
}

/** What leads from one plan to another. Laws: `changed(before, changeBetween(before, after))` says the same as `after`. */
export function changeBetween(before: Plan, after: Plan): PlanChange {
  const set: Record<string, unknown> = {}
  const spliced: Record<string, Splice> = {}
  const dropped: string[] = []
  for (const key of keysBetween(before, after)) {
    const [old, now]: unknown[] = [before[key], after[key]]
    if (now === undefined) dropped.push(key)
    else if (Array.isArray(old) && Array.isArray(now)) spliced[key] = spliceBetween(old, now)
    else set[key] = now
  }
  return { set, spliced, dropped }
}

/** The plan after a change. Throws RangeError where the change was made of another plan. */
export function changed(plan: Plan, { set, spliced, dropped }: PlanChange): Plan {
  const next: Record<string, unknown> = { ...plan, ...set }
  for (const key of dropped) delete next[key]
  for (const [key, { at, gone, put }] of Object.entries(spliced)) {
    const old = next[key]
    if (!Array.isArray(old) || at + gone > old.length) throw new RangeError(`The journal does not fit the plan it stands on (${key}).`)
    next[key] = [...old.slice(0, at), ...put, ...old.slice(at + gone)]
  }
  return next as unknown as Plan
}

/** Work taken up again from where it was kept. */
export interface Replayed {
  readonly history: History
  /** The plan as it was last saved to a file; null where it never was since the start. */
  readonly inFile: Plan | null
  /** How each ground that the journal names is to be read. */
  readonly readings: readonly (readonly [Plan['ground'], ReadOptions])[]
  /** True where a row could not be followed: the work ends before it. */
  readonly cut: boolean
}

/** Follows a journal from the plan on which it was begun, so that the work comes back with its steps of undo. */
export function replay(start: Plan, startInFile: boolean, rows: readonly JournalRow[]): Replayed {
  let history = startHistory(start)
  let inFile = startInFile ? start : null
  const readings: (readonly [Plan['ground'], ReadOptions])[] = []
  try {
    for (const row of rows) {
      if (row.what === 'edit') {
        const after = changed(history.plan, row.change)
        history = perform(history, editBetween(row.name, row.joins, history.plan, after))
        if (row.readAs) readings.push([history.plan.ground, row.readAs])
      } else if (row.what === 'undo') history = undo(history)
      else if (row.what === 'redo') history = redo(history)
      else if (row.what === 'rename') history = { ...history, plan: changed(history.plan, row.change) }
      else if (row.what === 'in-file') inFile = history.plan
      // A step of a kind unknown here: a newer page's.
      else return { history, inFile, readings, cut: true }
    }
  } catch {
    return { history, inFile, readings, cut: true }
  }
  return { history, inFile, readings, cut: false }
}
