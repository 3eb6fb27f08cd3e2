import type { Random } from 'soakline/foundation'
import { contributingAreaSingle, drainage, edgeReach, filledSurface, flowNetwork, inflowRim, LEAVES, SINK } from 'soakline/hydrology'
import { cellArea_m2, type ElevationGrid, neighbourOffsets } from 'soakline/raster'
import { cropped } from './surfaces.js'

/** What the edge flag of crops found and missed. Short = the whole raster has more area for the cell than the crop. */
export interface EdgeTally {
  short: number
  missed: number
  /** Of those missed, the ones to which no hollow of the whole raster sends its water. */
  missedOffHollows: number
  /** Cells that drain more than 100 cells, in the crop or in truth: flagged ones, and of these the short ones. */
  flaggedWide: number
  rightWide: number
}

export const noEdges = (): EdgeTally => ({ short: 0, missed: 0, missedOffHollows: 0, flaggedWide: 0, rightWide: 0 })

export const recall = ({ short, missed }: EdgeTally): number => (short === 0 ? 1 : 1 - missed / short)
export const precision = ({ flaggedWide, rightWide }: EdgeTally): number => (flaggedWide === 0 ? 1 : rightWide / flaggedWide)

/** Adds up tallies. */
export const together = (tallies: readonly EdgeTally[]): EdgeTally => {
  const sum = noEdges()
  for (const tally of tallies) for (const key of Object.keys(sum) as (keyof EdgeTally)[]) sum[key] += tally[key]
  return sum
}

/** Where water may be held up from beyond: to any height, or to the library's own limit. */
export const RISES = { 'any height': Number.POSITIVE_INFINITY, default: undefined } as const
export type Rise = keyof typeof RISES

/** Cuts random crops out of a ground and tallies their edge flags against the whole ground's single contributing areas. */
export function tallyCrops(whole: ElevationGrid, crops: number, random: Random): Record<Rise, EdgeTally> {
  const { width, height } = whole.geometry
  const drained = drainage(whole)
  const truth = contributingAreaSingle(drained).data
  const fed = fedByHollows(whole)
  const wide = 100 * cellArea_m2(whole.geometry)
  const tallies = { 'any height': noEdges(), default: noEdges() }
  // From a tenth to six tenths of the whole, 110 cells at the most.
  const side = (length: number): number => Math.floor(length * 0.1 + random.uniform() * (Math.min(110, length * 0.6) - length * 0.1))
  for (let crop = 0; crop < crops; crop++) {
    const [columns, rows] = [side(width), side(height)]
    const left = Math.floor(random.uniform() * (width - columns))
    const top = Math.floor(random.uniform() * (height - rows))
    const part = cropped(whole, left, top, columns, rows)
    const partDrained = drainage(part)
    const area = contributingAreaSingle(partDrained).data
    const net = flowNetwork(part, partDrained)
    for (const rise of Object.keys(RISES) as Rise[]) {
      const flag = edgeReach(net, inflowRim(part, partDrained, RISES[rise])).data
      const tally = tallies[rise]
      for (let cell = 0; cell < area.length; cell++) {
        if (Number.isNaN(area[cell]!)) continue
        const there = (top + Math.floor(cell / columns)) * width + left + (cell % columns)
        const short = truth[there]! > area[cell]!
        if (short) tally.short++
        if (short && !flag[cell]) tally.missed++
        if (short && !flag[cell] && !fed[there]) tally.missedOffHollows++
        if (flag[cell] && (truth[there]! > wide || area[cell]! > wide)) {
          tally.flaggedWide++
          if (short) tally.rightWide++
        }
      }
    }
  }
  return tallies
}

/** 1 on cells under the water of full hollows and on everything below them. */
function fedByHollows(ground: ElevationGrid): Uint8Array {
  const drained = drainage(ground)
  const filled = filledSurface(ground, drained).data
  const offsets = neighbourOffsets(ground.geometry.width)
  const fed = new Uint8Array(filled.length)
  for (let start = 0; start < fed.length; start++) {
    if (!(filled[start]! > ground.data[start]!)) continue
    for (let cell = start; !fed[cell]; cell += offsets[drained.direction[cell]!]!) {
      fed[cell] = 1
      if (drained.direction[cell] === LEAVES || drained.direction[cell] === SINK) break
    }
  }
  return fed
}
