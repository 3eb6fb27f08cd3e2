import { sayFact, sayFinding, sayMeasuredSpillReason, sayOutletRefusal, sayRefusal, saySoilReason } from '@soakline/drawing'
import type { Finding } from 'soakline/foundation'
import { OUTLET_REFUSALS, SPILL_REASONS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, fullFinding } from './hillside.js'

const soil = (code: string, values: Finding['details'] = {}) => ({ code, values, pit: null })

describe('sentences with gaps', () => {
  test('a value is said in the reader’s units, by the ending of its key', () => {
    const reason = soil('soil/water-near', { clearance_m: 0.4, limit_m: 0.9 })
    expect(saySoilReason(reason, EN)).toMatch(/^Water stands 0\.4 m below the bed; 0\.9 m is wanted\./)
    expect(saySoilReason(reason, EN_US)).toMatch(/^Water stands 16 in below the bed; 35 in is wanted\./)
    expect(saySoilReason(reason, ES)).toMatch(/^El agua está 0,4 m bajo el fondo; se piden 0,9 m\./)
    expect(saySoilReason(soil('soil/steep-clay', { slope_ratio: 0.31 }), EN)).toContain('a slope of 31%')
    expect(saySoilReason(soil('soak/in-time', { emptying_h: 20.5, limit_h: 48, intake_mmh: 12 }), ES_US)).toBe(
      'La zanja queda vacía en 20,5 horas; se piden 48 horas como mucho. Se cuenta con 0,47 pulg por hora.',
    )
  })

  test('a missing value is said to be missing, or its part of the sentence is left out', () => {
    expect(saySoilReason(soil('soil/water-near'), EN)).toMatch(/^Water stands not known below the bed/)
    expect(saySoilReason(soil('soil/water-near'), ES)).toContain('sin dato')
    const test = { intake_mmh: 30, bedDepth_m: 0.5 }
    expect(saySoilReason(soil('intake/test-not-at-bed', { ...test, depth_m: null }), EN)).toContain('does not count. The bed')
    expect(saySoilReason(soil('intake/test-not-at-bed', { ...test, depth_m: 0.1 }), EN)).toContain('does not count: it was made at 0.1 m.')
  })

  test('a slip on the line stops the digging; one far away is told with its distance', () => {
    expect(saySoilReason(soil('soil/seen-slip', { distance_m: 12, far: false }), EN)).toMatch(/^Don’t dig yet: a landslip/)
    expect(saySoilReason(soil('soil/seen-slip', { distance_m: 80, far: true }), EN)).toMatch(
      /^A thing seen 80 m from the line: a landslip\./,
    )
    expect(saySoilReason(soil('soil/seen-slip', { distance_m: null, far: true }), ES)).toMatch(/^Visto a distancia de la línea/)
  })

  test('no name is read as a template', () => {
    const named = { ...fullFinding('breach/near-building'), details: { name: '{measured} [x] {runs}' } }
    expect(sayFinding(named, EN)).toContain('passes {measured} [x] {runs} at')
  })
})

describe('tried terrains', () => {
  const doubt = (because: string, details: Finding['details']): Finding => ({
    ...fullFinding(because),
    details: { name: 'the barn', runs: 200, clearance_m: 10, distance_m: 14, ...details },
  })
  test('counts are counts of tried terrains, never a chance', () => {
    expect(sayFinding(doubt('overflow/reaches-in-runs', { reached: 3, atMost_ratio: 0.038 }), EN)).toBe(
      'In 3 of 200 tried terrains the overflow came within 10 m of the barn. The heights are not sure enough to rule it out.',
    )
    expect(sayFinding(doubt('overflow/reaches-building', { reached: 41 }), EN)).toContain('in 41 of 200 tried terrains')
  })
  test('what the ground as it is does, though no tried terrain did, is said so', () => {
    expect(sayFinding(doubt('overflow/reaches-in-runs', { reached: 0 }), EN)).toMatch(/^On the ground as the data shows it/)
    expect(sayFinding(doubt('overflow/reaches-building', { reached: 0 }), EN)).toContain('runs into the barn. Do not build')
  })
  test('0 of 200 still allows something, and says how much', () => {
    const none = { reached: 0, atMost_ratio: 0.0149 }
    expect(sayFinding(doubt('overflow/misses-in-runs', none), EN)).toContain('0 of 200 still allows 1.5% of terrains like these')
    expect(sayFinding(doubt('overflow/misses-in-runs', none), ES)).toMatch(/0 de 200 aún permite que en el 1,5 ?%/)
    expect(sayFinding(doubt('overflow/misses-in-runs', { ...none, name: null, atMost_ratio: null }), EN)).toBe(
      'In none of 200 tried terrains did the overflow come near a building that was drawn. Ruts and paths smaller than a cell are not seen.',
    )
  })
  test('what a break meets is named', () => {
    const met = (below: string): string => sayFinding({ ...fullFinding('breach/meets'), details: { below } }, EN)
    expect(met('septic')).toBe('If the berm breaks at 84 m along the line, the water runs over a septic field.')
    expect(new Set(['track', 'septic', 'well', 'boundary', 'utility', 'other'].map(met)).size).toBe(6)
  })
})

test('reasons of a place to spill carry their numbers, and forbidden outlets are said', () => {
  expect(sayMeasuredSpillReason({ code: 'passes-near-building', measured: 7.5, limit: 10, unit: 'm' }, EN)).toBe(
    'it passes near a building: 7.5 m off, and 10 m is asked',
  )
  expect(sayMeasuredSpillReason({ code: 'too-fast-bare', measured: 1.4, limit: 0.6, unit: 'm/s' }, ES)).toContain('1,4 m/s')
  for (const voice of [EN, ES]) {
    for (const code of Object.keys(SPILL_REASONS))
      expect(sayMeasuredSpillReason({ code, measured: null, limit: null, unit: null }, voice)).not.toMatch(/[[\]{}]|not known|sin dato|-/)
    for (const code of OUTLET_REFUSALS) expect(sayOutletRefusal(code, voice)).not.toMatch(/[[\]{}]/)
  }
})

test('a refusal is said with the line that it is about, and without it where that is not told', () => {
  expect(sayRefusal({ code: 'rain-record/date', details: { line: 12 } }, EN)).toContain('can be read: line 12.')
  expect(sayRefusal({ code: 'rain-record/date' }, ES)).toMatch(/^Una línea del registro no tiene una fecha legible\. /)
  expect(sayRefusal({ code: 'grid/truncated' }, EN)).toMatch(/cut off/)
  expect(sayRefusal({ code: 'no/such' }, EN)).toBe(null)
})

test('values under a finding are said in words and units, codes too', () => {
  expect(sayFact('answer', 'lead-away', EN)).toBe('lead the water away')
  expect(sayFact('far', false, ES)).toBe('no')
  expect(sayFact('below', 'septic', EN)).toBe('septic field')
  expect(sayFact('below', 'nothing', ES)).toBe('nada dibujado')
  expect(sayFact('texture', 'silt-loam', EN)).toBe('silt loam')
  expect(sayFact('reasons', 'too-steep,crosses-track', EN)).toBe('too steep, it crosses a track, which can carry the water off')
  expect(sayFact('endsIn', 'forest', ES)).toBe('termina en el bosque')
  expect(sayFact('because', 'intake/lowest-published', EN)).toBe('the lowest that is published')
  expect(sayFact('depth_m', 0.3, EN_US)).toBe('12 in')
  expect(sayFact('volume_m3', 48, EN)).toBe('48 m³')
  expect(sayFact('name', 'Barn', EN)).toBe('Barn')
})
