import { InputError } from '../foundation/index.js'
import {
  chainages_m,
  distanceToSegment,
  type ElevationGrid,
  fromLattice,
  type GridGeometry,
  type Ground,
  isLeftOf,
  type Point,
  surfaceValue,
} from '../raster/index.js'
import type { Ditch } from './ditch-water.js'

/** A section as the ground takes it: `Section` and `DugSection` both are. */
export interface DugProfile extends Ditch {
  readonly uphillEdge_x_m: number
  readonly outerToe_x_m: number
}

/** The section at a place along the line. */
export interface DugStake {
  readonly chainage_m: number
  readonly section: DugProfile
  /** How much higher the bed lies here than the line's `bed_m`, where it falls towards its spill. Default 0. */
  readonly bedRise_m?: number
}

/** What is dug along a line. */
export interface DugLine {
  /** The downhill lip of the ditch, where it meets the old ground. */
  readonly line: readonly Point[]
  /** On which side of the line, in its own direction, the berm lies. */
  readonly downhill: 'left' | 'right'
  /** Height of the bed where it is lowest, in the raster's datum. */
  readonly bed_m: number
  /** In order along the line; sections run evenly from one to the next. */
  readonly stakes: readonly DugStake[]
  /**
   * The place where the ditch spills, from one chainage to another; its height above the bed. Up to the lip it is cut into the old ground and no
   * berm is laid there; above the lip it is a lower place in the berm, which is loose fill and must be armoured.
   */
  readonly sill?: { readonly from_m: number; readonly to_m: number; readonly z_m: number }
}

/** What `groundAsDug` may be told besides. */
export interface DugOptions {
  /** Of the fine patches. Default an eighth of the ditch's bed, or a sixteenth of its width at the lip where it has no flat bed. */
  readonly cell_m?: number
}

/** Length of line that one fine patch covers. Source: judgement; it keeps the patches of a winding line small. */
const STRETCH_m = 20
/** Fine cells of all patches together, at most: 64 MB. Source: judgement. */
const MOST_CELLS = 16_000_000
/** A place this many reaches from the line is too far from it to be looked at; a little above 1, for the corners of a strip. */
const REACHES = 1.5

/**
 * The ground after the work: bed cut, berm raised on its lower side, a bank across each end up to the crest, the sill let into the berm.
 *
 * Shapes  fine patches along the line over the base raster, each filled to its rims, so that they join the base without a step.
 * Laws    nothing but the strip along the line changes; nothing is cut below the bed or raised above the crest; the storage of the ditch agrees
 *         with that of its sections within 1 % on planes and wide cones.
 * No data as the base: a place without ground stays so.
 * Throws  `dug/bad-line`, `dug/bad-stakes`, `dug/too-fine`.
 * Cost    fine cells × pieces of line near them.
 * Source  geometry, derived.
 */
export function groundAsDug(base: ElevationGrid, dug: DugLine, { cell_m = fineCell_m(dug) }: DugOptions = {}): Ground {
  checkLine(dug, cell_m)
  const along = chainages_m(dug.line)
  const faces = dug.stakes.map(({ chainage_m, section, bedRise_m }) => ({ chainage_m, ...facesOf(section, bedRise_m) }))
  const reach_m = Math.max(...faces.map(f => Math.max(f.uphill_m, f.downhill_m, f.endBank_m))) + 2 * cell_m
  const patches: ElevationGrid[] = []
  let cells = 0
  for (const stretch of stretches(along)) {
    const geometry = boxAround(base.geometry, dug.line.slice(stretch.first, stretch.last + 1), reach_m, cell_m)
    cells += geometry.width * geometry.height
    if (cells > MOST_CELLS)
      throw new InputError('dug/too-fine', `Cells of ${cell_m} m along this line would be more than ${MOST_CELLS}; take larger ones.`, {
        cell_m,
      })
    const near = segmentsNear(dug.line, geometry, reach_m)
    const data = new Float32Array(geometry.width * geometry.height)
    for (let row = 0, cell = 0; row < geometry.height; row++)
      for (let column = 0; column < geometry.width; column++, cell++) {
        const place = fromLattice(geometry, column, row)
        const ground_m = surfaceValue(base, place)
        const spot = spotOf(dug, along, near, place, reach_m)
        data[cell] = spot ? worked_m(ground_m, spot) : ground_m
      }
    patches.push({ quantity: 'elevation_m', geometry, data })
  }
  return { base, patches }

  /** The old height changed by what is cut or laid there. */
  function worked_m(ground_m: number, { chainage_m, offset_m, beyond_m }: Spot): number {
    if (beyond_m > 0) {
      const end = chainage_m > 0 ? faces[faces.length - 1]! : faces[0]!
      const bank_m = dug.bed_m + Math.min(end.bank(beyond_m), offset_m > 0 ? end.shoulder(offset_m) : end.crest_m)
      return offset_m >= -end.uphill_m ? Math.max(ground_m, bank_m) : ground_m
    }
    const [a, b, share] = facesAt(chainage_m)
    const mixed = (height: (face: Faces) => number): number => {
      const first = height(a)
      return share === 0 ? first : first + share * (height(b) - first)
    }
    const { sill } = dug
    const inSill = sill !== undefined && chainage_m >= sill.from_m && chainage_m <= sill.to_m
    const lowSill = inSill && sill.z_m <= mixed(face => face.lip_m)
    // The way out over a low sill begins at the ditch's downhill side, where the bed ends.
    if (lowSill && offset_m >= Math.max(a.foot_m, b.foot_m)) {
      const out_m =
        offset_m <= 0
          ? Math.min(
              sill.z_m,
              mixed(face => face.cut(offset_m)),
            )
          : sill.z_m
      return Math.min(ground_m, dug.bed_m + out_m)
    }
    if (offset_m <= 0) return Math.min(ground_m, dug.bed_m + mixed(face => face.cut(offset_m)))
    const laid = mixed(face => face.berm(offset_m))
    return Math.max(ground_m, dug.bed_m + (inSill ? Math.min(laid, sill.z_m) : laid))
  }

  function facesAt(chainage_m: number): [Faces, Faces, number] {
    let k = 1
    while (k < faces.length - 1 && faces[k]!.chainage_m < chainage_m) k++
    const a = faces[k - 1]!
    const b = faces[k] ?? a
    const span = b.chainage_m - a.chainage_m
    return [a, b, span > 0 ? Math.min(1, Math.max(0, (chainage_m - a.chainage_m) / span)) : 0]
  }
}

/** What stands over the bed at offsets from the lip, downhill positive. */
interface Faces {
  /** Where the bed ends on the downhill side. */
  readonly foot_m: number
  readonly lip_m: number
  readonly crest_m: number
  readonly uphill_m: number
  readonly downhill_m: number
  readonly endBank_m: number
  /** The dug face; Infinity where nothing is cut. */
  cut(offset_m: number): number
  /** The laid face; it falls on for ever beyond the toe. */
  berm(offset_m: number): number
  /** The berm without its inner face. */
  shoulder(offset_m: number): number
  /** The bank across an end, at a distance beyond it. */
  bank(beyond_m: number): number
}

function facesOf(section: DugProfile, rise_m = 0): Faces {
  const { dug, lip_x_m, crest_z_m, uphillEdge_x_m, outerToe_x_m } = section
  const shifted = dug.map(([x, z]): Point => [x - lip_x_m, z])
  const cutLine = shifted.filter(([x]) => x >= uphillEdge_x_m - lip_x_m && x <= 0)
  const bermLine = shifted.filter(([x]) => x >= 0 && x <= outerToe_x_m - lip_x_m)
  const crown = bermLine.filter(([, z]) => z >= crest_z_m - 1e-9)
  const inner = crown[0]?.[0] ?? 0
  const outer = crown[crown.length - 1]?.[0] ?? inner
  const [toe_x, toe_z] = bermLine[bermLine.length - 1]!
  const outerRun = crest_z_m > toe_z ? (toe_x - outer) / (crest_z_m - toe_z) : 0
  const falling = (past_m: number): number =>
    past_m <= 0 ? crest_z_m : outerRun > 0 ? crest_z_m - past_m / outerRun : Number.NEGATIVE_INFINITY
  return {
    foot_m: cutLine.reduce((foot, [x, z]) => (z < 1e-9 ? x : foot), 0),
    lip_m: rise_m + section.lip_z_m,
    crest_m: rise_m + crest_z_m,
    uphill_m: -shifted[0]![0],
    downhill_m: toe_x + outerRun * Math.max(0, toe_z),
    endBank_m: outer - inner + outerRun * crest_z_m,
    cut: offset => rise_m + onLine(cutLine, offset),
    berm: offset => rise_m + (offset >= outer ? falling(offset - outer) : onLine(bermLine, offset)),
    shoulder: offset => rise_m + falling(offset - outer),
    bank: beyond => rise_m + falling(beyond - (outer - inner)),
  }
}

/** Height of a line of rising x; uphill of its start its first piece goes on, Infinity where that is upright. */
function onLine(line: readonly Point[], x: number): number {
  let k = 1
  while (k < line.length - 1 && line[k]![0] < x) k++
  const [xa, za] = line[k - 1]!
  const [xb, zb] = line[k]!
  if (xa === xb) return x < xa ? Infinity : Math.max(za, zb)
  return za + ((x - xa) / (xb - xa)) * (zb - za)
}

/** Where a place lies by the line. */
interface Spot {
  readonly chainage_m: number
  /** From the line, downhill positive. */
  readonly offset_m: number
  /** Past an end of the line, along it; 0 beside it. */
  readonly beyond_m: number
}

function spotOf(dug: DugLine, along: Float64Array, near: readonly number[], place: Point, reach_m: number): Spot | null {
  const { line } = dug
  let best = Infinity
  let at = -1
  let t = 0
  for (const k of near) {
    const found = distanceToSegment(place, line[k]!, line[k + 1]!)
    if (found.distance_m < best) {
      best = found.distance_m
      at = k
      t = found.t
    }
  }
  if (at < 0 || best > REACHES * reach_m) return null
  const a = line[at]!
  const b = line[at + 1]!
  const length_m = along[at + 1]! - along[at]!
  const sign = isLeftOf(place, a, b) === (dug.downhill === 'left') ? 1 : -1
  const atStart = at === 0 && t === 0
  const atEnd = at === line.length - 2 && t === 1
  const run = ((place[0] - a[0]) * (b[0] - a[0]) + (place[1] - a[1]) * (b[1] - a[1])) / length_m
  const beyond_m = atStart ? -run : atEnd ? run - length_m : 0
  const offset_m = sign * (beyond_m > 0 ? Math.sqrt(Math.max(0, best * best - beyond_m * beyond_m)) : best)
  return { chainage_m: along[at]! + t * length_m, offset_m, beyond_m: Math.max(0, beyond_m) }
}

/** Runs of vertices, each about a stretch long. */
function stretches(along: Float64Array): { readonly first: number; readonly last: number }[] {
  const runs = []
  let first = 0
  for (let k = 1; k < along.length; k++)
    if (k === along.length - 1 || along[k + 1]! - along[first]! > STRETCH_m) {
      runs.push({ first, last: k })
      first = k
    }
  return runs
}

/** Fine cells round a run of the line, on the lattice of the base's corner. */
function boxAround(base: GridGeometry, run: readonly Point[], reach_m: number, cell_m: number): GridGeometry {
  const xs = run.map(([x]) => x)
  const ys = run.map(([, y]) => y)
  const left = Math.floor((Math.min(...xs) - reach_m - base.west_m) / cell_m)
  const right = Math.ceil((Math.max(...xs) + reach_m - base.west_m) / cell_m)
  const top = Math.floor((base.north_m - Math.max(...ys) - reach_m) / cell_m)
  const bottom = Math.ceil((base.north_m - Math.min(...ys) + reach_m) / cell_m)
  return {
    width: right - left,
    height: bottom - top,
    cell_m,
    west_m: base.west_m + left * cell_m,
    north_m: base.north_m - top * cell_m,
    crs: base.crs,
  }
}

function segmentsNear(line: readonly Point[], g: GridGeometry, reach_m: number): number[] {
  const far_m = REACHES * reach_m
  const east_m = g.west_m + g.width * g.cell_m
  const south_m = g.north_m - g.height * g.cell_m
  const near = []
  for (let k = 0; k + 1 < line.length; k++) {
    const [ax, ay] = line[k]!
    const [bx, by] = line[k + 1]!
    if (
      Math.max(ax, bx) >= g.west_m - far_m &&
      Math.min(ax, bx) <= east_m + far_m &&
      Math.max(ay, by) >= south_m - far_m &&
      Math.min(ay, by) <= g.north_m + far_m
    )
      near.push(k)
  }
  return near
}

/** An eighth of the narrowest bed; of a pointed or round one a sixteenth of the width at the lip. */
function fineCell_m({ stakes }: DugLine): number {
  return Math.min(
    ...stakes.map(({ section }) => {
      const flat = section.dug.reduce((sum, [x, z], k) => {
        const next = section.dug[k + 1]
        return next && z === 0 && next[1] === 0 ? sum + next[0] - x : sum
      }, 0)
      return flat > 0 ? flat / 8 : (section.lip_x_m - section.uphillEdge_x_m) / 16
    }),
  )
}

function checkLine({ line, stakes, sill }: DugLine, cell_m: number): void {
  if (line.length < 2 || line.some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y)))
    throw new InputError('dug/bad-line', 'A ditch is dug along a line of two points or more.', { vertices: line.length })
  if (line.some(([x, y], k) => k > 0 && x === line[k - 1]![0] && y === line[k - 1]![1]))
    throw new InputError('dug/bad-line', 'A point of the line repeats the one before; leave it out.', {})
  if (stakes.length < 1 || stakes.some(({ chainage_m }, k) => k > 0 && !(chainage_m > stakes[k - 1]!.chainage_m)))
    throw new InputError('dug/bad-stakes', 'The ground needs a section at one stake or more, in order along the line.', {
      stakes: stakes.length,
    })
  if (sill && !(sill.to_m > sill.from_m && sill.z_m >= 0))
    throw new InputError('dug/bad-stakes', 'A sill runs from one chainage to a later one, at a height of 0 or more above the bed.', {
      ...sill,
    })
  if (!(cell_m > 0 && cell_m < Infinity)) throw new InputError('dug/too-fine', `Cells of ${cell_m} m; give a size above 0.`, { cell_m })
}
