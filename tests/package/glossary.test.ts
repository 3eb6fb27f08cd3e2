import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { GLOSSARY } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

const rows = readFileSync(join(repositoryRoot, 'packages/soakline/docs/glossary.md'), 'utf8')
  .split('\n')
  .filter(line => /^\| (?!word|---)/.test(line))
  .map(line => line.split('|').map(cell => cell.trim()))
  .map(([, english = '', spanish = '', what = '', shown = '']) => ({ english, spanish, what, shown }))

const words = join(repositoryRoot, 'packages/drawing/src')
const said = readdirSync(words, { recursive: true, encoding: 'utf8' })
  .filter(name => name.endsWith('.ts') && name !== 'glossary.ts')
  .map(name => readFileSync(join(words, name), 'utf8'))
  .join('\n')
  .toLowerCase()

test('the glossary gives each word once, in both languages, in the order of the alphabet', () => {
  expect(rows.length).toBeGreaterThan(50)
  for (const language of ['english', 'spanish'] as const) {
    const given = rows.map(row => row[language].toLowerCase())
    expect(given.filter((word, k) => given.indexOf(word) !== k)).toEqual([])
    expect(given.filter(word => word === '')).toEqual([])
  }
  const order = rows.map(({ english }) => english.toLowerCase())
  expect(order).toEqual([...order].sort())
})

test('the words that the glossary says are on the sheet are said there', () => {
  const missing = rows.filter(({ shown }) => shown === 'yes').flatMap(({ english, spanish }) => [english, spanish])
  expect(missing.filter(word => !said.includes(word.toLowerCase()))).toEqual([])
  expect(rows.filter(({ shown }) => shown === 'yes').length).toBeGreaterThan(25)
})

test('the sheet’s own glossary has these words in both languages, with the same meanings', () => {
  const shown = rows.filter(row => row.shown === 'yes')
  expect(GLOSSARY.map(({ en }) => en)).toEqual(shown.map(({ english, what }) => [english, what.replaceAll("'", '’')]))
  expect(GLOSSARY.map(({ es }) => es[0])).toEqual(shown.map(({ spanish }) => spanish))
  for (const { es } of GLOSSARY) expect(es[1]).toMatch(/^\p{Lu}.*\.$/u)
})
