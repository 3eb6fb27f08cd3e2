import {
  type Catchment,
  type CoverCondition,
  type CoverPart,
  compositeCurveNumber,
  curveNumber,
  type HydrologicSoilGroup,
  SOIL_GROUP_RULES,
  soilGroupOfRate,
} from '../hydrology/index.js'
import { cellArea_m2, cellsNear, type GridGeometry } from '../raster/index.js'
import type { FeatureKind, SiteFeature } from '../siting/index.js'
import type { Settings } from './settings.js'

/** A cover in the catchment, with its share of the area. */
export interface CatchmentCover extends CoverPart {
  readonly cover: string
  readonly condition: CoverCondition | null
  readonly source: string
}

/** What drawn features are as cover; where they overlap the later one counts. Source: judgement. */
const COVER_OF: readonly { readonly kind: FeatureKind; readonly cover: string; readonly condition: CoverCondition | null }[] = [
  { kind: 'forest', cover: 'woods', condition: 'fair' },
  { kind: 'track', cover: 'dirt-road', condition: null },
  { kind: 'building', cover: 'impervious', condition: null },
]

/** Width that a track drawn as a line has. Source: judgement. */
const TRACK_m = 3

/** Which cover is drawn on each cell: its place in the list of those that are drawn, plus 1; 0 for none. */
export function drawnCovers(g: GridGeometry, features: readonly SiteFeature[]): Uint8Array {
  const drawn = new Uint8Array(g.width * g.height)
  for (const [k, { kind }] of COVER_OF.entries())
    for (const feature of features)
      if (feature.kind === kind)
        for (const shape of feature.shapes)
          for (const cell of cellsNear(g, shape, shape.type === 'line' ? TRACK_m / 2 : 0, { touching: shape.type !== 'polygon' }))
            drawn[cell] = k + 1
  return drawn
}

/**
 * The covers of a catchment: what the settings say, and within it the woods, tracks and roofs that are drawn, each by its share of the catchment.
 * A curve number given outright holds for the whole.
 *
 * Laws    the areas sum to the catchment's.
 * @param drawn  what `drawnCovers` gives
 */
export function catchmentCovers({ share, box, area_m2 }: Catchment, drawn: Uint8Array, settings: Settings): CatchmentCover[] {
  const main = {
    cover: settings.cover,
    condition: settings.coverCondition,
    ...(settings.curveNumber === null
      ? sourced(settings.cover, settings.coverCondition, settings)
      : { curveNumber: settings.curveNumber, source: 'given by the user' }),
  }
  if (settings.curveNumber !== null || area_m2 === 0) return [{ ...main, area_m2 }]
  const areas = COVER_OF.map(() => 0)
  const { width } = share.geometry
  const shares = share.data
  const one_m2 = cellArea_m2(share.geometry)
  for (let row = box.firstRow; row <= box.lastRow; row++)
    for (let cell = row * width + box.firstColumn, last = row * width + box.lastColumn; cell <= last; cell++) {
      const k = drawn[cell]!
      if (k > 0) areas[k - 1]! += shares[cell]! * one_m2
    }
  const drawn_m2 = areas.reduce((a, b) => a + b, 0)
  return [
    { ...main, area_m2: Math.max(0, area_m2 - drawn_m2) },
    ...COVER_OF.flatMap(({ cover, condition }, k) =>
      areas[k]! > 0 ? [{ cover, condition, area_m2: areas[k]!, ...sourced(cover, condition, settings) }] : [],
    ),
  ]
}

/** Covers under which rain meets bare soil. */
const BARE: readonly string[] = ['fallow-bare', 'newly-graded']

/** Whether the slope above sends soil along with its water: bare, or burned and not yet grown back. */
export const bareAbove = ({ cover, burnedAbove }: Settings): boolean => burnedAbove || BARE.includes(cover)

/** The soil group as given, or by the rule that is set from the slowest test. */
export function soilGroupOf({ soilGroup, soilGroupRule, slowestTest_mmh }: Settings): HydrologicSoilGroup {
  if (soilGroupRule === 'asked' || slowestTest_mmh === null) return soilGroup
  return soilGroupOfRate(
    slowestTest_mmh,
    soilGroupRule === 'transmission-rate' ? SOIL_GROUP_RULES.transmissionRate : SOIL_GROUP_RULES.tightestLayer,
  )
}

function sourced(cover: string, condition: CoverCondition | null, settings: Settings): { curveNumber: number; source: string } {
  const group = soilGroupOf(settings)
  const { value, source } = curveNumber(cover, condition, group)
  const bare = curveNumber('fallow-bare', null, group)
  return settings.burnedAbove && bare.value > value
    ? { curveNumber: bare.value, source: `burned ground counted as bare soil (judgement); ${bare.source}` }
    : { curveNumber: value, source }
}

/** The one curve number that stands for all covers, weighted by area; that of the only cover where there is one. */
export const meanCurveNumber = (covers: readonly CatchmentCover[]): number =>
  covers.length === 1 ? covers[0]!.curveNumber : compositeCurveNumber(covers)
