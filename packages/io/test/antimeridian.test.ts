import { featureCollection, lonLatExtent, openProjection, readFeatures, readLine } from '@soakline/io'
import type { GridGeometry, Point } from 'soakline/raster'
import { beforeAll, expect, test } from 'vitest'
import { continuous, cutLine, cutPolygon } from '../src/antimeridian.js'
import type { Projection } from '../src/crs.js'
import { refusal } from './refusal.js'

// Fiji lies on it, as do the Aleutians and Chukotka: a line across it must not run round the globe.

let utm60: Projection
beforeAll(async () => {
  utm60 = await openProjection('EPSG:32760')
})
/** Metres east of the meridian at 17° south. */
const at = (east: number, north = 0): Point => {
  const [x, y] = utm60.fromLonLat(180, -17)
  return [x + east, y + north]
}
const geometries = (collection: Record<string, unknown>): { type: string; coordinates: number[][][] }[] =>
  (collection.features as { geometry: { type: string; coordinates: number[][][] } }[]).map(f => f.geometry)

test('failure 53: a line across the antimeridian is cut there on its way out, and comes back as the same places and the same length', () => {
  const path: Point[] = [at(-2000), at(-500, 100), at(1500, 300)]
  const [line] = geometries(featureCollection([{ shapes: [{ type: 'line', path }], heights_m: [10, 20, 30], properties: {} }], utm60))
  expect(line!.type).toBe('MultiLineString')
  const [west, east] = line!.coordinates as [number[][], number[][]]
  for (const [longitude] of west) expect(longitude).toBeGreaterThan(179)
  for (const [longitude] of east) expect(longitude).toBeLessThan(-179)
  expect([west.at(-1)![0], east[0]![0]]).toEqual([180, -180])
  expect(west.at(-1)!.slice(1)).toEqual(east[0]!.slice(1))
  // Height at the cut: a quarter of the way from 20 to 30 m.
  expect(east[0]![2]).toBeCloseTo(22.5, 1)
  const there = [...west, ...east.slice(1)].map(([longitude, latitude]) => utm60.fromLonLat(longitude!, latitude!))
  expect(there[0]![0]).toBeCloseTo(path[0]![0], 3)
  expect(there.at(-1)![0]).toBeCloseTo(path[2]![0], 3)
  const length = (points: readonly (readonly number[])[]): number =>
    points.slice(1).reduce((sum, p, k) => sum + Math.hypot(p[0]! - points[k]![0]!, p[1]! - points[k]![1]!), 0)
  expect(length(there)).toBeCloseTo(length(path), 1)
  // As the line of a plan it is one again: a MultiLineString that was cut, not several lines.
  const back = readLine(JSON.stringify(featureCollection([{ shapes: [{ type: 'line', path }], properties: {} }], utm60)), utm60).path
  expect(back.length).toBe(path.length + 1)
  for (const [x, y] of path) expect(Math.min(...back.map(p => Math.hypot(p[0] - x, p[1] - y)))).toBeLessThan(0.001)
})

test('an area with a hole is cut into two with the same area, rings closed', () => {
  const square = (east: number, side: number): Point[] =>
    [
      [east, -side / 2],
      [east + side, -side / 2],
      [east + side, side / 2],
      [east, side / 2],
    ].map(([x, y]) => at(x!, y!))
  const rings = [square(-1000, 3000), square(-400, 600).reverse()]
  const [area] = geometries(featureCollection([{ shapes: [{ type: 'polygon', rings }], properties: {} }], utm60))
  expect(area!.type).toBe('MultiPolygon')
  const parts = area!.coordinates as unknown as number[][][][]
  expect(parts.length).toBe(2)
  const sum = (ring: readonly (readonly number[])[]): number => {
    const points = ring.map(([longitude, latitude]) => utm60.fromLonLat(longitude!, latitude!))
    return points.slice(1).reduce((total, p, k) => total + (points[k]![0] * p[1] - p[0] * points[k]![1]) / 2, 0)
  }
  let total = 0
  for (const part of parts)
    for (const ring of part) {
      expect(ring[0]).toEqual(ring.at(-1))
      expect(new Set(ring.map(([longitude]) => Math.sign(longitude!))).size).toBe(1)
      total += sum(ring)
    }
  expect(total / (3000 * 3000 - 600 * 600)).toBeCloseTo(1, 3)
  const { features } = readFeatures(
    JSON.stringify({ type: 'Feature', properties: { kind: 'wet' }, geometry: { type: 'MultiPolygon', coordinates: parts } }),
    utm60,
  )
  expect(features[0]!.shapes.length).toBe(2)
})

test('what does not cross stays as it is; from either side of the map the cut is the same', () => {
  const plain = [
    [10, 45],
    [-10, 45],
  ]
  expect(cutLine(plain)).toEqual([plain])
  expect(cutPolygon([plain])).toEqual([[plain]])
  expect(continuous([[179], [-179], [-178], [179]])).toEqual([[179], [181], [182], [179]])
  expect(
    cutLine([
      [-179, 0],
      [179, 2],
    ]),
  ).toEqual([
    [
      [-179, 0],
      [-180, 1],
    ],
    [
      [180, 1],
      [179, 2],
    ],
  ])
  const ring = [
    [-179, 0],
    [179, 0],
    [179, 2],
    [-179, 2],
    [-179, 0],
  ]
  const [west, east] = cutPolygon([ring]) as [number[][][], number[][][]]
  expect([west, east].flat(2).every(([longitude]) => Math.abs(longitude!) >= 179 && Math.abs(longitude!) <= 180)).toBe(true)
})

test('a raster across it is a small one: its extent runs on past 180, swapped places on it are noticed', async () => {
  const [west_m, north_m] = at(-500, 500)
  const grid: GridGeometry = { width: 200, height: 200, cell_m: 5, west_m, north_m, crs: utm60.crs }
  const extent = lonLatExtent(grid, utm60)!
  expect(extent[2] - extent[0]).toBeLessThan(0.02)
  expect(extent[0]).toBeGreaterThan(179.9)
  expect(extent[2]).toBeGreaterThan(180)
  const line = (places: number[][]): string => JSON.stringify({ type: 'LineString', coordinates: places })
  const { path, warnings } = readLine(
    line([
      [179.998, -17],
      [-179.998, -17],
    ]),
    utm60,
    { extent },
  )
  expect(warnings).toEqual([])
  expect(Math.hypot(path[1]![0] - path[0]![0], path[1]![1] - path[0]![1])).toBeCloseTo(
    0.004 * 111_319.49 * Math.cos((17 * Math.PI) / 180) * 1.0013,
    -1,
  )
  expect(
    (
      await refusal(() =>
        readLine(
          line([
            [-17, 179.998],
            [-17, -179.998],
          ]),
          utm60,
          { extent },
        ),
      )
    ).code,
  ).toBe('vector/not-lonlat')
  expect(
    readLine(
      line(
        [
          [10, -17],
          [11, -17],
        ].map(([x]) => [x! + 168, -17.5]),
      ),
      utm60,
      { extent },
    ).warnings.map(w => w.code),
  ).toEqual(['vector/outside-raster'])
})
