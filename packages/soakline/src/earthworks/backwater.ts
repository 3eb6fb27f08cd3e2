import { InputError } from '../foundation/index.js'
import { bankDepth_m, type ChannelShape, type Wetted, wettedIn } from './channel-shape.js'
import { leastWhere, twoThirdsPower } from './roots.js'
import { checkRoughness, criticalDepth_m, froude, GRAVITY_ms2 } from './uniform-flow.js'

/** A place along a ditch, on its way up from the outlet. */
export interface DitchPlace {
  /** From the outlet. */
  readonly distance_m: number
  /** Of the deepest point of the bed, in the datum of the water level. */
  readonly bed_m: number
  readonly shape: ChannelShape
  /** Flow that passes here towards the outlet. */
  readonly flow_m3s: number
}

/** The water at such a place. */
export interface DitchWater {
  readonly distance_m: number
  readonly level_m: number
  readonly depth_m: number
  readonly velocity_ms: number
  readonly froude: number
  /** True where the water cannot pass tranquilly: it stands at its critical depth here, and this place rules what lies above. */
  readonly critical: boolean
}

/** Longest step between computed places: the profile is worked out at the places and, where they are further apart, in between. Source: judgement. */
const STEP_m = 1

/**
 * Water level along a ditch whose water runs to an outlet, from the level there upward. A long vegetated ditch does not lie level: freeboard is
 * taken against this profile.
 *
 * Shapes  places from the outlet (distance 0) up, at least two; shape, bed and flow change evenly in between (the shape at the nearer place).
 * Units   m, m³/s; `roughness` Manning's n.
 * Laws    still water lies level; rougher never stands lower; more flow never stands lower.
 * Throws  `backwater/bad-places`, `channel/bad-roughness`; `backwater/outlet-dry` where the level lies on or under the outlet's bed;
 *         `backwater/over-banks` where a drawn section ends below the water.
 * Cost    a section for each of about 30 trials a metre.
 * Source  standard step with inflow along the ditch: Δlevel = S̄f Δx + Δ(Q V)/(g Ā), Sf = (Q n / A R^(2/3))²: Chow (1959), spatially varied flow
 *         (form from memory, limits tested against the differential equation).
 */
export function backwater(places: readonly DitchPlace[], outletLevel_m: number, roughness: number): DitchWater[] {
  checkPlaces(places)
  checkRoughness(roughness)
  const outlet = places[0]!
  if (!(outletLevel_m > outlet.bed_m))
    throw new InputError(
      'backwater/outlet-dry',
      `The water at the outlet (${outletLevel_m} m) does not stand over its bed (${outlet.bed_m} m).`,
      {
        outletLevel_m,
        bed_m: outlet.bed_m,
      },
    )
  const leastDepth_m = criticalDepth_m(outlet.shape, outlet.flow_m3s)
  const isCritical = outletLevel_m - outlet.bed_m < leastDepth_m
  // Many places have one shape, which is looked at once.
  const courses = new Map<ChannelShape, Course>()
  const courseOf = (shape: ChannelShape): Course => {
    const known = courses.get(shape)
    if (known) return known
    const course = { wetted: wettedIn(shape), bankDepth_m: bankDepth_m(shape) }
    courses.set(shape, course)
    return course
  }
  let below = stateAt(outlet, courseOf(outlet.shape), isCritical ? outlet.bed_m + leastDepth_m : outletLevel_m, roughness)
  const answer = [answerOf(below, isCritical)]
  for (let k = 1; k < places.length; k++) {
    const from = places[k - 1]!
    const to = places[k]!
    const pieces = Math.max(1, Math.ceil((to.distance_m - from.distance_m) / STEP_m - 1e-9))
    let critical = false
    for (let piece = 1; piece <= pieces; piece++) {
      const share = piece / pieces
      const place: DitchPlace =
        piece === pieces
          ? to
          : {
              distance_m: from.distance_m + share * (to.distance_m - from.distance_m),
              bed_m: from.bed_m + share * (to.bed_m - from.bed_m),
              shape: share < 0.5 ? from.shape : to.shape,
              flow_m3s: from.flow_m3s + share * (to.flow_m3s - from.flow_m3s),
            }
      const step = stepUp(below, place, courseOf(place.shape), roughness)
      below = step.state
      critical = step.critical
    }
    answer.push(answerOf(below, critical))
  }
  return answer
}

/** Places of a ditch of one section with a level or falling bed, its water coming in evenly from the far end on. Throws `backwater/bad-places`. */
export function evenDitch(shape: ChannelShape, length_m: number, flow_m3s: number, spacing_m: number, fall_ratio = 0): DitchPlace[] {
  if (!(length_m > 0 && spacing_m > 0 && length_m < Infinity))
    throw new InputError('backwater/bad-places', `A ditch of ${length_m} m, looked at every ${spacing_m} m: give lengths above 0.`, {
      length_m,
      spacing_m,
    })
  const steps = Math.max(1, Math.ceil(length_m / spacing_m - 1e-9))
  return Array.from({ length: steps + 1 }, (_, k) => ({
    distance_m: (length_m * k) / steps,
    bed_m: (fall_ratio * length_m * k) / steps,
    shape,
    flow_m3s: flow_m3s * (1 - k / steps),
  }))
}

interface State {
  readonly place: DitchPlace
  readonly level_m: number
  readonly water: Wetted
  readonly velocity_ms: number
  readonly friction: number
}

/** A shape, looked at once. */
interface Course {
  readonly bankDepth_m: number
  wetted(depth_m: number): Wetted
}

function stateAt(place: DitchPlace, course: Course, level_m: number, roughness: number): State {
  // A level at the very bank may come out an ulp above it once the bed is taken off again.
  const depth_m = level_m - place.bed_m
  const bank_m = course.bankDepth_m
  const water = course.wetted(depth_m > bank_m && depth_m < bank_m + 1e-9 ? bank_m : depth_m)
  const velocity_ms = water.area_m2 > 0 ? place.flow_m3s / water.area_m2 : 0
  const root = water.area_m2 > 0 ? (velocity_ms * roughness) / twoThirdsPower(water.hydraulicRadius_m) : 0
  return { place, level_m, water, velocity_ms, friction: root * root }
}

/** The level one step up: from critical depth upward the least at which the balance of forces holds. */
function stepUp(below: State, place: DitchPlace, course: Course, roughness: number): { readonly state: State; readonly critical: boolean } {
  const length_m = place.distance_m - below.place.distance_m
  const push = below.place.flow_m3s * below.velocity_ms
  const bank_m = place.bed_m + course.bankDepth_m
  const excessOf = (up: State): number => {
    const area_m2 = (up.water.area_m2 + below.water.area_m2) / 2
    const rubbing_m = ((up.friction + below.friction) / 2) * length_m
    return up.level_m - below.level_m - rubbing_m - (push - place.flow_m3s * up.velocity_ms) / (GRAVITY_ms2 * area_m2)
  }
  const at = (level_m: number): State => stateAt(place, course, level_m, roughness)
  const least_m = place.bed_m + criticalDepth_m(place.shape, place.flow_m3s)
  const low = at(Math.min(least_m, bank_m))
  const atLow = excessOf(low)
  if (place.flow_m3s > 0 && atLow > 0) return { state: low, critical: true }
  let high = low
  let atHigh = atLow
  for (let reach = Math.max(1e-3, below.level_m - least_m + 1e-3); atHigh < 0; reach *= 2) {
    if (high.level_m >= bank_m)
      throw new InputError(
        'backwater/over-banks',
        `${place.distance_m} m from the outlet the water stands over the end of the drawn section; draw its bank higher.`,
        { distance_m: place.distance_m, bank_m },
      )
    high = at(Math.min(bank_m, least_m + reach))
    atHigh = excessOf(high)
  }
  const level_m = leastWhere(z => excessOf(at(z)), low.level_m, atLow, high.level_m, atHigh)
  return { state: at(level_m), critical: false }
}

const answerOf = ({ place, level_m, water, velocity_ms }: State, critical: boolean): DitchWater => ({
  distance_m: place.distance_m,
  level_m,
  depth_m: level_m - place.bed_m,
  velocity_ms,
  froude: froude(velocity_ms, water),
  critical,
})

function checkPlaces(places: readonly DitchPlace[]): void {
  if (places.length < 2 || places[0]!.distance_m !== 0)
    throw new InputError('backwater/bad-places', 'A profile needs two places or more, the first at the outlet (distance 0).', {
      places: places.length,
    })
  for (const [k, { distance_m, bed_m, flow_m3s }] of places.entries())
    if (!(Number.isFinite(bed_m) && flow_m3s >= 0 && flow_m3s < Infinity && (k === 0 || distance_m > places[k - 1]!.distance_m)))
      throw new InputError(
        'backwater/bad-places',
        `Place ${k + 1} is not further up than the one before, or its bed or flow is not a number.`,
        {
          place: k + 1,
          distance_m,
        },
      )
}
