import { type DugLine, type DugProfile, groundAsDug } from '../earthworks/index.js'
import { finish, type Steps, within } from '../foundation/index.js'
import {
  type Drainage,
  drainageSteps,
  type FlowNetwork,
  filledSurface,
  flowNetworkSteps,
  SINK,
  type WaterStudy,
} from '../hydrology/index.js'
import {
  type CellBox,
  cellAt,
  cellCentre,
  cellsAlong,
  type ElevationGrid,
  fromLattice,
  type Grid,
  type GridGeometry,
  type Point,
  placeAlong,
  stations,
  surfaceValue,
} from '../raster/index.js'

/** The ground round one or more dug lines, in fine cells, and how water runs there. */
export interface DugWindow {
  readonly ground: ElevationGrid
  readonly drained: Drainage
  readonly filled: Grid<'filled_m'>
  readonly net: FlowNetwork
  /** Fine cells to the side of a cell of the base raster. */
  readonly parts: number
  /** The cells of the base raster that it covers. */
  readonly box: CellBox
  /** For each fine cell the line, counted from 1, whose ditch is cut there; 0 for none. */
  readonly cut: Uint16Array
  /** For each fine cell the line, counted from 1, whose berm or end bank is laid there; 0 for none. */
  readonly laid: Uint16Array
}

/** A ground with everything that is dug in it. */
export interface DugGround {
  readonly study: WaterStudy
  readonly lines: readonly DugLine[]
  readonly windows: readonly DugWindow[]
  /** For each cell of the base raster the window, counted from 1, whose works lie within two cells of it; 0 for none. */
  readonly near: Uint8Array
}

/** What `dugGround` may be told besides. */
export interface DugGroundOptions {
  /** Size of the fine cells at most. Default a third of the narrowest bed or berm crest, whichever is less; at least a fifteenth of a base cell. */
  readonly cell_m?: number
}

/** Base cells round the works that a window covers. Source: judgement; more than the two cells within which a way is handed back to it. */
const MARGIN_CELLS = 4
const NEAR_CELLS = 2
/** Heights nearer than this to the old ground count as untouched: above the rounding of heights in single precision. */
const TOUCHED_m = 0.0005
/** A feature three cells wide shows on a raster. Source: judgement, as the check of the ground. */
const CELLS_ACROSS = 3
const MOST_PARTS = 15
/** Of all cells of one window: beyond it the cells are made coarser. */
const MOST_CELLS = 1_200_000

/**
 * The ground as dug, studied: fine windows round the lines, each with its own drainage, to be handed over to the base study where water leaves them.
 *
 * Shapes  lines whose windows would overlap share one; where the works of two lines overlap, the later one counts.
 * Laws    a berm is tight whatever the cells: its crest is drawn through cells joined by their sides at the crest's height, but where the sill is;
 *         and the bed is one run of cells. Nothing but the strips along the lines differs from the base.
 * No data as the base.
 * Throws  as `groundAsDug`.
 * Cost    about a second for a million fine cells; a line of 100 m on a raster of 1 m makes some 100,000.
 */
export function dugGround(study: WaterStudy, lines: readonly DugLine[], options: DugGroundOptions = {}): DugGround {
  return finish(dugGroundSteps(study, lines, options))
}

/** `dugGround` in steps. */
export function* dugGroundSteps(study: WaterStudy, lines: readonly DugLine[], options: DugGroundOptions = {}): Steps<DugGround> {
  const base = study.ground.geometry
  const near = new Uint8Array(base.width * base.height)
  const windows: DugWindow[] = []
  const groups = grouped(base, lines)
  for (const [index, { box, members }] of groups.entries()) {
    const from = index / groups.length
    const to = (index + 1) / groups.length
    const wanted_m = options.cell_m ?? Math.min(...members.map(k => acrossLeast_m(lines[k]!) / CELLS_ACROSS))
    let parts = Math.min(MOST_PARTS, Math.max(1, Math.ceil(base.cell_m / wanted_m - 1e-9)))
    while (parts > 1 && columnsOf(box) * rowsOf(box) * parts * parts > MOST_CELLS) parts--
    const inset = yield* within(from, to, studied(study, lines, members, box, parts))
    windows.push(inset)
    markNear(near, base, inset, index + 1)
  }
  return { study, lines, windows, near }
}

function* studied(study: WaterStudy, lines: readonly DugLine[], members: readonly number[], box: CellBox, parts: number): Steps<DugWindow> {
  const base = study.ground
  const geometry = windowGeometry(base.geometry, box, parts)
  const data = new Float32Array(geometry.width * geometry.height)
  for (let cell = 0; cell < data.length; cell++)
    data[cell] = surfaceValue(base, fromLattice(geometry, cell % geometry.width, Math.floor(cell / geometry.width)))
  yield 0.1
  const cut = new Uint16Array(data.length)
  const laid = new Uint16Array(data.length)
  for (const k of members) {
    dig(base, lines[k]!, k + 1, geometry, data, cut, laid)
    yield 0.4
  }
  const ground: ElevationGrid = { quantity: 'elevation_m', geometry, data }
  const drained = yield* within(0.4, 0.7, drainageSteps(ground, { keep: keptPits(study, box, geometry) }))
  const net = yield* within(0.7, 1, flowNetworkSteps(ground, drained))
  return { ground, drained, filled: filledSurface(ground, drained), net, parts, box, cut, laid }
}

/** Puts one line's works into the window's heights. */
function dig(
  base: ElevationGrid,
  dug: DugLine,
  mark: number,
  g: GridGeometry,
  data: Float32Array,
  cut: Uint16Array,
  laid: Uint16Array,
): void {
  for (const patch of groundAsDug(base, dug, { cell_m: g.cell_m }).patches) {
    const p = patch.geometry
    const left = Math.round((p.west_m - g.west_m) / g.cell_m)
    const top = Math.round((g.north_m - p.north_m) / g.cell_m)
    for (let row = Math.max(0, -top); row < p.height && row + top < g.height; row++)
      for (let column = Math.max(0, -left); column < p.width && column + left < g.width; column++) {
        const z = patch.data[row * p.width + column]!
        const at: Point = fromLattice(p, column, row)
        const change = z - surfaceValue(base, at)
        if (!(Math.abs(change) > TOUCHED_m)) continue
        mend((row + top) * g.width + column + left, z, change)
      }
  }
  drawTight()

  function mend(cell: number, z: number, change: number): void {
    data[cell] = z
    cut[cell] = change < 0 ? mark : 0
    laid[cell] = change < 0 ? 0 : mark
  }

  /** The bed, then the crest and the end banks, through cells joined by their sides. */
  function drawTight(): void {
    const { line, sill } = dug
    const along = stations(line, g.cell_m)
    const last = along[along.length - 1]!
    const bedAt = (s: (typeof along)[number]): Point => beside(dug, s, bedMiddle_m(sectionNear(dug, s.chainage_m)))
    const crestAt = (s: (typeof along)[number]): Point => beside(dug, s, crownMiddle_m(sectionNear(dug, s.chainage_m)))
    const crest_m = (chainage_m: number): number => dug.bed_m + sectionNear(dug, chainage_m).crest_z_m
    for (let k = 1; k < along.length; k++)
      for (const cell of cellsAlong(g, bedAt(along[k - 1]!), bedAt(along[k]!), { corners: false })) {
        if (data[cell]! > dug.bed_m) mend(cell, dug.bed_m, -1)
      }
    const raise = (a: Point, b: Point, height_m: number): void => {
      for (const cell of cellsAlong(g, a, b)) if (data[cell]! < height_m) mend(cell, height_m, 1)
    }
    for (let k = 1; k < along.length; k++) {
      const a = along[k - 1]!
      const b = along[k]!
      const inSill = sill !== undefined && b.chainage_m > sill.from_m && a.chainage_m < sill.to_m
      if (inSill) {
        const lip_m = Math.min(sectionNear(dug, a.chainage_m).lip_z_m, sectionNear(dug, b.chainage_m).lip_z_m)
        const level_m = dug.bed_m + sill.z_m
        // A high sill is a lower place in the berm; a low one is cut into the old ground at the lip, and no higher than that ground.
        if (sill.z_m > lip_m) raise(crestAt(a), crestAt(b), Math.min(level_m, crest_m(a.chainage_m), crest_m(b.chainage_m)))
        else {
          raise(a.at, b.at, Math.min(level_m, surfaceValue(base, a.at), surfaceValue(base, b.at)))
          // Where the berm stops beside it, its cut face joins the two.
          if (a.chainage_m <= sill.from_m) raise(a.at, crestAt(a), level_m)
          if (b.chainage_m >= sill.to_m) raise(b.at, crestAt(b), level_m)
        }
      } else raise(crestAt(a), crestAt(b), Math.min(crest_m(a.chainage_m), crest_m(b.chainage_m)))
    }
    if (sill) openSill((sill.from_m + sill.to_m) / 2, dug.bed_m + sill.z_m)
    for (const [end, sense] of [
      [along[0]!, -1],
      [last, 1],
    ] as const) {
      const section = sectionNear(dug, end.chainage_m)
      const beyond_m = sense * crownHalf_m(section)
      const moved = { ...end, at: [end.at[0] + beyond_m * end.heading[0], end.at[1] + beyond_m * end.heading[1]] as const }
      raise(crestAt(end), crestAt(moved), crest_m(end.chainage_m))
      // A cell on, so that no bank is shorter than it is drawn.
      raise(crestAt(moved), beside(dug, moved, section.uphillEdge_x_m - section.lip_x_m - g.cell_m), crest_m(end.chainage_m))
    }

    /** A way out at the sill's level however coarse the cells are, until it comes out of the ground. */
    function openSill(chainage_m: number, level_m: number): void {
      const station = { ...placeAlong(line, chainage_m), chainage_m }
      const step_m = g.cell_m / 2
      let before = bedAt(station)
      for (let offset = bedMiddle_m(sectionNear(dug, chainage_m)) + step_m; offset <= SILL_REACH_m; offset += step_m) {
        const next = beside(dug, station, offset)
        let lower = offset > crownMiddle_m(sectionNear(dug, chainage_m))
        for (const cell of cellsAlong(g, before, next, { corners: false })) {
          if (data[cell]! > level_m) {
            mend(cell, level_m, level_m < surfaceValue(base, fromLattice(g, cell % g.width, Math.floor(cell / g.width))) ? -1 : 1)
            lower = false
          } else if (data[cell] === Math.fround(level_m)) lower = false
        }
        if (lower) return
        before = next
      }
    }
  }
}

/** How far below the line the way out of a low sill comes out of the ground at the latest. Source: judgement. */
const SILL_REACH_m = 15

/** The section of the stake nearest to a place along the line. */
export function sectionNear({ stakes }: DugLine, chainage_m: number): DugProfile {
  let best = stakes[0]!
  for (const stake of stakes) if (Math.abs(stake.chainage_m - chainage_m) < Math.abs(best.chainage_m - chainage_m)) best = stake
  return best.section
}

/** A place at an offset from a station of the line, downhill positive. */
export function beside(
  { downhill }: Pick<DugLine, 'downhill'>,
  { at, heading }: { readonly at: Point; readonly heading: Point },
  offset_m: number,
): Point {
  const sense = downhill === 'left' ? 1 : -1
  return [at[0] - sense * offset_m * heading[1], at[1] + sense * offset_m * heading[0]]
}

function bedMiddle_m({ dug, lip_x_m }: DugProfile): number {
  const bed = dug.filter(([x, z]) => x <= lip_x_m && z < 1e-9)
  return bed.length > 0 ? (bed[0]![0] + bed[bed.length - 1]![0]) / 2 - lip_x_m : 0
}

const crown = ({ dug, lip_x_m, crest_z_m }: DugProfile): readonly Point[] => dug.filter(([x, z]) => x >= lip_x_m && z >= crest_z_m - 1e-9)

function crownMiddle_m(section: DugProfile): number {
  const top = crown(section)
  return top.length > 0 ? (top[0]![0] + top[top.length - 1]![0]) / 2 - section.lip_x_m : 0
}

function crownHalf_m(section: DugProfile): number {
  const top = crown(section)
  return top.length > 0 ? (top[top.length - 1]![0] - top[0]![0]) / 2 : 0
}

/** The narrowest thing of a line that should show: its bed, or half the ditch's width where the bed is pointed; its crest, or half the berm. */
function acrossLeast_m({ stakes }: DugLine): number {
  return Math.min(
    ...stakes.map(({ section }) => {
      const bed = section.dug.filter(([x, z]) => x <= section.lip_x_m && z < 1e-9)
      const bed_m = bed.length > 1 ? bed[bed.length - 1]![0] - bed[0]![0] : 0
      const ditch_m = bed_m > 0 ? bed_m : (section.lip_x_m - section.uphillEdge_x_m) / 2
      const crest_m = Math.max(2 * crownHalf_m(section), (section.outerToe_x_m - section.lip_x_m) / 2)
      return Math.min(ditch_m, crest_m)
    }),
  )
}

const columnsOf = (box: CellBox): number => box.lastColumn - box.firstColumn + 1
const rowsOf = (box: CellBox): number => box.lastRow - box.firstRow + 1

/** Lines whose boxes overlap, together. */
function grouped(base: GridGeometry, lines: readonly DugLine[]): { box: CellBox; members: number[] }[] {
  let groups = lines.map((dug, k) => ({ box: boxRound(base, dug), members: [k] }))
  for (let joined = true; joined; ) {
    joined = false
    const next: typeof groups = []
    for (const group of groups) {
      const other = next.find(({ box }) => overlap(box, group.box))
      if (!other) next.push(group)
      else {
        joined = true
        other.members.push(...group.members)
        other.box = {
          firstColumn: Math.min(other.box.firstColumn, group.box.firstColumn),
          lastColumn: Math.max(other.box.lastColumn, group.box.lastColumn),
          firstRow: Math.min(other.box.firstRow, group.box.firstRow),
          lastRow: Math.max(other.box.lastRow, group.box.lastRow),
        }
      }
    }
    groups = next
  }
  for (const group of groups) group.members.sort((a, b) => a - b)
  return groups.filter(({ box }) => columnsOf(box) > 0 && rowsOf(box) > 0)
}

const overlap = (a: CellBox, b: CellBox): boolean =>
  a.firstColumn <= b.lastColumn && b.firstColumn <= a.lastColumn && a.firstRow <= b.lastRow && b.firstRow <= a.lastRow

/** Base cells round a line, its works and the margin. */
function boxRound(base: GridGeometry, { line, stakes }: DugLine): CellBox {
  const reach_m =
    Math.max(...stakes.map(({ section: s }) => Math.max(s.lip_x_m - s.uphillEdge_x_m, s.outerToe_x_m - s.lip_x_m))) +
    MARGIN_CELLS * base.cell_m
  const xs = line.map(([x]) => x)
  const ys = line.map(([, y]) => y)
  return {
    firstColumn: Math.max(0, Math.floor((Math.min(...xs) - reach_m - base.west_m) / base.cell_m)),
    lastColumn: Math.min(base.width - 1, Math.floor((Math.max(...xs) + reach_m - base.west_m) / base.cell_m)),
    firstRow: Math.max(0, Math.floor((base.north_m - Math.max(...ys) - reach_m) / base.cell_m)),
    lastRow: Math.min(base.height - 1, Math.floor((base.north_m - Math.min(...ys) + reach_m) / base.cell_m)),
  }
}

function windowGeometry(base: GridGeometry, box: CellBox, parts: number): GridGeometry {
  return {
    width: columnsOf(box) * parts,
    height: rowsOf(box) * parts,
    cell_m: base.cell_m / parts,
    west_m: base.west_m + box.firstColumn * base.cell_m,
    north_m: base.north_m - box.firstRow * base.cell_m,
    crs: base.crs,
  }
}

/** Hollows that hold their water in the base study hold it here. */
function keptPits({ ground, drained }: WaterStudy, box: CellBox, g: GridGeometry): number[] {
  const kept = []
  for (let row = box.firstRow; row <= box.lastRow; row++)
    for (let column = box.firstColumn; column <= box.lastColumn; column++) {
      const cell = row * ground.geometry.width + column
      if (drained.direction[cell] === SINK) kept.push(cellAt(g, ...cellCentre(ground.geometry, cell)))
    }
  return kept
}

function markNear(near: Uint8Array, base: GridGeometry, { ground, cut, laid, parts, box }: DugWindow, mark: number): void {
  const { width } = ground.geometry
  const seen = new Set<number>()
  for (let cell = 0; cell < cut.length; cell++) {
    if (!cut[cell] && !laid[cell]) continue
    const column = box.firstColumn + Math.floor((cell % width) / parts)
    const row = box.firstRow + Math.floor(Math.floor(cell / width) / parts)
    if (seen.has(row * base.width + column)) continue
    seen.add(row * base.width + column)
    for (let r = Math.max(0, row - NEAR_CELLS); r <= Math.min(base.height - 1, row + NEAR_CELLS); r++)
      for (let c = Math.max(0, column - NEAR_CELLS); c <= Math.min(base.width - 1, column + NEAR_CELLS); c++)
        near[r * base.width + c] = mark
  }
}

/** The window that covers a place, with its number from 0; null outside them. */
export function windowAt({ windows }: DugGround, [x, y]: Point): { readonly inset: DugWindow; readonly index: number } | null {
  const index = windows.findIndex(({ ground }) => cellAt(ground.geometry, x, y) >= 0)
  return index < 0 ? null : { inset: windows[index]!, index }
}

/** Height of the ground as dug at a place. No data NaN as the base. */
export function dugHeight_m(dug: DugGround, place: Point): number {
  const found = windowAt(dug, place)
  const fine_m = found ? surfaceValue(found.inset.ground, place) : Number.NaN
  return Number.isNaN(fine_m) ? surfaceValue(dug.study.ground, place) : fine_m
}

/**
 * Where water let out over the berm at a chainage comes down on old ground: below the outer toe, straight across the line.
 *
 * @returns null where there is no ground.
 */
export function belowBerm(dug: DugGround, lineIndex: number, chainage_m: number): Point | null {
  const line = dug.lines[lineIndex]!
  const station = placeAlong(line.line, chainage_m)
  const section = sectionNear(line, chainage_m)
  return firstUntouched(dug, lineIndex, section.outerToe_x_m - section.lip_x_m, away => beside(line, station, away))
}

/**
 * Where water let out round an end of a line comes down on old ground: past the end bank, straight on.
 *
 * @returns null where there is no ground.
 */
export function beyondEnd(dug: DugGround, lineIndex: number, end: 'start' | 'end'): Point | null {
  const { line, stakes } = dug.lines[lineIndex]!
  const { at, heading } = placeAlong(line, end === 'start' ? 0 : Number.POSITIVE_INFINITY)
  const section = (end === 'start' ? stakes[0]! : stakes[stakes.length - 1]!).section
  const sense = end === 'start' ? -1 : 1
  return firstUntouched(dug, lineIndex, section.crest_z_m, away => [at[0] + sense * away * heading[0], at[1] + sense * away * heading[1]])
}

/** How far beyond its drawn toe a berm is looked for, m: on steeper ground it runs out further. Source: judgement. */
const FARTHER_m = 10

function firstUntouched(dug: DugGround, lineIndex: number, from_m: number, placeAt: (away_m: number) => Point): Point | null {
  const step_m = (dug.windows[0]?.ground ?? dug.study.ground).geometry.cell_m
  let free = 0
  for (let away = from_m; away <= from_m + FARTHER_m; away += step_m) {
    const place = placeAt(away)
    const found = windowAt(dug, place)
    const cell = found ? cellAt(found.inset.ground.geometry, ...place) : -1
    const touched = found !== null && (found.inset.cut[cell] === lineIndex + 1 || found.inset.laid[cell] === lineIndex + 1)
    free = touched ? 0 : free + 1
    // Two cells on: past the slope that the surface has between a berm's last cell and the first of the old ground.
    if (free > 2) return Number.isNaN(dugHeight_m(dug, place)) ? null : place
  }
  return null
}
