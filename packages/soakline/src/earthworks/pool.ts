import { InputError } from '../foundation/index.js'
import { BROAD_CREST_IDEAL, type Weir, weirsFlow_m3s } from './weir.js'

/** What a ditch holds and soaks with its water level at a height; straight lines between levels. */
export interface PoolLevel {
  readonly level_m: number
  readonly storage_m3: number
  /** Flow that soaks away at that level while there is water. */
  readonly soak_m3s: number
}

/** A ditch as a pool: its water is level, and leaves over weirs and into the ground. */
export interface Pool {
  /** In rising order from the bed: level and storage of the first are what the empty ditch has. Above the last, storage goes on as just below it. */
  readonly levels: readonly PoolLevel[]
  readonly outlets: readonly Weir[]
  /** Level at which the berm is run over. */
  readonly crest_m: number
}

/** Water that runs in over time. */
export interface Inflow {
  readonly step_s: number
  /** Flow at times 0, 1, 2 … steps, straight in between; none before and after. */
  readonly flows_m3s: readonly number[]
  /** Water that comes besides, as a volume within each step, evenly: what another ditch spills. */
  readonly arriving_m3?: readonly number[]
}

/** A gap in the berm, down to the bed, through which everything runs out. */
export interface Gap {
  readonly width_m: number
  /** A time from the beginning, or when the water passes the crest. */
  readonly opens: 'over-crest' | { readonly at_s: number }
}

/** What `routePool` may be told besides. */
export interface PoolOptions {
  /** Level at the beginning. Default the bed: empty. */
  readonly start_m?: number
  /** How long the water is followed after the last has run in. Default 336 h (judgement). */
  readonly follow_h?: number
  /** Parts that each step is divided into. Default as many as keep a part shorter than an eighth of the fastest emptying. 1 is the handbook's method. */
  readonly partsPerStep?: number
  /** Level of the water below the outlets. Default far below. */
  readonly tail_m?: number
  readonly gap?: Gap
}

/** How a pool passes its water on. */
export interface PoolRouting {
  readonly highest_m: number
  readonly highestAt_s: number
  /** Crest over the highest water; below 0 where the berm was run over. */
  readonly freeboard_m: number
  readonly overtopped: boolean
  /** When the gap opened; null without. */
  readonly gapOpened_s: number | null
  /** What stood behind the gap when it opened, and all that left from then on: that water and the rest of the storm. Null without a gap. */
  readonly behindGap_m3: number | null
  readonly afterGap_m3: number | null
  /** When water first left over an outlet; null when none did. */
  readonly spillStarts_s: number | null
  readonly peakSpill_m3s: number
  readonly peakSpillAt_s: number
  readonly start_m3: number
  readonly inflow_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  readonly left_m3: number
  /** From the last inflow until the ditch is empty; null where it is not within the time followed. */
  readonly hoursToEmpty: number | null
  readonly step_s: number
  /** At times 0, 1, 2 … steps. */
  readonly levels_m: readonly number[]
  readonly spills_m3s: readonly number[]
  /** Within each step; as `arriving_m3` it feeds the next ditch. */
  readonly spilled_m3BySteps: readonly number[]
}

/** Two weeks. Source: judgement. */
const FOLLOW_h = 336
/** How closely a level is found: what is left of it stays in the balance, not in the level. */
const LEVEL_m = 1e-13
/** Parts of a step at most. Source: judgement. */
const MOST_PARTS = 2000

/**
 * Routes water through a level pool that soaks and spills: what runs in, less what leaves, stays.
 *
 * Laws    start + inflow = spilled + soaked + left, to 1e-12; nothing spills up to the lowest crest; more inflow never stands lower.
 * Throws  `pool/bad-levels`, `pool/bad-inflow`, `pool/bad-start`, `weir/bad-weir`.
 * Cost    steps × parts × about 10 looks into the table.
 * Source  storage-indication (modified Puls) with the trapezium rule, solved for the level by false position: FHWA HDS-2 (2002) ch. 7. The gap is a broad
 *         crest down to the bed, C 1.705.
 */
export function routePool(
  pool: Pool,
  inflow: Inflow,
  {
    start_m = pool.levels[0]?.level_m ?? Number.NaN,
    follow_h = FOLLOW_h,
    partsPerStep,
    tail_m = Number.NEGATIVE_INFINITY,
    gap,
  }: PoolOptions = {},
): PoolRouting {
  checkLevels(pool.levels)
  checkInflow(inflow)
  const { levels, crest_m } = pool
  const bed_m = levels[0]!.level_m
  if (!(start_m >= bed_m && start_m <= crest_m))
    throw new InputError(
      'pool/bad-start',
      `The water starts at ${start_m} m; it lies between the bed (${bed_m} m) and the crest (${crest_m} m).`,
      {
        start_m,
        bed_m,
        crest_m,
      },
    )
  const { step_s, flows_m3s, arriving_m3 = [] } = inflow
  const gapWeir: Weir | null = gap ? { crest_m: bed_m, length_m: gap.width_m, coefficient: BROAD_CREST_IDEAL } : null
  const inflowSteps = Math.max(flows_m3s.length, arriving_m3.length)
  const lastStep = inflowSteps + Math.ceil((follow_h * 3600) / step_s)

  let outlets: readonly Weir[] = pool.outlets
  let gapOpened_s: number | null = null
  let behindGap_m3: number | null = null
  let spilledBeforeGap_m3 = 0
  let fastest = emptyingRates(levels, outlets, tail_m)
  const openGap = (at_s: number): void => {
    if (!gapWeir || gapOpened_s !== null) return
    gapOpened_s = at_s
    behindGap_m3 = storage
    spilledBeforeGap_m3 = spilled_m3
    outlets = [...outlets, gapWeir]
    fastest = emptyingRates(levels, outlets, tail_m)
  }
  const spillAt = (level: number): number => weirsFlow_m3s(outlets, level, tail_m)

  let level = start_m
  let storage = storageAt_m3(levels, level)
  const start_m3 = storage
  let highest_m = level
  let highestAt_s = 0
  let spillStarts_s: number | null = null
  let peakSpill_m3s = 0
  let peakSpillAt_s = 0
  let inflow_m3 = 0
  let spilled_m3 = 0
  let soaked_m3 = 0
  let lastInflow_s = 0
  let empty_s: number | null = storage === 0 ? 0 : null
  if (gap && gap.opens !== 'over-crest' && gap.opens.at_s <= 0) openGap(0)
  peakSpill_m3s = spillAt(level)
  const levels_m = [level]
  const spills_m3s = [spillAt(level)]
  const spilled_m3BySteps: number[] = []

  for (let k = 0; k < lastStep; k++) {
    const from = flows_m3s[k] ?? 0
    const to = flows_m3s[k + 1] ?? 0
    const extra = arriving_m3[k] ?? 0
    // A flow that jumps to or from nothing at an end of the series still makes its trapezium.
    if (k >= inflowSteps && (storage === 0 || nothingLeaves(level, k))) break
    if (from > 0 || to > 0 || extra > 0) lastInflow_s = (k + 1) * step_s
    const spilledBefore_m3 = spilled_m3
    const comes_m3 = ((from + to) / 2) * step_s + extra
    const cuts = partsPerStep ?? partsFor(levels, fastest, storage + comes_m3, step_s)
    const dt = step_s / cuts
    for (let part = 0; part < cuts; part++) {
      const at_s = k * step_s + part * dt
      const came_m3 = ((from + ((to - from) * (part + 0.5)) / cuts) * step_s + extra) / cuts
      const spillNow = spillAt(level)
      const soakNow = soakAt(levels, level)
      // S₂ + Δt/2 O₂ = S₁ + ΔtĪ − Δt/2 O₁
      const holds = storage + came_m3 - (dt / 2) * (spillNow + soakNow)
      const nextLevel = solve(holds, dt)
      const nextStorage = nextLevel > bed_m ? storageAt_m3(levels, nextLevel) : levels[0]!.storage_m3
      const spillNext = spillAt(nextLevel)
      const soakNext = soakAt(levels, nextLevel)
      const closed = spillNow + spillNext + soakNow + soakNext === 0
      const left_m3 = closed ? 0 : Math.max(0, storage + came_m3 - nextStorage)
      const overOutlets_m3 = Math.min(left_m3, (dt / 2) * (spillNow + spillNext))
      const soaks = soakNow > 0 || soakNext > 0
      const spill_m3 = soaks ? overOutlets_m3 : left_m3
      // What is left of the balance is kept in the storage, so that no water is lost to rounding.
      storage = storage + came_m3 - left_m3
      level = nextLevel
      inflow_m3 += came_m3
      spilled_m3 += spill_m3
      soaked_m3 += left_m3 - spill_m3
      const end_s = at_s + dt
      if (spill_m3 > 0 && spillStarts_s === null) spillStarts_s = at_s
      if (level > highest_m) {
        highest_m = level
        highestAt_s = end_s
      }
      if (spillNext > peakSpill_m3s) {
        peakSpill_m3s = spillNext
        peakSpillAt_s = end_s
      }
      if (storage > 0) empty_s = null
      else empty_s ??= end_s
      if (gap && gapOpened_s === null && (gap.opens === 'over-crest' ? level > crest_m : end_s >= gap.opens.at_s)) {
        openGap(end_s)
        const burst = spillAt(level)
        if (burst > peakSpill_m3s) {
          peakSpill_m3s = burst
          peakSpillAt_s = end_s
        }
      }
    }
    levels_m.push(level)
    spills_m3s.push(spillAt(level))
    spilled_m3BySteps.push(spilled_m3 - spilledBefore_m3)
  }
  return {
    highest_m,
    highestAt_s,
    freeboard_m: crest_m - highest_m,
    overtopped: highest_m > crest_m,
    gapOpened_s,
    behindGap_m3,
    afterGap_m3: gapOpened_s === null ? null : spilled_m3 - spilledBeforeGap_m3,
    spillStarts_s,
    peakSpill_m3s,
    peakSpillAt_s,
    start_m3,
    inflow_m3,
    spilled_m3,
    soaked_m3,
    left_m3: storage,
    hoursToEmpty: empty_s === null ? null : Math.max(0, empty_s - lastInflow_s) / 3600,
    step_s,
    levels_m,
    spills_m3s,
    spilled_m3BySteps,
  }

  /** The level whose storage and half outflow make up what there is; the bed where that is not even enough for an empty ditch. */
  function solve(holds_m3: number, dt: number): number {
    const excess = (z: number): number => storageAt_m3(levels, z) + (dt / 2) * (spillAt(z) + soakAt(levels, z)) - holds_m3
    let atLow = excess(bed_m)
    if (atLow > 0) return bed_m
    // The level hardly moves within a part of a step: it is looked for outward from where it was.
    let low = bed_m
    let high = level
    let atHigh = excess(high)
    for (let reach = 1e-4; atHigh <= 0; reach *= 4) {
      low = high
      atLow = atHigh
      high += reach
      atHigh = excess(high)
    }
    for (let reach = 1e-4; high - reach > low; reach *= 4) {
      const nearer = excess(high - reach)
      if (nearer <= 0) {
        low = high - reach
        atLow = nearer
        break
      }
      high -= reach
      atHigh = nearer
    }
    // False position with the Illinois rule; the end that stays too long counts half.
    for (let k = 0, stayed = 0; k < 80 && high - low > LEVEL_m; k++) {
      const middle = k % 8 === 7 ? (low + high) / 2 : low + ((high - low) * atLow) / (atLow - atHigh)
      if (!(middle > low && middle < high)) break
      const here = excess(middle)
      if (here > 0) {
        high = middle
        atHigh = here
        if (stayed > 0) atLow /= 2
        stayed = 1
      } else {
        low = middle
        atLow = here
        if (here === 0) break
        if (stayed < 0) atHigh /= 2
        stayed = -1
      }
    }
    return low
  }

  /** Water that stands still, or trickles over a crest so thinly that it would never end. */
  function nothingLeaves(z: number, steps: number): boolean {
    if (soakAt(levels, z) > 0 || (gap && gapOpened_s === null && gap.opens !== 'over-crest' && gap.opens.at_s >= steps * step_s))
      return false
    return spillAt(z) * step_s <= 1e-9 * (start_m3 + inflow_m3)
  }
}

/**
 * The check of a spill: the ditch full to its lowest sill, nothing soaking, only the given outlets open (leave the notch out: it is blocked).
 *
 * Throws  as `routePool`; `weir/none` without outlets.
 * Source  judgement: a ditch must pass its storm in its worst state.
 */
export function routeFull(pool: Pool, inflow: Inflow, options: Omit<PoolOptions, 'start_m'> = {}): PoolRouting {
  if (pool.outlets.length === 0)
    throw new InputError('weir/none', 'A spill is checked with at least one opening that stays free; give the long sill.', {})
  const levels = pool.levels.map(row => ({ ...row, soak_m3s: 0 }))
  const start_m = Math.min(...pool.outlets.map(weir => weir.crest_m))
  return routePool({ ...pool, levels }, inflow, { ...options, start_m })
}

/** Up to each row of the table, how fast its water would leave: flow over storage, in parts of a second. */
function emptyingRates(levels: readonly PoolLevel[], outlets: readonly Weir[], tail_m: number): number[] {
  let fastest = 0
  return levels.map((high, k) => {
    const low = levels[k - 1]
    if (!low) return 0
    const leaves = weirsFlow_m3s(outlets, high.level_m, tail_m) - weirsFlow_m3s(outlets, low.level_m, tail_m)
    fastest = Math.max(fastest, (leaves + high.soak_m3s - low.soak_m3s) / (high.storage_m3 - low.storage_m3))
    return fastest
  })
}

/** Parts of a step that keep the implicit rule accurate: an eighth of the shortest time in which the rows that the water may reach would empty. */
function partsFor(levels: readonly PoolLevel[], fastest: readonly number[], reaches_m3: number, step_s: number): number {
  const row = levels.findIndex(({ storage_m3 }) => storage_m3 >= reaches_m3)
  const rate = fastest[row < 0 ? fastest.length - 1 : Math.max(1, row)]!
  return Math.min(MOST_PARTS, Math.max(1, Math.ceil(8 * rate * step_s)))
}

/** Water stored at a level, m³: straight between rows, and on above the last. */
export const storageAt_m3 = (levels: readonly PoolLevel[], level_m: number): number => between(levels, level_m, 'storage_m3')

/** Soaking at a level; above the last row as at the last. */
const soakAt = (levels: readonly PoolLevel[], level_m: number): number =>
  between(levels, Math.min(level_m, levels[levels.length - 1]!.level_m), 'soak_m3s')

function between(levels: readonly PoolLevel[], level_m: number, what: 'storage_m3' | 'soak_m3s'): number {
  let low = 0
  let high = levels.length - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (levels[middle]!.level_m <= level_m) low = middle
    else high = middle
  }
  const a = levels[low]!
  const b = levels[high]!
  return a[what] + ((level_m - a.level_m) / (b.level_m - a.level_m)) * (b[what] - a[what])
}

function checkLevels(levels: readonly PoolLevel[]): void {
  if (levels.length < 2 || levels[0]!.storage_m3 !== 0)
    throw new InputError('pool/bad-levels', 'A pool needs two levels or more, the first with nothing stored.', { levels: levels.length })
  for (const [k, { level_m, storage_m3, soak_m3s }] of levels.entries()) {
    const before = levels[k - 1]
    if (!(Number.isFinite(level_m) && storage_m3 >= 0 && storage_m3 < Infinity && soak_m3s >= 0 && soak_m3s < Infinity))
      throw new InputError('pool/bad-levels', `Row ${k + 1} of the pool is not made of numbers of 0 or more.`, {
        level_m,
        storage_m3,
        soak_m3s,
      })
    if (before && !(level_m > before.level_m && storage_m3 > before.storage_m3))
      throw new InputError('pool/bad-levels', `Level ${level_m} m does not hold more than the one before; give them in rising order.`, {
        level_m,
        storage_m3,
      })
  }
}

function checkInflow({ step_s, flows_m3s, arriving_m3 = [] }: Inflow): void {
  if (!(step_s > 0 && step_s < Infinity))
    throw new InputError('pool/bad-inflow', `The inflow's step is ${step_s} s; give a time above 0.`, { step_s })
  if (![...flows_m3s, ...arriving_m3].every(flow => flow >= 0 && flow < Infinity))
    throw new InputError('pool/bad-inflow', 'A flow of the inflow is not a number of 0 or more.', {})
}
