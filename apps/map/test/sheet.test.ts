import { effect } from '@preact/signals'
import { archiveHolds } from '@soakline/io'
import { emptyPlan, readPlan, writePlan } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import * as edits from '../src/state/edits.js'
import { textKind } from '../src/state/file-kind.js'
import type { createSheet } from '../src/state/sheet.js'
import { Refused } from '../src/worker/client.js'
import { EMPTY, fakeWorld, layerOf, settled, tiff } from './fake-world.js'

const points = (...kinds: (string | null)[]): string =>
  JSON.stringify({
    type: 'FeatureCollection',
    features: kinds.map(kind => ({ type: 'Feature', properties: kind ? { kind } : {}, geometry: { type: 'Point', coordinates: [1, 2] } })),
  })

const pathOf = (sheet: ReturnType<typeof createSheet>) =>
  (sheet.answer.value as unknown as { assessment: { line: { path: unknown } } }).assessment.line.path

describe('the sheet', () => {
  test('opens the demo, and the other line is one tap away and can be undone', async () => {
    const { sheet } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    expect(sheet.plan.value.lines[0]!.id).toBe('demo-spur')
    expect(pathOf(sheet)).toEqual(sheet.plan.value.lines[0]!.path)
    await sheet.useDemoLine('bench')
    expect(sheet.plan.value.lines[0]!.id).toBe('demo-bench')
    sheet.undo()
    expect(sheet.plan.value.lines[0]!.id).toBe('demo-spur')
  })

  test('a layer of another format is read by the worker, asked for its kind, and what was left out of it is told', async () => {
    const geojson =
      '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[1,2]}}]}'
    const warnings = [{ code: 'vector/links-not-followed', details: { links: 1 } }]
    const { sheet, asked } = fakeWorld({ readLayers: () => ({ format: 'KML', layers: [layerOf(geojson)], warnings }) })
    const kml = { file: new Blob(['<?xml version="1.0"?><kml></kml>']), name: 'a.kml' }
    await sheet.openFiles([kml])
    expect(asked.some(({ question }) => question === 'readLayers')).toBe(false)
    await sheet.start()
    await sheet.idle()
    await sheet.openFiles([kml])
    expect(sheet.kindQuestion.value).toMatchObject({ name: 'a.kml', layers: [{ geojson }] })
    await sheet.answerKinds(['building'])
    const sent = asked.filter(({ question }) => question === 'importFeatures').at(-1)!.sent as { text: string }
    expect(JSON.parse(sent.text).features[0].properties.kind).toBe('building')
    expect(sheet.files.value.at(-1)).toMatchObject({ name: 'a.kml', warnings })
  })

  test('layers of one file are told apart in one step, each to its own kind; what is left out or broken is counted, and it is one undo', async () => {
    const layers = [
      layerOf(points(null, 'well'), 'a.shp'),
      layerOf(points('forest'), 'b.shp'),
      layerOf(points(null, null, null), 'c.shp'),
      layerOf('', 'd.shp', { problem: { code: 'shapefile/truncated', message: '', details: {} } }),
      layerOf(points(null), 'e.shp'),
    ]
    const { sheet, asked } = fakeWorld({
      readLayers: () => ({ format: 'shapefile', layers, warnings: [] }),
      importFeatures: ({ text }: { text: string }) => {
        if (text.includes('"culvert"')) throw new Refused({ code: 'features/line-too-short', message: '', details: {} })
        const { features } = JSON.parse(text) as { features: { properties: { kind: string } }[] }
        return {
          features: features.map(({ properties: { kind } }, k) => ({ id: `f${k}`, kind, name: null, floor_m: null, geometry: {} })),
          warnings: [],
        }
      },
    })
    await sheet.start()
    await sheet.openFiles([{ file: new Blob(['PK']), name: 'farm.kml' }])
    expect(sheet.kindQuestion.value?.layers.length).toBe(5)
    const before = sheet.plan.value
    await sheet.answerKinds(['building', 'own', 'leave', 'leave', 'culvert'])
    expect(sheet.plan.value.features.slice(before.features.length).map(f => f.kind)).toEqual(['building', 'well', 'forest'])
    expect(asked.filter(({ question }) => question === 'importLine').length).toBe(1)
    const [refused, taken] = sheet.files.value.slice(-2)
    expect(refused).toMatchObject({ name: 'farm.kml: e.shp', refusal: { code: 'features/line-too-short' } })
    expect(taken).toMatchObject({
      name: 'farm.kml',
      what: 'features',
      count: 3,
      warnings: [
        { code: 'vector/layers-unreadable', details: { layers: 1, first: 'd.shp' } },
        { code: 'vector/layers-left-out', details: { layers: 1, features: 3 } },
      ],
    })
    sheet.undo()
    expect(sheet.plan.value.features).toEqual(before.features)
  })

  test('files brought at once are opened in turn: a question holds up those behind it, and each ends in its line', async () => {
    const { sheet } = fakeWorld({
      readLayers: ({ bytes }: { bytes: ArrayBuffer }) => ({
        format: 'KML',
        layers: [layerOf(points(bytes.byteLength > 40 ? 'well' : null))],
        warnings: [],
      }),
    })
    await sheet.start()
    const kml = (name: string, more = '') => ({ file: new Blob([`<?xml version="1.0"?><kml>${more}</kml>`]), name })
    const from = sheet.files.value.length
    await sheet.openFiles([
      kml('a.kml'),
      kml('b.kml', '<Placemark/>'),
      kml('c.kml'),
      kml('d.kml'),
      { file: new Blob(['?']), name: 'e.bin' },
    ])
    expect(sheet.kindQuestion.value?.name).toBe('a.kml')
    expect(sheet.waiting.value.map(({ name }) => name)).toEqual(['b.kml', 'c.kml', 'd.kml', 'e.bin'])
    await sheet.openFiles([kml('f.kml', '<Placemark/>')])
    await sheet.answerKinds(['building'])
    expect(sheet.kindQuestion.value?.name).toBe('c.kml')
    await sheet.leaveQuestion()
    expect(sheet.kindQuestion.value?.name).toBe('d.kml')
    await sheet.answerKinds(['forest'])
    expect(sheet.kindQuestion.value).toBeNull()
    expect(sheet.files.value.slice(from).map(({ name, refusal }) => [name, refusal?.code ?? null])).toEqual([
      ['a.kml', null],
      ['b.kml', null],
      ['c.kml', 'file/left-unanswered'],
      ['d.kml', null],
      ['e.bin', 'file/unknown'],
      ['f.kml', null],
    ])
    // More lines than a page shows at once are all there.
    const many = Array.from({ length: 40 }, (_, k) => ({ file: new Blob(['?']), name: `x${k}.bin` }))
    await sheet.openFiles(many)
    expect(many.every(({ name }) => sheet.files.value.some(line => line.name === name))).toBe(true)
  })

  test('what comes with a ground that is not opened is not laid on another one, and says so', async () => {
    const layer = { file: new Blob([points('well')]), name: 'trees.geojson' }
    const { sheet, asked } = fakeWorld({
      openGround: ({ name, options }: { name: string; options: { crs?: string } }) => {
        if (name === 'asks.tif' && options.crs === undefined) throw new Refused({ code: 'crs/unknown', message: '', details: {} })
        if (name === 'bad.tif') throw new Refused({ code: 'grid/truncated', message: '', details: {} })
        return { name, report: { sha256: name, crs: 'EPSG:1', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 1 }
      },
    })
    await sheet.start()
    const imported = () => asked.filter(({ question }) => question === 'importFeatures').length
    const before = imported()
    await sheet.openFiles([layer, { file: tiff(), name: 'bad.tif' }])
    expect(sheet.files.value.slice(-2).map(({ name, refusal }) => [name, refusal?.code])).toEqual([
      ['bad.tif', 'grid/truncated'],
      ['trees.geojson', 'file/ground-left'],
    ])
    await sheet.openFiles([layer, { file: tiff(), name: 'asks.tif' }])
    expect(sheet.waiting.value.length).toBe(1)
    await sheet.leaveQuestion()
    expect(sheet.files.value.slice(-2).map(({ name, refusal }) => [name, refusal?.code])).toEqual([
      ['asks.tif', 'file/left-unanswered'],
      ['trees.geojson', 'file/ground-left'],
    ])
    expect(imported()).toBe(before)
    await sheet.openFiles([layer, { file: tiff(), name: 'asks.tif' }])
    await sheet.answerGround({ crs: 'EPSG:1' })
    expect(imported()).toBe(before + 1)
    expect(sheet.files.value.at(-1)).toMatchObject({ name: 'trees.geojson', refusal: null })
  })

  test('ground can be drawn before it is open; where it does not come, nothing is left of it', async () => {
    const picture = { groundNumber: 2, bounds: [0, 0, 1, 1], cell_m: 1 } as const
    let answer: (card: object) => void = () => undefined
    const { sheet } = fakeWorld({
      openGround: ({ name }: { name: string }, { onPicture }) => {
        if (name !== 'slow.tif')
          return { name, report: { sha256: name, crs: 'EPSG:1', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null }
        onPicture?.(picture)
        return new Promise(resolve => {
          answer = resolve
        })
      },
    })
    await sheet.start()
    const before = sheet.ground.value
    let opened = sheet.openFiles([{ file: tiff(), name: 'slow.tif' }])
    await expect.poll(() => sheet.coming.value).toEqual(picture)
    expect(sheet.ground.value).toBe(before)
    sheet.stopOpening()
    await opened
    expect([sheet.coming.value, sheet.ground.value]).toEqual([null, before])
    opened = sheet.openFiles([{ file: tiff(), name: 'slow.tif' }])
    await expect.poll(() => sheet.coming.value).toEqual(picture)
    const seen: (number | null)[] = []
    const stop = effect(() => void seen.push(sheet.coming.value?.groundNumber ?? sheet.ground.value?.card.groundNumber ?? null))
    answer({
      name: 'slow.tif',
      report: { sha256: 's', crs: 'EPSG:1', warnings: [] },
      bounds: [0, 0, 1, 1],
      localCentre: null,
      groundNumber: 2,
    })
    await opened
    stop()
    // From its picture to itself, with nothing between.
    expect(new Set(seen)).toEqual(new Set([2]))
  })

  test('a plan brought with its raster is opened first, so that what it keeps about the raster is not asked again', async () => {
    const { sheet } = fakeWorld({
      openGround: ({ name, options }: { name: string; options: { crs?: string } }) => {
        if (name === 'mine.tif' && options.crs === undefined) throw new Refused({ code: 'crs/unknown', message: '', details: {} })
        return { name, report: { sha256: name, crs: 'EPSG:1', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 1 }
      },
    })
    await sheet.start()
    const kept = emptyPlan('Kept', {
      file: 'mine.tif',
      sha256: 'mine.tif',
      crs: 'EPSG:1',
      elevationUnit: null,
      nodata: null,
      answers: { crs: 'EPSG:1' },
    })
    await sheet.openFiles([
      { file: tiff(), name: 'mine.tif' },
      { file: new Blob([writePlan(kept)]), name: 'mine.soakline.json' },
    ])
    expect(sheet.groundQuestion.value).toBeNull()
    expect(sheet.plan.value.holding).toBe('Kept')
    expect(sheet.notices.value).not.toContain('ground-missing')
  })

  test.each([
    ['its own', 'ground.tif', 'Kept'],
    ['another', 'mine.tif', 'mine'],
  ])('a plan on the open ground, brought with a raster that is %s: it stays on its own alone', async (_, raster, holding) => {
    const { sheet } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    const own = { file: 'ground.tif', sha256: 'ground.tif', crs: 'EPSG:32625', elevationUnit: null, nodata: null }
    await sheet.openFiles([
      { file: new Blob([writePlan(emptyPlan('Kept', own))]), name: 'kept.soakline.json' },
      { file: tiff(), name: raster },
    ])
    expect(sheet.plan.value.holding).toBe(holding)
    expect(sheet.files.value.map(({ name, what }) => [name, what])).toEqual([
      ['kept.soakline.json', 'plan'],
      [raster, 'ground'],
    ])
    // A raster that comes later by itself begins a work of its own.
    await sheet.openFiles([{ file: tiff(), name: 'ground.tif' }])
    expect(sheet.plan.value.holding).toBe('ground')
  })

  test('what a layer leaves open is asked one after another, and all that was said goes with it', async () => {
    const line = '{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}}'
    const geojson = `{"type":"FeatureCollection","features":[${line},${line}]}`
    const problem = (code: string, details: object = {}): never => {
      throw new Refused({ code: code as 'a/b', message: code, details: details as Record<string, unknown> })
    }
    const { sheet, asked } = fakeWorld({
      readLayers: ({ said }: { said: { crs?: string; unit?: string } }) =>
        said.unit === undefined
          ? problem('vector/unit-unknown')
          : said.crs === undefined
            ? problem('vector/system-unknown')
            : { format: 'DXF', layers: [layerOf(geojson)], warnings: [] },
      importLine: ({ line }: { line?: string }) =>
        line === undefined
          ? problem('line/several', { names: ['a', 'b'] })
          : {
              path: [
                [1, 2],
                [3, 4],
              ],
              warnings: [],
            },
    })
    await sheet.start()
    await sheet.idle()
    await sheet.openFiles([{ file: new Blob(['  0\nSECTION\n']), name: 'a.dxf' }])
    for (const [code, said] of [
      ['vector/unit-unknown', { unit: 'ft' }],
      ['vector/system-unknown', { crs: 'EPSG:32625' }],
    ] as const) {
      expect(sheet.layerQuestion.value?.refusal.code).toBe(code)
      await sheet.answerLayer(said)
    }
    await sheet.answerKinds(['line'])
    expect(sheet.layerQuestion.value?.refusal.details.names).toEqual(['a', 'b'])
    await sheet.answerLayer({ line: '2' })
    expect(asked.filter(({ question }) => question === 'importLine').at(-1)!.sent).toMatchObject({ text: geojson, line: '2' })
    expect(asked.filter(({ question }) => question === 'readLayers').at(-1)!.sent).toMatchObject({
      said: { unit: 'ft', crs: 'EPSG:32625' },
    })
    expect(sheet.files.value.at(-1)).toMatchObject({ name: 'a.dxf', what: 'line' })
    expect(sheet.plan.value.lines[0]!.path).toEqual([
      [1, 2],
      [3, 4],
    ])
  })

  test('rasters brought together come to the worker as one archive, which is then asked about', async () => {
    const { sheet, asked } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    const before = asked.length
    await sheet.openFiles([
      { file: tiff(), name: 'west.tif' },
      { file: new Blob(['{"type":"FeatureCollection","features":[]}']), name: 'a.geojson' },
      { file: tiff(), name: 'east.tif' },
    ])
    const opened = asked.slice(before).filter(({ question }) => question === 'openGround')
    expect(opened.length).toBe(1)
    const { name, bytes } = opened[0]!.sent as { name: string; bytes: ArrayBuffer }
    expect(name).toBe('east.tif + 1')
    expect(archiveHolds(bytes)).toBe('ground')
    expect(sheet.files.value.map(f => f.name)).toContain('a.geojson')
  })

  test('a question about an archive keeps what was answered before it', async () => {
    const { sheet, asked } = fakeWorld({
      openGround: ({ name, options }: { name: string; options: { member?: string } }) => {
        if (name === 'tiles.asc' && options.member === undefined)
          throw new Refused({ code: 'archive/several-files', message: '', details: { members: ['a.asc', 'b.asc'] } })
        return { name, report: { sha256: name, crs: 'local', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 1 }
      },
    })
    await sheet.start()
    await sheet.idle()
    await sheet.openFiles([{ file: new Blob(['ncols 2\n']), name: 'tiles.asc' }])
    expect(sheet.groundQuestion.value?.refusal.code).toBe('archive/several-files')
    await sheet.answerGround({ member: 'b.asc' })
    expect(asked.filter(({ question }) => question === 'openGround').at(-1)!.sent).toMatchObject({ options: { member: 'b.asc' } })
    expect(sheet.ground.value?.name).toBe('tiles.asc')
  })

  test('while a handle is dragged at most one answer is asked at once, the last place wins, and the gesture is one step to undo', async () => {
    let now = 0
    let most = 0
    const { sheet, asked } = fakeWorld({
      answer: async ({ revision, line }: { revision: number; line: { path: unknown } }) => {
        most = Math.max(most, ++now)
        await new Promise(resolve => setTimeout(resolve, 3))
        now--
        return { revision, assessment: { line }, drawn: EMPTY, took_ms: 3 }
      },
    })
    await sheet.start()
    await sheet.idle()
    const [before, steps] = [sheet.plan.value, sheet.history.value.done.length]
    asked.length = 0
    sheet.drag({ what: 'line-through' }, [0, 0.1], 'start')
    for (let k = 0; k < 60; k++) {
      sheet.drag({ what: 'line-through' }, [k * 1e-5, 0.1], 'move')
      if (k % 5 === 0) await new Promise(resolve => setTimeout(resolve, 1))
    }
    expect(sheet.plan.value).toBe(before)
    sheet.drag({ what: 'line-through' }, [7e-4, 0.1], 'end')
    await sheet.idle()
    expect(most).toBe(1)
    expect(asked.filter(a => a.question === 'answer').length).toBeLessThan(40)
    expect(sheet.plan.value.lines[0]!.traced!.through).toEqual([7e-4, 0.1])
    expect(pathOf(sheet)).toEqual(sheet.plan.value.lines[0]!.path)
    expect(sheet.history.value.done.length).toBe(steps + 1)
    sheet.undo()
    await sheet.idle()
    expect(sheet.plan.value).toEqual(before)
    expect(pathOf(sheet)).toEqual(before.lines[0]!.path)
  })

  test('an answer that comes late for an older line is not shown', async () => {
    const { sheet } = fakeWorld({
      answer: ({ revision }: { revision: number }) => ({ revision: revision - 1, assessment: {}, drawn: EMPTY, took_ms: 1 }),
    })
    await sheet.start()
    await sheet.idle()
    expect(sheet.answer.value).toBeNull()
  })

  test('a refused raster leaves everything as it was and gives one line; a refusal that is a question can be answered', async () => {
    let said: unknown = null
    const { sheet } = fakeWorld({
      openGround: ({ name, options }: { name: string; options: { crs?: string } }) => {
        if (name === 'broken.tif') throw new Refused({ code: 'grid/truncated', message: 'cut off', details: {} })
        if (name === 'nowhere.tif' && options.crs === undefined) throw new Refused({ code: 'crs/unknown', message: 'where?', details: {} })
        said = options
        return { name, report: { sha256: name, crs: 'EPSG:1', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 1 }
      },
    })
    await sheet.start()
    await sheet.idle()
    const [ground, plan, answer] = [sheet.ground.value, sheet.plan.value, sheet.answer.value]
    await sheet.openFiles([{ file: tiff(), name: 'broken.tif' }])
    expect([sheet.ground.value, sheet.plan.value, sheet.answer.value]).toEqual([ground, plan, answer])
    expect(sheet.files.value.at(-1)).toMatchObject({ name: 'broken.tif', what: null, refusal: { code: 'grid/truncated' } })
    await sheet.openFiles([{ file: tiff(), name: 'nowhere.tif' }])
    expect(sheet.ground.value).toBe(ground)
    expect(sheet.groundQuestion.value).toMatchObject({ name: 'nowhere.tif', refusal: { code: 'crs/unknown' } })
    await sheet.answerGround({ crs: 'EPSG:32613' })
    expect(said).toEqual({ crs: 'EPSG:32613' })
    expect(sheet.groundQuestion.value).toBeNull()
    expect(sheet.ground.value!.name).toBe('nowhere.tif')
    expect(sheet.plan.value.lines).toEqual([])
    expect(sheet.mode.value).toEqual({ kind: 'point-line' })
  })

  test('what is drawn in a way that is refused gives no answer, until it is undone', async () => {
    const { sheet } = fakeWorld({
      setSite: ({ features }: { features: readonly unknown[] }) => {
        if (features.length > 0) throw new Refused({ code: 'features/self-crossing', message: 'crosses', details: {} })
        return { noGo: EMPTY, halos: EMPTY, warnings: [] }
      },
    })
    await sheet.start()
    await sheet.idle()
    sheet.drawFeature('building', 'polygon')
    for (const place of [
      [0, 0],
      [1, 1],
      [1, 0],
      [0, 1],
    ] as const)
      sheet.place(place)
    sheet.finish()
    await sheet.idle()
    expect(sheet.siteProblem.value?.code).toBe('features/self-crossing')
    expect(sheet.answer.value).toBeNull()
    sheet.undo()
    await sheet.idle()
    expect(sheet.siteProblem.value).toBeNull()
    expect(sheet.answer.value).not.toBeNull()
  })

  test('work is kept and comes back instead of the demo', async () => {
    const first = fakeWorld()
    await first.sheet.start()
    await first.sheet.useDemoLine('bench')
    await first.sheet.idle()
    await first.sheet.saveNow()
    expect(first.sheet.saving.value.kind).toBe('saved')
    const again = fakeWorld({}, first.written.at(-1)!)
    await again.sheet.start()
    await again.sheet.idle()
    expect(again.sheet.plan.value).toEqual(first.sheet.plan.value)
    expect(again.sheet.notices.value).toEqual(['restored'])
  })

  test('work that cannot be read any more gives way to the demo, and that is said', async () => {
    const kept = { planText: '{"format":"soakl', ground: tiff(), name: 'a.tif', options: {}, demo: false, rows: [] }
    const { sheet } = fakeWorld({}, kept)
    await sheet.start()
    expect(sheet.notices.value).toContain('restore-failed')
    expect(sheet.unopened.value).toBe(kept.planText)
    expect(sheet.ground.value!.demo).toBe(true)
  })

  test('a second tab changes and keeps nothing until it is told to work', async () => {
    const { sheet, written } = fakeWorld({}, null, false)
    await sheet.start()
    await sheet.idle()
    const { plan } = sheet
    const before = plan.value
    sheet.pointAt([0.1, 0.1])
    sheet.drag({ what: 'line-through' }, [0.1, 0.1], 'end')
    sheet.undo()
    await sheet.idle()
    expect(plan.value).toBe(before)
    expect(written).toEqual([])
    sheet.workHere()
    sheet.pointAt([0.1, 0.1])
    await sheet.idle()
    expect(plan.value.lines[0]!.traced!.through).toEqual([0.1, 0.1])
    await sheet.saveNow()
    expect(written).toEqual([])
  })

  test('a drag that ends where no line can be traced leaves the line, its answer and a sentence', async () => {
    const { sheet } = fakeWorld({
      traceLine: ({ through }: { through: readonly [number, number] }) => {
        if (through[1] > 0.5) throw new Refused({ code: 'level/outside', message: 'outside', details: {} })
        return { path: [through, [through[0] + 1e-3, through[1]]], length_m: 100, elevation_m: 1 }
      },
    })
    await sheet.start()
    await sheet.idle()
    const { plan } = sheet
    const before = plan.value
    sheet.drag({ what: 'line-through' }, [0, 0.2], 'move')
    await sheet.idle()
    expect(pathOf(sheet)).not.toEqual(before.lines[0]!.path)
    sheet.drag({ what: 'line-through' }, [0, 0.9], 'move')
    sheet.drag({ what: 'line-through' }, [0, 0.9], 'end')
    await sheet.idle()
    expect(plan.value).toBe(before)
    expect(pathOf(sheet)).toEqual(before.lines[0]!.path)
    expect(sheet.traceProblem.value?.code).toBe('level/outside')
  })

  test('a place along the line that is pointed at gets its section; of many in a row the last one', async () => {
    const { sheet, asked } = fakeWorld({ sectionAt: ({ chainage_m }: { chainage_m: number }) => ({ dugAt: chainage_m }) })
    await sheet.start()
    await sheet.idle()
    for (const chainage_m of [1, 2, 3, 4]) sheet.point(chainage_m)
    await settled()
    expect(sheet.pointer.value).toBe(4)
    expect(sheet.sectionHere.value).toEqual({ revision: sheet.answer.value!.revision, chainage_m: 4, section: { dugAt: 4 } })
    expect(asked.filter(a => a.question === 'sectionAt').length).toBeLessThan(4)
    sheet.point(null)
    await settled()
    expect([sheet.pointer.value, sheet.sectionHere.value]).toEqual([null, null])
  })

  test('while a line is dragged no section is asked for', async () => {
    const { sheet, asked } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    sheet.drag({ what: 'line-through' }, [0, 0.2], 'move')
    await sheet.idle()
    sheet.point(7)
    await settled()
    expect(sheet.pointer.value).toBeNull()
    expect(asked.filter(a => a.question === 'sectionAt')).toEqual([])
  })

  test('while a line is dragged the last settled answer stays, and the one after the gesture takes its place', async () => {
    const { sheet, asked } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    const before = sheet.settled.value
    expect(before).toBe(sheet.answer.value)
    sheet.drag({ what: 'line-through' }, [0, 0.2], 'move')
    await sheet.idle()
    expect(asked.filter(a => a.question === 'answer').at(-1)!.sent).toMatchObject({ live: true })
    expect(sheet.settled.value).toBe(before)
    expect(sheet.answer.value).not.toBe(before)
    sheet.drag({ what: 'line-through' }, [0, 0.2], 'end')
    await sheet.idle()
    expect(asked.filter(a => a.question === 'answer').at(-1)!.sent).toMatchObject({ live: false })
    expect(sheet.settled.value).toBe(sheet.answer.value)
    expect(sheet.settled.value).not.toBe(before)
  })

  test('where nothing can be answered no settled answer is left over', async () => {
    const { sheet } = fakeWorld({
      setSite: ({ settings }: { settings: object }) => {
        if (Object.keys(settings).length > 0) throw new Refused({ code: 'cover/condition-missing', message: 'no', details: {} })
        return { noGo: EMPTY, halos: EMPTY, warnings: [], hollows: [] }
      },
    })
    await sheet.start()
    await sheet.idle()
    expect(sheet.settled.value).not.toBeNull()
    sheet.edit(plan => edits.setSetting(plan, 'cover', 'woods'))
    await sheet.idle()
    expect([sheet.answer.value, sheet.settled.value]).toEqual([null, null])
  })

  test('while a line is shaped by hand its vertices keep their numbers', async () => {
    const places = Array.from({ length: 41 }, (_, k) => [k * 1e-5, 0] as const)
    const { sheet } = fakeWorld({ importLine: () => ({ path: places, warnings: [] }) })
    await sheet.start()
    await sheet.idle()
    sheet.shaping.value = true
    const numbered = () =>
      sheet.handles.value.flatMap(({ handle, place }) => (handle.what === 'line-vertex' ? [[handle.number, place] as const] : []))
    const before = numbered()
    expect(before.map(([number]) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9])
    const to = [before[3]![1][0], 2e-5] as const
    for (const phase of ['start', 'move', 'end'] as const) {
      sheet.drag({ what: 'line-vertex', number: 4 }, to, phase)
      expect(numbered()).toEqual(before.map(([number, place]) => [number, number === 4 ? to : place]))
    }
    await sheet.idle()
    sheet.drag({ what: 'line-vertex', number: 5 }, to, 'end')
    expect(numbered().map(([number]) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9])
    sheet.undo()
    sheet.undo()
    expect(numbered()).toEqual(before)
  })

  test('contours are asked for in the reader’s units, and again when these change', async () => {
    const { sheet, asked } = fakeWorld({ contours: ({ units }: { units: string }) => ({ ...EMPTY, units }) })
    sheet.drawContours('us')
    await sheet.start()
    await sheet.idle()
    expect(sheet.contours.value).toMatchObject({ units: 'us' })
    sheet.drawContours('metric')
    await settled()
    expect(sheet.contours.value).toMatchObject({ units: 'metric' })
    expect(asked.filter(a => a.question === 'contours').map(a => a.sent)).toEqual([{ units: 'us' }, { units: 'metric' }])
  })

  test('a plan without its raster waits for it', async () => {
    const { sheet } = fakeWorld()
    await sheet.start()
    const mine = {
      ...emptyPlan('Mine', { file: 'mine.tif', sha256: 'mine.tif', crs: 'EPSG:1', elevationUnit: null, nodata: null }),
      settings: { bedWidth_m: 2 },
    }
    await sheet.openFiles([{ file: new Blob([writePlan(mine)]), name: 'mine.soakline.json' }])
    expect(sheet.notices.value).toContain('ground-missing')
    expect(sheet.plan.value.holding).toBe('Demo')
    await sheet.openFiles([{ file: tiff(), name: 'mine.tif' }])
    expect(sheet.plan.value).toEqual(mine)
  })

  test('a plan that keeps what was said about its raster asks nothing again; what an older one left out is kept from then on', async () => {
    const answers = { crs: 'EPSG:32632', join: true }
    const said: object[] = []
    const { sheet } = fakeWorld({
      openGround: ({ name, options }: { name: string; options: { crs?: string; join?: boolean } }) => {
        said.push(options)
        if (name !== 'ground.tif' && options.crs === undefined) throw new Refused({ code: 'crs/unknown', message: '', details: {} })
        return {
          name,
          report: { sha256: name, crs: options.crs ?? 'EPSG:32625', warnings: [] },
          bounds: [0, 0, 1, 1],
          localCentre: null,
          groundNumber: 1,
        }
      },
    })
    await sheet.start()
    const plan = (holding: string, more: object) =>
      emptyPlan(holding, { file: 'mine.tif', sha256: 'mine.tif', crs: 'EPSG:32632', elevationUnit: null, nodata: null, ...more })
    const bring = async (text: string, raster = 'mine.tif'): Promise<void> => {
      await sheet.openFiles([{ file: new Blob([text]), name: 'mine.soakline.json' }])
      await sheet.openFiles([{ file: tiff(), name: raster }])
    }
    await bring(writePlan(plan('Kept', { answers })))
    expect(sheet.groundQuestion.value).toBeNull()
    expect(sheet.plan.value).toEqual(plan('Kept', { answers }))
    expect(sheet.ground.value?.options).toEqual(answers)
    expect(readPlan(sheet.planText()).ground.answers).toEqual(answers)

    await sheet.openDemo()
    await bring(writePlan(plan('Old', {})))
    expect(sheet.groundQuestion.value?.refusal.code).toBe('crs/unknown')
    await sheet.answerGround({ crs: 'EPSG:32632' })
    expect(sheet.plan.value).toEqual(plan('Old', { answers: { crs: 'EPSG:32632' } }))

    // Another raster is not read by the answers about this one.
    await sheet.openDemo()
    said.length = 0
    await bring(writePlan(plan('Kept', { answers })), 'other.tif')
    expect(said).toEqual([answers, {}])
    expect(sheet.groundQuestion.value?.refusal.code).toBe('crs/unknown')
  })
})

describe('siting on the sheet', () => {
  const found = {
    lines: [
      {
        rank: 1,
        path: [
          [0, 1],
          [0.001, 1],
        ],
        reasons: [],
      },
    ],
    remarks: [],
    ruledOut: [],
    drawn: EMPTY,
  }

  test('a possible line is taken into the plan, and undone; a changed setting makes the search old', async () => {
    const { sheet } = fakeWorld({ candidates: () => found })
    await sheet.start()
    await sheet.idle()
    await sheet.findLines()
    expect(sheet.foundDone.value).toBeNull()
    expect(sheet.foundIsOld.value).toBe(false)
    sheet.takeFound(1)
    expect(sheet.plan.value.lines[0]).toEqual({ id: 'found-1', path: found.lines[0]!.path })
    expect(sheet.foundIsOld.value).toBe(false)
    sheet.undo()
    expect(sheet.plan.value.lines[0]!.id).toBe('demo-spur')
    sheet.edit(p => edits.setSetting(p, 'buildingClearance_m', 9))
    expect(sheet.foundIsOld.value).toBe(true)
    sheet.putFoundAway()
    expect(sheet.found.value).toBeNull()
  })

  test('the last whole answer stays while the next is worked out, and goes when that is stopped', async () => {
    let asks = 0
    const { sheet } = fakeWorld({
      whole: ({ revision }: { revision: number }) =>
        asks++ === 0 ? { revision, assessment: {}, drawn: EMPTY, took_ms: 1 } : new Promise(() => undefined),
    })
    await sheet.start()
    await sheet.idle()
    await settled()
    const whole = sheet.lastWhole.value
    expect(whole).not.toBeNull()
    expect(sheet.answer.value).toBe(whole)
    sheet.edit(p => edits.setSetting(p, 'buildingClearance_m', 9))
    await sheet.idle()
    await settled()
    expect(sheet.answer.value).not.toBe(whole)
    expect(sheet.lastWhole.value).toBe(whole)
    expect(sheet.wholeDone.value).toBe(0)
    sheet.stopWhole()
    expect([sheet.wholeDone.value, sheet.wholeStopped.value, sheet.lastWhole.value]).toEqual([null, true, null])
    sheet.goOnWhole()
    expect([sheet.wholeDone.value, sheet.wholeStopped.value]).toEqual([0, false])
  })

  test('a pit and a thing seen are put at the place pointed to, sent with the site, kept in the file, and undone', async () => {
    const { sheet, asked } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    sheet.placeSoil(null)
    sheet.place([0.5, 0.25])
    sheet.placeSoil('seep')
    sheet.place([0.5, 0.5])
    await sheet.idle()
    await settled()
    const { pits, sightings } = sheet.plan.value.soil!
    expect(pits[0]).toMatchObject({ id: 'pit-1', at: [0.5, 0.25], waterDepth_m: null })
    expect(sightings).toEqual([{ kind: 'seep', at: [0.5, 0.5] }])
    const sites = asked.filter(a => a.question === 'setSite')
    expect(sites[sites.length - 1]!.sent).toMatchObject({ soil: sheet.plan.value.soil })
    expect(readPlan(sheet.planText()).soil).toEqual(sheet.plan.value.soil)
    sheet.edit(p => edits.setPit(p, { ...pits[0]!, waterDepth_m: 'none' }))
    sheet.edit(p => edits.removePit(p, 'pit-1'))
    expect(sheet.plan.value.soil!.pits).toEqual([])
    for (let k = 0; k < 4; k++) sheet.undo()
    expect(sheet.plan.value.soil).toBeUndefined()
  })
})

describe('the work on the ground', () => {
  test('a record is one step of undo, asks for the work and not for the answer, and leaves nothing behind when it is undone', async () => {
    const { sheet, asked } = fakeWorld()
    await sheet.start()
    await sheet.idle()
    const answers = (): number => asked.filter(a => a.question === 'answer').length
    const before = [answers(), JSON.stringify(sheet.plan.value)] as const
    sheet.note(p => edits.addReadings(p, [{ what: 'crest', chainage_m: 5, level_m: 1 }]))
    sheet.note(p => edits.addReadings(p, [{ what: 'crest', chainage_m: 5.01, level_m: 2 }]))
    await sheet.idle()
    // Read twice at one place: the later reading holds.
    expect(sheet.plan.value.built!.readings).toEqual([{ what: 'crest', chainage_m: 5.01, level_m: 2 }])
    sheet.undo()
    expect(sheet.plan.value.built!.readings).toEqual([{ what: 'crest', chainage_m: 5, level_m: 1 }])
    sheet.undo()
    await sheet.idle()
    expect([answers(), JSON.stringify(sheet.plan.value)]).toEqual(before)
    sheet.redo()
    expect(readPlan(writePlan(sheet.plan.value)).built!.readings.length).toBe(1)
    expect(answers()).toBe(before[0])
  })

  test('a table of levels dropped goes to the readings; one that is refused leaves them as they were', async () => {
    const { sheet } = fakeWorld({ importReadings: () => ({ readings: [{ what: 'sill', chainage_m: 1, level_m: 2 }] }) })
    await sheet.start()
    await sheet.idle()
    await sheet.openFiles([{ file: new Blob(['stake,crest_m\n1,2\n']), name: 'read.csv' }])
    expect([sheet.leaf.value, sheet.plan.value.built!.readings.length]).toEqual(['work', 1])
    const refusing = fakeWorld({
      importReadings: () => {
        throw new Refused({ code: 'as-built/header', message: 'no', details: {} })
      },
    })
    await refusing.sheet.start()
    await refusing.sheet.openFiles([{ file: new Blob(['stake,crest_m\n1,2\n']), name: 'read.csv' }])
    expect(refusing.sheet.plan.value.built).toBeUndefined()
    expect(refusing.sheet.files.value[0]!.refusal!.code).toBe('as-built/header')
  })

  test.each([
    ['stake,bed_m,crest_m\n1,2,3', 'readings'],
    ['progresiva;corona\n1;2', 'readings'],
    ['what,chainage_m,level_m\ncrest,1,2', 'readings'],
    ['chainage_m\tsill_ft\n1\t2', 'readings'],
    ['duration_h,chance_per_year,depth_mm\n1,1,1', 'rain'],
    ['easting_m,northing_m,elevation_m\n1,2,3', 'ground'],
  ])('a table is told by its header: %j', (text, kind) => {
    expect(textKind('table.csv', text)).toBe(kind)
  })
})

test('the next tap on the plan is the middle of the area for open data, and nothing is asked by it', async () => {
  const { sheet, asked } = fakeWorld()
  await sheet.start()
  await settled()
  const before = asked.length
  sheet.pointArea()
  expect(sheet.mode.value).toEqual({ kind: 'choose-area' })
  sheet.tap([-93.4, 46.3], null)
  expect(sheet.area.value).toEqual({ middle: [-93.4, 46.3], side_m: 1000 })
  expect(sheet.mode.value).toEqual({ kind: 'look' })
  expect(asked).toHaveLength(before)
})

test('of a raster too large to be held the chosen part is opened and kept in its place', async () => {
  let times = 0
  const { sheet, asked, written } = fakeWorld({
    openGround: ({ name }: { name: string }) => {
      if (name === 'large.tif' && times++ === 0)
        throw new Refused({ code: 'grid/too-large', message: '', details: { west: 0, south: 0, east: 1, north: 1 } })
      return { name, report: { sha256: name, crs: 'EPSG:32625', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 2 }
    },
  })
  await sheet.start()
  await sheet.openFiles([{ file: tiff(), name: 'large.tif' }])
  expect(sheet.groundQuestion.value?.refusal.code).toBe('grid/too-large')
  const window = { in: 'lonlat', box: [0.4, 0.4, 0.5, 0.5] } as const
  await sheet.answerGround({ window })
  await settled()
  expect(asked.find(({ question }) => question === 'cutGround')?.sent).toMatchObject({ options: { window } })
  expect(sheet.ground.value).toMatchObject({ name: 'large.tif', options: {} })
  expect(written.at(-1)?.ground?.size).toBe(8)
  // The plan keeps which part of which file it is, whatever is said of the part afterwards and taken back.
  expect(sheet.plan.value.ground).toMatchObject({ file: 'large.tif', answers: { window } })
  await sheet.confirmGround({ elevationUnit: 'ft' })
  expect(sheet.plan.value.ground.answers).toEqual({ window, elevationUnit: 'ft' })
  sheet.undo()
  await settled()
  expect(sheet.plan.value.ground.answers).toEqual({ window })
  sheet.redo()
  await settled()
  expect(sheet.plan.value.ground.answers).toEqual({ window, elevationUnit: 'ft' })
  expect(sheet.ground.value?.options).toEqual({ elevationUnit: 'ft' })
})

test('a plan on a part of a raster waits for the raster and cuts the same part; only the part is kept', async () => {
  const window = { in: 'lonlat', box: [0.4, 0.4, 0.5, 0.5] } as const
  const answers = { crs: 'EPSG:32625', window }
  const { sheet, asked, written } = fakeWorld({
    openGround: ({ name, options }: { name: string; options: { window?: unknown } }) => {
      if (name === 'large.tif' && options.window === undefined)
        throw new Refused({ code: 'grid/too-large', message: '', details: { west: 0, south: 0, east: 1, north: 1 } })
      const sha256 = options.window === undefined ? name : 'part'
      return { name, report: { sha256, crs: 'EPSG:32625', warnings: [] }, bounds: [0, 0, 1, 1], localCentre: null, groundNumber: 2 }
    },
  })
  await sheet.start()
  const ground = { file: 'large.tif', sha256: 'part', crs: 'EPSG:32625', elevationUnit: null, nodata: null, answers }
  const layer = { file: new Blob([points('well')]), name: 'wells.geojson' }
  await sheet.openFiles([{ file: new Blob([writePlan(emptyPlan('Farm', ground))]), name: 'farm.soakline.json' }])
  expect(sheet.notices.value).toContain('ground-missing')
  await sheet.openFiles([{ file: tiff(), name: 'large.tif' }, layer])
  await settled()
  expect(asked.filter(({ question }) => question === 'cutGround').map(({ sent }) => sent)).toMatchObject([{ options: answers }])
  expect(sheet.groundQuestion.value).toBeNull()
  expect(sheet.plan.value.ground).toEqual(ground)
  expect(sheet.notices.value).not.toContain('other-ground')
  expect(sheet.ground.value?.options).toEqual({})
  expect(written.at(-1)?.ground?.size).toBe(8)
  // What came with it lies on it.
  expect(sheet.files.value.at(-1)).toMatchObject({ name: 'wells.geojson', refusal: null })
  // The plan brought again lies on the open part: nothing is read anew.
  const times = (): number => asked.filter(({ question }) => question === 'openGround').length
  const before = times()
  await sheet.openFiles([{ file: new Blob([writePlan(emptyPlan('Farm again', ground))]), name: 'again.soakline.json' }])
  expect([times(), sheet.plan.value.holding, sheet.ground.value?.options]).toEqual([before, 'Farm again', {}])
})

test.each([
  ['a layer while its layers are told', 'readLayers', 'walk.kml', '<?xml version="1.0"?><kml/>'],
  ['a table of rain', 'importDailyRain', 'rain.csv', 'date,depth_mm\n2020-01-01,1\n2020-01-02,0\n'],
  [
    'a plan',
    'importPlan',
    'farm.soakline.json',
    writePlan(emptyPlan('Farm', { file: '', sha256: '', crs: 'local', elevationUnit: null, nodata: null })),
  ],
  ['a part of a raster', 'cutGround', 'large.tif', null],
] as const)('%s is called off at once, with a line; the sheet stays as it was and reads on', async (_, question, name, text) => {
  let spins = true
  const { sheet } = fakeWorld({
    [question]: () =>
      spins ? new Promise(() => undefined) : Promise.reject(new Refused({ code: 'grid/truncated', message: '', details: {} })),
    openGround: (sent: { name: string }) => {
      if (sent.name === 'large.tif')
        throw new Refused({ code: 'grid/too-large', message: '', details: { west: 0, south: 0, east: 1, north: 1 } })
      return {
        name: sent.name,
        report: { sha256: sent.name, crs: 'EPSG:32625', warnings: [] },
        bounds: [0, 0, 1, 1],
        localCentre: null,
        groundNumber: 1,
      }
    },
  })
  await sheet.start()
  await settled()
  const before = [sheet.plan.value, sheet.ground.value, sheet.answer.value]
  const file = text === null ? tiff() : new Blob([text])
  const bring = async (): Promise<void> => {
    await sheet.openFiles([{ file, name }])
    if (sheet.groundQuestion.value !== null) await sheet.answerGround({ window: { in: 'own', box: [0, 0, 1, 1] } })
  }
  const brought = bring()
  await settled()
  expect(sheet.opening.value).toBe(name)
  sheet.stopOpening()
  await brought
  expect(sheet.opening.value).toBeNull()
  expect(sheet.files.value.at(-1)).toMatchObject({ name, refusal: { code: 'file/stopped' } })
  expect([sheet.plan.value, sheet.ground.value, sheet.answer.value]).toEqual(before)
  // The next one is asked about anew.
  spins = false
  await bring()
  expect(sheet.files.value.at(-1)).toMatchObject({ name, refusal: { code: 'grid/truncated' } })
})

test('a file that is called off while it is first looked at is not begun', async () => {
  const { sheet, asked } = fakeWorld()
  await sheet.start()
  await settled()
  const before = asked.length
  // A blob whose first bytes come late: there is time to call it off.
  const slow = new Blob(['duration_h,chance_per_year,depth_mm\n1,0.1,40\n'])
  let given = (): void => undefined
  const late = new Promise<void>(resolve => {
    given = resolve
  })
  const slice = slow.slice.bind(slow)
  slow.slice = (...part) => {
    const head = slice(...part)
    const bytes = head.arrayBuffer.bind(head)
    head.arrayBuffer = () => late.then(bytes)
    return head
  }
  const brought = sheet.openFiles([{ file: slow, name: 'rain.csv' }])
  await settled()
  expect(sheet.opening.value).toBe('rain.csv')
  sheet.stopOpening()
  given()
  await brought
  expect(sheet.opening.value).toBeNull()
  expect(sheet.files.value.at(-1)).toMatchObject({ name: 'rain.csv', refusal: { code: 'file/stopped' } })
  expect(asked.slice(before).map(({ question }) => question)).not.toContain('importRain')
})

test('a ground that is brought while the demo is still opening is not covered by it', async () => {
  let given = (): void => undefined
  const late = new Promise<void>(resolve => {
    given = resolve
  })
  const { sheet } = fakeWorld({ importRain: () => late.then(() => ({ rows: [], warnings: [] })) })
  const opening = sheet.start()
  const brought = sheet.openFiles([{ file: tiff(), name: 'mine.tif' }])
  await settled()
  given()
  await Promise.all([opening, brought])
  expect([sheet.plan.value.holding, sheet.plan.value.lines, sheet.ground.value?.demo]).toEqual(['mine', [], false])
})
