import type { FeatureCollection } from 'geojson'
import { pieceAlong } from 'soakline/raster'
import type { Display, LineAnswer } from '../worker/protocol.js'

interface Shown {
  readonly metres: readonly (readonly [number, number])[]
  readonly display: readonly Display[]
}

/** The answered line twice, vertex by vertex: in metres, and as the map shows it. */
function shownLine({ assessment, drawn }: Pick<LineAnswer, 'assessment' | 'drawn'>): Shown | null {
  const display = drawnLine(drawn)
  const { path } = assessment.line
  return display.length === path.length && path.length > 1 ? { metres: path, display } : null
}

function drawnLine({ features }: FeatureCollection): readonly Display[] {
  const line = features.find(({ properties }) => properties?.what === 'line')?.geometry
  return line?.type === 'LineString' ? (line.coordinates as unknown as readonly Display[]) : []
}

const mix = (a: Display, b: Display, t: number): Display => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]

/** Where on the map a distance along the answered line lies; null when no line is drawn. */
export function placeAlong(answer: Pick<LineAnswer, 'assessment' | 'drawn'>, chainage_m: number): Display | null {
  const shown = shownLine(answer)
  if (shown === null) return null
  const { metres, display } = shown
  const { to, t } = pieceAlong(metres, chainage_m)
  return mix(display[to - 1]!, display[to]!, t)
}

/** The distance along the answered line that lies nearest to a place of the map; null when no line is drawn. */
export function nearestAlong(
  answer: Pick<LineAnswer, 'assessment' | 'drawn'>,
  at: Display,
): { readonly chainage_m: number; readonly place: Display } | null {
  const shown = shownLine(answer)
  if (shown === null) return null
  const { metres, display } = shown
  // A degree of longitude is narrower than one of latitude; near is judged on the screen, where both are drawn alike.
  const narrow = Math.cos((at[1] * Math.PI) / 180)
  let best = { chainage_m: 0, place: display[0]! }
  let nearest = Number.POSITIVE_INFINITY
  let along = 0
  for (let k = 1; k < metres.length; k++) {
    const [a, b] = [display[k - 1]!, display[k]!]
    const [dx, dy] = [(b[0] - a[0]) * narrow, b[1] - a[1]]
    const square = dx * dx + dy * dy
    const t = square > 0 ? Math.min(1, Math.max(0, ((at[0] - a[0]) * narrow * dx + (at[1] - a[1]) * dy) / square)) : 0
    const place = mix(a, b, t)
    const distance = Math.hypot((at[0] - place[0]) * narrow, at[1] - place[1])
    const length = Math.hypot(metres[k]![0] - metres[k - 1]![0], metres[k]![1] - metres[k - 1]![1])
    if (distance < nearest) {
      nearest = distance
      best = { chainage_m: along + t * length, place }
    }
    along += length
  }
  return best
}
