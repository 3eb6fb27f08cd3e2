import type { Verdict } from 'soakline/foundation'
import { element } from './svg.js'

/** Ink of each verdict; the shape alone tells them apart as well. */
export const VERDICT_INKS: Readonly<Record<Verdict, string>> = { holds: '#3F6B4A', watch: '#8A6114', fails: '#9B2C1F', unknown: '#5C6460' }

/** The mark of a verdict: filled disc, half disc, cross, empty ring. `title` is read aloud. */
export function verdictMark(verdict: Verdict, title: string, size = 16): string {
  const ink = VERDICT_INKS[verdict]
  const ring = element('circle', { cx: 8, cy: 8, r: 6, fill: 'none', stroke: ink, 'stroke-width': 1.8 })
  const shapes: Readonly<Record<Verdict, string>> = {
    holds: element('circle', { cx: 8, cy: 8, r: 6.9, fill: ink }),
    watch: ring + element('path', { d: 'M8 2A6 6 0 0 0 8 14Z', fill: ink }),
    fails: element('path', { d: 'M2.5 2.5L13.5 13.5M13.5 2.5L2.5 13.5', stroke: ink, 'stroke-width': 3, 'stroke-linecap': 'round' }),
    unknown: ring,
  }
  return element(
    'svg',
    { class: 'mark', width: size, height: size, viewBox: '0 0 16 16', role: 'img', 'aria-label': title },
    shapes[verdict],
  )
}
