import { signal } from '@preact/signals'
import { expect, test } from 'vitest'
import { createField } from '../src/state/field.js'
import type { Leaf, OpenGround, Sheet } from '../src/state/sheet.js'

type Beside = Pick<Sheet, 'ground' | 'bench' | 'leaf'>

/** As much of a sheet as the field needs, and a browser's small memory. */
function visit(kept: Map<string, string>) {
  const ground = signal<OpenGround | null>(null)
  const bench = signal<Beside['bench']['value']>({ frame: null, backsight_m: null })
  const leaf = signal<Leaf>('answers')
  const field = createField(
    { ground, bench, leaf },
    { read: key => kept.get(key) ?? null, write: (key, value) => void kept.set(key, value) },
  )
  const open = (sha256: string): void => {
    bench.value = { frame: null, backsight_m: null }
    ground.value = { card: { report: { sha256 } } } as unknown as OpenGround
  }
  return { field, bench, leaf, open }
}
const later = (): Promise<void> => new Promise(resolve => setTimeout(resolve))

test('after a reload one stands at the same stake, with the same tool and what it read', async () => {
  const kept = new Map<string, string>()
  const first = visit(kept)
  first.open('a')
  first.field.open.value = true
  first.field.goTo(7)
  first.field.tool.value = 'water'
  first.field.what.value = 'crest'
  first.field.there_m.value = 0.9
  first.bench.value = { frame: null, backsight_m: 1.2 }
  await later()
  const second = visit(kept)
  second.open('a')
  const { field } = second
  expect([field.open, field.stake, field.tool, field.what, field.there_m].map(s => s.value)).toEqual([true, 7, 'water', 'crest', 0.9])
  expect(second.bench.value.backsight_m).toBe(1.2)
  expect(second.leaf.value).toBe('work')
})

test('the same ground read again, as after a fault of the worker, keeps it; another ground begins anew', async () => {
  const kept = new Map<string, string>()
  const now = visit(kept)
  now.open('a')
  now.field.goTo(4)
  now.bench.value = { frame: null, backsight_m: 1.5 }
  await later()
  now.open('a')
  await later()
  expect([now.field.stake.value, now.bench.value.backsight_m]).toEqual([4, 1.5])
  now.open('b')
  await later()
  expect([now.field.stake.value, now.bench.value.backsight_m]).toEqual([1, null])
})

test('what was read toward one stake does not count at the next', () => {
  const { field, open } = visit(new Map())
  open('a')
  field.there_m.value = 1
  field.steps.value = 3
  field.goTo(2)
  expect([field.there_m.value, field.steps.value]).toEqual([null, 0])
})

test('what cannot be read counts as nothing kept', () => {
  for (const text of [
    '',
    '{',
    'null',
    '[]',
    '{"sha256":"a"}',
    '{"sha256":"a","tool":"staff","what":"bed","stake":"x","steps":-4,"there_m":"1"}',
  ]) {
    const { field, open } = visit(new Map([['field', text]]))
    open('a')
    expect([field.open, field.stake, field.there_m, field.steps].map(s => s.value)).toEqual([false, 1, null, 0])
  }
})
