import {
  hydrographSvg,
  type SaidPart,
  type SaidTable,
  sayDrain,
  sayExits,
  sayMeasuredStorm,
  sayNoHydrograph,
  sayRunoff,
  saySoaking,
  saySpillway,
  saySpreaders,
  sayStorm,
  sayStorms,
  sayWarning,
  sayWorst,
  sayYear,
  sizingWords,
} from '@soakline/drawing'
import { useMemo } from 'preact/hooks'
import type { Warning } from 'soakline/foundation'
import { type Assessment, settingsFrom } from 'soakline/plan'
import { Drawing } from './drawing.js'
import { useRoom } from './use-room.js'
import { useDesk } from './with-sheet.js'

/** What is remarked where a record of rain was brought and the soil is not known. */
export const YEARS_UNKNOWN: Warning = { code: 'balance/intake-unknown', details: {} }

/** What is sized behind an answer, by the check that it answers; nothing for the others. While a line is dragged it is that of before, dimmed. */
export function SizingWhy({ check }: { readonly check: string | undefined }) {
  const { sheet, voice } = useDesk()
  const settled = sheet.settled.value
  if (settled === null) return null
  const { assessment } = settled
  const measured = sayMeasuredStorm(assessment, voice)
  const year = sayYear(assessment, voice)
  const parts: Readonly<Record<string, () => preact.ComponentChildren>> = {
    'soil-soaks': () => {
      const drain = sayDrain(assessment, voice)
      return (
        <>
          <Said part={saySoaking(assessment, voice, settingsFrom(sheet.plan.value.settings).settings)} />
          {drain && <Said part={drain} />}
        </>
      )
    },
    'storage-holds-storm': () => (
      <>
        <Hydrograph assessment={assessment} />
        <Said part={sayStorms(assessment, voice)} />
        <Said part={sayRunoff(assessment, voice)} />
        {measured && <Said part={measured} />}
        {year && <Said part={year} />}
        {year === null && sheet.plan.value.dailyRain && <p>{sayWarning(YEARS_UNKNOWN, voice)}</p>}
      </>
    ),
    'spill-carries-peak': () => (
      <>
        <Said part={saySpillway(assessment, voice)} />
        <Said part={sayWorst(assessment, voice)} />
      </>
    ),
    'exit-holds': () => (
      <>
        <Said part={sayExits(assessment, voice)} />
        <Said part={saySpreaders(assessment, voice)} />
      </>
    ),
  }
  const show = check !== undefined && Object.hasOwn(parts, check) ? parts[check] : undefined
  return show === undefined ? null : <Settled>{show()}</Settled>
}

/** Dims what is still that of the line before. */
function Settled({ children }: { readonly children: preact.ComponentChildren }) {
  const { sheet, voice } = useDesk()
  const isBefore = sheet.settled.value !== sheet.answer.value
  return (
    <div class={isBefore ? 'of-before' : undefined} title={isBefore ? sizingWords(voice).hydrograph.moving : undefined}>
      {children}
    </div>
  )
}

/** Room up and down for a storm's picture; its lines of writing need more where they do not fit side by side. */
const TALL = 330

function Hydrograph({ assessment }: { readonly assessment: Assessment }) {
  const { voice } = useDesk()
  const { ref, room } = useRoom<HTMLElement>()
  const width = room?.width ?? null
  const svg = useMemo(() => (width === null ? null : hydrographSvg(assessment, voice, { width, height: TALL })), [assessment, voice, width])
  const why = sayNoHydrograph(assessment, voice)
  const { hydrograph } = sizingWords(voice)
  return (
    <figure class="hydrograph" ref={ref}>
      <h3>{hydrograph.title}</h3>
      {svg === null ? <p>{why ?? ''}</p> : <Drawing svg={svg} />}
      {svg !== null && <figcaption class="small">{sayStorm(assessment, voice)}</figcaption>}
    </figure>
  )
}

/** A part of the sizing: numbers with their names, tables, notes. */
export function Said({ part: { title, lead, lines, tables, notes } }: { readonly part: SaidPart }) {
  return (
    <section class="said">
      {title !== '' && <h3>{title}</h3>}
      {lead !== undefined && <p>{lead}</p>}
      {lines.length > 0 && (
        <dl>
          {lines.map(([name, value]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      {tables.map(table =>
        table.numeric ? (
          <SaidRows key={table.head.join()} table={table} label={title} />
        ) : (
          <SaidCards key={table.head.join()} table={table} />
        ),
      )}
      {notes.map(note => (
        <p class="small" key={note}>
          {note}
        </p>
      ))}
    </section>
  )
}

/** In a narrow margin the column that counts stands first, beside the names; the others are reached by scrolling. */
function markedFirst(table: SaidTable): SaidTable {
  const column = table.marked?.column
  if (column === undefined) return table
  const turned = (row: readonly string[]): string[] => [row[0]!, row[column]!, ...row.filter((_, k) => k !== 0 && k !== column)]
  return { ...table, head: turned(table.head), rows: table.rows.map(turned), marked: { ...table.marked, column: 1 } }
}

/** A table of sentences rather than numbers: in a narrow margin each row stands for itself. */
function SaidCards({ table: { head, rows, marked, cited } }: { readonly table: SaidTable }) {
  return (
    <ul class="said-cards">
      {rows.map((row, r) => (
        <li key={row[0]} class={marked?.row === r ? 'marked' : undefined}>
          <strong>{row[0]}</strong>
          <dl>
            {row.slice(1).map((cell, k) => (
              <div key={head[k + 1]}>
                <dt>{head[k + 1]}</dt>
                <dd>{k + 1 === cited ? <cite>{cell}</cite> : cell}</dd>
              </div>
            ))}
          </dl>
        </li>
      ))}
    </ul>
  )
}

export function SaidRows({ table, label }: { readonly table: SaidTable; readonly label: string }) {
  const { caption, head, rows, marked } = markedFirst(table)
  const css = (k: number): string | undefined => (k === 0 ? undefined : marked?.column === k ? 'number marked' : 'number')
  return (
    <>
      {caption !== '' && <p class="small">{caption}</p>}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by the keyboard */}
      <section class="scroll-x" tabIndex={0} aria-label={caption === '' ? label : caption}>
        <table class="said-table">
          <thead>
            <tr>
              {head.map((cell, k) => (
                <th scope="col" class={css(k)} key={cell}>
                  {cell}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(row => (
              <tr key={row[0]}>
                {row.map((cell, k) =>
                  k === 0 ? (
                    <th scope="row" key={head[k]}>
                      {cell}
                    </th>
                  ) : (
                    <td class={css(k)} key={head[k]}>
                      {cell}
                    </td>
                  ),
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}
