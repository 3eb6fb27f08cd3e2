import { InputError } from '../foundation/index.js'

/**
 * Volume between stations by average end area.
 *
 * Shapes  `spacing_m` one number for all stretches, or one for each (one fewer than areas).
 * Laws    exact where the area changes evenly; too large for solids that taper.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `volume/bad-area`.
 * Source  trapezium rule; common practice of earthwork.
 */
export function averageEndArea_m3(areas_m2: readonly number[], spacing_m: number | readonly number[]): number {
  if (areas_m2.length < 2)
    throw new InputError('line/too-few-stakes', `A volume needs areas at two stations or more; there are ${areas_m2.length}.`, {
      stakes: areas_m2.length,
    })
  if (typeof spacing_m !== 'number' && spacing_m.length !== areas_m2.length - 1)
    throw new InputError(
      'line/bad-spacing',
      `${spacing_m.length} spacings for ${areas_m2.length} stations; give one for all, or one for each of the ${areas_m2.length - 1} stretches.`,
      { spacings: spacing_m.length, stakes: areas_m2.length },
    )
  for (const area_m2 of areas_m2) checkFrom0('volume/bad-area', 'an area', area_m2)
  let sum = 0
  for (let k = 1; k < areas_m2.length; k++) {
    const length_m = typeof spacing_m === 'number' ? spacing_m : spacing_m[k - 1]!
    checkFrom0('line/bad-spacing', 'a spacing', length_m)
    sum += ((areas_m2[k - 1]! + areas_m2[k]!) / 2) * length_m
  }
  return sum
}

/**
 * Volume of a stretch from its end areas and the area half-way.
 *
 * Laws    exact where the area is up to a cubic along the stretch; `middle_m2` is the area of the middle section, not the mean of the ends.
 * Throws  `volume/bad-area`, `line/bad-spacing`.
 * Source  prismoidal (Simpson's) rule.
 */
export function prismoidal_m3(first_m2: number, middle_m2: number, last_m2: number, length_m: number): number {
  for (const area_m2 of [first_m2, middle_m2, last_m2]) checkFrom0('volume/bad-area', 'an area', area_m2)
  checkFrom0('line/bad-spacing', 'the length', length_m)
  return (length_m / 6) * (first_m2 + 4 * middle_m2 + last_m2)
}

/**
 * Volume of a triangular bank or ditch, both sides sloping alike, whose height changes evenly; and by how much average end area overstates it.
 *
 * Throws  `volume/bad-area`, `line/bad-spacing`.
 * Source  z L (h₁² + h₁h₂ + h₂²)/3; excess z L (h₁ − h₂)²/6; derived.
 */
export function taperingPrism(
  sideSlope_ratio: number,
  firstHeight_m: number,
  lastHeight_m: number,
  length_m: number,
): { readonly exact_m3: number; readonly averageEndArea_m3: number; readonly excess_m3: number } {
  for (const size of [sideSlope_ratio, firstHeight_m, lastHeight_m]) checkFrom0('volume/bad-area', 'a height or side slope', size)
  const zL = sideSlope_ratio * length_m
  const difference = firstHeight_m - lastHeight_m
  return {
    exact_m3: (zL * (firstHeight_m * firstHeight_m + firstHeight_m * lastHeight_m + lastHeight_m * lastHeight_m)) / 3,
    averageEndArea_m3: averageEndArea_m3(
      [sideSlope_ratio * firstHeight_m * firstHeight_m, sideSlope_ratio * lastHeight_m * lastHeight_m],
      length_m,
    ),
    excess_m3: (zL * difference * difference) / 6,
  }
}

/**
 * The cut half of a level bench whose cut just fills the other half, before bulking.
 *
 * Units   `halfWidth_m` the level width in cut; area per metre of bench.
 * Throws  `volume/bad-area`; `section/cut-never-ends` where the face is no steeper than the ground.
 * Source  w² s / (2 (1 − z s)); derived.
 */
export function benchCut(
  halfWidth_m: number,
  groundSlope_ratio: number,
  faceSlope_ratio: number,
): { readonly area_m2: number; readonly faceHeight_m: number } {
  for (const size of [halfWidth_m, groundSlope_ratio, faceSlope_ratio]) checkFrom0('volume/bad-area', 'a width or slope', size)
  if (groundSlope_ratio * faceSlope_ratio >= 1)
    throw new InputError(
      'section/cut-never-ends',
      `A face of ${faceSlope_ratio}:1 is no steeper than ground of ${groundSlope_ratio} rise/run and never comes out; cut it steeper.`,
      { faceSlope_ratio, groundSlope_ratio },
    )
  const faceHeight_m = (halfWidth_m * groundSlope_ratio) / (1 - groundSlope_ratio * faceSlope_ratio)
  return { area_m2: (halfWidth_m * faceHeight_m) / 2, faceHeight_m }
}

/** Refuses a number that is not 0 or more. Throws what `code` says. */
export function checkFrom0(code: 'volume/bad-area' | 'volume/bad-ratio' | 'line/bad-spacing', what: string, value: number): void {
  if (!(value >= 0 && value < Infinity)) throw new InputError(code, `${what} is ${value}; give a number of 0 or more.`, { value })
}
