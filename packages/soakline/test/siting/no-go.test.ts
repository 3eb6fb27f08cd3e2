import { finish, type Random, seededRandom } from 'soakline/foundation'
import { contributingArea, studyWater, type WaterStudy } from 'soakline/hydrology'
import { cellAt, cellCentre, type ElevationGrid, type Grid, type Point, pathLength_m, ringArea_m2, type Shape } from 'soakline/raster'
import {
  CAUTIONS,
  cautionsAlong,
  FEATURE_KINDS,
  type FeatureKind,
  GROUND_LIMITS,
  type GroundLayers,
  infiniteSlopeFactor,
  NO_GO_REASONS,
  type NoGoGround,
  type NoGoLimits,
  type NoGoReason,
  noGoAlong,
  noGoChange,
  noGoGround,
  noGoGroundSteps,
  noGoMemory,
  noGoRings,
  reasonsOf,
  type SiteFeature,
} from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, plane, SYMMETRIES, type Symmetry, terrain, turned, turning } from '../../../../tests/helpers/surfaces.js'

const LIMITS: NoGoLimits = {
  buildingMargin_m: 3,
  aboveShare_ratio: 0.05,
  setbackBuilding_m: 10,
  setbackBoundary_m: 3,
  setbackTrack_m: 3,
  setbackStream_m: 10,
  setbackUtility_m: 3,
  setbackSeptic_m: 15,
  setbackWell_m: 15,
  setbackSpring_m: 10,
  steepSlope_ratio: 0.27,
  hollowDepth_m: 0.3,
  hollowVolume_m3: 5,
}

interface Scene {
  readonly ground: ElevationGrid
  readonly study: WaterStudy
  readonly slope: Grid<'gradient_ratio'>
}
const sceneOf = (ground: ElevationGrid): Scene => ({ ground, study: studyWater(ground), slope: gradient(ground) })
const noGoOf = (
  { study, slope }: Scene,
  features: readonly SiteFeature[],
  limits: NoGoLimits = LIMITS,
  layers: GroundLayers = {},
): NoGoGround => noGoGround(study, slope, features, limits, { layers })

const feature = (kind: FeatureKind, ...shapes: Shape[]): SiteFeature => ({ id: kind, kind, name: null, shapes, floor_m: null })
const at = (x: number, y: number): Shape => ({ type: 'point', at: [x, y] })
const block = (x: number, y: number, side: number): Shape => ({
  type: 'polygon',
  rings: [
    [
      [x, y],
      [x + side, y],
      [x + side, y + side],
      [x, y + side],
    ],
  ],
})
const has = (noGo: NoGoGround, reason: NoGoReason, [x, y]: Point): boolean =>
  reasonsOf(noGo.reasons[cellAt(noGo.geometry, x, y)]!).includes(reason)
const cellsWith = (noGo: NoGoGround, reason: NoGoReason): number[] =>
  [...noGo.reasons.keys()].filter(cell => reasonsOf(noGo.reasons[cell]!).includes(reason))

/** Features of random kinds at places that halve and mirror without rounding. */
function someFeatures(random: Random, size: number, count: number): SiteFeature[] {
  const somewhere = (): Point => [
    Math.floor(random.uniform() * size * 64) / 64 + 1 / 128,
    Math.floor(random.uniform() * size * 64) / 64 + 1 / 128,
  ]
  return Array.from({ length: count }, (_, k) => {
    const kind = FEATURE_KINDS[Math.floor(random.uniform() * FEATURE_KINDS.length)]!
    const a = somewhere()
    const [b, c] = [somewhere(), somewhere()]
    const shape: Shape =
      random.uniform() < 0.4
        ? { type: 'point', at: a }
        : random.uniform() < 0.5
          ? { type: 'line', path: [a, b] }
          : { type: 'polygon', rings: [[a, b, c]] }
    return { id: `f${k}`, kind, name: null, shapes: [shape], floor_m: null }
  })
}

describe('no-go ground: laws on invented ground', () => {
  const seeds = [1, 2, 3, 4, 5, 6]

  test('the order of the features changes nothing', () => {
    for (const seed of seeds) {
      const scene = sceneOf(terrain('rough', seed, 40, 35))
      const features = someFeatures(seededRandom(seed), 35, 9)
      expect(noGoOf(scene, [...features].reverse()).reasons).toEqual(noGoOf(scene, features).reasons)
    }
  })

  test('drawing more never frees a cell from any reason', () => {
    for (const seed of seeds) {
      const scene = sceneOf(terrain('gaps', seed, 40, 35))
      const features = someFeatures(seededRandom(seed), 35, 9)
      for (let k = 0; k < features.length; k++) {
        const [fewer, more] = [noGoOf(scene, features.slice(0, k)), noGoOf(scene, features.slice(0, k + 1))]
        // A boundary drawn as an area is the one thing that says where the holding is: the ground inside a second one belongs to it as well.
        const mask = features[k]!.kind === 'boundary' ? ~(1 << NO_GO_REASONS.indexOf('boundary')) : ~0
        expect(fewer.reasons.every((word, cell) => (word & mask & ~more.reasons[cell]!) === 0)).toBe(true)
      }
    }
  })

  test('enlarging a setback never frees a cell', () => {
    const wider: readonly Partial<NoGoLimits>[] = [
      { buildingMargin_m: 8 },
      { setbackBuilding_m: 15 },
      { setbackBoundary_m: 9 },
      { setbackTrack_m: 9 },
      { setbackStream_m: 15 },
      { setbackUtility_m: 9 },
      { setbackSeptic_m: 20 },
      { setbackWell_m: 20 },
      { setbackSpring_m: 15 },
      { seepage_m: 40 },
      { seepageDepths_ratio: 100, depth_m: 1 },
      { bankDistance_m: 15 },
      { slipHead_m: 30 },
    ]
    for (const seed of seeds) {
      const scene = sceneOf(terrain('rough', seed, 40, 35))
      const features = someFeatures(seededRandom(seed), 35, 12)
      const before = noGoOf(scene, features)
      for (const change of wider) {
        const after = noGoOf(scene, features, { ...LIMITS, ...change })
        expect(before.reasons.every((word, cell) => (word & ~after.reasons[cell]!) === 0)).toBe(true)
      }
    }
  })

  test('turned or mirrored, the ground and its features give turned no-go ground', () => {
    const turnedPlace = (g: ElevationGrid['geometry'], symmetry: Symmetry, [x, y]: Point): Point => {
      const down = g.height - y
      const c = symmetry & 1 ? g.width - x : x
      const r = symmetry & 2 ? g.height - down : down
      const [column, row] = symmetry >= 4 ? [r, c] : [c, r]
      return [column, (symmetry >= 4 ? g.width : g.height) - row]
    }
    const turnedShape = (g: ElevationGrid['geometry'], symmetry: Symmetry, shape: Shape): Shape => {
      const turn = (p: Point): Point => turnedPlace(g, symmetry, p)
      if (shape.type === 'point') return { ...shape, at: turn(shape.at) }
      return shape.type === 'line' ? { ...shape, path: shape.path.map(turn) } : { ...shape, rings: shape.rings.map(ring => ring.map(turn)) }
    }
    for (const seed of seeds) {
      const ground = terrain('smooth', seed, 36, 30)
      const features = someFeatures(seededRandom(seed + 50), 30, 8)
      const plain = noGoOf(sceneOf(ground), features)
      for (const symmetry of SYMMETRIES) {
        const { from } = turning(36, 30, symmetry)
        const there = noGoOf(
          sceneOf(turned(ground, symmetry)),
          features.map(f => ({ ...f, shapes: f.shapes.map(shape => turnedShape(ground.geometry, symmetry, shape)) })),
        )
        expect([...there.reasons]).toEqual([...from].map(cell => plain.reasons[cell]))
      }
    }
  })

  test('with a memory the same as without, whatever changed before', () => {
    const scene = sceneOf(terrain('rough', 7, 40, 35))
    const other = sceneOf(terrain('rough', 8, 40, 35))
    const memory = noGoMemory()
    const random = seededRandom(9)
    for (let k = 0; k < 12; k++) {
      const { study, slope } = k === 7 ? other : scene
      const drawn = someFeatures(random, 35, k % 5)
      // A house that stays, but for its floor.
      const features = [...drawn, { ...feature('building', at(20.3, 10.2)), floor_m: k % 2 === 0 ? null : -50 }]
      const limits = {
        ...LIMITS,
        depth_m: k % 3 === 0 ? 0.3 : 3.4,
        setbackTrack_m: 3 + (k % 3),
        wetnessIndex_ln: 8 + (k % 2),
        weakSoil: k % 4 === 0 ? false : null,
      }
      const kept = noGoGround(study, slope, features, limits, { memory })
      expect(kept.reasons).toEqual(noGoGround(study, slope, features, limits).reasons)
    }
  })

  test('in steps the same, its progress never falling', () => {
    const { study, slope } = sceneOf(terrain('rough', 3, 40, 35))
    const features = someFeatures(seededRandom(3), 35, 6)
    const steps = [...noGoGroundSteps(study, slope, features, LIMITS)]
    expect(steps.every((done, k) => done <= 1 && (k === 0 || done >= steps[k - 1]!))).toBe(true)
    expect(finish(noGoGroundSteps(study, slope, features, LIMITS)).reasons).toEqual(noGoGround(study, slope, features, LIMITS).reasons)
  })
})

describe('no-go ground: against slow definitions', () => {
  test('seepage: within the distance of a footprint, and higher than it', () => {
    for (const seed of [1, 2, 3]) {
      const scene = sceneOf(terrain('rough', seed, 60, 60))
      const { geometry: g, data } = scene.ground
      const house = block(28.2, 28.2, 3.6)
      const noGo = noGoOf(scene, [feature('building', house)], { ...LIMITS, seepage_m: 12 })
      const inside = [...data.keys()].filter(cell => {
        const [x, y] = cellCentre(g, cell)
        return x > 28 && x < 32 && y > 28 && y < 32
      })
      const low = Math.min(...inside.map(cell => data[cell]!))
      const slow = [...data.keys()].filter(cell => {
        const [x, y] = cellCentre(g, cell)
        const [dx, dy] = [Math.max(28.2 - x, 0, x - 31.8), Math.max(28.2 - y, 0, y - 31.8)]
        return Math.sqrt(dx * dx + dy * dy) <= 12 && data[cell]! > low
      })
      expect(cellsWith(noGo, 'seepage')).toEqual(slow)
    }
  })

  test('slide-prone, steep and wet ground are what their formulas say, cell by cell', () => {
    const scene = sceneOf(terrain('rough', 4, 40, 40))
    const noGo = noGoOf(scene, [])
    const area = contributingArea(scene.study.net)
    const soil = { cohesion_kPa: 2, friction_deg: 26, weight_kNm3: 19, depth_m: 1.5, wetShare_ratio: 1 }
    for (let cell = 0; cell < noGo.reasons.length; cell++) {
      const g = scene.slope.data[cell]!
      const reasons = reasonsOf(noGo.reasons[cell]!)
      expect(reasons.includes('slide-prone')).toBe(g > 0 && infiniteSlopeFactor(g, soil) < 1.5)
      expect(reasons.includes('too-steep')).toBe(g > 0.27)
      expect(reasons.includes('steep-weak-soil')).toBe(g > 0.268)
      expect(reasons.includes('high-wetness')).toBe(Math.log(area.data[cell]! / Math.max(g, 0.001)) > 10)
    }
  })

  test('above a bank: higher than a bank cell within the distance', () => {
    // A terrace of 2 m: level ground, a riser between columns 20 and 21, level ground that falls a little to the west.
    const scene = sceneOf(gridOf(50, 30, 1, x => (x < 20.5 ? 0 : 2) + 0.01 * x))
    const noGo = noGoOf(scene, [])
    expect(has(noGo, 'above-bank', [24.5, 15.5])).toBe(true)
    expect(has(noGo, 'above-bank', [29.5, 15.5])).toBe(true)
    expect(has(noGo, 'above-bank', [33.5, 15.5])).toBe(false)
    expect(has(noGo, 'above-bank', [17.5, 15.5])).toBe(false)
  })
})

describe('no-go ground: what each reason asks for', () => {
  // Falls 15 % to the south; a pit of 2 m; steep ground in the far north-west.
  const scene = sceneOf(
    gridOf(120, 120, 1, (x, y) => {
      const pit = Math.sqrt((x - 100) ** 2 + (y - 60) ** 2)
      return 0.15 * y + (pit < 6 ? -2 + pit / 3 : 0) + (x < 20 && y > 90 ? 0.5 * (y - 90) : 0)
    }),
  )
  const everything: SiteFeature[] = [
    feature('building', block(50, 20, 6)),
    feature('forest', block(80, 10, 10)),
    feature('wet', block(80, 30, 5)),
    feature('spring', at(90, 90)),
    feature('septic', at(30, 20)),
    feature('well', at(110, 20)),
    feature('boundary', block(2, 2, 116)),
    feature('track', { type: 'line', path: [[20.3, 50.2], [45.1, 50.4]] }), // biome-ignore format: one line
    feature('stream', { type: 'line', path: [[2, 6], [118, 6]] }), // biome-ignore format: one line
    feature('utility', { type: 'line', path: [[60, 100], [80, 100]] }), // biome-ignore format: one line
    feature('slip', block(60, 70, 8)),
  ]
  const layers: GroundLayers = {
    landCover: {
      classes: { quantity: 'class', geometry: scene.ground.geometry, data: scene.ground.data.map((_, cell) => (cell < 240 ? 7 : 1)) },
      forest: [],
      wet: [7],
    },
  }

  test('every reason is reached', () => {
    const noGo = noGoOf(scene, everything, LIMITS, layers)
    const seen = new Set([...noGo.reasons].flatMap(reasonsOf))
    expect([...seen].sort()).toEqual([...NO_GO_REASONS].filter(r => r !== 'high-wetness').sort())
    expect([...noGoOf(scene, [], { ...LIMITS, wetnessIndex_ln: 5 }).reasons].flatMap(reasonsOf)).toContain('high-wetness')
    expect(noGoRings(noGo).map(ground => ground.reason)).toEqual(NO_GO_REASONS.filter(r => seen.has(r)))
  })

  test('ground above the building is no-go to the ridge, ground beside and below it is not', () => {
    const noGo = noGoOf(scene, [feature('building', block(50, 20, 6))])
    expect(has(noGo, 'above-building', [53, 80])).toBe(true)
    expect(has(noGo, 'above-building', [75, 80])).toBe(false)
    expect(has(noGo, 'above-building', [53, 10])).toBe(false)
  })

  test('seepage counts uphill only: 30 m by default, ten times the depth where that is more; a measured floor below the ground counts lower ground too', () => {
    const house = [feature('building', block(50, 40, 6))]
    const noGo = noGoOf(scene, house)
    expect(has(noGo, 'seepage', [53, 75.4])).toBe(true)
    expect(has(noGo, 'seepage', [53, 77])).toBe(false)
    expect(has(noGo, 'seepage', [53, 36])).toBe(false)
    expect(has(noGoOf(scene, house, { ...LIMITS, depth_m: 3.5 }), 'seepage', [53, 80])).toBe(true)
    const cellar = house.map(f => ({ ...f, floor_m: 0.15 * 40 - 2.5 }))
    expect(has(noGoOf(scene, cellar), 'seepage', [53, 28])).toBe(true)
    expect(has(noGoOf(scene, cellar), 'seepage', [53, 20])).toBe(false)
  })

  test('soil that was looked at and is no clay lifts that caution alone; slopes over the limit stay', () => {
    const steep: Point = [10.5, 105.5]
    expect(has(noGoOf(scene, []), 'steep-weak-soil', steep)).toBe(true)
    const sandy = noGoOf(scene, [], { ...LIMITS, weakSoil: false })
    expect(has(sandy, 'steep-weak-soil', steep)).toBe(false)
    expect(has(sandy, 'too-steep', steep) && has(sandy, 'slide-prone', steep)).toBe(true)
    const mapped = (value: number): GroundLayers => ({
      soil: { classes: { quantity: 'class', geometry: scene.ground.geometry, data: scene.ground.data.map(() => value) }, weak: [3] },
    })
    expect(has(noGoOf(scene, [], LIMITS, mapped(3)), 'steep-weak-soil', steep)).toBe(true)
    expect(has(noGoOf(scene, [], LIMITS, mapped(2)), 'steep-weak-soil', steep)).toBe(false)
  })

  test('a slip: no-go on it, a caution above its head and beside its upper half, none below', () => {
    const noGo = noGoOf(scene, [feature('slip', block(60, 70, 8))])
    expect(has(noGo, 'slip', [64, 74])).toBe(true)
    expect(has(noGo, 'above-slip', [64, 90])).toBe(true)
    expect(has(noGo, 'above-slip', [58.5, 76.5])).toBe(true)
    expect(has(noGo, 'above-slip', [58.5, 71.5])).toBe(false)
    expect(has(noGo, 'above-slip', [64, 60])).toBe(false)
  })

  test('a canopy is forest where the surface stands high over the ground; a coarser raster of classes counts for its cells', () => {
    const surface: Grid = {
      quantity: 'surface_m',
      geometry: scene.ground.geometry,
      data: scene.ground.data.map((z, cell) => z + (cell % 120 < 10 ? 12 : cell % 120 < 20 ? 2 : 0)),
    }
    const noGo = noGoOf(scene, [], LIMITS, { surface })
    expect(has(noGo, 'forest', [5.5, 40.5])).toBe(true)
    expect(has(noGo, 'forest', [15.5, 40.5])).toBe(false)
    const coarse: Grid = {
      quantity: 'class',
      geometry: { width: 4, height: 4, cell_m: 30, west_m: 0, north_m: 120, crs: 'local' },
      data: Float32Array.from({ length: 16 }, (_, k) => (k === 5 ? 42 : 71)),
    }
    const covered = noGoOf(scene, [], LIMITS, { landCover: { classes: coarse, forest: [41, 42], wet: [95] } })
    expect(cellsWith(covered, 'forest')).toHaveLength(900)
    expect(has(covered, 'forest', [31, 89])).toBe(true)
    // As many cells from the same corner, each twice as wide.
    const wide: Grid = {
      quantity: 'class',
      geometry: { ...scene.ground.geometry, cell_m: 2 },
      data: scene.ground.data.map((_, cell) => (cell % 120 < 10 ? 42 : 71)),
    }
    const under = noGoOf(scene, [], LIMITS, { landCover: { classes: wide, forest: [42], wet: [] } })
    expect([has(under, 'forest', [15.5, 60.5]), has(under, 'forest', [21.5, 60.5])]).toEqual([true, false])
  })

  test('along a line: reasons and cautions apart', () => {
    const noGo = noGoOf(scene, [feature('track', { type: 'line', path: [[20.3, 50.2], [45.1, 50.4]] })]) // biome-ignore format: one line
    const line: Point[] = [[30, 40], [30, 70]] // biome-ignore format: one line
    expect(noGoAlong(noGo, line).flatMap(s => s.reasons)).toEqual(['track'])
    const cautions = cautionsAlong(noGo, line)
    expect(new Set(cautions.flatMap(s => s.reasons))).toEqual(new Set(['above-bank']))
    expect(cautions[0]!.from_m).toBeGreaterThan(9)
    expect(cautions[cautions.length - 1]!.to_m).toBeLessThan(21.5)
    expect(CAUTIONS.every(c => NO_GO_REASONS.includes(c))).toBe(true)
    expect(pathLength_m(line)).toBe(30)
  })
})

describe('how the answer hangs on one limit', () => {
  const scene = sceneOf(gridOf(80, 80, 1, plane(180, 0.1, [40, 40])))
  const features = [feature('well', at(40.5, 40.5))]
  const change = (changed: Partial<NoGoLimits>) => noGoChange(scene.study, scene.slope, features, LIMITS, changed)

  test('a wider setback takes the ring between, the same limits change nothing, undoing gives it back', () => {
    expect(change({})).toEqual({ freed_m2: 0, taken_m2: 0, byReason: [] })
    const wider = change({ setbackWell_m: 20 })
    expect(wider.freed_m2).toBe(0)
    const ring = wider.byReason.find(r => r.reason === 'well')!
    expect(ring.lost_m2).toBe(0)
    // The ring from 15 to 20 m, less the strip above the well that is no-go in any case.
    expect(ring.gained_m2).toBeGreaterThan(0.8 * Math.PI * (400 - 225))
    expect(ring.gained_m2).toBeLessThan(Math.PI * (400 - 225) + 30)
    const back = noGoChange(scene.study, scene.slope, features, { ...LIMITS, setbackWell_m: 20 }, LIMITS)
    expect(back.freed_m2).toBe(wider.taken_m2)
  })

  test('the rings of the ground have its area', () => {
    const noGo = noGoOf(scene, [feature('wet', block(20, 20, 10))])
    const { rings } = noGoRings(noGo).find(r => r.reason === 'wet-ground')!
    const cells = cellsWith(noGo, 'wet-ground').length
    expect(Math.abs(rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0) - cells)).toBeLessThan(2)
  })

  test('every limit of the ground says unit, meaning and source', () => {
    for (const entry of Object.values(GROUND_LIMITS)) {
      expect(entry.meaning.length).toBeGreaterThan(15)
      expect(entry.source.length).toBeGreaterThan(4)
      if (typeof entry.default === 'number') {
        expect(entry.default).toBeGreaterThanOrEqual(entry.range![0])
        expect(entry.default).toBeLessThanOrEqual(entry.range![1])
      }
    }
  })
})
