export { CHECKS, type Check, type Finding, graver, VERDICTS, type Verdict, worstVerdict } from './finding.js'
export { InputError, type InputErrorCode, type Warning } from './input-error.js'
export { type Random, seededRandom } from './random.js'
export type { Known, Sourced } from './sourced.js'
export { type CancelSignal, finish, inBands, inTurns, type Steps, type TurnOptions, within } from './steps.js'
export { timeLeft_s } from './time-left.js'
export {
  type LengthUnit,
  M2_PER_ACRE,
  M2_PER_HECTARE,
  M3_PER_CUBIC_FOOT,
  M3_PER_US_GALLON,
  METRES_PER,
  MM_PER_INCH,
  volume_m3,
} from './units.js'
