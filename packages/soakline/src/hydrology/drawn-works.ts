import { InputError } from '../foundation/index.js'
import { cellArea_m2, cellAt, cellsAlong, type ElevationGrid, type Point } from '../raster/index.js'

/** A pipe or bridge under ground that the raster shows whole, drawn from end to end. */
export interface Culvert {
  readonly path: readonly Point[]
  /** Height of the pipe's floor at the first and the last vertex; the ground there where not given. */
  readonly firstInvert_m?: number
  readonly lastInvert_m?: number
}

/** Something that holds water back and that the raster does not show. */
export interface Wall {
  readonly path: readonly Point[]
  /** Over the ground that it stands on. */
  readonly height_m: number
}

/** What one drawn work did to the ground. */
export interface DrawnChange {
  readonly kind: 'culvert' | 'wall'
  /** Index among the culverts, or among the walls. */
  readonly index: number
  /** Cells with data on its line, each once, in the order along it (a culvert's from its upper end). */
  readonly cells: readonly number[]
  /** Those of them that this work changed; where two works meet, the one that changes the cell further. */
  readonly changed: readonly number[]
  /** Earth taken away (culvert) or wall put up, by this work alone. */
  readonly volume_m3: number
}

/** A ground with what is drawn on it. */
export interface DrawnGround {
  /** The very same where nothing changed. */
  readonly ground: ElevationGrid
  readonly changes: readonly DrawnChange[]
  /** Cells that carry a wall and no culvert, rising. */
  readonly walled: readonly number[]
}

/**
 * Puts culverts and walls into a ground.
 *
 * A wall raises every cell that its line crosses; the cells hang together by their sides, so that no water passes at a corner. Where walls cross,
 * the higher counts. A culvert then lowers the cells that its line passes through to a floor that falls evenly, cell by cell, from its upper end to its lower one;
 * ground that lies lower stays (the pipe would hang in the air there, and water may stand). It passes under walls; where culverts cross, the lower
 * counts. Heights of the ground at its ends are those before any wall.
 *
 * No data cells without data stay so, and are left out of the counts.
 * Laws    the order of drawing does not matter, nor from which end a line is drawn; only cells on the lines change; without ends of its own a
 *         culvert never digs below the lower of the ground at its two ends.
 * Throws  InputError `culvert/too-short`, `culvert/end-without-ground`, `culvert/invert`, `wall/too-short`, `wall/height`.
 */
export function withDrawnWorks(
  ground: ElevationGrid,
  { culverts = [], walls = [] }: { readonly culverts?: readonly Culvert[]; readonly walls?: readonly Wall[] },
): DrawnGround {
  if (culverts.length === 0 && walls.length === 0) return { ground, changes: [], walled: [] }
  const { geometry, data: z } = ground
  const area = cellArea_m2(geometry)
  const raised = z.slice()
  const built = walls.map((wall, index) => {
    checkWall(wall, index)
    const cells = [...new Set(cellsOf(wall.path, true))].filter(cell => !Number.isNaN(z[cell]!))
    for (const cell of cells) raised[cell] = Math.max(raised[cell]!, z[cell]! + wall.height_m)
    return { index, cells, top: (cell: number) => Math.fround(z[cell]! + wall.height_m) }
  })
  const data = raised.slice()
  const laid = culverts.map((culvert, index) => {
    const floors = culvertFloor(ground, culvert, index)
    for (const [cell, floor] of floors) data[cell] = Math.min(data[cell]!, floor)
    return { index, floors }
  })
  const changes: DrawnChange[] = [
    ...laid.map(({ index, floors }): DrawnChange => {
      const changed = [...floors].filter(([cell, floor]) => floor < raised[cell]! && data[cell] === floor)
      return {
        kind: 'culvert',
        index,
        cells: [...floors.keys()],
        changed: changed.map(([cell]) => cell),
        volume_m3: changed.reduce((sum, [cell]) => sum + (raised[cell]! - data[cell]!), 0) * area,
      }
    }),
    ...built.map(({ index, cells, top }): DrawnChange => {
      const changed = cells.filter(cell => raised[cell] === top(cell) && data[cell] === raised[cell] && raised[cell]! > z[cell]!)
      return {
        kind: 'wall',
        index,
        cells,
        changed,
        volume_m3: changed.reduce((sum, cell) => sum + (raised[cell]! - z[cell]!), 0) * area,
      }
    }),
  ]
  const walled = [...new Set(built.flatMap(({ cells }) => cells))].filter(cell => data[cell] === raised[cell]).sort((a, b) => a - b)
  const same = data.every((height, cell) => height === z[cell] || Number.isNaN(height))
  return { ground: same ? ground : { ...ground, data }, changes, walled }

  function cellsOf(path: readonly Point[], corners: boolean): number[] {
    return path.slice(1).flatMap((b, k) => cellsAlong(geometry, path[k]!, b, { corners }))
  }

  function culvertFloor(at: ElevationGrid, { path, firstInvert_m, lastInvert_m }: Culvert, index: number): Map<number, number> {
    const first = path[0]
    const last = path[path.length - 1]
    if (path.length < 2 || !first || !last)
      throw new InputError('culvert/too-short', `Culvert ${index + 1} has no length; draw it from its upper end to its lower one.`, {
        index,
      })
    const ends = [first, last].map(([x, y]) => cellAt(at.geometry, x, y))
    if (ends.some(end => end < 0 || Number.isNaN(z[end]!)))
      throw new InputError(
        'culvert/end-without-ground',
        `An end of culvert ${index + 1} lies off the raster or where it has no data, so its height is not known; move the end onto known ground.`,
        { index },
      )
    const start_m = firstInvert_m ?? z[ends[0]!]!
    const end_m = lastInvert_m ?? z[ends[1]!]!
    if (!Number.isFinite(start_m) || !Number.isFinite(end_m))
      throw new InputError(
        'culvert/invert',
        `The floor of culvert ${index + 1} is not a number; give a height in metres or leave it out.`,
        {
          index,
        },
      )
    const along = [...new Set([ends[0]!, ...cellsOf(path, false).filter(cell => cell !== ends[1]), ends[1]!])]
    const cells = (start_m >= end_m ? along : along.reverse()).filter(cell => !Number.isNaN(z[cell]!))
    const upper_m = Math.max(start_m, end_m)
    const lower_m = Math.min(start_m, end_m)
    // As the raster holds heights: a floor a rounding below the ground changes nothing there.
    return new Map(cells.map((cell, k) => [cell, Math.fround(upper_m - (upper_m - lower_m) * (k / Math.max(1, cells.length - 1)))]))
  }
}

function checkWall({ path, height_m }: Wall, index: number): void {
  if (path.length < 2) throw new InputError('wall/too-short', `Wall ${index + 1} has no length; draw it as a line.`, { index })
  if (!(height_m > 0 && height_m < Number.POSITIVE_INFINITY))
    throw new InputError('wall/height', `Wall ${index + 1} is ${height_m} m high; give a height above 0 in metres.`, { index, height_m })
}
