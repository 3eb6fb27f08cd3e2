import { InputError, type Warning } from '../foundation/index.js'

/** One row of a rating: what is stored, and what runs out then. */
export interface RatingRow {
  readonly storage_m3: number
  readonly outflow_m3s: number
}

/**
 * Routes an inflow through a rating of storage and outflow by the handbook's own method, starting empty.
 *
 * Shapes  inflow at times 0, 1, 2 … steps; outflow and storage at the same times.
 * Laws    Σ (I₁ + I₂)/2 Δt − Σ (O₁ + O₂)/2 Δt is the change of storage, to rounding.
 * Throws  `rating/bad-rows` unless both columns start at 0 and never fall, storage rising; `rating/outside` where more is stored than the rating
 *         goes; `pool/bad-inflow`.
 * Source  FHWA HDS-2 2nd ed. (2002) ch. 7; FHWA HEC-22 3rd ed. (2009) ch. 8. Their rule ΔO/2 < ΔS/Δt between rows is broken by HDS-2's own
 *         Example 7.2, so it is a remark here, `rating/unstable`: results may swing, take shorter steps. `routePool` takes them by itself.
 */
export function storageIndication(
  rows: readonly RatingRow[],
  inflow_m3s: readonly number[],
  step_s: number,
): { readonly outflow_m3s: number[]; readonly storage_m3: number[]; readonly remarks: readonly Warning[] } {
  if (!(step_s > 0 && step_s < Infinity) || !inflow_m3s.every(flow => flow >= 0 && flow < Infinity))
    throw new InputError('pool/bad-inflow', 'The inflow needs a step above 0 and flows of 0 or more.', { step_s })
  checkRows(rows)
  const indication = rows.map(row => row.storage_m3 / step_s + row.outflow_m3s / 2)
  const outflow_m3s: number[] = []
  const storage_m3: number[] = []
  let stored = 0
  let outflow = 0
  for (const [k, flow] of inflow_m3s.entries()) {
    if (k > 0) {
      const holds = stored / step_s - outflow / 2 + (inflow_m3s[k - 1]! + flow) / 2
      const after = indication.findIndex(value => value >= holds)
      if (after < 0)
        throw new InputError('rating/outside', `At step ${k} more is stored than the rating goes; extend it upward.`, { step: k })
      const before = Math.max(0, after - 1)
      const span = indication[after]! - indication[before]!
      const share = span > 0 ? (holds - indication[before]!) / span : 0
      outflow = rows[before]!.outflow_m3s + share * (rows[after]!.outflow_m3s - rows[before]!.outflow_m3s)
      stored = (holds - outflow / 2) * step_s
    }
    outflow_m3s.push(outflow)
    storage_m3.push(stored)
  }
  return { outflow_m3s, storage_m3, remarks: unstableRows(rows, step_s) }
}

function checkRows(rows: readonly RatingRow[]): void {
  if (rows.length < 2 || rows[0]!.storage_m3 !== 0 || rows[0]!.outflow_m3s !== 0)
    throw new InputError('rating/bad-rows', 'A rating needs two rows or more, the first with nothing stored and nothing running out.', {
      rows: rows.length,
    })
  for (let k = 1; k < rows.length; k++) {
    const stored = rows[k]!.storage_m3 - rows[k - 1]!.storage_m3
    const leaves = rows[k]!.outflow_m3s - rows[k - 1]!.outflow_m3s
    if (!(stored > 0 && leaves >= 0 && stored < Infinity && leaves < Infinity))
      throw new InputError('rating/bad-rows', `Row ${k + 1} of the rating does not rise above the one before.`, { row: k + 1 })
  }
}

function unstableRows(rows: readonly RatingRow[], step_s: number): Warning[] {
  return rows.slice(1).flatMap((row, k) => {
    const halfOutflow_m3s = (row.outflow_m3s - rows[k]!.outflow_m3s) / 2
    const storage_m3s = (row.storage_m3 - rows[k]!.storage_m3) / step_s
    return halfOutflow_m3s < storage_m3s
      ? []
      : [{ code: 'rating/unstable' as const, details: { fromRow: k + 1, toRow: k + 2, halfOutflow_m3s, storage_m3s } }]
  })
}
