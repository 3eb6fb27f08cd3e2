import { seededRandom } from 'soakline/foundation'
import { contributingArea, flowNetwork, LEAVES, lineCatchment, studyWater } from 'soakline/hydrology'
import { elevationGrid, type Point } from 'soakline/raster'
import { expect, test } from 'vitest'

// A trough that falls to the south, with noise from cell to cell that makes hollows everywhere: whatever falls north of a line across the whole of it
// has to pass the line, through hollows and over their passes.

function trough(seed: number, width: number, height: number, noise_m: number) {
  const random = seededRandom(seed)
  return elevationGrid(
    Array.from({ length: height }, (_, row) =>
      Array.from({ length: width }, (_, column) => 100 - 0.04 * row + 0.01 * (column - width / 2) ** 2 + noise_m * random.normal()),
    ),
    1,
  )
}

test('law: a line across a whole rough trough catches all that falls above it; water of hollows is not lost between pass and landing', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const [width, height] = [41, 60]
    const study = studyWater(trough(seed, width, height, 0.15))
    const row = 40
    const line: Point[] = [
      [0, height - row],
      [width, height - row],
    ]
    const { area_m2 } = lineCatchment(study.net, study.ground, line, study.rim)
    // But for what leaves over the rims above the line; what runs back up over it from below is a few cells.
    const gathered = contributingArea(study.net).data
    let leaves_m2 = 0
    for (let cell = 0; cell < row * width; cell++) if (study.net.facet[cell] === LEAVES) leaves_m2 += gathered[cell]!
    const expected_m2 = width * row - leaves_m2
    expect(area_m2, `seed ${seed}`).toBeGreaterThan(0.985 * expected_m2)
    expect(area_m2, `seed ${seed}`).toBeLessThan(1.06 * expected_m2)
  }
})

test('the cells that overflow passes before it comes down are known, each with its basin', () => {
  const study = studyWater(trough(3, 41, 60, 0.15))
  const { overflowing, jump, drainage } = study.net
  expect(overflowing.size).toBeGreaterThan(10)
  for (const [cell, basins] of overflowing)
    for (const b of basins) {
      expect(study.ground.data[cell]).toBe(drainage.basins.pass_m[b])
      expect(jump[b]).not.toBe(cell)
    }
  expect(flowNetwork(study.ground, drainage).overflowing).toEqual(overflowing)
})
