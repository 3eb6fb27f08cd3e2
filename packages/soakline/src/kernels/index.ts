// The fast kernels: what is compiled, the memory it works in, and who works there.
export type { SolvedBasins } from './basins-off-bench.js'
export { type CrewLetter, joinCrew } from './crew.js'
export type { FlowRows } from './flow-in-rows.js'
export { type KernelOptions, type Kernels, openKernels, type RasterSize } from './open-kernels.js'
export type { SolvedDrainage } from './solve-drainage.js'
export { MOST_POWER, type SpreadGround, type SpreadMethod, type SpreadWays } from './spread.js'
export type { CompiledModule, KernelMemory } from './web-assembly.js'
