import { readdirSync, readFileSync } from 'node:fs'
import { sayRefusal, sheetWords } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US } from './hillside.js'

/** Refusals of a caller of the library: whoever uses the sheet, a file or the command line cannot bring them about. */
const ONLY_CALLERS = [
  // Windows, weights and exponents that the program itself chooses.
  'flow/bad-contour',
  'flow/bad-exponent',
  'ground/bad-window',
  'ground/window-too-large',
  'weights/no-data',
  'weights/other-raster',
  // Parts of one trial, put together by the program.
  'doubt/parts-do-not-fit',
]

/** Sources of a folder and of all below it. */
const allSources = (folder: URL): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap(entry =>
    entry.isDirectory()
      ? allSources(new URL(`${entry.name}/`, folder))
      : entry.name.endsWith('.ts')
        ? [readFileSync(new URL(entry.name, folder), 'utf8')]
        : [],
  )

test('every refusal that a user can meet has its sentence in both languages', () => {
  const all = ['../../soakline/src/', '../../io/src/'].flatMap(folder => allSources(new URL(folder, import.meta.url))).join('\n')
  const thrown = [
    ...all.matchAll(/new InputError\(\s*'([a-z0-9-]+\/[a-z0-9-]+)'/g),
    ...all.matchAll(/refuse(?:UnlessPositive|Negative)\(\s*'([a-z0-9-]+\/[a-z0-9-]+)'/g),
  ].map(match => match[1]!)
  const codes = [...new Set(thrown)].sort()
  expect(codes.length).toBeGreaterThan(150)
  for (const voice of [EN, EN_US, ES, ES_US]) {
    expect(codes.filter(code => !ONLY_CALLERS.includes(code) && sayRefusal({ code }, voice) === null)).toEqual([])
    for (const code of codes) expect(sayRefusal({ code }, voice) ?? '').not.toMatch(/[[\]{}]|undefined/)
  }
  // The list shrinks only: a code with a sentence, or one that is no longer thrown, leaves it.
  expect(ONLY_CALLERS.filter(code => !codes.includes(code) || sayRefusal({ code }, EN) !== null)).toEqual([])
  expect(Object.keys(sheetWords(ES).refusal).sort()).toEqual(Object.keys(sheetWords(EN).refusal).sort())
})
