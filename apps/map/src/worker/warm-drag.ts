import { seededRandom } from 'soakline/foundation'
import type { Place, PlanFeature } from 'soakline/plan'
import type { ReadGround } from './read-ground.js'
import type { Session } from './session.js'

/** Cells along a side: a first answer on them takes some hundredths of a second, the later ones a few thousandths. */
const SIDE = 96
const CELL_M = 1.01
/** So many that the engine has made its best code of nearly all of an answer. Source: tried, with twice as many nothing more was won. */
const MOVES = 60

/**
 * A line dragged over ground that nobody has, question by question as the page asks them, in a session of its own: the engine makes its best code
 * of an answer by that, and the first lines that a person drags come as fast as later ones.
 *
 * Nothing is shown of it and nothing kept. Between two steps whoever runs it lets other questions in.
 */
export async function* warmDrag(session: Pick<Session, 'openGround' | 'setSite' | 'traceLine' | 'answer'>): AsyncGenerator<void> {
  const { bounds } = await session.openGround({ name: 'invented', read: inventedGround() })
  yield
  const [west, south, east, north] = bounds
  const at = (right: number, up: number): Place => [west + right * (east - west), south + up * (north - south)]
  const ring = (right: number, up: number, size: number): Place[] => [
    at(right, up),
    at(right + size, up),
    at(right + size, up + size),
    at(right, up + size),
    at(right, up),
  ]
  const drawn = (kind: string, geometry: PlanFeature['geometry']): PlanFeature => ({ id: kind, kind, name: null, floor_m: null, geometry })
  await session.setSite({
    features: [
      drawn('building', { type: 'Polygon', coordinates: [ring(0.4, 0.1, 0.06)] }),
      drawn('forest', { type: 'Polygon', coordinates: [ring(0.7, 0.3, 0.2)] }),
      drawn('stream', { type: 'LineString', coordinates: [at(0, 0.05), at(1, 0.04)] }),
    ],
    settings: { allBuildingsDrawn: true },
    hollows: [],
  })
  yield
  const rain = [0.5, 0.04, 0.01].flatMap((chancePerYear, rarer) =>
    [1 / 12, 1, 24].map((duration_h, longer) => ({ chancePerYear, duration_h, depth_mm: [8, 30, 70][longer]! * (1 + rarer) })),
  )
  for (let move = 1; move <= MOVES; move++) {
    const through = at(0.4 + 0.2 * (move / MOVES), 0.6 - 0.2 * (move / MOVES))
    const { path } = await session.traceLine({ through, length_m: 30, fall_ratio: 0 })
    await session.answer({ revision: move, line: { path }, rain, live: true })
    yield
  }
}

/** A slope below a ridge with spurs, and hollows of some centimetres. */
function inventedGround(): ReadGround {
  const random = seededRandom(1)
  const data = Float32Array.from({ length: SIDE * SIDE }, (_, cell) => {
    const [row, column] = [Math.floor(cell / SIDE), cell % SIDE]
    const across = ((column % 32) - 16) / 16
    return 200 - 0.09 * Math.abs(row - 0.2 * SIDE) + 0.8 * across * across + 0.04 * random.uniform()
  })
  const crs = 'EPSG:32630'
  return {
    grid: {
      quantity: 'elevation_m',
      // No whole numbers: code made for whole ones is thrown away when a ground with others comes, the other way round it is not.
      geometry: { width: SIDE, height: SIDE, cell_m: CELL_M, west_m: 500_000.5, north_m: 4_000_000.5, crs },
      data,
    },
    report: {
      format: 'invented',
      fileCells: [SIDE, SIDE],
      cell_m: CELL_M,
      crs,
      crsName: crs,
      fileCrs: crs,
      verticalReference: null,
      voidCells: 0,
      voids: [],
      elevationUnit: 'm',
      elevationUnitFrom: 'file',
      minimum_m: 190,
      maximum_m: 202,
      quantum_m: null,
      sha256: '',
      warnings: [],
    },
  }
}
