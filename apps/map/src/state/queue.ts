/** A queue of one: at most one job runs, and of those that wait only the latest is kept, so that answers follow the finger. */
export interface LatestQueue<Job> {
  /** Puts a job in. A waiting job gives way to it unless `keeps` says that it must run. */
  push(job: Job): void
  /** True when something newer waits. */
  readonly behind: boolean
  /** Resolves when nothing runs or waits. */
  idle(): Promise<void>
}

/**
 * Laws  never two jobs at once · the job put in last is always run · jobs run in the order in which they were put in · a kept job is never dropped.
 */
export function latestQueue<Job>(run: (job: Job) => Promise<void>, keeps: (job: Job) => boolean = () => false): LatestQueue<Job> {
  let waiting: Job[] = []
  let running: Promise<void> | null = null
  async function work(): Promise<void> {
    for (let job = waiting.shift(); job !== undefined; job = waiting.shift()) {
      try {
        await run(job)
      } catch {
        // A job tells of its own failures; the queue goes on.
      }
    }
    running = null
  }
  return {
    push(job) {
      waiting = [...waiting.filter(keeps), job]
      running ??= work()
    },
    get behind() {
      return waiting.length > 0
    },
    async idle() {
      while (running !== null) await running
    },
  }
}
