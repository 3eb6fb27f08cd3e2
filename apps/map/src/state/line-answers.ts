import { batch, type ReadonlySignal, signal } from '@preact/signals'
import type { FeatureCollection } from 'geojson'
import type { Finding, Warning } from 'soakline/foundation'
import type { Plan, PlanFeature, PlanLine, Settings } from 'soakline/plan'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { HollowCard, LineAnswer, Refusal } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Hand } from './hand.js'
import type { Edit, EditName } from './history.js'
import { latestQueue } from './queue.js'
import type { Trace } from './traced-line.js'

/** The end of a gesture: the traced line becomes the plan's, by an edit of this name. */
export interface Commit {
  readonly name: EditName
  readonly joins: string | null
}

interface Job {
  readonly trace: Trace | null
  readonly commit: Commit | null
}

/** What the answers rest on. */
export interface AnswerNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly hand: Hand
  isOpen(): boolean
  follow(trace: Trace): Promise<PlanLine | null>
  record(edit: Edit): void
  readonly told: {
    /** An answer about a line of this length is in sight. */
    answered(length_m: number): void
    /** Nothing more waits. */
    caughtUp(): void
    refused(error: unknown): void
  }
}

/** Asks the worker about the line, one question after another, and takes the answers in their order. */
export function createLineAnswers({ ask, plan, hand, isOpen, follow, record, told }: AnswerNeeds) {
  const { mode, draftLine, draftSettings, adding, byHand, line, features } = hand

  const answer = signal<LineAnswer | null>(null)
  /** The last answer given while no line was moving: under the finger that of before, so that what a live answer leaves out does not flicker. */
  const settled = signal<LineAnswer | null>(null)
  const site = signal<{
    readonly noGo: FeatureCollection
    readonly halos: FeatureCollection
    readonly warnings: readonly Warning[]
    readonly hollows: readonly HollowCard[]
    readonly fit: Finding
  } | null>(null)
  const siteProblem = signal<Refusal | null>(null)
  const lineProblem = signal<Refusal | null>(null)
  const answering = signal(false)
  /** How far the whole answer is, 0–1; null while none is worked out. */
  const wholeDone = signal<number | null>(null)
  let wholeOff: AbortController | null = null
  /** True where the reader stopped the whole answer about the line as it is now. */
  const wholeStopped = signal(false)
  /** The last whole answer: what only it has stays in sight, dimmed, while the next is worked out. */
  const lastWhole = signal<LineAnswer | null>(null)

  let revision = 0
  /** What the worker was told last of what is drawn and set. */
  let sentFeatures: readonly PlanFeature[] | null = null
  let sentSettings: Partial<Settings> | null = null
  let sentHollows: Plan['hollows']
  let sentSoil: Plan['soil']

  const queue = latestQueue<Job>(run, job => job.commit !== null)

  async function run(job: Job): Promise<void> {
    if (!isOpen()) return
    answering.value = true
    try {
      const siteHolds = await settleSite()
      const traced = job.trace === null ? null : await follow(job.trace)
      if (job.trace !== null && traced === null) {
        if (job.commit === null) return
        // The answers must be about the line that the plan has, not about the last one that was tried.
        batch(() => {
          draftLine.value = null
          if (job.commit?.name === 'trace-line') mode.value = { kind: 'point-line' }
          if (job.commit?.name === 'walk-line') byHand.value = 'no-way'
        })
      }
      if (traced !== null && job.commit === null) draftLine.value = traced
      if (traced !== null && job.commit !== null) {
        const made = adding.value
          ? edits.setLines(plan.value, [traced, ...plan.value.lines])
          : edits.setLine(plan.value, job.commit.name, traced, job.commit.joins)
        batch(() => {
          adding.value = false
          draftLine.value = null
          record(made)
        })
      }
      if (!siteHolds) return
      const live = job.commit === null && (draftLine.value !== null || draftSettings.value !== null)
      await askAbout(line.value, live)
      if (!live && !queue.behind) askWhole(line.value)
    } finally {
      answering.value = queue.behind
      if (!queue.behind) told.caughtUp()
    }
  }

  /** Tells the worker what is drawn and set, when that has changed. False when it was refused: no answer rests on it then. */
  async function settleSite(): Promise<boolean> {
    const [nowFeatures, nowSettings] = [features.value, plan.value.settings]
    const { hollows: nowHollows, soil: nowSoil } = plan.value
    if (nowFeatures === sentFeatures && nowSettings === sentSettings && nowHollows === sentHollows && nowSoil === sentSoil)
      return siteProblem.value === null
    sentFeatures = nowFeatures
    sentSettings = nowSettings
    sentHollows = nowHollows
    sentSoil = nowSoil
    try {
      site.value = await ask('setSite', {
        features: nowFeatures,
        settings: nowSettings,
        hollows: nowHollows ?? [],
        ...(nowSoil ? { soil: nowSoil } : {}),
      })
      siteProblem.value = null
      return true
    } catch (error) {
      batch(() => {
        siteProblem.value = refusalOf(error)
        takeAnswer(null)
      })
      told.refused(error)
      return false
    }
  }

  function takeAnswer(next: LineAnswer | null, live = false): void {
    batch(() => {
      answer.value = next
      if (!live) settled.value = next
    })
  }

  /** Under the finger the answer leaves out what takes long: the whole one follows when the line is let go. */
  async function askAbout(asked: PlanLine | null, live: boolean): Promise<void> {
    wholeOff?.abort()
    wholeDone.value = null
    wholeStopped.value = false
    if (asked === null) {
      takeAnswer(null)
      lastWhole.value = null
      lineProblem.value = null
      return
    }
    try {
      const got = await ask('answer', {
        revision: ++revision,
        line: { path: asked.path },
        rain: plan.value.rain,
        storm: plan.value.measuredStorm,
        dailyRain: live ? undefined : plan.value.dailyRain,
        live,
        ...(draftSettings.value === null ? {} : { trying: draftSettings.value }),
      })
      if (got.revision !== revision) return
      batch(() => {
        takeAnswer(got, live)
        lineProblem.value = null
      })
      told.answered(got.assessment.line.length_m)
    } catch (error) {
      const refusal = refusalOf(error)
      if (refusal.code === 'superseded') return
      batch(() => {
        lineProblem.value = refusal
        takeAnswer(null)
      })
      told.refused(error)
    }
  }

  /** Asks for what takes seconds, behind everything else; the answer in sight stays until it comes. */
  function askWhole(asked: PlanLine | null): void {
    wholeOff?.abort()
    wholeDone.value = null
    wholeStopped.value = false
    if (asked === null || lineProblem.value !== null || answer.value === null) return
    const off = new AbortController()
    wholeOff = off
    wholeDone.value = 0
    const about = revision
    ask(
      'whole',
      {
        revision: about,
        line: { path: asked.path },
        rain: plan.value.rain,
        storm: plan.value.measuredStorm,
        dailyRain: plan.value.dailyRain,
      },
      {
        signal: off.signal,
        onProgress: done => {
          if (wholeOff === off) wholeDone.value = done
        },
      },
    )
      .then(got => {
        if (got.revision !== revision || wholeOff !== off) return
        batch(() => {
          takeAnswer(got)
          lastWhole.value = got
        })
      })
      // Called off by something newer, which asks again; or refused: then nothing comes.
      .catch(() => {
        if (wholeOff === off && !off.signal.aborted) batch(giveUpWhole)
      })
      .finally(() => {
        if (wholeOff === off) wholeDone.value = null
      })
  }

  /** Leaves off the whole answer; the quick one stays. */
  function stopWhole(): void {
    if (wholeDone.value === null) return
    wholeOff?.abort()
    batch(() => {
      wholeDone.value = null
      giveUpWhole()
    })
  }

  /** What was found for another line must not stand as this one's when nothing better comes. */
  function giveUpWhole(): void {
    wholeStopped.value = true
    lastWhole.value = null
  }

  return {
    answer,
    settled,
    site,
    siteProblem,
    lineProblem,
    answering,
    wholeDone,
    wholeStopped,
    lastWhole,
    stopWhole,
    /** Works the whole answer out after all. */
    goOnWhole: () => askWhole(line.value),
    /** Asks again about the line as it is. */
    refresh: (): void => queue.push({ trace: null, commit: null }),
    /** Has a line traced and asks about it; one that ends a gesture is never left out. */
    traceLine: (trace: Trace, commit: Commit | null): void => queue.push({ trace, commit }),
    /** Resolves when every question is answered that waits now. */
    idle: () => queue.idle(),
    /** Another ground: the worker knows nothing of what is drawn, and no answer before is about it. */
    putAnswersAway(): void {
      sentFeatures = null
      site.value = null
      takeAnswer(null)
      lastWhole.value = null
      siteProblem.value = null
      lineProblem.value = null
    },
  }
}

export type LineAnswers = ReturnType<typeof createLineAnswers>
