import { checkSpacing_m, constructionHeight_m } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { chainages_m, distance_m, type Point } from '../raster/index.js'
import { bearing_deg, cosineOf } from './angles.js'
import { type LaidLine, laidAt } from './laid-line.js'

/** Why a stake stands where it does. */
export const STAKE_KINDS = ['start', 'end', 'step', 'bend', 'spill', 'sill-end', 'check-bank'] as const
/** One of `STAKE_KINDS`. */
export type StakeKind = (typeof STAKE_KINDS)[number]

/** One stake, set on the line: the downhill lip of the cut. Heights in the raster's datum, lengths horizontal unless they say otherwise. */
export interface Stake {
  /** From 1, in the line's direction. */
  readonly number: number
  readonly kinds: readonly StakeKind[]
  readonly chainage_m: number
  readonly at: Point
  /** Of the raster: for finding the place, never for setting a level. */
  readonly ground_m: number
  readonly bed_m: number
  /** Of the settled berm; null within the sill, where none is laid. */
  readonly crest_m: number | null
  /** Of the long sill, the same all along; null while there is none. */
  readonly sill_m: number | null
  /** From the lip down to the bed. */
  readonly cut_m: number
  /** Of the berm over the lip, settled and as it is heaped; null within the sill. */
  readonly bermSettled_m: number | null
  readonly bermToBuild_m: number | null
  /** Width of the cut at its top, uphill of the stake; and how far downhill of it the berm's outer toe lies. */
  readonly topWidth_m: number
  readonly outerToe_m: number | null
  /** To the next stake: along the line, and how far ground and bed lie lower there (rising is negative); null at the last. */
  readonly toNext: { readonly distance_m: number; readonly groundDrop_m: number; readonly bedDrop_m: number } | null
  /** From the base stake: level distance, the same along the slope as a tape lies, and bearing clockwise from grid north (null at the base itself). */
  readonly fromBase: { readonly distance_m: number; readonly tape_m: number; readonly bearing_deg: number | null }
  /** One standard error of where the level meets the slope; null while the error of the raster's heights is not known. */
  readonly horizontalDoubt_m: number | null
  /** The ground is so flat that the doubt is larger than `doubtCap_m` and was cut off there. */
  readonly doubtCapped: boolean
}

/** What `stakesOf` may be told besides. */
export interface StakeOptions {
  /** Greatest distance between stakes. Default 5 m (common practice, no source: as far as a string is kept straight). */
  readonly every_m?: number
  /** Turn of the line, since the last bend, that gets a stake of its own. Default 15° (judgement). */
  readonly bend_deg?: number
  /** Number of the stake that others are measured from. Default 1. */
  readonly base?: number
  /** Doubts beyond this are cut off. Default 20 m (judgement). */
  readonly doubtCap_m?: number
  /** Length on the ground per length in the working system: a tape measures ground. Default 1; `groundScale` of io knows it. */
  readonly groundPerGrid_ratio?: number
}

/** Stakes of a step nearer than this to one with a reason of its own are left out. Source: judgement, half a bed. */
const APART_m = 0.5

/** Reasons no further apart than a stake is thick share one; readings this near to each other are of one place too (`asBuilt`). */
const SAME_m = 0.05

/**
 * Stakes of a line: every so many metres, and at its ends, bends, spill, both ends of the sill and the check banks.
 *
 * Laws    in order along the line; first and last at its ends; drops and distances sum to the whole's.
 * Throws  `stakes/bad-spacing`, `stakes/bad-bend`, `stakes/bad-base`, `stakes/bad-scale`.
 * Source  geometry; doubt = error of the raster's heights ÷ slope, derived.
 */
export function stakesOf(
  laid: LaidLine,
  { every_m = 5, bend_deg = 15, base = 1, doubtCap_m = 20, groundPerGrid_ratio = 1 }: StakeOptions = {},
): Stake[] {
  if (!(every_m >= 0.5 && every_m < Infinity))
    throw new InputError('stakes/bad-spacing', `Stakes every ${every_m} m; give a distance of 0.5 m or more.`, { every_m })
  if (!(bend_deg >= 1 && bend_deg <= 180))
    throw new InputError('stakes/bad-bend', `A bend from ${bend_deg}°; give an angle of 1 to 180°.`, { bend_deg })
  if (!(groundPerGrid_ratio > 0.5 && groundPerGrid_ratio < 2))
    throw new InputError(
      'stakes/bad-scale',
      `${groundPerGrid_ratio} m on the ground for each metre of the grid cannot be; it lies near 1.`,
      {
        groundPerGrid_ratio,
      },
    )
  const places = stakePlaces(laid, every_m, bend_deg).map(({ chainage_m, kinds }) => ({ kinds, ...laidAt(laid, chainage_m) }))
  const from = places[base - 1]
  if (!from)
    throw new InputError('stakes/bad-base', `There is no stake ${base}; the line has ${places.length}. Choose one of them.`, {
      base,
      stakes: places.length,
    })
  const { settings, sill } = laid
  return places.map((place, k): Stake => {
    const { section, ground_m, bed_m, inSill, chainage_m, at } = place
    const next = places[k + 1]
    const settled_m = section.crest_z_m - section.lip_z_m
    const level_m = distance_m(from.at, at) * groundPerGrid_ratio
    const rise_m = ground_m - from.ground_m
    const doubt_m = settings.elevationError_m === null ? null : settings.elevationError_m / section.groundSlope_ratio
    return {
      number: k + 1,
      kinds: place.kinds,
      chainage_m,
      at,
      ground_m,
      bed_m,
      crest_m: inSill ? null : bed_m + section.crest_z_m,
      sill_m: sill?.level_m ?? null,
      cut_m: ground_m - bed_m,
      bermSettled_m: inSill ? null : settled_m,
      bermToBuild_m: inSill ? null : constructionHeight_m(settled_m, settings.settlement_ratio, settings.settlementConvention),
      topWidth_m: section.topWidth_m,
      outerToe_m: inSill ? null : section.outerToe_x_m - section.lip_x_m,
      toNext: next
        ? { distance_m: next.chainage_m - chainage_m, groundDrop_m: ground_m - next.ground_m, bedDrop_m: bed_m - next.bed_m }
        : null,
      fromBase: {
        distance_m: level_m,
        tape_m: Math.sqrt(level_m * level_m + rise_m * rise_m),
        bearing_deg: bearing_deg(at[0] - from.at[0], at[1] - from.at[1]),
      },
      horizontalDoubt_m: doubt_m === null ? null : Math.min(doubt_m, doubtCap_m),
      doubtCapped: doubt_m !== null && !(doubt_m <= doubtCap_m),
    }
  })
}

interface StakePlace {
  readonly chainage_m: number
  readonly kinds: StakeKind[]
}

function stakePlaces(laid: LaidLine, every_m: number, bend_deg: number): StakePlace[] {
  const { path, length_m, sill } = laid
  const spillAt_m = Math.min(Math.max(laid.spillAt_m, 0), length_m)
  const named: { readonly chainage_m: number; readonly kind: StakeKind }[] = [
    { chainage_m: 0, kind: 'start' },
    { chainage_m: length_m, kind: 'end' },
    { chainage_m: spillAt_m, kind: 'spill' },
    ...(sill
      ? ([
          { chainage_m: sill.from_m, kind: 'sill-end' },
          { chainage_m: sill.to_m, kind: 'sill-end' },
        ] as const)
      : []),
    ...bends(path, bend_deg).map(chainage_m => ({ chainage_m, kind: 'bend' as const })),
    ...checkBanks_m(laid).map(chainage_m => ({ chainage_m, kind: 'check-bank' as const })),
  ]
  const places: StakePlace[] = []
  const put = (chainage_m: number, kind: StakeKind, near_m: number): void => {
    const same = places.find(place => Math.abs(place.chainage_m - chainage_m) <= near_m)
    if (!same) places.push({ chainage_m, kinds: [kind] })
    else if (!same.kinds.includes(kind)) same.kinds.push(kind)
  }
  for (const { chainage_m, kind } of named) put(chainage_m, kind, SAME_m)
  const own = places.length
  for (let k = 1; k * every_m < length_m; k++)
    if (!places.slice(0, own).some(place => Math.abs(place.chainage_m - k * every_m) < APART_m)) put(k * every_m, 'step', 0)
  return places.sort((a, b) => a.chainage_m - b.chainage_m)
}

/** Vertices at which the line has turned by an angle since the last of them: a slow curve gets its stakes too. */
function bends(path: readonly Point[], bend_deg: number): number[] {
  const along = chainages_m(path)
  const least = cosineOf(bend_deg) + 1e-12
  const found: number[] = []
  let before: Point | null = null
  for (let k = 1; k < path.length; k++) {
    const span = along[k]! - along[k - 1]!
    if (!(span > 0)) continue
    const heading: Point = [(path[k]![0] - path[k - 1]![0]) / span, (path[k]![1] - path[k - 1]![1]) / span]
    if (before && heading[0] * before[0] + heading[1] * before[1] <= least) {
      found.push(along[k - 1]!)
      before = heading
    } else before ??= heading
  }
  return found
}

/** Where the check banks of a falling bed stand, away from the spill. */
export function checkBanks_m({ settings, length_m, spillAt_m }: Pick<LaidLine, 'settings' | 'length_m' | 'spillAt_m'>): number[] {
  if (!settings.checkBanks || settings.bedFall_ratio === 0) return []
  const apart_m = checkSpacing_m(settings.depth_m, settings.bedFall_ratio)
  const places: number[] = []
  for (let k = 1; k * apart_m < length_m; k++)
    // The line's own end bank stands for one close to it.
    for (const chainage_m of [spillAt_m - k * apart_m, spillAt_m + k * apart_m])
      if (chainage_m > APART_m && chainage_m < length_m - APART_m) places.push(chainage_m)
  return places.sort((a, b) => a - b)
}
