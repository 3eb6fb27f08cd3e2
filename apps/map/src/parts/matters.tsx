import { mattersWords, sayInfluence } from '@soakline/drawing'
import { useEffect } from 'preact/hooks'
import { TimeLeft } from './time-left.js'
import { useDesk } from './with-sheet.js'

/** Checks whose answer rests on no rain, soil or depth: nothing that is tried touches them. */
const OF_THE_PLACE: readonly string[] = ['permissions-asked', 'line-off-no-go', 'cautions-on-line']

/** What would change an answer most, worked out when the reader opens its reasons. */
export function Matters({ checks }: { readonly checks: readonly string[] }) {
  const { sheet, hands, voice } = useDesk()
  const say = mattersWords(voice)
  const { matters } = hands
  const settled = sheet.settled.value
  const waits = sheet.answering.value || sheet.wholeDone.value !== null
  useEffect(() => {
    if (!waits) void matters.ask()
  }, [settled, waits])
  if (settled === null) return null
  const found = matters.found.value
  const done = matters.done.value
  const known = found !== null && found.revision === settled.revision
  const mine = found === null ? [] : found.influences.filter(one => checks.includes(one.check)).slice(0, 3)
  return (
    <section class={`why-part matters ${known ? '' : 'of-before'}`}>
      <h3>{say.title}</h3>
      {!known && (
        <p class="small matters-progress">
          <label>
            {say.working} <progress max={1} value={done ?? 0} />
          </label>{' '}
          <TimeLeft done={done ?? 0} />
        </p>
      )}
      {mine.length > 0 ? (
        <ul>
          {mine.map(one => (
            <li key={one.change}>{sayInfluence(one, voice)}</li>
          ))}
        </ul>
      ) : (
        known && <p>{checks.every(check => OF_THE_PLACE.includes(check)) ? say.notTried : say.none}</p>
      )}
      {mine.length > 0 && <p class="small">{say.one}</p>}
    </section>
  )
}
