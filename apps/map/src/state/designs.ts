import { computed, signal } from '@preact/signals'
import type { FeatureCollection } from 'geojson'
import type { ComparedDesigns, Plan } from 'soakline/plan'
import { refusalOf } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Sheet } from './sheet.js'

/** What a comparison rests on: where one of these changes it is made anew. */
const restsOn = (plan: Plan): readonly unknown[] => [
  plan.lines[0],
  plan.settings,
  plan.otherDesign,
  plan.features,
  plan.rain,
  plan.soil,
  plan.hollows,
]

/** Two designs side by side: A is set aside in the plan, B is the line and the settings that are worked on. */
export function createDesigns(sheet: Sheet) {
  const compared = signal<{
    readonly about: readonly unknown[]
    readonly result: ComparedDesigns
    readonly drawn: FeatureCollection
  } | null>(null)
  const problem = signal<Refusal | null>(null)
  const working = signal(false)
  const other = computed(() => sheet.plan.value.otherDesign ?? null)
  const upToDate = computed(() => {
    const about = compared.value?.about
    return about?.every((part, k) => part === restsOn(sheet.plan.value)[k]) ?? false
  })

  async function compare(): Promise<void> {
    if (working.value) return
    working.value = true
    problem.value = null
    try {
      // What is still on its way to the plan belongs to the design.
      await sheet.idle()
      const plan = sheet.plan.value
      const [line] = plan.lines
      if (plan.otherDesign === undefined || line === undefined) return
      const about = restsOn(plan)
      const { compared: result, drawn } = await sheet.askWorker('compare', {
        a: { path: plan.otherDesign.line.path, settings: plan.otherDesign.settings },
        b: { path: line.path, settings: plan.settings },
        rain: plan.rain,
      })
      compared.value = { about, result, drawn }
    } catch (error) {
      compared.value = null
      problem.value = refusalOf(error)
    } finally {
      working.value = false
    }
  }

  return {
    other,
    compared,
    upToDate,
    problem,
    working,
    compare,
    keep(): void {
      const { lines, settings } = sheet.plan.value
      if (lines[0] !== undefined) sheet.edit(plan => edits.setOtherDesign(plan, { line: lines[0]!, settings }))
    },
    swap: () => sheet.edit(edits.swapDesigns),
    forget(): void {
      compared.value = null
      sheet.edit(plan => edits.setOtherDesign(plan, null))
    },
  }
}
