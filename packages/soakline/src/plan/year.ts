import { storageAt_m3 } from '../earthworks/index.js'
import { afterSediment, type DailyRain, type StorageRow, type YearsOfWater, yearsOfWater } from '../hydrology/index.js'
import type { Assessment } from './assessment.js'
import { type CatchmentCover, meanCurveNumber } from './ground-cover.js'
import { ditchPool, type LineDitch, lineSoakLevels } from './line-ditch.js'
import type { Settings } from './settings.js'

/**
 * How often the ditch spills in a rainy year, how long it stands, how much it soaks; null while the intake is not known.
 *
 * Throws  what `yearsOfWater` throws.
 */
export function yearOf(
  ditch: LineDitch,
  storage: NonNullable<Assessment['storage']>,
  rain: DailyRain,
  covers: readonly CatchmentCover[],
  area_m2: number,
  intake_mmh: number | null,
  settings: Settings,
): YearsOfWater | null {
  if (intake_mmh === null || !(storage.toSill_m3 > 0) || !(area_m2 > 0)) return null
  const pool = ditchPool(ditch, intake_mmh)
  const rows = lineSoakLevels(ditch, ditch.spillLevel_m).map(
    ({ level_m, soaking_m2 }): StorageRow => ({ level_m, volume_m3: storageAt_m3(pool, level_m), soaking_m2 }),
  )
  return yearsOfWater(rain, {
    curveNumber: meanCurveNumber(covers),
    catchment_m2: area_m2,
    storage: afterSediment(rows, settings.sedimentShare_ratio),
    intake_mmh,
  })
}
