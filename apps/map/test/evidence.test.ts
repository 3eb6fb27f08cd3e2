import type { Feature, FeatureCollection, Position } from 'geojson'
import { expect, test } from 'vitest'
import { boundsOf, wholeEvidence } from '../src/plan-view/evidence.js'

const line = (what: string, coordinates: Position[]): Feature => ({
  type: 'Feature',
  properties: { what },
  geometry: { type: 'LineString', coordinates },
})
const at = (kind: string, id: string, place: Position): Feature => ({
  type: 'Feature',
  properties: { kind, id },
  geometry: { type: 'Point', coordinates: place },
})
const all = (...features: Feature[]): FeatureCollection => ({ type: 'FeatureCollection', features })
const ids = (features: readonly Feature[]): unknown[] => features.map(f => f.properties?.what ?? f.properties?.id)

test('the whole evidence: line, ridge and ways of the water, and the buildings beside them; a tenth of their size away is beside, a fifth is not', () => {
  const answer = all(
    line('line', [
      [0, 0],
      [1, 0],
    ]),
    line('ridge', [
      [0, 1],
      [1, 1],
    ]),
    line('level-line', [
      [-9, 0],
      [9, 0],
    ]),
  )
  const features = all(
    at('building', 'within', [0.5, 0.5]),
    at('building', 'beside', [1.1, 0.5]),
    at('building', 'far', [1.2, 0.5]),
    at('well', 'no building', [0.5, 0.5]),
  )
  expect(ids(wholeEvidence(answer, features))).toEqual(['line', 'ridge', 'within', 'beside'])
})

test('without an answer there is no evidence, whatever is drawn', () => {
  expect(wholeEvidence(all(), all(at('building', 'b', [0, 0])))).toEqual([])
  expect(boundsOf([])).toBeNull()
})

test('bounds reach into collections of geometries', () => {
  const mixed: Feature = {
    type: 'Feature',
    properties: {},
    geometry: {
      type: 'GeometryCollection',
      geometries: [
        { type: 'Point', coordinates: [-3, 8] },
        { type: 'MultiPoint', coordinates: [[4, -2]] },
      ],
    },
  }
  expect(boundsOf([mixed])).toEqual([-3, -2, 4, 8])
})
