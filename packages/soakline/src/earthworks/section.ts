import { InputError, type Warning } from '../foundation/index.js'
import type { Point } from '../raster/index.js'

/** What a person decides about a swale's cross-section. Side slopes are horizontal : vertical, 0 a vertical face. */
export interface SectionShape {
  /** Width of the flat bed; 0 gives a ditch with a pointed bottom. */
  readonly bedWidth_m: number
  /**
   * Depth of the bed below the downhill lip, where the ditch's downhill side meets the old ground: lay a level board on that lip, and the
   * bed lies this far under it, all the way along. It is also the depth of water that the ditch holds before any water leans on the berm.
   */
  readonly depth_m: number
  readonly cutSideSlope_ratio: number
  readonly bermInnerSlope_ratio: number
  readonly bermOuterSlope_ratio: number
  readonly crestWidth_m: number
  /** Placed and settled berm per volume of cut. */
  readonly bermPerCut_ratio: number
  /** Height from the sill (where the ditch spills) up to the settled crest. */
  readonly freeboard_m: number
}

/** What may be set besides the shape. */
export interface SectionOptions {
  /**
   * How far uphill of the ditch's uphill edge the ground is trusted to go on rising at the same slope. The section holds no more than the
   * level of the ground there: on flat ground, water above the ground would run away uphill. Default 20 m (judgement).
   */
  readonly uphillReach_m?: number
}

/** The default of `uphillReach_m`. Source: judgement. */
const UPHILL_REACH_m = 20

/**
 * A swale cut across sloping ground, its earth laid as a berm from the downhill lip downhill. x runs across the slope, downhill positive, from the
 * uphill foot of the bed; z stands above the bed. All per metre of swale, in metres and square metres.
 */
export interface Section {
  readonly shape: SectionShape
  /** Fall of the ground across the line, rise over run; 0 or more. */
  readonly groundSlope_ratio: number
  /** The ground as it was, from uphill to downhill. */
  readonly ground: readonly Point[]
  /** The ground after the work, from uphill to downhill. */
  readonly dug: readonly Point[]
  /** What is dug out, as a ring. */
  readonly cutRing: readonly Point[]
  /** What is laid on, settled, as a ring. */
  readonly bermRing: readonly Point[]
  readonly cut_m2: number
  readonly berm_m2: number
  readonly sill_z_m: number
  readonly crest_z_m: number
  /** Height of the downhill lip of the ditch, which is the inner toe of the berm: the shape's depth. */
  readonly lip_z_m: number
  /** Where the uphill side of the ditch meets the old ground. */
  readonly uphillEdge_x_m: number
  readonly uphillEdge_z_m: number
  readonly lip_x_m: number
  readonly outerToe_x_m: number
  /** Width of the ditch from its uphill edge to its downhill lip, horizontal. */
  readonly topWidth_m: number
  /** The highest level that the section is counted on to hold: the crest, or the trusted ground uphill where that is lower. */
  readonly holds_z_m: number
  readonly storageToSill_m2: number
  readonly storageToCrest_m2: number
  /** Depth of water at the sill's level above the old ground at the berm's inner toe; 0 when the store lies wholly in the cut. */
  readonly waterAgainstFill_m: number
  /** `section/holds-less-than-sill` or `section/holds-less-than-crest`, where water would reach past the trusted ground uphill. */
  readonly remarks: readonly Warning[]
}

/**
 * The section of a shape on ground of a slope, with the height of the berm solved for its area.
 *
 * Units   `groundSlope_ratio` rise over run across the line, 0 or more.
 * Laws    the berm's area is `bermPerCut_ratio` × the cut's, to rounding; storage never falls as the level rises; all lengths k times larger
 *         give areas k² times larger.
 * Throws  `section/bad-shape` (a size that is not a number or below 0, a missing depth, berm or crest), `section/bad-slope`;
 *         `section/no-toe` where the berm's outer face is no steeper than the ground; `section/cut-never-ends` where the ditch's uphill
 *         side is no steeper than the ground; `section/berm-below-lip` where the earth does not raise a crest of that width above the lip;
 *         `section/sill-below-bed` where the freeboard leaves no depth.
 * Cost    constant.
 * Source  geometry, derived; + − × ÷ √ only.
 */
export function crossSection(
  shape: SectionShape,
  groundSlope_ratio: number,
  { uphillReach_m = UPHILL_REACH_m }: SectionOptions = {},
): Section {
  const { cutRing, cut_m2, uphillEdge_x_m, uphillEdge_z_m, lip_x_m, crest_z_m, crestInner_x, crestOuter_x, outerToe_x_m, sill_z_m } =
    solved(shape, groundSlope_ratio, uphillReach_m)
  const { depth_m } = shape
  const s = groundSlope_ratio
  const groundAt = (x: number): number => depth_m - s * (x - lip_x_m)
  const bermRing = distinct([
    [lip_x_m, depth_m],
    [outerToe_x_m, groundAt(outerToe_x_m)],
    [crestOuter_x, crest_z_m],
    [crestInner_x, crest_z_m],
  ])
  const holds_z_m = Math.min(crest_z_m, uphillEdge_z_m + s * uphillReach_m)
  const remarks: Warning[] = []
  if (holds_z_m < crest_z_m)
    remarks.push({
      code: holds_z_m < sill_z_m ? 'section/holds-less-than-sill' : 'section/holds-less-than-crest',
      details: { holds_z_m, sill_z_m, crest_z_m, groundSlope_ratio: s, uphillReach_m },
    })

  // Drawn from half a metre beyond the works, or beyond the water's edge at the highest level held.
  const wet_x = -reachUphill_m(holds_z_m, uphillEdge_z_m, shape.cutSideSlope_ratio, s)
  const left = Math.min(wet_x, uphillEdge_x_m) - 0.5
  const right = outerToe_x_m + 0.5
  const core = {
    shape,
    groundSlope_ratio: s,
    cut_m2,
    berm_m2: ringArea_m2(bermRing),
    sill_z_m,
    crest_z_m,
    lip_z_m: depth_m,
    uphillEdge_x_m,
    uphillEdge_z_m,
    lip_x_m,
    outerToe_x_m,
    topWidth_m: lip_x_m - uphillEdge_x_m,
    holds_z_m,
  }
  return {
    ...core,
    ground: [
      [left, groundAt(left)],
      [right, groundAt(right)],
    ],
    dug: distinct([
      [left, groundAt(left)],
      ...cutRing,
      [crestInner_x, crest_z_m],
      [crestOuter_x, crest_z_m],
      [outerToe_x_m, groundAt(outerToe_x_m)],
      [right, groundAt(right)],
    ]),
    cutRing,
    bermRing,
    storageToSill_m2: sectionStorage_m2(core, sill_z_m),
    storageToCrest_m2: sectionStorage_m2(core, crest_z_m),
    waterAgainstFill_m: Math.max(0, sill_z_m - depth_m),
    remarks,
  }
}

/**
 * What is dug out of a section: `crossSection(…).cut_m2`, without what is told besides.
 *
 * Units   m² per metre of swale.
 * Throws  what `crossSection` throws.
 */
export const cutArea_m2 = (
  shape: SectionShape,
  groundSlope_ratio: number,
  { uphillReach_m = UPHILL_REACH_m }: SectionOptions = {},
): number => solved(shape, groundSlope_ratio, uphillReach_m).cut_m2

/** The places of a section, its berm raised for the earth at hand. */
function solved(shape: SectionShape, groundSlope_ratio: number, uphillReach_m: number) {
  checkShape(shape, groundSlope_ratio, uphillReach_m)
  const { bedWidth_m, depth_m, crestWidth_m } = shape
  const cutSide = shape.cutSideSlope_ratio
  const inner = shape.bermInnerSlope_ratio
  const outer = shape.bermOuterSlope_ratio
  const s = groundSlope_ratio
  if (s * cutSide >= 1)
    throw new InputError(
      'section/cut-never-ends',
      `Ditch sides of ${cutSide}:1 are no steeper than ground of ${short(s)} rise/run, so the uphill side never comes out; dig it steeper, or choose gentler ground.`,
      { cutSideSlope_ratio: cutSide, groundSlope_ratio: s },
    )
  if (s * outer >= 1)
    throw new InputError(
      'section/no-toe',
      `A berm face of ${outer}:1 is no steeper than ground of ${short(s)} rise/run, so it never meets the ground; choose gentler ground, or a face steeper than ${short(1 / s)}:1 if the soil stands it.`,
      { bermOuterSlope_ratio: outer, groundSlope_ratio: s },
    )

  // The cut: the ground passes through the downhill lip.
  const lip_x_m = bedWidth_m + cutSide * depth_m
  const uphillEdge_z_m = (depth_m + s * lip_x_m) / (1 - s * cutSide)
  const uphillEdge_x_m = -cutSide * uphillEdge_z_m
  const cutRing = distinct([
    [uphillEdge_x_m, uphillEdge_z_m],
    [0, 0],
    [bedWidth_m, 0],
    [lip_x_m, depth_m],
  ])
  const cut_m2 = ringArea_m2(cutRing)

  // The berm: with its crest h above the lip, its area is a h² + b h + c; h is the root for the earth at hand.
  const asked_m2 = shape.bermPerCut_ratio * cut_m2
  const k = 1 + s * inner // height over the ground of the crest's inner edge, per h
  const run = outer / (1 - s * outer) // length of the outer face, per height over the ground of the crest's outer edge
  const drop = s * crestWidth_m
  const a = 0.5 * inner * k + 0.5 * run * k * k
  const b = crestWidth_m * k + run * k * drop
  const c = 0.5 * crestWidth_m * drop + 0.5 * run * drop * drop
  const spare_m2 = asked_m2 - c
  if (!(spare_m2 > 0))
    throw new InputError(
      'section/berm-below-lip',
      `The earth of the cut (${short(asked_m2)} m² placed) is used up by a crest ${crestWidth_m} m wide on ground of ${short(s)} rise/run before it rises above the lip; dig deeper or wider, or make the crest narrower.`,
      { asked_m2, needed_m2: c, crestWidth_m, groundSlope_ratio: s },
    )
  const height = (2 * spare_m2) / (b + Math.sqrt(b * b + 4 * a * spare_m2))
  const crest_z_m = depth_m + height
  const crestInner_x = lip_x_m + inner * height
  const crestOuter_x = crestInner_x + crestWidth_m
  const outerToe_x_m = crestOuter_x + run * (height + s * (crestOuter_x - lip_x_m))

  const sill_z_m = crest_z_m - shape.freeboard_m
  if (!(sill_z_m > 0))
    throw new InputError(
      'section/sill-below-bed',
      `The crest stands ${short(crest_z_m)} m above the bed and the freeboard is ${shape.freeboard_m} m: the sill would lie in or under the bed and nothing would be held. Dig deeper or take less freeboard.`,
      { crest_z_m, freeboard_m: shape.freeboard_m },
    )
  return { cutRing, cut_m2, uphillEdge_x_m, uphillEdge_z_m, lip_x_m, crest_z_m, crestInner_x, crestOuter_x, outerToe_x_m, sill_z_m }
}

/** The part of a section that its water needs. */
type Basin = Pick<Section, 'shape' | 'groundSlope_ratio' | 'uphillEdge_z_m' | 'lip_z_m' | 'crest_z_m' | 'holds_z_m'>

/**
 * Water held per metre of swale with its surface at a level above the bed: between the berm and the cut face, and beyond it over the natural ground
 * uphill where the level stands above the ditch's uphill edge. Above `holds_z_m` no more is counted.
 *
 * Units   m, m².
 * Laws    never falls as the level rises; 0 up to the bed; its growth is the width of the water.
 * Throws  `section/level-over-crest` above the crest: the water would run over it; `section/bad-level` for NaN.
 * Source  geometry, derived.
 */
export function sectionStorage_m2(section: Basin, level_z_m: number): number {
  const level = heldLevel_m(section, level_z_m)
  const { bedWidth_m, cutSideSlope_ratio, bermInnerSlope_ratio } = section.shape
  const inCut = Math.min(level, section.lip_z_m)
  const onFill = level - inCut
  const uphill = Math.min(level, section.uphillEdge_z_m)
  const overGround = level - uphill
  const downhillSide =
    0.5 * cutSideSlope_ratio * inCut * inCut + (cutSideSlope_ratio * inCut + 0.5 * bermInnerSlope_ratio * onFill) * onFill
  const uphillSide = 0.5 * cutSideSlope_ratio * uphill * uphill + cutSideSlope_ratio * uphill * overGround
  const wedge = overGround > 0 ? (0.5 * overGround * overGround) / section.groundSlope_ratio : 0
  return bedWidth_m * level + uphillSide + downhillSide + wedge
}

/**
 * Width of the water's surface at a level, horizontal; above `holds_z_m` the width there.
 *
 * Units   m.
 * Throws  what `sectionStorage_m2` throws.
 */
export function waterWidth_m(section: Basin, level_z_m: number): number {
  const level = heldLevel_m(section, level_z_m)
  const { bedWidth_m, cutSideSlope_ratio, bermInnerSlope_ratio } = section.shape
  if (level === 0) return 0
  const inCut = Math.min(level, section.lip_z_m)
  return (
    bedWidth_m +
    reachUphill_m(level, section.uphillEdge_z_m, cutSideSlope_ratio, section.groundSlope_ratio) +
    cutSideSlope_ratio * inCut +
    bermInnerSlope_ratio * (level - inCut)
  )
}

/**
 * Water behind a berm alone on a plane, per metre: depth²/2 (1/slope + inner side slope).
 *
 * Units   `depth_m` at the berm's inner toe, m; `slope_ratio` above 0.
 * Throws  `section/bad-slope` on level ground, where the wedge has no end; `section/bad-shape`.
 * Source  triangle, derived.
 */
export function wedgeStorage_m2(depth_m: number, slope_ratio: number, innerSlope_ratio: number): number {
  checkWedge(slope_ratio, innerSlope_ratio)
  checkSize('depth_m', depth_m)
  return 0.5 * depth_m * depth_m * (1 / slope_ratio + innerSlope_ratio)
}

/** The depth at the inner toe for a storage per metre: `wedgeStorage_m2` undone. Throws as it does. */
export function wedgeDepth_m(storage_m2: number, slope_ratio: number, innerSlope_ratio: number): number {
  checkWedge(slope_ratio, innerSlope_ratio)
  checkSize('storage_m2', storage_m2)
  return Math.sqrt((2 * storage_m2) / (1 / slope_ratio + innerSlope_ratio))
}

/** Width of the wedge's water, from the berm's face uphill. Units: m. Throws as `wedgeStorage_m2`. */
export function wedgeWidth_m(depth_m: number, slope_ratio: number, innerSlope_ratio: number): number {
  checkWedge(slope_ratio, innerSlope_ratio)
  checkSize('depth_m', depth_m)
  return depth_m * (1 / slope_ratio + innerSlope_ratio)
}

/** How far water at a level reaches uphill of the bed's uphill foot. */
function reachUphill_m(level: number, edge_z: number, cutSide: number, slope: number): number {
  return level > edge_z ? cutSide * edge_z + (level - edge_z) / slope : cutSide * level
}

/** The level that counts: from the bed up to what the section holds. */
function heldLevel_m(section: Basin, level_z_m: number): number {
  if (Number.isNaN(level_z_m))
    throw new InputError('section/bad-level', 'The level of the water is not a number; give its height above the bed in metres.', {})
  // A level worked out from the crest may miss it by a rounding.
  if (level_z_m > section.crest_z_m + 1e-9)
    throw new InputError(
      'section/level-over-crest',
      `A level ${short(level_z_m)} m above the bed stands over the crest (${short(section.crest_z_m)} m) and would run over the berm; ask for a level up to the crest.`,
      { level_z_m, crest_z_m: section.crest_z_m },
    )
  return Math.max(0, Math.min(level_z_m, section.holds_z_m))
}

/** Area of a ring, by the surveyor's formula taken about its first point; never negative. */
function ringArea_m2(ring: readonly Point[]): number {
  const x0 = ring[0]![0]
  const z0 = ring[0]![1]
  let twice = 0
  for (let k = 1; k + 1 < ring.length; k++) {
    const a = ring[k]!
    const b = ring[k + 1]!
    twice += (a[0] - x0) * (b[1] - z0) - (b[0] - x0) * (a[1] - z0)
  }
  return Math.abs(twice) / 2
}

/** Without points that repeat the one before: vertical faces and pointed bottoms make them. */
function distinct(points: readonly Point[]): readonly Point[] {
  const repeats = (k: number): boolean => k > 0 && points[k]![0] === points[k - 1]![0] && points[k]![1] === points[k - 1]![1]
  for (let k = 1; k < points.length; k++) if (repeats(k)) return points.filter((_, at) => !repeats(at))
  return points
}

/** A computed number as a message says it. */
const short = (x: number): number => Number(x.toPrecision(4))

function checkShape(shape: SectionShape, slope: number, uphillReach_m: number): void {
  checkSlope(slope)
  if (!(uphillReach_m >= 0 && uphillReach_m < Infinity))
    throw new InputError('section/bad-shape', `uphillReach_m is ${uphillReach_m}; give a distance of 0 m or more.`, { uphillReach_m })
  for (const name of SIZES) checkSize(name, shape[name])
  const refuseNone = (name: string, size: number, why: string): void => {
    if (size === 0) throw new InputError('section/bad-shape', `${name} is 0: ${why}; give it more than 0.`, { name, size })
  }
  refuseNone('depth_m', shape.depth_m, 'a ditch needs a depth')
  refuseNone('bermPerCut_ratio', shape.bermPerCut_ratio, 'without a berm this section does not apply')
  refuseNone('bedWidth_m + cutSideSlope_ratio', shape.bedWidth_m + shape.cutSideSlope_ratio, 'the ditch would be a slit without width')
  refuseNone(
    'crestWidth_m + bermInnerSlope_ratio + bermOuterSlope_ratio',
    shape.crestWidth_m + shape.bermInnerSlope_ratio + shape.bermOuterSlope_ratio,
    'the berm would be a sheet without width',
  )
}

const SIZES = [
  'bedWidth_m',
  'depth_m',
  'cutSideSlope_ratio',
  'bermInnerSlope_ratio',
  'bermOuterSlope_ratio',
  'crestWidth_m',
  'bermPerCut_ratio',
  'freeboard_m',
] as const

function checkSize(name: string, size: number): void {
  if (!(size >= 0 && size < Infinity))
    throw new InputError('section/bad-shape', `${name} is ${size}; give a number of 0 or more.`, { name, size })
}

function checkSlope(slope: number): void {
  if (!(slope >= 0 && slope < Infinity))
    throw new InputError(
      'section/bad-slope',
      `The ground's slope across the line is ${slope}; give its fall to the berm's side as rise/run, 0 or more (if it rises to that side, the berm is on the wrong side).`,
      { groundSlope_ratio: slope },
    )
}

function checkWedge(slope: number, innerSlope: number): void {
  checkSlope(slope)
  if (slope === 0)
    throw new InputError('section/bad-slope', 'On level ground the water behind a berm has no uphill end; give a slope above 0.', {
      groundSlope_ratio: 0,
    })
  checkSize('innerSlope_ratio', innerSlope)
}
