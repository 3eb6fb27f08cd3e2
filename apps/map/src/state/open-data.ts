import { computed, signal } from '@preact/signals'
import {
  type Box,
  boxRound,
  COLOUR_CODES,
  GROUND_SOURCES,
  type GroundSource,
  groundSourceFrom,
  hostOf,
  hostOfSource,
  MAP_DATA_SOURCES,
} from '@soakline/io'
import type { Warning } from 'soakline/foundation'
import type { WorkerClient } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'
import { refusalIn } from './refusals.js'
import type { Sheet } from './sheet.js'

/** What open data needs of the world outside. */
export interface OpenDataWorld {
  readonly ask: WorkerClient['ask']
  readonly sheet: Pick<Sheet, 'openFiles' | 'ground' | 'area' | 'plan'>
  /** Small things that the browser keeps. */
  read(key: string): string | null
  write(key: string, value: string): void
  now(): Date
}

/** Sides of an area that can be chosen. Unit: m. */
export const SIDES_M = [500, 1000, 2000, 4000, 8000] as const

const [HOSTS, SOURCES] = ['allowed-hosts', 'own-sources']
/** The source that is chosen at first: the one for all the world whose files are read by stretches. */
const FIRST_SOURCE = 'copernicus-glo-30'

export type OpenData = ReturnType<typeof createOpenData>

/**
 * Open elevation and open map data for a place. Nothing is asked of a host before `allow` was called with it, and nothing any more after `takeBack`:
 * the worker, which alone reaches the network, is given the list of allowed hosts with every question.
 */
export function createOpenData({ ask, sheet, read, write, now }: OpenDataWorld) {
  const own = signal<readonly GroundSource[]>(keptSources(read(SOURCES)))
  const sources = computed(() => [...own.value, ...GROUND_SOURCES])
  const chosenId = signal(FIRST_SOURCE)
  const chosen = computed(() => sources.value.find(({ id }) => id === chosenId.value) ?? sources.value[0]!)
  const mapSource = signal(MAP_DATA_SOURCES[0]!)
  const allowed = signal<readonly string[]>(keptHosts(read(HOSTS)))
  const bringing = signal<{ readonly what: 'ground' | 'map'; readonly done: number } | null>(null)
  const problem = signal<Refusal | null>(null)
  const brought = signal<{ readonly name: string; readonly warnings: readonly Warning[] } | null>(null)
  let off: AbortController | null = null

  const setHosts = (hosts: readonly string[]): void => {
    allowed.value = hosts
    write(HOSTS, JSON.stringify(hosts))
  }
  const setOwn = (next: readonly GroundSource[]): void => {
    own.value = next
    write(SOURCES, JSON.stringify(next))
  }

  /** One thing at a time: a later one calls off the earlier. */
  async function bringOne(what: 'ground' | 'map', work: (signal: AbortSignal) => Promise<void>): Promise<void> {
    off?.abort()
    const mine = new AbortController()
    off = mine
    bringing.value = { what, done: 0 }
    problem.value = null
    brought.value = null
    try {
      await work(mine.signal)
    } catch (error) {
      if (!mine.signal.aborted) problem.value = refusalIn(error)
    } finally {
      if (off === mine) bringing.value = null
    }
  }

  return {
    sources,
    chosen,
    chosenId,
    mapSource,
    allowed,
    bringing,
    problem,
    brought,
    own,
    hostOf: (source: { readonly address: string }) => hostOfSource(source),
    isAllowed: (host: string) => allowed.value.includes(host),
    allow: (host: string) => {
      if (!allowed.value.includes(host)) setHosts([...allowed.value, host])
    },
    takeBack: (host: string) => {
      setHosts(allowed.value.filter(other => other !== host))
      off?.abort()
    },
    stop: () => {
      off?.abort()
      bringing.value = null
    },
    /** Adds a source by its address; a refusal is shown. */
    add({ address, name, credit }: { readonly address: string; readonly name: string; readonly credit: string }): boolean {
      problem.value = null
      try {
        const tiles = /\{[zxy]\}/.test(address)
        const source = groundSourceFrom({
          id: `own-${own.value.length + 1}-${hostOf(address.trim().replace(/\{[^}]*\}/g, '0'))}`,
          address: address.trim(),
          ...(name.trim() === '' ? {} : { name }),
          ...(credit.trim() === '' ? {} : { credit }),
          ...(tiles ? { zoom: 14, colours: COLOUR_CODES.terrarium } : {}),
        })
        setOwn([source, ...own.value])
        chosenId.value = source.id
        return true
      } catch (error) {
        problem.value = refusalIn(error)
        return false
      }
    },
    remove: (id: string) => setOwn(own.value.filter(source => source.id !== id)),
    /** Brings heights for the chosen area and opens them. */
    bringHeights: () =>
      bringOne('ground', async signal => {
        const area = sheet.area.value
        if (area === null) return
        const source = chosen.value
        const { file, fileName, warnings } = await ask(
          'bringGround',
          { source, box: boxRound(area.middle, area.side_m), allowed: allowed.value, dateText: now().toISOString().slice(0, 10) },
          { signal, onProgress: done => (bringing.value = { what: 'ground', done }) },
        )
        await sheet.openFiles([{ file: new Blob([file], { type: 'image/tiff' }), name: fileName }])
        brought.value = { name: source.name, warnings }
      }),
    /** Brings what the open map has in the area of the open ground, and puts it on the plan. */
    bringMap: () =>
      bringOne('map', async signal => {
        const card = sheet.ground.value?.card
        if (card === undefined || card.localCentre !== null) return
        const source = mapSource.value
        const box: Box = card.bounds
        const { geojson, warnings } = await ask('bringMapData', { source, box, allowed: allowed.value }, { signal })
        const fresh = withoutThose(geojson, new Set(sheet.plan.value.features.flatMap(f => (f.source === undefined ? [] : [f.id]))))
        if (fresh !== null)
          await sheet.openFiles([{ file: new Blob([fresh], { type: 'application/geo+json' }), name: `${source.name}.geojson` }])
        brought.value = { name: source.name, warnings }
      }),
    forget: () => ask('forgetBrought', null).catch(() => null),
  }
}

/** Features that are on the plan already are not put there twice; null where none is left. */
function withoutThose(geojson: string, ids: ReadonlySet<string>): string | null {
  const { features, ...rest } = JSON.parse(geojson) as { features: { id: string }[] }
  const left = features.filter(({ id }) => !ids.has(id))
  return left.length === 0 ? null : JSON.stringify({ ...rest, features: left })
}

/** Hosts as they were kept; anything else is none. */
function keptHosts(text: string | null): readonly string[] {
  const value = parsed(text)
  return Array.isArray(value) ? value.filter(host => typeof host === 'string' && /^[\w.:-]{1,200}$/.test(host)) : []
}

function keptSources(text: string | null): readonly GroundSource[] {
  const value = parsed(text)
  if (!Array.isArray(value)) return []
  return value.flatMap(given => {
    try {
      return [groundSourceFrom(given)]
    } catch {
      return []
    }
  })
}

function parsed(text: string | null): unknown {
  try {
    return text === null ? null : JSON.parse(text)
  } catch {
    return null
  }
}
