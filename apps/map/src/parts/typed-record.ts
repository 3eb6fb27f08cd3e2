import { unitSign } from '@soakline/drawing'
import { useRef, useState } from 'preact/hooks'
import { METRES_PER, MM_PER_INCH } from 'soakline/foundation'
import { useDesk } from './with-sheet.js'

/** How lengths of the work on the ground are typed: metres or feet. */
export function useLengths() {
  const { voice } = useDesk()
  const unit_m = voice.units === 'us' ? METRES_PER.ft : 1
  return {
    unit: unitSign(voice.units === 'us' ? 'ft' : 'm', voice),
    shown: (m: number): number => Math.round((m / unit_m) * 1e4) / 1e4,
    taken: (typed: number): number => typed * unit_m,
  }
}

/** How small lengths, as on a crossbar, and depths of rain are typed: centimetres and millimetres, or inches. */
export function useSmallLengths() {
  const { voice } = useDesk()
  const us = voice.units === 'us'
  return {
    barUnit: us ? unitSign('in', voice) : 'cm',
    bar_m: (typed: number): number => (us ? (typed * MM_PER_INCH) / 1000 : typed / 100),
    rainUnit: us ? unitSign('in', voice) : 'mm',
    rain_mm: (typed: number): number => (us ? typed * MM_PER_INCH : typed),
  }
}

/** What is typed into a small form before it is taken as a whole. Kept in a reference: Enter in a field takes the form in the same turn. */
export function useTyped<T extends object>(empty: T) {
  const typed = useRef(empty)
  const [, draw] = useState(0)
  return {
    typed,
    set(parts: Partial<T>): void {
      typed.current = { ...typed.current, ...parts }
      draw(n => n + 1)
    },
    clear(): void {
      typed.current = empty
      draw(n => n + 1)
    },
  }
}
