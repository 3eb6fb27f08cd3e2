// The fast kernels: what is compiled, the memory it works in, and who works there.
export { countUpslope } from './count-upslope.js'
export { type CrewLetter, joinCrew } from './crew.js'
export { type FlowRows, flowInRows } from './flow-in-rows.js'
export { type KernelOptions, type Kernels, openKernels } from './open-kernels.js'
export { type SolvedDrainage, solveDrainage } from './solve-drainage.js'
export { steepness } from './steepness.js'
