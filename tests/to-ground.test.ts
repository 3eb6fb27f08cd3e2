import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import {
  fieldDrawing,
  lonLatExtent,
  readAsBuilt,
  readElevation,
  readFeatures,
  readGpx,
  readLine,
  readRainTable,
  stakesCsv,
  writeCsv,
  writeDxf,
  writeGpx,
  writeKml,
} from '@soakline/io'
import { InputError, seededRandom } from 'soakline/foundation'
import { studyWater } from 'soakline/hydrology'
import {
  asBuilt,
  assess,
  builtAgainstPlan,
  digPlan,
  ditchBuilt,
  groundWork,
  laidLine,
  plantingRows,
  plantZones,
  settingsFrom,
  siteOf,
  stakesOf,
} from 'soakline/plan'
import { gradient, lineThrough } from 'soakline/terrain'
import { beforeAll, describe, expect, test } from 'vitest'

const demo = fileURLToPath(new URL('../fixtures/demo/', import.meta.url))
const text = (name: string): string => readFileSync(`${demo}${name}`, 'utf8')

describe('the demo holding, carried to the hillside', () => {
  const read = async () => {
    const bytes = readFileSync(`${demo}ground.tif`)
    const { grid, projection, report } = await readElevation(
      bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer,
    )
    const extent = lonLatExtent(grid.geometry, projection)
    const options = extent ? { extent } : {}
    const { settings } = settingsFrom(JSON.parse(text('settings.json')))
    const { features } = readFeatures(text('features.geojson'), projection, options)
    const { path } = readLine(text('line-spur.geojson'), projection, options)
    const { rows } = readRainTable(text('rain.csv'))
    const site = siteOf(studyWater(grid), gradient(grid), features, settings, { sha256: report.sha256, warnings: [] })
    const answer = assess(site, path, settings, { rows })
    const laid = laidLine(grid, answer, settings)
    if (!laid) throw new Error('the demo’s line has no ditch')
    return { grid, projection, settings, answer, laid, path }
  }
  let at: Awaited<ReturnType<typeof read>>
  beforeAll(async () => {
    at = await read()
  })

  test('the ditch as laid out is the answer’s: bed, crest, sill and earth', () => {
    const { answer, laid } = at
    expect(laid.ditch.bed_m).toBeCloseTo(answer.line.bedElevation_m, 9)
    expect(laid.ditch.bed_m + laid.ditch.crestLevel_m).toBeCloseTo(answer.storage!.crestElevation_m, 9)
    expect(laid.sill!.level_m).toBeCloseTo(answer.spillway!.sillElevation_m, 9)
    expect(digPlan(laid).cut_m3).toBeCloseTo(answer.earth!.cut_m3, 6)
    expect(laid.path).toEqual(answer.line.path)
  })

  test('a low spot of 6 cm in the berm’s readings is found, sized and its consequence told', () => {
    const { laid, answer, settings } = at
    const stakes = stakesOf(laid, { every_m: 4 })
    const crests = stakes.filter(s => s.crest_m !== null)
    // The lowest crest is where the freeboard counts from; the readings come as a table by stake, as they are written down on site.
    const spot = crests.slice(2, -2).reduce((low, s) => (s.crest_m! < low.crest_m! ? s : low))
    const table = writeCsv(
      ['stake', 'bed_m', 'crest_m'],
      crests.map(s => [s.number, s.bed_m, s.crest_m! - (s === spot ? 0.06 : 0)]),
    )
    const built = asBuilt(laid, readAsBuilt(table, { stakes }), { water_m: answer.spillway!.water })
    expect(built.lowSpots.length).toBe(1)
    const [low] = built.lowSpots
    expect(low!.lowestAt_m).toBe(spot.chainage_m)
    expect(low!.depth_m).toBeCloseTo(0.06, 6)
    expect(low!.length_m).toBeGreaterThan(1)
    expect(low!.length_m).toBeLessThanOrEqual(8 + 1e-6)
    // A triangle along the line; across, 6 cm on more than the crest and on less than the whole berm with the face that moves outwards.
    const { section } = laid.ditch.stakes.reduce((a, b) =>
      Math.abs(b.chainage_m - spot.chainage_m) < Math.abs(a.chainage_m - spot.chainage_m) ? b : a,
    )
    expect(low!.soilSettled_m3 / low!.length_m).toBeGreaterThan(0.5 * 0.06 * section.shape.crestWidth_m)
    expect(low!.soilSettled_m3 / low!.length_m).toBeLessThan(0.5 * 0.06 * 1.3 * (section.outerToe_x_m - section.lip_x_m))
    expect(low!.freeboard_m).toBeCloseTo(spot.crest_m! - 0.06 - nearestWater(spot.chainage_m), 6)
    const ditch = ditchBuilt(laid.ditch, built.built, settings)
    expect(ditch.stakes.length).toBe(laid.ditch.stakes.length)
    expect(laid.ditch.crestLevel_m - ditch.crestLevel_m).toBeGreaterThan(0.02)
    expect(laid.ditch.crestLevel_m - ditch.crestLevel_m).toBeLessThanOrEqual(0.0601)
  })

  test('built as planned it is the planned ditch, through the table and back', () => {
    const { laid, settings } = at
    const stakes = stakesOf(laid)
    const table = writeCsv(
      ['chainage_m', 'bed_m', 'crest_m'],
      stakes.map(s => [s.chainage_m, s.bed_m, s.crest_m]),
    )
    const built = asBuilt(laid, readAsBuilt(table))
    expect(built.lowSpots).toEqual([])
    const ditch = ditchBuilt(laid.ditch, built.built, settings)
    expect(ditch.crestLevel_m).toBeCloseTo(laid.ditch.crestLevel_m, 6)
    expect(ditch.spillLevel_m).toBeCloseTo(laid.ditch.spillLevel_m, 6)
  })

  test('law: whatever line can be dug has its papers, no number in them is made up, and every stake’s reading is taken', () => {
    const { grid, settings: demoSettings } = at
    const { geometry: g } = grid
    const random = seededRandom(11)
    const [study, steep] = [studyWater(grid), gradient(grid)]
    let dug = 0
    for (let k = 0; k < 24; k++) {
      const settings = {
        ...demoSettings,
        depth_m: 0.2 + 0.6 * random.uniform(),
        bedFall_ratio: k % 3 === 0 ? 0.005 : 0,
        checkBanks: k % 2 === 0,
      }
      const through = [g.west_m + random.uniform() * g.width * g.cell_m, g.north_m - random.uniform() * g.height * g.cell_m] as const
      const length_m = 5 + 200 * random.uniform()
      const line = lineOrNull(() => lineThrough(grid, through, length_m, settings.bedFall_ratio))
      if (line === null) continue
      const answer = assess(siteOf(study, steep, [], settings, { sha256: '', warnings: [] }), line.path, settings, null, { live: true })
      const laid = laidLine(grid, answer, settings)
      if (laid === null) continue
      dug++
      const work = groundWork(laid, answer, { latitude_deg: 36, crossings: [{ chainage_m: -5, crosser: 'barrow' }] })
      expect(JSON.stringify(work, (_, v) => (typeof v === 'number' && !Number.isFinite(v) ? 'not a number' : v))).not.toContain(
        'not a number',
      )
      const crests = work.stakes.flatMap(s =>
        s.crest_m === null ? [] : [{ what: 'crest' as const, chainage_m: s.chainage_m, level_m: s.crest_m }],
      )
      if (crests.length > 0) expect(builtAgainstPlan(laid, answer, { fresh: false, readings: crests }).lowSpots).toEqual([])
    }
    expect(dug).toBeGreaterThan(10)
  })

  test('planting rows are those that the assessment gives out', () => {
    const rows = plantingRows(plantZones(at.laid))
    for (const row of rows) {
      expect(Object.keys(row)).toEqual(['zone', 'length_m', 'spacing_m', 'count'])
      expect(row.length_m).toBeGreaterThan(0)
    }
    expect(rows.find(r => r.zone === 'erosion-strip')!.count).toBeGreaterThan(at.answer.line.length_m / 0.16)
  })

  test('stakes go out as GPX, KML, DXF and CSV, and the GPX comes back within 1 mm', () => {
    const { answer, laid, projection } = at
    const stakes = stakesOf(laid)
    const drawing = fieldDrawing({ name: 'Demo', answer, stakes, zones: plantZones(laid) })
    const back = readGpx(writeGpx(drawing, projection), projection)
    expect(back.points.length).toBe(stakes.length)
    for (const [k, point] of back.points.entries()) {
      expect(Math.abs(point.at[0] - stakes[k]!.at[0])).toBeLessThan(0.001)
      expect(Math.abs(point.at[1] - stakes[k]!.at[1])).toBeLessThan(0.001)
    }
    expect(back.lines[0]!.path.length).toBe(answer.line.path.length)
    expect(writeKml(drawing, projection)).toContain('<Folder><name>planting</name>')
    expect(writeDxf(drawing)).toContain('STAKES')
    expect(stakesCsv(stakes, projection).split('\r\n').length).toBe(stakes.length + 2)
  })

  /** Beyond the raster, or on ground too flat, there is no line. */
  const lineOrNull = <T>(make: () => T): T | null => {
    try {
      return make()
    } catch (error) {
      if (error instanceof InputError) return null
      throw error
    }
  }
  const nearestWater = (chainage_m: number): number =>
    at.answer.spillway!.water.reduce((best, one) =>
      Math.abs(one.chainage_m - chainage_m) < Math.abs(best.chainage_m - chainage_m) ? one : best,
    ).level_m
})
