const LAW = 'no number but laws; tested as such:'
const SOIL_LOSS =
  'soil lost to rain and runoff over years is no answer that this product gives; erosion is judged by the velocity on bare ground'
const SOLVER =
  'belongs to a solver of the shallow-water equations in the plane, which this product has not: overflow is traced, its depth from even flow'
const SPACING = 'spacing of rows and slope limits of other works: no function yet'
const STABILITY =
  'no factor of safety is worked out: it would clear ground that only someone on the spot can judge (the soil record’s triggers say so)'
const PERMITS = 'size tests of dams: no function yet'

/**
 * Values of the published list that no function here answers, each with the reason. Whoever writes the function takes its values off this list and wires
 * them: the test fails while a value stands in both or in neither.
 */
export const WITHOUT_FUNCTION: Readonly<Record<string, string>> = {
  'CN-INVARIANTS': `${LAW} hydrology-rain/curve-number.test.ts`,
  'ST-AB-INVARIANTS': `${LAW} hydrology-rain/storms.test.ts`,
  'IN-GA-LIMITS': `${LAW} hydrology-rain/soaking.test.ts`,
  'RT-INVARIANTS': `${LAW} earthworks/pool.test.ts`,
  'RT-STABLE': 'no number but a remark (rating/unstable); tested as such: earthworks/pool.test.ts',
  'TI-FILL-INVARIANTS': `${LAW} hydrology/drainage.test.ts`,

  'TI-FILL-2-EPS':
    'the ground is never raised by a slope: drainage leaves the heights as they are and leads water over flats by the basin graph',
  'TI-FLAT-MASK': 'flats drain by the shortest way to where they can leave, not by a mask of two gradients',

  'TI-LS-MB': SOIL_LOSS,
  'TI-RUSLE-LS-22.13-9': SOIL_LOSS,
  'TI-RUSLE-LS-50-10': SOIL_LOSS,
  'TI-RUSLE-LS-30-5': SOIL_LOSS,
  'TI-RUSLE-LS-100-20': SOIL_LOSS,
  'TI-USLE-LS': `${SOIL_LOSS} (the value is from memory)`,

  'SW-THACKER': SOLVER,
  'SW-REST': SOLVER,
  'SW-EA4': `${SOLVER}; the set-up lacks its hydrograph`,
  'SW-FROEHLICH':
    'a fit to breaches of dams far larger than a berm (and from memory): a breach here is bounded by the sudden opening instead',

  'SC-CCA-1': `ratio of catchment to planted area (from memory): no function yet`,
  'SC-CCA-2': `ratio of catchment to planted area (from memory): no function yet`,
  'SC-CCA-TREE': `ratio of catchment to planted area: no function yet`,
  'SC-FAO-LIMITS': SPACING,
  'SC-FAO-TERR': SPACING,
  'SC-BENCH': SPACING,
  'SC-RAMSER': SPACING,
  'SC-RAMSER-US': SPACING,
  'SC-NRCS-VI': `${SPACING} (from memory)`,
  'SC-STORE-HI': SPACING,
  'SC-SETBACK-MN': 'distances to keep are settings with their own sources; the table is not kept as data',
  'SC-SLOPE-UNITS': 'percent to degrees is display alone (drawing)',
  'SC-FS-1': STABILITY,
  'SC-FS-2': STABILITY,
  'SC-FS-3': STABILITY,
  'SC-FS-4': STABILITY,
  'SC-FS-5': STABILITY,
  'SC-FS-LIMITSLOPE': STABILITY,

  'LG-US-DAM': PERMITS,
  'LG-MD378': PERMITS,
  'LG-EX-1': PERMITS,
  'LG-EX-2': PERMITS,
}
