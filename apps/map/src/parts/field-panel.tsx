import {
  decimalMark,
  fieldWords,
  formatAlong,
  formatCount,
  formatFine,
  formatLength,
  formatStakeLevel,
  onSiteWords,
  readingName,
  sayAtStake,
  sayFrameMark,
  sayReadAtStake,
  sayStakeKinds,
} from '@soakline/drawing'
import { useId, useLayoutEffect, useRef, useState } from 'preact/hooks'
import {
  type BuiltReading,
  behindFrame_m,
  FIELD_TOOLS,
  type FieldReading,
  fullDepth_m,
  knownBed_m,
  levelRead_m,
  plannedLevel_m,
  readAtStake,
  readingAt,
  readingFor_m,
  type Stake,
  settingsFrom,
  withReading,
} from 'soakline/plan'
import * as edits from '../state/edits.js'
import { shownNumber, typedNumber } from '../state/shown-setting.js'
import type { WorkAnswer } from '../worker/protocol.js'
import { Select } from './field.js'
import { NumberPad } from './number-pad.js'
import { OwnPlace } from './own-place.js'
import { useLengths, useSmallLengths } from './typed-record.js'
import { useDesk } from './with-sheet.js'

const WHATS = ['bed', 'crest', 'sill'] as const

/** One stake at a time, in large letters: where it is, what to read there, how much to dig. Readings go into the plan one by one. */
export function FieldPanel({ answer }: { readonly answer: WorkAnswer }) {
  const { field, voice } = useDesk()
  const say = fieldWords(voice)
  const heading = useRef<HTMLHeadingElement>(null)
  const { stakes } = answer.work
  const number = Math.min(field.stake.value, stakes.length)
  const stake = stakes[number - 1]!
  const what = field.what.value
  // Opened by hand, the panel takes the keyboard along.
  useLayoutEffect(() => heading.current?.focus({ preventScroll: true }), [])
  return (
    <section class="field-panel" aria-label={say.title}>
      <div class="field-stake">
        <button type="button" class="field-big" disabled={number === 1} aria-label={say.previous} onClick={() => field.goTo(number - 1)}>
          ‹
        </button>
        <div>
          <h2 ref={heading} tabIndex={-1}>
            {sayAtStake(number, stakes.length, voice)}
          </h2>
          <p class="small">
            {say.along(formatAlong(stake.chainage_m, voice))}
            {sayStakeKinds(stake, voice) && ` · ${sayStakeKinds(stake, voice)}`}
          </p>
        </div>
        <button
          type="button"
          class="field-big"
          disabled={number === stakes.length}
          aria-label={say.next}
          onClick={() => field.goTo(number + 1)}
        >
          ›
        </button>
      </div>
      <OwnPlace answer={answer} stake={stake} />
      {field.tool.value === 'frame' && <FrameSteps answer={answer} number={number} />}
      <ReadHere key={`${number} ${field.tool.value} ${what}`} answer={answer} stake={stake} />
      <div class="field-tools">
        <Select
          label={say.tool}
          value={field.tool.value}
          choices={FIELD_TOOLS.map(value => ({ value: value as FieldReading['tool'], text: say.tools[value] }))}
          onChoose={tool => {
            field.tool.value = tool
          }}
        />
        <Select
          label={say.what}
          value={what}
          choices={WHATS.map(value => ({ value: value as BuiltReading['what'], text: say.whats[value] }))}
          onChoose={next => {
            field.what.value = next
          }}
        />
      </div>
      <p class="field-close">
        <button
          type="button"
          onClick={() => {
            field.open.value = false
          }}
        >
          ‹ {say.close}
        </button>
      </p>
    </section>
  )
}

/** The steps of the frame from the stake before, counted by one big button. */
function FrameSteps({ answer, number }: { readonly answer: WorkAnswer; readonly number: number }) {
  const { field, voice } = useDesk()
  const say = fieldWords(voice)
  const { aFrame } = answer.work.levelling
  const row = aFrame.tally[number - 1]
  if (number === 1 || row === undefined) return <p>{say.startHere}</p>
  const done = Math.min(field.steps.value, row.steps)
  const step = (by: number): void => {
    field.steps.value = Math.max(0, done + by)
  }
  return (
    <div class="field-steps">
      <p>{sayFrameMark(aFrame.markOffset_m, voice)}</p>
      <p class="field-count" role="status">
        {say.stepOf(formatCount(done, voice), formatCount(row.steps, voice))}
        {row.rest_m > 0.005 && `, ${say.stepRest(formatLength(row.rest_m, voice))}`}
        {done === row.steps && row.rest_m <= 0.005 && `. ${say.stepsDone}`}
      </p>
      <p class="button-row">
        <button type="button" class="field-big firm" disabled={done === row.steps} onClick={() => step(1)}>
          {say.step}
        </button>
        <button type="button" class="field-big" disabled={done === 0} onClick={() => step(-1)}>
          {say.stepBack}
        </button>
      </p>
    </div>
  )
}

/** What is typed first: the reading on the known point, until it is there; then that at the stake. */
type Asked = 'known' | 'here'

function ReadHere({ answer, stake }: { readonly answer: WorkAnswer; readonly stake: Stake }) {
  const { sheet, field, announce, voice } = useDesk()
  const say = fieldWords(voice)
  const { built: builtSay } = onSiteWords(voice)
  const [tool, what] = [field.tool.value, field.what.value]
  const { stakes, levelling } = answer.work
  const before = stakes[stake.number - 2]
  const lengths = useLengths()
  const small = useSmallLengths()
  const entry = useId()
  const record = sheet.plan.value.built
  const readings = record?.readings ?? []
  const [text, setText] = useState('')
  const [bad, setBad] = useState(false)
  const known = before ? knownBed_m(before, readings) : null
  const given = tool === 'staff' ? sheet.bench.value.backsight_m : tool === 'water' ? field.there_m.value : 0
  const asked: Asked = given === null ? 'known' : 'here'
  const planned_m = plannedLevel_m(what, stake, record?.fresh ?? false)
  const typed = typedNumber(text)
  const unit = tool === 'frame' ? small.barUnit : lengths.unit
  const taken_m = (value: number): number => (tool === 'frame' ? small.bar_m(value) : lengths.taken(value))

  const reading = (read_m: number): FieldReading | null => {
    if (tool === 'staff') return given === null ? null : { tool, known_m: stakes[0]!.ground_m, backsight_m: given, read_m }
    if (known === null || before === undefined) return null
    if (tool === 'water') return given === null ? null : { tool, known_m: known.level_m, there_m: given, read_m }
    const { legSpan_m, plumb_m } = levelling.aFrame
    const frame = { legSpan_m, plumb_m }
    return { tool, known_m: behindFrame_m(before, stake, known.level_m, frame), offset_m: read_m, frame }
  }
  const blank = reading(0)
  const now = typed === null || Number.isNaN(typed) || asked === 'known' ? null : reading(taken_m(typed))
  const against =
    now === null || planned_m === null
      ? null
      : readAtStake(what, levelRead_m(now), planned_m, fullDepth_m(stakes), settingsFrom(sheet.plan.value.settings).settings)

  const keepKnown = (): void => {
    if (typed === null || !(typed >= 0)) {
      setBad(true)
      return
    }
    if (tool === 'staff') sheet.bench.value = { ...sheet.bench.value, backsight_m: lengths.taken(typed) }
    else field.there_m.value = lengths.taken(typed)
    setText('')
    setBad(false)
  }
  const keep = (): void => {
    if (against === null) {
      setBad(true)
      return
    }
    const added: BuiltReading = { what, chainage_m: stake.chainage_m, level_m: against.level_m }
    sheet.note(plan => {
      const { fresh = false, readings: had = [] } = plan.built ?? {}
      return edits.setRecords(plan, 'set-built', { built: { fresh, readings: withReading(had, added) } })
    })
    announce(say.taken(readingName(what, voice), String(stake.number)))
    setText('')
    setBad(false)
  }
  const kept = readingAt(readings, what, stake.chainage_m)

  if (planned_m === null) return <p class="field-none">{say.none[what]}</p>
  if (tool === 'frame' && what === 'sill') return <p class="field-none">{say.notSill}</p>
  if (tool !== 'staff' && before === undefined) return tool === 'water' ? <p class="field-none">{say.startHere}</p> : null
  return (
    <form
      class="field-read"
      onSubmit={event => {
        event.preventDefault()
        if (asked === 'known') keepKnown()
        else keep()
      }}
    >
      {large()}
      {known !== null && tool !== 'staff' && <p class="small">{known.from === 'read' ? say.fromRead : say.fromPlan}</p>}
      {asked === 'here' && tool !== 'frame' && (
        <p class="field-known">
          {tool === 'staff' ? say.backsight : say.there(String(before?.number ?? 1))}: {formatStakeLevel(given, voice)}{' '}
          <button
            type="button"
            onClick={() => {
              if (tool === 'staff') sheet.bench.value = { ...sheet.bench.value, backsight_m: null }
              else field.there_m.value = null
            }}
          >
            {onSiteWords(voice).built.removeShort}
          </button>
        </p>
      )}
      <div class="field">
        <label for={entry}>
          {asked === 'known' ? (tool === 'staff' ? say.backsight : say.there(String(before?.number ?? 1))) : say.read[tool]}
        </label>
        <span class="field-entry">
          <input
            id={entry}
            type="text"
            inputMode="decimal"
            autocomplete="off"
            value={text}
            aria-invalid={bad}
            onInput={event => {
              setText(event.currentTarget.value)
              setBad(false)
            }}
          />
          <span class="field-unit">{unit}</span>
        </span>
        {bad && (
          <p class="field-bad" role="alert">
            {onSiteWords(voice).sizeBad('0', shownNumber(lengths.shown(10), decimalMark(voice)))}
          </p>
        )}
      </div>
      <NumberPad text={text} signed={tool === 'frame'} onText={setText} />
      <p class="field-keep">
        <button type="submit" class="field-big firm" disabled={text === ''}>
          {say.take}
        </button>
        <button type="button" class="field-big" disabled={stake.number === stakes.length} onClick={() => field.goTo(stake.number + 1)}>
          {say.next} ›
        </button>
      </p>
      <p class="small" role="status">
        {kept ? say.kept(builtSay.what[what], formatStakeLevel(kept.level_m, voice)) : ''}
      </p>
    </form>
  )

  /** The one large number: what the tool must show, or what the reading asks for. */
  function large() {
    if (against !== null) {
      const { word, number, remark, line } = sayReadAtStake(against, voice)
      return (
        <div class={`field-large field-${against.work}`} role="status">
          <p class="field-number">
            <span class="field-word">{word}</span> {number}
          </p>
          <p>{remark}</p>
          <p class="small">{line}</p>
        </div>
      )
    }
    if (asked === 'known' || blank === null || planned_m === null)
      return (
        <div class="field-large" role="status">
          <p>{tool === 'staff' ? say.backsightAsk : say.thereAsk(String(before?.number ?? 1))}</p>
        </div>
      )
    const must_m = readingFor_m(blank, planned_m)
    return (
      <div class="field-large" role="status">
        <p>{tool === 'frame' && must_m < 0 ? say.mustBehind : say.must[tool]}</p>
        <p class="field-number">{tool === 'frame' ? formatFine(Math.abs(must_m), voice) : formatStakeLevel(must_m, voice)}</p>
      </div>
    )
  }
}
