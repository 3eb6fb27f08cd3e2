import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Plugin } from 'vite'

/** Makes `offline.js`, a service worker that keeps the built files, so that the page opens with no network. */
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
      this.emitFile({ type: 'asset', fileName: 'offline.js', source: serviceWorker(sum.digest('hex').slice(0, 16), names) })
    },
  }
}

/** The new release is fetched whole before it takes over; until then the old one stays as it is. Other hosts are never answered for. */
const serviceWorker = (release: string, files: readonly string[]): string => `const RELEASE = 'soakline-${release}'
const FILES = ${JSON.stringify(files)}
self.addEventListener('install', event => {
  event.waitUntil(caches.open(RELEASE).then(cache => cache.addAll(FILES.map(file => new Request(file, { cache: 'reload' })))))
})
self.addEventListener('activate', event => {
  event.waitUntil(
    caches.keys().then(names => Promise.all(names.filter(name => name.startsWith('soakline-') && name !== RELEASE).map(name => caches.delete(name)))).then(() => self.clients.claim()),
  )
})
self.addEventListener('fetch', event => {
  const { request } = event
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return
  event.respondWith(
    caches.open(RELEASE)
      .then(cache => cache.match(request.mode === 'navigate' ? './' : request, { ignoreSearch: true }))
      .then(kept => kept ?? fetch(request)),
  )
})
`
