import { type RainTable, studyWater, type WaterStudy } from 'soakline/hydrology'
import { type Assessment, assess, type LaidLine, laidLine, type Settings, settingsFrom, siteOf } from 'soakline/plan'
import type { ElevationGrid, Point } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { cone, gridOf, plane } from '../../../../tests/helpers/surfaces.js'

/** Depths in mm for one chance, at 5, 10, 15, 30 min, 1, 3, 24 h. */
const HOURS = [1 / 12, 1 / 6, 0.25, 0.5, 1, 3, 24]
export const RAIN: RainTable = {
  rows: (
    [
      [0.04, [13, 21, 26, 37, 49, 73, 126]],
      [0.01, [17, 26, 33, 47, 62, 93, 165]],
    ] as const
  ).flatMap(([chancePerYear, depths]) => depths.map((depth_mm, k) => ({ duration_h: HOURS[k]!, chancePerYear, depth_mm }))),
}

export const CENTRE: Point = [80.3, 79.6]

/** A slope of 10 % that falls to the south, and a level line of 40 m on it from west to east: the berm lies to its right. */
export const SLOPE = gridOf(160, 160, 1, plane(180, 0.1, CENTRE))
export const STRAIGHT: Point[] = [
  [60, 80],
  [100, 80],
]
/** A knoll of 10 %, for lines that curve round it. */
export const KNOLL = gridOf(160, 160, 1, cone(0.1, CENTRE))

const STUDIES = new WeakMap<ElevationGrid, { study: WaterStudy; steep: ReturnType<typeof gradient> }>()

function studied(ground: ElevationGrid): { study: WaterStudy; steep: ReturnType<typeof gradient> } {
  const known = STUDIES.get(ground) ?? { study: studyWater(ground), steep: gradient(ground) }
  STUDIES.set(ground, known)
  return known
}

/** The whole answer and the ditch as laid out; settings as given over the demo's kind. */
export function laidOn(
  ground: ElevationGrid,
  path: readonly Point[],
  given: Partial<Settings> = {},
  rain: RainTable | null = RAIN,
): { answer: Assessment; laid: LaidLine; settings: Settings } {
  const { settings } = settingsFrom({ allBuildingsDrawn: true, elevationError_m: 0.05, depth_m: 0.4, ...given })
  const answer = assess(
    siteOf(studied(ground).study, studied(ground).steep, [], settings, { sha256: '', warnings: [] }),
    path,
    settings,
    rain,
  )
  const laid = laidLine(ground, answer, settings)
  if (!laid) throw new Error('the test’s line has no ditch')
  return { answer, laid, settings }
}
