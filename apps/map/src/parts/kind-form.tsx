import { plainText, sayFeature } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import { FEATURE_KINDS } from 'soakline/siting'
import type { KindQuestion, LayerKind } from '../state/sheet.js'
import { Select } from './field.js'
import { QuestionForm } from './question-form.js'
import { Refused } from './refused.js'
import { useDesk } from './with-sheet.js'

/** What each layer of a file shows: all are told apart in one step. */
export function KindForm({ question }: { readonly question: KindQuestion }) {
  const { sheet, voice, say } = useDesk()
  const { layers } = question
  const [kinds, setKinds] = useState<readonly (LayerKind | '')[]>(() =>
    layers.map(({ outline, problem }) =>
      problem !== null ? 'leave' : outline.features > 0 && outline.ofKind === outline.features ? 'own' : '',
    ),
  )
  const several = layers.length > 1
  const lines = kinds.filter(kind => kind === 'line').length
  const ready = kinds.every(kind => kind !== '') && lines <= 1 && kinds.some(kind => kind !== 'leave')
  return (
    <QuestionForm
      title={several ? say.ask.kindsTitle(layers.length) : say.ask.kindTitle}
      name={several ? question.name : null}
      answer={ready ? (kinds as readonly LayerKind[]) : null}
      onAnswer={answer => void sheet.answerKinds(answer)}
    >
      {layers.map((layer, k) => {
        const name = layerName(layer, say.ask.gpxPart)
        const { outline, problem } = layer
        return (
          <div class="layer-asked" key={`${layer.source}/${layer.part}`}>
            {problem === null ? (
              <Select
                label={several ? plainText(name === '' ? say.ask.unnamedLayer : name) : say.ask.kind(plainText(question.name))}
                value={kinds[k]!}
                choices={[
                  { value: '', text: say.ask.choose },
                  ...(outline.ofKind > 0 ? [{ value: 'own', text: say.ask.kindOwn }] : []),
                  ...FEATURE_KINDS.map(kind => ({ value: kind as string, text: sayFeature(kind, voice) })),
                  ...(outline.lines > 0 ? [{ value: 'line', text: say.ask.kindLine }] : []),
                  ...(several ? [{ value: 'leave', text: say.ask.kindLeave }] : []),
                ]}
                onChoose={kind => setKinds(kinds.map((before, n) => (n === k ? (kind as LayerKind | '') : before)))}
              />
            ) : (
              <p>
                <strong>{plainText(name)}</strong>: <Refused refusal={problem} />
              </p>
            )}
            {several && problem === null && <p class="small">{say.ask.outline(outline)}</p>}
          </div>
        )
      })}
      {lines > 1 && <p class="small">{say.ask.oneLineOnly}</p>}
    </QuestionForm>
  )
}

/** A layer by where it stands in its file. */
function layerName(
  { source, part }: { readonly source: string; readonly part: string },
  gpxPart: Readonly<Record<string, string>>,
): string {
  const said = Object.hasOwn(gpxPart, part) ? gpxPart[part]! : part
  return [source, said].filter(word => word !== '').join(': ')
}
