import type { ReadonlySignal } from '@preact/signals'
import type { Language, PaperName, UnitSystem } from '@soakline/drawing'
import { withGroundInside } from '@soakline/io'
import { type GridName, type Plan, writePlan } from 'soakline/plan'
import type { WorkerClient } from '../worker/client.js'
import type { FieldFile, Refusal, WorkRecords } from '../worker/protocol.js'
import type { OpenGround } from './open-ground.js'
import { refusalIn } from './refusals.js'

/** What papers rest on. */
export interface PaperNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly ground: ReadonlySignal<OpenGround | null>
  readonly records: ReadonlySignal<WorkRecords>
}

/** What leaves the sheet as a file or on paper, about the plan and the answer in sight. */
export const createPapers = ({ ask, plan, ground, records }: PaperNeeds) => ({
  planText: (): string => writePlan(plan.value),
  /** The plan's text with the open raster in it, or why that cannot be. */
  async planTextWithGround(): Promise<{ readonly text: string } | { readonly refusal: Refusal }> {
    const open = ground.value
    if (open === null) return { text: writePlan(plan.value) }
    try {
      const file = new Uint8Array(await open.file.arrayBuffer())
      return { text: writePlan(await withGroundInside(plan.value, file, open.options)) }
    } catch (error) {
      return { refusal: refusalIn(error) }
    }
  },
  /** A raster of the ground, or of the line in sight, as a GeoTIFF. */
  gridFile: (grid: GridName) => ask('gridFile', { grid }),
  /** A file to take along, about the answer in sight. */
  fieldFile: (file: FieldFile, language: Language, units: UnitSystem) =>
    ask('fieldFile', { file, records: records.value, holding: plan.value.holding, language, units }),
  /** The printed drawing set, with what the plan keeps of crossings, prices, plants and whom to ring. */
  drawingSet: (language: Language, units: UnitSystem, dateText: string, paper: PaperName) =>
    ask('drawingSet', {
      records: records.value,
      holding: plan.value.holding,
      lineName: plan.value.lines[0]?.id ?? '',
      dateText,
      paper,
      language,
      units,
    }),
  report: (language: Language, units: UnitSystem, dateText: string) =>
    ask('report', { language, units, holding: plan.value.holding, dateText }),
})
