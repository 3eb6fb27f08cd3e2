import fc from 'fast-check'
import { catchmentOutline, dependenceOn, drainage, flowNetwork, lineCatchment, spreadFrom, studyWater } from 'soakline/hydrology'
import { cellCentre, type Point, pathLength_m, ringArea_m2 } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { arc, cone, gridOf, heading, lineAcross, roof } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 29, numRuns: 100 })

const someGround = fc.oneof(anyDice({ most: 10 }), anyTerrain({ most: 24 }))
const fraction = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true })

describe('dependence on marked cells', () => {
  test('law: what a cell gives a place is what the place gets of the cell’s water', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, (ground, from, to) => {
        const net = flowNetwork(ground, drainage(ground))
        const [a, b] = [from, to].map(where => Math.floor(where * ground.data.length)) as [number, number]
        const spread = spreadFrom(net, cellCentre(ground.geometry, a))
        const marked = new Uint8Array(ground.data.length)
        marked[b] = 1
        if (!spread) return
        const at = spread.cells.indexOf(b)
        // Shares below a millionth are not followed.
        expect(Math.abs(dependenceOn(net, marked).data[a]! - (at < 0 ? 0 : spread.share_ratio[at]!))).toBeLessThan(1e-4)
      }),
      { numRuns: 300 },
    ))

  test('law: shares lie in 0–1, are 1 on the marks, and more marks never lower one', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, (ground, one, two) => {
        const net = flowNetwork(ground, drainage(ground))
        const marked = new Uint8Array(ground.data.length)
        marked[Math.floor(one * marked.length)] = 1
        const few = dependenceOn(net, marked).data
        marked[Math.floor(two * marked.length)] = 1
        dependenceOn(net, marked).data.forEach((share, cell) => {
          expect(share).toBeGreaterThanOrEqual(few[cell]! - 1e-12)
          expect(share).toBeLessThanOrEqual(1 + 1e-12)
          if (marked[cell]) expect(share).toBe(1)
        })
      }),
    ))
})

describe('the outline of a catchment and its ridge', () => {
  const CENTRE: Point = [80.3, 79.6]

  test.each([0, 22.5, 45, 71, 180, 301])('a roof that falls towards %s°: the ring is the rectangle, its far side the ridge', azimuth => {
    const ground = gridOf(160, 160, 1, roof(azimuth, 0.1, CENTRE))
    const { net, rim } = studyWater(ground)
    const line = lineAcross(azimuth, CENTRE, 40, 60)
    const caught = lineCatchment(net, ground, line, rim)
    const { rings, ridges, highPoint, ridgeLength_m } = catchmentOutline(ground, caught, line)
    const area = rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)
    expect(Math.abs(area / (60 * 40) - 1)).toBeLessThan(0.03)
    expect(highPoint!.elevation_m).toBeGreaterThan(99.8)
    expect(Math.abs(ridgeLength_m - 60)).toBeLessThan(12)
    const [east, north] = heading(azimuth)
    for (const [x, y] of ridges.flat()) expect(Math.abs((x - CENTRE[0]) * east + (y - CENTRE[1]) * north)).toBeLessThan(4)
    expect(ridges.reduce((sum, run) => sum + pathLength_m(run), 0)).toBeCloseTo(ridgeLength_m, 9)
  })

  test('a cone: the ring narrows to the summit, which is its highest point', () => {
    const ground = gridOf(160, 160, 1, cone(0.1, CENTRE))
    const { net, rim } = studyWater(ground)
    const line = arc(31, CENTRE, 60, 70)
    const { rings } = catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)
    expect(rings).toHaveLength(1)
    expect(Math.abs(ringArea_m2(rings[0]!) / (60 * 35) - 1)).toBeLessThan(0.03)
    expect(Math.min(...rings[0]!.map(([x, y]) => Math.hypot(x - CENTRE[0], y - CENTRE[1])))).toBeLessThan(4)
  })

  test('a line that catches nothing has no outline', () => {
    const ground = gridOf(40, 40, 1, roof(0, 0.1, [20, 20]))
    const { net, rim } = studyWater(ground)
    const line: Point[] = [
      [200, 200],
      [220, 200],
    ]
    expect(catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)).toEqual({
      rings: [],
      ridges: [],
      highPoint: null,
      ridgeLength_m: 0,
    })
  })
})
