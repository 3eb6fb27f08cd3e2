import type { NoGoReason } from 'soakline/siting'

/** Pixels of a repeating picture, drawn for a screen with two pixels to the unit. */
export interface PatternImage {
  readonly width: number
  readonly height: number
  readonly data: Uint8ClampedArray
}

type Segment = readonly [x1: number, y1: number, x2: number, y2: number]

/** A tile that repeats, in pixels: strokes, and rings (open circles). */
interface Tile {
  readonly size: readonly [width: number, height: number]
  readonly strokes?: readonly Segment[]
  readonly rings?: readonly (readonly [x: number, y: number, radius: number])[]
  readonly dots?: readonly (readonly [x: number, y: number, radius: number])[]
  readonly width?: number
}

const rising: Segment = [0, 0, 1, -1]
const scaled = ([a, b, c, d]: Segment, s: number, dx = 0, dy = 0): Segment => [a * s + dx, b * s + dy, c * s + dx, d * s + dy]

/** One pattern for each reason, so that a grey print and any eye tell them apart. Setbacks are sparse slanted lines that differ in slant and dashes. */
const NO_GO_TILES: Readonly<Record<NoGoReason, Tile>> = {
  'above-building': { size: [18, 18], strokes: [scaled(rising, 18, 0, 18), [0, 0, 18, 18]], width: 1.4 },
  'near-building': { size: [12, 12], strokes: [scaled(rising, 12, 0, 12)], width: 1.6 },
  forest: {
    size: [36, 36],
    rings: [
      [9, 9, 4.4],
      [27, 27, 4.4],
    ],
    width: 1.3,
  },
  'wet-ground': {
    size: [32, 20],
    strokes: [
      [3, 5, 15, 5],
      [19, 15, 31, 15],
    ],
    width: 1.6,
  },
  spring: {
    size: [20, 40],
    strokes: [
      [2, 38, 7, 28],
      [12, 18, 17, 8],
    ],
    width: 1.5,
  },
  septic: {
    size: [28, 28],
    strokes: [
      [3, 25, 14, 14],
      [19, 9, 22, 6],
    ],
    width: 1.5,
  },
  well: {
    size: [28, 28],
    strokes: [
      [3, 3, 14, 14],
      [19, 19, 22, 22],
    ],
    width: 1.5,
  },
  boundary: { size: [36, 36], strokes: [scaled(rising, 36, 0, 36)], width: 1.3 },
  track: { size: [36, 36], strokes: [[0, 0, 36, 36]], width: 1.3 },
  stream: { size: [20, 40], strokes: [[0, 40, 20, 0]], width: 1.3 },
  utility: {
    size: [36, 36],
    strokes: [
      [3, 33, 15, 21],
      [20.5, 15.5, 21.5, 14.5],
      [27, 9, 33, 3],
    ],
    width: 1.4,
  },
  slip: {
    size: [32, 24],
    strokes: [
      [2, 16, 9, 6],
      [9, 6, 16, 16],
      [16, 16, 23, 6],
      [23, 6, 30, 16],
    ],
    width: 1.4,
  },
  hollow: {
    size: [36, 28],
    strokes: [
      [6, 8, 10, 15],
      [10, 15, 18, 18],
      [18, 18, 26, 15],
      [26, 15, 30, 8],
    ],
    width: 1.4,
  },
  'too-steep': { size: [9, 36], strokes: [[4.5, 0, 4.5, 24]], width: 1.3 },
  seepage: {
    size: [18, 36],
    dots: [
      [4, 5, 1.4],
      [13, 23, 1.4],
    ],
    strokes: [[9, 14, 9, 22]],
    width: 1.3,
  },
  'high-wetness': {
    size: [24, 20],
    strokes: [
      [2, 6, 9, 6],
      [14, 16, 21, 16],
    ],
    width: 1.3,
  },
  'slide-prone': {
    size: [40, 32],
    strokes: [
      [3, 6, 20, 22],
      [20, 22, 37, 6],
    ],
    width: 1.3,
  },
  'steep-weak-soil': {
    size: [14, 28],
    strokes: [
      [7, 0, 7, 9],
      [7, 14, 7, 19],
    ],
    width: 1.3,
  },
  'above-bank': {
    size: [28, 24],
    strokes: [
      [0, 5, 28, 5],
      [7, 5, 7, 14],
      [21, 5, 21, 14],
    ],
    width: 1.3,
  },
  'above-slip': {
    size: [28, 24],
    strokes: [
      [2, 5, 8, 15],
      [8, 15, 14, 5],
      [14, 5, 20, 15],
      [20, 15, 26, 5],
      [2, 20, 26, 20],
    ],
    width: 1.3,
  },
}

/** The reasons that have a pattern, as the images are named: `no-go-forest`. */
export const HATCHED = Object.keys(NO_GO_TILES) as NoGoReason[]

/** Where the overflow may spread: loose dots. */
const STIPPLE: Tile = {
  size: [22, 22],
  dots: [
    [5, 6, 1.8],
    [16, 17, 1.8],
  ],
}
/** Woodland as drawn by the user: tufts. */
const WOOD: Tile = {
  size: [56, 56],
  rings: [
    [14, 14, 6],
    [42, 42, 6],
  ],
  strokes: [
    [14, 20, 14, 25],
    [42, 48, 42, 53],
  ],
  width: 1.5,
}
/** Wet ground as drawn by the user: a tuft over a level stroke. */
const MARSH: Tile = {
  size: [48, 40],
  strokes: [
    [6, 16, 22, 16],
    [14, 16, 14, 7],
    [10, 15, 7, 9],
    [18, 15, 21, 9],
    [28, 36, 44, 36],
    [36, 36, 36, 27],
  ],
  width: 1.5,
}

const PLAIN: Readonly<Record<'stipple' | 'wood' | 'marsh', Tile>> = { stipple: STIPPLE, wood: WOOD, marsh: MARSH }

/** Every pattern of the plan in the inks of a theme. Shapes: straight RGBA, two pixels to the unit. */
export function patternImages(inks: {
  readonly noGo: string
  readonly water: string
  readonly growth: string
}): ReadonlyMap<string, PatternImage> {
  const images = new Map<string, PatternImage>()
  for (const reason of HATCHED) images.set(`no-go-${reason}`, drawTile(NO_GO_TILES[reason], inks.noGo))
  images.set('stipple', drawTile(PLAIN.stipple, inks.water))
  images.set('wood', drawTile(PLAIN.wood, inks.growth))
  images.set('marsh', drawTile(PLAIN.marsh, inks.water))
  return images
}

/** The pixels of a tile: how much of each pixel lies under a stroke, by its distance from it. The tile goes on at its rims. */
function drawTile({ size: [width, height], strokes = [], rings = [], dots = [], width: pen = 1.4 }: Tile, ink: string): PatternImage {
  const data = new Uint8ClampedArray(width * height * 4)
  const [red, green, blue] = channels(ink)
  for (let y = 0, out = 0; y < height; y++)
    for (let x = 0; x < width; x++, out += 4) {
      let away = Number.POSITIVE_INFINITY
      for (const dx of [-width, 0, width])
        for (const dy of [-height, 0, height]) {
          const px = x + 0.5 + dx
          const py = y + 0.5 + dy
          for (const stroke of strokes) away = Math.min(away, toSegment(px, py, stroke) - pen / 2)
          for (const [cx, cy, radius] of rings) away = Math.min(away, Math.abs(away_px(px - cx, py - cy) - radius) - pen / 2)
          for (const [cx, cy, radius] of dots) away = Math.min(away, away_px(px - cx, py - cy) - radius)
        }
      // Images are premultiplied on their way to the screen by MapLibre; here they are straight.
      data[out] = red
      data[out + 1] = green
      data[out + 2] = blue
      data[out + 3] = 255 * Math.min(1, Math.max(0, 0.5 - away))
    }
  return { width, height, data }
}

/** `Math.hypot` guards against numbers that no picture has, at many times the cost: this is asked half a million times before the first map. */
const away_px = (x: number, y: number): number => Math.sqrt(x * x + y * y)

function toSegment(px: number, py: number, [x1, y1, x2, y2]: Segment): number {
  const dx = x2 - x1
  const dy = y2 - y1
  const t = Math.min(1, Math.max(0, ((px - x1) * dx + (py - y1) * dy) / (dx * dx + dy * dy)))
  return away_px(px - x1 - t * dx, py - y1 - t * dy)
}

/** Red, green and blue of `#rrggbb`. */
function channels(hex: string): [number, number, number] {
  const value = Number.parseInt(hex.slice(1), 16)
  return [(value >> 16) & 255, (value >> 8) & 255, value & 255]
}

/** An arrowhead that points along the line, a triangle of survey heights, and the point signs. Straight RGBA, two pixels to the unit. */
export function signImages(inks: {
  readonly water: string
  readonly contour: string
  readonly paper: string
  readonly ink: string
}): ReadonlyMap<string, PatternImage> {
  return new Map([
    ['arrow', drawShape(22, inks.water, (x, y) => Math.max(Math.abs(y - 11) * 0.86 + (x - 18) * 0.5, 5 - x))],
    ['high-point', drawOutlined(28, inks.contour, inks.paper, (x, y) => Math.max(Math.abs(x - 14) * 0.87 + (4 - y) * 0.5, y - 23))],
    ['spring', drawOutlined(28, inks.water, inks.paper, (x, y) => away_px(x - 14, y - 14) - 8)],
    [
      'well',
      drawOutlined(
        28,
        inks.ink,
        inks.paper,
        (x, y) => away_px(x - 14, y - 14) - 8,
        (x, y) => away_px(x - 14, y - 14) - 2.6,
      ),
    ],
    ['place', drawOutlined(28, inks.ink, inks.paper, (x, y) => Math.max(Math.abs(x - 14), Math.abs(y - 14)) - 7)],
  ])
}

type Distance = (x: number, y: number) => number

function drawShape(size: number, ink: string, away: Distance): PatternImage {
  return drawOutlined(size, ink, ink, away)
}

/** A filled outline of 2 px, with an optional kernel in the colour of the outline. */
function drawOutlined(size: number, ink: string, fill: string, away: Distance, kernel?: Distance): PatternImage {
  const data = new Uint8ClampedArray(size * size * 4)
  const [dark, light] = [channels(ink), channels(fill)]
  for (let y = 0, out = 0; y < size; y++)
    for (let x = 0; x < size; x++, out += 4) {
      const distance = away(x + 0.5, y + 0.5)
      const inner = Math.min(1, Math.max(0, 0.5 - (distance + 2.4)))
      const core = kernel ? Math.min(1, Math.max(0, 0.5 - kernel(x + 0.5, y + 0.5))) : 0
      const share = inner * (1 - core)
      for (let c = 0; c < 3; c++) data[out + c] = dark[c as 0 | 1 | 2] * (1 - share) + light[c as 0 | 1 | 2] * share
      data[out + 3] = 255 * Math.min(1, Math.max(0, 0.5 - distance))
    }
  return { width: size, height: size, data }
}
