import { computed, signal } from '@preact/signals'
import type { FeatureCollection } from 'geojson'
import type { Cascade, Plan, PlanLine } from 'soakline/plan'
import { refusalOf } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Sheet } from './sheet.js'

const restsOn = (plan: Plan): readonly unknown[] => [plan.lines, plan.settings, plan.features, plan.rain, plan.soil, plan.hollows]

/** Several swales on one slope. The first line of the plan is the one that is worked on; all of them are counted together. */
export function createSwales(sheet: Sheet) {
  const cascade = signal<{
    readonly about: readonly unknown[]
    readonly result: Cascade | null
    readonly drawn: FeatureCollection | null
  } | null>(null)
  const problem = signal<Refusal | null>(null)
  const working = signal(false)
  /** How many copies were laid last; null before. */
  const copied = signal<number | null>(null)
  const lines = computed(() => sheet.plan.value.lines)
  const upToDate = computed(() => {
    const about = cascade.value?.about
    return about?.every((part, k) => part === restsOn(sheet.plan.value)[k]) ?? false
  })

  /** Works all ditches out together; where nothing changed since, nothing is asked. */
  async function ask(): Promise<void> {
    const plan = sheet.plan.value
    if (plan.lines.length < 2) {
      cascade.value = null
      problem.value = null
      return
    }
    if (upToDate.value || working.value) return
    working.value = true
    problem.value = null
    const about = restsOn(plan)
    try {
      const got = await sheet.askWorker('cascade', { lines: plan.lines.map(({ path }) => ({ path })), rain: plan.rain })
      cascade.value = { about, result: got?.result ?? null, drawn: got?.drawn ?? null }
    } catch (error) {
      problem.value = refusalOf(error)
      cascade.value = { about, result: null, drawn: null }
    } finally {
      working.value = false
    }
    if (!upToDate.value && !sheet.answering.value) void ask()
  }

  /** Lays level copies of the line below it; without a drop by what the rules of spacing say. */
  async function copyBelow(count: number, drop_m: number | null): Promise<void> {
    const [first, ...others] = sheet.plan.value.lines
    if (first === undefined) return
    copied.value = null
    problem.value = null
    try {
      const found = await sheet.askWorker('linesBelow', { path: first.path, count, drop_m })
      copied.value = found.lines.length
      if (found.lines.length === 0 || sheet.plan.value.lines[0] !== first) return
      const taken = [...sheet.plan.value.lines]
      for (const { path, through, length_m } of found.lines) {
        const copy: PlanLine = { id: edits.freshId('line', taken), path, traced: { through, length_m, fall_ratio: 0 } }
        taken.splice(taken.length - others.length, 0, copy)
      }
      sheet.edit(plan => edits.setLines(plan, taken))
    } catch (error) {
      problem.value = refusalOf(error)
    }
  }

  return {
    lines,
    cascade,
    upToDate,
    problem,
    working,
    copied,
    ask,
    copyBelow,
    /** Makes a line the one that is worked on. */
    workOn: (id: string) => sheet.edit(plan => edits.workOn(plan, id)),
    remove: (id: string) =>
      sheet.edit(plan =>
        edits.setLines(
          plan,
          plan.lines.filter(line => line.id !== id),
        ),
      ),
  }
}

export type Swales = ReturnType<typeof createSwales>
