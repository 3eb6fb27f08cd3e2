import { handsWords, sayEarth, sayEarthShort, sayJobStep, sayVerdict, sizingWords } from '@soakline/drawing'
import { useEffect, useState } from 'preact/hooks'
import { type JobStep, jobSteps, type StepStanding, settingsFrom } from 'soakline/plan'
import { Mark } from './drawing.js'
import { Foot } from './foot.js'
import { Relief } from './relief.js'
import { Said } from './sizing.js'
import { CascadeSaid } from './swales.js'
import { useNarrow } from './use-narrow.js'
import { useDesk } from './with-sheet.js'

/** Steps whose papers stand on the leaf of the work. */
const ON_WORK_LEAF: readonly JobStep[] = ['stakes', 'digging', 'planting', 'as-built', 'care']

/** How the steps of the job stand that no check judges, from the settled answer; the work is asked for once it has settled. */
export function useJobSteps(): readonly StepStanding[] {
  const { sheet } = useDesk()
  const settled = sheet.settled.value
  const answering = sheet.answering.value
  const { built, settings } = sheet.plan.value
  useEffect(() => {
    if (!answering && settled !== null) sheet.askWork()
  }, [settled, answering, built])
  if (settled === null) return []
  const work = sheet.work.value
  const read = work?.built && 'value' in work.built ? work.built.value.asBuilt : null
  const { depth_m } = settingsFrom(settings).settings
  return jobSteps(settled.assessment, depth_m, work?.work ?? null, read)
}

/** One step of the job: its mark, its sentence, what to do next. */
export function JobItem({ standing }: { readonly standing: StepStanding }) {
  const { sheet, voice, say } = useDesk()
  const [open, setOpen] = useState(false)
  const narrow = useNarrow()
  const settled = sheet.settled.value
  if (settled === null) return null
  const said = sayJobStep(standing, voice)
  const digging = standing.step === 'digging'
  const isBefore = settled !== sheet.answer.value
  return (
    <li class={`answer-more answer-${standing.verdict}`} title={isBefore ? sizingWords(voice).hydrograph.moving : undefined}>
      <h2>
        <Mark verdict={standing.verdict} voice={voice} />
        <span>{said.title}</span>
        <span class="verdict-word">{sayVerdict(standing.verdict, voice)}</span>
      </h2>
      <div class={isBefore ? 'of-before' : undefined}>
        <p class="answer-text">
          {said.text} {digging && sayEarthShort(settled.assessment, voice)}
        </p>
      </div>
      {standing.step === 'section' && <div class="foot-inside">{narrow && <Foot />}</div>}
      <details open={open} onToggle={event => setOpen(event.currentTarget.open)}>
        <summary>{say.answer.why}</summary>
        {open && (
          <div class="why">
            <p class="next">
              <strong>{say.answer.next}:</strong> {said.next}
            </p>
            {standing.step === 'section' && <Relief />}
            {digging && <Said part={sayEarth(settled.assessment, voice)} />}
            {ON_WORK_LEAF.includes(standing.step) && (
              <p>
                <button
                  type="button"
                  onClick={() => {
                    sheet.leaf.value = 'work'
                  }}
                >
                  {handsWords(voice).job.open}
                </button>
              </p>
            )}
          </div>
        )}
      </details>
    </li>
  )
}

/** The swales together, where the plan has more than one. */
export function CascadeItem() {
  const { sheet, voice } = useDesk()
  if (sheet.plan.value.lines.length < 2) return null
  return (
    <li class="answer-more">
      <h2>
        <span>{handsWords(voice).swales.title}</span>
      </h2>
      <CascadeSaid />
    </li>
  )
}
