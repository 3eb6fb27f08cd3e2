import { spillPlace_m } from 'soakline/plan'
import type { Display, LineAnswer } from '../worker/protocol.js'
import { nearestAlong, placeAlong } from './along-line.js'

type Answered = Pick<LineAnswer, 'assessment' | 'drawn'>

/** Where the spill's handle stands on the map: beside the line, on the side to which its water runs, since it often lies at an end that has a handle too. */
export function spillOnMap(
  answer: Answered,
  trying_m: number | null,
): { readonly at: Display; readonly lean: readonly [x: number, y: number] } | null {
  if (answer.assessment.storage === null) return null
  const chainage_m = trying_m ?? spillPlace_m(answer.assessment, { spillChainage_m: null })
  const at = placeAlong(answer, chainage_m)
  return at && { at, lean: leanOf(answer, chainage_m, at) }
}

const DOWN: readonly [x: number, y: number] = [0, 1]

function leanOf({ drawn }: Answered, chainage_m: number, at: Display): readonly [x: number, y: number] {
  const near = (feature: (typeof drawn.features)[number]): number => Math.abs(Number(feature.properties?.chainage_m) - chainage_m)
  const ways = drawn.features.filter(({ properties, geometry }) => properties?.what === 'path' && geometry.type === 'LineString')
  const way = ways.sort((a, b) => near(a) - near(b))[0]
  if (way?.geometry.type !== 'LineString') return DOWN
  const narrow = Math.cos((at[1] * Math.PI) / 180)
  const points = way.geometry.coordinates
  const end = points[Math.min(points.length - 1, LOOK_ON)]!
  const [x, y] = [(end[0]! - points[0]![0]!) * narrow, points[0]![1]! - end[1]!]
  const length = Math.hypot(x, y)
  return length > 0 ? [x / length, y / length] : DOWN
}

/** Vertices of the way that tell where it goes. */
const LOOK_ON = 4

/** A spill this near to an end, as part of the line, is at the end. */
const END_SHARE = 0.02

/** Where along the line the spill comes to stand when it is drawn to a place of the map; null when no line is drawn. */
export function spillDraggedTo(answer: Answered, at: Display): number | null {
  const found = nearestAlong(answer, at)
  if (found === null) return null
  const { length_m } = answer.assessment.line
  if (found.chainage_m < END_SHARE * length_m) return 0
  return found.chainage_m > (1 - END_SHARE) * length_m ? length_m : found.chainage_m
}
