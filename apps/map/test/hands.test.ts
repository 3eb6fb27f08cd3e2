import { signal } from '@preact/signals'
import { emptyPlan, type Plan, readPlan, writePlan } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import * as edits from '../src/state/edits.js'
import { type Edit, perform, redo, startHistory, undo } from '../src/state/history.js'
import type { Sheet } from '../src/state/sheet.js'
import { createSheet } from '../src/state/sheet.js'
import { spillDraggedTo, spillOnMap } from '../src/state/spill-handle.js'
import { createSwales, type Swales } from '../src/state/swales.js'
import { createWaterNow } from '../src/state/water-now.js'
import type { LineAnswer, Question } from '../src/worker/protocol.js'

// What hands do on the drawing, without a page: handles, water, several swales, two designs, and that all of it can be undone.

const GROUND: Plan['ground'] = { file: 'ground.tif', sha256: 'ab', crs: 'EPSG:32625', elevationUnit: null, nodata: null }
const line = (id: string, y: number) => ({
  id,
  path: [
    [0, y],
    [0.001, y],
  ] as const,
})
const plan: Plan = { ...emptyPlan('Holding', GROUND), lines: [line('line-1', 0), line('line-2', -0.001)], settings: { depth_m: 0.4 } }

/** A line 100 m long to the east that spills at its first end toward the south. */
const answer = {
  revision: 3,
  assessment: {
    line: {
      path: [
        [0, 0],
        [100, 0],
      ],
      length_m: 100,
      bedElevation_m: 10,
    },
    storage: { sillElevation_m: 10.4, crestElevation_m: 10.8 },
    spillway: { chainage_m: 0 },
    spills: [{ chainage_m: 0, rank: 1 }],
    acceptance: { chancePerYear: 0.04 },
    storms: [
      {
        chancePerYear: 0.04,
        levels: {
          step_h: 1,
          levels_m: [10, 10.2, 10.5, 10.4, 10.4, 10.4],
          spills_m3s: [0, 0, 0.1, 0.02, 0, 0],
          inflows_m3s: [0, 0.1, 0.1, 0, 0, 0],
          came_m3: [0, 180, 540, 720, 720, 720],
          spilled_m3: [0, 0, 180, 400, 420, 420],
          standing_m3: [0, 180, 360, 320, 300, 300],
        },
      },
    ],
  },
  drawn: {
    type: 'FeatureCollection',
    features: [
      {
        type: 'Feature',
        properties: { what: 'line' },
        geometry: {
          type: 'LineString',
          coordinates: [
            [0, 0],
            [0.001, 0],
          ],
        },
      },
      {
        type: 'Feature',
        properties: { what: 'path', chainage_m: 0 },
        geometry: {
          type: 'LineString',
          coordinates: [
            [0, 0],
            [0, -0.0005],
          ],
        },
      },
    ],
  },
  took_ms: 1,
} as unknown as LineAnswer

describe('the spill’s handle', () => {
  test('it stands on the line and leans to where its water runs', () => {
    const { at, lean } = spillOnMap(answer, null)!
    expect(at).toEqual([0, 0])
    expect(lean[0]).toBeCloseTo(0, 6)
    // South is down on the screen.
    expect(lean[1]).toBeCloseTo(1, 6)
    expect(spillOnMap(answer, 50)!.at[0]).toBeCloseTo(0.0005, 9)
  })
  test('dragged beside the line it stays on it, and near an end it is at the end', () => {
    expect(spillDraggedTo(answer, [0.0004, 0.0003])).toBeCloseTo(40, 6)
    expect(spillDraggedTo(answer, [0.000015, 0.0001])).toBe(0)
    expect(spillDraggedTo(answer, [0.0012, 0])).toBe(100)
    expect(spillOnMap({ ...answer, assessment: { ...answer.assessment, storage: null } }, null)).toBeNull()
  })
})

test('lines, settings and designs: each edit takes itself back, and the plan’s file keeps the design set aside', () => {
  const makes: ((p: Plan) => Edit)[] = [
    p => edits.setLines(p, [...p.lines].reverse()),
    p => edits.setSettings(p, { depth_m: 0.5, spillChainage_m: 12 }),
    p => edits.setOtherDesign(p, { line: p.lines[0]!, settings: p.settings }),
    p => edits.setLine(p, 'walk-line', line('line-2', 0.002)),
    edits.swapDesigns,
    p => edits.setOtherDesign(p, null),
    edits.swapDesigns,
  ]
  const histories = [startHistory(plan)]
  for (const make of makes) histories.push(perform(histories.at(-1)!, make(histories.at(-1)!.plan)))
  let back = histories.at(-1)!
  for (let k = makes.length - 1; k >= 0; k--) {
    back = undo(back)
    expect(back.plan).toEqual(histories[k]!.plan)
  }
  let on = back
  for (let k = 1; k <= makes.length; k++) {
    on = redo(on)
    expect(on.plan).toEqual(histories[k]!.plan)
  }
  const swapped = histories[5]!.plan
  expect(swapped.lines[0]).toEqual(histories[2]!.plan.lines[0])
  expect(swapped.otherDesign!.line).toEqual(histories[4]!.plan.lines[0])
  expect(readPlan(writePlan(swapped))).toEqual(swapped)
  expect(() => readPlan(writePlan({ ...plan, otherDesign: { line: { id: 'a', path: [[0, 0]] }, settings: {} } }))).toThrow(/otherDesign/)
})

/** A sheet with an answer in sight and a worker that is told what to say. */
function sheetWith(answers: Partial<Record<Question, (sent: never) => unknown>>) {
  const kept = signal(plan)
  const sheet = {
    plan: kept,
    settled: signal<LineAnswer | null>(answer),
    answering: signal(false),
    askWorker: async (question: Question, sent: unknown) => answers[question]!(sent as never),
    edit: (make: (p: Plan) => Edit) => {
      kept.value = make(kept.value).forward(kept.value)
    },
  }
  return sheet as unknown as Sheet & { plan: typeof kept; settled: typeof sheet.settled }
}

describe('the water that is looked at', () => {
  const stages = [10, 10.4, 10.8].map((level_m, k) => ({
    level_m,
    depth_m: level_m - 10,
    held_m3: 100 * k,
    leaves_m3s: k === 2 ? 1 : 0,
    againstFill_m: 0,
    crestOver_m: 10.8 - level_m,
  }))
  test('an hour of the storm, kept to the busy ones; the plan gets shares of the most', () => {
    const sheet = sheetWith({ stages: () => stages, cascade: () => null })
    const water = createWaterNow(sheet, createSwales(sheet))
    water.setHour(2)
    expect(water.hour.value).toMatchObject({ level_m: 10.5, spill_m3s: 0.1 })
    expect(water.onPlan.value).toEqual({ chainage_m: 0, fill_ratio: 1, spill_ratio: 1, others: [] })
    water.setHour(99)
    expect(water.hour.value!.hour_h).toBe(4)
    water.putAway()
    expect([water.hour.value, water.onPlan.value, water.level_m.value]).toEqual([null, null, null])
  })
  test('a level is answered from the table of its ditch; without an answer nothing stays in sight', async () => {
    const sheet = sheetWith({ stages: () => stages })
    const water = createWaterNow(sheet, createSwales(sheet))
    water.setLevel(10.2)
    await Promise.resolve()
    await Promise.resolve()
    expect(water.stage.value!.held_m3).toBeCloseTo(50, 9)
    sheet.settled.value = null
    expect(water.shown.value).toBeNull()
  })
})

test('in a cascade every swale is followed, the judged one with what runs into it; what is not known is no empty ditch', async () => {
  const levels = (spill_m3s: number) => ({
    step_h: 1,
    levels_m: [20, 20.2, 20.4, 20.4],
    spills_m3s: [0, 0, spill_m3s, 0],
    inflows_m3s: [0, 0.2, 0.2, 0],
    came_m3: [0, 360, 1080, 1440],
    spilled_m3: [0, 0, 300, 600],
    standing_m3: [0, 360, 780, 840],
  })
  const result = {
    ditches: [
      { line: 1, levels: levels(0.4), bedElevation_m: 20, sillElevation_m: 20.4 },
      { line: 0, levels: levels(0.2), bedElevation_m: 10, sillElevation_m: 10.4 },
    ],
  }
  let known = true
  const sheet = sheetWith({ cascade: () => (known ? { result, drawn: { type: 'FeatureCollection', features: [] } } : null) })
  const swales: Swales = createSwales(sheet)
  const water = createWaterNow(sheet, swales)
  expect(water.others.value).toBe('waiting')
  expect(water.hour.value).toBeNull()
  water.setHour(2)
  expect(water.hour.value!.spill_m3s).toBe(0.1)
  await swales.ask()
  await Promise.resolve()
  expect(water.others.value).toBe('followed')
  expect(water.hour.value!.spill_m3s).toBe(0.2)
  expect(water.swalesNow.value).toMatchObject([
    { line: 1, at: { spill_m3s: 0.4, standing_m3: 780 }, shares: { fill_ratio: 1, spill_ratio: 1 } },
  ])
  expect(water.onPlan.value!.others).toEqual([{ line: 1, fill_ratio: 1, spill_ratio: 1 }])
  known = false
  sheet.edit(p => edits.setSetting(p, 'depth_m', 0.6))
  expect([water.others.value, water.hour.value!.spill_m3s]).toEqual(['waiting', 0.1])
  await swales.ask()
  await Promise.resolve()
  expect([water.others.value, water.swalesNow.value]).toEqual(['unknown', []])
})

test('copies go between the line that is worked on and the others, each with an id of its own', async () => {
  const copy = { path: [[0, -0.0005] as const, [0.001, -0.0005] as const], through: [0.0005, -0.0005] as const, length_m: 111 }
  const sheet = sheetWith({ linesBelow: () => ({ lines: [copy, copy], drop_m: 1 }), cascade: () => null })
  const swales = createSwales(sheet)
  await swales.copyBelow(2, null)
  expect(sheet.plan.value.lines.map(one => one.id)).toEqual(['line-1', 'line-3', 'line-4', 'line-2'])
  expect(sheet.plan.value.lines[1]!.traced).toEqual({ through: copy.through, length_m: 111, fall_ratio: 0 })
  swales.workOn('line-4')
  expect(sheet.plan.value.lines.map(one => one.id)).toEqual(['line-4', 'line-1', 'line-3', 'line-2'])
  swales.remove('line-1')
  expect(swales.lines.value).toHaveLength(3)
  await swales.ask()
  expect([swales.cascade.value!.result, swales.upToDate.value]).toEqual([null, true])
  sheet.edit(p => edits.setSetting(p, 'depth_m', 0.6))
  expect(swales.upToDate.value).toBe(false)
})

describe('on the sheet', () => {
  const EMPTY = { type: 'FeatureCollection', features: [] }
  const world = (own: Partial<Record<Question, (sent: never) => unknown>>) => {
    const asked: { readonly question: Question; readonly sent: { readonly trying?: object; readonly live?: boolean } }[] = []
    const answers: Partial<Record<Question, (sent: never) => unknown>> = {
      openGround: () => ({
        report: { sha256: 'x', crs: 'EPSG:32625', warnings: [] },
        bounds: [0, 0, 1, 1],
        localCentre: null,
        groundNumber: 1,
      }),
      contours: () => EMPTY,
      setSite: () => ({ noGo: EMPTY, halos: EMPTY, warnings: [], hollows: [] }),
      importFeatures: () => ({ features: [], warnings: [] }),
      importLine: () => ({ path: line('', 0).path, warnings: [] }),
      importRain: () => ({ rows: [], warnings: [] }),
      answer: ({ revision }: { revision: number }) => ({ ...answer, revision }),
      whole: () => new Promise(() => undefined),
      sectionAt: () => null,
      groundWork: () => null,
      ...own,
    }
    const sheet = createSheet({
      ask: (async (question: Question, sent: never) => {
        asked.push({ question, sent })
        await Promise.resolve()
        return answers[question]!(sent)
      }) as never,
      demoFile: async name => new Blob([name === 'settings.json' ? '{}' : '{"features":[]}']),
      openStore: () => Promise.reject(new Error('no store')),
      tab: { claim: async () => true, takeOver: async () => undefined },
      askToLast: async () => false,
      now: () => new Date(0),
      language: signal('en' as const),
      demoHolding: () => 'Demo',
    })
    return { sheet, asked }
  }
  const traced = { path: line('', 0.0004).path, through: [0.0005, 0.0004] as const, length_m: 111 }

  test('a setting under the finger is answered live and is no part of the plan until it is let go', async () => {
    const { sheet, asked } = world({})
    await sheet.start()
    await sheet.idle()
    sheet.trySettings({ depth_m: 0.7 })
    await sheet.idle()
    expect(asked.filter(a => a.question === 'answer').at(-1)!.sent).toMatchObject({ live: true, trying: { depth_m: 0.7 } })
    expect(sheet.plan.value.settings.depth_m).toBeUndefined()
    sheet.keepSettings({ depth_m: 0.7 }, 'bed')
    await sheet.idle()
    expect(sheet.plan.value.settings.depth_m).toBe(0.7)
    expect(asked.filter(a => a.question === 'answer').at(-1)!.sent).toMatchObject({ live: false })
    sheet.undo()
    expect(sheet.plan.value.settings.depth_m).toBeUndefined()
  })

  test('a line is walked from one tap to the next; where no line leads there, that is told and the line before stays', async () => {
    let way: typeof traced | null = traced
    const { sheet, asked } = world({ walkLine: () => way })
    await sheet.start()
    await sheet.idle()
    const before = sheet.plan.value.lines[0]
    sheet.walkLine()
    sheet.place([0, 0.0004])
    expect(sheet.mode.value).toEqual({ kind: 'walk-line', from: [0, 0.0004] })
    sheet.walkTo([0.0006, 0.0004])
    await sheet.idle()
    expect(sheet.line.value!.path).toEqual(traced.path)
    expect(sheet.plan.value.lines[0]).toBe(before)
    sheet.place([0.001, 0.0004])
    await sheet.idle()
    expect(sheet.plan.value.lines[0]).toMatchObject({ id: 'demo-spur', path: traced.path, traced: { fall_ratio: 0, length_m: 111 } })
    expect(asked.filter(a => a.question === 'walkLine').length).toBe(2)
    way = null
    sheet.walkLine()
    sheet.place([0, 0.5])
    sheet.place([0.001, 0.5])
    await sheet.idle()
    expect([sheet.byHand.value, sheet.line.value!.path]).toEqual(['no-way', traced.path])
  })

  test('a line that is added leaves the others as they are; one drawn freely asks whether to fit it', async () => {
    const { sheet } = world({ traceLine: () => ({ ...traced, elevation_m: 1 }), fitLine: () => traced })
    await sheet.start()
    await sheet.idle()
    sheet.addLine()
    sheet.place([0.0005, 0.0004])
    await sheet.idle()
    expect(sheet.plan.value.lines.map(one => one.id)).toEqual(['line-1', 'demo-spur'])
    sheet.drawLine()
    for (const x of [0, 0.0005, 0.001]) sheet.place([x, 0])
    sheet.finish()
    expect(sheet.byHand.value).toBe('drawn')
    expect(sheet.plan.value.lines).toHaveLength(2)
    await sheet.fitLine()
    expect([sheet.byHand.value, sheet.plan.value.lines[0]!.path]).toEqual(['fitted', traced.path])
  })
})
