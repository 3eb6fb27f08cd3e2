import { formatAlong, formatNumber, formatStakeLevel, onSiteWords, sayBuilt, sayConsequence } from '@soakline/drawing'
import { useId } from 'preact/hooks'
import type { BuiltReading } from 'soakline/plan'
import * as edits from '../state/edits.js'
import type { WorkAnswer } from '../worker/protocol.js'
import { NumberField, Select } from './field.js'
import { Refused } from './refused.js'
import { Said } from './sizing.js'
import { useLengths, useTyped } from './typed-record.js'
import { useDesk } from './with-sheet.js'

const WHATS = ['crest', 'sill', 'bed'] as const satisfies readonly BuiltReading['what'][]
const NOTHING: { what: BuiltReading['what']; along_m: number | null; level_m: number | null } = {
  what: 'crest',
  along_m: null,
  level_m: null,
}

/** Levels read on the dug ditch, and what they do. */
export function BuiltPart({ answer: { work, built } }: { readonly answer: WorkAnswer }) {
  const { sheet, voice } = useDesk()
  const { built: say } = onSiteWords(voice)
  const record = sheet.plan.value.built
  const readings = record?.readings ?? []
  const fresh = useId()
  return (
    <>
      <p>{say.text}</p>
      <AddReading length_m={work.length_m} about_m={work.stakes[0]!.bed_m} />
      {readings.length === 0 ? (
        <p class="small">{say.none}</p>
      ) : (
        <>
          <p class="confirm">
            <input
              id={fresh}
              type="checkbox"
              checked={record!.fresh}
              onChange={event => {
                const { checked } = event.currentTarget
                sheet.note(plan => edits.setRecords(plan, 'set-built', { built: { readings, fresh: checked } }))
              }}
            />
            <label for={fresh}>{say.fresh}</label>
          </p>
          {built === null ? null : 'refusal' in built ? (
            <p role="alert">
              <Refused refusal={built.refusal} />
            </p>
          ) : (
            <div class="work-built">
              <h3>{say.consequence}</h3>
              <ul role="status">
                {sayConsequence(built.value.asBuilt, built.value, voice).map(line => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
              {sayBuilt(built.value.asBuilt, voice).map((part, k) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: the parts always stand in this order
                <Said key={k} part={part} />
              ))}
            </div>
          )}
          <details>
            <summary>{say.takeOut}</summary>
            <ul class="work-list">
              {readings.map((reading, k) => {
                const [what, along] = [say.what[reading.what], formatAlong(reading.chainage_m, voice)]
                return (
                  <li key={`${reading.what} ${reading.chainage_m}`}>
                    {what}, {along}: {formatStakeLevel(reading.level_m, voice)}{' '}
                    <button
                      type="button"
                      aria-label={say.remove(what, along)}
                      onClick={() => setReadings(readings.filter((_, other) => other !== k))}
                    >
                      {say.removeShort}
                    </button>
                  </li>
                )
              })}
            </ul>
            <button type="button" onClick={() => setReadings([])}>
              {say.clear}
            </button>
          </details>
        </>
      )}
    </>
  )

  function setReadings(left: readonly BuiltReading[]): void {
    sheet.note(plan =>
      edits.setRecords(plan, 'set-built', { built: left.length === 0 ? undefined : { fresh: record?.fresh ?? false, readings: left } }),
    )
  }
}

/** One reading, typed. Levels further from the plan than that are of another datum, and refused by the worker. */
function AddReading({ length_m, about_m }: { readonly length_m: number; readonly about_m: number }) {
  const { sheet, voice } = useDesk()
  const { built: say, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const { typed, set } = useTyped(NOTHING)
  const { what, along_m, level_m } = typed.current
  const [low, high] = [shown(about_m - 10), shown(about_m + 10)]
  const round = (value: number): string => formatNumber(value, voice, 1)
  return (
    <form
      class="work-form"
      onSubmit={event => {
        event.preventDefault()
        const now = typed.current
        if (now.along_m === null || now.level_m === null) return
        const reading: BuiltReading = { what: now.what, chainage_m: now.along_m, level_m: now.level_m }
        sheet.note(plan => edits.addReadings(plan, [reading]))
        // The next reading is most often of the same thing, further on.
        set({ along_m: null, level_m: null })
      }}
    >
      <Select
        label={say.whatLabel}
        value={what}
        choices={WHATS.map(value => ({ value, text: say.what[value] }))}
        onChoose={next => set({ what: next })}
      />
      <NumberField
        label={say.along}
        value={along_m === null ? null : shown(along_m)}
        unit={unit}
        low={0}
        high={shown(length_m)}
        nullable
        complaint={sizeBad('0', round(shown(length_m)))}
        onCommit={value => set({ along_m: value === null ? null : taken(value) })}
      />
      <NumberField
        label={say.level}
        value={level_m === null ? null : shown(level_m)}
        unit={unit}
        low={low}
        high={high}
        nullable
        complaint={sizeBad(round(low), round(high))}
        onCommit={value => set({ level_m: value === null ? null : taken(value) })}
      />
      <button type="submit">{say.add}</button>
    </form>
  )
}
