import { InputError } from '../foundation/index.js'
import { averageEndArea_m3, prismoidal_m3 } from './volumes.js'

/** Earth of a line in one of its parts, by both rules. */
export interface EarthAlong {
  readonly averageEndArea_m3: number
  /** From the areas half-way; the better one where sections change much from stake to stake. */
  readonly prismoidal_m3: number
}

/**
 * Volume along stakes by average end area and by the prismoidal rule.
 *
 * Shapes  `middles_m2` areas half-way between stakes, one fewer than `areas_m2`; `spacing_m` one number, or one for each stretch.
 * Laws    both alike where areas change evenly; the prismoidal exact where they are up to cubic along a stretch.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `volume/bad-area`.
 */
export function earthAlong(areas_m2: readonly number[], middles_m2: readonly number[], spacing_m: number | readonly number[]): EarthAlong {
  if (middles_m2.length !== areas_m2.length - 1)
    throw new InputError(
      'volume/bad-area',
      `${middles_m2.length} areas half-way for ${areas_m2.length} stakes; give one for each stretch.`,
      {
        middles: middles_m2.length,
        stakes: areas_m2.length,
      },
    )
  return {
    averageEndArea_m3: averageEndArea_m3(areas_m2, spacing_m),
    prismoidal_m3: middles_m2.reduce(
      (sum, middle, k) =>
        sum + prismoidal_m3(areas_m2[k]!, middle, areas_m2[k + 1]!, typeof spacing_m === 'number' ? spacing_m : spacing_m[k]!),
      0,
    ),
  }
}

/** How the earth of a line balances. */
export interface EarthBalance {
  /** Berm that the cut makes, placed and settled. */
  readonly made_m3: number
  readonly needed_m3: number
  /** Over: spread it or take it away. Under 0: fetch it, or dig more. In berm volume. */
  readonly over_m3: number
}

/** What is cut against what the berm needs. Units: bank m³; `bermPerCut_ratio` placed and settled per bank volume. Throws `volume/bad-area`. */
export function earthBalance(cut_m3: number, berm_m3: number, bermPerCut_ratio: number): EarthBalance {
  for (const [name, size] of Object.entries({ cut_m3, berm_m3, bermPerCut_ratio }))
    if (!(size >= 0 && size < Infinity))
      throw new InputError('volume/bad-area', `${name} is ${size}; give a number of 0 or more.`, { name, size })
  const made_m3 = cut_m3 * bermPerCut_ratio
  return { made_m3, needed_m3: berm_m3, over_m3: made_m3 - berm_m3 }
}
