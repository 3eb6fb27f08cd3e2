import { formatNumber, onSiteWords, sayPlanting, sayPlantName, sayPlants } from '@soakline/drawing'
import { useId } from 'preact/hooks'
import { type GroundWork, type Plant, type PlantNeeds, STARTER_PLANTS } from 'soakline/plan'
import * as edits from '../state/edits.js'
import { Mark } from './drawing.js'
import { NumberField, Select, TextField } from './field.js'
import { Said } from './sizing.js'
import { useLengths, useTyped } from './typed-record.js'
import { useDesk } from './with-sheet.js'

/** Places to plant with their counts, and where each plant of the list goes. */
export function PlantPart({ work }: { readonly work: GroundWork }) {
  const { sheet, voice } = useDesk()
  const { plant: say, built } = onSiteWords(voice)
  const own = sheet.plan.value.plants ?? []
  const keep = (plants: readonly Plant[]): void =>
    sheet.note(plan => edits.setRecords(plan, 'set-plants', { plants: plants.length === 0 ? undefined : plants }))
  return (
    <>
      <Said part={{ ...sayPlanting(work, voice), title: '' }} />
      <section class="said">
        <h3>{say.list}</h3>
        {work.planting.starter && <p class="small">{say.starter}</p>}
        <ul class="work-plants">
          {sayPlants(work, voice).map((plant, k) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: two plants of a list may bear one name
            <li key={k}>
              <details>
                <summary>{plant.name}</summary>
                {plant.lines.map(([verdict, title, places]) => (
                  <p key={verdict}>
                    <Mark verdict={verdict} voice={voice} /> <strong>{title}:</strong> {places}
                  </p>
                ))}
                {!work.planting.starter && (
                  <button type="button" aria-label={say.remove(plant.name)} onClick={() => keep(own.filter((_, other) => other !== k))}>
                    {built.removeShort}
                  </button>
                )}
              </details>
            </li>
          ))}
        </ul>
        {work.planting.starter && (
          <p class="button-row">
            <button type="button" onClick={() => keep(STARTER_PLANTS.map(plant => ({ ...plant, name: sayPlantName(plant.name, voice) })))}>
              {say.fromStarter}
            </button>
          </p>
        )}
        <AddPlant onAdd={plant => keep([...own, plant])} />
      </section>
    </>
  )
}

const NOTHING: { name: string } & PlantNeeds = {
  name: '',
  wetFeet_h: 0,
  drainedDepth_m: 0,
  sun: 'any',
  spread_m: 1,
  woody: false,
  deepDrainage: false,
}
const SUNS = ['full', 'part', 'any'] as const satisfies readonly PlantNeeds['sun'][]

function AddPlant({ onAdd }: { onAdd(plant: Plant): void }) {
  const { voice } = useDesk()
  const { plant: say, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const { typed, set, clear } = useTyped(NOTHING)
  const [woody, deep] = [useId(), useId()]
  const now = typed.current
  const size = (key: 'drainedDepth_m' | 'spread_m', label: string, most_m: number) => (
    <NumberField
      label={label}
      value={shown(now[key])}
      unit={unit}
      low={0}
      high={shown(most_m)}
      complaint={sizeBad('0', formatNumber(shown(most_m), voice, 1))}
      onCommit={value => value !== null && set({ [key]: taken(value) })}
    />
  )
  return (
    <form
      class="work-form"
      onSubmit={event => {
        event.preventDefault()
        const { name, ...needs } = typed.current
        if (name.trim() === '') return
        onAdd({ name: name.trim(), needs })
        clear()
      }}
    >
      <TextField label={say.name} value={now.name} maxLength={200} onCommit={name => set({ name })} />
      <NumberField
        label={say.wetFeet}
        value={now.wetFeet_h}
        low={0}
        high={9999}
        complaint={sizeBad('0', formatNumber(9999, voice))}
        onCommit={value => value !== null && set({ wetFeet_h: value })}
      />
      {size('drainedDepth_m', say.drained, 10)}
      {size('spread_m', say.spread, 50)}
      <Select
        label={say.sun}
        value={now.sun}
        choices={SUNS.map(value => ({ value, text: say.suns[value] }))}
        onChoose={sun => set({ sun })}
      />
      <p class="confirm">
        <input id={woody} type="checkbox" checked={now.woody} onChange={event => set({ woody: event.currentTarget.checked })} />
        <label for={woody}>{say.woodyBox}</label>
      </p>
      <p class="confirm">
        <input
          id={deep}
          type="checkbox"
          checked={now.deepDrainage}
          onChange={event => set({ deepDrainage: event.currentTarget.checked })}
        />
        <label for={deep}>{say.deepBox}</label>
      </p>
      <button type="submit">{say.add}</button>
    </form>
  )
}
