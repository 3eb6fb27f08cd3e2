import { featureCollection, openProjection, readFeatures, readLine, writeGeoJson } from '@soakline/io'
import type { Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { crossesAntimeridian, cutLine, cutPolygon, joinedAcross } from '../src/antimeridian.js'

// A holding on 180° (RFC 7946, section 3.1.9). UTM zone 60 south reaches it at some 820 km east, on the 17th parallel.

const sixty = await openProjection('EPSG:32760')
const [x180, y] = sixty.fromLonLat(180, -17)
const LINE: Point[] = [
  [x180 - 60, y],
  [x180 - 10, y + 5],
  [x180 + 30, y + 3],
  [x180 + 80, y],
]
const written = (shape: { type: 'line'; path: Point[] } | { type: 'polygon'; rings: Point[][] }) =>
  (featureCollection([{ shapes: [shape], properties: {} }], sixty) as { features: { geometry: { type: string; coordinates: never } }[] })
    .features[0]!.geometry
const area = (ring: readonly (readonly number[])[]): number =>
  ring
    .slice(1)
    .reduce(
      (sum, [x, z], k) => sum + (ring[k]![0]! - ring[0]![0]!) * (z! - ring[0]![1]!) - (x! - ring[0]![0]!) * (ring[k]![1]! - ring[0]![1]!),
      0,
    ) / 2

describe('a line over 180°', () => {
  test('is written in two parts that meet there, and is the same line when it comes back, within 1 mm', () => {
    const { type, coordinates } = written({ type: 'line', path: LINE })
    const parts = coordinates as number[][][]
    expect([type, parts.length]).toEqual(['MultiLineString', 2])
    expect([parts[0]!.at(-1)![0], parts[1]![0]![0]]).toEqual([180, -180])
    expect(parts[0]!.at(-1)![1]).toBe(parts[1]![0]![1])
    for (const part of parts) expect(crossesAntimeridian(part)).toBe(false)
    const { path } = readLine(writeGeoJson([{ shapes: [{ type: 'line', path: LINE }], properties: {} }], sixty), sixty)
    // With the place where it was cut, on the straight line between its neighbours.
    expect(path.length).toBe(LINE.length + 1)
    for (const at of LINE) expect(Math.min(...path.map(p => Math.hypot(p[0] - at[0], p[1] - at[1])))).toBeLessThan(0.001)
    const [a, cut, b] = path.slice(1, 4) as [Point, Point, Point]
    const off = ((b[0] - a[0]) * (cut[1] - a[1]) - (b[1] - a[1]) * (cut[0] - a[0])) / Math.hypot(b[0] - a[0], b[1] - a[1])
    expect(Math.abs(off)).toBeLessThan(0.001)
  })
  test('a place on 180° itself, twice over it, and not at all', () => {
    expect(
      cutLine([
        [179, 0],
        [180, 1],
        [-179, 2],
      ]),
    ).toEqual([
      [
        [179, 0],
        [180, 1],
      ],
      [
        [-180, 1],
        [-179, 2],
      ],
    ])
    const there = [
      [179, 0, 10],
      [-179, 2, 20],
      [179, 4, 30],
    ]
    const parts = cutLine(there)
    expect(parts.map(part => part.length)).toEqual([2, 3, 2])
    expect(parts[0]!.at(-1)).toEqual([180, 1, 15])
    expect(joinedAcross(parts)).toEqual([there[0], [180, 1, 15], there[1], [-180, 3, 25], there[2]])
    expect(
      cutLine([
        [1, 2],
        [3, 4],
      ]),
    ).toEqual([
      [
        [1, 2],
        [3, 4],
      ],
    ])
    expect(
      joinedAcross([
        [
          [1, 2],
          [3, 4],
        ],
        [
          [5, 6],
          [7, 8],
        ],
      ]),
    ).toBeNull()
  })
})

describe('an area over 180°', () => {
  const ring: Point[] = [
    [x180 - 40, y - 30],
    [x180 + 50, y - 30],
    [x180 + 50, y + 40],
    [x180 - 40, y + 40],
  ]
  const hole: Point[] = [
    [x180 + 10, y],
    [x180 + 20, y],
    [x180 + 20, y + 10],
  ]
  test('is two that are closed along it, counter-clockwise, holes with their part; together they are as large', () => {
    const { type, coordinates } = written({ type: 'polygon', rings: [ring, hole] })
    const polygons = coordinates as number[][][][]
    expect([type, polygons.map(rings => rings.length).sort()]).toEqual(['MultiPolygon', [1, 2]])
    for (const rings of polygons)
      for (const [k, one] of rings.entries()) {
        expect(one[0]).toEqual(one.at(-1))
        expect(crossesAntimeridian(one)).toBe(false)
        expect(Math.sign(area(one))).toBe(k === 0 ? 1 : -1)
        for (const [longitude] of one) expect(Math.abs(longitude!)).toBeLessThanOrEqual(180)
      }
    const { features } = readFeatures(
      writeGeoJson([{ shapes: [{ type: 'polygon', rings: [ring] }], properties: { kind: 'forest' } }], sixty),
      sixty,
    )
    const back_m2 = features[0]!.shapes.reduce(
      (sum, shape) => sum + (shape.type === 'polygon' ? Math.abs(area([...shape.rings[0]!, shape.rings[0]![0]!])) : 0),
      0,
    )
    expect(back_m2).toBeCloseTo(90 * 70, 1)
  })
  test('begun on either side it is cut alike; one that does not cross is left alone', () => {
    const square = [
      [179, 0],
      [-179, 0],
      [-179, 2],
      [179, 2],
      [179, 0],
    ]
    const turned = [...square.slice(1), square[1]!]
    for (const outline of [square, turned]) {
      const parts = cutPolygon([outline])
      expect(parts.map(([outer]) => Math.abs(area(outer!))).sort()).toEqual([2, 2])
      expect(
        parts
          .flat(2)
          .map(at => at[0])
          .sort(),
      ).toContain(-180)
    }
    const plain = [
      [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 0],
      ],
    ]
    expect(cutPolygon(plain)).toEqual([plain])
  })
})
