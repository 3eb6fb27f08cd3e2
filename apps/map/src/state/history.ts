import type { Plan } from 'soakline/plan'

/** What an edit did, for the word beside "undo". */
export type EditName =
  | 'trace-line'
  | 'draw-line'
  | 'move-line'
  | 'remove-line'
  | 'take-line'
  | 'set-soil'
  | 'set-built'
  | 'set-book'
  | 'set-digging'
  | 'set-plants'
  | 'set-care'
  | 'add-feature'
  | 'import-features'
  | 'move-feature'
  | 'name-feature'
  | 'remove-feature'
  | 'set-setting'
  | 'set-rain'
  | 'set-storm'
  | 'set-daily-rain'
  | 'choose-hollow'
  | 'set-holding'
  | 'set-ground'
  | 'open-plan'

/** One step of work on a plan, with the step that takes it back. */
export interface Edit {
  readonly name: EditName
  /** Edits that follow each other with the same key count as one step, e.g. nudges of one vertex. */
  readonly joins: string | null
  readonly forward: (plan: Plan) => Plan
  readonly back: (plan: Plan) => Plan
}

/** A plan and the way that led to it. */
export interface History {
  readonly plan: Plan
  readonly done: readonly Edit[]
  readonly undone: readonly Edit[]
}

export const startHistory = (plan: Plan): History => ({ plan, done: [], undone: [] })

/** The keys in which two plans differ; a key whose value is undefined counts as absent. */
export const keysBetween = (before: Plan, after: Plan): readonly (keyof Plan)[] =>
  ([...new Set([...Object.keys(before), ...Object.keys(after)])] as (keyof Plan)[]).filter(key => before[key] !== after[key])

/** A plan with some keys as another plan has them; what the other lacks goes. */
export function withKeysOf(plan: Plan, other: Plan, keys: readonly (keyof Plan)[]): Plan {
  const next: Record<string, unknown> = { ...plan }
  for (const key of keys) {
    if (other[key] === undefined) delete next[key]
    else next[key] = other[key]
  }
  return next as unknown as Plan
}

/** The edit that leads from one plan to another. */
export function editBetween(name: EditName, joins: string | null, before: Plan, after: Plan): Edit {
  const keys = keysBetween(before, after)
  return { name, joins, forward: p => withKeysOf(p, after, keys), back: p => withKeysOf(p, before, keys) }
}

/** The history after one more edit; what was undone is forgotten. */
export function perform(history: History, edit: Edit): History {
  const plan = edit.forward(history.plan)
  const last = history.done[history.done.length - 1]
  if (edit.joins !== null && last?.joins === edit.joins && history.undone.length === 0) {
    const joined = editBetween(edit.name, edit.joins, last.back(history.plan), plan)
    return { plan, done: [...history.done.slice(0, -1), joined], undone: [] }
  }
  return { plan, done: [...history.done, edit], undone: [] }
}

/** One step back. Laws: n steps back and n steps on give the same plan; with nothing to undo the history itself. */
export function undo(history: History): History {
  const last = history.done[history.done.length - 1]
  if (last === undefined) return history
  return { plan: last.back(history.plan), done: history.done.slice(0, -1), undone: [...history.undone, last] }
}

/** One step on again. */
export function redo(history: History): History {
  const next = history.undone[history.undone.length - 1]
  if (next === undefined) return history
  return { plan: next.forward(history.plan), done: [...history.done, next], undone: history.undone.slice(0, -1) }
}
