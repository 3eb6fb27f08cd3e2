// The packages as a stranger meets them: packed, installed into a folder of their own, used in Node, in a bundled page and in its worker.
import { spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { extname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openChromium } from '../helpers/chromium.js'
import { repositoryRoot } from '../helpers/repository.js'
import { PUBLISHED, packed } from './packed.js'

interface Answer {
  readonly area_m2: number
  readonly findings: number
  readonly said: readonly string[]
}

const { packageManager } = JSON.parse(readFileSync(join(repositoryRoot, 'package.json'), 'utf8')) as { packageManager: string }
const folder = mkdtempSync(join(tmpdir(), 'soakline-consumer-'))
let server: Server | undefined

function must(program: string, args: readonly string[]): string {
  const run = spawnSync(program, args, { cwd: folder, encoding: 'utf8', maxBuffer: 1 << 26 })
  if (run.status !== 0) throw new Error(`${program} ${args.join(' ')}: ${run.stderr}${run.stdout}`)
  return run.stdout
}

beforeAll(() => {
  cpSync(join(repositoryRoot, 'tests/package/consumer'), folder, { recursive: true })
  const archives = Object.fromEntries(
    PUBLISHED.map(name => {
      const archive = packed(name, folder)
      return [name === 'soakline' ? 'soakline' : `@soakline/${name}`, `file:${archive}`]
    }),
  )
  // Until they are published the packages find each other as archives too.
  writeFileSync(
    join(folder, 'package.json'),
    JSON.stringify({ name: 'stranger', private: true, type: 'module', dependencies: archives, pnpm: { overrides: archives } }),
  )
  must('npx', ['--yes', packageManager, 'install', '--prefer-offline', '--ignore-scripts', '--ignore-workspace'])
}, 120_000)
afterAll(() => {
  server?.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Bundles an entry with the bundler that the sheet is built with. */
function bundle(entry: string, out: string, library: boolean): void {
  const config = `export default { root: ${JSON.stringify(folder)}, base: './', worker: { format: 'es' }, logLevel: 'error', build: { outDir: ${JSON.stringify(out)}, target: 'es2022', ${
    library ? `lib: { entry: ${JSON.stringify(entry)}, formats: ['es'], fileName: 'bundle' }` : ''
  } } }`
  writeFileSync(join(folder, 'vite.config.mjs'), config)
  must(process.execPath, [
    join(repositoryRoot, 'apps/map/node_modules/vite/bin/vite.js'),
    'build',
    '--config',
    join(folder, 'vite.config.mjs'),
  ])
}

const expected = (): Answer => JSON.parse(must(process.execPath, ['in-node.js'])) as Answer

test('in Node: every package is found, and a strip above a line of 40 m is caught', () => {
  const { area_m2, findings, said } = expected()
  // 30 rows of 2 m lie above the line, which stands 60 m below the north rim of a plane: 40 m × 60 m.
  expect(Math.abs(area_m2 - 2400)).toBeLessThan(24)
  expect(findings).toBeGreaterThan(8)
  expect(said.every(text => text.length > 10)).toBe(true)
})

test('in a bundled page and in its worker: the same answers', async () => {
  bundle('index.html', join(folder, 'page'), false)
  const types: Record<string, string> = { '.html': 'text/html', '.js': 'text/javascript' }
  server = createServer((request, response) => {
    const path = join(folder, 'page', request.url === '/' ? 'index.html' : new URL(request.url ?? '/', 'http://here').pathname)
    if (!existsSync(path)) return void response.writeHead(404).end()
    response.writeHead(200, { 'content-type': types[extname(path)] ?? 'application/octet-stream' }).end(readFileSync(path))
  })
  await new Promise<void>(done => server!.listen(0, '127.0.0.1', done))
  const browser = await openChromium()
  try {
    const page = await browser.newPage()
    await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
    const answers = (await page.evaluate('globalThis.answers')) as readonly Answer[]
    expect(answers).toEqual([expected(), expected()])
  } finally {
    await browser.close()
  }
})

test('one function bundles to itself and little more', () => {
  bundle('one-function.js', join(folder, 'small'), true)
  const text = readdirSync(join(folder, 'small'))
    .map(name => readFileSync(join(folder, 'small', name), 'utf8'))
    .join('')
  expect(text).toContain('gradient_ratio')
  expect(text.length).toBeLessThan(4_000)
})
