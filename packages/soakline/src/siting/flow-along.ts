import { bankDepth_m, type Channel, normalDepth_m, ROUGHNESS, sheetFlow, uniformFlow } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { type Point, pathLength_m, placeAlong, stations } from '../raster/index.js'

/** Depth, width and speed of a flow over one cover. */
export interface FlowOver {
  readonly depth_m: number
  /** Null in standing water. */
  readonly width_m: number | null
  readonly velocity_ms: number
}

/**
 * How a flow stands at a place of its way.
 *
 * `banked`: the ground rises to both sides and holds it. `sheet`: it does not, and the flow is taken as wide as it came out of the sill, since how
 * soon it spreads is not known. `pool`: the way passes standing water there; no speed.
 */
export interface FlowStation {
  readonly chainage_m: number
  readonly at: Point
  readonly form: 'banked' | 'sheet' | 'pool'
  /** Fall along the way there. */
  readonly slope_ratio: number
  readonly bare: FlowOver
  readonly grassed: FlowOver
}

/** The ground that a flow runs on. */
export interface FlowGround {
  readonly cell_m: number
  height_m(place: Point): number
  /** Level of the water where hollows are full; the ground's own height elsewhere. */
  brim_m(place: Point): number
}

/** What `flowAlong` may be told besides. */
export interface FlowOptions {
  /** Between stations. Default 2 m, at least a cell. */
  readonly spacing_m?: number
  /** To each side. Default 15 m (judgement). */
  readonly reach_m?: number
  /** Manning's n. Default bare soil 0.02 (HEC-22) for the first year, grass of 30 cm 0.07 (Denver manual) for how deep it may stand. */
  readonly roughness?: { readonly bare: number; readonly grassed: number }
  /** Only at these chainages, m. */
  readonly only_m?: readonly number[]
}

const DEFAULT_ROUGHNESS = { bare: ROUGHNESS['bare-soil'].usual, grassed: ROUGHNESS['grass-30cm'].usual }
/** Flatter ground counts as this flat: uniform flow has no depth on the level. Source: judgement. */
const LEAST_FALL = 0.001
/** Shallower standing water is the raster's own roughness. Source: judgement. */
const LEAST_POOL_m = 0.02
/** Banks lower than this are the raster's own roughness. Source: judgement. */
const LEAST_BANK_m = 0.01
/** Half the stretch of a way over which its slope and heading are taken: in metres and in cells, the longer of the two. Source: judgement. */
const [HALF_STRETCH_m, HALF_STRETCH_CELLS] = [2.5, 1.5]
/** The way's lowest place across is looked for this far aside, in cells. */
const ASIDE_CELLS = 1.5

/**
 * Depth, width and speed of a flow along a way, by Manning's formula on the ground's own cross-sections.
 *
 * Shapes  one entry a station, from the way's start to its end.
 * Units   `flow_m3s` m³/s; `issuesOver_m` width in which it comes out of the sill, m.
 * Laws    more flow never stands lower where the form stays the same; no bank is counted that lies beyond a lower place than the way itself.
 * No data stations without ground are left out.
 * Throws  `flow/bad-flow`.
 * Cost    some 100 sections a station.
 * Source  Manning (n: see options); the drawn section's pool over its lowest place, `normalDepth_m`; sheets `sheetFlow`.
 */
export function flowAlong(
  ground: FlowGround,
  path: readonly Point[],
  flow_m3s: number,
  issuesOver_m: number,
  { spacing_m = 2, reach_m = 15, roughness = DEFAULT_ROUGHNESS, only_m }: FlowOptions = {},
): FlowStation[] {
  if (!(flow_m3s >= 0 && flow_m3s < Infinity && issuesOver_m > 0 && issuesOver_m < Infinity))
    throw new InputError('flow/bad-flow', `A flow of ${flow_m3s} m³/s over ${issuesOver_m} m; give 0 or more, over a width above 0.`, {
      flow_m3s,
      issuesOver_m,
    })
  const length_m = pathLength_m(path)
  if (path.length < 2 || length_m === 0) return []
  const chainages = only_m ?? stations(path, Math.max(spacing_m, ground.cell_m)).map(({ chainage_m }) => chainage_m)
  return chainages.flatMap((chainage_m): FlowStation[] => {
    const station = flowAt(ground, path, chainage_m, length_m, flow_m3s, issuesOver_m, reach_m, roughness)
    return station ? [station] : []
  })
}

function flowAt(
  ground: FlowGround,
  path: readonly Point[],
  chainage_m: number,
  length_m: number,
  flow_m3s: number,
  issuesOver_m: number,
  reach_m: number,
  roughness: { readonly bare: number; readonly grassed: number },
): FlowStation | null {
  const { at } = placeAlong(path, chainage_m)
  const here_m = ground.height_m(at)
  if (Number.isNaN(here_m)) return null
  // Over a stretch of the way, so that single steps of the raster do not count as its slope or its heading.
  const half_m = Math.max(HALF_STRETCH_m, HALF_STRETCH_CELLS * ground.cell_m)
  const from_m = Math.max(0, chainage_m - half_m)
  const to_m = Math.min(length_m, chainage_m + half_m)
  const a = placeAlong(path, from_m).at
  const b = placeAlong(path, to_m).at
  const drop = (ground.height_m(a) - ground.height_m(b)) / (to_m - from_m)
  const slope_ratio = Number.isNaN(drop) ? 0 : drop
  const standing_m = ground.brim_m(at) - here_m
  const step: [number, number] = [b[0] - a[0], b[1] - a[1]]
  const long = Math.sqrt(step[0] * step[0] + step[1] * step[1])
  if (standing_m > LEAST_POOL_m || long === 0) {
    const pool = { depth_m: Math.max(0, standing_m), width_m: null, velocity_ms: 0 }
    return { chainage_m, at, form: 'pool', slope_ratio, bare: pool, grassed: pool }
  }
  const fall_ratio = Math.min(1, Math.max(LEAST_FALL, slope_ratio))
  const points = acrossBanks(ground, at, [-step[1] / long, step[0] / long], reach_m)
  const over = (n: number): FlowOver & { readonly banked: boolean } => {
    if (points) {
      const channel: Channel = { shape: { form: 'drawn', points }, fall_ratio, roughness: n }
      const bank_m = bankDepth_m(channel.shape)
      if (bank_m >= LEAST_BANK_m && uniformFlow(channel, bank_m).flow_m3s >= flow_m3s) {
        const { depth_m, width_m, velocity_ms } = uniformFlow(channel, normalDepth_m(channel, flow_m3s))
        return { depth_m, width_m, velocity_ms, banked: true }
      }
    }
    const { depth_m, velocity_ms } = sheetFlow(flow_m3s / issuesOver_m, fall_ratio, n)
    return { depth_m, width_m: issuesOver_m, velocity_ms, banked: false }
  }
  const { banked: bareBanked, ...bare } = over(roughness.bare)
  const { banked: grassBanked, ...grassed } = over(roughness.grassed)
  return { chainage_m, at, form: bareBanked && grassBanked ? 'banked' : 'sheet', slope_ratio, bare, grassed }
}

/** The section across a way from one bank to the other, over the lowest place near it; null where the ground falls away to a side. */
function acrossBanks(ground: FlowGround, at: Point, [ex, ey]: Point, reach_m: number): Point[] | null {
  const step_m = ground.cell_m / 2
  const count = Math.ceil(reach_m / step_m)
  const z = Array.from({ length: 2 * count + 1 }, (_, k) => {
    const s = (k - count) * step_m
    return ground.height_m([at[0] + s * ex, at[1] + s * ey])
  })
  let low = count
  const farthest = Math.ceil(ASIDE_CELLS * 2)
  for (const sense of [-1, 1]) {
    let k = low
    while (z[k + sense]! < z[k]!) {
      k += sense
      if (Math.abs(k - count) > farthest) return null
    }
    if (z[k]! < z[low]!) low = k
  }
  const bank = (sense: -1 | 1): number => {
    let top = low
    for (let k = low + sense; k >= 0 && k < z.length && !Number.isNaN(z[k]!); k += sense) {
      if (z[k]! < z[low]!) break
      if (z[k]! > z[top]!) top = k
    }
    return top
  }
  const [left, right] = [bank(-1), bank(1)]
  if (left === low || right === low || right - left < 2) return null
  return z.slice(left, right + 1).map((height, k): Point => [(left + k) * step_m, height])
}

/** The greater depth, of bare and grassed ground, at the station nearest to a chainage; 0 where no flow was worked out. */
export function depthAtChainage_m(flow: readonly FlowStation[], chainage_m: number): number {
  let best: FlowStation | null = null
  for (const station of flow)
    if (!best || Math.abs(station.chainage_m - chainage_m) < Math.abs(best.chainage_m - chainage_m)) best = station
  return best ? Math.max(best.bare.depth_m, best.grassed.depth_m) : 0
}
