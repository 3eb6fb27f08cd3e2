import { batch, computed, type ReadonlySignal, signal } from '@preact/signals'
import type { Plan } from 'soakline/plan'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { LineAnswer, Refusal, WorkAnswer, WorkAsked, WorkRecords } from '../worker/protocol.js'
import { latestQueue } from './queue.js'

const WORK_RECORDS = [
  'built',
  'levelBook',
  'crossings',
  'rates',
  'ring',
  'plants',
  'stormLog',
] as const satisfies readonly (keyof WorkRecords)[]

/** What the plan keeps of the work on the ground. */
const recordsOf = (plan: Plan): WorkRecords =>
  Object.fromEntries(WORK_RECORDS.flatMap(key => (plan[key] === undefined ? [] : [[key, plan[key]]]))) as WorkRecords

/** What the work on the ground rests on. */
export interface WorkNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly settled: ReadonlySignal<LineAnswer | null>
  /** True while a newer answer is on its way. */
  readonly answering: ReadonlySignal<boolean>
  /** Is told of every refusal. */
  refused(error: unknown): void
}

/** What is carried to the hillside: worked out from the answer in sight, and from what was noted on site. */
export function createGroundWork({ ask, plan, settled, answering, refused }: WorkNeeds) {
  /** The work on the ground that follows from the settled answer; null before it is asked for, and where no ditch can be dug. */
  const work = signal<WorkAnswer | null>(null)
  const workProblem = signal<Refusal | null>(null)
  const working = signal(false)
  /** What the instruments read just now; not part of the plan. */
  const bench = signal<Pick<WorkAsked, 'frame' | 'backsight_m'>>({ frame: null, backsight_m: null })
  const records = computed(() => recordsOf(plan.value))

  const workQueue = latestQueue<WorkAsked>(async asked => {
    const about = settled.value
    if (about === null || answering.value) return
    working.value = true
    try {
      const got = await ask('groundWork', asked)
      batch(() => {
        if (settled.value === about) work.value = got
        workProblem.value = null
      })
    } catch (error) {
      const problem = refusalOf(error)
      batch(() => {
        work.value = null
        workProblem.value = problem
      })
      refused(error)
    } finally {
      working.value = false
    }
  })

  /** Works out what is carried to the hillside, from the answer in sight. */
  function askWork(): void {
    if (settled.value === null) {
      work.value = null
      return
    }
    const { rain, measuredStorm } = plan.value
    workQueue.push({ records: records.value, rain, storm: measuredStorm, ...bench.value })
  }

  return {
    work,
    workProblem,
    working,
    bench,
    records,
    askWork,
    /** Another ground: nothing of the work before is about it. */
    putWorkAway(): void {
      work.value = null
      bench.value = { frame: null, backsight_m: null }
    },
  }
}

export type GroundWork = ReturnType<typeof createGroundWork>
