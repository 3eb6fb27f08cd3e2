import { handsWords, sayComparison } from '@soakline/drawing'
import { Refused } from './refused.js'
import { SaidRows } from './sizing.js'
import { useDesk } from './with-sheet.js'

/** Two designs side by side: one is set aside as A, the one on the plan is B. */
export function Designs() {
  const { sheet, hands, announce, voice } = useDesk()
  const say = handsWords(voice).designs
  const { designs } = hands
  if (sheet.line.value === null) return null
  const other = designs.other.value
  const compared = designs.compared.value
  const said = other === null || compared === null ? null : sayComparison(compared.result, voice)
  return (
    <section class="block designs" aria-label={say.title}>
      <h2>{say.title}</h2>
      <p class="small">{other === null ? say.text : say.onPlan}</p>
      <p class="button-row">
        {other === null ? (
          <button
            type="button"
            onClick={() => {
              designs.keep()
              announce(say.kept)
            }}
          >
            {say.keep}
          </button>
        ) : (
          <>
            <button type="button" class="firm" disabled={designs.working.value} onClick={() => void designs.compare()}>
              {say.compare}
            </button>
            <button
              type="button"
              onClick={() => {
                designs.swap()
                announce(say.swapped)
              }}
            >
              {say.swap}
            </button>
            <button type="button" onClick={designs.forget}>
              {say.forget}
            </button>
          </>
        )}
      </p>
      {designs.working.value && (
        <p class="small" role="status">
          {say.working}
        </p>
      )}
      {designs.problem.value !== null && (
        <p role="alert">
          {say.refused} <Refused refusal={designs.problem.value} />
        </p>
      )}
      {said !== null && (
        <div class={designs.upToDate.value ? 'comparison' : 'comparison of-before'}>
          <h3>{say.differs}</h3>
          <ul>
            {said.sentences.map(text => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <h3>{say.checks}</h3>
          <ul>
            {said.turned.map(text => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <SaidRows table={said.table} label={say.differs} />
        </div>
      )}
    </section>
  )
}
