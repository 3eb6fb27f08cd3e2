/** Where a raster lies. Row-major, north-up, square cells, metres. */
export interface GridGeometry {
  readonly width: number
  readonly height: number
  readonly cell_m: number
  /** Outer corner of cell (0,0): the north-west corner of the raster. A cell's value stands for its centre. */
  readonly west_m: number
  readonly north_m: number
  /** `EPSG:n`, a PROJ definition, or `local` for plain metres with no place on Earth. Its unit is the metre. */
  readonly crs: string
}

/** A raster that says what it holds: the quantity carries name and unit. No data is NaN. */
export interface Grid<Q extends string = string, A extends Float32Array | Float64Array = Float32Array> {
  readonly quantity: Q
  readonly geometry: GridGeometry
  /** Row-major from the north-west; `data[row * width + column]`. */
  readonly data: A
}

/** Ground heights, in metres of the file's own datum. */
export type ElevationGrid = Grid<'elevation_m'>

/** One byte a cell, 1 where it holds. */
export interface Mask {
  readonly geometry: GridGeometry
  readonly data: Uint8Array
}

/** A place in the working CRS: [easting, northing] in metres. */
export type Point = readonly [x: number, y: number]

/** Area of a cell. */
export const cellArea_m2 = (g: GridGeometry): number => g.cell_m * g.cell_m
/** Number of cells, those without data included. */
export const cellCount = (g: GridGeometry): number => g.width * g.height

/** Centre of a cell. */
export function cellCentre(g: GridGeometry, cell: number): [number, number] {
  const column = cell % g.width
  const row = (cell - column) / g.width
  return [g.west_m + (column + 0.5) * g.cell_m, g.north_m - (row + 0.5) * g.cell_m]
}

/** The cell that holds a place, or −1 outside. West and north rims belong to the cell. */
export function cellAt(g: GridGeometry, x: number, y: number): number {
  const column = Math.floor((x - g.west_m) / g.cell_m)
  const row = Math.floor((g.north_m - y) / g.cell_m)
  return column >= 0 && column < g.width && row >= 0 && row < g.height ? row * g.width + column : -1
}

/** An elevation grid from rows of numbers, NaN for no data. For tests and small examples. */
export function elevationGrid(rows: readonly (readonly number[])[], cell_m = 1): ElevationGrid {
  const height = rows.length
  const width = rows[0]?.length ?? 0
  return {
    quantity: 'elevation_m',
    geometry: { width, height, cell_m, west_m: 0, north_m: height * cell_m, crs: 'local' },
    data: Float32Array.from(rows.flat()),
  }
}
