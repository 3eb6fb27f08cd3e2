import { formatLength, plainText } from '@soakline/drawing'
import type { FittingSystem, KnownPoint } from '@soakline/io'
import { useId, useState } from 'preact/hooks'
import { typedPlace, writtenPlace } from '../state/typed-place.js'
import type { GroundCard, Refusal } from '../worker/protocol.js'
import { Choices } from './field.js'
import { Refused } from './refused.js'
import { useDesk } from './with-sheet.js'

type Way = 'ground' | 'code' | 'near' | 'points' | 'local'

/** Bounds that a question carries: west, south, east, north in the file's own numbers. */
export function boundsIn(details: Readonly<Record<string, unknown>>): readonly [number, number, number, number] | null {
  const { bounds } = details
  if (!Array.isArray(bounds) || bounds.length !== 4 || !bounds.every(value => typeof value === 'number' && Number.isFinite(value)))
    return null
  return bounds as unknown as readonly [number, number, number, number]
}

interface CrsQuestionProps {
  /** What the refusal says of the file: `bounds` in its own numbers, `unit_m` of its lengths, `looksLikeDegrees`. */
  readonly details: Readonly<Record<string, unknown>>
  /** The ground that a layer lies on; absent for a ground itself, which may lie nowhere on Earth. */
  readonly ground?: GroundCard | null
  onSay(crs: string | null): void
}

/** In which coordinate system a file lies: in that of the ground, by its number, by what is known of the place, by two points, or in none. */
export function CrsQuestion({ details, ground, onSay }: CrsQuestionProps) {
  const { say } = useDesk()
  const bounds = boundsIn(details)
  const own = ground == null || ground.localCentre !== null ? null : ground.report
  const [way, setWay] = useState<Way | null>(own === null ? 'code' : null)
  const [number, setNumber] = useState(details.looksLikeDegrees === true ? '4326' : '')
  const id = useId()
  const sayNumber = (text: string): void => onSay(/^\d{3,6}$/.test(text.trim()) ? `EPSG:${text.trim()}` : null)
  const choose = (next: Way): void => {
    setWay(next)
    if (next === 'code') sayNumber(number)
    else onSay(next === 'local' ? 'local' : next === 'ground' && own !== null ? own.crs : null)
  }
  const ways: readonly { value: Way; text: string }[] = [
    ...(own === null ? [] : [{ value: 'ground' as const, text: say.ask.crsOfGround(plainText(own.crsName), plainText(own.crs)) }]),
    { value: 'code', text: say.ask.crsCode },
    ...(bounds === null ? [] : [{ value: 'near' as const, text: say.ask.crsNear }]),
    ...(bounds === null ? [] : [{ value: 'points' as const, text: say.ask.crsPoints }]),
    ...(ground === undefined ? [{ value: 'local' as const, text: say.ask.crsLocal }] : []),
  ]
  const lying = bounds === null ? null : { bounds, unit_m: typeof details.unit_m === 'number' ? details.unit_m : null, onSay }
  return (
    <>
      <Choices<Way> legend={say.ask.crs} value={way} choices={ways} onChoose={choose} />
      {way === 'code' && (
        <div class="field">
          <label for={id}>{say.ask.crsCode}</label>
          <input
            id={id}
            type="text"
            inputMode="numeric"
            autocomplete="off"
            value={number}
            aria-describedby={`${id}-hint`}
            onInput={event => {
              setNumber(event.currentTarget.value)
              sayNumber(event.currentTarget.value)
            }}
          />
          <p class="small" id={`${id}-hint`}>
            {details.looksLikeDegrees === true ? `${say.ask.crsLooksLikeDegrees} ` : ''}
            {say.ask.crsCodeHint}
          </p>
        </div>
      )}
      {bounds !== null && (way === 'near' || way === 'points') && (
        <p class="small">{say.ask.crsBounds(bounds.map(value => String(Number(value.toFixed(6)))))}</p>
      )}
      {lying !== null && way === 'near' && <Near {...lying} ground={ground ?? null} />}
      {lying !== null && way === 'points' && <Points {...lying} />}
    </>
  )
}

interface WayProps {
  readonly bounds: readonly [number, number, number, number]
  /** Unit of the file's own lengths; null where it names none. */
  readonly unit_m: number | null
  onSay(crs: string | null): void
}

/** Roughly where it lies: for a layer it begins with the middle of the ground, to be changed where the layer lies elsewhere. */
function Near({ bounds, unit_m, ground, onSay }: WayProps & { readonly ground: GroundCard | null }) {
  const { say } = useDesk()
  const [place, setPlace] = useState(() => {
    if (ground === null || ground.localCentre !== null) return ''
    const [west, south, east, north] = ground.bounds
    return writtenPlace([(west + east) / 2, (south + north) / 2], false)
  })
  const at = typedPlace(place, false)
  return (
    <>
      <Typed label={say.ask.crsNearPlace} hint={say.mode.typedHint} value={place} onType={setPlace} />
      <Search asked={at === null ? null : { near: { bounds, place: [at[0], at[1]] }, unit_m }} hint={say.ask.crsNearHint} onSay={onSay} />
    </>
  )
}

/** Two points by their numbers in the file and on Earth; it begins with two corners of the file. */
function Points({ bounds: [west, south, east, north], unit_m, onSay }: WayProps) {
  const { say } = useDesk()
  const shown = (value: number): string => String(Number(value.toFixed(6)))
  const [typed, setTyped] = useState<readonly { readonly file: string; readonly earth: string }[]>([
    { file: `${shown(west)}, ${shown(south)}`, earth: '' },
    { file: `${shown(east)}, ${shown(north)}`, earth: '' },
  ])
  const type = (k: number, part: { readonly file?: string; readonly earth?: string }): void =>
    setTyped(typed.map((one, n) => (n === k ? { ...one, ...part } : one)))
  const points = typed.flatMap(({ file, earth }): KnownPoint[] => {
    const [own, at] = [typedPlace(file, true), typedPlace(earth, false)]
    return own && at ? [{ x: own[0], y: own[1], longitude: at[0], latitude: at[1] }] : []
  })
  return (
    <>
      {typed.map(({ file, earth }, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: two points in a fixed order
        <fieldset class="known-point" key={k}>
          <legend>{say.ask.crsPoint(k + 1)}</legend>
          <Typed label={say.ask.crsPointFile} value={file} onType={text => type(k, { file: text })} />
          <Typed label={say.ask.crsPointEarth} hint={say.mode.typedHint} value={earth} onType={text => type(k, { earth: text })} />
        </fieldset>
      ))}
      <Search asked={points.length === 2 ? { points, unit_m } : null} hint={say.ask.crsPointsHint} onSay={onSay} />
    </>
  )
}

function Typed({
  label,
  hint,
  value,
  onType,
}: {
  readonly label: string
  readonly hint?: string
  readonly value: string
  onType(text: string): void
}) {
  const id = useId()
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        value={value}
        {...(hint === undefined ? {} : { 'aria-describedby': `${id}-hint` })}
        onInput={event => onType(event.currentTarget.value)}
      />
      {hint !== undefined && (
        <p class="small" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  )
}

/** Systems shown at most; the list goes from the likeliest. */
const MOST_SHOWN = 12

/** Looks for systems that fit and lets one be chosen: none is taken without a word. */
function Search({
  asked,
  hint,
  onSay,
}: {
  readonly asked: Parameters<ReturnType<typeof useDesk>['sheet']['findSystems']>[0] | null
  readonly hint: string
  onSay(crs: string | null): void
}) {
  const { sheet, voice, say } = useDesk()
  const [found, setFound] = useState<readonly FittingSystem[] | null>(null)
  const [problem, setProblem] = useState<Refusal | null>(null)
  const [busy, setBusy] = useState(false)
  const [chosen, setChosen] = useState<string | null>(null)
  const look = async (): Promise<void> => {
    if (asked === null) return
    setBusy(true)
    setChosen(null)
    onSay(null)
    const answer = await sheet.findSystems(asked)
    setFound('systems' in answer ? answer.systems : null)
    setProblem('refusal' in answer ? answer.refusal : null)
    setBusy(false)
  }
  return (
    <>
      <p class="button-row">
        <button type="button" disabled={asked === null || busy} onClick={() => void look()}>
          {busy ? say.ask.crsLooking : say.ask.crsLook}
        </button>
      </p>
      <p class="small">{hint}</p>
      <div role="status">
        {problem && <Refused refusal={problem} />}
        {found?.length === 0 && <p>{say.ask.crsNoneFits}</p>}
        {found && found.length > 0 && (
          <Choices
            legend={say.ask.crsFound}
            value={chosen}
            choices={found.slice(0, MOST_SHOWN).map(({ crs, name, off_m }) => ({
              value: crs,
              text: say.ask.crsFit(plainText(name), plainText(crs), formatLength(off_m, voice)),
            }))}
            onChoose={crs => {
              setChosen(crs)
              onSay(crs)
            }}
          />
        )}
      </div>
    </>
  )
}
