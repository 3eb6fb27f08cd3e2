import 'fake-indexeddb/auto'
import { createHash } from 'node:crypto'
import { IDBFactory } from 'fake-indexeddb'
import { openDB } from 'idb'
import { emptyPlan, readPlan, writePlan } from 'soakline/plan'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type Base, openStore, StoreProblem } from '../src/state/browser-store.js'
import * as edits from '../src/state/edits.js'
import { GROUND } from './any-edit.js'
import { fakeWorld, settled, tiff } from './fake-world.js'

// The browser's store as an independent program plays it (fake-indexeddb, checked by its makers against the web platform's own tests).

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory()
})
afterEach(() => mend())

const sheetOn = (mine = true) => fakeWorld({}, null, mine, openStore).sheet
type Sheet = ReturnType<typeof sheetOn>

const hash = (text: string): string => createHash('sha256').update(text).digest('hex')
const hashOf = (sheet: Sheet): string => hash(sheet.planText())

async function opened(sheet: Sheet): Promise<Sheet> {
  await sheet.start()
  await sheet.idle()
  return sheet
}

/** A piece of work of eight steps, each let through to the store; gives the hash after each. */
async function workOn(sheet: Sheet): Promise<string[]> {
  const states = [hashOf(sheet)]
  const steps: (() => unknown)[] = [
    () => sheet.edit(p => edits.setHolding(p, 'Long hill')),
    () => sheet.useDemoLine('bench'),
    () => sheet.edit(p => edits.setRain(p, [{ duration_h: 24, chancePerYear: 0.04, depth_mm: 126 }])),
    () => sheet.edit(p => edits.addPit(p, [0, 0], 0.5)),
    () => sheet.undo(),
    () => sheet.note(p => edits.setRecords(p, 'set-plants', { plants: [] })),
    () => sheet.markInFile(),
    () => sheet.edit(p => edits.setSetting(p, 'bedWidth_m', 1.5)),
  ]
  for (const step of steps) {
    await step()
    await sheet.idle()
    await sheet.saveNow()
    states.push(hashOf(sheet))
  }
  return states
}

const CALLS = [
  ['IDBFactory', 'open'],
  ['IDBDatabase', 'transaction'],
  ...['get', 'getAll', 'getKey', 'put', 'add', 'delete', 'clear'].map(name => ['IDBObjectStore', name] as const),
] as const

/** The real methods while some are made to fail. */
const real: (() => void)[] = []
function mend(): void {
  for (const back of real.splice(0)) back()
}

type Fault = 'throws' | 'aborts'

/** Counts the calls of the store, and makes those fail that `fails` names. */
function spoil(
  fails: (call: number, name: string) => Fault | null,
  error = (): Error => new DOMException('No room.', 'QuotaExceededError'),
) {
  let count = 0
  for (const [of, name] of CALLS) {
    const prototype = (globalThis as unknown as Record<string, { prototype: Record<string, (...given: unknown[]) => unknown> }>)[of]!
      .prototype
    const own = prototype[name]!
    real.push(() => {
      prototype[name] = own
    })
    prototype[name] = function (this: { transaction?: { abort(): void } }, ...given: unknown[]) {
      // The library's own transaction that makes the stores is part of `open`.
      if (given[1] === 'versionchange') return own.apply(this, given)
      const fault = fails(++count, name)
      if (fault === 'throws' || (fault === 'aborts' && of !== 'IDBObjectStore')) throw error()
      const request = own.apply(this, given)
      if (fault === 'aborts') this.transaction!.abort()
      return request
    }
  }
  return () => count
}

describe('work is kept step by step', () => {
  test('every step is in the store as soon as it is made, and comes back with its steps of undo', async () => {
    const first = await opened(sheetOn())
    const states = await workOn(first)
    expect(first.saving.value.kind).toBe('saved')
    const again = await opened(sheetOn())
    expect(hashOf(again)).toBe(states.at(-1))
    expect(again.notices.value).toEqual(['restored'])
    expect(again.history.value.done.map(e => e.name)).toEqual(first.history.value.done.map(e => e.name))
    while (again.history.value.done.length > 0) again.undo()
    expect(hashOf(again)).toBe(states[0])
    await again.saveNow()
    const third = await opened(sheetOn())
    while (third.history.value.undone.length > 0) third.redo()
    expect(hashOf(third)).toBe(states.at(-1))
  })

  test('a demo that nobody touched is not kept; a raster brought is kept at once; what stood in a file is known after a reload', async () => {
    const sheet = await opened(sheetOn())
    await sheet.saveNow()
    expect((await opened(sheetOn(false))).ground.value!.demo).toBe(true)
    expect((await opened(sheetOn(false))).notices.value).toEqual(['second-tab'])
    await sheet.openFiles([{ file: tiff(), name: 'mine.tif' }])
    sheet.markInFile()
    await sheet.saveNow()
    const again = await opened(sheetOn())
    expect(again.ground.value!.name).toBe('mine.tif')
    expect(again.planInFile.value).toBe(again.plan.value)
    expect(again.canGoBack.value).toBe('aside')
    again.edit(p => edits.setHolding(p, 'Changed'))
    await again.saveNow()
    const third = await opened(sheetOn())
    expect(third.planInFile.value).not.toBe(third.plan.value)
  })

  test('failure 86: a draft that no answer accepts is kept and comes back', async () => {
    const sheet = await opened(sheetOn())
    sheet.edit(p => edits.setSetting(p, 'bedWidth_m', -5))
    await sheet.saveNow()
    expect(() => readPlan(sheet.planText())).toThrow()
    const again = await opened(sheetOn())
    expect(again.plan.value.settings.bedWidth_m).toBe(-5)
    // The journal is begun anew on it, too.
    again.edit(p => edits.setHolding(p, 'On'))
    await again.openFiles([{ file: tiff(), name: 'other.tif' }])
    await again.goBack()
    expect(again.plan.value.settings.bedWidth_m).toBe(-5)
  })

  test('work set aside and taken up again change places, steps of undo and all', async () => {
    const sheet = await opened(sheetOn())
    const states = await workOn(sheet)
    await sheet.openFiles([{ file: tiff(), name: 'other.tif' }])
    await sheet.saveNow()
    await sheet.goBack()
    await sheet.saveNow()
    expect(hashOf(sheet)).toBe(states.at(-1))
    expect(sheet.history.value.done.length).toBeGreaterThan(3)
    const again = await opened(sheetOn())
    expect(hashOf(again)).toBe(states.at(-1))
    await again.goBack()
    expect(again.ground.value!.name).toBe('other.tif')
  })

  test('how the raster is read is undone with the step that said it', async () => {
    const { sheet, asked } = fakeWorld({}, null, true, openStore)
    await opened(sheet)
    await sheet.confirmGround({ elevationUnit: 'ft' })
    await sheet.saveNow()
    const read = () => (asked.filter(a => a.question === 'openGround').at(-1)!.sent as { options: unknown }).options
    expect(read()).toEqual({ elevationUnit: 'ft' })
    sheet.undo()
    await settled()
    expect(read()).toEqual({})
    expect(sheet.plan.value.ground.elevationUnit).toBeNull()
    sheet.redo()
    await settled()
    await sheet.saveNow()
    const second = fakeWorld({}, null, true, openStore)
    await opened(second.sheet)
    expect(second.asked.find(a => a.question === 'openGround')!.sent).toMatchObject({ options: { elevationUnit: 'ft' } })
    second.sheet.undo()
    await settled()
    expect((second.asked.filter(a => a.question === 'openGround').at(-1)!.sent as { options: unknown }).options).toEqual({})
  })

  test('a long journal is begun anew on the plan as it stands, and nothing is lost by it', async () => {
    const sheet = await opened(sheetOn())
    for (let k = 0; k < 620; k++) {
      sheet.note(p => edits.setRain(p, [{ duration_h: 24, chancePerYear: 0.04, depth_mm: k + 1 }]))
      if (k % 50 === 0) await sheet.saveNow()
    }
    await sheet.saveNow()
    const db = await openDB('soakline-sheet')
    expect(await db.count('journal')).toBeLessThan(520)
    db.close()
    expect(hashOf(await opened(sheetOn()))).toBe(hashOf(sheet))
  })

  test('failure 82: many steps without a file are reminded of, and a file ends it', async () => {
    const sheet = await opened(sheetOn())
    for (let k = 0; k < 30; k++) sheet.edit(p => edits.setHolding(p, `H ${k}`))
    expect(sheet.notices.value).toContain('only-here')
    sheet.markInFile()
    expect(sheet.notices.value).not.toContain('only-here')
    await sheet.saveNow()
    expect(sheet.lasting.value).toBe(false)
  })
})

describe('the store fails', () => {
  test('every call made to fail once loses nothing, and the work goes on', async () => {
    const calls = spoil(() => null)
    const states = await workOn(await opened(sheetOn()))
    const total = calls()
    mend()
    expect(total).toBeGreaterThan(40)
    for (const fault of ['throws', 'aborts'] as const)
      for (let at = 1; at <= total; at++) {
        globalThis.indexedDB = new IDBFactory()
        spoil(call => (call === at ? fault : null))
        const sheet = await opened(sheetOn())
        const mine = await workOn(sheet)
        mend()
        expect(mine).toEqual(states)
        const again = await opened(sheetOn())
        expect(hashOf(again), `${fault} at call ${at} of ${total}`).toBe(states.at(-1))
      }
  }, 120_000)

  test('a store that is full from some call on is told at once, keeps whole work of before, and a file can be saved', async () => {
    const calls = spoil(() => null)
    const states = await workOn(await opened(sheetOn()))
    const total = calls()
    mend()
    for (let at = 1; at <= total; at += 3) {
      globalThis.indexedDB = new IDBFactory()
      let hit = false
      spoil((call, name) => {
        if (call < at || !['put', 'add'].includes(name)) return null
        hit = true
        return 'throws'
      })
      const sheet = await opened(sheetOn())
      await workOn(sheet)
      mend()
      const label = `full from call ${at} of ${total}`
      expect(hash(sheet.planText()), label).toBe(states.at(-1))
      if (!hit) continue
      expect(
        sheet.notices.value.some(n => n === 'save-failed' || n === 'no-storage'),
        label,
      ).toBe(true)
      expect(sheet.saving.value.kind, label).toBe('not-kept')
      const again = await opened(sheetOn())
      expect([...states, 'demo'], label).toContain(again.notices.value.includes('restored') ? hashOf(again) : 'demo')
      expect(again.notices.value, label).not.toContain('restore-failed')
    }
  }, 120_000)

  test('when there is room again the next step keeps all of it', async () => {
    const sheet = await opened(sheetOn())
    spoil((_, name) => (name === 'put' || name === 'add' ? 'throws' : null))
    sheet.edit(p => edits.setHolding(p, 'One'))
    sheet.note(p => edits.setRain(p, []))
    await sheet.saveNow()
    expect(sheet.notices.value).toContain('save-failed')
    mend()
    sheet.note(p => edits.setRecords(p, 'set-plants', { plants: [] }))
    await sheet.saveNow()
    expect(sheet.notices.value).not.toContain('save-failed')
    expect(hashOf(await opened(sheetOn()))).toBe(hashOf(sheet))
  })

  test('where there is room for the plan only, the plan is kept and its raster asked for', async () => {
    const sheet = await opened(sheetOn())
    const put = IDBObjectStore.prototype.put
    real.push(() => {
      IDBObjectStore.prototype.put = put
    })
    IDBObjectStore.prototype.put = function (value, key) {
      if (value instanceof Blob) throw new DOMException('No room.', 'QuotaExceededError')
      return put.call(this, value, key)
    }
    await sheet.openFiles([{ file: tiff(), name: 'large.tif' }])
    sheet.edit(p => edits.setHolding(p, 'Wide hill'))
    await sheet.saveNow()
    expect(sheet.notices.value).toContain('ground-not-kept')
    expect(sheet.saving.value.kind).toBe('saved')
    const again = await opened(sheetOn())
    expect(again.notices.value).toContain('ground-missing')
    await again.openFiles([{ file: tiff(), name: 'large.tif' }])
    expect(again.plan.value.holding).toBe('Wide hill')
  })

  test('what is kept and cannot be read is not written over', async () => {
    const sheet = await opened(sheetOn())
    const states = await workOn(sheet)
    spoil((_, name) => (name === 'getAll' ? 'throws' : null))
    const blind = await opened(sheetOn())
    blind.edit(p => edits.setHolding(p, 'Over it'))
    await blind.saveNow()
    expect(blind.notices.value).toContain('no-storage')
    mend()
    expect(hashOf(await opened(sheetOn()))).toBe(states.at(-1))
  })

  test('page data cleared by the reader in the middle of the work: the work is kept anew', async () => {
    const sheet = await opened(sheetOn())
    await workOn(sheet)
    await new Promise((resolve, reject) => {
      const gone = indexedDB.deleteDatabase('soakline-sheet')
      gone.onsuccess = resolve
      gone.onerror = reject
    })
    sheet.edit(p => edits.setHolding(p, 'After'))
    await sheet.saveNow()
    expect(sheet.saving.value.kind).toBe('saved')
    expect(hashOf(await opened(sheetOn()))).toBe(hashOf(sheet))
  })
})

describe('two tabs', () => {
  const base = (holding: string): Base => ({
    planText: writePlan(emptyPlan(holding, GROUND)),
    ground: tiff(),
    name: 'a.tif',
    options: {},
    demo: false,
  })

  test('the tab before can write nothing from the moment another claims the store, not even what it had begun', async () => {
    const [first, second] = [await openStore(), await openStore()]
    await first.claim()
    await first.write(base('First'), [])
    const claimed = second.claim()
    const late = first.append([{ what: 'in-file' }])
    await expect(late).rejects.toThrow(new StoreProblem('taken'))
    expect((await claimed)?.rows).toEqual([])
    await expect(first.write(base('Late'), [])).rejects.toThrow(new StoreProblem('taken'))
    await second.append([{ what: 'in-file' }])
    expect(await first.read()).toMatchObject({ planText: base('First').planText, rows: [{ what: 'in-file' }] })
  })

  test('the second tab looks; it can take the work over as the first left it, and the first is told and only looks', async () => {
    const first = await opened(sheetOn())
    const looking = await opened(sheetOn(false))
    expect(looking.readOnly.value).toBe(true)
    const states = await workOn(first)
    await looking.takeOver()
    await looking.idle()
    expect(hashOf(looking)).toBe(states.at(-1))
    looking.edit(p => edits.setHolding(p, 'Second'))
    await looking.saveNow()
    first.edit(p => edits.setHolding(p, 'First'))
    await first.saveNow()
    expect(first.readOnly.value).toBe(true)
    expect(first.notices.value).toContain('taken-over')
    expect(readPlan(first.planText()).holding).toBe('First')
    expect(hashOf(await opened(sheetOn(false)))).toBe(hashOf(looking))
    await first.takeOver()
    await first.idle()
    expect(hashOf(first)).toBe(hashOf(looking))
    expect(first.readOnly.value).toBe(false)
  })

  test('what the second tab was still opening never lies on the work that it takes over, nor on what is kept', async () => {
    let given = (): void => undefined
    const late = new Promise<void>(resolve => {
      given = resolve
    })
    const { sheet: looking } = fakeWorld({ importRain: () => late.then(() => ({ rows: [], warnings: [] })) }, null, false, openStore)
    const opening = looking.start()
    const first = await opened(sheetOn())
    const states = await workOn(first)
    const taking = looking.takeOver()
    for (let k = 0; k < 20; k++) await settled()
    given()
    await Promise.all([opening, taking])
    await looking.idle()
    expect(hashOf(looking)).toBe(states.at(-1))
    expect(looking.saving.value.kind).toBe('saved')
    expect(hashOf(await opened(sheetOn(false)))).toBe(states.at(-1))
  })
})

describe('versions', () => {
  test('what the first version kept opens, and goes on with a journal', async () => {
    const old = await openDB('soakline-sheet', 1, { upgrade: db => void db.createObjectStore('kept') })
    const planText = writePlan(emptyPlan('Old hill', { ...GROUND, sha256: 'a.tif' }))
    await old.put('kept', { planText, name: 'a.tif', options: {}, demo: false }, 'plan')
    await old.put('kept', tiff(), 'ground')
    old.close()
    const sheet = await opened(sheetOn())
    expect(sheet.plan.value.holding).toBe('Old hill')
    sheet.edit(p => edits.setHolding(p, 'New hill'))
    await sheet.saveNow()
    expect((await opened(sheetOn())).plan.value.holding).toBe('New hill')
  })

  test('an older page meeting a newer journal says so, works without keeping, and leaves all as it is', async () => {
    const newer = await openDB('soakline-sheet', 99, { upgrade: db => void db.createObjectStore('kept') })
    await newer.put('kept', 'of tomorrow', 'plan')
    newer.close()
    const sheet = await opened(sheetOn())
    expect(sheet.notices.value).toEqual(['newer-store'])
    sheet.edit(p => edits.setHolding(p, 'Today'))
    await sheet.saveNow()
    expect(sheet.saving.value.kind).toBe('not-kept')
    const still = await openDB('soakline-sheet')
    expect([still.version, await still.get('kept', 'plan')]).toEqual([99, 'of tomorrow'])
    still.close()
  })

  test('a plan of a later kind in the store is left as it is, too', async () => {
    const store = await openStore()
    await store.claim()
    await store.write({ planText: '{"format":"soakline-plan/9"}', ground: tiff(), name: 'a.tif', options: {}, demo: false }, [])
    const sheet = await opened(sheetOn())
    expect(sheet.notices.value).toEqual(['newer-store'])
    sheet.edit(p => edits.setHolding(p, 'Today'))
    await sheet.saveNow()
    expect((await store.read())!.planText).toBe('{"format":"soakline-plan/9"}')
  })

  test('a newer page that opens beside this one is let in at once; this one says that it keeps nothing more', async () => {
    const sheet = await opened(sheetOn())
    await workOn(sheet)
    const newer = await openDB('soakline-sheet', 3)
    sheet.edit(p => edits.setHolding(p, 'Beside'))
    await sheet.saveNow()
    expect(sheet.notices.value).toContain('newer-store')
    expect(await newer.count('journal')).toBeGreaterThan(0)
    newer.close()
  })

  test('an older page that holds the store open is named as the reason', async () => {
    const old = await openDB('soakline-sheet', 1, { upgrade: db => void db.createObjectStore('kept') })
    await expect(openStore()).rejects.toThrow(new StoreProblem('blocked'))
    old.close()
  })
})
