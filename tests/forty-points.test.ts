import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'

// The self-score of the sheet names its evidence; here it is looked whether that is there. What a test promises, only its own run shows.

const sheet = readFileSync(join(repositoryRoot, 'tests/browser/forty-points.md'), 'utf8')
const points = [...sheet.matchAll(/^\| (\d+) \| (.+?) \| ([012]) \| (.+) \|$/gm)].map(([, number, , score, evidence]) => ({
  number: Number(number),
  score: Number(score),
  evidence: [...evidence!.matchAll(/`((?:tests|apps|packages)\/[^`]+)` "([^"]*)"/g)].map(([, path, words]) => ({
    path: path!,
    words: words!,
  })),
}))

test('the forty points stand once each, in order, and the sum is theirs', () => {
  expect(points.map(p => p.number)).toEqual(Array.from({ length: 40 }, (_, k) => k + 1))
  const sum = points.reduce((total, { score }) => total + score, 0)
  expect(sheet).toContain(`Sum: ${sum} of 80.`)
})

test('whatever is scored names a file that is there and words that stand in it; a 2 names a test', () => {
  const faults = points.flatMap(({ number, score, evidence }) => {
    if (score === 0) return evidence.length === 0 ? [] : [`${number}: 0, but evidence`]
    const missing = evidence.filter(
      ({ path, words }) => !existsSync(join(repositoryRoot, path)) || !readFileSync(join(repositoryRoot, path), 'utf8').includes(words),
    )
    const tested = evidence.some(({ path }) => /\.test\.ts$/.test(path))
    return [
      ...(evidence.length === 0 ? [`${number}: no evidence`] : []),
      ...(score === 2 && !tested ? [`${number}: 2 without a test`] : []),
      ...missing.map(({ path, words }) => `${number}: ${path} "${words}"`),
    ]
  })
  expect(faults).toEqual([])
})
