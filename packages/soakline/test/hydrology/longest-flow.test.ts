import fc from 'fast-check'
import {
  contributingAreaSingle,
  drainage,
  flowLengths,
  giversOf,
  type LongestFlow,
  longestFlowToCell,
  longestFlowToLine,
  VOID,
} from 'soakline/hydrology'
import {
  cellCentre,
  crossesXY,
  distanceToSegment,
  type ElevationGrid,
  elevationGrid,
  neighbourOffsets,
  type Point,
  pathLength_m,
} from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { gridOf, lineAcross, plane, SYMMETRIES, TIE_FREE, turned, turning } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 26, numRuns: cases(100) })

const someGround = fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 25 }))
const fraction = evenly(0, 0.999999)

/** The longest way to each cell by walking down from every cell. */
function byWalking(ground: ElevationGrid): number[] {
  const { direction } = drainage(ground)
  const offsets = neighbourOffsets(ground.geometry.width)
  const longest = [...direction].map(code => (code === VOID ? Number.NaN : 0))
  for (let start = 0; start < direction.length; start++) {
    let length = 0
    for (let cell = start; direction[cell]! < 8; ) {
      length += ground.geometry.cell_m * (direction[cell]! % 2 === 0 ? 1 : Math.SQRT2)
      cell += offsets[direction[cell]!]!
      longest[cell] = Math.max(longest[cell]!, length)
    }
  }
  return longest
}

const sizeOf = (ground: ElevationGrid): [number, number] => [
  ground.geometry.width * ground.geometry.cell_m,
  ground.geometry.height * ground.geometry.cell_m,
]

describe('to each cell', () => {
  test('oracle: as found by walking down from every cell', () =>
    fc.assert(
      fc.property(someGround, ground => {
        const slow = byWalking(ground)
        for (const [cell, length] of flowLengths(drainage(ground)).data.entries()) {
          if (Number.isNaN(slow[cell]!)) expect(length).toBeNaN()
          else expect(length).toBeCloseTo(slow[cell]!, 9)
        }
      }),
    ))

  test('the way to one cell has that length, follows the directions, and ends there', () =>
    fc.assert(
      fc.property(someGround, fraction, (ground, where) => {
        const drained = drainage(ground)
        const cell = Math.floor(where * ground.data.length)
        const found = longestFlowToCell(drained, cell)
        expect(found === null).toBe(drained.direction[cell] === VOID)
        if (!found) return
        expect(found.length_m).toBe(flowLengths(drained).data[cell])
        expect(pathLength_m(found.path)).toBeCloseTo(found.length_m, 9)
        expect(found.path[0]).toEqual(cellCentre(ground.geometry, found.from))
        expect(found.path[found.path.length - 1]).toEqual(cellCentre(ground.geometry, cell))
        // Nothing drains into the cell from which the longest way comes.
        expect(contributingAreaSingle(drained).data[found.from]).toBe(1)
      }),
    ))

  test('P10: on ground without ties a turned or mirrored raster gives the same lengths, bit for bit', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, most: 30 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
        const plain = flowLengths(drainage(ground)).data
        const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
        expect([...flowLengths(drainage(turned(ground, symmetry))).data]).toEqual([...from].map(old => plain[old]))
      }),
    ))

  test('worked by hand: cells of 2 m, two straight steps and one slanting', () => {
    const ground = elevationGrid(
      [
        [9, 9, 9, 9, 9],
        [9, 8, 7, 9, 9],
        [9, 9, 9, 5, 4],
        [9, 9, 9, 9, 9],
      ],
      2,
    )
    const found = longestFlowToCell(drainage(ground), 2 * 5 + 4)!
    // From a cell of the border: one more step.
    expect(found.length_m).toBeCloseTo(2 * (1 + 1 + Math.SQRT2 + Math.SQRT2), 12)
    expect(found.path).toHaveLength(5)
  })

  test('there is none outside the raster', () => {
    const drained = drainage(elevationGrid([[3, 2, 1]]))
    expect([longestFlowToCell(drained, -1), longestFlowToCell(drained, 3)]).toEqual([null, null])
  })
})

test('who gives to a cell: those whose direction leads there', () =>
  fc.assert(
    fc.property(someGround, ground => {
      const drained = drainage(ground)
      const offsets = neighbourOffsets(ground.geometry.width)
      const slow = drained.direction.map((_, cell) =>
        offsets.reduce((bits, offset, k) => (drained.direction[cell + offset] === (k + 4) % 8 ? bits | (1 << k) : bits), 0),
      )
      expect(giversOf(drained)).toEqual(slow)
    }),
  ))

describe('to a line', () => {
  test('on a plane: from the raster’s upper edge straight to the line', () => {
    const ground = gridOf(40, 60, 1, plane(180, 0.1, [20, 30]))
    const found = longestFlowToLine(drainage(ground), lineAcross(180, [20, 30], 10.25, 12))!
    // The uppermost centres lie at 59.5, the line at 19.75.
    expect(found.length_m).toBeCloseTo(59.5 - 19.75, 9)
    expect(found.path[found.path.length - 1]![1]).toBeCloseTo(19.75, 9)
    expect(pathLength_m(found.path)).toBeCloseTo(found.length_m, 9)
  })

  test('oracle: the longest of all ways followed down from every cell to their first crossing', () =>
    fc.assert(
      fc.property(someGround, fc.array(fc.tuple(fraction, fraction), { minLength: 2, maxLength: 4 }), (ground, places) => {
        const drained = drainage(ground)
        const [w, h] = sizeOf(ground)
        const line = places.map(([x, y]): Point => [x * w, y * h])
        const { cell_m, width } = ground.geometry
        const offsets = neighbourOffsets(width)
        let longest = -1
        for (let start = 0; start < ground.data.length; start++) {
          let length = 0
          for (let cell = start; drained.direction[cell]! < 8; ) {
            const code = drained.direction[cell]!
            const next = cell + offsets[code]!
            const [a, b] = [cellCentre(ground.geometry, cell), cellCentre(ground.geometry, next)]
            const step = cell_m * (code % 2 === 0 ? 1 : Math.SQRT2)
            const along = line.slice(1).flatMap((to, k) => {
              const from = line[k]!
              if (!crossesXY(a[0], a[1], b[0], b[1], from[0], from[1], to[0], to[1])) return []
              const side = (p: Point): number => (to[0] - from[0]) * (p[1] - from[1]) - (to[1] - from[1]) * (p[0] - from[0])
              return [side(a) / (side(a) - side(b))]
            })
            if (along.length > 0) {
              longest = Math.max(longest, length + step * Math.min(...along))
              break
            }
            length += step
            cell = next
          }
        }
        const found: LongestFlow | null = longestFlowToLine(drained, line)
        if (longest < 0) expect(found).toBeNull()
        else {
          expect(found!.length_m).toBeCloseTo(longest, 6)
          expect(pathLength_m(found!.path)).toBeCloseTo(found!.length_m, 6)
          const end = found!.path[found!.path.length - 1]!
          expect(Math.min(...line.slice(1).map((to, k) => distanceToSegment(end, line[k]!, to).distance_m))).toBeLessThan(1e-9)
        }
      }),
      { numRuns: cases(300) },
    ))

  test('a line on ground that drains away from it, or off the raster, has none', () => {
    const ground = gridOf(20, 20, 1, plane(180, 0.1, [10, 10]))
    const drained = drainage(ground)
    expect(
      longestFlowToLine(drained, [
        [3, 19.8],
        [8, 19.8],
      ]),
    ).toBeNull()
    expect(
      longestFlowToLine(drained, [
        [-9, 3],
        [-4, 8],
      ]),
    ).toBeNull()
  })
})

test('of ways that are equally long the one that comes from the first cell counts, to a cell and to a line', () => {
  // Water gathers from both ends of a gutter into the middle, and leaves there to the south.
  const ground = elevationGrid([
    [9, 9, 9, 9, 9, 9, 9],
    [8, 7, 6, 5, 6, 7, 8],
    [9, 9, 9, 4, 9, 9, 9],
    [9, 9, 9, 3, 9, 9, 9],
  ])
  const drained = drainage(ground)
  const toCell = longestFlowToCell(drained, 24)!
  const toLine = longestFlowToLine(drained, [
    [2, 1],
    [5, 1],
  ])!
  const isLongest = (from: number): boolean => from < 7 || from % 7 === 0
  expect(isLongest(toCell.from)).toBe(true)
  expect(toCell.from % 7).toBeLessThan(3)
  expect(toLine.from % 7).toBeLessThan(3)
})

test('a line that crosses a step twice ends the way at the first crossing', () => {
  const ground = elevationGrid([[9], [5], [1]], 2)
  const zigzag: Point[] = [
    [0, 3.5],
    [2, 3.5],
    [2, 4.5],
    [0, 4.5],
  ]
  // Water runs south from the first centre at 5 to the next at 3.
  for (const line of [zigzag, [...zigzag].reverse()]) {
    const found = longestFlowToLine(drainage(ground), line)!
    expect(found.length_m).toBeCloseTo(0.5, 12)
    expect(found.path).toEqual([
      [1, 5],
      [1, 4.5],
    ])
  }
})
