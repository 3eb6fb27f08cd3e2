import { signal } from '@preact/signals'
import { boxRound, writeGeoTiff } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { createOpenData } from '../src/state/open-data.js'
import type { Area } from '../src/state/sheet.js'
import { Refused } from '../src/worker/client.js'
import { fileAnswers } from '../src/worker/file-answers.js'
import { keptInCache } from '../src/worker/open-data.js'
import { createSession } from '../src/worker/session.js'

// Consent to hosts, sources of the user's own, and rasters too large to be held.

/** A sheet that takes note of what it is given, and a worker that answers as told. */
function desk(
  answer: (question: string, sent: { allowed?: readonly string[] }) => unknown = () => ({
    file: new ArrayBuffer(4),
    fileName: 'a.tif',
    warnings: [],
  }),
) {
  const asked: { question: string; allowed: readonly string[] | undefined }[] = []
  const opened: string[] = []
  const kept = new Map<string, string>()
  const area = signal<Area | null>({ middle: [-93.4, 46.3], side_m: 1000 })
  const make = () =>
    createOpenData({
      ask: (async (question: string, sent: { allowed?: readonly string[] }) => {
        asked.push({ question, allowed: sent?.allowed })
        return answer(question, sent)
      }) as never,
      sheet: {
        area,
        ground: signal({ card: { bounds: [-93.5, 46.2, -93.4, 46.3], localCentre: null } }) as never,
        plan: signal({ features: [{ id: 'way/1', source: '© Mappers' }] }) as never,
        openFiles: async list => void opened.push(...list.map(({ name }) => name)),
      },
      read: key => kept.get(key) ?? null,
      write: (key, value) => void kept.set(key, value),
      now: () => new Date(0),
    })
  return { make, open: make(), asked, opened, kept, area }
}

describe('consent', () => {
  test('every question carries the hosts that are allowed just then, and nothing is asked by choosing', async () => {
    const { open, asked, opened } = desk(question =>
      question === 'bringGround'
        ? { file: new ArrayBuffer(4), fileName: 'a.tif', warnings: [] }
        : { geojson: '{"features": [{"id": "way/1"}, {"id": "way/2"}]}', warnings: [] },
    )
    open.chosenId.value = 'terrain-tiles'
    expect(asked).toEqual([])
    await open.bringHeights()
    open.allow('s3.amazonaws.com')
    await open.bringHeights()
    open.takeBack('s3.amazonaws.com')
    await open.bringMap()
    expect(asked).toEqual([
      { question: 'bringGround', allowed: [] },
      { question: 'bringGround', allowed: ['s3.amazonaws.com'] },
      { question: 'bringMapData', allowed: [] },
    ])
    expect(opened).toEqual(['a.tif', 'a.tif', 'OpenStreetMap.geojson'])
  })

  test('a yes is kept for the next visit, until it is taken back; what else stands there is no yes', () => {
    const { open, make, kept } = desk()
    open.allow('example.org')
    open.allow('example.org')
    expect(make().allowed.value).toEqual(['example.org'])
    open.takeBack('example.org')
    expect(make().allowed.value).toEqual([])
    for (const text of ['{"example.org": true}', '[5, null, "a b", "<b>"]', 'not json']) {
      kept.set('allowed-hosts', text)
      expect(make().allowed.value).toEqual([])
    }
  })

  test('taking a yes back stops what is being brought', async () => {
    let refuse: ((reason: unknown) => void) | undefined
    const { open, opened } = desk(() => new Promise((_, reject) => (refuse = reject)))
    open.allow('example.org')
    const bringing = open.bringHeights()
    await Promise.resolve()
    expect(open.bringing.value).toEqual({ what: 'ground', done: 0 })
    open.takeBack('example.org')
    refuse!(new Error('aborted'))
    await bringing
    expect(open.bringing.value).toBeNull()
    expect(open.problem.value).toBeNull()
    expect(opened).toEqual([])
  })

  test('a refusal is shown as what it is', async () => {
    const { open } = desk(() => {
      throw new Refused({ code: 'address/busy', message: 'busy', details: { host: 'example.org' } })
    })
    await open.bringHeights()
    expect(open.problem.value?.code).toBe('address/busy')
  })
})

test('what the open map brought before is not put on the plan twice', async () => {
  const { open, opened } = desk(() => ({ geojson: '{"features": [{"id": "way/1"}]}', warnings: [] }))
  await open.bringMap()
  expect(opened).toEqual([])
  expect(open.brought.value?.name).toBe('OpenStreetMap')
})

test('a source of the user’s own is chosen at once and kept; one that cannot be used is refused', () => {
  const { open, make } = desk()
  expect(open.add({ address: 'https://example.org/{z}/{x}/{y}.png', name: 'Mine', credit: '' })).toBe(true)
  expect(open.chosen.value).toMatchObject({ name: 'Mine', kind: 'colour-tiles', zoom: 14, credit: 'example.org', trust: 'country' })
  expect(make().sources.value[0]).toEqual(open.chosen.value)
  for (const address of ['', 'example.org/a.tif', 'javascript:alert(1)', 'https://example.org/{q}.tif']) {
    expect(open.add({ address, name: '', credit: '' })).toBe(false)
    expect(open.problem.value?.code).toMatch(/^(address\/not-web|source\/bad-value)$/)
  }
  open.remove(open.chosen.value.id)
  expect(make().own.value).toEqual([])
})

test('a raster of which more is asked than can be held is refused with its place, and a part of it is cut out and opened', async () => {
  const session = createSession({ toBitmap: async () => ({}) as ImageBitmap })
  const [width, height] = [400, 300]
  const data = Float32Array.from({ length: width * height }, (_, k) => 100 + 0.1 * (k % width) + 0.07 * Math.floor(k / width))
  const geometry = { width, height, cell_m: 1, west_m: 500_000, north_m: 4_000_000, crs: 'EPSG:32617' }
  const file = new Blob([await writeGeoTiff({ geometry, data }, { unit: 'm' })])
  const refused = await Promise.resolve(session.openGround({ name: 'large.tif', bytes: file, options: { maxCells: 50_000 } })).catch(
    (error: { code: string; details: Record<string, number> }) => error,
  )
  expect(refused).toMatchObject({ code: 'grid/too-large', details: { width, height, bytes: 4 * width * height } })
  const { west, north, east, south } = (refused as { details: Record<string, number> }).details
  const middle = [(west! + east!) / 2, (south! + north!) / 2] as const
  const { file: cut } = await fileAnswers.cutGround({
    name: 'large.tif',
    file,
    options: { window: { in: 'lonlat', box: boxRound(middle, 100) } },
  })
  const card = await session.openGround({ name: 'large.tif', bytes: cut, options: {} })
  expect(card.width_m).toBeLessThan(110)
  const [columns, rows] = card.report.fileCells
  expect(card.report.warnings).toContainEqual({
    code: 'ground/cut-out',
    details: { width: columns, height: rows, ofWidth: width, ofHeight: height },
  })
  // Without a network of its own a session reaches nobody, whatever is allowed.
  const source = { id: 'x', name: 'x', address: 'https://example.org/map', licence: '', credit: '', facts: '' }
  const code = await Promise.resolve(session.bringMapData({ source, box: boxRound(middle, 100), allowed: ['example.org'] })).catch(
    (error: { code: string }) => error.code,
  )
  expect(code).toBe('address/unreachable')
})

test('what is kept in the cache is found by its address and its stretch, and storage that fails only keeps nothing', async () => {
  const held = new Map<string, Response>()
  const caches = {
    open: async () => ({
      match: async (url: string) => held.get(url)?.clone(),
      put: async (url: string, response: Response) => void held.set(url, response),
      keys: async () => [...held.keys()].map(url => ({ url })),
      delete: async (url: string) => held.delete(url),
    }),
    delete: async () => (held.clear(), true),
  } as unknown as CacheStorage
  const kept = keptInCache(caches)!
  await kept.put('https://a.org/x.tif#0+9', Uint8Array.of(1, 2))
  await kept.put('https://a.org/m?data=1#all', Uint8Array.of(3))
  // Who forgets waits for what is being put away.
  await kept.forget('https://b.org/')
  expect(await kept.get('https://a.org/x.tif#0+9')).toEqual(Uint8Array.of(1, 2))
  expect(await kept.get('https://a.org/x.tif#9+9')).toBeNull()
  expect(await kept.get('https://a.org/m?data=1#all')).toEqual(Uint8Array.of(3))
  await kept.forget('https://a.org/x.tif')
  expect([...held.keys()]).toHaveLength(1)
  await kept.forget('')
  expect(held.size).toBe(0)
  const broken = keptInCache({ open: () => Promise.reject(new Error('full')) } as unknown as CacheStorage)!
  await broken.put('https://a.org/x.tif#0+9', Uint8Array.of(1))
  expect(await broken.get('https://a.org/x.tif#0+9')).toBeNull()
  expect(keptInCache(undefined)).toBeNull()
})
