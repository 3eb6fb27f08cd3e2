import type { Workbench } from './workbench.js'

/** Where jobs get the memory that they work in. */
export interface Benches {
  /** Takes a workbench for one job on a raster of this size; a second job at the same time gets another. */
  take(size: { readonly width: number; readonly height: number }): Workbench
  /** Gives it back after the job. */
  give(bench: Workbench): void
}
