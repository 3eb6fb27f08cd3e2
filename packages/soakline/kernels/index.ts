// The kernels that the library may call, each on some rows of a member's strip.
export { accumulate, accumulateAcross, countDonors } from './accumulate'
export { countPits, label, rank, relabelExits, resolveExits, unlabel } from './basins'
export { fill, turnRound } from './fill'
export { flats, flatsAcross, flatsDone, takeShared } from './flats'
export { gradient } from './gradient'
export { gatherPasses, growTrees, levels, lowestPasses, noPasses } from './passes'
export { slope, slopeExactly } from './slope'
export { chooseEdges, gatherEdges, joinTrees, moveTable, passesBetweenTrees } from './trees'
