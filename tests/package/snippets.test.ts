// Every piece of TypeScript in the README and in the library's documents is checked by the compiler and run, as a reader would.
// What a piece takes as given stands before it in a comment: <!-- given: … -->.
import { spawnSync } from 'node:child_process'
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'
import { PUBLISHED } from './packed.js'

const DOCS = 'packages/soakline/docs'
const documents = [
  'README.md',
  ...PUBLISHED.map(name => `packages/${name}/README.md`),
  ...readdirSync(join(repositoryRoot, DOCS)).map(name => `${DOCS}/${name}`),
].filter(name => name.endsWith('.md'))

const snippets = documents.flatMap(name =>
  [...readFileSync(join(repositoryRoot, name), 'utf8').matchAll(/(?:<!-- given:\n?([\s\S]*?)-->\n+)?^```ts\n([\s\S]*?)^```$/gm)].map(
    ([, given = '', body = ''], k) => ({ name: `${name}, piece ${k + 1}`, text: `${given}\n${body}\nexport {}\n` }),
  ),
)

const folder = join(repositoryRoot, 'node_modules/.cache/snippets')
const fileOf = (k: number, ending: string): string => join(folder, `piece-${k}.${ending}`)
beforeAll(() => {
  mkdirSync(folder, { recursive: true })
  for (const [k, { text }] of snippets.entries()) {
    writeFileSync(fileOf(k, 'mts'), text)
    const { outputText } = ts.transpileModule(text, { compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022 } })
    writeFileSync(fileOf(k, 'mjs'), outputText)
  }
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('there are pieces to look at', () => expect(snippets.length).toBeGreaterThan(0))

test('they compile against the packages as built', () => {
  const program = ts.createProgram(
    snippets.map((_, k) => fileOf(k, 'mts')),
    {
      module: ts.ModuleKind.NodeNext,
      moduleResolution: ts.ModuleResolutionKind.NodeNext,
      target: ts.ScriptTarget.ES2022,
      lib: ['lib.es2022.d.ts', 'lib.dom.d.ts'],
      types: ['node'],
      strict: true,
      noEmit: true,
      skipLibCheck: true,
    },
  )
  const said = ts
    .getPreEmitDiagnostics(program)
    .map(({ file, messageText }) => `${file?.fileName}: ${ts.flattenDiagnosticMessageText(messageText, '\n')}`)
  expect(said).toEqual([])
})

test.each(snippets.map(({ name }, k) => ({ name, k })))('it runs: $name', ({ k }) => {
  const run = spawnSync(process.execPath, [fileOf(k, 'mjs')], { cwd: repositoryRoot, encoding: 'utf8' })
  expect(run.stderr).toBe('')
  expect(run.status).toBe(0)
})
