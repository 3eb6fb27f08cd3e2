import { formatLength, sayCandidate, sayCandidateRemark, sayOutlets, sayRuledOut, sitingSheetWords } from '@soakline/drawing'
import type { FoundLines } from '../worker/protocol.js'
import { Refused } from './refused.js'
import { TimeLeft } from './time-left.js'
import { useDesk } from './with-sheet.js'

/** Places to let water go, looked for before any line. */
function Outlets({ found }: { readonly found: FoundLines }) {
  const { voice } = useDesk()
  const { title, lead, places, more } = sayOutlets(found.outlets, voice)
  return (
    <details class="outlets">
      <summary>{title}</summary>
      <p class="small">{lead}</p>
      <ul>
        {places.map(text => (
          <li key={text}>{text}</li>
        ))}
      </ul>
      {more !== null && <p class="small">{more}</p>}
    </details>
  )
}

/** Reasons that are told of why ground was left out. */
const MOST_RULED_OUT = 5

/** Possible lines over the whole ground: asked for by a button, listed with their reasons, shown on the plan, taken into it. */
export function FindLines() {
  const { sheet, voice, announce } = useDesk()
  if (sheet.ground.value === null) return null
  const say = sitingSheetWords(voice).find
  const done = sheet.foundDone.value
  const found = sheet.found.value?.search ?? null
  const taken = sheet.line.value?.id
  const remarks = found?.remarks.flatMap(remark => sayCandidateRemark(remark, voice) ?? []) ?? []
  return (
    <section class="block find-lines" aria-label={say.title}>
      <h2>{say.title}</h2>
      {found === null && <p class="small">{say.text}</p>}
      <p class="button-row">
        <button type="button" disabled={done !== null} onClick={() => void sheet.findLines()}>
          {say.button}
        </button>
        {done !== null && (
          <button type="button" onClick={sheet.stopFinding}>
            {sitingSheetWords(voice).stop}
          </button>
        )}
        {found !== null && done === null && (
          <button type="button" onClick={sheet.putFoundAway}>
            {say.putAway}
          </button>
        )}
      </p>
      {done !== null && (
        <p class="small whole-progress">
          <label>
            {say.working} <progress max={1} value={done} />
          </label>{' '}
          <TimeLeft done={done} />
        </p>
      )}
      {sheet.findProblem.value !== null && (
        <p role="alert">
          {say.failed} <Refused refusal={sheet.findProblem.value} />
        </p>
      )}
      {found !== null && (
        <>
          {sheet.foundIsOld.value && <p class="next">{say.old}</p>}
          {remarks.map(text => (
            <p key={text}>{text}</p>
          ))}
          <Outlets found={found} />
          <ol class="found-lines">
            {found.lines.map(line => {
              const name = say.line(String(line.rank))
              const [first = '', second = '', ...more] = sayCandidate(line, voice)
              return (
                <li
                  key={line.rank}
                  class={sheet.foundShown.value === line.rank ? 'found-shown' : ''}
                  onMouseEnter={() => {
                    sheet.foundShown.value = line.rank
                  }}
                  onMouseLeave={() => {
                    sheet.foundShown.value = null
                  }}
                  onFocusIn={() => {
                    sheet.foundShown.value = line.rank
                  }}
                  onFocusOut={() => {
                    sheet.foundShown.value = null
                  }}
                >
                  <h3>{name}</h3>
                  <p>
                    {first} {second}
                  </p>
                  {more.length > 0 && (
                    <ul>
                      {more.map(text => (
                        <li key={text}>{text}</li>
                      ))}
                    </ul>
                  )}
                  <button
                    type="button"
                    aria-label={`${say.take}: ${name}`}
                    aria-pressed={taken === `found-${line.rank}`}
                    onClick={() => {
                      sheet.takeFound(line.rank)
                      announce(say.taken(name))
                    }}
                  >
                    {say.take}
                  </button>
                </li>
              )
            })}
          </ol>
          {found.ruledOut.length > 0 && (
            <details open={found.lines.length === 0}>
              <summary>{say.ruledOut}</summary>
              <ul>
                {found.ruledOut.slice(0, MOST_RULED_OUT).map(({ by, length_m }) => (
                  <li key={by}>{say.ruledOutOf(formatLength(length_m, voice), sayRuledOut(by, voice))}</li>
                ))}
              </ul>
            </details>
          )}
          {found.lines.length > 0 && <p class="small">{say.closing}</p>}
        </>
      )}
    </section>
  )
}
