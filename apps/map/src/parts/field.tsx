import { decimalMark } from '@soakline/drawing'
import type { ComponentChildren } from 'preact'
import { useId, useLayoutEffect, useState } from 'preact/hooks'
import { shownNumber, typedNumber } from '../state/shown-setting.js'
import { useDesk } from './with-sheet.js'

interface NumberFieldProps {
  readonly label: ComponentChildren
  readonly value: number | null
  /** Text after the number. */
  readonly unit?: string
  readonly lead?: string
  readonly low?: number
  readonly high?: number
  readonly nullable?: boolean
  /** Takes whole numbers only. */
  readonly whole?: boolean
  readonly hint?: string
  readonly placeholder?: string
  /** Says what is wrong with a number. */
  readonly complaint: string
  readonly disabled?: boolean
  onCommit(value: number | null): void
}

/** A number that a person types, with point or comma. It is taken when the field is left or Enter pressed, and only if it changed. */
export function NumberField({
  label,
  value,
  unit,
  lead,
  low,
  high,
  nullable,
  whole,
  hint,
  placeholder,
  complaint,
  disabled,
  onCommit,
}: NumberFieldProps) {
  const id = useId()
  const { voice } = useDesk()
  const written = value === null ? '' : shownNumber(value, decimalMark(voice))
  const [text, setText] = useState(written)
  const [bad, setBad] = useState(false)
  // Before the page is drawn: an effect that waits would wipe out what a quick hand has typed by then.
  useLayoutEffect(() => {
    setText(written)
    setBad(false)
  }, [written])
  // What stands in the field now: whoever types and presses Enter at once is ahead of the drawing of the page.
  const commit = (text: string): void => {
    if (text === written) {
      setBad(false)
      return
    }
    const typed = typedNumber(text)
    // The limits are those of the rounded number that the page shows.
    const wrong =
      typed === null
        ? !nullable
        : Number.isNaN(typed) ||
          (whole && !Number.isInteger(typed)) ||
          (low !== undefined && typed < low - 1e-9) ||
          (high !== undefined && typed > high * (1 + 1e-9))
    setBad(wrong)
    if (!wrong) onCommit(typed)
  }
  const described = [hint && `${id}-hint`, bad && `${id}-bad`].filter(Boolean).join(' ')
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <span class="field-entry">
        {lead && <span class="field-lead">{lead}</span>}
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={text}
          placeholder={placeholder}
          disabled={disabled}
          aria-invalid={bad}
          {...(described ? { 'aria-describedby': described } : {})}
          onInput={event => setText(event.currentTarget.value)}
          onBlur={event => commit(event.currentTarget.value)}
          onKeyDown={event => {
            if (event.key === 'Enter') commit(event.currentTarget.value)
          }}
        />
        {unit && <span class="field-unit">{unit}</span>}
      </span>
      {hint && (
        <p class="small" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {bad && (
        <p class="field-bad" id={`${id}-bad`} role="alert">
          {complaint}
        </p>
      )}
    </div>
  )
}

/** A text that is taken when the field is left or Enter pressed. */
export function TextField({
  label,
  value,
  hint,
  maxLength = 120,
  onCommit,
  className,
}: {
  readonly label: string
  readonly value: string
  readonly hint?: string
  readonly maxLength?: number
  readonly className?: string
  onCommit(value: string): void
}) {
  const id = useId()
  const [text, setText] = useState(value)
  useLayoutEffect(() => setText(value), [value])
  const commit = (text: string): void => {
    if (text !== value) onCommit(text)
  }
  return (
    <div class={`field ${className ?? ''}`}>
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        maxLength={maxLength}
        value={text}
        onInput={event => setText(event.currentTarget.value)}
        onBlur={event => commit(event.currentTarget.value)}
        onKeyDown={event => {
          if (event.key === 'Enter') commit(event.currentTarget.value)
        }}
      />
      {hint && <p class="small">{hint}</p>}
    </div>
  )
}

interface Choice<T extends string> {
  readonly value: T
  readonly text: string
}

/** One of a few values, all of them in sight. */
export function Choices<T extends string>({
  legend,
  choices,
  value,
  onChoose,
  className,
}: {
  readonly legend: string
  readonly choices: readonly Choice<T>[]
  readonly value: T | null
  readonly className?: string
  onChoose(value: T): void
}) {
  const name = useId()
  return (
    <fieldset class={`choices ${className ?? ''}`}>
      <legend>{legend}</legend>
      {choices.map(choice => (
        <label key={choice.value}>
          <input type="radio" name={name} value={choice.value} checked={choice.value === value} onChange={() => onChoose(choice.value)} />
          <span>{choice.text}</span>
        </label>
      ))}
    </fieldset>
  )
}

/** One of many values. */
export function Select<T extends string>({
  label,
  choices,
  value,
  onChoose,
  disabled,
}: {
  readonly label: ComponentChildren
  readonly choices: readonly Choice<T>[]
  readonly value: T
  readonly disabled?: boolean
  onChoose(value: T): void
}) {
  const id = useId()
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} disabled={disabled} onChange={event => onChoose(event.currentTarget.value as T)}>
        {choices.map(choice => (
          <option key={choice.value} value={choice.value}>
            {choice.text}
          </option>
        ))}
      </select>
    </div>
  )
}
