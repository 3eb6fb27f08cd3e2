import { type AddressOptions, allowedOnly, bringGround, bringMapData, type Fetch, type KeptStretches } from '@soakline/io'
import type { TurnOptions } from 'soakline/foundation'
import type { Answered, Sent } from './protocol.js'

/** How a session reaches servers of others. */
export interface Network {
  readonly fetch: Fetch
  /** Null where this browser keeps nothing. */
  readonly kept: KeptStretches | null
}

/** A session without a network: every host is refused. */
export const NO_NETWORK: Network = { fetch: () => Promise.reject(new TypeError('There is no network here.')), kept: null }

/** The questions that may ask servers of others, and only those that the question itself allows. */
export function openDataAnswers({ fetch, kept }: Network) {
  const polite = (allowed: readonly string[], { signal }: TurnOptions): AddressOptions => ({
    fetch: allowedOnly(fetch, host => allowed.includes(host)),
    ...(kept === null ? {} : { kept }),
    ...(signal instanceof AbortSignal ? { signal } : {}),
  })
  return {
    async bringGround({ source, box, allowed, dateText }: Sent<'bringGround'>, turns: TurnOptions = {}): Promise<Answered<'bringGround'>> {
      const { file, fileName, warnings } = await bringGround(source, box, {
        ...polite(allowed, turns),
        dateText,
        ...(turns.onProgress ? { onProgress: turns.onProgress } : {}),
      })
      return { file: file.buffer, fileName, warnings }
    },
    async bringMapData({ source, box, allowed }: Sent<'bringMapData'>, turns: TurnOptions = {}): Promise<Answered<'bringMapData'>> {
      return bringMapData(source, box, polite(allowed, turns))
    },
    async forgetBrought(): Promise<null> {
      await kept?.forget('')
      return null
    },
  }
}

const CACHE = 'brought-ground'

/** What was brought, in this browser's cache storage. Null where there is none. It is no part of the page's own files: those have a cache of their own. */
export function keptInCache(caches: CacheStorage | undefined): KeptStretches | null {
  if (caches === undefined) return null
  // A cache knows whole files only, by their address: the stretch becomes a part of it. Such addresses are never asked for.
  const addressOf = (key: string): string => {
    const at = key.lastIndexOf('#')
    return `${key.slice(0, at)}${key.includes('?') ? '&' : '?'}kept=${encodeURIComponent(key.slice(at + 1))}`
  }
  // Storage that is full or blocked only means that it is brought again.
  const quietly = async <T>(work: () => Promise<T>, otherwise: T): Promise<T> => work().catch(() => otherwise)
  let putting: Promise<void> = Promise.resolve()
  return {
    get: key =>
      quietly(async () => {
        const found = await (await caches.open(CACHE)).match(addressOf(key))
        return found ? new Uint8Array(await found.arrayBuffer()) : null
      }, null),
    // Kept for another time: nobody waits for it now, but whoever forgets.
    async put(key, bytes) {
      const copy = bytes.slice()
      putting = putting.then(() => quietly(async () => (await caches.open(CACHE)).put(addressOf(key), new Response(copy)), undefined))
    },
    forget: address =>
      quietly(async () => {
        await putting
        if (address === '') return void (await caches.delete(CACHE))
        const cache = await caches.open(CACHE)
        for (const { url } of await cache.keys()) if (url.startsWith(address)) await cache.delete(url)
      }, undefined),
  }
}
