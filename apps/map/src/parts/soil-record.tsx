import { formatCount, formatIntake, formatLength, sitingSheetWords, unitSign, wordsOf } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import { METRES_PER } from 'soakline/foundation'
import {
  CRUMB_TESTS,
  type DepthMet,
  type FieldTest,
  MEASURED_IN,
  readIntake_mmh,
  SIGHTING_KINDS,
  type SightingKind,
  type SoilPit,
  TEXTURES,
} from 'soakline/hydrology'
import { toDisplay } from '../display.js'
import * as edits from '../state/edits.js'
import { writtenPlace } from '../state/typed-place.js'
import { NumberField, Select } from './field.js'
import { useDesk } from './with-sheet.js'

/** What was found by digging and walking: test pits and things seen, each at its place. */
export function SoilRecordPart() {
  const { sheet, view, voice } = useDesk()
  const say = sitingSheetWords(voice).soil
  const { pits = [], sightings = [] } = sheet.plan.value.soil ?? {}
  const [seen, setSeen] = useState<SightingKind>('slip')
  const local = sheet.localCentre.value !== null
  const point = (what: SightingKind | null): void => {
    sheet.placeSoil(what)
    view()?.focus()
  }
  return (
    <section class="block soil-record" aria-label={say.title}>
      <h2>{say.title}</h2>
      <p class="small">{say.text}</p>
      <ol>
        {pits.map((pit, k) => (
          <PitItem key={pit.id} pit={pit} name={say.pit(formatCount(k + 1, voice))} />
        ))}
      </ol>
      <p class="button-row">
        <button type="button" class="firm" onClick={() => point(null)}>
          {say.addPit}
        </button>
      </p>
      <h3>{say.seen}</h3>
      <ul>
        {sightings.map(({ kind, at }, k) => (
          <li key={`${kind} ${at?.join() ?? k}`}>
            {say.sighting[kind] ?? kind}
            {at !== null && ` ${say.at(writtenPlace([at[0], at[1]], local))}`}{' '}
            <button
              type="button"
              aria-label={`${say.remove}: ${say.sighting[kind] ?? kind}`}
              onClick={() => sheet.edit(plan => edits.removeSighting(plan, k))}
            >
              {say.remove}
            </button>
          </li>
        ))}
      </ul>
      <div class="soil-seen">
        <Select
          label={say.seenWhat}
          value={seen}
          choices={SIGHTING_KINDS.map(value => ({ value, text: say.sighting[value] ?? value }))}
          onChoose={next => setSeen(next)}
        />
        <button type="button" onClick={() => point(seen)}>
          {say.addSeen}
        </button>
      </div>
    </section>
  )
}

/** Deepest pit that a record takes. */
const DEEPEST_M = 10
/** Half the width of what is shown round a pit, in degrees: some 60 m. */
const ROUND_DEG = 0.0005

/** Lengths of a pit are written in metres, or in feet. */
function useDepths() {
  const { voice } = useDesk()
  const unit_m = voice.units === 'us' ? METRES_PER.ft : 1
  return {
    unit: unitSign(voice.units === 'us' ? 'ft' : 'm', voice),
    shown: (m: number): number => Math.round((m / unit_m) * 1000) / 1000,
    taken: (typed: number): number => Math.round(typed * unit_m * 1000) / 1000,
  }
}

function PitItem({ pit, name }: { readonly pit: SoilPit; readonly name: string }) {
  const { sheet, view, voice } = useDesk()
  const words = wordsOf(voice)
  const say = sitingSheetWords(voice).soil
  const { unit, shown, taken } = useDepths()
  const set = (parts: Partial<SoilPit>): void => sheet.edit(plan => edits.setPit(plan, { ...pit, ...parts }))
  const { at, chainage_m } = pit
  const local = sheet.localCentre.value !== null
  const where = at === null ? say.along(formatLength(chainage_m, voice)) : say.at(writtenPlace([at[0], at[1]], local))
  // One layer stands for the whole pit; several come from a file and are left as they are.
  const single = pit.layers.length <= 1
  const texture = pit.layers[0]?.texture ?? null
  const deepestMet = Math.max(
    0.1,
    ...[pit.mottlingDepth_m, pit.waterDepth_m, pit.rockDepth_m].map(met => (typeof met === 'number' ? met : 0)),
    ...(single ? [] : pit.layers.map(layer => layer.to_m)),
  )
  const range = (low: number, high: number): string => say.range(String(shown(low)), String(shown(high)))
  const setDepth = (depth_m: number): void =>
    set({ depth_m, layers: single ? pit.layers.map(layer => ({ ...layer, from_m: 0, to_m: depth_m })) : pit.layers })
  return (
    <li>
      <details>
        <summary>
          <strong>{name}</strong> {where}, {formatLength(pit.depth_m, voice)}
        </summary>
        <NumberField
          label={say.depth}
          value={shown(pit.depth_m)}
          unit={unit}
          low={shown(deepestMet)}
          high={shown(DEEPEST_M)}
          complaint={range(deepestMet, DEEPEST_M)}
          onCommit={typed => typed !== null && setDepth(taken(typed))}
        />
        {single ? (
          <Select
            label={say.texture}
            value={texture ?? ''}
            choices={[{ value: '', text: say.notNoted }, ...TEXTURES.map(value => ({ value, text: words.choice[value] ?? value }))]}
            onChoose={next =>
              set({
                layers:
                  next === ''
                    ? []
                    : [
                        {
                          roots: null,
                          mottled: null,
                          ...pit.layers[0],
                          from_m: 0,
                          to_m: pit.depth_m,
                          texture: next as (typeof TEXTURES)[number],
                        },
                      ],
              })
            }
          />
        ) : (
          <p class="small">{say.layers}</p>
        )}
        <MetField label={say.water} met={pit.waterDepth_m} deepest_m={pit.depth_m} onSet={waterDepth_m => set({ waterDepth_m })} />
        <MetField
          label={say.mottling}
          met={pit.mottlingDepth_m}
          deepest_m={pit.depth_m}
          onSet={mottlingDepth_m => set({ mottlingDepth_m })}
        />
        <MetField label={say.rock} met={pit.rockDepth_m} deepest_m={pit.depth_m} onSet={rockDepth_m => set({ rockDepth_m })} />
        <Select
          label={say.crumb}
          value={pit.crumbTest ?? ''}
          choices={[{ value: '', text: say.notNoted }, ...CRUMB_TESTS.map(value => ({ value, text: say.crumbs[value] }))]}
          onChoose={next => set({ crumbTest: next === '' ? null : (next as (typeof CRUMB_TESTS)[number]) })}
        />
        <Select
          label={say.cracks}
          value={pit.cracks === null ? '' : pit.cracks ? 'yes' : 'no'}
          choices={[
            { value: '', text: say.notNoted },
            { value: 'yes', text: say.yes },
            { value: 'no', text: say.no },
          ]}
          onChoose={next => set({ cracks: next === '' ? null : next === 'yes' })}
        />
        <h3>{say.tests}</h3>
        {pit.tests.map((test, k) => (
          <TestFields
            key={k}
            name={say.test(formatCount(k + 1, voice))}
            test={test}
            onSet={next =>
              set({ tests: next === null ? pit.tests.filter((_, n) => n !== k) : pit.tests.map((old, n) => (n === k ? next : old)) })
            }
          />
        ))}
        <NewTest onAdd={test => set({ tests: [...pit.tests, test] })} />
        <p class="button-row">
          {at !== null && (
            <button
              type="button"
              aria-label={`${say.show}: ${name}`}
              onClick={() => {
                const [x, y] = toDisplay([at[0], at[1]], sheet.localCentre.value)
                view()?.fit([x - ROUND_DEG, y - ROUND_DEG, x + ROUND_DEG, y + ROUND_DEG])
              }}
            >
              {say.show}
            </button>
          )}
          <button type="button" aria-label={`${say.remove}: ${name}`} onClick={() => sheet.edit(plan => edits.removePit(plan, pit.id))}>
            {say.remove}
          </button>
        </p>
      </details>
    </li>
  )
}

/** Something met at a depth, looked for and not met, or not looked for. */
function MetField({
  label,
  met,
  deepest_m,
  onSet,
}: {
  readonly label: string
  readonly met: DepthMet
  readonly deepest_m: number
  onSet(met: DepthMet): void
}) {
  const { voice } = useDesk()
  const say = sitingSheetWords(voice).soil
  const { unit, shown, taken } = useDepths()
  // Chosen, but the depth not typed yet: nothing is noted before it is.
  const [asked, setAsked] = useState(false)
  const state = typeof met === 'number' || asked ? 'depth' : met === 'none' ? 'none' : 'unknown'
  return (
    <div class="met-field">
      <Select
        label={label}
        value={state}
        choices={(['unknown', 'none', 'depth'] as const).map(value => ({ value, text: say.met[value] }))}
        onChoose={next => {
          setAsked(next === 'depth')
          if (next !== 'depth') onSet(next === 'none' ? 'none' : null)
          else if (met === 'none') onSet(null)
        }}
      />
      {state === 'depth' && (
        <NumberField
          label={
            <>
              <span class="unseen">{label}: </span>
              {say.metAt}
            </>
          }
          value={typeof met === 'number' ? shown(met) : null}
          unit={unit}
          low={0}
          high={shown(deepest_m)}
          complaint={say.range('0', String(shown(deepest_m)))}
          onCommit={typed => {
            if (typed === null) return
            setAsked(false)
            onSet(taken(typed))
          }}
        />
      )}
    </div>
  )
}

/** Intake rates are written in millimetres an hour, or in inches. */
const MM_PER_INCH = METRES_PER.ft * (1000 / 12)
const MOST_MMH = 10_000

function useRates() {
  const { voice } = useDesk()
  const per = voice.units === 'us' ? MM_PER_INCH : 1
  return {
    unit: voice.units === 'us' ? unitSign('in/h', voice) : 'mm/h',
    shown: (mmh: number): number => Math.round((mmh / per) * 1000) / 1000,
    taken: (typed: number): number => typed * per,
  }
}

function TestFields({ name, test, onSet }: { readonly name: string; readonly test: FieldTest; onSet(next: FieldTest | null): void }) {
  const { voice } = useDesk()
  const say = sitingSheetWords(voice).soil
  const { unit, shown, taken } = useRates()
  const depths = useDepths()
  const { reading, depth_m } = test
  return (
    <fieldset class="field-test">
      <legend>{name}</legend>
      {reading.method === 'rate' ? (
        <>
          <NumberField
            label={say.rate}
            value={shown(reading.rate_mmh)}
            unit={unit}
            low={0}
            high={shown(MOST_MMH)}
            complaint={say.range('0', String(shown(MOST_MMH)))}
            onCommit={typed => typed !== null && onSet({ ...test, reading: { ...reading, rate_mmh: taken(typed) } })}
          />
          <Select
            label={say.measuredIn}
            value={reading.measuredIn}
            choices={MEASURED_IN.map(value => ({ value, text: say.measured[value] }))}
            onChoose={measuredIn => onSet({ ...test, reading: { ...reading, measuredIn } })}
          />
        </>
      ) : (
        <p>{say.otherTest(formatIntake(readIntake_mmh(reading), voice))}</p>
      )}
      <NumberField
        label={say.testDepth}
        value={depth_m === null ? null : depths.shown(depth_m)}
        unit={depths.unit}
        low={0}
        high={depths.shown(DEEPEST_M)}
        nullable
        complaint={say.range('0', String(depths.shown(DEEPEST_M)))}
        onCommit={typed => onSet({ ...test, depth_m: typed === null ? null : depths.taken(typed) })}
      />
      <button type="button" aria-label={`${say.removeTest}: ${name}`} onClick={() => onSet(null)}>
        {say.removeTest}
      </button>
    </fieldset>
  )
}

/** A test is noted with its rate: none stands there with a number that nobody measured. */
function NewTest({ onAdd }: { onAdd(test: FieldTest): void }) {
  const { voice } = useDesk()
  const say = sitingSheetWords(voice).soil
  const { unit, shown, taken } = useRates()
  return (
    <NumberField
      label={say.addTest}
      value={null}
      unit={unit}
      low={0}
      high={shown(MOST_MMH)}
      nullable
      complaint={say.range('0', String(shown(MOST_MMH)))}
      onCommit={typed => {
        if (typed !== null) onAdd({ depth_m: null, reading: { method: 'rate', rate_mmh: taken(typed), measuredIn: 'other' } })
      }}
    />
  )
}
