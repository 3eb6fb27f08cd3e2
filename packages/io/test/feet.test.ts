import { openProjection, readElevation, readSurveyPoints, readVectorFile } from '@soakline/io'
import * as fc from 'fast-check'
import { type LengthUnit, METRES_PER } from 'soakline/foundation'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 1 })

// The same ground written in metres, in feet and in US survey feet is the same ground: what is read differs by no more than the last digits of a double.

const UNITS = ['m', 'ft', 'ftUS'] as const satisfies readonly LengthUnit[]
const bytes = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer as ArrayBuffer
const near = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-12 * Math.max(1, Math.abs(a), Math.abs(b))

describe('feet', () => {
  test('law: survey points in any unit, by their header or by a word', () =>
    fc.assert(
      fc.property(fc.array(fc.tuple(evenly(0, 900), evenly(0, 900), evenly(-50, 3000)), { minLength: 8, maxLength: 20 }), points => {
        const [first, ...others] = UNITS.map(unit => {
          const rows = points.map(([x, y, z], k) =>
            [x + k * 1000, y + (k % 3) * 1000, z].map(value => String(value / METRES_PER[unit])).join(','),
          )
          const read = readSurveyPoints(`x_${unit},y_${unit},z_${unit}\n${rows.join('\n')}\n`)
          return read.points.flatMap(({ at, elevation_m }) => [...at, elevation_m])
        })
        for (const other of others) {
          expect(other.length).toBe(first!.length)
          expect(other.every((value, k) => near(value, first![k]!))).toBe(true)
        }
      }),
      { numRuns: 50 },
    ))

  test('rasters: cell, corner and heights; the heights are kept in 32 bits, of which the last may differ', async () => {
    const heights = Array.from({ length: 30 }, (_, k) => 100 + Math.sin(k) * 20)
    const read = (unit: LengthUnit) => {
      const text = `ncols 6\nnrows 5\nxllcorner 0\nyllcorner 0\ncellsize 2\n${heights.map(value => value / METRES_PER[unit]).join(' ')}\n`
      return readElevation(bytes(text), { crs: 'local', elevationUnit: unit })
    }
    const [first, ...others] = await Promise.all(UNITS.map(read))
    for (const { grid } of others) {
      expect(grid.geometry).toEqual(first!.grid.geometry)
      for (const [k, value] of grid.data.entries()) expect(Math.abs(value - first!.grid.data[k]!)).toBeLessThanOrEqual(2 ** -17)
    }
  })

  test('tables of things at points, on ground without a place on Earth', async () => {
    const places = [
      [12.5, 80.25],
      [1234.5678, 9876.54321],
    ]
    const [first, ...others] = await Promise.all(
      UNITS.map(async unit => {
        const rows = places.map(at => `${at.map(value => value / METRES_PER[unit]).join(',')},well`)
        const { geojson } = await readVectorFile(bytes(`easting_${unit},northing_${unit},kind\n${rows.join('\n')}\n`), { local: true })
        return (JSON.parse(geojson) as { features: { geometry: { coordinates: number[] } }[] }).features.flatMap(
          f => f.geometry.coordinates,
        )
      }),
    )
    for (const other of others) expect(other.every((value, k) => near(value, first![k]!))).toBe(true)
  })

  // North Carolina in metres (32119) and in US survey feet (2264), Michigan South in metres (26990) and in feet (2253): pairs of the EPSG dataset.
  test.each([
    [32119, 2264, METRES_PER.ftUS, -80.3, 35.4],
    [26990, 2253, METRES_PER.ft, -84.5, 42.7],
  ])('EPSG:%d and EPSG:%d put a place at the same metres', async (metres, feet, unit, longitude, latitude) => {
    const [a, b] = await Promise.all([openProjection(`EPSG:${metres}`), openProjection(`EPSG:${feet}`)])
    expect([a.horizontalUnit_m, b.horizontalUnit_m]).toEqual([1, unit])
    const [p, q] = [a.fromLonLat(longitude, latitude), b.fromLonLat(longitude, latitude)]
    // The dataset rounds the false origin of one of the two to a centimetre: 609,601.22 m for 2,000,000 US survey feet.
    expect(Math.hypot(p[0] - q[0], p[1] - q[1])).toBeLessThan(1e-3)
    const back = b.toLonLat(...q)
    expect(near(back[0], longitude) && near(back[1], latitude)).toBe(true)
  })
})
