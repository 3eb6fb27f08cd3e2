import {
  decimalMark,
  formatFine,
  formatNumber,
  formatStakeLevel,
  onSiteWords,
  sayAFrame,
  sayBookCheck,
  sayCalibrated,
  sayLevelTools,
  sayStaffReadings,
  sayWaterLevel,
} from '@soakline/drawing'
import type { BookReading, BookRow } from 'soakline/plan'
import * as edits from '../state/edits.js'
import { shownNumber, typedNumber } from '../state/shown-setting.js'
import type { WorkAnswer } from '../worker/protocol.js'
import { NumberField } from './field.js'
import { Refused } from './refused.js'
import { Said, SaidRows } from './sizing.js'
import { useLengths, useSmallLengths } from './typed-record.js'
import { useDesk } from './with-sheet.js'

/** How the levels are set with each tool, with what was read just now. */
export function LevelsPart({ answer }: { readonly answer: WorkAnswer }) {
  const { voice } = useDesk()
  const { work } = answer
  return (
    <>
      <Said part={sayLevelTools(work, voice)} />
      <Said part={sayAFrame(work, voice)} />
      <Calibration frame={answer.frame} />
      <Said part={sayWaterLevel(work, voice)} />
      <Staff staff={answer.staff} />
      <Book book={answer.book} ground_m={work.stakes[0]!.ground_m} />
    </>
  )
}

/** Two marks of a frame that stood both ways round give the level one. */
function Calibration({ frame }: { readonly frame: WorkAnswer['frame'] }) {
  const { sheet, voice } = useDesk()
  const { levels: say, sizeBad } = onSiteWords(voice)
  const { barUnit, bar_m } = useSmallLengths()
  const given = sheet.bench.value.frame
  const most = 300
  const mark = (key: 'first_m' | 'turned_m', label: string) => (
    <NumberField
      label={label}
      value={null}
      unit={barUnit}
      low={0}
      high={most}
      nullable
      complaint={sizeBad('0', formatNumber(most, voice))}
      onCommit={typed => {
        if (typed === null) return
        const before = given ?? { first_m: bar_m(typed), turned_m: bar_m(typed) }
        sheet.bench.value = { ...sheet.bench.value, frame: { ...before, [key]: bar_m(typed) } }
      }}
    />
  )
  return (
    <div class="work-pair">
      {mark('first_m', say.first)}
      {mark('turned_m', say.turned)}
      {frame && (
        <p role="status">
          {'refusal' in frame ? (
            <Refused refusal={frame.refusal} />
          ) : (
            sayCalibrated(frame.value.levelMark_m, frame.value.pointsDiffer_m, voice)
          )}
        </p>
      )}
    </div>
  )
}

/** What a laser's staff must read at each stake, once it was read on the first. */
function Staff({ staff }: { readonly staff: WorkAnswer['staff'] }) {
  const { sheet, voice } = useDesk()
  const { levels: say, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const { backsight_m } = sheet.bench.value
  return (
    <section class="said">
      <h3>{say.staff}</h3>
      <p>{say.staffHow}</p>
      <NumberField
        label={say.backsight}
        value={backsight_m === null ? null : shown(backsight_m)}
        unit={unit}
        low={0}
        high={shown(10)}
        nullable
        complaint={sizeBad('0', formatNumber(shown(10), voice))}
        onCommit={typed => {
          sheet.bench.value = { ...sheet.bench.value, backsight_m: typed === null ? null : taken(typed) }
        }}
      />
      {staff &&
        ('refusal' in staff ? (
          <p role="alert">
            <Refused refusal={staff.refusal} />
          </p>
        ) : (
          <SaidRows table={sayStaffReadings(staff.value, voice)} label={say.staff} />
        ))}
    </section>
  )
}

const COLUMNS = ['backsight_m', 'intermediate_m', 'foresight_m'] as const

/** The level book, kept in the plan: readings are typed, rises, falls and levels follow. */
function Book({ book, ground_m }: { readonly book: WorkAnswer['book']; readonly ground_m: number }) {
  const { sheet, voice } = useDesk()
  const { levels: say, sizeBad } = onSiteWords(voice)
  const { unit, shown, taken } = useLengths()
  const kept = sheet.plan.value.levelBook
  const record = kept ?? { start_m: ground_m, closesOn_m: null, readings: [] }
  const set = (parts: Partial<typeof record>, joins: string | null = null): void =>
    sheet.note(plan => edits.setRecords(plan, 'set-book', { levelBook: { ...record, ...parts } }, joins))
  const setRow = (index: number, parts: Partial<BookReading>): void =>
    set({ readings: record.readings.map((row, k) => (k === index ? { ...row, ...parts } : row)) })
  const rows: readonly BookRow[] = book && 'value' in book ? book.value.rows : []
  const level = (value: number | null | undefined): string => (value === null || value === undefined ? '' : formatStakeLevel(value, voice))
  const far = formatNumber(shown(9000), voice)
  return (
    <section class="said">
      <h3>{say.book}</h3>
      <p>{say.bookText}</p>
      <div class="work-pair">
        <NumberField
          label={say.bookStart}
          value={shown(record.start_m)}
          unit={unit}
          low={-500}
          high={shown(9000)}
          complaint={sizeBad('-500', far)}
          onCommit={typed => typed !== null && set({ start_m: taken(typed) })}
        />
        <NumberField
          label={say.bookCloses}
          value={record.closesOn_m === null ? null : shown(record.closesOn_m)}
          unit={unit}
          low={-500}
          high={shown(9000)}
          nullable
          complaint={sizeBad('-500', far)}
          onCommit={typed => set({ closesOn_m: typed === null ? null : taken(typed) })}
        />
      </div>
      {record.readings.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by the keyboard
        <section class="scroll-x" tabIndex={0} aria-label={say.book}>
          <table class="said-table work-book">
            <thead>
              <tr>
                {say.bookColumns.map((column, k) => (
                  <th scope="col" class={k === 0 ? undefined : 'number'} key={column}>
                    {column}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {record.readings.map((row, k) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: lines of a book are told apart by their place in it
                <tr key={k}>
                  <th scope="row">
                    <Cell label={`${say.bookColumns[0]} ${k + 1}`} text={row.point} wide onTake={point => setRow(k, { point })} />
                  </th>
                  {COLUMNS.map((column, c) => (
                    <td class="number" key={column}>
                      <Reading
                        label={`${say.bookColumns[c + 1]}, ${row.point || k + 1}`}
                        value_m={row[column] ?? null}
                        onTake={value => setRow(k, { [column]: value })}
                      />
                    </td>
                  ))}
                  <td class="number">{rise(rows[k]?.rise_m)}</td>
                  <td class="number">{rise(rows[k]?.fall_m)}</td>
                  <td class="number">{level(rows[k]?.level_m)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <p class="button-row">
        <button
          type="button"
          onClick={() => set({ readings: [...record.readings, { point: record.readings.length === 0 ? say.bookFirst : '' }] })}
        >
          {say.addRow}
        </button>
        {record.readings.length > 0 && (
          <>
            <button type="button" onClick={() => set({ readings: record.readings.slice(0, -1) })}>
              {say.removeRow}
            </button>
            <button type="button" onClick={() => sheet.note(plan => edits.setRecords(plan, 'set-book', { levelBook: undefined }))}>
              {say.clearBook}
            </button>
          </>
        )}
      </p>
      {book && (
        <div role="status">
          {'refusal' in book ? (
            <p>
              <Refused refusal={book.refusal} />
            </p>
          ) : (
            sayBookCheck(book.value, voice).map(line => <p key={line}>{line}</p>)
          )}
        </div>
      )}
    </section>
  )

  function rise(value: number | null | undefined): string {
    return value === null || value === undefined ? '' : formatFine(value, voice)
  }
}

/** A cell that is typed into; taken when it is left. */
function Cell({
  label,
  text,
  wide,
  bad,
  onTake,
}: {
  readonly label: string
  readonly text: string
  readonly wide?: boolean
  readonly bad?: boolean
  onTake(text: string): void
}) {
  return (
    <input
      type="text"
      class={wide ? 'work-cell-wide' : 'work-cell'}
      aria-label={label}
      autocomplete="off"
      maxLength={wide ? 60 : 12}
      {...(wide ? {} : { inputMode: 'decimal' as const })}
      {...(bad ? { 'aria-invalid': true } : {})}
      defaultValue={text}
      key={text}
      onBlur={event => {
        if (event.currentTarget.value !== text) onTake(event.currentTarget.value)
      }}
      onKeyDown={event => {
        if (event.key === 'Enter') event.currentTarget.blur()
      }}
    />
  )
}

/** A reading of the staff; what is no number is not taken, and the cell shows what was there before. */
function Reading({
  label,
  value_m,
  onTake,
}: {
  readonly label: string
  readonly value_m: number | null
  onTake(value_m: number | null): void
}) {
  const { voice } = useDesk()
  const { shown, taken } = useLengths()
  const written = value_m === null ? '' : shownNumber(shown(value_m), decimalMark(voice))
  return (
    <Cell
      label={label}
      text={written}
      onTake={text => {
        const typed = typedNumber(text)
        if (typed === null) onTake(null)
        else if (!Number.isNaN(typed)) onTake(taken(typed))
      }}
    />
  )
}
