import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { emptyPlan, type Plan, writePlan } from 'soakline/plan'
import { expect, test } from 'vitest'
import * as edits from '../src/state/edits.js'
import { type Edit, type History, perform, redo, startHistory, undo } from '../src/state/history.js'
import { changeBetween, changed, type JournalRow, replay } from '../src/state/journal.js'
import { anyEdit, EVERY_EDIT, GROUND, hut } from './any-edit.js'

const start: Plan = { ...emptyPlan('Holding', GROUND), features: [hut('a'), hut('b'), hut('c')] }
const hash = (plan: Plan): string => createHash('sha256').update(writePlan(plan)).digest('hex')

/** What a person does: edits, and steps back and on. */
const deed = fc.oneof({ weight: 4, arbitrary: anyEdit }, fc.constant('undo' as const), fc.constant('redo' as const))

/** A history with the rows that it leaves in the journal, as the sheet writes them; the rows go through what a store makes of them. */
function done(deeds: readonly (((plan: Plan) => Edit) | 'undo' | 'redo')[]): { readonly now: History; readonly rows: JournalRow[] } {
  let now = startHistory(start)
  const rows: JournalRow[] = []
  for (const one of deeds) {
    const before = now.plan
    if (typeof one === 'string') {
      now = one === 'undo' ? undo(now) : redo(now)
      rows.push({ what: one })
    } else {
      const edit = one(before)
      now = perform(now, edit)
      rows.push({ what: 'edit', name: edit.name, joins: edit.joins, change: changeBetween(before, now.plan) })
    }
  }
  return { now, rows: structuredClone(rows) }
}

test('every edit that there is stands in the list of these laws', () => {
  const helpers = ['freshId', 'movedFeature', 'withVertex']
  expect(Object.keys(EVERY_EDIT).sort()).toEqual(
    Object.keys(edits)
      .filter(name => !helpers.includes(name))
      .sort(),
  )
})

test('law: any edits undone to the start give the hash of the first plan, redone that of the last', () => {
  fc.assert(
    fc.property(fc.array(deed, { maxLength: 40 }), deeds => {
      const { now } = done(deeds)
      const steps = now.done.length
      let back = now
      for (let k = 0; k < steps; k++) back = undo(back)
      expect(hash(back.plan)).toBe(hash(start))
      for (let k = 0; k < steps; k++) back = redo(back)
      expect(hash(back.plan)).toBe(hash(now.plan))
    }),
    { numRuns: 60 },
  )
})

test('law: what is left of a plan after a change is what it was changed to, and small changes are small', () => {
  fc.assert(
    fc.property(fc.array(anyEdit, { maxLength: 8 }), anyEdit, (before, last) => {
      const from = done(before).now.plan
      const to = last(from).forward(from)
      expect(hash(changed(from, structuredClone(changeBetween(from, to))))).toBe(hash(to))
    }),
    { numRuns: 60 },
  )
  const many: Plan = { ...start, features: Array.from({ length: 2000 }, (_, k) => hut(`h-${k}`)) }
  const moved = edits.setFeature(many, edits.movedFeature(many.features[1234]!, 0, 1, [7, 7])).forward(many)
  expect(JSON.stringify(changeBetween(many, moved)).length).toBeLessThan(400)
})

test('law: a journal followed gives the same plan and the same steps back and on as the work that wrote it', () => {
  fc.assert(
    fc.property(fc.array(deed, { maxLength: 40 }), deeds => {
      const { now, rows } = done(deeds)
      const again = replay(structuredClone(start), false, rows)
      expect(again.cut).toBe(false)
      expect(again.history.done.map(e => e.name)).toEqual(now.done.map(e => e.name))
      expect(again.history.undone.length).toBe(now.undone.length)
      for (const [step, count] of [
        [undo, now.done.length],
        [redo, now.done.length + now.undone.length],
      ] as const) {
        let [mine, kept] = [now, again.history]
        for (let k = 0; k <= count; k++) {
          expect(hash(kept.plan)).toBe(hash(mine.plan))
          mine = step(mine)
          kept = step(kept)
        }
      }
    }),
    { numRuns: 60 },
  )
})

test('a row of another plan, or of a kind that this page does not know, ends the work before it and is told', () => {
  const good = done([p => edits.setHolding(p, 'A')]).rows
  const strange = {
    what: 'edit',
    name: 'add-feature',
    joins: null,
    change: { set: {}, spliced: { features: { at: 9, gone: 1, put: [] } }, dropped: [] },
  } as const
  expect(replay(start, false, [...good, strange, ...good])).toMatchObject({ cut: true, history: { plan: { holding: 'A' } } })
  expect(replay(start, false, [...good, { what: 'paint' } as never])).toMatchObject({ cut: true, history: { plan: { holding: 'A' } } })
})

test('a plan saved to a file is known as that, until the next step', () => {
  const [row] = done([p => edits.setHolding(p, 'A')]).rows
  const filed = replay(start, false, [row!, { what: 'in-file' }])
  expect(filed.inFile).toBe(filed.history.plan)
  const after = replay(start, false, [row!, { what: 'in-file' }, ...done([p => edits.setRain(p, [])]).rows])
  expect(after.inFile).not.toBe(after.history.plan)
})
