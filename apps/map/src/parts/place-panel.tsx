import { formatElevation, formatSlope, placeForms, placeWords, sayReason } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import type { PlaceReading } from '../worker/protocol.js'
import { SetAtCross } from './set-at-cross.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

/** A place of the plan: its coordinates in the forms that people hand on, its height and slope, and what can be done from it. */
export function PlacePanel() {
  const { sheet, hands, voice, say: sheetSay } = useDesk()
  const say = placeWords(voice)
  const mode = sheet.mode.value
  const at = mode.kind === 'read-place' ? mode.at : null
  const reading = hands.placeHere.reading.value
  return (
    <div class="drawing-panel place-panel">
      <p role="status">
        <strong>{at === null ? say.panel : `${say.title}.`}</strong> {at !== null && reading !== undefined && <Known reading={reading} />}
      </p>
      {reading && <Forms reading={reading} />}
      <p class="button-row">
        {at === null ? (
          <SetAtCross />
        ) : (
          <>
            <button type="button" disabled={!reading} onClick={() => sheet.pointAt(at)}>
              {say.line}
            </button>
            <button type="button" onClick={() => sheet.measure([at])}>
              {say.measure}
            </button>
          </>
        )}
        <button type="button" onClick={sheet.cancel}>
          {say.end}
        </button>
      </p>
      <details>
        <summary>{sheetSay.mode.typed}</summary>
        <TypedPlaceForm label={sheetSay.reading.place} onPlace={sheet.place} />
        <p class="small">{sheetSay.mode.keyboard}</p>
      </details>
      <p class="small">{say.away}</p>
    </div>
  )
}

/** Height, slope and what stands against a swale there. */
function Known({ reading }: { readonly reading: PlaceReading | null }) {
  const { voice, say } = useDesk()
  if (reading === null || reading.elevation_m === null) return <>{say.reading.outside}</>
  const slope = reading.slope_ratio === null ? '' : `; ${say.reading.slope} ${formatSlope(reading.slope_ratio, voice)}`
  const against =
    reading.noGo.length === 0
      ? say.reading.nothing
      : `${say.reading.noGo} ${reading.noGo.map(reason => sayReason(reason, voice)).join(', ')}`
  return (
    <>
      {say.reading.height} {formatElevation(reading.elevation_m, voice, 1)}
      {slope}; {against}
    </>
  )
}

function Forms({ reading }: { readonly reading: PlaceReading }) {
  const { sheet, voice, announce } = useDesk()
  const say = placeWords(voice)
  const [refused, setRefused] = useState(false)
  const local = sheet.localCentre.value !== null
  const { place, x_m, y_m } = reading
  const forms = placeForms({ lonLat: local ? null : [place[0], place[1]], x_m, y_m, system: sheet.ground.value?.card.report.crsName ?? '' })
  const copy = async (text: string): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text)
      setRefused(false)
      announce(say.copied)
    } catch {
      setRefused(true)
    }
  }
  return (
    <>
      <dl class="place-forms">
        {forms.map(({ form, text, system }) => (
          <div key={form}>
            <dt>
              {say.forms[form]}
              {system !== '' && ` (${system})`}
            </dt>
            <dd>
              <span class="place-form">{text}</span>
              <button type="button" aria-label={`${say.copy}: ${say.forms[form]}`} onClick={() => void copy(text)}>
                {say.copy}
              </button>
            </dd>
          </div>
        ))}
      </dl>
      {refused && <p role="alert">{say.notCopied}</p>}
    </>
  )
}
