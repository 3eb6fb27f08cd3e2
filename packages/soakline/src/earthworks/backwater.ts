import { InputError } from '../foundation/index.js'
import { bankDepth_m, type ChannelShape, type Wetted, wetted } from './channel-shape.js'
import { twoThirdsPower } from './roots.js'
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
 * Cost    a section for each of about 60 trials a metre.
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
  let below = stateAt(outlet, isCritical ? outlet.bed_m + leastDepth_m : outletLevel_m, roughness)
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
      const step = stepUp(below, place, roughness)
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

function stateAt(place: DitchPlace, level_m: number, roughness: number): State {
  // A level at the very bank may come out an ulp above it once the bed is taken off again.
  const depth_m = level_m - place.bed_m
  const bank_m = bankDepth_m(place.shape)
  const water = wetted(place.shape, depth_m > bank_m && depth_m < bank_m + 1e-9 ? bank_m : depth_m)
  const velocity_ms = water.area_m2 > 0 ? place.flow_m3s / water.area_m2 : 0
  const root = water.area_m2 > 0 ? (velocity_ms * roughness) / twoThirdsPower(water.hydraulicRadius_m) : 0
  return { place, level_m, water, velocity_ms, friction: root * root }
}

/** The level one step up: the range from critical depth upward is halved until the balance of forces holds. */
function stepUp(below: State, place: DitchPlace, roughness: number): { readonly state: State; readonly critical: boolean } {
  const length_m = place.distance_m - below.place.distance_m
  const push = below.place.flow_m3s * below.velocity_ms
  const bank_m = place.bed_m + bankDepth_m(place.shape)
  const excess = (up: State): number => {
    const area_m2 = (up.water.area_m2 + below.water.area_m2) / 2
    const rubbing_m = ((up.friction + below.friction) / 2) * length_m
    return up.level_m - below.level_m - rubbing_m - (push - place.flow_m3s * up.velocity_ms) / (GRAVITY_ms2 * area_m2)
  }
  const least_m = place.bed_m + criticalDepth_m(place.shape, place.flow_m3s)
  let low = stateAt(place, Math.min(least_m, bank_m), roughness)
  if (place.flow_m3s > 0 && excess(low) > 0) return { state: low, critical: true }
  let high = low
  for (let reach = Math.max(1e-3, below.level_m - least_m + 1e-3); excess(high) < 0; reach *= 2) {
    if (high.level_m >= bank_m)
      throw new InputError(
        'backwater/over-banks',
        `${place.distance_m} m from the outlet the water stands over the end of the drawn section; draw its bank higher.`,
        { distance_m: place.distance_m, bank_m },
      )
    high = stateAt(place, Math.min(bank_m, least_m + reach), roughness)
  }
  for (let k = 0; k < 52; k++) {
    const middle = stateAt(place, (low.level_m + high.level_m) / 2, roughness)
    if (excess(middle) < 0) low = middle
    else high = middle
  }
  return { state: high, critical: false }
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
