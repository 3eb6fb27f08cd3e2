import type { Workbench } from './workbench.js'

/** Where jobs get the memory that they work in. */
export interface Benches {
  /** Takes a workbench for one job; a second job at the same time gets another. */
  take(): Workbench
  /** Gives it back after the job. */
  give(bench: Workbench): void
}
