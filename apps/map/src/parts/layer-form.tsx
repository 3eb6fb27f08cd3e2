import { plainText } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import type { LayerQuestion, LayerSaid } from '../state/sheet.js'
import { CrsQuestion } from './crs-question.js'
import { Choices, Select } from './field.js'
import { QuestionForm } from './question-form.js'
import { useDesk } from './with-sheet.js'

const UNITS = ['m', 'ft', 'ftUS'] as const satisfies readonly NonNullable<LayerSaid['unit']>[]

/** What a layer leaves open: its coordinate system, the unit that it is drawn in, or which of its lines is the swale. */
export function LayerForm({ question }: { readonly question: LayerQuestion }) {
  const { sheet, say } = useDesk()
  const { code, details } = question.refusal
  const asksSystem = code === 'vector/system-unknown' || code === 'crs/unknown'
  const [crs, setCrs] = useState<string | null>(null)
  const [choice, setChoice] = useState('')
  const names = Array.isArray(details.names) ? details.names.filter(name => typeof name === 'string') : []
  const said = (): LayerSaid | null => {
    if (asksSystem) return crs === null ? null : { crs }
    if (code === 'vector/unit-unknown') return choice === 'm' || choice === 'ft' || choice === 'ftUS' ? { unit: choice } : null
    return choice === '' ? null : { line: choice }
  }
  return (
    <QuestionForm name={question.name} answer={said()} onAnswer={answer => void sheet.answerLayer(answer)}>
      {asksSystem ? (
        <CrsQuestion details={details} ground={sheet.ground.value?.card ?? null} onSay={setCrs} />
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
    </QuestionForm>
  )
}
