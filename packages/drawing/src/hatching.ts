import type { NoGoReason } from 'soakline/siting'
import { element } from './svg.js'

/** A pattern's tile in units of one (a pixel at 96 to the inch) and how far it is turned. */
interface Tile {
  readonly width: number
  readonly height: number
  readonly turn_deg: number
  /** Strokes as path data. */
  readonly lines: string
  readonly dashes?: string
}

const upright = (width: number, turn_deg: number, dashes?: string): Tile => ({
  width,
  height: 24,
  turn_deg,
  lines: `M${width / 2} 0V24`,
  ...(dashes === undefined ? {} : { dashes }),
})

/** One pattern for each reason, so that a grey print tells them apart. Setbacks are sparse slanted lines that differ in slant and dashes. */
const TILES: Readonly<Record<NoGoReason, Tile>> = {
  'above-building': { width: 7, height: 7, turn_deg: 45, lines: 'M3.5 0V7M0 3.5H7' },
  'near-building': upright(6, 30),
  forest: {
    width: 14,
    height: 14,
    turn_deg: 0,
    lines: 'M6 4A2.2 2.2 0 1 1 1.6 4A2.2 2.2 0 1 1 6 4M13 11A2.2 2.2 0 1 1 8.6 11A2.2 2.2 0 1 1 13 11',
  },
  'wet-ground': { width: 14, height: 10, turn_deg: 0, lines: 'M1 3H7M8 8H14' },
  spring: upright(9, 60, '2 4'),
  septic: upright(9, 30, '8 4'),
  well: upright(9, -30, '8 4'),
  boundary: upright(12, 45),
  track: upright(12, -45),
  stream: upright(10, 60),
  utility: upright(12, 45, '10 2 2 2'),
  slip: { width: 12, height: 9, turn_deg: 0, lines: 'M0 7L3 2L6 7L9 2L12 7' },
  hollow: { width: 12, height: 9, turn_deg: 0, lines: 'M2 2A4 4 0 0 0 10 2' },
  'too-steep': upright(4, 0),
  seepage: upright(9, -60, '1 5'),
  'high-wetness': { width: 10, height: 8, turn_deg: 0, lines: 'M1 3H4M6 7H9' },
  'slide-prone': { width: 16, height: 12, turn_deg: 0, lines: 'M1 3L8 9L15 3' },
  'steep-weak-soil': upright(6, 0, '4 3'),
  'above-bank': { width: 12, height: 10, turn_deg: 0, lines: 'M0 2H12M3 2V6M9 2V6' },
  'above-slip': { width: 12, height: 9, turn_deg: 0, lines: 'M0 2L3 7L6 2L9 7L12 2M0 8H12' },
}

const OTHER: Tile = upright(12, 15, '4 4')

/** The tile of a reason; a reason that this version does not know is hatched all the same. */
const tileOf = (reason: string): Tile => (Object.hasOwn(TILES, reason) ? TILES[reason as NoGoReason] : OTHER)

/** A pattern element. `u` is the size of one unit on the page. */
export function hatch(reason: string, id: string, ink: string, u: number): string {
  const { width, height, turn_deg, lines, dashes } = tileOf(reason)
  return element(
    'pattern',
    { id, width, height, patternUnits: 'userSpaceOnUse', patternTransform: `scale(${u}) rotate(${turn_deg})` },
    element('path', { d: lines, fill: 'none', stroke: ink, 'stroke-width': 0.8, 'stroke-dasharray': dashes }),
  )
}

/** Loose dots, for ground over which water may spread. */
export const stipple = (id: string, ink: string, u: number): string =>
  element(
    'pattern',
    { id, width: 7, height: 7, patternUnits: 'userSpaceOnUse', patternTransform: `scale(${u})` },
    [
      [1.5, 1.8],
      [5, 5.2],
    ]
      .map(([cx, cy]) => element('circle', { cx, cy, r: 0.75, fill: ink }))
      .join(''),
  )
