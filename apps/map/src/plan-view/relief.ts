import type { DugView } from 'soakline/plan'
import { inksOf, type Theme } from './layers.js'

/** How the relief is looked at. */
export interface ReliefLook {
  /** From which side, degrees clockwise from the south. */
  readonly turn_deg: number
  /** Water over what was dug, up to this level; null: none. */
  readonly water_m: number | null
  readonly theme: Theme
}

/** How far the eye stands above the ground's plane, as the parts of depth and height that are seen. */
const [DEEP, HIGH] = [0.55, 0.835]
/** Heights are drawn so much larger than lengths. */
export const RELIEF_TIMES = 2
/** Work of less than this is the join of two rasters, not a ditch. Unit: m. */
const WORKED_m = 0.03

type Colour = readonly [red: number, green: number, blue: number]
const colourOf = (ink: string): Colour => [1, 3, 5].map(at => Number.parseInt(ink.slice(at, at + 2), 16)) as unknown as Colour

/**
 * Draws the ground as dug as an oblique picture: far cells first, each a flat shaded facet; what was cut is tinted as the ditch, what was laid as earth.
 * A picture alone: no number is taken from it.
 */
export function drawRelief(canvas: HTMLCanvasElement, { before, asDug }: DugView, { turn_deg, water_m, theme }: ReliefLook): void {
  const pen = canvas.getContext('2d')
  if (pen === null) return
  const { width, height, cell_m } = asDug.geometry
  const inks = inksOf(theme)
  const [paper, cut, laid, water] = [inks.paper, inks.ditch, inks.contour, inks.water].map(colourOf) as [Colour, Colour, Colour, Colour]
  const ground: Colour = theme === 'night' ? [70, 78, 62] : [218, 208, 172]
  pen.fillStyle = `rgb(${paper.join()})`
  pen.fillRect(0, 0, canvas.width, canvas.height)

  const turn = (turn_deg * Math.PI) / 180
  const [cosine, sine] = [Math.cos(turn), Math.sin(turn)]
  const known = asDug.data.filter(z => !Number.isNaN(z))
  if (known.length === 0) return
  const middle_m = known.reduce((sum, z) => sum + z, 0) / known.length
  const [midColumn, midRow] = [(width - 1) / 2, (height - 1) / 2]
  const across = (column: number, row: number): number => (column - midColumn) * cosine - (row - midRow) * sine
  const deep = (column: number, row: number): number => (column - midColumn) * sine + (row - midRow) * cosine
  const lift = RELIEF_TIMES / cell_m
  const screen = (column: number, row: number, z: number): readonly [number, number] => [
    across(column, row),
    deep(column, row) * DEEP - (z - middle_m) * lift * HIGH,
  ]

  // The picture fills the canvas.
  let [left, right, top, bottom] = [Infinity, -Infinity, Infinity, -Infinity]
  for (let row = 0; row < height; row += 4)
    for (let column = 0; column < width; column += 4) {
      const z = asDug.data[row * width + column]!
      if (Number.isNaN(z)) continue
      const [x, y] = screen(column, row, z)
      left = Math.min(left, x)
      right = Math.max(right, x)
      top = Math.min(top, y)
      bottom = Math.max(bottom, y)
    }
  const scale = Math.min(canvas.width / (right - left + 4), canvas.height / (bottom - top + 4))
  pen.setTransform(scale, 0, 0, scale, canvas.width / 2 - (scale * (left + right)) / 2, canvas.height / 2 - (scale * (top + bottom)) / 2)
  pen.lineWidth = 1 / scale

  // Far facets first: the rows and columns are gone through in the order in which they stand behind one another.
  const rows = Array.from({ length: height - 1 }, (_, k) => (cosine >= 0 ? k : height - 2 - k))
  const columns = Array.from({ length: width - 1 }, (_, k) => (sine >= 0 ? k : width - 2 - k))
  const facet = (column: number, row: number): void => {
    const at = row * width + column
    const [a, b, c, d] = [asDug.data[at]!, asDug.data[at + 1]!, asDug.data[at + width + 1]!, asDug.data[at + width]!]
    const mean = (a + b + c + d) / 4
    if (Number.isNaN(mean)) return
    const was = (before.data[at]! + before.data[at + 1]! + before.data[at + width + 1]! + before.data[at + width]!) / 4
    const worked = mean - was
    const wet = water_m !== null && worked < -WORKED_m && mean < water_m
    const heights = wet ? [water_m, water_m, water_m, water_m] : [a, b, c, d]
    const base = wet ? water : worked < -WORKED_m ? cut : worked > WORKED_m ? laid : ground
    const [slopeEast, slopeSouth] = [((b + c - a - d) / 2 / cell_m) * RELIEF_TIMES, ((c + d - a - b) / 2 / cell_m) * RELIEF_TIMES]
    const light = wet ? 0.9 : (0.75 + 0.45 * (slopeEast + slopeSouth)) / Math.hypot(1, slopeEast, slopeSouth)
    const tone = 0.45 + 0.75 * Math.min(1, Math.max(0, light))
    const colour = `rgb(${base.map(part => Math.min(255, Math.round(part * tone))).join()})`
    pen.fillStyle = colour
    pen.strokeStyle = colour
    pen.beginPath()
    for (const [k, [x, y]] of [
      screen(column, row, heights[0]!),
      screen(column + 1, row, heights[1]!),
      screen(column + 1, row + 1, heights[2]!),
      screen(column, row + 1, heights[3]!),
    ].entries())
      if (k === 0) pen.moveTo(x, y)
      else pen.lineTo(x, y)
    pen.closePath()
    pen.fill()
    pen.stroke()
  }
  if (Math.abs(cosine) >= Math.abs(sine)) for (const row of rows) for (const column of columns) facet(column, row)
  else for (const column of columns) for (const row of rows) facet(column, row)
  pen.setTransform(1, 0, 0, 1, 0, 0)
}
