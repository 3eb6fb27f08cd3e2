/** Lines at most. Source: judgement: as many as a screen shows without crowding. */
const MOST_LINES = 40

/**
 * A contour interval for a range of heights: 1, 2 or 5 times a power of ten metres, at least 1 cm, that gives 16 to 40 lines. 1 m where there is no
 * range.
 */
export function contourInterval_m(range_m: number): number {
  if (!(range_m > 0)) return 1
  let step_m = 0.01
  for (let k = 0; step_m < range_m / MOST_LINES; k++) step_m = [0.01, 0.02, 0.05][k % 3]! * 10 ** Math.floor(k / 3)
  // Without the last bits of the power.
  return Number(step_m.toPrecision(1))
}
