import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Plugin } from 'vite'

/** Makes `offline.js`, a service worker that keeps the built files, so that the page opens with no network; built with SOAKLINE_OFFLINE=off, the one that ends it. */
export function offline(): Plugin {
  let publicDir = ''
  return {
    name: 'soakline-offline',
    apply: 'build',
    enforce: 'post',
    configResolved(config) {
      publicDir = config.publicDir
    },
    generateBundle(_, bundle) {
      const sum = createHash('sha256')
      const files = Object.entries(bundle).filter(([name]) => !name.endsWith('.map'))
      for (const [, file] of files) sum.update(file.fileName).update(file.type === 'asset' ? file.source : file.code)
      const still = existsSync(publicDir) ? readdirSync(publicDir) : []
      for (const name of still) sum.update(name).update(readFileSync(join(publicDir, name)))
      const names = [...new Set(['./', ...files.map(([, { fileName }]) => fileName), ...still])]
        .filter(name => name !== 'index.html')
        .sort()
      const worker = process.env.SOAKLINE_OFFLINE === 'off' ? KILL_SWITCH : serviceWorker(sum.digest('hex').slice(0, 16), names)
      this.emitFile({ type: 'asset', fileName: 'offline.js', source: worker })
    },
  }
}

/**
 * The new release is fetched whole before it takes over, and it takes over when the last page of the old one is closed or its reader says so. The
 * release before it stays at hand, for pages that were opened with it. `?fresh` loads past all that is kept, where the network answers. Other hosts
 * are never answered for.
 */
const serviceWorker = (release: string, files: readonly string[]): string => `const RELEASE = 'soakline-${release}'
const FILES = ${JSON.stringify(files)}
const kept = () => caches.keys().then(names => names.filter(name => name.startsWith('soakline-')))
const drop = names => Promise.all(names.map(name => caches.delete(name)))
self.addEventListener('install', event => {
  event.waitUntil(caches.open(RELEASE).then(cache => cache.addAll(FILES.map(file => new Request(file, { cache: 'reload' })))))
})
self.addEventListener('message', ({ data }) => {
  if (data === 'take-over') self.skipWaiting()
})
self.addEventListener('activate', event => {
  // Names come in the order in which they were made.
  event.waitUntil(
    kept()
      .then(names => drop(names.filter(name => name !== RELEASE).slice(0, -1)))
      .then(() => self.clients.claim()),
  )
})
self.addEventListener('fetch', event => {
  const { request } = event
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== self.location.origin) return
  const own = () => caches.open(RELEASE).then(cache => cache.match(request.mode === 'navigate' ? './' : request, { ignoreSearch: true }))
  const before = () => (request.mode === 'navigate' ? undefined : caches.match(request, { ignoreSearch: true }))
  if (request.mode === 'navigate' && url.searchParams.has('fresh')) {
    event.respondWith(
      fetch(request.url, { cache: 'reload' }).then(
        async fresh => {
          if (!fresh.ok) return (await own()) ?? fresh
          await self.registration.unregister()
          await drop(await kept())
          return fresh
        },
        own,
      ),
    )
    return
  }
  event.respondWith(own().then(async found => found ?? (await before()) ?? fetch(request)))
})
`

/** In place of the worker: takes every earlier one off the browsers that have it, with all that it kept, and loads their pages from the server. */
export const KILL_SWITCH = `self.addEventListener('install', () => self.skipWaiting())
self.addEventListener('activate', event => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) if (name.startsWith('soakline-')) await caches.delete(name)
      await self.registration.unregister()
      for (const page of await self.clients.matchAll({ type: 'window' })) await page.navigate(page.url)
    })(),
  )
})
`
