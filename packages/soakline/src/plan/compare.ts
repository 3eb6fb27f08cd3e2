import type { Assessment } from './assessment.js'
import { type VerdictChanged, verdictsChanged } from './ground-work.js'
import { spillInUse } from './spill-place.js'

/** What two designs are compared by, in the order in which it is told. */
export const COMPARED = ['length', 'catches', 'holds', 'kept', 'sill', 'freeboard', 'empties', 'earth', 'days'] as const
/** What two designs are compared by. */
export type ComparedBy = (typeof COMPARED)[number]

/** One number of two designs; null where it is not known. SI units: m, m², m³, h, days. */
export interface ComparedRow {
  readonly by: ComparedBy
  readonly a: number | null
  readonly b: number | null
}

/** Where a design spills. */
export interface ComparedSpill {
  readonly chainage_m: number
  readonly length_m: number
  readonly endsIn: string
  readonly nearestBuilding_m: number | null
  readonly reachesBuilding: boolean
}

/** Two designs side by side. */
export interface ComparedDesigns {
  readonly rows: readonly ComparedRow[]
  readonly spills: { readonly a: ComparedSpill | null; readonly b: ComparedSpill | null }
  /** Checks whose verdict differs: `planned` is that of A, `built` that of B; the worst for B first. */
  readonly verdicts: readonly VerdictChanged[]
  /** How many checks fail, ask to watch or are unknown. */
  readonly open: { readonly a: number; readonly b: number }
}

type Design = Pick<
  Assessment,
  'line' | 'catchment' | 'storage' | 'spillway' | 'spills' | 'soaking' | 'earth' | 'storms' | 'acceptance' | 'findings'
>

const VALUES: Readonly<Record<ComparedBy, (design: Design) => number | null>> = {
  length: d => d.line.length_m,
  catches: d => d.catchment.area_m2,
  holds: d => d.storage?.toSill_m3 ?? null,
  kept: d => d.storms.find(storm => storm.chancePerYear === d.acceptance.chancePerYear)?.kept_m3 ?? null,
  sill: d => d.spillway?.length_m ?? null,
  freeboard: d => (d.spillway === null || d.spillway.least === null ? null : (d.spillway.water[d.spillway.least]?.freeboard_m ?? null)),
  empties: d => d.soaking.emptyAfter_h,
  earth: d => d.earth?.cut_m3 ?? null,
  days: d => d.earth?.personDays ?? null,
}

function spillOf(design: Design): ComparedSpill | null {
  const spill = spillInUse(design)
  if (spill === null) return null
  const { length_m, endsIn, nearestBuilding_m, reachesBuilding } = spill.path
  return { chainage_m: spill.chainage_m, length_m, endsIn, nearestBuilding_m, reachesBuilding }
}

const openChecks = ({ findings }: Design): number => new Set(findings.filter(f => f.verdict !== 'holds').map(f => f.check)).size

/**
 * Two designs side by side: what each holds, catches and costs, where it spills, and the checks that come out differently.
 *
 * Laws  the two the other way round give the same numbers the other way round.
 */
export function compareDesigns(a: Design, b: Design): ComparedDesigns {
  return {
    rows: COMPARED.map(by => ({ by, a: VALUES[by](a), b: VALUES[by](b) })),
    spills: { a: spillOf(a), b: spillOf(b) },
    verdicts: verdictsChanged(a, b),
    open: { a: openChecks(a), b: openChecks(b) },
  }
}
