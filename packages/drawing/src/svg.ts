import type { Point } from 'soakline/raster'
import { escapeText } from './escape-text.js'

type Attributes = Readonly<Record<string, string | number | undefined>>

/** A number as it stands in a drawing: at most so many decimals, no exponent. */
export function digits(value: number, decimals = 2): string {
  const text = value.toFixed(decimals)
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return short === '-0' ? '0' : short
}

/** An element with its attributes escaped; `inside` is markup. */
export function element(name: string, attributes: Attributes, inside = ''): string {
  let open = `<${name}`
  for (const [key, value] of Object.entries(attributes))
    if (value !== undefined) open += ` ${key}="${typeof value === 'number' ? digits(value, 3) : escapeText(value)}"`
  return inside === '' ? `${open}/>` : `${open}>${inside}</${name}>`
}

/** A line of writing. */
export const lettering = (text: string, x: number, y: number, attributes: Attributes): string =>
  element('text', { x, y, ...attributes }, escapeText(text))

/** The data of a path through places of the page; points nearer than `step` to the one before are left out, the last one never. */
export function pathData(points: readonly Point[], { closed = false, step = 0.3 } = {}): string {
  let data = ''
  let before: Point | null = null
  for (let k = 0; k < points.length; k++) {
    const p = points[k]!
    if (before !== null && k < points.length - 1 && Math.abs(p[0] - before[0]) + Math.abs(p[1] - before[1]) < step) continue
    data += `${before === null ? 'M' : 'L'}${digits(p[0])} ${digits(p[1])}`
    before = p
  }
  return closed && data !== '' ? `${data}Z` : data
}
