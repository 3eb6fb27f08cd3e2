import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

interface Bug {
  readonly file: string
  readonly old: string
  readonly now: string
  readonly breaks: string
  readonly tests: readonly string[]
}

const { BUGS } = (await import('./bugs.mjs' as string)) as { BUGS: readonly Bug[] }
const { allMutants } = (await import('../long/mutants.mjs' as string)) as { allMutants: () => readonly unknown[] }

test('at least forty bugs are listed, no two the same', () => {
  expect(BUGS.length).toBeGreaterThanOrEqual(40)
  expect(new Set(BUGS.map(({ file, old, now }) => `${file}\n${old}\n${now}`)).size).toBe(BUGS.length)
})

test.each(BUGS)('its place is still there, once: $breaks', ({ file, old, now, tests }) => {
  const source = readFileSync(join(repositoryRoot, file), 'utf8')
  expect(source.split(old).length - 1, `“${old}” in ${file}`).toBe(1)
  expect(now).not.toBe(old)
  expect(tests.length).toBeGreaterThan(0)
  for (const path of tests) expect(existsSync(join(repositoryRoot, path)), path).toBe(true)
})

test('every change that is said to make no difference can still be made', () => expect(allMutants().length).toBeGreaterThan(1000))
