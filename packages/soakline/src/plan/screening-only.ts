import { InputError } from '../foundation/index.js'
import type { Assessment } from './assessment.js'

/** Why height data is good for a first look alone. */
export type ScreeningReason = 'surface-model' | 'steps-too-large' | 'too-coarse'

const REASON_OF: Readonly<Record<string, ScreeningReason>> = {
  'ground/surface-model': 'surface-model',
  'ground/steps-too-large': 'steps-too-large',
  'ground/too-coarse': 'too-coarse',
}

/**
 * Why nothing may be staked out from the height data: it shows treetops and roofs, its heights go in steps of a quarter of the berm, or its cells are
 * over a third of the works from the cut's uphill edge to the berm's outer toe. Null where it may.
 */
export function screeningOnly({ ground, section, findings }: Pick<Assessment, 'ground' | 'section' | 'findings'>): ScreeningReason | null {
  const because = findings.find(f => f.check === 'ground-fit')?.because ?? ''
  if (Object.hasOwn(REASON_OF, because)) return REASON_OF[because]!
  return section && ground.cell_m > (section.outerToe_x_m - section.uphillEdge_x_m) / 3 ? 'too-coarse' : null
}

/** Refuses to stake out what may only be looked at. Throws `stakes/screening-only`. */
export function refuseScreeningOnly(answer: Parameters<typeof screeningOnly>[0]): void {
  const reason = screeningOnly(answer)
  if (reason !== null)
    throw new InputError(
      'stakes/screening-only',
      `This height data is good for a first look alone (${reason}), so nothing is staked out from it. Bring finer height data of the bare ground, or survey the place.`,
      { reason },
    )
}
