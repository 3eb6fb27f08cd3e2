import { decimalMark, fieldWords } from '@soakline/drawing'
import { useDesk } from './with-sheet.js'

const DIGITS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'] as const
/** As long as a reading may get. */
const MOST_CHARACTERS = 8

/** Digits for gloves: they write into a field that the keyboard reaches too. */
export function NumberPad({ text, signed, onText }: { readonly text: string; readonly signed: boolean; onText(text: string): void }) {
  const { voice } = useDesk()
  const { keys, key } = fieldWords(voice)
  const mark = decimalMark(voice)
  const write = (sign: string): void => {
    if (text.length < MOST_CHARACTERS) onText(text + sign)
  }
  return (
    <fieldset class="number-pad">
      <legend class="unseen">{keys}</legend>
      {DIGITS.map(digit => (
        <button type="button" key={digit} onClick={() => write(digit)}>
          {digit}
        </button>
      ))}
      <button type="button" onClick={() => (/[.,]/.test(text) ? undefined : write(text === '' ? `0${mark}` : mark))}>
        {mark}
      </button>
      {signed && (
        <button type="button" aria-label={key.sign} onClick={() => onText(/^-/.test(text) ? text.slice(1) : `-${text}`)}>
          ±
        </button>
      )}
      <button type="button" aria-label={key.back} onClick={() => onText(text.slice(0, -1))}>
        ⌫
      </button>
    </fieldset>
  )
}
