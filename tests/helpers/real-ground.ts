import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gunzipSync } from 'node:zlib'
import { fromArrayBuffer } from 'geotiff'
import type { ElevationGrid, Point } from 'soakline/raster'

/** Real rasters with results of other programs; not part of the project. */
const FOLDER = fileURLToPath(new URL('../../../shared/data/', import.meta.url))

/** What is known about a case, as far as it is compared. */
export interface RealCase {
  readonly case: string
  readonly cell_m: number
  readonly rows: number
  readonly cols: number
  readonly valid_cells: number
  readonly origin: readonly [number, number]
  readonly depressions: { readonly count: number; readonly total_volume_m3: number; readonly max_depth_m: number }
  readonly pour_points: readonly { readonly id: number; readonly x: number; readonly y: number; readonly cells: number }[]
  readonly contour: { readonly interval: number; readonly levels: Readonly<Record<string, { readonly length_m: number }>> }
  readonly line: { readonly level: number; readonly length_m: number; readonly coordinates: readonly Point[] } | null
}

/** Names of the cases that are present; none on a machine without the folder. */
export const realCases = (): string[] =>
  existsSync(FOLDER)
    ? readdirSync(FOLDER)
        .filter(name => existsSync(join(FOLDER, name, 'case.json')))
        .sort()
    : []

export const realCase = (name: string): RealCase => JSON.parse(readFileSync(join(FOLDER, name, 'case.json'), 'utf8')) as RealCase

/** Values of a raster of a case, no data as NaN. Read with geotiff.js itself, so that our own reader is not what is tested here. */
export async function realRaster(name: string, file: string): Promise<Float64Array> {
  const bytes = readFileSync(join(FOLDER, name, file))
  const tiff = await fromArrayBuffer(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer)
  const image = await tiff.getImage()
  const band = (await image.readRasters({ interleave: true })) as unknown as ArrayLike<number>
  const nodata = image.getGDALNoData()
  return Float64Array.from(band, value => (value === nodata ? Number.NaN : value))
}

/** A raster of heights of a case. */
export async function realGround(name: string, file = 'dem.tif'): Promise<ElevationGrid> {
  const { cols, rows, cell_m, origin } = realCase(name)
  return {
    quantity: 'elevation_m',
    geometry: { width: cols, height: rows, cell_m, west_m: origin[0], north_m: origin[1], crs: 'local' },
    data: Float32Array.from(await realRaster(name, file)),
  }
}

/** Contour lines of a case: vertices by level and line. */
export function realContours(name: string): Map<number, Point[][]> {
  const lines = new Map<number, Map<string, Point[]>>()
  for (const row of gunzipSync(readFileSync(join(FOLDER, name, 'contours.csv.gz')))
    .toString('utf8')
    .trim()
    .split('\n')
    .slice(1)) {
    const [elevation, line, x, y] = row.split(',') as [string, string, string, string]
    const level = lines.get(Number(elevation)) ?? new Map<string, Point[]>()
    lines.set(Number(elevation), level)
    const path = level.get(line) ?? []
    level.set(line, path)
    path.push([Number(x), Number(y)])
  }
  return new Map([...lines].map(([level, paths]) => [level, [...paths.values()]]))
}

/**
 * The hill of Maunga Whau (Mt Eden, Auckland), 10 m cells, whole metres, with a real closed crater.
 *
 * Source  npm package vega-datasets (BSD-3-Clause), data/volcano.json; digitised by Ross Ihaka. Its exports hide the file, so it is found beside them.
 */
export function volcano(): ElevationGrid {
  const file = join(dirname(createRequire(import.meta.url).resolve('vega-datasets')), '../data/volcano.json')
  const { width, height, values } = JSON.parse(readFileSync(file, 'utf8')) as { width: number; height: number; values: number[] }
  return {
    quantity: 'elevation_m',
    geometry: { width, height, cell_m: 10, west_m: 0, north_m: height * 10, crs: 'local' },
    data: Float32Array.from(values),
  }
}
