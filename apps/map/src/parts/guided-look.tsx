import { formatCount, LOOK_STATIONS, type LookStation, lookWords } from '@soakline/drawing'
import { useLayoutEffect, useRef } from 'preact/hooks'
import { type Desk, useDesk } from './with-sheet.js'

/** What each station points at; where it is not on this screen nothing is pointed at. */
const SHOWN: Readonly<Record<LookStation, string>> = {
  plan: '.plan-pane',
  answers: '#leaf',
  why: '.answer:first-child summary',
  ridge: '.questions button:nth-child(1)',
  building: '.questions button:nth-child(2)',
  bench: '.demo-switch button:nth-child(2)',
  section: '.foot',
  point: '.tools button:first-child',
  own: '.bar-group button:first-child',
}

/** Starts the look, on the demo: it speaks of nothing else. */
export async function startLook({ sheet, prefs }: Pick<Desk, 'sheet' | 'prefs'>): Promise<void> {
  if (!sheet.ground.value?.demo && !sheet.readOnly.value) await sheet.openDemo()
  prefs.look.value = 0
}

/**
 * Two minutes round the sheet, station by station. It stands at the head of the margin, covers nothing, and takes the keyboard only when it is walked
 * through; everything else can be used meanwhile.
 */
export function GuidedLook() {
  const { sheet, prefs, announce, voice } = useDesk()
  const say = lookWords(voice)
  const at = prefs.look.value
  const heading = useRef<HTMLHeadingElement>(null)
  const walked = useRef(false)
  const demo = sheet.ground.value?.demo ?? false
  const shown = at !== null && demo ? LOOK_STATIONS[at]! : null
  useLayoutEffect(() => {
    if (shown === null) return
    const element = document.querySelector(SHOWN[shown])
    element?.classList.add('looked-at')
    if (walked.current) heading.current?.focus({ preventScroll: true })
    return () => element?.classList.remove('looked-at')
  }, [shown])
  if (at === null || shown === null) return null

  const goTo = (next: number): void => {
    walked.current = true
    prefs.look.value = next
    act(sheet, LOOK_STATIONS[next]!)
  }
  const leave = (): void => {
    walked.current = false
    prefs.look.value = null
    if (sheet.focused.value !== null) sheet.ask(sheet.focused.value)
    announce(say.skipped)
    document.getElementById('margin')?.focus({ preventScroll: true })
  }
  const last = at === LOOK_STATIONS.length - 1
  const { title, text } = say.stations[shown]
  return (
    <section
      class="guided-look"
      aria-label={say.name}
      onKeyDown={event => {
        if (event.key !== 'Escape') return
        event.preventDefault()
        leave()
      }}
    >
      <p class="small">
        {say.name} · {say.where(formatCount(at + 1, voice), formatCount(LOOK_STATIONS.length, voice))}
      </p>
      <h2 ref={heading} tabIndex={-1}>
        {title}
      </h2>
      <p>{text}</p>
      <p class="button-row">
        <button type="button" class="firm" onClick={last ? leave : () => goTo(at + 1)}>
          {last ? say.done : say.next}
        </button>
        {at > 0 && (
          <button type="button" onClick={() => goTo(at - 1)}>
            {say.back}
          </button>
        )}
        {!last && (
          <button type="button" onClick={leave}>
            {say.skip}
          </button>
        )}
      </p>
    </section>
  )
}

/** Brings the sheet to where a station speaks of it. */
function act(sheet: Desk['sheet'], station: LookStation): void {
  sheet.leaf.value = 'answers'
  const line = sheet.plan.value.lines[0]?.id
  const wanted = station === 'bench' ? 'bench' : 'spur'
  if (station !== 'section' && station !== 'point' && station !== 'own' && line?.startsWith('demo-') && line !== `demo-${wanted}`)
    void sheet.useDemoLine(wanted)
  const asked = station === 'ridge' ? 'ridge' : station === 'building' || station === 'bench' ? 'building' : null
  if (sheet.focused.value === asked) return
  if (asked === null) sheet.ask(sheet.focused.value!)
  else sheet.ask(asked)
}
