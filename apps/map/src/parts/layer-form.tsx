import { plainText } from '@soakline/drawing'
import { useId, useLayoutEffect, useRef, useState } from 'preact/hooks'
import type { LayerQuestion, LayerSaid } from '../state/sheet.js'
import { Choices, Select } from './field.js'
import { useDesk } from './with-sheet.js'

const UNITS = ['m', 'ft', 'ftUS'] as const satisfies readonly NonNullable<LayerSaid['unit']>[]

/** What a layer leaves open: its coordinate system, the unit that it is drawn in, or which of its lines is the swale. */
export function LayerForm({ question }: { readonly question: LayerQuestion }) {
  const { sheet, say } = useDesk()
  const heading = useRef<HTMLHeadingElement>(null)
  useLayoutEffect(() => heading.current?.focus(), [])
  const id = useId()
  const { code, details } = question.refusal
  const asksSystem = code === 'vector/system-unknown' || code === 'crs/unknown'
  const [choice, setChoice] = useState('')
  const [number, setNumber] = useState('')
  const names = Array.isArray(details.names) ? details.names.filter(name => typeof name === 'string') : []
  const groundCrs = sheet.ground.value?.card.report.crs ?? null
  const said = (): LayerSaid | null => {
    if (asksSystem) {
      if (choice === 'ground') return groundCrs === null ? null : { crs: groundCrs }
      return choice === 'code' && /^\d{3,6}$/.test(number.trim()) ? { crs: `EPSG:${number.trim()}` } : null
    }
    if (code === 'vector/unit-unknown') return choice === 'm' || choice === 'ft' || choice === 'ftUS' ? { unit: choice } : null
    return choice === '' ? null : { line: choice }
  }
  const answer = said()
  return (
    <form
      class="block question"
      onSubmit={event => {
        event.preventDefault()
        if (answer !== null) void sheet.answerLayer(answer)
      }}
    >
      <h2 ref={heading} tabIndex={-1}>
        {say.ask.title}
      </h2>
      <p class="file-name">{plainText(question.name)}</p>
      {asksSystem ? (
        <>
          <Choices
            legend={say.ask.crs}
            value={choice}
            choices={[
              ...(groundCrs === null || groundCrs === 'local'
                ? []
                : [{ value: 'ground', text: say.ask.crsOfGround(plainText(groundCrs)) }]),
              { value: 'code', text: say.ask.crsOther },
            ]}
            onChoose={setChoice}
          />
          {choice === 'code' && (
            <div class="field">
              <label for={id}>{say.ask.crsCode}</label>
              <input
                id={id}
                type="text"
                inputMode="numeric"
                autocomplete="off"
                value={number}
                aria-describedby={`${id}-hint`}
                onInput={event => setNumber(event.currentTarget.value)}
              />
              <p class="small" id={`${id}-hint`}>
                {say.ask.crsCodeHint}
              </p>
            </div>
          )}
        </>
      ) : code === 'vector/unit-unknown' ? (
        <>
          <Choices
            legend={say.ask.drawnUnit}
            value={choice}
            choices={UNITS.map(unit => ({ value: unit as string, text: say.ground.unit[unit] }))}
            onChoose={setChoice}
          />
          <p class="small">{say.ask.drawnUnitNote}</p>
        </>
      ) : (
        <Select
          label={say.ask.whichLine}
          value={choice}
          choices={[
            { value: '', text: say.ask.choose },
            ...names.map((name, k) => ({ value: String(k + 1), text: say.ask.lineNumber(k + 1, plainText(name)) })),
          ]}
          onChoose={setChoice}
        />
      )}
      <p class="button-row">
        <button type="submit" class="firm" disabled={answer === null}>
          {say.ask.go}
        </button>
        <button type="button" onClick={() => void sheet.leaveQuestion()}>
          {say.ask.not}
        </button>
      </p>
    </form>
  )
}
