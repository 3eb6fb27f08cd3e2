import {
  formatCount,
  sayAreaRange,
  sayBreach,
  sayOverflowWay,
  sayPlace,
  saySpillPlaces,
  saySpillReason,
  sayTriedTerrains,
  sitingSheetWords,
} from '@soakline/drawing'
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { Assessment } from 'soakline/plan'
import { useDesk } from './with-sheet.js'

/** The whole answer in sight: that about the line as it is, or the last one, which is then of before. */
function useWhole(): { readonly whole: Assessment | null; readonly ofBefore: boolean } {
  const { sheet } = useDesk()
  const now = sheet.answer.value?.assessment ?? null
  if (now?.spillChoice) return { whole: now, ofBefore: false }
  return { whole: sheet.lastWhole.value?.assessment ?? null, ofBefore: true }
}

/** A part that only a whole answer has; dimmed, and said to be of before, while the next is worked out. */
function WholePart({ title, ofBefore, children }: { readonly title: string; readonly ofBefore: boolean; children: ComponentChildren }) {
  const { voice } = useDesk()
  const say = sitingSheetWords(voice)
  return (
    <section class={`why-part ${ofBefore ? 'of-before' : ''}`}>
      <h3>{title}</h3>
      {ofBefore && <p class="small">{say.againOf}</p>}
      {children}
    </section>
  )
}

/** Places shown before the reader asks for all of them. */
const FIRST_PLACES = 3

/** Every place tried as a spill, best first, with what forbids it and what speaks for and against; in a quick answer the two ends. */
export function SpillWhy() {
  const { sheet, voice, say: sheetSay, words } = useDesk()
  const { whole, ofBefore } = useWhole()
  const [all, setAll] = useState(false)
  const say = sitingSheetWords(voice)
  const places = whole && saySpillPlaces(whole, voice)
  const now = sheet.answer.value?.assessment
  if (!whole || !places)
    return (
      <ol class="spills">
        {[...(now?.spills ?? [])]
          .sort((a, b) => a.rank - b.rank)
          .map(spill => (
            <li key={spill.chainage_m}>
              <strong>
                {sheetSay.answer.rank(spill.rank)}: {sayPlace(now!, spill.chainage_m, voice)}
              </strong>
              <br />
              {words.list(spill.reasons.map(reason => saySpillReason(reason, voice)))}
            </li>
          ))}
      </ol>
    )
  const count = formatCount(places.length, voice)
  return (
    <WholePart title={say.places(count)} ofBefore={ofBefore}>
      {whole.spillChoice?.best === null && <p class="next">{say.nowhere}</p>}
      <ol class="spills">
        {places.slice(0, all ? places.length : FIRST_PLACES).map(place => (
          <li key={place.chainage_m} class={place.forbids.length > 0 ? 'spill-forbidden' : ''}>
            <strong>
              {sheetSay.answer.rank(place.rank)}: {place.place}
            </strong>
            {place.note && <em> · {place.note}</em>}
            <SaidSide name={say.forbidden} reasons={place.forbids} />
            <SaidSide name={say.against} reasons={place.against} />
            <SaidSide name={say.inFavor} reasons={place.inFavor} />
          </li>
        ))}
      </ol>
      {places.length > FIRST_PLACES && (
        <button type="button" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? say.fewer : say.more(count)}
        </button>
      )}
    </WholePart>
  )
}

function SaidSide({ name, reasons }: { readonly name: string; readonly reasons: readonly string[] }) {
  if (reasons.length === 0) return null
  return (
    <span class="spill-side">
      <b>{name}:</b> {reasons.join('; ')}.
    </span>
  )
}

/** How far the catchment's area may be off. */
export function RidgeWhy() {
  const { voice } = useDesk()
  const { whole, ofBefore } = useWhole()
  const range = whole && sayAreaRange(whole, voice)
  if (!range) return null
  return (
    <WholePart title={sitingSheetWords(voice).tried} ofBefore={ofBefore}>
      <p>{range}</p>
    </WholePart>
  )
}

/** In how many tried terrains the overflow came to a building, and what it passes on its way. */
export function BuildingWhy() {
  const { voice } = useDesk()
  const { whole, ofBefore } = useWhole()
  if (!whole) return null
  const say = sitingSheetWords(voice)
  const tried = sayTriedTerrains(whole, voice)
  const way = sayOverflowWay(whole, voice)
  return (
    <>
      <WholePart title={say.tried} ofBefore={ofBefore}>
        {tried.length === 0 ? <p>{say.notTried}</p> : tried.map(text => <p key={text}>{text}</p>)}
      </WholePart>
      {way && (
        <WholePart title={say.way} ofBefore={ofBefore}>
          <p>{way.text}</p>
          <p>
            <b>{say.passes}:</b> {way.passes.length === 0 && say.passesNothing}
          </p>
          {way.passes.length > 0 && (
            <ul>
              {way.passes.map(text => (
                <li key={text}>{text}</li>
              ))}
            </ul>
          )}
        </WholePart>
      )}
    </>
  )
}

/** What lies below the berm, stretch by stretch, and the worst place for a break. */
export function BreachWhy() {
  const { voice } = useDesk()
  const { whole, ofBefore } = useWhole()
  const said = whole && sayBreach(whole, voice)
  if (!said) return null
  const say = sitingSheetWords(voice)
  return (
    <WholePart title={say.stretches} ofBefore={ofBefore}>
      {said.stretches.length > 0 && (
        <ol class="stretches">
          {said.stretches.map(text => (
            <li key={text}>{text}</li>
          ))}
        </ol>
      )}
      {said.worst.length > 0 && <p>{said.worst.join(' ')}</p>}
    </WholePart>
  )
}
