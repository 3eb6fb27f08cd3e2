import { type ElevationGrid, elevationGrid, type Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { groundLook, inTile, type Picture, shadeTile, TILE_PX } from '../src/worker/shade-tile.js'

/** Degrees as metres of a raster whose middle is at 0, 0. */
const toWorking =
  ({ geometry: g }: ElevationGrid) =>
  (longitude: number, latitude: number): Point => [
    longitude * 111_319.49 + (g.width * g.cell_m) / 2,
    latitude * 111_319.49 + (g.height * g.cell_m) / 2,
  ]
const slope = (eastward: number, northward: number): ElevationGrid =>
  elevationGrid(
    Array.from({ length: 80 }, (_, row) => Array.from({ length: 80 }, (_, column) => 100 + eastward * column - northward * row)),
  )
const lightness = ({ pixels }: Picture, x: number, y: number): number =>
  [0, 1, 2].reduce((sum, c) => sum + pixels[(y * TILE_PX + x) * 4 + c]!, 0)
const alpha = ({ pixels }: Picture, x: number, y: number): number => pixels[(y * TILE_PX + x) * 4 + 3]!
/** At zoom 17 on the equator a pixel is 1.19 m; this tile has the raster in its lower left corner. */
const tile = { z: 17, x: 2 ** 16, y: 2 ** 16 - 1 }
const near = [10, TILE_PX - 10] as const

test('a slope that faces the north-west is lighter than one that faces the south-east', () => {
  const [to, from] = [slope(0.2, -0.2), slope(-0.2, 0.2)].map(
    ground => shadeTile(ground, { low_m: 0, high_m: 200, exaggeration: 1 }, tile, toWorking(ground), false)!,
  )
  expect(lightness(to!, ...near)).toBeGreaterThan(lightness(from!, ...near) + 60)
})

test('no data is transparent, beyond the raster and in a void', () => {
  const ground = slope(0.1, 0)
  ground.data.fill(Number.NaN, 30 * 80, 39 * 80)
  const picture = shadeTile(ground, groundLook(ground), tile, toWorking(ground), false)!
  expect(alpha(picture, 250, 5)).toBe(0)
  // Rows 30 to 38 lie 1 to 10 m north of the middle.
  expect(alpha(picture, 10, TILE_PX - 5)).toBe(0)
  expect(alpha(picture, 10, TILE_PX - 20)).toBe(255)
})

test('where a tile shows no ground there is no picture', () => {
  const ground = slope(0, 0.1)
  expect(shadeTile(ground, groundLook(ground), { z: 17, x: 5, y: 5 }, toWorking(ground), false)).toBeNull()
  const refuse = (): Point => {
    throw new Error('beyond the projection')
  }
  expect(shadeTile(ground, groundLook(ground), tile, refuse, false)).toBeNull()
})

test('the same ground has nearly the same colour on both sides of the rim of two tiles', () => {
  const ground = slope(0.13, 0.07)
  const look = groundLook(ground)
  const west = shadeTile(ground, look, { ...tile, x: tile.x - 1 }, toWorking(ground), false)!
  const east = shadeTile(ground, look, tile, toWorking(ground), false)!
  for (const y of [230, 245]) expect(Math.abs(lightness(west, TILE_PX - 1, y) - lightness(east, 0, y))).toBeLessThan(4)
})

test('flat ground is exaggerated, steep ground is not', () => {
  expect(groundLook(slope(0.02, 0)).exaggeration).toBe(12)
  expect(groundLook(slope(0.1, 0)).exaggeration).toBeCloseTo(5, 1)
  expect(groundLook(slope(0.9, 0)).exaggeration).toBe(1)
})

test('the middle of the map scheme is longitude 0, latitude 0', () => {
  expect(inTile({ z: 0, x: 0, y: 0 }, 0.5, 0.5)).toEqual([0, 0])
  const [longitude, latitude] = inTile({ z: 0, x: 0, y: 0 }, 1, 0)
  expect(longitude).toBe(180)
  // The rim of Web Mercator's square: atan(sinh π) = 85.0511°.
  expect(latitude).toBeCloseTo(85.0511288, 6)
})
