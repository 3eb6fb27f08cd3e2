import { escapeText } from './escape-text.js'
import { DAY } from './inks.js'
import { letteringWidth } from './label-places.js'
import { digits, element } from './svg.js'

/** Room for a section or a hydrograph, in the units of its lettering, which is 11 high. */
export interface SectionSize {
  readonly width: number
  readonly height: number
}

const LETTERS = "'Gill Sans','Gill Sans MT',Cabin,Candara,Calibri,'Trebuchet MS',sans-serif"
/** Height of the lettering. */
export const SMALL = 11
/** The paper's colour around writing that lies on lines. */
export const halo = { stroke: DAY.paper, 'stroke-width': 3, 'stroke-linejoin': 'round', 'paint-order': 'stroke' } as const

/** A picture on paper, with its title for those who cannot see it. */
export function picture(width: number, height: number, title: string, inside: string): string {
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width,
      height,
      viewBox: `0 0 ${digits(width)} ${digits(height)}`,
      role: 'img',
      'aria-label': title,
      'font-family': LETTERS,
      'font-size': SMALL,
    },
    element('title', {}, escapeText(title)) + element('rect', { width, height, fill: DAY.paper }) + inside,
  )
}

/** A round step that cuts a span into at most so many parts. */
export function roundStep(span: number, parts: number): number {
  const rough = span / parts
  const decade = 10 ** Math.floor(Math.log10(rough))
  return ([1, 2, 5].find(k => k * decade >= rough) ?? 10) * decade
}

/** The middle of writing that is wanted round a place and must stay on the picture. */
export function middleWithin(text: string, wanted: number, width: number): number {
  const half = Math.min(letteringWidth(text, SMALL), width) / 2
  return Math.min(Math.max(wanted, half), width - half)
}

/** Heights of labels moved apart so that they do not lie on each other, in their order from top to bottom. */
export function apart(wanted: readonly number[], gap: number, top: number, bottom: number): number[] {
  const order = wanted.map((_, k) => k).sort((a, b) => wanted[a]! - wanted[b]!)
  const placed = [...wanted]
  let floor = top
  for (const k of order) {
    placed[k] = Math.max(placed[k]!, floor)
    floor = placed[k]! + gap
  }
  let ceiling = bottom
  for (const k of order.reverse()) {
    placed[k] = Math.min(placed[k]!, ceiling)
    ceiling = placed[k]! - gap
  }
  return placed
}
