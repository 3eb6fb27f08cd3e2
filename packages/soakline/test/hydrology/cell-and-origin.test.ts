import fc from 'fast-check'
import {
  areaCatchment,
  byFacets,
  byVector,
  type Catchment,
  carving,
  catchmentOutline,
  contributingArea,
  contributingAreaSingle,
  culvertPlaces,
  drainage,
  filledSurface,
  flowLengths,
  flowNetwork,
  hollowInventory,
  inflowRim,
  lineCatchment,
  longestFlowToCell,
  longestFlowToLine,
  multiple,
  pastEnds,
  pointCatchment,
  releasedWater,
  tieDependence,
  treatHollows,
  withDrawnWorks,
} from 'soakline/hydrology'
import { cellAt, cellCentre, type ElevationGrid, type Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'

fc.configureGlobal({ seed: 71, numRuns: cases(60) })

// Whole numbers and powers of two: every product and difference of the original comes again, to the bit, so that all answers may be held equal.
const WEST_M = 4096
const NORTH_M = 65536
const FINE = 1 << 20

const someGround = fc.oneof(anyDice({ least: 4, most: 12, high: 6 }), anyTerrain({ least: 6, most: 26 }))
const fraction = fc.double({ min: -0.1, max: 1.1, noNaN: true })
const anyPlaces = fc.array(fc.tuple(fraction, fraction), { minLength: 3, maxLength: 5 })
const anyCell = fc.constantFrom(0.5, 2, 4)

/** The same heights on cells of another size, at another place. */
const placed = (ground: ElevationGrid, cell_m: number): ElevationGrid => ({
  ...ground,
  geometry: { ...ground.geometry, cell_m, west_m: WEST_M, north_m: NORTH_M },
})

/** A raster's own frame: columns and rows from its north-west corner. */
type Frame = readonly [column: number, row: number]
const inFrame = ({ geometry: g }: ElevationGrid, [x, y]: Point): Frame => [(x - g.west_m) / g.cell_m, (g.north_m - y) / g.cell_m]
const onGround = ({ geometry: g }: ElevationGrid, [column, row]: Frame): Point => [g.west_m + column * g.cell_m, g.north_m - row * g.cell_m]
const frames = (ground: ElevationGrid, path: readonly Point[] | undefined): number[] =>
  (path ?? []).flatMap(at => inFrame(ground, at).map(n => Math.round(n * 1e6) / 1e6))

/** A path in cells; a place that comes twice within rounding counts once. */
const once = (ground: ElevationGrid, path: readonly Point[]): string[] =>
  path.map(at => frames(ground, [at]).join(' ')).filter((at, k, all) => at !== all[k - 1])

const shape = ({ geometry: g }: ElevationGrid, places: readonly (readonly [number, number])[]): Frame[] =>
  places.map(([x, y]) => [Math.round(x * g.width * FINE) / FINE, Math.round(y * g.height * FINE) / FINE])

/** A catchment in cells. */
const inCells = (cell_m: number, c: Catchment | null) =>
  c && {
    share: [...c.share.data],
    box: c.box,
    area: c.area_m2 / cell_m ** 2,
    edge: c.edgeShare_ratio,
    cut: c.cutByEdge,
    longest: Math.fround(c.longestFlow_m / cell_m),
    farthest: c.farthest,
    drowned: c.drowned,
  }

test('law: on cells of another size and at another place all that a line, an area or a place catches is the same, in cells', () =>
  fc.assert(
    fc.property(someGround, anyPlaces, anyCell, fc.constantFrom(byVector, byFacets, multiple()), (ground, places, size, method) => {
      const answers = (on: ElevationGrid) => {
        const { cell_m } = on.geometry
        const line = shape(on, places).map(at => onGround(on, at))
        const drained = drainage(on)
        const net = flowNetwork(on, drained, method)
        const rim = inflowRim(on, drained)
        const caught = lineCatchment(net, on, line, rim)
        const outline = catchmentOutline(on, caught, line)
        const past = pastEnds(net, on, line, rim, caught, { beyond_m: 3 * cell_m })
        return {
          line: inCells(cell_m, caught),
          area: inCells(cell_m, areaCatchment(net, { type: 'polygon', rings: [line] }, rim)),
          point: inCells(cell_m, pointCatchment(drained, line[1]!, rim)),
          rings: outline.rings.map(ring => frames(on, ring)),
          ridges: outline.ridges.map(ridge => frames(on, ridge)),
          ridgeLength: Math.round((outline.ridgeLength_m / cell_m) * 1e6),
          high: outline.highPoint && [Math.round(outline.highPoint.elevation_m * 1e6), ...frames(on, [outline.highPoint.at])],
          past: [past.atStart_m2, past.atEnd_m2].map(area => Math.round((area / cell_m ** 2) * 1e6)),
        }
      }
      expect(answers(placed(ground, size))).toEqual(answers(ground))
    }),
  ))

test('law: so are the ways of water, the areas that drain, and what depends on ties', () =>
  fc.assert(
    fc.property(someGround, anyPlaces, anyCell, (ground, places, size) => {
      const answers = (on: ElevationGrid) => {
        const { cell_m } = on.geometry
        const line = shape(on, places).map(at => onGround(on, at))
        const drained = drainage(on)
        const filled = filledSurface(on, drained)
        const toLine = longestFlowToLine(drained, line)
        const toCell = longestFlowToCell(drained, cellAt(on.geometry, ...line[1]!))
        const run = releasedWater(on, filled, drained, line[1]!)
        return {
          direction: [...drained.direction],
          filled: [...filled.data],
          toLine: toLine && [toLine.from, Math.round((toLine.length_m / cell_m) * 1e6), ...frames(on, toLine.path)],
          toCell: toCell && [toCell.from, Math.round((toCell.length_m / cell_m) * 1e6), ...frames(on, toCell.path)],
          run: run && [run.end, ...once(on, run.points)],
          lengths: [...flowLengths(drained).data].map(length => length / cell_m),
          area: [...contributingArea(flowNetwork(on, drained)).data].map(a => a / cell_m ** 2),
          single: [...contributingAreaSingle(drained).data].map(a => a / cell_m ** 2),
          ties: [...tieDependence(on, drained).data],
        }
      }
      expect(answers(placed(ground, size))).toEqual(answers(ground))
    }),
  ))

test('law: so are hollows, banks, cuts, walls and culverts, with limits in cells', () =>
  fc.assert(
    fc.property(someGround, anyPlaces, anyCell, (ground, places, size) => {
      const answers = (on: ElevationGrid) => {
        const { cell_m } = on.geometry
        const line = shape(on, places).map(at => onGround(on, at))
        const drained = drainage(on)
        const filled = filledSurface(on, drained)
        const { hollows } = hollowInventory(on, filled, drained)
        const banks = culvertPlaces(on, filled, hollows, { longest_m: 6 * cell_m, tolerance_m: 0.2, leastArea_m2: 2 * cell_m ** 2 })
        const work = carving(on, filled, { longest_m: 9 * cell_m, deepest_m: 2 })
        const cuts = hollows.map(({ deepest }) => work.cutFrom(deepest))
        const treated = treatHollows(
          on,
          filled,
          drained,
          hollows,
          hollows.map(({ deepest }) => ({ at: cellCentre(on.geometry, deepest), treatment: 'carve' as const })),
        )
        const ends = [line[0]!, line[1]!].map(([x, y]) => cellAt(on.geometry, x, y))
        const known = ends.every(end => end >= 0 && !Number.isNaN(on.data[end]!))
        const works = withDrawnWorks(on, { culverts: known ? [{ path: line.slice(0, 2) }] : [], walls: [{ path: line, height_m: 0.75 }] })
        return {
          hollows: hollows.map(({ area_m2, volume_m3, inner, ...h }) => ({
            ...h,
            guess: null,
            area: area_m2 / cell_m ** 2,
            volume: volume_m3 / cell_m ** 2,
            inner: inner.map(part => ({ ...part, area_m2: part.area_m2 / cell_m ** 2, volume_m3: part.volume_m3 / cell_m ** 2 })),
          })),
          banks: banks.map(({ length_m, ...bank }) => ({ ...bank, length: length_m / cell_m })),
          cuts: cuts.map(cut =>
            typeof cut === 'string' ? cut : { ...cut, length_m: cut.length_m / cell_m, volume_m3: cut.volume_m3 / cell_m ** 2 },
          ),
          treated: [...treated.ground.data],
          works: [...works.ground.data],
          changes: works.changes.map(({ volume_m3, ...change }) => ({ ...change, volume: volume_m3 / cell_m ** 2 })),
        }
      }
      expect(answers(placed(ground, size))).toEqual(answers(ground))
    }),
  ))
