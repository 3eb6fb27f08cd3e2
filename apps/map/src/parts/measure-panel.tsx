import { measureWords, sayMeasured } from '@soakline/drawing'
import { SetAtCross } from './set-at-cross.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

/** What was measured along the places that were set on the plan. */
export function MeasurePanel() {
  const { sheet, hands, voice, say: sheetSay } = useDesk()
  const say = measureWords(voice)
  const count = hands.measuring.places.value.length
  const way = hands.measuring.set.value
  const said = way === null ? null : sayMeasured(way, voice)
  return (
    <div class="drawing-panel measure-panel">
      <p role="status">
        {count < 2 && <strong>{count === 1 ? say.one : say.panel}</strong>} {said?.sentences.join(' ')}
      </p>
      <p class="button-row">
        <SetAtCross />
        {count > 0 && (
          <>
            <button type="button" onClick={sheet.takeBackPlace}>
              {sheetSay.mode.takeBack}
            </button>
            <button type="button" onClick={() => sheet.measure()}>
              {say.again}
            </button>
          </>
        )}
        <button type="button" onClick={sheet.cancel}>
          {say.end}
        </button>
      </p>
      {said !== null && said.legs.length > 0 && (
        <details open>
          <summary>{say.legs}</summary>
          <ol class="measured-legs">
            {said.legs.map(({ name, text }) => (
              <li key={name}>
                <span>{name}</span> {text}
              </li>
            ))}
          </ol>
        </details>
      )}
      <details>
        <summary>{sheetSay.mode.typed}</summary>
        <TypedPlaceForm label={sheetSay.reading.place} onPlace={sheet.place} />
        <p class="small">{sheetSay.mode.keyboard}</p>
        <p class="small">{say.snap}</p>
      </details>
      <p class="small">{say.method(sheet.ground.value?.card.report.crsName ?? '')}</p>
    </div>
  )
}
