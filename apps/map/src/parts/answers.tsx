import { useComputed } from '@preact/signals'
import {
  formatArea,
  formatDepth,
  formatDuration,
  formatHeight,
  formatLength,
  formatNumber,
  formatPull,
  formatSlope,
  formatSpeed,
  formatVolume,
  handsWords,
  plainText,
  sayFact,
  sayNext,
  sayPlace,
  saySoilReason,
  saySource,
  sayVerdict,
  sitingSheetWords,
  type Voice,
} from '@soakline/drawing'
import { Fragment } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Finding } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import { answersWithBefore, type MarginAnswer } from '../state/answers-in-order.js'
import * as edits from '../state/edits.js'
import { Mark } from './drawing.js'
import { FindLines } from './find-lines.js'
import { CascadeItem, JobItem, useJobSteps } from './job-items.js'
import { Matters } from './matters.js'
import { Refused } from './refused.js'
import { BreachWhy, BuildingWhy, RidgeWhy, SpillWhy } from './siting-why.js'
import { SizingWhy } from './sizing.js'
import { TimeLeft } from './time-left.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

/** Steps of the job that stand among the answers, and before which of them. */
const BEFORE: Readonly<Record<string, readonly string[]>> = {
  line: ['line-across-flow', 'ridge'],
  section: ['freeboard'],
}

/** The margin: every answer about the line as a sentence with its mark, in the order of the job. On a phone they are stepped through. */
export function Answers() {
  const { sheet, prefs, say } = useDesk()
  const list = useComputed(() =>
    sheet.answer.value === null
      ? []
      : answersWithBefore(sheet.answer.value.assessment, sheet.lastWhole.value?.assessment ?? null, prefs.voice.value),
  )
  const job = useJobSteps()
  const strip = useRef<HTMLOListElement>(null)
  const [at, setAt] = useState(0)
  const focused = sheet.focused.value
  const answers = list.value

  const show = (k: number): void => {
    const list = strip.current
    const item = list?.children[k]
    if (!list || !(item instanceof HTMLElement)) return
    const behavior = calm() ? 'auto' : 'smooth'
    // On a phone the list is swiped sideways; on a desk the leaf that holds it is scrolled.
    if (getComputedStyle(list).overflowX !== 'visible') list.scrollTo({ left: item.offsetLeft - list.offsetLeft, behavior })
    else list.closest('.leaf')?.scrollTo({ top: item.offsetTop - list.offsetTop, behavior })
  }
  // The answer to the question asked comes into sight.
  useEffect(() => {
    if (focused === null) return
    const k = [...(strip.current?.children ?? [])].findIndex(item => item.getAttribute('data-question') === focused)
    if (k >= 0) show(k)
  }, [focused, answers.length])

  const { ground, lineProblem, siteProblem, line, opening } = sheet
  if (siteProblem.value !== null || lineProblem.value !== null) {
    const refusal = siteProblem.value ?? lineProblem.value!
    return (
      <div class="empty refusal" role="alert">
        <h2>{siteProblem.value ? say.answer.siteRefused : say.answer.refused}</h2>
        <p>
          <Refused refusal={refusal} />
        </p>
        {sheet.history.value.done.length > 0 && (
          <button type="button" onClick={sheet.undo}>
            {say.answer.undoIt}
          </button>
        )}
      </div>
    )
  }
  if (ground.value === null && opening.value === null)
    return (
      <div class="empty">
        <h2>{say.answer.noGround}</h2>
        <p>{say.answer.noGroundNext}</p>
        <OpenButtons />
      </div>
    )
  if (line.value === null && ground.value !== null)
    return (
      <div class="empty">
        <h2>{say.answer.noLine}</h2>
        <p>{say.answer.noLineNext}</p>
        <TypedPlaceForm label={say.answer.noLineNextTyped} onPlace={sheet.pointAt} />
        <FindLines />
      </div>
    )
  if (answers.length === 0)
    return (
      <div class="empty">
        <p>{opening.value === null ? say.answer.working : say.file.opening(opening.value)}</p>
      </div>
    )

  // Steps that no check judges stand where the job has them: line and section among the answers, the work on the ground after them.
  const within = job.flatMap(standing => {
    const before = answers.findIndex(({ key }) => BEFORE[standing.step]?.includes(key))
    return before < 0 ? [] : [{ standing, before }]
  })
  const after = job.filter(standing => !within.some(step => step.standing === standing))
  const steps = answers.length + job.length + (sheet.plan.value.lines.length > 1 ? 1 : 0)
  const step = Math.min(at, steps - 1)
  return (
    <div class={`answers ${focused === null ? '' : 'answers-dimmed'}`} aria-busy={sheet.answering.value}>
      <WholeProgress />
      <ol
        class="answer-list"
        ref={strip}
        aria-label={say.answer.order}
        onScroll={event => {
          const { scrollLeft, clientWidth } = event.currentTarget
          if (clientWidth > 0) setAt(Math.round(scrollLeft / clientWidth))
        }}
      >
        {answers.map((answer, k) => (
          <Fragment key={answer.key}>
            {within
              .filter(step => step.before === k)
              .map(({ standing }) => (
                <JobItem key={standing.step} standing={standing} />
              ))}
            <AnswerItem answer={answer} assessment={sheet.answer.value!.assessment} />
          </Fragment>
        ))}
        {after.map(standing => (
          <JobItem key={standing.step} standing={standing} />
        ))}
        <CascadeItem />
      </ol>
      <div class="answer-steps">
        <button type="button" disabled={step === 0} onClick={() => show(step - 1)} aria-label={say.answer.previous}>
          ‹
        </button>
        <span>{say.answer.step(step + 1, steps)}</span>
        <button type="button" disabled={step === steps - 1} onClick={() => show(step + 1)} aria-label={say.answer.following}>
          ›
        </button>
      </div>
    </div>
  )
}

/** How far the whole answer is, with a way to stop it and to take it up again. */
function WholeProgress() {
  const { sheet, voice, say } = useDesk()
  const words = sitingSheetWords(voice)
  const done = sheet.wholeDone.value
  if (done === null && !sheet.wholeStopped.value) return null
  return (
    <div class="small whole-progress">
      {done === null ? (
        <p>{words.stopped}</p>
      ) : (
        <>
          <label>
            {say.answer.wholeWorking} <progress max={1} value={done} />
          </label>{' '}
          <TimeLeft done={done} />
        </>
      )}
      <button type="button" onClick={done === null ? sheet.goOnWhole : sheet.stopWhole}>
        {done === null ? words.goOn : words.stop}
      </button>
    </div>
  )
}

const calm = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches

export function OpenButtons() {
  const { sheet, chooseFiles, say } = useDesk()
  return (
    <p class="button-row">
      <button type="button" class="firm" onClick={chooseFiles}>
        {say.file.choose}
      </button>
      <button type="button" onClick={() => void sheet.openDemo()}>
        {say.bar.demo}
      </button>
    </p>
  )
}

function AnswerItem({ answer, assessment }: { readonly answer: MarginAnswer; readonly assessment: Assessment }) {
  const { sheet, voice, say } = useDesk()
  const isFocused = sheet.focused.value !== null && sheet.focused.value === answer.question
  const [open, setOpen] = useState(false)
  useEffect(() => {
    if (isFocused) setOpen(true)
  }, [isFocused])
  return (
    <li
      data-question={answer.question ?? undefined}
      class={`answer answer-${answer.verdict} ${answer.question ? 'answer-star' : ''} ${isFocused ? 'answer-focused' : ''} ${answer.ofBefore ? 'answer-before' : ''}`}
    >
      <h2>
        <Mark verdict={answer.verdict} voice={voice} />
        <span>{answer.title}</span>
        <span class="verdict-word">{sayVerdict(answer.verdict, voice)}</span>
      </h2>
      <p class="answer-text">{answer.text}</p>
      {answer.question === 'spill' && <SpillGiven />}
      {answer.ofBefore && <p class="small answer-again">{sitingSheetWords(voice).againOf}</p>}
      <details open={open} onToggle={event => setOpen(event.currentTarget.open)}>
        <summary>{say.answer.why}</summary>
        {open && (
          <div class="why">
            {answer.question === 'spill' && <SpillWhy />}
            {answer.question === 'ridge' && <RidgeWhy />}
            {answer.question === 'building' && <BuildingWhy />}
            {answer.findings[0]?.check === 'breach-misses-buildings' && <BreachWhy />}
            {answer.findings[0]?.check === 'soil-soaks' && <SoilWhy assessment={assessment} />}
            {answer.findings.map(finding => (
              <Why key={finding.because} finding={finding} assessment={assessment} voice={voice} />
            ))}
            <SizingWhy check={answer.question === null ? answer.findings[0]?.check : undefined} />
            <Matters checks={answer.question === null ? answer.findings.map(f => f.check) : SAID_BY[answer.question]} />
          </div>
        )}
      </details>
    </li>
  )
}

/** Where the steward has set the spill himself; a tap lets the best place be chosen again. */
function SpillGiven() {
  const { sheet, voice } = useDesk()
  const { spillChainage_m } = sheet.plan.value.settings
  const assessment = sheet.answer.value?.assessment
  if (spillChainage_m == null || assessment === undefined) return null
  const say = handsWords(voice).spill
  return (
    <p class="small spill-given">
      {say.given(sayPlace(assessment, spillChainage_m, voice))}{' '}
      <button type="button" onClick={() => sheet.edit(plan => edits.unsetSetting(plan, 'spillChainage_m'))}>
        {say.best}
      </button>
    </p>
  )
}

/** The checks that the three answers rest on. */
const SAID_BY: Readonly<Record<NonNullable<MarginAnswer['question']>, readonly string[]>> = {
  ridge: ['catchment-complete'],
  building: ['overflow-misses-buildings'],
  spill: ['spill-carries-peak', 'exit-holds'],
}

/** Details that stand in the sentence or as the limit already. */
const SAID_ABOVE: readonly string[] = ['edgeShare_ratio', 'least', 'most']

function Why({ finding, assessment, voice }: { readonly finding: Finding; readonly assessment: Assessment; readonly voice: Voice }) {
  const { say } = useDesk()
  const { measured, limit, unit, chainage_m } = finding
  const rows: [string, string][] = []
  if (measured !== null) rows.push([say.answer.measured, inUnit(measured, unit, voice)])
  if (limit !== null) rows.push([say.answer.limit, inUnit(limit, unit, voice)])
  if (chainage_m !== null) rows.push([say.answer.at, sayPlace(assessment, chainage_m, voice)])
  for (const [key, value] of Object.entries(finding.details)) {
    if (value === null || SAID_ABOVE.includes(key)) continue
    rows.push([Object.hasOwn(say.fact, key) ? say.fact[key]! : plainText(key), sayFact(key, value, voice)])
  }
  return (
    <>
      <p class="next">
        <strong>{say.answer.next}:</strong> {sayNext(finding, voice)}
      </p>
      {rows.length > 0 && (
        <dl>
          {rows.map(([name, text]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{text}</dd>
            </div>
          ))}
        </dl>
      )}
      <p class="small">
        {say.answer.source}: <cite>{saySource(finding.source, voice)}</cite>
      </p>
    </>
  )
}

/** What pits, tests and the walk say, the weightiest first. */
function SoilWhy({ assessment }: { readonly assessment: Assessment }) {
  const { voice } = useDesk()
  const reasons = assessment.soaking.record?.reasons ?? []
  if (reasons.length === 0) return null
  return (
    <section class="why-part">
      <h3>{sitingSheetWords(voice).soil.reasons}</h3>
      <ul>
        {reasons.map(reason => (
          <li key={`${reason.code} ${reason.pit}`}>{saySoilReason(reason, voice)}</li>
        ))}
      </ul>
    </section>
  )
}

function inUnit(value: number, unit: string | null, voice: Voice): string {
  if (unit === 'm') return value < 3 ? formatHeight(value, voice) : formatLength(value, voice)
  if (unit === 'm2') return formatArea(value, voice)
  if (unit === 'm3') return formatVolume(value, voice)
  if (unit === '1') return formatSlope(value, voice)
  if (unit === 'mm') return formatDepth(value, voice)
  if (unit === 'm/s') return formatSpeed(value, voice)
  if (unit === 'Pa') return formatPull(value, voice)
  if (unit === 'h') return formatDuration(value, voice)
  if (unit === 'min') return formatDuration(value / 60, voice)
  return `${formatNumber(value, voice, 2)} ${unit ?? ''}`.trim()
}
