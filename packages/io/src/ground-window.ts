import { InputError } from 'soakline/foundation'
import type { Projection } from './crs.js'
import type { StoredRaster } from './stored-raster.js'
import type { CellWindow } from './tiff-pixels.js'

/** West, south, east, north. */
export type Box = readonly [west: number, south: number, east: number, north: number]

/** The part of a raster that is read. */
export interface GroundWindow {
  readonly box: Box
  /** `lonlat`: degrees of WGS 84; `own`: the raster's own coordinates, as its file writes them. */
  readonly in: 'lonlat' | 'own'
}

/** Cells taken beyond the box on each side, so that the ground reaches its rim when it is drawn on other cells. */
const MARGIN = 2
/** Places along each side of the box that are looked up: its sides are curved in another system. Judgement. */
const PARTS = 32

/**
 * The whole cells that a window touches, with a margin of two.
 *
 * Throws  InputError `window/bad-box`, `window/outside`, and those of `Projection`.
 *
 * @param projection the raster's own system; only asked for a box in degrees
 */
export function cellsOf(
  { box, in: system }: GroundWindow,
  raster: Pick<StoredRaster, 'width' | 'height' | 'affine'>,
  projection: Projection | null,
): CellWindow {
  refuseBadBox(box, system)
  const unit = projection === null || Number.isNaN(projection.horizontalUnit_m) ? 1 : projection.horizontalUnit_m
  const [a, b, c, d, e, f] = raster.affine
  const determinant = a * e - b * d
  let [left, right, top, bottom] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const place of along(box)) {
    const found = system === 'own' || projection === null ? place : inOwn(projection, place, unit, raster)
    if (found === null) continue
    const [x, y] = found
    const column = (e * (x - c) - b * (y - f)) / determinant
    const row = (a * (y - f) - d * (x - c)) / determinant
    left = Math.min(left, column)
    right = Math.max(right, column)
    top = Math.min(top, row)
    bottom = Math.max(bottom, row)
  }
  const [west, east] = [Math.max(0, Math.floor(left) - MARGIN), Math.min(raster.width, Math.ceil(right) + MARGIN)]
  const [north, south] = [Math.max(0, Math.floor(top) - MARGIN), Math.min(raster.height, Math.ceil(bottom) + MARGIN)]
  // The margin alone is no ground of the place.
  if (!(right > 0 && left < raster.width && bottom > 0 && top < raster.height && west < east && north < south)) {
    const its = boxOf(raster, projection)
    throw new InputError(
      'window/outside',
      `The part that is asked for lies outside of the raster${its === null ? '' : ` (which lies at ${its.map(value => value.toFixed(4)).join(', ')}: west, south, east, north)`}. Choose a part inside it.`,
      { ...(its === null ? {} : { west: its[0], south: its[1], east: its[2], north: its[3] }) },
    )
  }
  return { column: west, row: north, width: east - west, height: south - north }
}

/** Degrees in the raster's own unit; where it counts longitudes from 0 to 360, so are these. Null where its projection does not reach. */
function inOwn(
  projection: Projection,
  [longitude, latitude]: readonly [number, number],
  unit: number,
  { affine, width }: Pick<StoredRaster, 'width' | 'affine'>,
): readonly [number, number] | null {
  let place: readonly [number, number]
  try {
    place = projection.fromLonLat(longitude, latitude)
  } catch (error) {
    if (error instanceof InputError && error.code === 'crs/outside-domain') return null
    throw error
  }
  const [x, y] = place
  if (projection.kind === 'geographic' && affine[2] + affine[0] * width > 180 && x < affine[2]) return [x + 360, y]
  return [x / unit, y / unit]
}

/** Places along the sides of a box. */
function* along([west, south, east, north]: Box): Generator<readonly [number, number]> {
  for (let k = 0; k <= PARTS; k++) {
    const [x, y] = [west + ((east - west) * k) / PARTS, south + ((north - south) * k) / PARTS]
    yield [x, south]
    yield [x, north]
    yield [west, y]
    yield [east, y]
  }
}

/** Throws InputError `window/bad-box`. */
export function refuseBadBox(box: Box, system: GroundWindow['in']): void {
  const [west, south, east, north] = box
  const onEarth = system === 'own' || (west >= -180 && east <= 360 && south >= -90 && north <= 90)
  if (box.length === 4 && box.every(Number.isFinite) && west < east && south < north && onEarth) return
  throw new InputError(
    'window/bad-box',
    `A part of the ground is four numbers: west, south, east, north, with west before east and south before north${system === 'lonlat' ? ', in degrees' : ''}. Given was ${box.map(String).join(', ').slice(0, 120)}.`,
    {},
  )
}

/** Where a raster lies in degrees; null where that cannot be said. */
export function boxOf(
  { width, height, affine }: Pick<StoredRaster, 'width' | 'height' | 'affine'>,
  projection: Projection | null,
): Box | null {
  if (projection === null || projection.kind === 'local') return null
  const [a, b, c, d, e, f] = affine
  const unit = Number.isNaN(projection.horizontalUnit_m) ? 1 : projection.horizontalUnit_m
  const bounds: [number, number, number, number] = [360, 90, -180, -90]
  try {
    for (const [column, row] of along([0, 0, width, height])) {
      const [longitude, latitude] = projection.toLonLat((a * column + b * row + c) * unit, (d * column + e * row + f) * unit)
      bounds[0] = Math.min(bounds[0], longitude)
      bounds[1] = Math.min(bounds[1], latitude)
      bounds[2] = Math.max(bounds[2], longitude)
      bounds[3] = Math.max(bounds[3], latitude)
    }
  } catch {
    // Some of it lies where its projection does not reach.
    return null
  }
  return bounds.every(Number.isFinite) ? bounds : null
}

/** The same raster without the cells beyond a window: for formats that are read whole. Throws as `cellsOf`. */
export function cutOut(stored: StoredRaster, window: GroundWindow, projection: Projection | null): StoredRaster {
  const cells = cellsOf(window, stored, projection)
  const { column, row, width, height } = cells
  const data = stored.data instanceof Float32Array ? new Float32Array(width * height) : new Float64Array(width * height)
  for (let r = 0; r < height; r++) {
    const from = (row + r) * stored.width + column
    data.set(stored.data.subarray(from, from + width), r * width)
  }
  return {
    ...stored,
    width,
    height,
    data,
    affine: movedTo(stored.affine, cells),
    warnings: [...stored.warnings, cutWarning(stored, cells)],
  }
}

/** The affine of a raster whose first cell is another one. */
export const movedTo = ([a, b, c, d, e, f]: StoredRaster['affine'], { column, row }: CellWindow): StoredRaster['affine'] => [
  a,
  b,
  c + a * column + b * row,
  d,
  e,
  f + d * column + e * row,
]

/** Says that a part was read, and of what. */
export const cutWarning = (whole: { readonly width: number; readonly height: number }, { width, height }: CellWindow) =>
  ({ code: 'ground/cut-out', details: { width, height, ofWidth: whole.width, ofHeight: whole.height } }) as const

/** Metres of a degree of latitude, near enough for the size of an area. Source: 10,000 km from pole to equator. */
const DEGREE_m = 1e7 / 90

/** A square on the ground about a place, as a box in degrees. Throws InputError `window/bad-box` at the poles. */
export function boxRound([longitude, latitude]: readonly [number, number], side_m: number): Box {
  const north = side_m / 2 / DEGREE_m
  const east = north / Math.cos((latitude * Math.PI) / 180)
  const box: Box = [longitude - east, latitude - north, longitude + east, latitude + north]
  refuseBadBox(box, 'lonlat')
  return box
}
