import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { fromArrayBuffer } from 'geotiff'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const fixtures = fileURLToPath(new URL('../fixtures/', import.meta.url))
const demo = join(fixtures, 'demo')

type XY = readonly [number, number]
interface Feature {
  readonly properties: { readonly id: string; readonly kind: string; readonly floor_m?: number; readonly level_m: number }
  readonly geometry: { readonly type: string; readonly coordinates: unknown }
}

const readJson = (name: string): { features: Feature[] } => JSON.parse(readFileSync(join(demo, name), 'utf8'))

/**
 * UTM zone 25 north from degrees: the way back of what the generator does, by other formulas.
 * Source: C. Karney, "Transverse Mercator with an accuracy of a few nanometers" (2011), eq. 7-9 and 35 (coefficients from memory, unchecked).
 */
function utm(lonLat_deg: XY): XY {
  const f = 1 / 298.257223563
  const n = f / (2 - f)
  const e = Math.sqrt(f * (2 - f))
  const radius_m = (6378137 / (1 + n)) * (1 + n ** 2 / 4 + n ** 4 / 64)
  const alpha = [
    n / 2 - (2 / 3) * n ** 2 + (5 / 16) * n ** 3 + (41 / 180) * n ** 4,
    (13 / 48) * n ** 2 - (3 / 5) * n ** 3 + (557 / 1440) * n ** 4,
    (61 / 240) * n ** 3 - (103 / 140) * n ** 4,
    (49561 / 161280) * n ** 4,
  ]
  const lambda = ((lonLat_deg[0] + 33) * Math.PI) / 180
  const phi = (lonLat_deg[1] * Math.PI) / 180
  const tau = Math.sinh(Math.atanh(Math.sin(phi)) - e * Math.atanh(e * Math.sin(phi)))
  const xi = Math.atan2(tau, Math.cos(lambda))
  const eta = Math.asinh(Math.sin(lambda) / Math.hypot(tau, Math.cos(lambda)))
  let north = xi
  let east = eta
  alpha.forEach((a, k) => {
    north += a * Math.sin(2 * (k + 1) * xi) * Math.cosh(2 * (k + 1) * eta)
    east += a * Math.cos(2 * (k + 1) * xi) * Math.sinh(2 * (k + 1) * eta)
  })
  return [500000 + 0.9996 * radius_m * east, 0.9996 * radius_m * north]
}

/** The ground as an independent decoder reads it, with heights between cell centres bilinear. */
async function readGround() {
  const bytes = readFileSync(join(demo, 'ground.tif'))
  const tiff = await fromArrayBuffer(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer)
  const image = await tiff.getImage()
  const z = (await image.readRasters({ interleave: true })) as Float32Array
  const width = image.getWidth()
  const [west_m, north_m] = image.getOrigin() as [number, number]
  const at = ([x, y]: XY) => {
    const u = x - west_m - 0.5
    const v = north_m - y - 0.5
    const column = Math.floor(u)
    const row = Math.floor(v)
    const a = u - column
    const b = v - row
    const cell = (r: number, c: number) => z[(row + r) * width + column + c] ?? Number.NaN
    return {
      z_m: (cell(0, 0) * (1 - a) + cell(0, 1) * a) * (1 - b) + (cell(1, 0) * (1 - a) + cell(1, 1) * a) * b,
      east: (cell(0, 1) - cell(0, 0)) * (1 - b) + (cell(1, 1) - cell(1, 0)) * b,
      north: (cell(0, 0) - cell(1, 0)) * (1 - a) + (cell(0, 1) - cell(1, 1)) * a,
    }
  }
  return { image, z, at }
}

const inside = ([x, y]: XY, ring: readonly XY[]): boolean => {
  let odd = false
  ring.forEach(([ax, ay], k) => {
    const [bx, by] = ring[(k + 1) % ring.length]!
    if (ay > y !== by > y && x < ax + ((bx - ax) * (y - ay)) / (by - ay)) odd = !odd
  })
  return odd
}

describe('the demo holding', () => {
  let ground: Awaited<ReturnType<typeof readGround>>
  const scratch = mkdtempSync(join(tmpdir(), 'soakline-demo-'))
  beforeAll(async () => {
    ground = await readGround()
  })
  afterAll(() => rmSync(scratch, { recursive: true, force: true }))

  const ringOf = (id: string): XY[] => {
    const feature = readJson('features.geojson').features.find(f => f.properties.id === id)
    return (feature!.geometry.coordinates as XY[][])[0]!.map(utm)
  }
  const lineOf = (name: string) => {
    const [feature] = readJson(`line-${name}.geojson`).features
    return { path: (feature!.geometry.coordinates as XY[]).map(utm), level_m: feature!.properties.level_m }
  }
  /** Metres walked down the line of fall (steps of 0.25 m) until the ring is entered; null if it is not within `longest_m`. */
  const fallInto = (start: XY, ring: readonly XY[], longest_m: number): number | null => {
    let [x, y] = start
    for (let walked_m = 0; walked_m <= longest_m; walked_m += 0.25) {
      if (inside([x, y], ring)) return walked_m
      const g = ground.at([x, y])
      const steepness = Math.hypot(g.east, g.north)
      if (!(steepness > 0)) throw new Error(`the ground is flat at ${x}, ${y}`)
      x -= (g.east / steepness) * 0.25
      y -= (g.north / steepness) * 0.25
    }
    return null
  }

  test('the generator makes the committed files again, byte for byte', () => {
    execFileSync(process.execPath, [join(fixtures, 'make-demo.mjs'), scratch])
    expect(readdirSync(scratch).sort()).toEqual(readdirSync(demo).sort())
    for (const name of readdirSync(demo)) {
      expect(readFileSync(join(scratch, name)).equals(readFileSync(join(demo, name))), name).toBe(true)
    }
  })

  test('the ground is made without functions that differ between engines', () => {
    for (const name of ['hillside.mjs', 'trace.mjs']) {
      const used = readFileSync(join(fixtures, 'making', name), 'utf8').matchAll(/Math\.(\w+)/g)
      const others = [...used].map(m => m[1]).filter(f => !['floor', 'round', 'min', 'max', 'sqrt', 'imul'].includes(f!))
      expect(others, name).toEqual([])
    }
  })

  test('an independent decoder reads place, unit and heights', () => {
    const { image, z } = ground
    expect([image.getWidth(), image.getHeight()]).toEqual([620, 540])
    expect(image.getOrigin().slice(0, 2)).toEqual([512000, 4040540])
    expect(image.getResolution().slice(0, 2)).toEqual([1, -1])
    expect(image.getGDALNoData()).toBe(-9999)
    expect(image.getGeoKeys()).toMatchObject({ ProjectedCSTypeGeoKey: 32625, VerticalUnitsGeoKey: 9001, GTRasterTypeGeoKey: 1 })
    expect(z.length).toBe(620 * 540)
    expect(z.every(h => h > 130 && h < 185 && Number.isInteger(h * 256))).toBe(true)
  })

  test.each(['bench', 'spur'])('the line on the %s keeps its level: within 5 mm everywhere, within 1 mm at its vertices', name => {
    const { path, level_m } = lineOf(name)
    let length_m = 0
    path.forEach((to, k) => {
      expect(Math.abs(ground.at(to).z_m - level_m)).toBeLessThan(0.001)
      const from = path[k - 1]
      if (!from) return
      length_m += Math.hypot(to[0] - from[0], to[1] - from[1])
      for (const t of [0.25, 0.5, 0.75]) {
        const between: XY = [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])]
        expect(Math.abs(ground.at(between).z_m - level_m)).toBeLessThan(0.005)
      }
    })
    expect(length_m).toBeGreaterThan(80)
    expect(length_m).toBeLessThan(160)
  })

  test('the story holds: from the west end of the bench water falls into the cabin, 40 to 70 m below', () => {
    const walked_m = fallInto(lineOf('bench').path[0]!, ringOf('cabin'), 70)
    expect(walked_m).toBeGreaterThan(40)
  })

  test('the story holds: from the east end of the spur line water falls into the wood, 20 to 80 m on', () => {
    const walked_m = fallInto(lineOf('spur').path.at(-1)!, ringOf('wood'), 80)
    expect(walked_m).toBeGreaterThan(20)
  })

  test('no part of the spur line stands above a building', () => {
    const buildings = ['cabin', 'barn', 'neighbour-house'].map(ringOf)
    for (const start of lineOf('spur').path) {
      for (const ring of buildings) expect(fallInto(start, ring, 150)).toBeNull()
    }
  })

  test('the rain table never falls with a longer duration or a rarer chance', () => {
    const [head, ...rows] = readFileSync(join(demo, 'rain.csv'), 'utf8').trim().split('\n')
    expect(head).toBe('duration_h,chance_per_year,depth_mm')
    const storms = rows.map(row => row.split(',').map(Number) as [number, number, number])
    expect(storms.length).toBe(60)
    for (const [d, p, depth] of storms) {
      for (const [d2, p2, depth2] of storms) {
        if (d2 >= d && p2 <= p && (d2 > d || p2 < p)) expect(depth2).toBeGreaterThan(depth)
      }
    }
  })
})
