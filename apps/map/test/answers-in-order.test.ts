import { CHECKS, type Finding } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import { expect, test } from 'vitest'
import { answersInOrder, answersSoFar } from '../src/state/answers-in-order.js'

const VOICE = { language: 'en', units: 'metric' } as const

const finding = (check: string): Finding => ({
  check: check as Finding['check'],
  verdict: 'holds',
  measured: null,
  limit: null,
  unit: null,
  chainage_m: null,
  because: 'code/of-a-test',
  source: '',
  details: {},
})
const assessment = (checks: readonly string[]): Assessment =>
  ({
    line: { path: [], length_m: 0, bedElevation_m: 0 },
    catchment: { area_m2: 1, cutByEdge: false, ridge: null },
    spills: [],
    findings: checks.map(finding),
  }) as unknown as Assessment

const names = (checks: readonly string[]): string[] =>
  answersInOrder(assessment(checks), VOICE).map(a => a.question ?? a.findings[0]!.check)

const JOB = [
  'ground-fit',
  'permissions-asked',
  'soil-soaks',
  'line-off-no-go',
  'cautions-on-line',
  'spill',
  'line-across-flow',
  'ridge',
  'storage-holds-storm',
  'spill-carries-peak',
  'exit-holds',
  'freeboard',
  'water-against-fill',
  'local-limits',
  'spill-place',
  'building',
  'overflow-stays-on-holding',
  'breach-misses-buildings',
]

test('the answers stand in the order of the job, however the checks come, and every check has its place', () => {
  expect(names(CHECKS)).toEqual(JOB)
  expect(names([...CHECKS].reverse())).toEqual(JOB)
})

test('a check that has no place in the order comes last and is not lost; what one check found twice is one answer, the worse of both', () => {
  expect(names(['a-new-check', 'ground-fit', 'ground-fit'])).toEqual(['ground-fit', 'spill', 'ridge', 'building', 'a-new-check'])
  const both = assessment([])
  const findings = [finding('ground-fit'), { ...finding('ground-fit'), verdict: 'watch' as const, because: 'ground/coarse' }]
  const [one] = answersInOrder({ ...both, findings }, VOICE)
  expect(one).toMatchObject({ verdict: 'watch', findings })
  expect(one!.text).toContain('code/of-a-test')
  expect(one!.text.length).toBeGreaterThan(answersInOrder({ ...both, findings: findings.slice(0, 1) }, VOICE)[0]!.text.length)
})

test('a check that a question answers already is the evidence of that question', () => {
  const [ridge] = answersInOrder(assessment(['catchment-complete']), VOICE).filter(a => a.question === 'ridge')
  expect(ridge!.findings.map(f => f.check)).toEqual(['catchment-complete'])
})

test('until all is tried, where it spills and what it reaches ask to watch at best, and it is said', () => {
  const quick = { ...assessment(['overflow-misses-buildings', 'catchment-complete']), storms: [] } as Assessment
  const verdicts = (a: Assessment) => Object.fromEntries(answersSoFar(a, VOICE).map(({ question, verdict }) => [question, verdict]))
  expect(verdicts(quick)).toMatchObject({ building: 'watch', ridge: 'holds' })
  expect(answersSoFar(quick, VOICE).find(a => a.question === 'building')!.text).toContain('Not everything has been tried yet.')
  expect(verdicts({ ...quick, spillChoice: { places: [], best: null } } as unknown as Assessment)).toMatchObject({ building: 'holds' })
})
