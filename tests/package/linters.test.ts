// Linters of packages, run on what would be published: publint (entries, files, types) and attw (types as every resolver of ESM finds them).
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { publint } from 'publint'
import { formatMessage } from 'publint/utils'
import { afterAll, describe, expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'
import { PUBLISHED, packed } from './packed.js'

const folder = mkdtempSync(join(tmpdir(), 'soakline-pack-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe.each(PUBLISHED)('packages/%s', name => {
  const archive = packed(name, folder)
  const manifest = JSON.parse(readFileSync(join(repositoryRoot, 'packages', name, 'package.json'), 'utf8')) as Record<string, unknown>

  test('publint finds nothing', async () => {
    const tarball = new Uint8Array(readFileSync(archive)).buffer
    const { messages, pkg } = await publint({ pkgDir: 'package', pack: { tarball } })
    expect(messages.map(message => formatMessage(message, pkg as Record<string, unknown>))).toEqual([])
  })

  test('attw finds nothing that an ES module could meet', () => {
    const run = spawnSync(
      process.execPath,
      [join(repositoryRoot, 'node_modules/@arethetypeswrong/cli/dist/index.js'), archive, '--profile', 'esm-only', '--format', 'json'],
      { encoding: 'utf8' },
    )
    expect(run.status, `${run.stdout.slice(0, 4000)}${run.stderr}`).toBe(0)
  })

  test('is an ES module without side effects, without scripts, in version 0', () => {
    expect(manifest).toMatchObject({ type: 'module', sideEffects: false, license: 'MIT' })
    expect(manifest.scripts).toBeUndefined()
    expect(manifest.version).toMatch(/^0\./)
  })
})

test('the pure part has no dependency', () => {
  const { dependencies } = JSON.parse(readFileSync(join(repositoryRoot, 'packages/soakline/package.json'), 'utf8')) as {
    dependencies?: object
  }
  expect(dependencies ?? {}).toEqual({})
})

test('all packages and apps have one version, and the changelog begins with it', () => {
  const folders = ['', 'packages/soakline', 'packages/io', 'packages/drawing', 'apps/cli', 'apps/map']
  const versions = folders.map(
    folder => (JSON.parse(readFileSync(join(repositoryRoot, folder, 'package.json'), 'utf8')) as { version: string }).version,
  )
  expect(new Set(versions).size).toBe(1)
  const changes = readFileSync(join(repositoryRoot, 'packages/soakline/CHANGELOG.md'), 'utf8')
  expect(/^## (\S+)/m.exec(changes)?.[1]).toBe(versions[0])
})
