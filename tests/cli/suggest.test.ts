import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openProjection, readFeatures, readLine } from '@soakline/io'
import { distanceToShape_m, type Point, stations } from 'soakline/raster'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, type Ran, soakline } from '../helpers/command-line.js'
import { demoFile } from '../helpers/open-sheet.js'

// Possible lines on the demo holding: a cabin, a pasture, wood, a stream, a boundary.

interface Line {
  readonly properties: Readonly<Record<string, unknown>> & {
    readonly rank: number
    readonly length_m: number
    readonly reasons: readonly string[]
  }
  readonly geometry: { readonly type: string; readonly coordinates: [number, number][] }
}
const ASKED = [demoFile('ground.tif'), '--features', demoFile('features.geojson'), '--rain', demoFile('rain.csv'), '--settings', demoFile('settings.json')] // biome-ignore format: one line
let ran: Ran
let lines: Line[]
beforeAll(async () => {
  ran = await soakline('suggest', ...ASKED, '--json')
  lines = (JSON.parse(ran.text('candidates.geojson')) as { features: Line[] }).features
})

describe('suggest on the demo holding', () => {
  test('lines are ranked, each with what it catches, keeps and costs, and its reasons', () => {
    expect([ran.code, ran.error.includes('internal')]).toEqual([0, false])
    expect(lines.length).toBeGreaterThan(3)
    lines.forEach((line, k) => {
      expect(line.geometry.type).toBe('LineString')
      expect(line.properties.rank).toBe(k + 1)
      for (const key of ['length_m', 'catchment_m2', 'kept_m3', 'runoff_m3', 'storage_m3', 'keptPerDay_m3', 'slope_ratio', 'elevation_m'])
        expect(line.properties[key]).toBeGreaterThan(0)
      const [low, high] = line.properties.personDays as [number, number]
      expect(low).toBeLessThan(high)
      expect(typeof line.properties.cutByEdge).toBe('boolean')
      expect(line.properties.reasons.slice(0, 2)).toEqual(['line/catches-and-keeps', 'line/spills'])
      expect(line.properties.spillAt).toEqual(line.geometry.coordinates.at(-1))
    })
  })

  test('the main JSON has the same lines, the storm, the spacing rules with their sources, and what was left out', () => {
    const main = JSON.parse(ran.text('candidates.json')) as Record<string, never> & {
      candidates: {
        rank: number
        length_m: number
        text: string[]
        spacing: { low_m: number; high_m: number; rules: { source: string }[] }
      }[]
      storm: { runoff_mm: number; rain_mm: number; assumed: boolean }
      ruledOut: { by: string; length_m: number; text: string }[]
    }
    expect(main.format).toBe('soakline-candidates/1')
    expect(main.storm.assumed).toBe(false)
    expect(main.storm.runoff_mm).toBeLessThan(main.storm.rain_mm)
    expect(main.candidates.map(c => c.length_m)).toEqual(lines.map(l => l.properties.length_m))
    for (const { spacing, text } of main.candidates) {
      expect(spacing.low_m).toBeLessThan(spacing.high_m)
      expect(spacing.rules.every(rule => rule.source.length > 10)).toBe(true)
      expect(text.length).toBeGreaterThanOrEqual(2)
    }
    expect(main.ruledOut.every((r, k) => k === 0 || r.length_m <= main.ruledOut[k - 1]!.length_m)).toBe(true)
    expect(JSON.parse(ran.out)).toEqual(main)
  })

  test('outlets come first: into the wood or a stream, past no building, on no track; what was left out is counted', () => {
    const { outlets } = JSON.parse(ran.text('candidates.json')) as {
      outlets: { places: { rank: number; into: string; nearestBuilding_m: number; slope_ratio: number }[]; leftOut: Record<string, number> }
    }
    expect(outlets.places.length).toBeGreaterThan(3)
    outlets.places.forEach((place, k) => {
      expect(place.rank).toBe(k + 1)
      expect(['forest', 'stream']).toContain(place.into)
      expect(place.nearestBuilding_m).toBeGreaterThanOrEqual(10)
      expect(place.slope_ratio).toBeLessThanOrEqual(0.1)
    })
    expect(outlets.leftOut['water-passes-building']! + outlets.leftOut['too-steep']!).toBeGreaterThan(0)
    const drawn = JSON.parse(ran.text('outlets.geojson')) as { features: { geometry: { type: string } }[] }
    expect(drawn.features.map(f => f.geometry.type)).toEqual(outlets.places.map(() => 'Point'))
  })

  test('a limit that was argued with says what it does: more or less ground', async () => {
    const settings = join(newFolder(), 'settings.json')
    writeFileSync(settings, JSON.stringify({ ...JSON.parse(readFileSync(demoFile('settings.json'), 'utf8')), setbackTrack_m: 12 }))
    const [ground, ...rest] = ASKED
    const wider = await soakline('suggest', ground!, ...rest.slice(0, -1), settings, '--language', 'es')
    const { limits } = JSON.parse(wider.text('candidates.json')) as {
      limits: { name: string; value: number; usual: number; change: { taken_m2: number; freed_m2: number } }[]
    }
    const track = limits.find(limit => limit.name === 'setbackTrack_m')!
    expect([track.value, track.usual, track.change.freed_m2]).toEqual([12, 3, 0])
    // The track's 700 m or so on both sides, as far as nothing else rules the ground out.
    expect(track.change.taken_m2).toBeGreaterThan(2000)
    expect(track.change.taken_m2).toBeLessThan(2 * 9 * 800)
    expect(wider.out).toMatch(/Frente al límite de siempre queda fuera .* más de terreno/)
  })

  test('no line comes near the cabin, lies in the wood, or leaves the holding; what assess says of the first is no worse than no-go ground', async () => {
    const utm = await openProjection('EPSG:32625')
    const { features } = readFeatures(readFileSync(demoFile('features.geojson'), 'utf8'), utm)
    for (const line of lines) {
      const path = line.geometry.coordinates.map(([lon, lat]): Point => utm.fromLonLat(lon, lat))
      for (const { at } of stations(path, 1))
        for (const feature of features)
          for (const shape of feature.shapes) {
            if (feature.kind === 'building') expect(distanceToShape_m(at, shape)).toBeGreaterThan(9)
            if (feature.kind === 'forest') expect(distanceToShape_m(at, shape)).toBeGreaterThan(0)
            if (feature.kind === 'boundary' && shape.type === 'polygon') expect(distanceToShape_m(at, shape)).toBe(0)
          }
    }
    const file = join(newFolder(), 'line.geojson')
    writeFileSync(file, JSON.stringify({ type: 'Feature', properties: {}, geometry: lines[0]!.geometry }))
    expect(readLine(JSON.stringify({ type: 'Feature', properties: {}, geometry: lines[0]!.geometry }), utm).path.length).toBeGreaterThan(2)
    const assessed = await soakline('assess', ASKED[0]!, '--line', file, ...ASKED.slice(1))
    const { findings, catchment } = JSON.parse(assessed.text('assessment.json')) as {
      findings: { check: string; verdict: string }[]
      catchment: { area_m2: number }
    }
    const verdict = (check: string) => findings.find(f => f.check === check)!.verdict
    expect(verdict('line-off-no-go')).toBe('holds')
    expect(verdict('overflow-misses-buildings')).not.toBe('fails')
    expect(catchment.area_m2 / (lines[0]!.properties.catchment_m2 as number)).toBeCloseTo(1, 2)
  })

  test('in Spanish and in feet the text changes, the numbers do not', async () => {
    const spanish = await soakline('suggest', ...ASKED, '--language', 'es', '--units', 'us')
    expect(spanish.out).toContain('Líneas posibles')
    expect(spanish.out).toContain('pies')
    const bare = (text: string): unknown =>
      (JSON.parse(text) as { features: Line[] }).features.map(({ properties: { text: _text, ...rest }, geometry }) => ({ rest, geometry }))
    expect(bare(spanish.text('candidates.geojson'))).toEqual(bare(ran.text('candidates.geojson')))
  })

  test('with nothing drawn and no rain it says what it rests on', async () => {
    const bare = await soakline('suggest', ASKED[0]!)
    const { remarks, storm } = JSON.parse(bare.text('candidates.json')) as { remarks: { code: string; text: string }[]; storm: object }
    expect(remarks.map(r => r.code)).toEqual(['candidates/storm-assumed', 'candidates/no-building-drawn', 'candidates/no-boundary-drawn'])
    expect(remarks.every(r => r.text.length > 20)).toBe(true)
    expect(storm).toEqual({ runoff_mm: 25, rain_mm: null, assumed: true })
  })

  test('bad usage is told', async () => {
    expect((await soakline('suggest')).code).toBe(2)
    expect((await soakline('suggest', ASKED[0]!, '--forest-classes', '41')).code).toBe(2)
    expect((await soakline('suggest', ASKED[0]!, '--at', '1,2')).code).toBe(2)
    expect((await soakline('suggest', ASKED[0]!, '--land-cover', 'absent.tif', '--forest-classes', '1')).code).toBe(3)
  })
})
