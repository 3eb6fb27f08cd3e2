import { InputError } from '../foundation/index.js'
import { cosineOf, sineOf } from './angles.js'

/** How much sun a face gets over the year, beside level ground at the same place. */
export interface Sunlight {
  /** Direct sun of the year over that on level ground: above 1 sunnier, below 1 shadier. */
  readonly year_ratio: number
  readonly summer_ratio: number
  readonly winter_ratio: number
  /** Afternoon sun of the year, in which a face gets hottest, over all sun on level ground; level ground has 0.5. */
  readonly afternoon_ratio: number
}

/** Middle of each month as day of the year. */
const MONTH_DAYS = [15, 46, 75, 105, 135, 166, 196, 227, 258, 288, 319, 349] as const
/** Of an hour's turn of the sun. */
const STEP_deg = 3.75

/**
 * A plain index of direct sun on a face: cosine of the angle at which the sun meets it, summed over the hours of twelve days.
 *
 * Units    latitude −90 to 90, north positive; `slope_ratio` rise over run; `facing_deg` the way the face looks downhill, clockwise from north.
 * Limits   no clouds, no haze, no shade of hills or trees, the sun's declination by one cosine: for comparing faces, never for a yield.
 * Laws     1 on level ground; east and west faces alike over the year but not in the afternoon; north and south change places with the hemisphere.
 * Throws   `sun/bad-place`.
 * Source   declination 23.45° sin(360 (284 + n)/365) (Cooper 1969, from memory); incidence on a slope: spherical trigonometry, derived.
 */
export function sunlight(latitude_deg: number, slope_ratio: number, facing_deg: number): Sunlight {
  if (!(Math.abs(latitude_deg) <= 90 && slope_ratio >= 0 && slope_ratio < 10 && Number.isFinite(facing_deg)))
    throw new InputError('sun/bad-place', `Latitude ${latitude_deg}°, slope ${slope_ratio}, facing ${facing_deg}° is no face on Earth.`, {
      latitude_deg,
      slope_ratio,
      facing_deg,
    })
  const tilt = Math.sqrt(1 + slope_ratio * slope_ratio)
  // Unit vector out of the face: east, north, up.
  const face = [(sineOf(facing_deg) * slope_ratio) / tilt, (cosineOf(facing_deg) * slope_ratio) / tilt, 1 / tilt] as const
  const [sinLat, cosLat] = [sineOf(latitude_deg), cosineOf(latitude_deg)]
  const months = MONTH_DAYS.map(day => {
    const declination_deg = 23.45 * sineOf((360 * (284 + day)) / 365)
    const [sinDec, cosDec] = [sineOf(declination_deg), cosineOf(declination_deg)]
    let [level, all, afternoon] = [0, 0, 0]
    for (let hour_deg = -180 + STEP_deg / 2; hour_deg < 180; hour_deg += STEP_deg) {
      const [sinHour, cosHour] = [sineOf(hour_deg), cosineOf(hour_deg)]
      const up = sinLat * sinDec + cosLat * cosDec * cosHour
      if (up <= 0) continue
      const east = -cosDec * sinHour
      const north = cosLat * sinDec - sinLat * cosDec * cosHour
      const on = Math.max(0, face[0] * east + face[1] * north + face[2] * up)
      level += up
      all += on
      if (hour_deg > 0) afternoon += on
    }
    return { level, all, afternoon }
  })
  const sum = (of: 'level' | 'all' | 'afternoon', from: readonly number[]): number => from.reduce((total, k) => total + months[k]![of], 0)
  const year = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]
  const north = latitude_deg >= 0
  const [mid, cold] = [
    [4, 5, 6, 7],
    [10, 11, 0, 1],
  ]
  const [summer, winter] = north ? [mid!, cold!] : [cold!, mid!]
  const share = (months: readonly number[]): number => {
    const level = sum('level', months)
    return level > 0 ? sum('all', months) / level : 0
  }
  return {
    year_ratio: share(year),
    summer_ratio: share(summer),
    winter_ratio: share(winter),
    afternoon_ratio: sum('afternoon', year) / sum('level', year),
  }
}
