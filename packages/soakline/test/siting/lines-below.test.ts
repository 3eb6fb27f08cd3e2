import { pathLength_m, surfaceValue } from 'soakline/raster'
import { linesBelow, usualDrop_m, verticalIntervals } from 'soakline/siting'
import { lineThrough } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { gridOf, plane } from '../../../../tests/helpers/surfaces.js'

// Copies of a line down the slope, on a plane of known fall.

test('copies lie the asked height under one another, level and as long', () => {
  const slope = gridOf(160, 160, 1, plane(180, 0.1, [80, 80]))
  const line = lineThrough(slope, [80, 120], 40).path
  const copies = linesBelow(slope, line, 3, 1.5)
  expect(copies).toHaveLength(3)
  let above = surfaceValue(slope, line[0]!)
  for (const { path } of copies) {
    const heights = path.map(at => surfaceValue(slope, at))
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(1e-6)
    expect(above - heights[0]!).toBeCloseTo(1.5, 3)
    expect(pathLength_m(path)).toBeCloseTo(40, 0)
    above = heights[0]!
  }
})

test('where the slope ends fewer copies come, and none below the edge', () => {
  const slope = gridOf(160, 160, 1, plane(180, 0.1, [80, 80]))
  const line = lineThrough(slope, [80, 20], 40).path
  expect(linesBelow(slope, line, 9, 1.5).length).toBeLessThan(9)
  expect(linesBelow(slope, line, 2, 50)).toEqual([])
})

test('without a wish the drop is the middle of what the published rules say of the slope', () => {
  const slope = gridOf(160, 160, 1, plane(180, 0.1, [80, 80]))
  const { low_m, high_m } = verticalIntervals(0.1)
  expect(usualDrop_m(slope, lineThrough(slope, [80, 120], 40).path)).toBeCloseTo(((low_m + high_m) / 2) * 0.1, 2)
})
