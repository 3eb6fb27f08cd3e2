import { groundAsDug } from '../earthworks/index.js'
import { type ElevationGrid, groundWindow, plainGround } from '../raster/index.js'
import type { Site } from './assess.js'
import type { Assessment } from './assessment.js'
import { boundsRound, dugLineOf } from './dug-line.js'
import { lineDitch, lineGround } from './line-ditch.js'
import type { Settings } from './settings.js'
import { spillOfBed_m } from './spill-place.js'

/** The ground round a line before and after it is dug, cell by cell. */
export interface DugView {
  readonly before: ElevationGrid
  readonly asDug: ElevationGrid
}

/** Ground shown round the line, and the most cells across it. Source: judgement, for a picture. */
const AROUND_m = 14
const MOST_ACROSS = 220
/** Finer cells than this show no more of a ditch. */
const FINEST_m = 0.25

/**
 * The ground round an answered line as it is and as dug, to be looked at; null without a ditch.
 *
 * Shapes  both on one raster, at most 221 cells across; on coarse cells a narrow berm may fall between their centres.
 * Throws  what `groundAsDug` throws.
 */
export function dugView(
  site: Pick<Site, 'study'>,
  answer: Pick<Assessment, 'line' | 'acceptance' | 'spillway' | 'spills' | 'storage'>,
  settings: Settings,
): DugView | null {
  if (answer.storage === null) return null
  const { path } = answer.line
  const along = lineGround(site.study.surveyed, path)
  const ditch = lineDitch(along, settings, spillOfBed_m(answer, along, settings), answer.acceptance.freeboard_m)
  if (ditch === null) return null
  const bounds = boundsRound(path, AROUND_m)
  const span_m = Math.max(bounds.east_m - bounds.west_m, bounds.north_m - bounds.south_m)
  const cell_m = Math.max(FINEST_m, span_m / MOST_ACROSS)
  const base = site.study.surveyed
  return {
    before: groundWindow(plainGround(base), bounds, cell_m),
    asDug: groundWindow(groundAsDug(base, dugLineOf(path, along, ditch, answer.spillway)), bounds, cell_m),
  }
}
