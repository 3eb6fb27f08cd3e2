import { handsWords } from '@soakline/drawing'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { DugView } from 'soakline/plan'
import { drawRelief } from '../plan-view/relief.js'
import type { LineAnswer } from '../worker/protocol.js'
import { useDesk } from './with-sheet.js'

/** Size of the picture in pixels of its own. */
const [WIDE, TALL] = [720, 430]

/** The ground as dug, seen from the side: drawn when the reader opens it, turned by a slider, filled with the water that is looked at. */
export function Relief() {
  const { voice } = useDesk()
  const say = handsWords(voice).relief
  const [open, setOpen] = useState(false)
  return (
    <details class="relief" open={open} onToggle={event => setOpen(event.currentTarget.open)}>
      <summary>{say.open}</summary>
      {open && <Picture />}
    </details>
  )
}

function Picture() {
  const { sheet, hands, prefs, voice } = useDesk()
  const say = handsWords(voice).relief
  const canvas = useRef<HTMLCanvasElement>(null)
  const [turn_deg, setTurn] = useState(20)
  const [view, setView] = useState<{ readonly about: LineAnswer; readonly dug: DugView | null } | null>(null)
  const settled = sheet.settled.value
  useEffect(() => {
    if (settled === null) return
    let wanted = true
    sheet.askWorker('dugView', { revision: settled.revision }).then(
      dug => wanted && setView({ about: settled, dug }),
      () => wanted && setView({ about: settled, dug: null }),
    )
    return () => {
      wanted = false
    }
  }, [settled])
  const water_m = hands.water.level_m.value
  const theme = prefs.theme.value
  const dug = view?.dug ?? null
  useEffect(() => {
    if (dug === null) return
    const frame = requestAnimationFrame(() => canvas.current && drawRelief(canvas.current, dug, { turn_deg, water_m, theme }))
    return () => cancelAnimationFrame(frame)
  }, [dug, turn_deg, water_m, theme])
  if (settled === null || (view !== null && dug === null)) return <p class="small">{say.none}</p>
  return (
    <figure class={view?.about === settled ? '' : 'of-before'}>
      <canvas ref={canvas} width={WIDE} height={TALL} role="img" aria-label={say.picture} />
      {dug === null && <p class="small">{say.working}</p>}
      <label>
        {say.turn}
        <input
          type="range"
          min={-180}
          max={180}
          step={5}
          value={turn_deg}
          aria-valuetext={`${turn_deg}°`}
          onInput={event => setTurn(Number(event.currentTarget.value))}
        />
      </label>
      <figcaption class="small">{say.text}</figcaption>
    </figure>
  )
}
