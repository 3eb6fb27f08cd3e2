import { type Plan, readPlan, writePlan } from 'soakline/plan'
import type { Kept } from './browser-store.js'
import { replay } from './journal.js'

/** A plan as this page itself kept it: a draft comes back also where an answer would refuse it. Throws where it is no plan of this version. */
export function draftPlan(text: string): Plan {
  try {
    return readPlan(text)
  } catch (error) {
    const { code } = error as { code?: string }
    if (code === 'plan/not-json' || code === 'plan/format' || code === 'plan/forbidden-key') throw error
    return JSON.parse(text) as Plan
  }
}

/** Whether a kept text says that it is a plan of a later kind. */
export function isOfNewerPage(text: string): boolean {
  try {
    const { format } = JSON.parse(text) as { format?: unknown }
    return typeof format === 'string' && /^soakline-plan\/[2-9]/.test(format)
  } catch {
    return false
  }
}

/** Kept work as the text of a plan file: with its steps where they can be followed, else as it was begun. */
export function textOfKept({ planText, rows }: Kept): string {
  try {
    return writePlan(replay(draftPlan(planText), false, rows).history.plan)
  } catch {
    return planText
  }
}
