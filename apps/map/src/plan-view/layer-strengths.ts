import type { LayerGroup } from '@soakline/drawing'
import type { LayerSpecification } from 'maplibre-gl'

/** Which layers of the plan belong to a group; those in none are always shown whole: the line, the berm, buildings, what is drawn just now. */
const MEMBERS: Readonly<Record<LayerGroup, readonly string[]>> = {
  names: ['feature-name', 'line-name', 'other-line-name'],
  breach: ['breach', 'breach-building', 'breach-value', 'breach-unknown'],
  overflow: [
    'band',
    'band-sign',
    'beyond',
    'path',
    'path-arrows',
    'path-end',
    'tried-any',
    'tried-tenth',
    'tried-half',
    'storm-way',
    'storm-other-way',
  ],
  drawn: [
    'wood',
    'wood-sign',
    'wood-rim',
    'marsh',
    'marsh-sign',
    'marsh-rim',
    'stream',
    'track',
    'track-rim',
    'utility',
    'boundary',
    'wall',
    'culvert',
    'other-rim',
    'point-sign',
  ],
  catchment: ['catchment', 'catchment-rim', 'fall-lines', 'ridge', 'high-point'],
  contours: ['contour', 'contour-heavy', 'contour-height'],
  'no-go': ['no-go'],
  ground: ['ground'],
}

const GROUP_OF = new Map(Object.entries(MEMBERS).flatMap(([group, ids]) => ids.map(id => [id, group as LayerGroup] as const)))

/** The paint that makes a kind of layer faint. */
const OPACITIES: Readonly<Partial<Record<LayerSpecification['type'], readonly string[]>>> = {
  fill: ['fill-opacity'],
  line: ['line-opacity'],
  circle: ['circle-opacity', 'circle-stroke-opacity'],
  symbol: ['text-opacity', 'icon-opacity'],
  raster: ['raster-opacity'],
}

/**
 * A layer as strong as its group is to be shown; put away, it is not drawn at all.
 *
 * Laws   the same properties stand in it for every strength, so that a change of look finds each.
 */
export function asStrong(layer: LayerSpecification, strengths: Readonly<Record<LayerGroup, number>>): LayerSpecification {
  const group = GROUP_OF.get(layer.id)
  const names = OPACITIES[layer.type]
  if (group === undefined || names === undefined) return layer
  const strength = strengths[group]
  const paint = (layer.paint ?? {}) as Readonly<Record<string, unknown>>
  const faint = Object.fromEntries(
    names.map(name => {
      const whole = paint[name] ?? 1
      return [name, typeof whole === 'number' ? whole * strength : ['*', whole, strength]]
    }),
  )
  return {
    ...layer,
    layout: { ...layer.layout, visibility: strength === 0 ? 'none' : 'visible' },
    paint: { ...paint, ...faint },
  } as LayerSpecification
}
