import { curveNumber, type RainTable, rainDepth_mm, stormRunoff_mm } from '../hydrology/index.js'
import type { StatedStorm } from '../siting/index.js'
import type { Settings } from './settings.js'

/**
 * The storm of a rain table by which possible lines are ranked: its rain, and the runoff of the usual ground by the settings.
 *
 * Throws  InputError as `rainDepth_mm` where the table does not reach the acceptance storm, and as `curveNumber`.
 */
export function statedStorm(table: RainTable, settings: Settings): StatedStorm {
  const rain_mm = rainDepth_mm(table, settings.stormDuration_h, settings.acceptanceChance)
  const usual = settings.curveNumber ?? curveNumber(settings.cover, settings.coverCondition, settings.soilGroup).value
  return { rain_mm, runoff_mm: stormRunoff_mm(rain_mm, usual), assumed: false }
}
