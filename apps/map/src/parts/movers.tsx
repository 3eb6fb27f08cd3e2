import { formatLength, handsWords } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import { METRES_PER } from 'soakline/foundation'
import type { Place } from 'soakline/plan'
import type { Handle } from '../state/mode.js'
import { Select } from './field.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

const STEPS = ['0.1', '0.5', '1', '5', '20'] as const

/** Moves a handle by steps or to a typed place: the way without dragging. Arrow keys work while a button has the focus. */
export function StepMover({ handle, place }: { readonly handle: Handle; readonly place: Place }) {
  const { sheet, voice, say } = useDesk()
  const [step, setStep] = useState<string>('1')
  const us = voice.units === 'us'
  const size_m = Number(step) * (us ? METRES_PER.ft : 1)
  const move = (east: number, north: number): void => sheet.nudge(handle, place, east * size_m, north * size_m)
  const ways = [
    { name: say.handle.north, sign: '↑', key: 'ArrowUp', east: 0, north: 1, spot: 'n' },
    { name: say.handle.west, sign: '←', key: 'ArrowLeft', east: -1, north: 0, spot: 'w' },
    { name: say.handle.east, sign: '→', key: 'ArrowRight', east: 1, north: 0, spot: 'e' },
    { name: say.handle.south, sign: '↓', key: 'ArrowDown', east: 0, north: -1, spot: 's' },
  ] as const
  return (
    <div class="step-mover">
      <Select
        label={say.handle.step}
        value={step}
        choices={STEPS.map(value => ({ value: value as string, text: formatLength(Number(value) * (us ? METRES_PER.ft : 1), voice) }))}
        onChoose={setStep}
      />
      <fieldset
        class="compass"
        onKeyDown={event => {
          const way = ways.find(w => w.key === event.key)
          if (way === undefined) return
          event.preventDefault()
          move(way.east, way.north)
        }}
      >
        <legend class="unseen">{say.handle.title}</legend>
        {ways.map(way => (
          <button
            type="button"
            key={way.spot}
            class={`compass-${way.spot}`}
            aria-label={way.name}
            title={way.name}
            onClick={() => move(way.east, way.north)}
          >
            {way.sign}
          </button>
        ))}
      </fieldset>
      <p class="small">{say.handle.numbersOnPlan}</p>
      <TypedPlaceForm label={say.handle.place} onPlace={to => sheet.drag(handle, to, 'end')} />
    </div>
  )
}

/** Moves the line's handles without dragging. */
export function LineMover() {
  const { sheet, voice, say } = useDesk()
  const [at, setAt] = useState('0')
  const handles = sheet.handles.value.filter(h => h.handle.what !== 'feature-vertex')
  if (handles.length === 0) return null
  const name = (handle: Handle): string => {
    if (handle.what === 'line-through') return say.handle.through
    if (handle.what === 'spill') return handsWords(voice).spill.handle
    if (handle.what === 'line-end') return handle.end === 'first' ? say.handle.first : say.handle.last
    return handle.what === 'line-vertex' ? say.handle.vertex(handle.number) : ''
  }
  const chosen = handles[Number(at)] ?? handles[0]!
  return (
    <div class="mover">
      <Select
        label={say.handle.which}
        value={at}
        choices={handles.map((h, k) => ({ value: String(k), text: name(h.handle) }))}
        onChoose={setAt}
      />
      <StepMover handle={chosen.handle} place={chosen.place} />
    </div>
  )
}
