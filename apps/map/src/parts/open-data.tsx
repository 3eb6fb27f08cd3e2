import { creditsOf, formatLength, openGroundWords, plainText, sayGroundSource, sayMegabytes, sayWarning } from '@soakline/drawing'
import { boxRound, hostOf } from '@soakline/io'
import { useEffect, useState } from 'preact/hooks'
import { SIDES_M } from '../state/open-data.js'
import type { GroundQuestion } from '../state/sheet.js'
import { writtenPlace } from '../state/typed-place.js'
import { Select } from './field.js'
import { Refused } from './refused.js'
import { TimeLeft } from './time-left.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

/** Open heights for a place, and what the open map knows of it. Every host is asked for a yes first. */
export function OpenDataPart() {
  const { sheet, open, voice } = useDesk()
  const say = openGroundWords(voice)
  const bringing = open.bringing.value
  const brought = open.brought.value
  const problem = open.problem.value
  const mapHost = hostOf(open.mapSource.value.address)
  return (
    <details class="block open-data">
      <summary>
        <h2>{say.title}</h2>
      </summary>
      <p class="small">{say.intro}</p>
      <AreaFields />
      <SourceFields />
      <section>
        <h3>{say.map}</h3>
        <p class="small">{sheet.ground.value === null ? say.mapNoGround : say.mapIntro}</p>
        <BringButton
          host={mapHost}
          asks={say.asksMap(mapHost)}
          ready={sheet.ground.value !== null && sheet.localCentre.value === null}
          onBring={() => void open.bringMap()}
        />
      </section>
      {bringing !== null && (
        <p class="small whole-progress" role="status">
          <label>
            {say.bringing} <progress max={1} value={bringing.done === 0 ? undefined : bringing.done} />
          </label>{' '}
          <TimeLeft done={bringing.done} />{' '}
          <button type="button" onClick={open.stop}>
            {say.stop}
          </button>
        </p>
      )}
      {problem !== null && (
        <p class="field-bad" role="alert">
          <Refused refusal={problem} />
        </p>
      )}
      {brought !== null && (
        <div role="status">
          <p>{say.brought(plainText(brought.name))}</p>
          <ul class="small">
            {brought.warnings.map(warning => (
              <li key={warning.code}>{sayWarning(warning, voice)}</li>
            ))}
          </ul>
        </div>
      )}
      <Consents />
    </details>
  )
}

function AreaFields() {
  const { sheet, view, voice } = useDesk()
  const say = openGroundWords(voice)
  const area = sheet.area.value
  const setMiddle = (middle: readonly [number, number]): void => sheet.chooseArea({ middle, side_m: area?.side_m ?? 1000 })
  const onEarth = sheet.ground.value === null || sheet.localCentre.value === null
  useEffect(() => {
    if (area !== null && onEarth) view()?.show(boxRound(area.middle, area.side_m))
  }, [area])
  return (
    <section>
      <h3>{say.area}</h3>
      <p>
        {say.middle}: {area === null ? say.noMiddle : writtenPlace(area.middle, false)}
      </p>
      {onEarth && (
        <p class="button-row">
          <button
            type="button"
            aria-pressed={sheet.mode.value.kind === 'choose-area'}
            onClick={() => {
              sheet.pointArea()
              view()?.focus()
            }}
          >
            {say.point}
          </button>
          <button
            type="button"
            onClick={() => {
              const at = view()?.crosshairPlace()
              if (at) setMiddle(at)
            }}
          >
            {say.fromMap}
          </button>
        </p>
      )}
      <TypedPlaceForm label={say.typed} onEarth onPlace={([x, y]) => setMiddle([x, y])} />
      <Select
        label={say.side}
        value={String(area?.side_m ?? 1000)}
        choices={SIDES_M.map(side => ({ value: String(side), text: formatLength(side, voice) }))}
        onChoose={side => area !== null && sheet.chooseArea({ ...area, side_m: Number(side) })}
        disabled={area === null}
      />
      <p class="small">{say.sideHint}</p>
    </section>
  )
}

function SourceFields() {
  const { sheet, open, voice } = useDesk()
  const say = openGroundWords(voice)
  const source = open.chosen.value
  const isOwn = open.own.value.some(({ id }) => id === source.id)
  return (
    <section>
      <Select
        label={say.source}
        value={source.id}
        choices={open.sources.value.map(({ id, name }) => ({ value: id, text: plainText(name) }))}
        onChoose={id => {
          open.chosenId.value = id
        }}
      />
      <dl class="card-rows">
        {sayGroundSource(source, voice).map(([name, text]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {isOwn && (
        <button type="button" onClick={() => open.remove(source.id)}>
          {say.remove(plainText(source.name))}
        </button>
      )}
      {sheet.area.value === null && <p class="small">{say.needsArea}</p>}
      <BringButton
        host={open.hostOf(source)}
        asks={say.asks(open.hostOf(source))}
        ready={sheet.area.value !== null}
        onBring={() => void open.bringHeights()}
      />
      <OwnSource />
    </section>
  )
}

/** Brings from a host; the first time the button is the yes to it, and says what it means. */
function BringButton({
  host,
  asks,
  ready,
  onBring,
}: {
  readonly host: string
  /** What the host is asked for, and what it learns by that. */
  readonly asks: string
  readonly ready: boolean
  onBring(): void
}) {
  const { open, voice } = useDesk()
  const say = openGroundWords(voice)
  const allowed = open.allowed.value.includes(host)
  return (
    <>
      {!allowed && <p class="small">{asks}</p>}
      <p class="button-row">
        <button
          type="button"
          class="firm"
          disabled={!ready || open.bringing.value !== null}
          onClick={() => {
            open.allow(host)
            onBring()
          }}
        >
          {allowed ? say.bring : say.allow(host)}
        </button>
      </p>
    </>
  )
}

function OwnSource() {
  const { open, voice } = useDesk()
  const say = openGroundWords(voice)
  const [address, setAddress] = useState('')
  const [name, setName] = useState('')
  const [credit, setCredit] = useState('')
  return (
    <details>
      <summary>{say.own}</summary>
      <form
        onSubmit={event => {
          event.preventDefault()
          if (!open.add({ address, name, credit })) return
          setAddress('')
          setName('')
          setCredit('')
        }}
      >
        {(
          [
            [say.ownAddress, address, setAddress],
            [say.ownName, name, setName],
            [say.ownCredit, credit, setCredit],
          ] as const
        ).map(([label, value, set]) => (
          <label class="field" key={label}>
            {label}
            <input type="text" autocomplete="off" maxLength={400} value={value} onInput={event => set(event.currentTarget.value)} />
          </label>
        ))}
        <p class="small">{say.ownHint}</p>
        <button type="submit">{say.add}</button>
      </form>
    </details>
  )
}

/** The hosts that may be asked, each with a way to take it back. */
function Consents() {
  const { open, voice } = useDesk()
  const say = openGroundWords(voice)
  const [forgotten, setForgotten] = useState(false)
  const hosts = open.allowed.value
  return (
    <section>
      <h3>{say.allowed}</h3>
      {hosts.length === 0 ? (
        <p class="small">{say.noneAllowed}</p>
      ) : (
        <ul class="hosts">
          {hosts.map(host => (
            <li key={host}>
              <code>{host}</code>{' '}
              <button type="button" onClick={() => open.takeBack(host)}>
                {say.takeBack(host)}
              </button>
            </li>
          ))}
        </ul>
      )}
      <p class="small">{forgotten ? say.forgotten : say.kept}</p>
      <button type="button" onClick={() => void open.forget().then(() => setForgotten(true))}>
        {say.forget}
      </button>
    </section>
  )
}

/** Whom the data in sight are owed to: it stands on the plan, where they are shown. */
export function CreditLine() {
  const { sheet, voice } = useDesk()
  const warnings = sheet.ground.value?.card.report.warnings ?? []
  const credits = creditsOf({ assessment: { ground: { warnings } }, features: sheet.plan.value.features })
  return credits.length === 0 ? null : <p class="credit-line">{openGroundWords(voice).creditLine(credits.join(' · '))}</p>
}

const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value)

/** A raster too large to be held: a part of it is offered. */
export function WindowForm({ question }: { readonly question: GroundQuestion }) {
  const { sheet, voice, say: words } = useDesk()
  const say = openGroundWords(voice)
  const { details } = question.refusal
  const { west, south, east, north } = details
  const its = [west, south, east, north].every(isNumber) ? ([west, south, east, north] as [number, number, number, number]) : null
  const middle = its && ([(its[0] + its[2]) / 2, (its[1] + its[3]) / 2] as const)
  const [at, setAt] = useState<readonly [number, number] | null>(middle)
  const [side_m, setSide] = useState<number>(2000)
  const number = (value: unknown): string => (isNumber(value) ? String(value) : '?')
  return (
    <section class="block question">
      <h2>{words.ask.title}</h2>
      <p class="file-name">{plainText(question.name)}</p>
      <p>{say.window}</p>
      <p class="small">
        {say.windowSize(number(details.width), number(details.height), sayMegabytes(isNumber(details.bytes) ? details.bytes : 0, voice))}{' '}
        {its && say.windowBox(`${writtenPlace([its[0], its[1]], false)} – ${writtenPlace([its[2], its[3]], false)}`)}
      </p>
      <p>
        {say.middle}: {at === null ? say.noMiddle : writtenPlace([at[0], at[1]], false)}
      </p>
      <TypedPlaceForm label={say.typed} onEarth onPlace={([x, y]) => setAt([x, y])} />
      <Select
        label={say.side}
        value={String(side_m)}
        choices={SIDES_M.map(side => ({ value: String(side), text: formatLength(side, voice) }))}
        onChoose={side => setSide(Number(side))}
      />
      <p class="button-row">
        <button
          type="button"
          class="firm"
          disabled={at === null}
          onClick={() => at !== null && void sheet.answerGround({ window: { in: 'lonlat', box: boxRound(at, side_m) } })}
        >
          {say.read}
        </button>
      </p>
    </section>
  )
}
