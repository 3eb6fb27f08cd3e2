import { InputError } from '../foundation/index.js'
import {
  contributingArea,
  contributingAreaSingle,
  edgeReach,
  inflowRim,
  lineCatchment,
  VOID,
  type WaterStudy,
  wetnessIndex,
} from '../hydrology/index.js'
import { cellsNear, type Grid, type GridGeometry, polygonsOf } from '../raster/index.js'
import type { NoGoGround } from '../siting/index.js'
import { aspect, curvature, planCurvature, profileCurvature } from '../terrain/index.js'
import type { Assessment } from './assessment.js'
import { spillInUse } from './spill-place.js'

/** Rasters of the ground and its water. */
export const GROUND_GRIDS = [
  'ground',
  'filled',
  'hollow-depth',
  'flow-direction',
  'contributing-area',
  'contributing-area-single',
  'gradient',
  'aspect',
  'profile-curvature',
  'plan-curvature',
  'wetness',
  'edge',
  'no-go',
] as const
/** Rasters of the answer about a line. */
export const LINE_GRIDS = ['catchment-share', 'overflow-band'] as const
/** Names of the rasters that can be saved. */
export const GRID_NAMES = [...GROUND_GRIDS, ...LINE_GRIDS] as const
/** One of `GRID_NAMES`. */
export type GridName = (typeof GRID_NAMES)[number]

/** What the grids are read off. */
export interface GridSource {
  readonly study: WaterStudy
  readonly gradient: Grid<'gradient_ratio'>
  /** Asked only for `no-go`. */
  readonly noGo: () => NoGoGround
  /** Null without a line: then there are no grids of one. */
  readonly answer: Pick<Assessment, 'line' | 'spillway' | 'spills'> | null
}

/** A raster to be written, with the value that means "no data"; null where every cell has one. */
export interface NamedGrid {
  readonly geometry: GridGeometry
  readonly data: Float32Array | Float64Array | Uint16Array | Uint8Array
  readonly nodata: number | null
  /** `m` for heights and depths, so that the file reads back as such; '' for all else, whose unit `gridNamed` says. */
  readonly unit: 'm' | ''
}

/** Means "no data" in files of heights and areas. Common practice. */
const NODATA = -9999

/**
 * One raster by its name, on the working grid.
 *
 * Units    heights and depths in metres of the file's own datum, areas in m², gradient rise over run, curvature 1/m, aspect and flow directions in degrees
 *          clockwise from grid north (flow: north 360, none 0, no data 65535); `edge` and `overflow-band` 1 where it holds; `no-go` the sum of 2^k
 *          over the reasons k of `NO_GO_REASONS`; `catchment-share` the part of a cell's water that the line catches.
 * Throws   InputError `grid/no-line` for a grid of a line without one.
 */
export function gridNamed(name: GridName, { study, gradient, noGo, answer }: GridSource): NamedGrid {
  const { geometry } = study.ground
  const grid = (data: NamedGrid['data'], unit: NamedGrid['unit'], nodata: number | null = NODATA): NamedGrid => ({
    geometry,
    data,
    nodata,
    unit,
  })
  const ofLine = (): NonNullable<GridSource['answer']> => {
    if (answer) return answer
    throw new InputError('grid/no-line', `The raster "${name}" is about a line, and there is none yet. Draw or bring one.`, { name })
  }
  switch (name) {
    case 'ground':
      return grid(study.surveyed.data, 'm')
    case 'filled':
      return grid(study.filled.data, 'm')
    case 'hollow-depth':
      return grid(
        study.brimful.data.map((full, cell) => full - study.ground.data[cell]!),
        'm',
      )
    case 'flow-direction':
      return grid(degrees(study.drained.direction), '', NO_DIRECTION)
    case 'contributing-area':
      return grid(contributingArea(study.net).data, '')
    case 'contributing-area-single':
      return grid(contributingAreaSingle(study.drained).data, '')
    case 'gradient':
      return grid(gradient.data, '')
    case 'aspect':
      return grid(aspect(study.surveyed).data, '')
    case 'profile-curvature':
      return grid(curvature(study.surveyed, profileCurvature).data, '')
    case 'plan-curvature':
      return grid(curvature(study.surveyed, planCurvature).data, '')
    case 'wetness':
      return grid(wetnessIndex(contributingArea(study.net), gradient).data, '')
    case 'edge':
      return grid(edgeReach(study.net, inflowRim(study.ground, study.drained, Number.POSITIVE_INFINITY)).data, '', null)
    case 'no-go':
      // Twenty bits at most: whole numbers that float32 holds exactly.
      return grid(
        Float32Array.from(noGo().reasons, (word, cell) => (Number.isNaN(study.ground.data[cell]!) ? Number.NaN : word)),
        '',
      )
    case 'catchment-share':
      return grid(lineCatchment(study.net, study.ground, ofLine().line.path, study.rim).share.data, '', null)
    case 'overflow-band':
      return grid(bandMask(geometry, ofLine()), '', null)
  }
}

/** Means "no data" in files of directions. */
const NO_DIRECTION = 65535

/** Degrees clockwise from grid north, north 360; 0 where water leaves or stays. */
const degrees = (direction: Uint8Array): Uint16Array =>
  Uint16Array.from(direction, code => (code === VOID ? NO_DIRECTION : code > 7 ? 0 : code === 0 ? 360 : 45 * code))

/** Cells whose middle lies in the band of the chosen spill. */
function bandMask(geometry: GridGeometry, answer: Pick<Assessment, 'spillway' | 'spills'>): Uint8Array {
  const mask = new Uint8Array(geometry.width * geometry.height)
  const band = spillInUse(answer)?.band ?? []
  for (const shape of polygonsOf(band)) for (const cell of cellsNear(geometry, shape, 0, { touching: false })) mask[cell] = 1
  return mask
}
