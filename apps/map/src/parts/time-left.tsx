import { sayTimeLeft } from '@soakline/drawing'
import { useRef } from 'preact/hooks'
import { timeLeft_s } from 'soakline/foundation'
import { useDesk } from './with-sheet.js'

/** How long work will still take, counted from when this part was first shown. */
export function TimeLeft({ done }: { readonly done: number }) {
  const { voice } = useDesk()
  const since = useRef(performance.now())
  const text = sayTimeLeft(timeLeft_s(done, (performance.now() - since.current) / 1000), voice)
  return text === '' ? null : (
    <span class="time-left" aria-live="off">
      {text}
    </span>
  )
}
