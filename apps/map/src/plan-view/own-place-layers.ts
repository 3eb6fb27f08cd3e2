import type { Inks } from '@soakline/drawing'
import type { LayerSpecification } from 'maplibre-gl'

/** The stake that is sought, the own place with the circle of its doubt, and the way between them; over everything else, told apart by shape. */
export function ownPlaceLayers(inks: Inks, bold: number): LayerSpecification[] {
  const is = (what: string) => ['==', ['get', 'what'], what] as ['==', ['get', string], string]
  const source = 'own-place'
  return [
    { id: 'own-accuracy', type: 'fill', source, filter: is('accuracy'), paint: { 'fill-color': inks.ditch, 'fill-opacity': 0.14 } },
    {
      id: 'own-accuracy-rim',
      type: 'line',
      source,
      filter: is('accuracy'),
      paint: { 'line-color': inks.ditch, 'line-width': 1.8 * bold, 'line-dasharray': [2, 1.5] },
    },
    {
      id: 'own-way',
      type: 'line',
      source,
      filter: is('way'),
      paint: { 'line-color': inks.ink, 'line-width': 2 * bold, 'line-dasharray': [1, 1.6] },
    },
    {
      id: 'own-goal',
      type: 'circle',
      source,
      filter: is('goal'),
      paint: {
        'circle-radius': 13,
        'circle-color': inks.paper,
        'circle-opacity': 0.25,
        'circle-stroke-color': inks.ink,
        'circle-stroke-width': 3 * bold,
      },
    },
    {
      id: 'own-dot',
      type: 'circle',
      source,
      filter: is('own'),
      paint: { 'circle-radius': 7, 'circle-color': inks.ditch, 'circle-stroke-color': inks.paper, 'circle-stroke-width': 3 },
    },
  ]
}
