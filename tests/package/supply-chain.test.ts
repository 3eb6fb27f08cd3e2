// What comes from others: where it comes from, what it may do on installation, and under which licence. UPDATE_LICENCES=1 writes the list anew.
import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

const read = (path: string): string => readFileSync(join(repositoryRoot, path), 'utf8')
const { packageManager } = JSON.parse(read('package.json')) as { packageManager: string }

/** Licences that ask for no more than to be named, and so go with ours (MIT). Fonts are under the Open Font Licence. */
const PERMISSIVE = new Set([
  '0BSD',
  'Apache-2.0',
  'BlueOak-1.0.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'CC0-1.0',
  'ISC',
  'MIT',
  'OFL-1.1',
  'Unlicense',
  'Zlib',
])
/** Tools that build and check, and are not handed on, may also be under a licence that keeps their own files open. */
const TOOLS = new Set([...PERMISSIVE, 'MPL-2.0', 'CC-BY-4.0', 'Python-2.0'])

interface Licensed {
  readonly name: string
  readonly versions: readonly string[]
}

function licences(...options: readonly string[]): readonly (readonly [licence: string, packages: readonly Licensed[]])[] {
  const run = spawnSync('npx', ['--yes', packageManager, 'licenses', 'list', '-r', '--json', ...options], {
    cwd: repositoryRoot,
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  })
  if (run.status !== 0) throw new Error(`The licences could not be listed: ${run.stderr}${run.stdout}`)
  return Object.entries(JSON.parse(run.stdout) as Record<string, Licensed[]>)
}

/** `(MIT OR Apache-2.0)` is allowed where one of them is, `MIT AND Zlib` where both are. */
const isAllowed = (expression: string, allowed: ReadonlySet<string>): boolean =>
  expression
    .replace(/[()]/g, '')
    .split(' OR ')
    .some(choice => choice.split(' AND ').every(licence => allowed.has(licence)))

const handedOn = licences('--prod')

test('what the packages and the sheet hand on is under a permissive licence', () => {
  expect(handedOn.filter(([licence]) => !isAllowed(licence, PERMISSIVE))).toEqual([])
})

test('what builds and checks is under a licence that allows it', () => {
  expect(licences().filter(([licence]) => !isAllowed(licence, TOOLS))).toEqual([])
})

test('the list of what is handed on is kept', () => {
  const rows = handedOn
    .flatMap(([licence, packages]) =>
      packages.map(({ name, versions }) => `| ${name} | ${versions.join(', ')} | ${licence.replace(/[()]/g, '')} |`),
    )
    .sort()
  const text = `# Others' work in Soakline\n\nWhat the packages need and the sheet carries, with its licence. The library itself, \`soakline\`, needs nothing. Written by\n\`UPDATE_LICENCES=1 npx vitest run tests/package/supply-chain.test.ts\`; a test holds it against what is installed.\n\nWhether an advisory is known against one of them is not checked: no advisory service can be reached where this is built, so \`pnpm audit\` says nothing there.\nAsk it before a release, where it answers.\n\n| package | version | licence |\n|---|---|---|\n${rows.join('\n')}\n`
  if (process.env.UPDATE_LICENCES) writeFileSync(join(repositoryRoot, 'packages/soakline/docs/licences.md'), text)
  expect(read('packages/soakline/docs/licences.md')).toBe(text)
})

test('the lock file names no host, and every package in it by its checksum', () => {
  const lock = read('pnpm-lock.yaml')
  expect(lock.match(/https?:\/\/[^\s'"]+/g) ?? []).toEqual([])
  const resolutions = lock.match(/^ {4}resolution: .*$/gm) ?? []
  expect(resolutions.length).toBeGreaterThan(100)
  expect(resolutions.filter(line => !/integrity: sha512-/.test(line))).toEqual([])
})

test('nothing runs a script when it is installed', () => {
  const store = join(repositoryRoot, 'node_modules/.pnpm')
  const manifests = readdirSync(store).flatMap(entry => {
    const folder = join(store, entry, 'node_modules')
    if (!existsSync(folder)) return []
    return readdirSync(folder).flatMap(name =>
      name.startsWith('@') ? readdirSync(join(folder, name)).map(part => join(folder, name, part)) : [join(folder, name)],
    )
  })
  const withScripts = manifests
    .map(folder => join(folder, 'package.json'))
    .filter(path => existsSync(path))
    .map(path => JSON.parse(readFileSync(path, 'utf8')) as { name: string; scripts?: Record<string, string> })
    .filter(({ scripts }) => scripts && ['preinstall', 'install', 'postinstall'].some(key => key in scripts))
  expect(withScripts.map(({ name }) => name)).toEqual([])
  expect(read('pnpm-workspace.yaml')).toContain('allowBuilds: {}')
})
