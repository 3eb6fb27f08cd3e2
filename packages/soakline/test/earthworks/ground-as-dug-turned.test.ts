import { crossSection, type DugLine, groundAsDug, heldOnGround } from 'soakline/earthworks'
import { type Random, seededRandom } from 'soakline/foundation'
import { type ElevationGrid, type Ground, groundWindow, type Point, surfaceValue } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { USUAL_DITCH } from '../../../../tests/helpers/ditches.js'

const SIZE = 48
const CELL = 0.125

/** A turning of the square that the ground fills, exact in its coordinates: they are all multiples of a power of two. */
interface Turning {
  readonly name: string
  readonly place: (p: Point) => Point
  readonly mirrored: boolean
}
const TURNINGS: readonly Turning[] = [
  { name: 'turned by 90°', place: ([x, y]) => [y, SIZE - x], mirrored: false },
  { name: 'turned by 180°', place: ([x, y]) => [SIZE - x, SIZE - y], mirrored: false },
  { name: 'mirrored', place: ([x, y]) => [SIZE - x, y], mirrored: true },
  { name: 'mirrored and turned', place: ([x, y]) => [y, x], mirrored: true },
]

/** Rough ground that falls to the south, with a height at each cell. */
function rough(random: Random, fall_ratio: number): (column: number, row: number) => number {
  const heights = Array.from({ length: SIZE * SIZE }, (_, cell) => 100 - fall_ratio * Math.floor(cell / SIZE) + 0.15 * random.uniform())
  return (column, row) => heights[row * SIZE + column]!
}

function gridBy(height: (column: number, row: number) => number): ElevationGrid {
  const data = new Float32Array(SIZE * SIZE)
  for (let row = 0; row < SIZE; row++) for (let column = 0; column < SIZE; column++) data[row * SIZE + column] = height(column, row)
  return { quantity: 'elevation_m', geometry: { width: SIZE, height: SIZE, cell_m: 1, west_m: 0, north_m: SIZE, crs: 'local' }, data }
}

/** The same ground after a turning. */
function turned({ geometry, data }: ElevationGrid, { place }: Turning): ElevationGrid {
  const result = new Float32Array(data.length)
  for (let cell = 0; cell < data.length; cell++) {
    const [x, y] = place([(cell % SIZE) + 0.5, SIZE - Math.floor(cell / SIZE) - 0.5])
    result[Math.floor(SIZE - y) * SIZE + Math.floor(x)] = data[cell]!
  }
  return { quantity: 'elevation_m', geometry, data: result }
}

const other = { left: 'right', right: 'left' } as const

const turnedLine = (dug: DugLine, { place, mirrored }: Turning): DugLine => ({
  ...dug,
  line: dug.line.map(place),
  downhill: mirrored ? other[dug.downhill] : dug.downhill,
})

function anyDitch(seed: number): { base: ElevationGrid; dug: DugLine } {
  const random = seededRandom(seed)
  const fall_ratio = 0.05 + 0.15 * random.uniform()
  const base = gridBy(rough(random, fall_ratio))
  const snap = (value: number): number => Math.round(value * 64) / 64
  const line = [12, 20, 28, 36].map((x): Point => [snap(x + random.uniform()), snap(24 + 3 * random.normal() * 0.3)])
  const sections = [crossSection(USUAL_DITCH, fall_ratio), crossSection({ ...USUAL_DITCH, depth_m: 0.35, crestWidth_m: 0.4 }, fall_ratio)]
  const bed_m = surfaceValue(base, line[1]!) - sections[0]!.lip_z_m
  return {
    base,
    dug: {
      line,
      downhill: 'right',
      bed_m,
      stakes: [
        { chainage_m: 0, section: sections[0]! },
        { chainage_m: 24, section: sections[1]! },
      ],
      sill: { from_m: 10, to_m: 12, z_m: sections[0]!.sill_z_m },
    },
  }
}

const window = (ground: Ground): ElevationGrid => groundWindow(ground, { west_m: 2, east_m: SIZE - 2, south_m: 2, north_m: SIZE - 2 }, CELL)

describe.each(TURNINGS)('law: the ground as dug, $name, is the turned ground dug along the turned line', turning => {
  test('the same heights at every fine cell, to the last bits of a height', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const { base, dug } = anyDitch(seed)
      const straight = groundAsDug(base, dug, { cell_m: CELL })
      const round = groundAsDug(turned(base, turning), turnedLine(dug, turning), { cell_m: CELL })
      expect(round.patches.length).toBe(straight.patches.length)
      let worst = 0
      let changed = 0
      for (const [k, { geometry: g, data }] of straight.patches.entries()) {
        const { geometry: to, data: there } = round.patches[k]!
        expect(there.length).toBe(data.length)
        for (let cell = 0; cell < data.length; cell++) {
          const from: Point = [g.west_m + ((cell % g.width) + 0.5) * CELL, g.north_m - (Math.floor(cell / g.width) + 0.5) * CELL]
          const [x, y] = turning.place(from)
          const twin = there[Math.floor((to.north_m - y) / CELL) * to.width + Math.floor((x - to.west_m) / CELL)]!
          worst = Math.max(worst, Math.abs(twin - data[cell]!))
          if (Math.abs(data[cell]! - surfaceValue(base, from)) > 0.01) changed++
        }
      }
      expect(changed).toBeGreaterThan(1000)
      // Two last bits of a float32 near 100 m.
      expect(worst).toBeLessThanOrEqual(2 * 2 ** -17)
    }
  })

  test('the same water held, at every level', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const { base, dug } = anyDitch(seed)
      const straight = window(groundAsDug(base, dug, { cell_m: CELL }))
      const round = window(groundAsDug(turned(base, turning), turnedLine(dug, turning), { cell_m: CELL }))
      // A place in the bed, 0.9 m uphill of the middle of the second piece.
      const [a, b] = [dug.line[1]!, dug.line[2]!]
      const at: Point = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + 0.9]
      for (const level of [0.1, 0.2, 0.3, 0.35]) {
        const here = heldOnGround(straight, [at], dug.bed_m + level)
        const there = heldOnGround(round, [turning.place(at)], dug.bed_m + level)
        expect(here.volume_m3).toBeGreaterThan(0)
        expect(Math.abs(there.volume_m3 / here.volume_m3 - 1)).toBeLessThan(1e-5)
        expect(there.reachesRim).toBe(here.reachesRim)
      }
    }
  })
})
