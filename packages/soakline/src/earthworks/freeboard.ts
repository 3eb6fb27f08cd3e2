import { InputError, type Sourced } from '../foundation/index.js'

const metres = (value: number, source: string): Sourced<'m'> => ({ value, unit: 'm', source, known: 'published' })
const HEC22 = 'FHWA HEC-22 3rd ed. (FHWA-NHI-10-009, 2009)'

/** Freeboards that are published for small works. Those of this program's own berms are settings. */
export const PUBLISHED_FREEBOARDS = {
  /** Above the water of the emergency spillway of an embankment. */
  embankment: metres(0.6, `${HEC22} section 8.4.4.4, preferred`),
  /** The least for a pond of less than 0.4–0.8 ha. */
  smallPond: metres(0.3, `${HEC22} section 8.4.4.4, least for ponds under 0.4–0.8 ha`),
  channel: metres(0.15, `${HEC22} section 5.2.4, permanent roadside channel: about 0.15 m`),
} as const

/**
 * Freeboard of a channel: about 0.15 m where it runs tranquil; as much as the water is deep where it is steep, for waves and splash, and
 * never less than where it runs tranquil (judgement).
 *
 * Units   m; `froude` over 1 counts as steep (judgement: the source says "steep").
 * Laws    never falls with the depth.
 * Throws  `channel/bad-depth`.
 * Source  FHWA HEC-22 3rd ed. (2009) section 5.2.4.
 */
export function channelFreeboard_m(depth_m: number, froude: number): number {
  if (!(depth_m >= 0 && depth_m < Infinity && froude >= 0))
    throw new InputError('channel/bad-depth', `The water is ${depth_m} m deep and runs at a Froude number of ${froude}; give 0 or more.`, {
      depth_m,
    })
  const { value } = PUBLISHED_FREEBOARDS.channel
  return froude > 1 ? Math.max(value, depth_m) : value
}
