import { openProjection, readElevation, readStoredGeoTiff, writeGeoTiff } from '@soakline/io'
import { fromArrayBuffer } from 'geotiff'
import { describe, expect, test } from 'vitest'
import { ground } from './tiff-builder.js'

const geometry = { width: 300, height: 200, cell_m: 0.5, west_m: 500000.25, north_m: 4000000.5, crs: 'EPSG:32617' }
const cells = ground(300, 200)
cells[77] = Number.NaN

describe('written rasters', () => {
  test('law: read back, a float32 raster is the same in cells, geometry and system', async () => {
    for (const nodata of [undefined, -9999] as const) {
      const bytes = await writeGeoTiff({ geometry, data: cells }, { ...(nodata === undefined ? {} : { nodata }), unit: 'm' })
      const { grid, report } = await readElevation(bytes.buffer)
      expect(grid.geometry).toEqual(geometry)
      expect(grid.data).toEqual(cells)
      expect(report).toMatchObject({ elevationUnit: 'm', elevationUnitFrom: 'file', voidCells: 1 })
    }
  })

  test('oracle geotiff.js reads the same: size, corner, cells, nodata, code', async () => {
    const bytes = await writeGeoTiff({ geometry, data: cells }, { nodata: -9999 })
    const image = await (await fromArrayBuffer(bytes.buffer)).getImage()
    expect([image.getWidth(), image.getHeight()]).toEqual([300, 200])
    expect(image.getOrigin().slice(0, 2)).toEqual([geometry.west_m, geometry.north_m])
    expect(image.getResolution().slice(0, 2)).toEqual([0.5, -0.5])
    expect(image.getGDALNoData()).toBe(-9999)
    expect(image.getGeoKeys()?.ProjectedCSTypeGeoKey).toBe(32617)
    const read = (await image.readRasters({ interleave: true })) as unknown as Float32Array
    expect(Array.from(read)).toEqual(Array.from(cells, z => (Number.isNaN(z) ? -9999 : z)))
  })

  test('the other cell types', async () => {
    const g = { ...geometry, width: 3, height: 2 }
    for (const data of [
      Uint8Array.from([0, 1, 2, 3, 4, 255]),
      Uint16Array.from([0, 1, 360, 4, 5, 65535]),
      Float64Array.from([0.1, 1e-9, 1e12, 3, 4, 5]),
    ]) {
      const stored = await readStoredGeoTiff((await writeGeoTiff({ geometry: g, data })).buffer, { nodata: Number.NaN })
      expect(Array.from(stored.data)).toEqual(Array.from(data))
    }
    const half = await readStoredGeoTiff(
      (await writeGeoTiff({ geometry: g, data: Float64Array.from([0.1, 2, 3, 4, 5, 6]) }, { float32: true })).buffer,
    )
    expect(half.data[0]).toBe(Math.fround(0.1))
    const direction = await readStoredGeoTiff(
      (await writeGeoTiff({ geometry: g, data: Uint16Array.from([0, 90, 360, 45, 65535, 1]) }, { nodata: 65535 })).buffer,
    )
    expect(direction.data[4]).toBeNaN()
    expect(direction.data[2]).toBe(360)
  })

  test('systems without a code come back the same place; local ones have none', async () => {
    const g = { ...geometry, width: 4, height: 3 }
    for (const [code, longitude, latitude] of [
      ['EPSG:2264', -79.5, 35.5],
      ['EPSG:2994', -122, 44],
      ['+proj=laea +lat_0=52 +lon_0=10 +x_0=4321000 +y_0=3210000 +ellps=GRS80 +units=m', 9, 50],
      ['+proj=utm +zone=32 +ellps=intl +towgs84=-87,-98,-121,0,0,0,0 +units=m', 9, 50],
    ] as const) {
      const before = await openProjection(code)
      const [x, y] = before.fromLonLat(longitude, latitude)
      const bytes = await writeGeoTiff(
        { geometry: { ...g, west_m: Math.round(x), north_m: Math.round(y), crs: before.crs }, data: ground(4, 3) },
        { unit: 'm' },
      )
      const { projection, grid } = await readElevation(bytes.buffer)
      expect(grid.geometry.crs).toBe(before.crs)
      const [p, q] = [before.toLonLat(x, y), projection.toLonLat(x, y)]
      expect(p[0]).toBeCloseTo(q[0], 9)
      expect(p[1]).toBeCloseTo(q[1], 9)
    }
    const local = await writeGeoTiff({ geometry: { ...g, crs: 'local' }, data: ground(4, 3) })
    await expect(readElevation(local.buffer)).rejects.toMatchObject({ code: 'crs/unknown' })
    expect((await readElevation(local.buffer, { crs: 'local' })).grid.geometry.crs).toBe('local')
  })
})
