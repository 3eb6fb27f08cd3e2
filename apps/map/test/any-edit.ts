import fc from 'fast-check'
import { emptyPlan, type Plan, type PlanFeature } from 'soakline/plan'
import * as edits from '../src/state/edits.js'
import type { Edit } from '../src/state/history.js'

fc.configureGlobal({ seed: 1 })

export const GROUND: Plan['ground'] = { file: 'ground.tif', sha256: 'ab', crs: 'EPSG:32625', elevationUnit: null, nodata: null }

export const hut = (id: string): PlanFeature => ({
  id,
  kind: 'building',
  name: null,
  floor_m: null,
  geometry: {
    type: 'Polygon',
    coordinates: [
      [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 0],
      ],
    ],
  },
})

type Make = (plan: Plan) => Edit
const coordinate = fc.integer({ min: -9, max: 9 })
const place = fc.tuple(coordinate, coordinate)
const some = <T>(list: readonly T[] | undefined, k: number): T | undefined => list?.[k % Math.max(1, list.length)]
const joins = fc.constantFrom(null, null, 'a', 'b')

/** Every edit that there is, by the name of its function, made from the plan as it stands. */
export const EVERY_EDIT: Readonly<Record<string, fc.Arbitrary<Make>>> = {
  setLine: fc.tuple(fc.array(place, { minLength: 2, maxLength: 5 }), joins).map(
    ([path, joined]) =>
      p =>
        edits.setLine(p, 'draw-line', { id: 'line-1', path }, joined),
  ),
  removeLine: fc.constant(p => edits.removeLine(p)),
  addFeature: fc.constant(p => edits.addFeature(p, hut(edits.freshId('building', p.features)))),
  importFeatures: fc.constant(p => edits.importFeatures(p, [hut('building-1'), hut('building-1')])),
  nameFeature: fc.string().map(name => p => edits.nameFeature(p, 'building-1', { name })),
  setFeature: fc.tuple(fc.nat({ max: 3 }), place, joins).map(([k, at, joined]) => p => {
    const feature = some(p.features, k) ?? hut('building-1')
    return edits.setFeature(p, edits.movedFeature(feature, 0, k % 3, at), joined)
  }),
  removeFeature: fc.nat({ max: 3 }).map(k => p => edits.removeFeature(p, some(p.features, k)?.id ?? 'none')),
  setSetting: fc.double({ min: 0.5, max: 3, noNaN: true }).map(width => p => edits.setSetting(p, 'bedWidth_m', width)),
  setSettings: fc
    .record({ bedWidth_m: fc.integer({ min: 1, max: 9 }), freeboard_m: fc.integer({ min: 1, max: 2 }) })
    .map(parts => p => edits.setSettings(p, parts, 'drag')),
  setLines: fc.integer({ min: 0, max: 3 }).map(count => p => {
    const lines = Array.from({ length: count }, (_, k) => ({ id: `line-${k + 1}`, path: [[0, 0] as const, [0.001, k / 1000] as const] }))
    return edits.setLines(p, lines)
  }),
  workOn: fc.nat({ max: 3 }).map(k => p => edits.workOn(p, some(p.lines, k)?.id ?? 'none')),
  setOtherDesign: fc.boolean().map(
    given => p =>
      edits.setOtherDesign(
        p,
        given
          ? {
              line: p.lines[0] ?? {
                id: 'line-1',
                path: [
                  [0, 0],
                  [9, 0],
                ],
              },
              settings: p.settings,
            }
          : null,
      ),
  ),
  swapDesigns: fc.constant(p => edits.swapDesigns(p)),
  unsetSetting: fc.constant(p => edits.unsetSetting(p, 'bedWidth_m')),
  chooseHollow: fc.tuple(place, fc.constantFrom('fill', 'carve', 'keep')).map(
    ([at, treatment]) =>
      p =>
        edits.chooseHollow(p, at, treatment, p.hollows ?? []),
  ),
  addPit: place.map(at => p => edits.addPit(p, at, 0.5)),
  setPit: fc.tuple(fc.nat({ max: 3 }), fc.integer({ min: 1, max: 30 })).map(([k, depth]) => p => {
    const pit = some(p.soil?.pits, k)
    return pit ? edits.setPit(p, { ...pit, depth_m: depth / 10 }) : edits.addPit(p, [0, 0], depth / 10)
  }),
  removePit: fc.constant(p => edits.removePit(p, 'pit-1')),
  addSighting: place.map(at => p => edits.addSighting(p, { kind: 'seep', at })),
  removeSighting: fc.nat({ max: 3 }).map(k => p => edits.removeSighting(p, k)),
  setMeasuredStorm: fc
    .array(fc.nat({ max: 50 }), { minLength: 1, maxLength: 5 })
    .map(depths_mm => p => edits.setMeasuredStorm(p, { step_h: 0.5, depths_mm, source: 'gauge' })),
  removeMeasuredStorm: fc.constant(p => edits.removeMeasuredStorm(p)),
  setDailyRain: fc
    .array(fc.constantFrom(null, 0, 3.5), { minLength: 1, maxLength: 5 })
    .map(depths_mm => p => edits.setDailyRain(p, { firstDay: '2020-01-01', depths_mm, source: 'gauge' })),
  removeDailyRain: fc.constant(p => edits.removeDailyRain(p)),
  setRecords: fc
    .tuple(
      fc.constantFrom({ plants: [] }, { stormLog: [], plants: [] }, { ring: 'below' }, { ring: undefined, stormLog: undefined }),
      joins,
    )
    .map(
      ([records, joined]) =>
        p =>
          edits.setRecords(p, 'set-care', records, joined),
    ),
  addReadings: fc
    .integer({ min: 0, max: 40 })
    .map(chainage_m => p => edits.addReadings(p, [{ what: 'bed', chainage_m, level_m: 1 + chainage_m / 100 }])),
  setRain: fc.integer({ min: 1, max: 300 }).map(depth_mm => p => edits.setRain(p, [{ duration_h: 24, chancePerYear: 0.04, depth_mm }])),
  setHolding: fc.string().map(name => p => edits.setHolding(p, name)),
  setGround: fc.tuple(fc.constantFrom('m', 'ft', null), fc.option(fc.constantFrom('lonlat' as const, 'own' as const))).map(
    ([elevationUnit, window]) =>
      p =>
        edits.setGround(p, {
          ...p.ground,
          elevationUnit,
          ...(window === null ? {} : { answers: { window: { in: window, box: [1, 2, 3, 4] } } }),
        }),
  ),
  openPlan: fc.constant(p => edits.openPlan(p, emptyPlan('Other', GROUND))),
}

export const anyEdit: fc.Arbitrary<Make> = fc.oneof(...Object.values(EVERY_EDIT))
