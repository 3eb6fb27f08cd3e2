import { computed, type ReadonlySignal, signal } from '@preact/signals'
import type { Plan, PlanFeature, PlanLine, Settings } from 'soakline/plan'
import type { Mode } from './mode.js'

/** Where nothing was traced yet. Source: judgement. */
const FIRST_LENGTH_M = 60

/** What the hand on the plan does and holds, before any of it is the plan's. */
export function createHand(plan: ReadonlySignal<Plan>) {
  const mode = signal<Mode>({ kind: 'look' })
  const shaping = signal(false)
  const draftLine = signal<PlanLine | null>(null)
  const draftFeature = signal<PlanFeature | null>(null)
  /** Settings that a finger is changing: the bed, the spill. */
  const draftSettings = signal<Partial<Settings> | null>(null)
  /** True while the next line traced is one more, rather than the plan's line anew. */
  const adding = signal(false)
  /** What became of work by hand on the line, told beside the plan. */
  const byHand = signal<'drawn' | 'fitted' | 'no-fit' | 'no-way' | null>(null)
  const tracing = signal({ length_m: FIRST_LENGTH_M, fall_ratio: 0 })
  const line = computed(() => draftLine.value ?? plan.value.lines[0] ?? null)

  const features = computed(() => {
    const draft = draftFeature.value
    return draft ? plan.value.features.map(f => (f.id === draft.id ? draft : f)) : plan.value.features
  })

  const chosen = computed(() => {
    const now = mode.value
    return now.kind === 'chosen-feature' ? (features.value.find(f => f.id === now.id) ?? null) : null
  })

  return {
    mode,
    shaping,
    draftLine,
    draftFeature,
    draftSettings,
    adding,
    byHand,
    tracing,
    line,
    features,
    chosen,
    /** True while something on the plan moves under the finger. */
    isMoving: (): boolean => draftLine.value !== null || draftFeature.value !== null,
    /** Lets go of what is moved on the plan. */
    letGo(): void {
      draftLine.value = null
      draftFeature.value = null
    },
    /** Rests after a line was made: it stands as it was traced. */
    rest(): void {
      shaping.value = false
      mode.value = { kind: 'look' }
    },
  }
}

export type Hand = ReturnType<typeof createHand>
