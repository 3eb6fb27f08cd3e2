import { formatNumber, LAYER_GROUPS, type LayerGroup, layerWords, RAMPS, sayTintEnds } from '@soakline/drawing'
import { useId } from 'preact/hooks'
import { ALL_SHOWN } from '../state/prefs.js'
import { tintsOf } from '../worker/tints.js'
import { Select } from './field.js'
import { useDesk } from './with-sheet.js'

/** Steps of how strong a layer is shown. */
const STEP = 0.25

/** What the plan shows: each group with its switch and strength, and the tint of the ground with its legend. */
export function LayerList() {
  const { sheet, prefs, voice } = useDesk()
  const say = layerWords(voice)
  const strengths = prefs.layers.value
  const away = LAYER_GROUPS.filter(group => strengths[group] === 0).length
  if (sheet.ground.value === null) return null
  return (
    <details class="layer-list">
      <summary>{away === 0 ? say.title : say.hidden(formatNumber(away, voice))}</summary>
      <p>{say.lead}</p>
      <ul>
        {LAYER_GROUPS.map(group => (
          <Group key={group} group={group} />
        ))}
      </ul>
      <Select
        label={say.ramp}
        value={prefs.ramp.value}
        choices={RAMPS.map(value => ({ value, text: say.ramps[value] }))}
        onChoose={value => {
          prefs.ramp.value = value
        }}
      />
      <TintLegend />
      {LAYER_GROUPS.some(group => strengths[group] < 1) && (
        <button
          type="button"
          onClick={() => {
            prefs.layers.value = ALL_SHOWN
          }}
        >
          {say.all}
        </button>
      )}
    </details>
  )
}

function Group({ group }: { readonly group: LayerGroup }) {
  const { prefs, voice } = useDesk()
  const say = layerWords(voice)
  const strength = prefs.layers.value[group]
  const set = (next: number): void => {
    prefs.layers.value = { ...prefs.layers.value, [group]: next }
  }
  return (
    <li>
      <label>
        <input type="checkbox" checked={strength > 0} onChange={event => set(event.currentTarget.checked ? 1 : 0)} />
        {say.group[group]}
      </label>
      <input
        type="range"
        min={STEP}
        max={1}
        step={STEP}
        value={strength === 0 ? 1 : strength}
        disabled={strength === 0}
        aria-label={say.strength(say.group[group])}
        aria-valuetext={`${formatNumber(100 * strength, voice)} %`}
        onInput={event => set(Number(event.currentTarget.value))}
      />
    </li>
  )
}

/** The tint from the lowest to the highest ground, in the reader's units. */
function TintLegend() {
  const { sheet, prefs, voice } = useDesk()
  const id = useId()
  const card = sheet.ground.value?.card
  if (card === undefined) return null
  const [low, high] = sayTintEnds(card.tint_m, voice)
  const { stops } = tintsOf(prefs.ramp.value, prefs.theme.value === 'night')
  return (
    <p class="tint-legend">
      {low}
      <svg width="90" height="12" aria-hidden="true">
        <linearGradient id={id}>
          {stops.map((stop, k) => (
            <stop key={stop.join()} offset={k / 2} stop-color={`rgb(${stop.join()})`} />
          ))}
        </linearGradient>
        <rect width="90" height="12" fill={`url(#${id})`} />
      </svg>
      {high}
    </p>
  )
}
