import { batch, effect, type Signal, signal, untracked } from '@preact/signals'
import { type BuiltReading, FIELD_TOOLS, type FieldReading } from 'soakline/plan'
import type { Reader } from './prefs.js'
import type { Sheet } from './sheet.js'

const WHATS = ['bed', 'crest', 'sill'] as const satisfies readonly BuiltReading['what'][]

/** Where a person is along the stakes, and what stands there to be read again: kept in this browser, so that a phone may sleep. No part of the plan. */
export interface Field {
  readonly open: Signal<boolean>
  /** Number of the stake, from 1. */
  readonly stake: Signal<number>
  readonly tool: Signal<FieldReading['tool']>
  readonly what: Signal<BuiltReading['what']>
  /** What the water level's other staff reads at the stake before; null before it was read. */
  readonly there_m: Signal<number | null>
  /** Steps of the frame from the stake before. */
  readonly steps: Signal<number>
  /** Goes to a stake; what was read toward the one before is put away. */
  goTo(stake: number): void
}

interface Kept {
  readonly sha256: string
  readonly open: boolean
  readonly stake: number
  readonly tool: FieldReading['tool']
  readonly what: BuiltReading['what']
  readonly there_m: number | null
  readonly steps: number
  readonly backsight_m: number | null
}

const KEY = 'field'

/** Takes up what was kept when its ground is open again, and keeps what changes. */
export function createField(sheet: Pick<Sheet, 'ground' | 'bench' | 'leaf'>, { read, write }: Pick<Reader, 'read' | 'write'>): Field {
  const open = signal(false)
  const stake = signal(1)
  const tool = signal<FieldReading['tool']>('staff')
  const what = signal<BuiltReading['what']>('bed')
  const there_m = signal<number | null>(null)
  const steps = signal(0)
  const of = signal<string | null>(null)
  effect(() => {
    const now = sheet.ground.value?.card.report.sha256 ?? null
    if (now === null) return
    const kept = keptFrom(read(KEY))
    const mine = kept?.sha256 === now ? kept : null
    untracked(() =>
      batch(() => {
        of.value = now
        open.value = mine?.open ?? false
        stake.value = mine?.stake ?? 1
        there_m.value = mine?.there_m ?? null
        steps.value = mine?.steps ?? 0
        if (mine) {
          tool.value = mine.tool
          what.value = mine.what
          sheet.bench.value = { ...sheet.bench.value, backsight_m: mine.backsight_m }
          if (mine.open) sheet.leaf.value = 'work'
        }
      }),
    )
  })
  const now = (sha256: string): Kept => ({
    sha256,
    open: open.value,
    stake: stake.value,
    tool: tool.value,
    what: what.value,
    there_m: there_m.value,
    steps: steps.value,
    backsight_m: sheet.bench.value.backsight_m,
  })
  effect(() => {
    if (of.value === null) return
    now(of.value)
    // A moment later: whoever reads the same ground again empties the bench first, and gets it back from what was kept.
    queueMicrotask(() => {
      if (of.value !== null) write(KEY, JSON.stringify(now(of.value)))
    })
  })
  return {
    open,
    stake,
    tool,
    what,
    there_m,
    steps,
    goTo(next) {
      batch(() => {
        stake.value = next
        there_m.value = null
        steps.value = 0
      })
    },
  }
}

const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value)

/** What was kept, or null where it cannot be read. */
function keptFrom(text: string | null): Kept | null {
  try {
    const kept = JSON.parse(text ?? 'null') as Partial<Record<keyof Kept, unknown>> | null
    const tool = FIELD_TOOLS.find(one => one === kept?.tool)
    const what = WHATS.find(one => one === kept?.what)
    if (kept === null || typeof kept !== 'object' || typeof kept.sha256 !== 'string' || tool === undefined || what === undefined)
      return null
    return {
      sha256: kept.sha256,
      open: kept.open === true,
      stake: isNumber(kept.stake) ? Math.max(1, Math.round(kept.stake)) : 1,
      tool,
      what,
      there_m: isNumber(kept.there_m) ? kept.there_m : null,
      steps: isNumber(kept.steps) ? Math.max(0, Math.round(kept.steps)) : 0,
      backsight_m: isNumber(kept.backsight_m) ? kept.backsight_m : null,
    }
  } catch {
    return null
  }
}
