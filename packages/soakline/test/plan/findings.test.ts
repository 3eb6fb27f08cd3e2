import type { Finding, Warning } from 'soakline/foundation'
import { type RainTable, studyWater } from 'soakline/hydrology'
import {
  type Assessment,
  assess,
  assessFully,
  groundFit,
  refuseScreeningOnly,
  type Settings,
  screeningOnly,
  settingsFrom,
  siteOf,
} from 'soakline/plan'
import type { ElevationGrid, Point } from 'soakline/raster'
import type { FeatureKind, SiteFeature } from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, lineAcross, plane, roof, type Surface } from '../../../../tests/helpers/surfaces.js'
import { cabin } from '../siting/dug-scenes.js'

// Each condition under which an answer must be refused or taken back a step has its scene here: the finding that says so, and the same scene without the condition.

const SIZE = 140
const CENTRE: Point = [70.3, 30.6]
/** A roof of 10 % whose ridge runs east to west; the line lies 50 m south of it, so its overflow runs south. */
const RIDGE: Surface = roof(180, 0.1, [CENTRE[0], 100.6])
const LINE = lineAcross(180, [CENTRE[0], 100.6], 50, 30)
const RAIN: RainTable = {
  rows: [0.5, 0.04, 0.01].flatMap((chancePerYear, k) =>
    [
      [1 / 12, 8],
      [1 / 4, 15],
      [1, 28],
      [24, 70],
    ].map(([duration_h, depth_mm]) => ({ duration_h: duration_h!, chancePerYear, depth_mm: depth_mm! * (1 + 0.7 * k) })),
  ),
}

interface Scene {
  readonly surface?: Surface
  readonly ground?: ElevationGrid
  readonly line?: readonly Point[]
  readonly features?: readonly SiteFeature[]
  readonly settings?: Partial<Settings>
  readonly rain?: RainTable | null
  readonly warnings?: readonly Warning[]
}

function siteAndSettings({ surface = RIDGE, ground = gridOf(SIZE, SIZE, 1, surface), features = [], settings = {}, warnings = [] }: Scene) {
  const all = settingsFrom({ allBuildingsDrawn: true, elevationError_m: 0.05, triedTerrains: 6, ...settings }).settings
  return { site: siteOf(studyWater(ground), gradient(ground), features, all, { sha256: '', warnings }), settings: all }
}
function quick(scene: Scene = {}): Assessment {
  const { site, settings } = siteAndSettings(scene)
  return assess(site, scene.line ?? LINE, settings, scene.rain === undefined ? RAIN : scene.rain)
}
function whole(scene: Scene = {}): Assessment {
  const { site, settings } = siteAndSettings(scene)
  return assessFully(site, scene.line ?? LINE, settings, scene.rain === undefined ? RAIN : scene.rain)
}
const found = (a: Assessment, check: Finding['check']) => {
  const { verdict, because } = a.findings.find(f => f.check === check)!
  return [verdict, because]
}
const drawn = (kind: FeatureKind, path: readonly Point[], id: string = kind): SiteFeature => ({
  id,
  kind,
  name: null,
  floor_m: null,
  shapes: [{ type: 'line', path }],
})
const around = (kind: FeatureKind, west: number, south: number, east: number, north: number): SiteFeature => ({
  ...drawn(kind, []),
  shapes: [{ type: 'polygon', rings: [[[west, south], [east, south], [east, north], [west, north]]] }], // biome-ignore format: one ring
})
/** Across the whole ground, south of the line. */
const across = (kind: FeatureKind, y: number): SiteFeature => drawn(kind, [[0.5, y], [SIZE - 0.5, y]]) // biome-ignore format: one line
const STREAM = across('stream', 8)

describe('a catchment that the edge or a void cuts: nothing is sized on it', () => {
  test('failure 64: a plane has no ridge on the raster', () => {
    const a = quick({ surface: plane(180, 0.1, CENTRE) })
    expect(found(a, 'catchment-complete')).toEqual(['unknown', 'catchment/cut-by-edge'])
    expect(found(a, 'storage-holds-storm')).toEqual(['unknown', 'storage/catchment-cut'])
    expect(found(a, 'spill-carries-peak')).toEqual(['unknown', 'spill/catchment-cut'])
    expect(found(quick(), 'catchment-complete')[0]).toBe('holds')
    // The water comes from the north: there more ground is wanted.
    expect(a.catchment.cutSides).toEqual([0])
    expect(quick().catchment.cutSides).toEqual([])
  })

  test('a gap in the heights above the line does the same', () => {
    const ground = gridOf(SIZE, SIZE, 1, RIDGE)
    const data = ground.data.slice()
    for (let row = 54; row < 58; row++) for (let column = 66; column < 76; column++) data[row * SIZE + column] = Number.NaN
    expect(found(quick({ ground: { ...ground, data } }), 'catchment-complete')).toEqual(['unknown', 'catchment/cut-by-edge'])
    expect(quick({ ground: { ...ground, data } }).catchment.cutSides).toEqual(['gap'])
  })
})

describe('ground that does not fit the ditch', () => {
  const { settings } = siteAndSettings({})
  const fit = (cell_m: number, about: Parameters<typeof groundFit>[2] = {}, given: Partial<Settings> = {}) => {
    const { verdict, because } = groundFit(cell_m, { ...settings, ...given }, about)
    return [verdict, because]
  }
  test('a cell over a third of the bed asks to watch, over five beds it fails', () => {
    expect(fit(0.33)).toEqual(['holds', 'ground/fine-enough'])
    expect(fit(0.34)).toEqual(['watch', 'ground/coarse'])
    expect(fit(5)).toEqual(['watch', 'ground/coarse'])
    expect(fit(5.01)).toEqual(['fails', 'ground/too-coarse'])
  })
  test('a raster that looks like a surface model, or whose steps are a quarter of the berm', () => {
    const quantised = (quantum_m: number): Warning[] => [{ code: 'grid/quantised', details: { quantum_m } }]
    expect(fit(0.3, { warnings: [{ code: 'grid/looks-like-surface-model', details: {} }] })).toEqual(['watch', 'ground/surface-model'])
    expect(fit(0.3, { warnings: quantised(0.1), berm_m: 0.4 })).toEqual(['watch', 'ground/steps-too-large'])
    expect(fit(0.3, { warnings: quantised(0.09), berm_m: 0.4 })).toEqual(['holds', 'ground/fine-enough'])
    // Packed with an error of half as much, heights come in the same steps.
    const packed = (error_m: number): Warning[] => [...quantised(0.01), { code: 'grid/packed-with-error', details: { error_m } }]
    expect(fit(0.3, { warnings: packed(0.05), berm_m: 0.4 })).toEqual(['watch', 'ground/steps-too-large'])
    expect(fit(0.3, { warnings: packed(0.04), berm_m: 0.4 })).toEqual(['holds', 'ground/fine-enough'])
  })
  test('an error over the slope of more than half the closest spacing of lines', () => {
    // At 10 % the closest published spacing is 1.4 m high (14 m apart): half of it is 0.7 m of height, 7 m on the ground.
    expect(fit(0.3, { slope_ratio: 0.1 }, { elevationError_m: 0.06 })[0]).toBe('holds')
    expect(fit(0.3, { slope_ratio: 0.1 }, { elevationError_m: 0.8 })).toEqual(['watch', 'ground/slope-too-gentle'])
    expect(fit(0.3, {}, { elevationError_m: null })).toEqual(['unknown', 'ground/error-unknown'])
  })
})

describe('ground that is good for a first look alone: nothing is staked out from it', () => {
  const reason = (scene: Scene) => screeningOnly(quick(scene))
  test('failure 74: cells over a third of the works, from the cut’s uphill edge to the berm’s outer toe', () => {
    const { section } = quick()
    expect((section!.outerToe_x_m - section!.uphillEdge_x_m) / 3).toBeGreaterThan(1)
    expect(reason({})).toBeNull()
    const small = { bedWidth_m: 0.3, depth_m: 0.2, crestWidth_m: 0.2 }
    expect(reason({ settings: small })).toBe('too-coarse')
    expect(() => refuseScreeningOnly(quick({ settings: small }))).toThrowError(/first look alone/)
    expect(() => refuseScreeningOnly(quick())).not.toThrow()
  })
  test('failure 70: a surface model, and heights in steps of a quarter of the berm', () => {
    expect(reason({ warnings: [{ code: 'grid/looks-like-surface-model', details: {} }] })).toBe('surface-model')
    expect(reason({ warnings: [{ code: 'grid/quantised', details: { quantum_m: 0.2 } }] })).toBe('steps-too-large')
    expect(reason({ warnings: [{ code: 'grid/quantised', details: { quantum_m: 0.01 } }] })).toBeNull()
  })
})

describe('filled ground', () => {
  test('hollows over a tenth of the catchment ask to watch', () => {
    const dented: Surface = (x, y) => RIDGE(x, y) - (Math.abs(x - CENTRE[0]) < 12 && y > 62 && y < 80 ? 1.2 : 0)
    expect(found(quick({ surface: dented }), 'catchment-complete')).toEqual(['watch', 'catchment/much-filled'])
    // Both ends are told: the ground above the hollow drains in, or stays in it.
    const { details } = whole({ surface: dented, features: [STREAM] }).findings.find(f => f.check === 'catchment-complete')!
    expect(details.heldArea_m2).toBeLessThan(0.7 * Number(details.area_m2))
    expect(details.heldArea_m2).toBeGreaterThan(0.1 * Number(details.area_m2))
  })
  test('a doubt of more than two times in the area asks to watch', () => {
    const gentle: Surface = roof(180, 0.006, [CENTRE[0], 100.6])
    const a = whole({ surface: gentle, settings: { elevationError_m: 0.3, triedTerrains: 12 }, features: [STREAM] })
    expect(a.catchment.high_m2! / Math.max(1, a.catchment.low_m2!)).toBeGreaterThan(2)
    expect(found(a, 'catchment-complete')).toEqual(['watch', 'catchment/wide-range'])
  })
})

describe('what the overflow and a break meet', () => {
  const WOOD = around('forest', 1, 1, SIZE - 1, 30)
  const HOLDING = around('boundary', 1, 1, SIZE - 1, SIZE - 1)
  /** As many terrains as the settings try: fewer never let it hold. */
  const TRIED = { triedTerrains: 200 }
  const plain: Scene = { features: [WOOD, STREAM, HOLDING, cabin([12, 110])] }

  test('nothing: a wood and a stream take the water', () => {
    const a = whole({ ...plain, settings: TRIED })
    expect(found(a, 'overflow-misses-buildings')).toEqual(['holds', 'overflow/misses-in-runs'])
    expect(found(a, 'overflow-stays-on-holding')).toEqual(['holds', 'holding/stays'])
    expect(found(a, 'breach-misses-buildings')).toEqual(['holds', 'breach/nothing-below'])
  })
  test('no terrains tried: it asks to watch at best', () => {
    expect(found(whole({ ...plain, settings: { triedTerrains: 0 } }), 'overflow-misses-buildings')).toEqual([
      'watch',
      'overflow/no-terrains-tried',
    ])
  })
  test('a building below both', () => {
    // Below the whole line, so that neither end and no break misses it.
    const long = around('building', 50, 36, 92, 42)
    const a = whole({ ...plain, features: [...plain.features!, { ...long, id: 'barn' }] })
    for (const check of ['overflow-misses-buildings', 'breach-misses-buildings', 'spill-place'] as const)
      expect(found(a, check)[0]).toBe('fails')
    expect(found(a, 'breach-misses-buildings')[1]).toBe('breach/reaches-building')
  })
  test('a track below: no spill across it, no break onto it', () => {
    const a = whole({ ...plain, features: [...plain.features!, across('track', 34)] })
    expect(found(a, 'spill-place')[0]).toBe('fails')
    expect(found(a, 'breach-misses-buildings')).toEqual(['fails', 'breach/meets'])
  })
  test('the boundary below', () => {
    const a = whole({ features: [around('boundary', 1, 40, SIZE - 1, SIZE - 1), cabin([12, 110])] })
    expect(found(a, 'overflow-stays-on-holding')).toEqual(['fails', 'holding/crosses-boundary'])
    expect(found(a, 'breach-misses-buildings')).toEqual(['fails', 'breach/meets'])
    expect(found(a, 'spill-place')[0]).toBe('fails')
  })
  test('the raster ends before a stream, a wood or the boundary', () => {
    const a = whole({ features: [cabin([12, 110]), around('boundary', -20, -20, SIZE + 20, SIZE + 20)] })
    expect(found(a, 'overflow-misses-buildings')).toEqual(['unknown', 'overflow/leaves-raster'])
    expect(found(a, 'spill-place')).toEqual(['unknown', 'spill/leaves-raster'])
    expect(found(a, 'overflow-stays-on-holding')).toEqual(['unknown', 'holding/leaves-raster'])
    expect(found(a, 'breach-misses-buildings')).toEqual(['unknown', 'breach/leaves-raster'])
  })
  test('no boundary, or not all buildings, drawn', () => {
    const features = [WOOD, STREAM, cabin([12, 110])]
    const a = whole({ features, settings: { allBuildingsDrawn: false } })
    expect(found(a, 'overflow-misses-buildings')).toEqual(['unknown', 'overflow/buildings-not-confirmed'])
    expect(found(a, 'breach-misses-buildings')).toEqual(['unknown', 'breach/buildings-not-confirmed'])
    expect(found(a, 'overflow-stays-on-holding')).toEqual(['unknown', 'holding/boundary-not-drawn'])
    expect(found(quick({ features: [] }), 'line-off-no-go')).toEqual(['unknown', 'no-go/features-missing'])
  })
  test('a bank across the way that may have a pipe under it is asked about', () => {
    // A bank with wings, so that it holds water back: where a pipe goes under it, the water comes out below its middle.
    const banked: Surface = (x, y) =>
      RIDGE(x, y) + (Math.abs(y - 32 - 0.35 * Math.abs(x - CENTRE[0])) < 2 && Math.abs(x - CENTRE[0]) < 24 ? 1.5 : 0)
    const a = whole({ ...plain, surface: banked, settings: TRIED })
    expect(found(a, 'overflow-misses-buildings')).toEqual(['watch', 'overflow/culvert-on-way'])
  })
  test('ground above a building is no-go, with its reason', () => {
    const a = quick({ features: [cabin([CENTRE[0], 44])] })
    expect(found(a, 'line-off-no-go')).toEqual(['fails', 'no-go/on-line'])
    expect(a.findings.find(f => f.check === 'line-off-no-go')!.details.reasons).toContain('above-building')
  })
})

describe('what only people can answer', () => {
  test('permissions: open ones leave it unknown, a refusal fails', () => {
    expect(found(quick(), 'permissions-asked')).toEqual(['unknown', 'permissions/not-answered'])
    expect(found(quick({ settings: { permissionsAsked: true } }), 'permissions-asked')).toEqual(['holds', 'permissions/answered'])
    const asked = { mayNeighbour: 'refused' } as Partial<Settings>
    expect(found(quick({ settings: { permissionsAsked: true, ...asked } }), 'permissions-asked')).toEqual(['fails', 'permissions/refused'])
  })
  test('the size from which local rules ask for an engineer', () => {
    expect(found(quick(), 'local-limits')).toEqual(['unknown', 'limits/not-looked-up'])
    const held = { regulatedHeight_m: 3, regulatedVolume_m3: 1000 }
    expect(found(quick({ settings: held }), 'local-limits')).toEqual(['holds', 'limits/under'])
    expect(found(quick({ settings: { ...held, regulatedHeight_m: 0.1 } }), 'local-limits')).toEqual(['fails', 'limits/too-high'])
    expect(found(quick({ settings: { ...held, regulatedVolume_m3: 1 } }), 'local-limits')).toEqual(['fails', 'limits/too-much'])
  })
  test('weak soil is unknown until somebody has looked', () => {
    expect(found(quick(), 'cautions-on-line')).toEqual(['unknown', 'ground/soil-not-looked-at'])
    expect(found(quick({ settings: { weakSoil: false } }), 'cautions-on-line')).toEqual(['holds', 'ground/no-caution-found'])
  })
})

test('on ground so gentle that no more is counted above some level there is an answer all the same', () => {
  for (const fall of [0.002, 0.006, 0.012]) {
    const a = quick({ surface: roof(180, fall, [CENTRE[0], 100.6]) })
    expect(a.storage!.toCrest_m3).toBeGreaterThan(0)
    expect(a.storms.length).toBe(3)
    for (const { worst } of a.storms) expect(worst!.peakSpill_m3s).toBeLessThanOrEqual(worst!.peakInflow_m3s * (1 + 1e-9))
  }
})

test('no rain table, no pits: what rests on them is unknown', () => {
  const a = quick({ rain: null })
  expect(found(a, 'storage-holds-storm')).toEqual(['unknown', 'storage/no-rain-table'])
  expect(found(a, 'spill-carries-peak')).toEqual(['unknown', 'storage/no-rain-table'])
  expect(found(a, 'soil-soaks')).toEqual(['unknown', 'soil/no-pits'])
})
