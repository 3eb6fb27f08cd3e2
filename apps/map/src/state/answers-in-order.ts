import { type Answer, type Question, sayAnswers, sayCheck, sayFinding, sitingSheetWords, type Voice } from '@soakline/drawing'
import { type Check, type Finding, type Verdict, worstVerdict } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'

/** One answer of the margin. */
export interface MarginAnswer {
  readonly key: string
  /** Which of the three questions it answers; null for the other checks. */
  readonly question: Question | null
  readonly title: string
  readonly verdict: Verdict
  readonly text: string
  /** What it rests on. */
  readonly findings: readonly Finding[]
  /** True for what only a whole answer says, kept from the one before. */
  readonly ofBefore?: boolean
}

/** The job's order: ground, may I, soil, no-go, outlet, line, catchment, storm, section, overflow. */
const ORDER: readonly (Question | string)[] = [
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

/** Checks whose sentence one of the three answers says already. */
const SAID: Readonly<Record<Question, readonly string[]>> = {
  ridge: ['catchment-complete'],
  building: ['overflow-misses-buildings'],
  spill: [],
}

/** Checks that only the whole answer makes. */
const WHOLE_ONLY: readonly string[] = ['spill-place', 'breach-misses-buildings']

/** The three answers so far: until every spill place and other terrains are tried, where it spills and what it reaches ask to watch at best. */
export function answersSoFar(assessment: Assessment, voice: Voice): readonly Answer[] {
  const answers = sayAnswers(assessment, voice)
  if (assessment.spillChoice) return answers
  return answers.map(answer =>
    answer.question === 'ridge' || answer.verdict !== 'holds'
      ? answer
      : { ...answer, verdict: 'watch', text: `${answer.text} ${sitingSheetWords(voice).notAllTried}` },
  )
}

/** The margin's answers, and where they are quick ones, what only a whole answer has, from the last one. */
export function answersWithBefore(assessment: Assessment, lastWhole: Assessment | null, voice: Voice): readonly MarginAnswer[] {
  const missing = (lastWhole?.findings ?? []).filter(
    f => WHOLE_ONLY.includes(f.check) && !assessment.findings.some(other => other.check === f.check),
  )
  if (missing.length === 0) return answersInOrder(assessment, voice)
  return answersInOrder({ ...assessment, findings: [...assessment.findings, ...missing] }, voice).map(answer =>
    answer.findings.some(f => missing.includes(f)) ? { ...answer, ofBefore: true } : answer,
  )
}

/** Everything the margin says about a line, in the order of the job; checks that this list does not know come last. */
export function answersInOrder(assessment: Assessment, voice: Voice): readonly MarginAnswer[] {
  const three = answersSoFar(assessment, voice)
  const said = Object.values(SAID).flat()
  const ofQuestion = ({ question, title, verdict, text }: Answer): MarginAnswer => ({
    key: question,
    question,
    title,
    verdict,
    text,
    findings: assessment.findings.filter(f => SAID[question].includes(f.check)),
  })
  // What one check found in several ways is one answer: the worst of it counts, all of it is said.
  const ofCheck = (check: Check): MarginAnswer => {
    const findings = assessment.findings.filter(f => f.check === check)
    return {
      key: check,
      question: null,
      title: sayCheck(check, voice),
      verdict: worstVerdict(findings.map(f => f.verdict)),
      text: findings.map(f => sayFinding(f, voice)).join(' '),
      findings,
    }
  }
  const checks = [...new Set(assessment.findings.map(f => f.check))].filter(check => !said.includes(check))
  const ranked = [
    ...three.map(answer => ({ at: ORDER.indexOf(answer.question), answer: ofQuestion(answer) })),
    ...checks.map(check => ({ at: ORDER.indexOf(check), answer: ofCheck(check) })),
  ]
  return ranked
    .map(r => ({ ...r, at: r.at < 0 ? ORDER.length : r.at }))
    .sort((a, b) => a.at - b.at)
    .map(r => r.answer)
}
