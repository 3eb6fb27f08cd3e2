import { formatCount, handsWords, sayCascade, unitSign } from '@soakline/drawing'
import { useEffect, useState } from 'preact/hooks'
import { METRES_PER } from 'soakline/foundation'
import { settingsFrom } from 'soakline/plan'
import { Mark } from './drawing.js'
import { NumberField } from './field.js'
import { Refused } from './refused.js'
import { useDesk } from './with-sheet.js'

/** Several swales on one slope: copied, added, removed, and worked out together. */
export function Swales() {
  const { sheet, hands, announce, view, voice, say: sheetSay } = useDesk()
  const say = handsWords(voice).swales
  const { swales } = hands
  const [copies, setCopies] = useState(2)
  const [drop_m, setDrop] = useState<number | null>(null)
  const lines = swales.lines.value
  if (lines.length === 0) return null
  const us = voice.units === 'us'
  const unit_m = us ? METRES_PER.ft : 1
  const copied = swales.copied.value
  return (
    <section class="block swales" aria-label={say.title}>
      <h2>{say.title}</h2>
      <p class="small">{say.text}</p>
      <div class="pair">
        <NumberField
          label={say.copies}
          value={copies}
          whole
          low={1}
          high={9}
          complaint={sheetSay.settings.outOfRange('1', '9')}
          onCommit={value => value !== null && setCopies(value)}
        />
        <NumberField
          label={say.drop}
          value={drop_m === null ? null : Number((drop_m / unit_m).toFixed(2))}
          unit={unitSign(us ? 'ft' : 'm', voice)}
          nullable
          low={0.2}
          high={100}
          complaint={sheetSay.settings.outOfRange('0.2', '100')}
          onCommit={value => setDrop(value === null ? null : value * unit_m)}
        />
      </div>
      <p class="small">{say.rule}</p>
      <p class="button-row">
        <button type="button" onClick={() => void swales.copyBelow(copies, drop_m)}>
          {say.copy}
        </button>
        <button
          type="button"
          onClick={() => {
            sheet.addLine()
            announce(say.added)
            view()?.focus()
          }}
        >
          {say.add}
        </button>
      </p>
      {copied !== null && (
        <p class="small" role="status">
          {copied === 0 ? say.noneBelow : say.copied(formatCount(copied, voice))}
        </p>
      )}
      {swales.problem.value !== null && (
        <p role="alert">
          <Refused refusal={swales.problem.value} />
        </p>
      )}
      {lines.length > 1 && (
        <>
          <ol class="swale-list">
            {lines.map((line, k) => (
              <li key={line.id}>
                <strong>{say.name(String(k + 1))}</strong>
                {k === 0 ? (
                  <span class="small"> · {say.now}</span>
                ) : (
                  <span class="button-row">
                    <button type="button" aria-label={`${say.workOn}: ${say.name(String(k + 1))}`} onClick={() => swales.workOn(line.id)}>
                      {say.workOn}
                    </button>
                    <button type="button" aria-label={`${say.remove}: ${say.name(String(k + 1))}`} onClick={() => swales.remove(line.id)}>
                      {say.remove}
                    </button>
                  </span>
                )}
              </li>
            ))}
          </ol>
          <CascadeSaid />
        </>
      )}
    </section>
  )
}

/** What the ditches do together; asked for as soon as the answer has settled. */
export function CascadeSaid() {
  const { sheet, hands, voice } = useDesk()
  const say = handsWords(voice).swales
  const { swales } = hands
  const { lines, settings, features, rain } = sheet.plan.value
  const answering = sheet.answering.value
  useEffect(() => {
    if (!answering) void swales.ask()
  }, [lines, settings, features, rain, answering])
  const known = swales.cascade.value
  if (known === null) return swales.working.value ? <p class="small">{say.working}</p> : null
  const { freeboard_m } = settingsFrom(settings).settings
  const said = sayCascade(known.result, freeboard_m, line => say.name(String(line + 1)), voice)
  return (
    <div class={swales.upToDate.value ? 'cascade' : 'cascade of-before'} aria-busy={swales.working.value}>
      {said.lead !== '' && <p>{said.lead}</p>}
      <ul class="cascade-list">
        {said.ditches.map(({ line, verdict, sentences }) => (
          <li key={line}>
            <Mark verdict={verdict} voice={voice} />
            <p>
              <strong>{say.name(String(line + 1))}.</strong> {sentences.join(' ')}
            </p>
          </li>
        ))}
      </ul>
      <p class="small">{say.alone}</p>
    </div>
  )
}
