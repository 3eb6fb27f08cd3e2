import { InputError, type LengthUnit, METRES_PER, type Warning } from 'soakline/foundation'
import type { ElevationGrid, GridGeometry } from 'soakline/raster'
import { refuseCellSize } from './cell-size.js'
import { takenApart } from './compound-system.js'
import { groundScale, openProjection, type Projection, utmCode } from './crs.js'
import { resampleBilinear } from './resample.js'
import { sha256Hex } from './sha256.js'
import { DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster } from './stored-raster.js'
import { filledVoids, type Void, voidsOf } from './voids.js'

/** What was read and how it was taken, for the reader to check. */
export interface GroundReport {
  readonly format: string
  /** Width and height as stored; where the ground was made from points, of the raster that was made. */
  readonly fileCells: readonly [width: number, height: number]
  /** Measured points that the ground was made from; absent where the file is a raster. */
  readonly points?: number
  /** Side of a cell of the working grid. */
  readonly cell_m: number
  /** The working coordinate system (metres). */
  readonly crs: string
  readonly crsName: string
  /** The file's own system, or the one the user gave. */
  readonly fileCrs: string
  /** Name of what heights are counted from; null where the file does not say. */
  readonly verticalReference: string | null
  readonly voidCells: number
  /** The gaps one by one, the largest first; what was filled is no longer among them. */
  readonly voids: readonly Void[]
  readonly elevationUnit: LengthUnit
  readonly elevationUnitFrom: 'file' | 'user' | 'assumed'
  readonly minimum_m: number
  readonly maximum_m: number
  /** Step to which the stored heights are rounded, in metres; null when no round step of the file's unit, and no foot, fits. */
  readonly quantum_m: number | null
  /** SHA-256 of the working grid: little-endian float32 cells, then its geometry as text. */
  readonly sha256: string
  /** When the file says that it was written: `YYYY-MM-DD`; absent where it does not. Seldom the day of the survey. */
  readonly written?: string
  readonly warnings: readonly Warning[]
}

/** Ground ready for work. */
export interface Reading {
  readonly grid: ElevationGrid
  readonly projection: Projection
  readonly report: GroundReport
}

/** Heights beyond these are no ground on Earth; before them stands the question of what they mean. */
const LOWEST_m = -12_000
const HIGHEST_m = 100_000
/** A transverse Mercator that stretches by more than this is used beyond its zone (0.1 % at a UTM zone's rim). Judgement. */
const ZONE_STRETCH = 0.002
/** Any other projection that stretches by more than this is no system to measure slopes in. Judgement. */
const OTHER_STRETCH = 0.015

/**
 * Settles what a stored raster leaves open: coordinate system, unit of height, direction of rows, shape of cells.
 *
 * Laws     The result is in metres, north-up, with square cells, in a system whose lengths are true to 1.5 %. Heights are only touched where cells must be drawn anew.
 * Throws   InputError `crs/unknown`, `elevation-unit/unknown`, `grid/cell-size`, `grid/rotated`, `grid/all-void`, `grid/implausible-heights`, `crs/not-metric`, and others.
 */
export async function toGround(raster: StoredRaster, options: ReadOptions = {}): Promise<Reading> {
  const stored = withHeightsOfSystem(raster, options.crs)
  const warnings: Warning[] = [...stored.warnings]
  const { width, height } = stored
  if (width < 3 || height < 3) {
    // Nothing can be said about slope on fewer; still read, so that a caller may look.
    warnings.push({ code: 'grid/tiny', details: { width, height } })
  }
  const source = await sourceProjection(stored, options, warnings).catch(error => {
    throw withBounds(error, stored)
  })
  refuseCellSize(stored.affine, source.horizontalUnit_m)
  const [elevationUnit, elevationUnitFrom] = elevationUnitOf(stored, source, options, warnings)

  const { data, affine } = northUp(stored, source.horizontalUnit_m)
  const quantum = quantumOf(data)
  const metres = new Float32Array(data.length)
  const factor = METRES_PER[elevationUnit]
  for (let i = 0; i < data.length; i++) metres[i] = data[i]! * factor
  refuseImplausible(metres, options.nodata !== undefined)
  const border = flatBorder(metres, width, height)
  if (border) warnings.push(border)

  const { geometry, heights, projection } = await onSquareMetres(
    metres,
    stored,
    affine,
    source,
    options.maxCells ?? DEFAULT_MAX_CELLS,
    warnings,
  )
  canonical(heights)
  const statistics = statisticsOf(heights)
  if (statistics.count === 0) throw allVoid()
  const grid = mendedVoids({ quantity: 'elevation_m', geometry, data: heights }, options.fillVoids_m2 ?? 0, warnings)
  const { voids, count, inner } = voidsOf(grid)
  const widest = voids.find(({ touchesEdge }) => !touchesEdge)
  if (count > 0)
    warnings.push({ code: 'grid/voids', details: { cells: countVoids(grid.data), inner, largest_m2: widest?.area_m2 ?? null } })
  warnings.push(...projection.warnings)
  const quantum_m = quantum === null ? null : quantum * factor
  if (quantum_m !== null) warnings.push({ code: 'grid/quantised', details: { quantum_m } })
  if (stored.packingError !== undefined)
    warnings.push({ code: 'grid/packed-with-error', details: { error_m: Number((stored.packingError * factor).toPrecision(6)) } })
  if (stored.verticalDatum === null && !stored.ellipsoidal) warnings.push({ code: 'vertical-datum/not-stated', details: {} })
  if (stored.ellipsoidal) warnings.push({ code: 'vertical-datum/ellipsoidal', details: {} })
  const steep = steepShare(heights, geometry)
  if (steep > 0.1) warnings.push({ code: 'grid/looks-like-surface-model', details: { steepShare: Number(steep.toFixed(4)) } })

  return {
    grid,
    projection,
    report: {
      format: stored.format,
      fileCells: [width, height],
      cell_m: geometry.cell_m,
      crs: projection.crs,
      crsName: projection.name,
      fileCrs: options.crs ?? stored.crs ?? 'local',
      verticalReference: stored.verticalDatum,
      voidCells: countVoids(grid.data),
      voids,
      elevationUnit,
      elevationUnitFrom,
      minimum_m: statistics.minimum,
      maximum_m: statistics.maximum,
      quantum_m,
      sha256: await groundHash(grid.data, geometry),
      ...(stored.written === undefined ? {} : { written: stored.written }),
      warnings,
    },
  }
}

/** The grid with the gaps filled that were asked for, and what was done in a warning. */
function mendedVoids(grid: ElevationGrid, most_m2: number, warnings: Warning[]): ElevationGrid {
  if (most_m2 === 0) return grid
  const mended = filledVoids(grid, most_m2)
  if (mended.filled > 0) warnings.push({ code: 'grid/voids-filled', details: { voids: mended.filled, cells: mended.cells, most_m2 } })
  return mended.grid
}

const countVoids = (data: Float32Array): number => data.reduce((sum, z) => sum + (Number.isNaN(z) ? 1 : 0), 0)

/** A raster that says nothing of its heights has them as its system says, or as the one that was given says. */
function withHeightsOfSystem(stored: StoredRaster, given: string | undefined): StoredRaster {
  const definition = given ?? stored.crs
  const vertical = definition === null || stored.verticalUnit !== null ? null : takenApart(definition).vertical
  if (vertical === null) return stored
  const { unit, unitText, name } = vertical
  return { ...stored, verticalUnit: unit, verticalUnitText: unitText, verticalDatum: stored.verticalDatum ?? name }
}

/** SHA-256 of a grid: its little-endian float32 cells, then `width height cell west north crs`. */
export async function groundHash(data: Float32Array, g: GridGeometry): Promise<string> {
  const text = new TextEncoder().encode(`${g.width} ${g.height} ${g.cell_m} ${g.west_m} ${g.north_m} ${g.crs}`)
  const bytes = new Uint8Array(data.byteLength + text.length)
  bytes.set(new Uint8Array(data.buffer, data.byteOffset, data.byteLength))
  bytes.set(text, data.byteLength)
  return sha256Hex(bytes)
}

/** A question about the system with what helps to answer it: west, south, east, north in the file's own numbers. */
function withBounds(error: unknown, { width, height, affine: [a, b, c, d, e, f] }: StoredRaster): unknown {
  if (!(error instanceof InputError) || error.code !== 'crs/unknown') return error
  const corners = [
    [0, 0],
    [width, 0],
    [0, height],
    [width, height],
  ].map(([column, row]) => [a * column! + b * row! + c, d * column! + e * row! + f])
  const [xs, ys] = [corners.map(at => at[0]!), corners.map(at => at[1]!)]
  const bounds = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  return new InputError(error.code, error.message, { ...error.details, bounds })
}

/** The system that a raster's coordinates are in: the one the user gave, else its own. Throws InputError `crs/unknown`, `crs/not-metric`. */
export async function sourceProjection(
  stored: Pick<StoredRaster, 'affine' | 'crs' | 'crsName' | 'crsFound'>,
  options: ReadOptions,
  warnings: Warning[],
): Promise<Projection> {
  const [a, , c, , e, f] = stored.affine
  const likeDegrees = Math.abs(a) < 0.02 && Math.abs(e) < 0.02 && Math.abs(c) <= 360 && Math.abs(f) <= 90
  if (options.crs === undefined) {
    if (stored.crs !== null) {
      const own = await openProjection(stored.crs)
      return stored.crs.startsWith('+') && stored.crsName !== null ? { ...own, name: stored.crsName } : own
    }
    throw new InputError(
      'crs/unknown',
      `The raster does not say in which coordinate system it lies (found: ${stored.crsFound}), so its cells have no size and no place. Give --crs EPSG:n${likeDegrees ? ' (its coordinates look like degrees: perhaps EPSG:4326)' : ''}, or --crs local if its coordinates are plain metres.`,
      { found: stored.crsFound, looksLikeDegrees: likeDegrees },
    )
  }
  const given = await openProjection(options.crs)
  const own = stored.crs === null ? null : await openProjection(stored.crs).catch(() => null)
  if (own !== null && own.crs !== given.crs) warnings.push({ code: 'crs/overridden', details: { file: own.crs, given: given.crs } })
  if (given.kind !== 'local') return given
  if (own?.kind === 'geographic' || own?.method === 'merc' || own?.method === 'webmerc' || likeDegrees) {
    throw new InputError(
      'crs/not-metric',
      `The coordinates of this raster ${own === null ? 'look like' : 'are'} degrees or Web Mercator, not metres of the ground, so it cannot be taken as local metres. Give its system${own === null ? ', for instance --crs EPSG:4326' : ' or leave --crs out'}.`,
      {
        file: stored.crs,
      },
    )
  }
  // The file's own foot still is a foot when its place on Earth is set aside.
  return own === null ? given : { ...given, horizontalUnit_m: own.horizontalUnit_m }
}

function elevationUnitOf(
  stored: StoredRaster,
  source: Projection,
  options: ReadOptions,
  warnings: Warning[],
): [LengthUnit, 'file' | 'user' | 'assumed'] {
  if (options.elevationUnit !== undefined) {
    if (stored.verticalUnit !== null && stored.verticalUnit !== options.elevationUnit) {
      warnings.push({
        code: 'elevation-unit/overridden',
        details: { file: stored.verticalUnitText ?? stored.verticalUnit, given: options.elevationUnit },
      })
    }
    return [options.elevationUnit, 'user']
  }
  if (stored.verticalUnit === 'other') {
    throw new InputError(
      'elevation-unit/unknown',
      `The file gives the unit of its numbers as "${stored.verticalUnitText ?? 'not a length'}", so they may not be heights at all. If they are, give --elevation-unit m, ft or ftUS.`,
      { unit: stored.verticalUnitText },
    )
  }
  if (stored.verticalUnit !== null) return [stored.verticalUnit, 'file']
  if (source.horizontalUnit_m === 1) {
    warnings.push({ code: 'elevation-unit/assumed', details: { unit: 'm' } })
    return ['m', 'assumed']
  }
  throw new InputError(
    'elevation-unit/unknown',
    `The raster lies in ${source.kind === 'geographic' ? 'degrees' : 'feet'} (${source.name}) and does not say the unit of its heights. Metres taken for feet make every slope wrong by 3.28. Give --elevation-unit m, ft or ftUS.`,
    { crs: source.crs },
  )
}

interface Affine {
  readonly x0: number
  readonly y0: number
  /** Cell sides, both positive; rows go south. */
  readonly dx: number
  readonly dy: number
}

/** Rows to the south and columns to the east, in the unit of the working side (metres or degrees). */
function northUp(stored: StoredRaster, unit_m: number): { data: Float32Array | Float64Array; affine: Affine } {
  const { width, height } = stored
  const [a, b, c, d, e, f] = stored.affine
  if (a === 0 || e === 0 || Math.abs(b) * height > 0.01 * Math.abs(a) || Math.abs(d) * width > 0.01 * Math.abs(e)) {
    throw new InputError(
      'grid/rotated',
      'The rows of this raster do not run east and west: it is rotated or sheared. Flow and slopes need a north-up grid; warp it to one (bilinear) and try again.',
      { affine: [...stored.affine] },
    )
  }
  const unit = Number.isNaN(unit_m) ? 1 : unit_m
  const affine: Affine = {
    x0: (a > 0 ? c : c + a * width) * unit,
    y0: (e < 0 ? f : f + e * height) * unit,
    dx: Math.abs(a) * unit,
    dy: Math.abs(e) * unit,
  }
  if (a > 0 && e < 0) return { data: stored.data, affine }
  const data = stored.data.slice()
  for (let row = 0; row < height; row++) {
    const from = e < 0 ? row : height - 1 - row
    for (let column = 0; column < width; column++)
      data[row * width + column] = stored.data[from * width + (a > 0 ? column : width - 1 - column)]!
  }
  return { data, affine }
}

/**
 * The system to work in, for ground round a place of a given one: that one where its lengths are true enough, else the UTM zone.
 *
 * @param warnings takes `crs/stretched` where lengths are true to 1.5 % only
 */
export async function workingSystem(source: Projection, [x, y]: readonly [number, number], warnings: Warning[]): Promise<Projection> {
  if (source.kind === 'local') return source
  const [longitude, latitude] = source.toLonLat(x, y)
  const stretch = source.kind === 'geographic' ? 1 : Math.max(...groundScale(source, longitude, latitude).map(scale => Math.abs(scale - 1)))
  const zoned = ['utm', 'tmerc', 'etmerc'].includes(source.method)
  const cylinder = source.method === 'merc' || source.method === 'webmerc'
  if (source.kind === 'geographic' || cylinder || stretch > (zoned ? ZONE_STRETCH : OTHER_STRETCH))
    return openProjection(utmCode(longitude, latitude))
  if (stretch > ZONE_STRETCH)
    warnings.push({ code: 'crs/stretched', details: { crs: source.crs, stretch_ratio: Number(stretch.toFixed(5)) } })
  return source
}

async function onSquareMetres(
  heights: Float32Array,
  stored: StoredRaster,
  affine: Affine,
  source: Projection,
  maxCells: number,
  warnings: Warning[],
): Promise<{ geometry: GridGeometry; heights: Float32Array; projection: Projection }> {
  const { width, height } = stored
  const { x0, y0, dx, dy } = affine
  const snap = (value: number): number => Math.round(value * 1024) / 1024
  const target = await workingSystem(source, [x0 + (dx * width) / 2, y0 - (dy * height) / 2], warnings)
  const square = Math.abs(dx - dy) * Math.max(width, height) <= 0.01 * Math.min(dx, dy)
  if (target === source && square) {
    return {
      geometry: { width, height, cell_m: dx === dy ? dx : (dx + dy) / 2, west_m: snap(x0), north_m: snap(y0), crs: source.crs },
      heights,
      projection: source,
    }
  }

  // The new grid: its cell is the shorter ground side of an old one, on a round binary number, so that cell edges add up exactly.
  const toTarget = (column: number, row: number): readonly [number, number] => {
    const [x, y] = [x0 + column * dx, y0 - row * dy]
    return target === source ? [x, y] : target.fromLonLat(...source.toLonLat(x, y))
  }
  const across = distance(toTarget(width / 2 - 0.5, height / 2), toTarget(width / 2 + 0.5, height / 2))
  const down = distance(toTarget(width / 2, height / 2 - 0.5), toTarget(width / 2, height / 2 + 0.5))
  const shorter = Math.min(across, down)
  const grain = shorter >= 1 ? 64 : 1024
  const cell_m = Math.max(1, Math.floor(shorter * grain + 1e-6)) / grain
  const [west, east, south, north] = boundsOf(width, height, toTarget)
  const west_m = Math.floor(west / cell_m + 1e-6) * cell_m
  const north_m = Math.ceil(north / cell_m - 1e-6) * cell_m
  const newWidth = Math.max(1, Math.ceil((east - west_m) / cell_m - 1e-6))
  const newHeight = Math.max(1, Math.ceil((north_m - south) / cell_m - 1e-6))
  if (newWidth * newHeight > maxCells) {
    throw new InputError(
      'grid/too-large',
      `Drawn on square cells of ${cell_m} m the raster has ${newWidth} × ${newHeight} cells, more than ${maxCells}. Cut out the holding and the ground that drains to it.`,
      {
        width: newWidth,
        height: newHeight,
        maxCells,
      },
    )
  }
  const nowhere = [Number.NaN, Number.NaN] as const
  const drawn = resampleBilinear(heights, width, height, newWidth, newHeight, (column, row) => {
    const [x, y] = [west_m + (column + 0.5) * cell_m, north_m - (row + 0.5) * cell_m]
    try {
      const at = target === source ? ([x, y] as const) : source.fromLonLat(...target.toLonLat(x, y))
      // Degrees may be counted from 0 to 360.
      const wrapped = source.kind === 'geographic' && at[0] < x0 - dx ? at[0] + 360 : at[0]
      return [(wrapped - x0) / dx - 0.5, (y0 - at[1]) / dy - 0.5]
    } catch {
      return nowhere
    }
  })
  warnings.push(
    target === source
      ? { code: 'grid/resampled', details: { fromX_m: dx, fromY_m: dy, cell_m } }
      : { code: 'grid/reprojected', details: { from: source.crs, to: target.crs, cell_m } },
  )
  return { geometry: { width: newWidth, height: newHeight, cell_m, west_m, north_m, crs: target.crs }, heights: drawn, projection: target }
}

const distance = (p: readonly [number, number], q: readonly [number, number]): number => Math.hypot(p[0] - q[0], p[1] - q[1])

function boundsOf(
  width: number,
  height: number,
  place: (column: number, row: number) => readonly [number, number],
): [number, number, number, number] {
  const bounds: [number, number, number, number] = [
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ]
  const parts = 32
  for (let k = 0; k <= parts; k++) {
    const [u, v] = [(k / parts) * width, (k / parts) * height]
    for (const [x, y] of [place(u, 0), place(u, height), place(0, v), place(width, v)]) {
      bounds[0] = Math.min(bounds[0], x)
      bounds[1] = Math.max(bounds[1], x)
      bounds[2] = Math.min(bounds[2], y)
      bounds[3] = Math.max(bounds[3], y)
    }
  }
  return bounds
}

/** One NaN and no −0, so that equal ground has equal bytes. */
export function canonical(data: Float32Array): void {
  const bits = new Uint32Array(data.buffer, data.byteOffset, data.length)
  for (let i = 0; i < data.length; i++) {
    const z = data[i]!
    if (Number.isNaN(z)) bits[i] = 0x7fc00000
    else if (z === 0) bits[i] = 0
  }
}

/** How many values are known, and the least and the greatest of them (+∞ and −∞ where none is). */
export function statisticsOf(data: Float32Array): { count: number; minimum: number; maximum: number } {
  let [count, minimum, maximum] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let i = 0; i < data.length; i++) {
    const z = data[i]!
    if (Number.isNaN(z)) continue
    count++
    if (z < minimum) minimum = z
    if (z > maximum) maximum = z
  }
  return { count, minimum, maximum }
}

const allVoid = (): InputError =>
  new InputError(
    'grid/all-void',
    'No cell of this raster holds a height: all of it is "no data". Look whether the right part was cut out, or whether --nodata names a height.',
    {},
  )

function refuseImplausible(metres: Float32Array, asked: boolean): void {
  const { count, minimum, maximum } = statisticsOf(metres)
  if (count === 0) throw allVoid()
  if (minimum < LOWEST_m || maximum > HIGHEST_m) {
    throw new InputError(
      'grid/implausible-heights',
      `Heights run from ${minimum} to ${maximum} m, which no ground does. ${asked ? 'The value given as --nodata does not cover them' : 'Probably a value means "no data"; give it with --nodata'}, or the unit is another.`,
      { minimum_m: minimum, maximum_m: maximum },
    )
  }
}

/** Steps that heights are rounded to: round ones of the file's unit, and feet of both kinds that were made metres afterwards. Judgement. */
const STEPS = [10, 5, 2, 1, 0.5, METRES_PER.ft, METRES_PER.ftUS, 0.25, 0.2, 0.1]

/** The largest of the steps above to which all heights are rounded, in the file's unit; null when none fits. */
export function quantumOf(data: Float32Array | Float64Array): number | null {
  for (const step of STEPS) {
    let fits = true
    let seen = false
    for (let i = 0; i < data.length && fits; i++) {
      const z = data[i]!
      if (Number.isNaN(z)) continue
      seen = true
      const steps = z / step
      // float32 keeps seven digits, so the tolerance grows with the height.
      if (Math.abs(steps - Math.round(steps)) > 1e-3 + Math.abs(steps) * 1.2e-7) fits = false
    }
    if (fits && seen) return step
  }
  return null
}

/** Many border cells at exactly the lowest height: filler without a nodata value, or open water. It would drain everything, so it is said. */
function flatBorder(data: Float32Array, width: number, height: number): Warning | null {
  const { minimum } = statisticsOf(data)
  let [ring, same] = [0, 0]
  for (let row = 0; row < height; row++) {
    const step = row === 0 || row === height - 1 ? 1 : Math.max(1, width - 1)
    for (let column = 0; column < width; column += step) {
      ring++
      if (data[row * width + column] === minimum) same++
    }
  }
  return same >= 20 && same > 0.1 * ring
    ? { code: 'grid/flat-border', details: { elevation_m: minimum, share: Number((same / ring).toFixed(4)) } }
    : null
}

/** Share of the cells with four valid neighbours where the ground is steeper than 45°: walls of houses and crowns of trees. */
function steepShare(data: Float32Array, g: GridGeometry): number {
  let [cells, steep] = [0, 0]
  for (let row = 1; row < g.height - 1; row++) {
    for (let column = 1; column < g.width - 1; column++) {
      const at = row * g.width + column
      const [x, y] = [(data[at + 1]! - data[at - 1]!) / (2 * g.cell_m), (data[at + g.width]! - data[at - g.width]!) / (2 * g.cell_m)]
      const squared = x * x + y * y
      if (Number.isNaN(squared)) continue
      cells++
      if (squared > 1) steep++
    }
  }
  return cells === 0 ? 0 : steep / cells
}
