import { readdirSync, readFileSync } from 'node:fs'
import {
  sayCheck,
  sayFinding,
  sayNext,
  sayPathEnd,
  sayReason,
  saySpillReason,
  sayVerdict,
  sayWarning,
  sheetWords,
  type Voice,
  wordsOf,
} from '@soakline/drawing'
import { CHECKS, type Verdict } from 'soakline/foundation'
import { COVERS, SIGHTING_KINDS } from 'soakline/hydrology'
import { SETTINGS } from 'soakline/plan'
import { NO_GO_REASONS, OVERFLOW_REASONS, SPILL_REASONS } from 'soakline/siting'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, fullFinding } from './hillside.js'

const VOICES: readonly Voice[] = [EN, EN_US, ES, ES_US]
const FINDINGS = Object.keys(wordsOf(EN).because)
const WARNINGS = Object.keys(wordsOf(EN).warning)

/** Every text and function of a dictionary by its way through it. */
function leaves(words: unknown, way = ''): string[] {
  if (typeof words !== 'object' || words === null) return [`${way}: ${typeof words}`]
  return Object.entries(words)
    .flatMap(([key, value]) => leaves(value, `${way}/${key}`))
    .sort()
}

test('Spanish says all that English says, and nothing else', () => {
  expect(leaves(wordsOf(ES))).toEqual(leaves(wordsOf(EN)))
})

/** Every fixed text of a dictionary. */
const texts = (words: unknown): string[] =>
  typeof words === 'string' ? [words] : typeof words === 'object' && words !== null ? Object.values(words).flatMap(texts) : []

test('no text is empty', () => {
  for (const voice of [EN, ES]) expect(texts(wordsOf(voice)).filter(text => text.trim() === '')).toEqual([])
})

/** The sources of a package's folder, joined. */
function sources(folder: string): string {
  const root = new URL(`../../${folder}/`, import.meta.url)
  return readdirSync(root)
    .filter(name => name.endsWith('.ts'))
    .map(name => readFileSync(new URL(name, root), 'utf8'))
    .join('\n')
}

/** All codes that a text names. */
const codesIn = (text: string): string[] => [...new Set([...text.matchAll(/'([a-z0-9-]+\/[a-z0-9-]+)'/g)].map(match => match[1]!))]

test('every reason that the library gives for a finding has a sentence', () => {
  const findings = readFileSync(new URL('../../soakline/src/plan/findings.ts', import.meta.url), 'utf8')
  const given = codesIn(findings).filter(code => !/^(storm|grid)\//.test(code) && code !== 'rise/run')
  expect(given.length).toBeGreaterThan(60)
  expect([...given, ...OVERFLOW_REASONS].filter(code => !FINDINGS.includes(code))).toEqual([])
})

test('every reason that pits, tests and the walk give has a sentence', () => {
  const decision = ['soil-decision', 'credited-intake']
    .map(name => readFileSync(new URL(`../../soakline/src/hydrology/${name}.ts`, import.meta.url), 'utf8'))
    .join('\n')
  const given = codesIn(decision).filter(code => !['soil/bad-plan', 'soil/bad-test', 'mm/h'].includes(code))
  const seen = SIGHTING_KINDS.map(kind => `soil/seen-${kind}`)
  const noted = ['water', 'mottling', 'rock'].map(thing => `soil/${thing}-not-noted`)
  const near = ['water-near', 'mottling-near', 'rock-near', 'water-above-bed', 'rock-above-bed'].map(what => `soil/${what}`)
  expect(given.length).toBeGreaterThan(20)
  expect([...given, ...seen, ...noted, ...near].filter(code => !FINDINGS.includes(code))).toEqual([])
})

test('every remark that the library or the reader makes has a sentence', () => {
  const all = ['io/src', 'soakline/src/hydrology', 'soakline/src/earthworks', 'soakline/src/plan'].map(sources).join('\n')
  const given = [...all.matchAll(/\{\s*code: '([a-z-]+\/[a-z-]+)'(?: as const)?,\s*details/g)].map(match => match[1]!)
  expect(given.length).toBeGreaterThan(10)
  expect(given.filter(code => !WARNINGS.includes(code))).toEqual([])
})

test('every finding has a sentence and a next step in both languages', () => {
  for (const code of FINDINGS)
    for (const voice of VOICES) {
      expect(sayFinding(fullFinding(code), voice)).toMatch(/^[\p{Lu}\d].{20,}\.$/u)
      expect(sayNext(fullFinding(code), voice)).toMatch(/^\p{Lu}.{20,}\.$/u)
      expect(wordsOf(voice).codeUnknown(code)).not.toBe(sayFinding(fullFinding(code), voice))
    }
  expect(Object.keys(wordsOf(EN).next).sort()).toEqual([...FINDINGS].sort())
})

test('a sentence whose values are missing says so, and shows neither code nor 0', () => {
  for (const code of FINDINGS)
    for (const voice of VOICES) {
      const bare = sayFinding({ ...fullFinding(code), measured: null, limit: null, chainage_m: null, details: {} }, voice)
      expect(bare).not.toMatch(/undefined|null|NaN|\[object/)
      expect(bare).not.toMatch(/(^|[^\d.,])0 (m|ft|in|pies|ha|m³)\b/)
    }
  for (const code of WARNINGS)
    for (const voice of VOICES) expect(sayWarning({ code: code as 'a/b', details: {} }, voice)).not.toMatch(/undefined|null|NaN|\[object/)
})

test('checks, verdicts, reasons, ends, covers and settings are all said', () => {
  const verdicts: readonly Verdict[] = ['holds', 'watch', 'fails', 'unknown']
  expect(verdicts.map(v => sayVerdict(v, EN))).toEqual(['within limits', 'watch', 'fails', 'unknown'])
  expect(verdicts.map(v => sayVerdict(v, ES))).toEqual(['dentro de límites', 'vigilar', 'no pasa', 'no se sabe'])
  for (const voice of [EN, ES]) {
    for (const check of CHECKS) expect(sayCheck(check, voice)).not.toBe(check)
    for (const reason of NO_GO_REASONS) expect(Object.hasOwn(wordsOf(voice).reason, reason)).toBe(true)
    for (const reason of Object.keys(SPILL_REASONS)) expect(saySpillReason(reason, voice)).not.toBe(reason)
    for (const cover of COVERS) expect(Object.hasOwn(wordsOf(voice).cover, cover)).toBe(true)
    expect(Object.keys(wordsOf(voice).setting).sort()).toEqual(Object.keys(SETTINGS).sort())
  }
})

test('every choice of a setting has words in both languages; only the soil groups are their own names', () => {
  for (const voice of [EN, ES]) {
    const words = wordsOf(voice)
    const said = { ...words.choice, ...words.cover, ...words.condition }
    for (const [key, { values }] of Object.entries(SETTINGS))
      for (const value of values ?? [])
        if (typeof value === 'string' && key !== 'soilGroup') expect(Object.hasOwn(said, value), `${key} ${value}`).toBe(true)
  }
})

test('a code that this version does not know shows itself', () => {
  for (const voice of [EN, ES]) {
    expect(sayFinding({ ...fullFinding('ground/fine-enough'), because: 'new/code' }, voice)).toContain('new/code')
    expect(sayWarning({ code: 'new/remark', details: { size: 3 } }, voice)).toContain('new/remark')
    expect(sayWarning({ code: 'new/remark', details: { size: 3 } }, voice)).toContain('size = 3')
    expect(sayReason('new-reason', voice)).toBe('new-reason')
    expect(saySpillReason('new-reason', voice)).toBe('new-reason')
    expect(sayPathEnd('constructor', voice)).toBe('constructor')
  }
})

test('words that the page avoids', () => {
  const say = (voice: Voice): string =>
    [
      ...FINDINGS.flatMap(code => [sayFinding(fullFinding(code), voice), sayNext(fullFinding(code), voice)]),
      ...texts(wordsOf(voice)),
      ...texts(sheetWords(voice)),
    ].join('\n')
  expect(say(EN)).not.toMatch(/\bsafe(ly|ty)?\b|\bvoids?\b|\brouting\b|level-pool|burned-in|\d-year (storm|flood)|\bguarantee/i)
  expect(say(EN)).not.toMatch(/\bprove[sn]?\b(?! nothing)/i)
  expect(say(EN)).not.toMatch(/\b(is|are) clear\b/i)
  expect(say(ES)).not.toMatch(/\bsegur[oa]s?\b|garanti[zc]/i)
})
