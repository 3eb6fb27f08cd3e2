import { LAYER_GROUPS } from '@soakline/drawing'
import { FEATURE_KINDS } from 'soakline/siting'
import { expect, test } from 'vitest'
import { type PlanLook, planLayers, SOURCES } from '../src/plan-view/layers.js'
import { ALL_SHOWN, createPrefs } from '../src/state/prefs.js'

// What the plan shows can be put away and made faint; the line, its berm and the buildings cannot.

const WHOLE: PlanLook = {
  theme: 'paper',
  ramp: 'hill',
  strengths: ALL_SHOWN,
  focus: null,
  chosen: 'cabin',
  found: null,
  storm: null,
  held: new Set([...SOURCES, ...FEATURE_KINDS.map(kind => `features/${kind}`)]),
}
const NOTHING = Object.fromEntries(LAYER_GROUPS.map(group => [group, 0])) as PlanLook['strengths']
const visible = (look: PlanLook): string[] =>
  planLayers(look)
    .filter(layer => (layer.layout as { visibility?: string } | undefined)?.visibility !== 'none')
    .map(layer => layer.id)

test('with every group put away the line, the berm, the buildings and the distance kept from them stay', () => {
  expect(visible(WHOLE)).toHaveLength(planLayers(WHOLE).length)
  const left = visible({ ...WHOLE, strengths: NOTHING })
  expect(left).toEqual(expect.arrayContaining(['paper', 'building', 'building-point', 'halo', 'berm', 'line', 'other-line', 'draft-line']))
  for (const id of ['ground', 'contour', 'no-go', 'catchment', 'path', 'breach', 'stream', 'feature-name']) expect(left).not.toContain(id)
})

test.each(LAYER_GROUPS)('putting %s away takes some layers, and no two groups take the same', group => {
  const gone = (one: (typeof LAYER_GROUPS)[number]): string[] => {
    const left = visible({ ...WHOLE, strengths: { ...ALL_SHOWN, [one]: 0 } })
    return visible(WHOLE).filter(id => !left.includes(id))
  }
  expect(gone(group).length).toBeGreaterThan(0)
  for (const other of LAYER_GROUPS) if (other !== group) expect(gone(other).filter(id => gone(group).includes(id))).toEqual([])
})

test('law: a look changes paint, never structure: the same layers with the same properties for every strength', () => {
  const shape = (look: PlanLook) => planLayers(look).map(l => [l.id, Object.keys(l.paint ?? {}), Object.keys(l.layout ?? {})])
  for (const strengths of [NOTHING, { ...ALL_SHOWN, 'no-go': 0.5 }]) expect(shape({ ...WHOLE, strengths })).toEqual(shape(WHOLE))
  const paint = (look: PlanLook, id: string) => planLayers(look).find(layer => layer.id === id)!.paint as Record<string, unknown>
  const whole = paint(WHOLE, 'no-go')['fill-opacity'] as number
  expect(paint({ ...WHOLE, strengths: { ...ALL_SHOWN, 'no-go': 0.5 } }, 'no-go')['fill-opacity']).toBeCloseTo(whole / 2, 12)
})

test('tint and strengths are kept in the browser; what cannot be read there is shown whole', () => {
  const kept = new Map<string, string>()
  const reader = {
    languages: ['en-GB'],
    dark: false,
    read: (key: string) => kept.get(key) ?? null,
    write: (key: string, value: string) => void kept.set(key, value),
  }
  const prefs = createPrefs(reader)
  prefs.ramp.value = 'dusk'
  prefs.layers.value = { ...ALL_SHOWN, contours: 0, 'no-go': 0.5 }
  const again = createPrefs(reader)
  expect(again.ramp.value).toBe('dusk')
  expect(again.layers.value).toEqual({ ...ALL_SHOWN, contours: 0, 'no-go': 0.5 })
  for (const broken of ['{', '{"contours":"x","ground":7}', '[]']) {
    kept.set('layers', broken)
    expect(createPrefs(reader).layers.value).toEqual(ALL_SHOWN)
  }
})
