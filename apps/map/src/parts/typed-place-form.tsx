import { useId, useState } from 'preact/hooks'
import type { Place } from 'soakline/plan'
import { typedPlace } from '../state/typed-place.js'
import { useDesk } from './with-sheet.js'

/** A place typed as coordinates: nothing on the sheet needs pointing. */
export function TypedPlaceForm({
  label,
  onEarth = false,
  onPlace,
}: {
  readonly label: string
  /** True for a place in degrees whatever ground is open. */
  readonly onEarth?: boolean
  onPlace(place: Place): void
}) {
  const { sheet, say } = useDesk()
  const id = useId()
  const [text, setText] = useState('')
  const [bad, setBad] = useState(false)
  const local = !onEarth && sheet.localCentre.value !== null
  const submit = (event: Event): void => {
    event.preventDefault()
    const place = typedPlace(text, local)
    setBad(place === null)
    if (place === null) return
    setText('')
    onPlace(place)
  }
  return (
    <form class="typed-place" onSubmit={submit}>
      <label for={id}>{label}</label>
      <span class="field-entry">
        <input
          id={id}
          type="text"
          autocomplete="off"
          value={text}
          aria-invalid={bad}
          aria-describedby={`${id}-hint`}
          onInput={event => setText(event.currentTarget.value)}
        />
        <button type="submit">{say.mode.set}</button>
      </span>
      <p class={bad ? 'field-bad' : 'small'} id={`${id}-hint`} role={bad ? 'alert' : undefined}>
        {bad ? say.mode.notAPlace : local ? say.mode.typedHintLocal : say.mode.typedHint}
      </p>
    </form>
  )
}
