import { sayPlantName, type Voice } from '@soakline/drawing'
import type { PlantMatch, PlantZone } from 'soakline/plan'
import { expect, test } from 'vitest'
import { sayGroundWork } from '../src/ground-work-sentences.js'
import { sayZonePlants } from '../src/zone-plants.js'

const EN: Voice = { language: 'en', units: 'metric' }
const zones = [
  { zone: 'crest', length_m: 10 },
  { zone: 'spill', length_m: 0 },
] as unknown as PlantZone[]
const match = (plant: string, verdict: PlantMatch['verdict'], ...reasons: PlantMatch['reasons']): PlantMatch => ({
  plant,
  zone: 'crest',
  verdict,
  reasons,
})
const said = (...matches: PlantMatch[]): ReturnType<typeof sayZonePlants> =>
  sayZonePlants(zones, { plants: [], starter: false, matches }, EN)
const why = (code: PlantMatch['reasons'][number]): string => sayGroundWork(code, {}, EN)

test('a place without length is left out; plants stand by how they go there, their names plain', () => {
  const [only, ...more] = said(match('a', 'holds'), match('b', 'holds'), match('c', 'fails', 'plant/woody-at-spill'))
  expect(more).toEqual([])
  expect(only).toMatchObject({ well: 'a, b', withCare: '', not: `c (${why('plant/woody-at-spill')})` })
  expect(sayPlantName('plant-type/turf-grass', EN)).not.toContain('/')
})

test('a reason that all share is said once before them; the same reasons stand together', () => {
  const [only] = said(
    match('a', 'unknown', 'plant/water-unknown'),
    match('b', 'watch', 'plant/water-unknown', 'plant/hot-face'),
    match('c', 'watch', 'plant/hot-face', 'plant/water-unknown'),
  )
  expect(only!.withCare).toBe(`${why('plant/water-unknown')}: a. b, c (${why('plant/hot-face')})`)
})

test('what settles it leaves the other reasons unsaid', () => {
  const [only] = said(
    match('a', 'fails', 'plant/woody-at-spill', 'plant/water-unknown'),
    match('b', 'fails', 'plant/woody-at-spill', 'plant/hot-face'),
  )
  expect(only!.not).toBe(`${why('plant/woody-at-spill')}: a, b`)
})
