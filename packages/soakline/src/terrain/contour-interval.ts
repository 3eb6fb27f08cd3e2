/** A contour interval for a range of heights: 1, 2 or 5 times a power of ten metres, at least 1 cm, that gives 16 to 40 lines. */
export function contourInterval_m(range_m: number): number {
  if (!(range_m > 0)) return 1
  let step = 0.01
  for (let k = 0; step < range_m / 40; k++) step = [0.01, 0.02, 0.05][k % 3]! * 10 ** Math.floor(k / 3)
  return Number(step.toPrecision(1))
}
