import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import { gzipSync } from 'node:zlib'
import { expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'

// What the built page makes a browser fetch before anything is seen.

const dist = join(repositoryRoot, 'apps/map/dist')
const html = readFileSync(join(dist, 'index.html'), 'utf8')
const kB = (file: string): number => gzipSync(readFileSync(join(dist, file)), { level: 9 }).length / 1000

/** A script and all that it imports before it runs. */
function withImports(entry: string): string[] {
  const found = [entry]
  for (const file of found) {
    const code = readFileSync(join(dist, file), 'utf8')
    for (const [, from] of code.matchAll(/\b(?:import|from)\s*["'](\.[^"']+)["']/g)) {
      const next = normalize(join(dirname(file), from!))
      if (!found.includes(next)) found.push(next)
    }
  }
  return found
}

const entry = normalize(/<script type="module"[^>]*src="([^"]+)"/.exec(html)![1]!)

test('the entry is small, and the map library is no part of what the answers wait for', () => {
  const first = withImports(entry)
  const sizes = Object.fromEntries(first.map(file => [file, Math.round(kB(file))]))
  expect(kB(entry), JSON.stringify(sizes)).toBeLessThanOrEqual(150)
  // The words of both languages, whole, are most of this: about 120 kB.
  expect(
    first.reduce((sum, file) => sum + kB(file), 0),
    JSON.stringify(sizes),
  ).toBeLessThanOrEqual(240)
  for (const file of first) expect(readFileSync(join(dist, file), 'utf8'), file).not.toContain('maplibregl-canvas')
})

test('every script that the page can ask for is in the build and in the list of what is kept for offline use', () => {
  const kept = JSON.parse(/const FILES = (\[.*?\])\n/.exec(readFileSync(join(dist, 'offline.js'), 'utf8'))![1]!) as string[]
  for (const name of readdirSync(join(dist, 'assets'))) expect(kept).toContain(`assets/${name}`)
  for (const file of kept) if (file !== './') expect(existsSync(join(dist, file)), file).toBe(true)
})

test('the page’s rules stand before everything else, and let nothing in that is not its own', () => {
  expect(html.indexOf('Content-Security-Policy')).toBeLessThan(html.indexOf('<script'))
  const rules = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(html)![1]!.replaceAll('&#39;', "'")
  expect(rules).toContain("default-src 'none'")
  expect(rules).toMatch(/script-src 'self'( 'wasm-unsafe-eval')?;/)
  expect(rules).not.toMatch(/'unsafe-(eval|inline|hashes)'|script-src[^;]*(blob:|data:|https?:)/)
  expect(html).not.toMatch(/<script(?![^>]*src=)|\son[a-z]+=|https?:\/\//)
})
