import { formatNumber, onSiteWords, plainText, sayCleanAt, sayInspections, sayStormCard, sayStormRow } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import { InputError } from 'soakline/foundation'
import { type GroundWork, type LoggedStorm, stormLogFrom } from 'soakline/plan'
import * as edits from '../state/edits.js'
import { NumberField, Select, TextField } from './field.js'
import { Said } from './sizing.js'
import { useLengths, useSmallLengths, useTyped } from './typed-record.js'
import { useDesk } from './with-sheet.js'

/** The storm card, what is looked at and when, and storms that were seen. */
export function CarePart({ work }: { readonly work: GroundWork }) {
  const { sheet, voice } = useDesk()
  const { care: say, built } = onSiteWords(voice)
  const log = sheet.plan.value.stormLog ?? []
  const keep = (storms: readonly LoggedStorm[]): void =>
    sheet.note(plan => edits.setRecords(plan, 'set-care', { stormLog: storms.length === 0 ? undefined : storms }))
  return (
    <>
      <div class="storm-card">
        <Said part={sayStormCard(work, voice)} />
      </div>
      <TextField
        label={say.ringLabel}
        value={sheet.plan.value.ring ?? ''}
        maxLength={500}
        onCommit={ring => sheet.note(plan => edits.setRecords(plan, 'set-care', { ring: ring.trim() === '' ? undefined : ring }))}
      />
      <section class="said">
        <h3>{say.inspections}</h3>
        {sayInspections(work, voice).map(({ time, items }) => (
          <details key={time}>
            <summary>{time}</summary>
            <ul>
              {items.map(item => (
                <li key={item}>{item}</li>
              ))}
            </ul>
          </details>
        ))}
        <p>{sayCleanAt(work, voice)}</p>
      </section>
      <section class="said">
        <h3>{say.log}</h3>
        <p class="small">{say.logText}</p>
        {log.length === 0 && <p class="small">{say.logNone}</p>}
        <ul class="work-storms">
          {work.care.log.map((row, k) => {
            const { cells, said } = sayStormRow(row, voice)
            return (
              // biome-ignore lint/suspicious/noArrayIndexKey: two storms may fall on one day
              <li key={k}>
                <strong>{cells[0]}</strong>
                <dl>
                  {cells.slice(1).map((cell, c) => (
                    <div key={say.logColumns[c + 1]}>
                      <dt>{say.logColumns[c + 1]}</dt>
                      <dd>{cell}</dd>
                    </div>
                  ))}
                </dl>
                <p>{said}</p>
                {row.storm.seen !== '' && <p>{plainText(row.storm.seen)}</p>}
                {row.storm.photos.length > 0 && <p class="small">{row.storm.photos.map(plainText).join(', ')}</p>}
                <button
                  type="button"
                  aria-label={say.removeStorm(row.storm.date)}
                  onClick={() => keep(log.filter((_, other) => other !== k))}
                >
                  {built.removeShort}
                </button>
              </li>
            )
          })}
        </ul>
        <AddStorm onAdd={storm => keep([...log, storm].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0)))} />
      </section>
    </>
  )
}

const SPILLED = ['unknown', 'no', 'yes'] as const
const NOTHING = {
  date: '',
  rain_mm: null as number | null,
  highestWater_m: null as number | null,
  spilled: 'unknown' as (typeof SPILLED)[number],
  seen: '',
  photos: '',
}

function AddStorm({ onAdd }: { onAdd(storm: LoggedStorm): void }) {
  const { voice } = useDesk()
  const { care: say, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const { rainUnit, rain_mm } = useSmallLengths()
  const { typed, set, clear } = useTyped(NOTHING)
  const [isBad, setBad] = useState(false)
  const now = typed.current
  const perUnit = rain_mm(1)
  return (
    <form
      class="work-form"
      onSubmit={event => {
        event.preventDefault()
        const { spilled, photos, ...rest } = typed.current
        try {
          const [storm] = stormLogFrom([
            {
              ...rest,
              date: rest.date.trim(),
              spilled: spilled === 'unknown' ? null : spilled === 'yes',
              photos: photos
                .split(',')
                .map(name => name.trim())
                .filter(name => name !== ''),
            },
          ])
          setBad(false)
          onAdd(storm!)
          clear()
        } catch (error) {
          if (!(error instanceof InputError)) throw error
          setBad(true)
        }
      }}
    >
      <TextField label={say.date} value={now.date} hint={say.dateHint} maxLength={10} onCommit={date => set({ date })} />
      <NumberField
        label={say.rain}
        value={now.rain_mm === null ? null : now.rain_mm / perUnit}
        unit={rainUnit}
        low={0}
        high={2000 / perUnit}
        nullable
        complaint={sizeBad('0', formatNumber(2000 / perUnit, voice))}
        onCommit={value => set({ rain_mm: value === null ? null : rain_mm(value) })}
      />
      <NumberField
        label={say.highest}
        value={now.highestWater_m === null ? null : shown(now.highestWater_m)}
        unit={unit}
        low={0}
        high={shown(10)}
        nullable
        complaint={sizeBad('0', formatNumber(shown(10), voice))}
        onCommit={value => set({ highestWater_m: value === null ? null : taken(value) })}
      />
      <Select
        label={say.spilled}
        value={now.spilled}
        choices={SPILLED.map(value => ({ value, text: say.spilledWords[value] }))}
        onChoose={spilled => set({ spilled })}
      />
      <TextField label={say.seen} value={now.seen} maxLength={2000} onCommit={seen => set({ seen })} />
      <TextField label={say.photos} value={now.photos} maxLength={2000} onCommit={photos => set({ photos })} />
      {isBad && (
        <p class="field-bad" role="alert">
          {say.dateBad}
        </p>
      )}
      <button type="submit">{say.addStorm}</button>
    </form>
  )
}
