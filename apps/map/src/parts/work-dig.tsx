import {
  formatAlong,
  formatNumber,
  nameGroundWork,
  onSiteWords,
  sayCrossings,
  sayDigging,
  sayDigPhases,
  sayDigStretches,
  sayDigTools,
} from '@soakline/drawing'
import { M3_PER_CUBIC_FOOT } from 'soakline/foundation'
import { CROSSERS, type Crosser, type GroundWork, type Rates } from 'soakline/plan'
import * as edits from '../state/edits.js'
import { NumberField, Select } from './field.js'
import { Said, SaidRows } from './sizing.js'
import { useLengths, useTyped } from './typed-record.js'
import { useDesk } from './with-sheet.js'

/** Volumes and days, the order of the work, crossings, prices, tools. */
export function DigPart({ work }: { readonly work: GroundWork }) {
  const { voice } = useDesk()
  const { dig: say } = onSiteWords(voice)
  return (
    <>
      <Said part={{ ...sayDigging(work, voice), title: '' }} />
      <Prices />
      <section class="said">
        <h3>{say.phases}</h3>
        <p class="small">{say.phaseText}</p>
        <ol class="work-phases">
          {sayDigPhases(work, voice).map(phase => (
            <li key={phase.order}>
              <strong>{phase.what}</strong>
              {phase.takes !== '' && <span class="small">{phase.takes}</span>}
              <span>
                {say.rain}: {phase.rain}
              </span>
            </li>
          ))}
        </ol>
      </section>
      <Crossings work={work} />
      {sayDigStretches(work, voice).map(table => (
        <SaidRows key={table.caption} table={table} label={table.caption} />
      ))}
      <section class="said">
        <h3>{say.tools}</h3>
        <p>{sayDigTools(work, voice).join(', ')}</p>
        <p class="small">{say.mulchOut}</p>
      </section>
    </>
  )
}

/** Cubic metres in the unit that mulch is priced by. */
const YARD_m3 = 27 * M3_PER_CUBIC_FOOT

function Prices() {
  const { sheet, voice } = useDesk()
  const { dig: say, sizeBad } = onSiteWords(voice)
  const rates = sheet.plan.value.rates ?? {}
  const us = voice.units === 'us'
  const price = (key: keyof Rates, label: string, perUnit: number) => (
    <NumberField
      label={label}
      value={rates[key] === undefined ? null : rates[key] * perUnit}
      low={0}
      high={1e9}
      nullable
      complaint={sizeBad('0', formatNumber(1e9, voice))}
      onCommit={typed => {
        const { [key]: _, ...others } = rates
        const next: Rates = typed === null ? others : { ...others, [key]: typed / perUnit }
        sheet.note(plan => edits.setRecords(plan, 'set-digging', { rates: Object.keys(next).length === 0 ? undefined : next }))
      }}
    />
  )
  return (
    <section class="said">
      <h3>{say.rates}</h3>
      <p class="small">{say.ratesText}</p>
      <div class="work-pair">
        {price('personDay', say.personDay, 1)}
        {price('machineHour', say.machineHour, 1)}
        {price('mulch_m3', us ? say.mulchPriceUs : say.mulchPrice, us ? YARD_m3 : 1)}
      </div>
    </section>
  )
}

const NOTHING: { crosser: Crosser; at_m: number | null } = { crosser: 'barrow', at_m: null }

function Crossings({ work }: { readonly work: GroundWork }) {
  const { sheet, voice } = useDesk()
  const { dig: say, built, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const { typed, set } = useTyped(NOTHING)
  const wanted = sheet.plan.value.crossings ?? []
  const { table, refused } = sayCrossings(work, voice)
  const keep = (left: typeof wanted): void =>
    sheet.note(plan => edits.setRecords(plan, 'set-digging', { crossings: left.length === 0 ? undefined : left }))
  return (
    <section class="said">
      <h3>{say.crossings}</h3>
      <p class="small">{say.crossingText}</p>
      {table && <SaidRows table={table} label={say.crossings} />}
      {refused.map(line => (
        <p key={line} role="alert">
          {line}
        </p>
      ))}
      <ul class="work-list">
        {wanted.map((crossing, k) => {
          const [what, at] = [nameGroundWork('crosser', crossing.crosser, voice), formatAlong(crossing.chainage_m, voice)]
          return (
            <li key={`${what} ${at}`}>
              {what}, {at}{' '}
              <button
                type="button"
                aria-label={say.removeCrossing(what, at)}
                onClick={() => keep(wanted.filter((_, other) => other !== k))}
              >
                {built.removeShort}
              </button>
            </li>
          )
        })}
      </ul>
      <form
        class="work-form"
        onSubmit={event => {
          event.preventDefault()
          const { crosser, at_m } = typed.current
          if (at_m === null) return
          keep([...wanted.filter(other => other.chainage_m !== at_m), { crosser, chainage_m: at_m }])
          set({ at_m: null })
        }}
      >
        <Select
          label={say.who}
          value={typed.current.crosser}
          choices={CROSSERS.map(value => ({ value, text: nameGroundWork('crosser', value, voice) }))}
          onChoose={crosser => set({ crosser })}
        />
        <NumberField
          label={say.at}
          value={typed.current.at_m === null ? null : shown(typed.current.at_m)}
          unit={unit}
          low={0}
          high={shown(work.length_m)}
          nullable
          complaint={sizeBad('0', formatNumber(shown(work.length_m), voice, 1))}
          onCommit={value => set({ at_m: value === null ? null : taken(value) })}
        />
        <button type="submit">{say.addCrossing}</button>
      </form>
    </section>
  )
}
