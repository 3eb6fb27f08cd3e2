import type { Feature, FeatureCollection } from 'geojson'
import { FEATURE_KINDS, type FeatureKind } from 'soakline/siting'
import { expect, test } from 'vitest'
import { type PlanLook, planLayers, SOURCES } from '../src/plan-view/layers.js'
import { heldIn } from '../src/plan-view/layers-in-use.js'
import { ALL_SHOWN } from '../src/state/prefs.js'

// Layers that have nothing to show are put away: for each change of source between two layers the map marks all of its tiles in every frame.

const LOOK: PlanLook = {
  theme: 'paper',
  ramp: 'hill',
  strengths: ALL_SHOWN,
  focus: null,
  chosen: null,
  found: null,
  storm: null,
  held: new Set(),
}
const feature = (properties: Feature['properties']): Feature => ({
  type: 'Feature',
  properties,
  geometry: { type: 'Point', coordinates: [0, 0] },
})
const of = (...features: Feature[]): FeatureCollection => ({ type: 'FeatureCollection', features })
const visible = (held: readonly string[], look = LOOK): string[] =>
  planLayers({ ...look, held: new Set(held) })
    .filter(layer => (layer.layout as { visibility?: string } | undefined)?.visibility !== 'none')
    .map(layer => layer.id)
const WHOLE = [...SOURCES, ...FEATURE_KINDS.map(kind => `features/${kind}`)]

test('a bare plan shows its paper and its ground', () => {
  expect(visible([])).toEqual(['paper', 'ground'])
})

test('a source holds its name and, of drawn features, their kinds; where it is empty, nothing', () => {
  expect(heldIn('answer', of())).toEqual([])
  expect(heldIn('answer', of(feature({ what: 'line' })))).toEqual(['answer'])
  expect(heldIn('features', of(feature({ kind: 'wet' }), feature({ kind: 'building' }), feature({ kind: 'wet' })))).toEqual([
    'features',
    'features/building',
    'features/wet',
  ])
})

test.each(SOURCES)('without anything in %s its layers are put away, and no others', source => {
  const gone = visible(WHOLE).filter(id => !visible(WHOLE.filter(name => name.split('/')[0] !== source)).includes(id))
  const its = planLayers(LOOK).filter(layer => 'source' in layer && layer.source === source && !layer.id.startsWith('chosen'))
  expect(gone).toEqual(its.map(layer => layer.id))
})

/** What must be on the plan where a feature of a kind is; the signs and names of places ask for no list of kinds. */
const LAYERS_OF: Partial<Record<FeatureKind, readonly string[]>> = {
  forest: ['wood', 'wood-sign', 'wood-rim'],
  wet: ['marsh', 'marsh-sign', 'marsh-rim'],
  stream: ['stream', 'line-name'],
  track: ['track', 'track-rim', 'line-name'],
  utility: ['utility', 'line-name'],
  boundary: ['boundary'],
  wall: ['wall', 'line-name'],
  culvert: ['culvert', 'line-name'],
  building: ['building', 'building-point'],
  septic: ['other-rim'],
  slip: ['other-rim'],
  pit: ['other-rim'],
  well: ['other-rim'],
  spring: ['other-rim'],
}

test.each(FEATURE_KINDS)('one feature of kind %s is on the plan whatever else is', kind => {
  const alone = visible(heldIn('features', of(feature({ kind }))))
  expect(alone).toEqual(expect.arrayContaining([...(LAYERS_OF[kind] ?? []), 'point-sign', 'feature-name']))
  const gone = visible(WHOLE).filter(id => !visible(WHOLE.filter(name => name !== `features/${kind}`)).includes(id))
  expect(alone).toEqual(expect.arrayContaining(gone))
})

test('what is chosen is shown while something is, and what a person put away stays away', () => {
  expect(visible(WHOLE)).not.toContain('chosen')
  expect(visible(WHOLE, { ...LOOK, chosen: 'cabin' })).toEqual(expect.arrayContaining(['chosen', 'chosen-place']))
  expect(visible(WHOLE, { ...LOOK, strengths: { ...ALL_SHOWN, contours: 0 } })).not.toContain('contour')
})

test('law: the same layers with the same properties whatever lies on the plan', () => {
  const shape = (held: readonly string[]) =>
    planLayers({ ...LOOK, held: new Set(held) }).map(l => [l.id, Object.keys(l.paint ?? {}).sort(), Object.keys(l.layout ?? {}).sort()])
  expect(shape([])).toEqual(shape(WHOLE))
})
