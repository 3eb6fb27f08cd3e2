import { formatHeight, formatStakeLevel, handsWords, type LongSectionFrame, longSectionFrame, type SectionSize } from '@soakline/drawing'
import { useRef } from 'preact/hooks'
import { MM_PER_INCH } from 'soakline/foundation'
import { type Assessment, SETTINGS } from 'soakline/plan'
import { useDesk } from './with-sheet.js'

/** One step of an arrow key, and of Page Up and Page Down, in the reader's units: a centimetre and five, or half an inch and two. */
const steps_m = (us: boolean): readonly [small: number, large: number] => (us ? [MM_PER_INCH / 2000, MM_PER_INCH / 500] : [0.01, 0.05])

interface GripProps {
  readonly className: string
  readonly label: string
  readonly said: string
  readonly top: number
  readonly left: number
  readonly low_m: number
  readonly high_m: number
  readonly value_m: number
  readonly frame: LongSectionFrame
  onMove(value_m: number): void
  onEnd(value_m: number): void
}

/** A grip at a level of the long section: dragged up and down, or moved by arrow keys. The scale of the picture as it was taken hold of counts. */
function Grip({ className, label, said, top, left, low_m, high_m, value_m, frame, onMove, onEnd }: GripProps) {
  const { voice } = useDesk()
  const held = useRef<{ readonly pointer: number; readonly from: number; readonly value_m: number; readonly perPixel_m: number } | null>(
    null,
  )
  const keyed = useRef(false)
  const last = useRef(value_m)
  const kept = (wanted: number): number => Math.min(high_m, Math.max(low_m, wanted))
  const move = (wanted: number): void => {
    last.current = kept(wanted)
    onMove(last.current)
  }
  const letGo = (event: PointerEvent): void => {
    if (held.current?.pointer !== event.pointerId) return
    held.current = null
    onEnd(last.current)
  }
  const [small, large] = steps_m(voice.units === 'us')
  return (
    <div
      class={`section-grip ${className}`}
      role="slider"
      tabIndex={0}
      aria-orientation="vertical"
      aria-label={label}
      title={label}
      aria-valuemin={Math.round(low_m * 1000) / 1000}
      aria-valuemax={Math.round(high_m * 1000) / 1000}
      aria-valuenow={Math.round(value_m * 1000) / 1000}
      aria-valuetext={said}
      style={{ top: `${top}px`, left: `${left}px` }}
      onPointerDown={event => {
        if (event.button !== 0) return
        event.stopPropagation()
        event.currentTarget.setPointerCapture(event.pointerId)
        last.current = value_m
        held.current = { pointer: event.pointerId, from: event.clientY, value_m, perPixel_m: frame.z_m(0) - frame.z_m(1) }
      }}
      onPointerMove={event => {
        event.stopPropagation()
        const grip = held.current
        if (grip?.pointer === event.pointerId) move(grip.value_m + (grip.from - event.clientY) * grip.perPixel_m)
      }}
      onPointerUp={letGo}
      onPointerCancel={letGo}
      onKeyDown={event => {
        const by: Readonly<Record<string, number>> = { ArrowUp: small, ArrowDown: -small, PageUp: large, PageDown: -large }
        const step = by[event.key]
        if (step === undefined) return
        event.preventDefault()
        event.stopPropagation()
        if (!keyed.current) last.current = value_m
        keyed.current = true
        move(last.current + step)
      }}
      onKeyUp={() => {
        if (!keyed.current) return
        keyed.current = false
        onEnd(last.current)
      }}
      onBlur={() => {
        if (!keyed.current) return
        keyed.current = false
        onEnd(last.current)
      }}
    />
  )
}

/** The bed and the water of the long section, to be taken hold of. Each move is answered; what the bed comes to is kept when it is let go. */
export function SectionHands({ assessment, room }: { readonly assessment: Assessment; readonly room: SectionSize }) {
  const { sheet, hands, voice } = useDesk()
  const say = handsWords(voice).section
  const frame = longSectionFrame(assessment, room)
  const { line, storage, section } = assessment
  if (frame === null || storage === null || section === null || sheet.readOnly.value) return null
  const { depth_m } = section.shape
  const [least, most] = SETTINGS.depth_m.range!
  // What the bed lies at follows from the depth; the ground over it stays, whatever is tried.
  const ground_m = line.bedElevation_m + depth_m
  const water_m = hands.water.level_m.value ?? storage.sillElevation_m
  const deep = (bed_m: number): number => Math.round((ground_m - bed_m) * 1000) / 1000
  return (
    <>
      <Grip
        className="grip-bed"
        label={say.bed}
        said={say.bedAt(formatHeight(depth_m, voice), formatStakeLevel(line.bedElevation_m, voice))}
        left={frame.left + 26}
        top={frame.y(line.bedElevation_m)}
        frame={frame}
        low_m={ground_m - most}
        high_m={ground_m - Math.max(least, 0.05)}
        value_m={line.bedElevation_m}
        onMove={bed_m => sheet.trySettings({ depth_m: deep(bed_m) })}
        onEnd={bed_m => sheet.keepSettings({ depth_m: deep(bed_m) }, 'bed')}
      />
      <Grip
        className="grip-water"
        label={say.water}
        said={formatStakeLevel(water_m, voice)}
        left={frame.left + 70}
        top={frame.y(water_m)}
        frame={frame}
        low_m={line.bedElevation_m}
        high_m={storage.crestElevation_m}
        value_m={water_m}
        onMove={hands.water.setLevel}
        onEnd={hands.water.setLevel}
      />
    </>
  )
}
