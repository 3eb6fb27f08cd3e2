import { plainText, sayRefusal } from '@soakline/drawing'
import type { Refusal } from '../worker/protocol.js'
import { useDesk } from './with-sheet.js'

/** A refusal in words: the sheet's own sentence for it, or the message that came with it; its code stands small beside it. */
export function Refused({ refusal }: { readonly refusal: Refusal }) {
  const { say, voice } = useDesk()
  const own = sayRefusal(refusal, voice)
  return (
    <>
      {own ?? plainText(refusal.message)}
      {own !== null && voice.language === 'en' && refusal.code !== 'unexpected' && refusal.message !== refusal.code && (
        <details class="refusal-more">
          <summary>{say.answer.why}</summary>
          <p>{plainText(refusal.message)}</p>
        </details>
      )}{' '}
      <span class="code">{say.file.code(plainText(refusal.code))}</span>
    </>
  )
}
