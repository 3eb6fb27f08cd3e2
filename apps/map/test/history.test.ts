import fc from 'fast-check'
import { emptyPlan, type Plan, readPlan, writePlan } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import * as edits from '../src/state/edits.js'
import { type Edit, type History, perform, redo, startHistory, undo } from '../src/state/history.js'
import { anyEdit, GROUND, hut } from './any-edit.js'

const start: Plan = emptyPlan('Holding', GROUND)

const after = (makes: readonly ((plan: Plan) => Edit)[], from: Plan): History =>
  makes.reduce((h, make) => perform(h, make(h.plan)), startHistory(from))
const times = (n: number, step: (h: History) => History, h: History): History =>
  Array.from({ length: n }).reduce<History>(now => step(now), h)

describe('laws of the history', () => {
  test('undoing everything gives the first plan, redoing everything the last', () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 30 }), makes => {
        const last = after(makes, start)
        const first = times(makes.length, undo, last)
        expect(first.plan).toEqual(start)
        expect(times(makes.length, redo, first).plan).toEqual(last.plan)
      }),
    )
  })
  test('n steps back and n steps on change nothing, also when there are fewer', () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 12 }), fc.nat({ max: 20 }), (makes, n) => {
        const last = after(makes, start)
        const there = times(n, redo, times(n, undo, last))
        expect(there.plan).toEqual(last.plan)
        expect(there.done.length).toBe(last.done.length)
      }),
    )
  })
  test('no edit changes the plan that it was given', () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 6 }), anyEdit, (makes, make) => {
        const { plan } = after(makes, start)
        const text = JSON.stringify(plan)
        make(plan).forward(plan)
        expect(JSON.stringify(plan)).toBe(text)
      }),
    )
  })
  test('a new edit forgets what was undone', () => {
    const two = after([p => edits.setHolding(p, 'A'), p => edits.addFeature(p, hut('building-1'))], start)
    const back = undo(two)
    expect(redo(perform(back, edits.setRain(back.plan, []))).plan.features).toEqual([])
  })
  test('nudges with the same key count as one step', () => {
    const one = after(
      [
        p => edits.setFeature(edits.addFeature(p, hut('a')).forward(p), { ...hut('a'), name: '1' }, 'n'),
        p => edits.setFeature(p, { ...hut('a'), name: '2' }, 'n'),
      ],
      { ...start, features: [hut('a')] },
    )
    expect(one.done.length).toBe(1)
    expect(undo(one).plan.features[0]!.name).toBeNull()
  })
})

describe('edits of a plan', () => {
  test('keep keys that this version does not know, through every edit, undo and the file', () => {
    const newer = readPlan(
      JSON.stringify({
        ...start,
        pits: [{ depth_m: 1.2 }],
        features: [{ ...hut('building-1'), roof: 'tin' }],
        lines: [
          {
            id: 'line-1',
            path: [
              [0, 0],
              [1, 1],
            ],
            note: 'old',
          },
        ],
      }),
    )
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 10 }), makes => {
        const last = after(makes, newer)
        const opened = makes.some(make => make(newer).name === 'open-plan')
        if (!opened) expect(readPlan(writePlan(last.plan))).toHaveProperty('pits', [{ depth_m: 1.2 }])
        expect(times(makes.length, undo, last).plan).toEqual(newer)
      }),
    )
    expect(edits.nameFeature(newer, 'building-1', { name: 'Shed' }).forward(newer).features[0]).toHaveProperty('roof', 'tin')
  })
  test('features from a file get another id where theirs is taken', () => {
    const once = edits.importFeatures(start, [hut('barn')]).forward(start)
    const twice = edits.importFeatures(once, [hut('barn')]).forward(once)
    expect(twice.features.map(f => f.id)).toEqual(['barn', 'building-1'])
  })
  test('a vertex moved takes the vertices between its neighbours at hand with it, and the line is no longer traced', () => {
    const path = Array.from({ length: 9 }, (_, k) => [k, 0] as const)
    const moved = edits.withVertex({ id: 'line-1', path, traced: { through: [4, 0], fall_ratio: 0, length_m: 8 } }, 4, [4, 2], 2, 6)
    expect(moved.path).toEqual([
      [0, 0],
      [1, 0],
      [2, 0],
      [4, 2],
      [6, 0],
      [7, 0],
      [8, 0],
    ])
    expect(moved).not.toHaveProperty('traced')
  })
})
