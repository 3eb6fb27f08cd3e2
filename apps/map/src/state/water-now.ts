import { computed, effect, signal } from '@preact/signals'
import { busyHours, judgedLevels, type Stage, spillPlace_m, stageAt, stormAt, stormLength_h, stormShares } from 'soakline/plan'
import type { LineAnswer } from '../worker/protocol.js'
import type { Sheet } from './sheet.js'
import type { Swales } from './swales.js'

/** What the water in the ditch is shown at: an hour of the storm, or a level that a hand has set. */
export type WaterShown = { readonly kind: 'hour'; readonly hour_h: number } | { readonly kind: 'level'; readonly level_m: number }

/** Steps of the storm from its first hour to its last while it plays, and how long one is shown. */
const [PLAY_STEPS, STEP_ms] = [160, 60]

/** The water in the ditch as the reader wants it shown. It is no part of the plan, and no answer rests on it. */
export function createWaterNow(sheet: Sheet, swales: Swales) {
  const shown = signal<WaterShown | null>(null)
  const stages = signal<{ readonly about: LineAnswer; readonly list: readonly Stage[] | null } | null>(null)
  const playing = signal(false)

  /** All swales of the plan, followed together; null while they are not, or cannot be. */
  const together = computed(() => (swales.upToDate.value ? (swales.cascade.value?.result ?? null) : null))
  /** How far the other swales are followed; null where there are none. */
  const others = computed<'followed' | 'unknown' | 'waiting' | null>(() => {
    if (swales.lines.value.length < 2) return null
    if (together.value !== null) return 'followed'
    return swales.upToDate.value ? 'unknown' : 'waiting'
  })
  /** The storm step by step, with what the swales above spill into this one where they are followed; null where it was not routed. */
  const levels = computed(() => {
    if (sheet.settled.value === null) return null
    return together.value?.ditches.find(ditch => ditch.line === 0)?.levels ?? judgedLevels(sheet.settled.value.assessment)
  })
  const span = computed(() => levels.value && { ...busyHours(levels.value), last_h: stormLength_h(levels.value) })
  const hour = computed(() => {
    const now = shown.value
    return now?.kind === 'hour' && levels.value !== null ? stormAt(levels.value, now.hour_h) : null
  })
  const stage = computed(() => {
    const [now, table] = [shown.value, stages.value]
    return now?.kind === 'level' && table?.list ? stageAt(table.list, now.level_m) : null
  })
  const level_m = computed(() => hour.value?.level_m ?? stage.value?.level_m ?? null)

  /** The other swales at the hour that is shown, from the top down. */
  const swalesNow = computed(() => {
    const now = hour.value
    if (now === null || together.value === null) return []
    return together.value.ditches
      .filter(({ line }) => line > 0)
      .map(ditch => {
        const at = stormAt(ditch.levels, now.hour_h)
        return { line: ditch.line, bedElevation_m: ditch.bedElevation_m, at, shares: stormShares(ditch.levels, at, ditch) }
      })
  })
  /** How full the ditch and how strong the spill are, as parts of the most, for the plan. */
  const onPlan = computed(() => {
    const about = sheet.settled.value?.assessment
    const now = hour.value
    if (about?.storage == null || now === null || levels.value === null) return null
    const heights = { bedElevation_m: about.line.bedElevation_m, sillElevation_m: about.storage.sillElevation_m }
    return {
      chainage_m: spillPlace_m(about, { spillChainage_m: null }),
      ...stormShares(levels.value, now, heights),
      others: swalesNow.value.map(({ line, shares }) => ({ line, ...shares })),
    }
  })

  /** The table of levels of the answer in sight, once it is wanted. */
  async function askStages(): Promise<void> {
    const about = sheet.settled.value
    if (about === null || stages.value?.about === about) return
    const list = await sheet.askWorker('stages', { revision: about.revision }).catch(() => null)
    if (sheet.settled.value === about) stages.value = { about, list }
  }

  function setLevel(next_m: number): void {
    stop()
    shown.value = { kind: 'level', level_m: next_m }
    void askStages()
  }
  function setHour(hour_h: number): void {
    const range = span.value
    // Where nothing else has asked for them yet, the other swales are worked out now.
    if (!sheet.answering.value) void swales.ask()
    if (range !== null) shown.value = { kind: 'hour', hour_h: Math.min(range.to_h, Math.max(range.from_h, hour_h)) }
  }

  let timer: ReturnType<typeof setInterval> | undefined
  function stop(): void {
    clearInterval(timer)
    playing.value = false
  }
  /** The storm runs through its hours; where it had ended it begins again. */
  function play(): void {
    const range = span.value
    if (range === null) return
    const at = shown.value?.kind === 'hour' ? shown.value.hour_h : range.from_h
    setHour(at >= range.to_h - 1e-6 ? range.from_h : at)
    playing.value = true
    clearInterval(timer)
    timer = setInterval(() => {
      const now = shown.value
      if (now?.kind !== 'hour' || now.hour_h >= range.to_h) return stop()
      setHour(now.hour_h + (range.to_h - range.from_h) / PLAY_STEPS)
    }, STEP_ms)
  }
  function putAway(): void {
    stop()
    shown.value = null
  }

  // Another line has another storm: what was shown of the one before is put away when there is none.
  effect(() => {
    if (shown.peek()?.kind === 'level') void askStages()
    if (levels.value === null && shown.peek()?.kind === 'hour') putAway()
    if (sheet.settled.value === null) putAway()
  })

  return { shown, levels, span, hour, stage, level_m, others, swalesNow, onPlan, playing, setLevel, setHour, play, stop, putAway }
}
