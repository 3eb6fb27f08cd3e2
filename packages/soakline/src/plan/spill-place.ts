import type { Assessment } from './assessment.js'
import { bedLevel_m, type LineGround } from './line-ditch.js'
import type { Settings } from './settings.js'

interface Ranked {
  readonly chainage_m: number
  readonly rank: number
}

/** The best of several spills. */
export const bestSpill = <S extends Ranked>(spills: readonly S[]): S | null => spills.find(spill => spill.rank === 1) ?? null

/** Where a ditch of such a length is to spill: where the settings name it, or else at the best place. */
export const chosenPlace_m = (
  spills: readonly Ranked[],
  { spillChainage_m }: Pick<Settings, 'spillChainage_m'>,
  length_m: number,
): number => Math.min(spillChainage_m ?? bestSpill(spills)?.chainage_m ?? 0, length_m)

/** Where the ditch of an answer spills, along its line. */
export const spillPlace_m = (
  { line, spillway, spills }: Pick<Assessment, 'line' | 'spillway' | 'spills'>,
  settings: Pick<Settings, 'spillChainage_m'>,
): number => Math.min(spillway?.chainage_m ?? chosenPlace_m(spills, settings, line.length_m), line.length_m)

/** `spillPlace_m` for the ditch itself: without a spillway the first place from which its bed lies as the answer says, since a whole answer may have chosen another. */
export function spillOfBed_m(answer: Pick<Assessment, 'line' | 'spillway' | 'spills'>, ground: LineGround, settings: Settings): number {
  const first_m = spillPlace_m(answer, settings)
  if (answer.spillway !== null) return first_m
  const ranked = [...answer.spills].sort((a, b) => a.rank - b.rank).map(spill => spill.chainage_m)
  const lies = (place_m: number): boolean => Math.abs(bedLevel_m(ground, settings, place_m) - answer.line.bedElevation_m) < 1e-6
  return [first_m, ...ranked].find(lies) ?? first_m
}

/** The spill over which the ditch of an answer spills: where its spillway lies, or else the best; null where no spill has ground. */
export const spillInUse = <A extends Pick<Assessment, 'spillway' | 'spills'>>({ spillway, spills }: A): A['spills'][number] | null =>
  spills.find(spill => spill.chainage_m === spillway?.chainage_m) ?? bestSpill(spills)
