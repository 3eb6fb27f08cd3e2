import {
  averageEndArea_m3,
  crossSection,
  earthVolumes,
  type LineStorage,
  lineStorage,
  type Section,
  type SectionShape,
} from '../earthworks/index.js'
import { type Finding, InputError, volume_m3, type Warning } from '../foundation/index.js'
import {
  type CatchmentOutline,
  catchmentOutline,
  chances,
  curveNumber,
  durations_h,
  lineCatchment,
  type RainTable,
  rainDepth_mm,
  stormRunoff_mm,
  type WalkScratch,
  type WaterStudy,
} from '../hydrology/index.js'
import { type Grid, type Point, pathLength_m, ringArea_m2 } from '../raster/index.js'
import { type NoGoGround, noGoAlong, noGoGround, type Overflow, overflowFrom, type SiteFeature, streamCells } from '../siting/index.js'
import { type ProfilePoint, profileAlong } from '../terrain/index.js'
import type { Assessment } from './assessment.js'
import * as find from './findings.js'
import type { Settings } from './settings.js'

/** The holding as an assessment sees it: worked out once, asked with every line. */
export interface Site {
  readonly study: WaterStudy
  readonly gradient: Grid<'gradient_ratio'>
  readonly features: readonly SiteFeature[]
  readonly noGo: NoGoGround
  readonly streams: Uint8Array
  readonly voidCells: number
  /** Hash of the raster and remarks made when it was read. */
  readonly ground: { readonly sha256: string; readonly warnings: readonly Warning[] }
}

/** Puts a site together: the study of its ground, what is drawn on it, and where no swale goes. */
export function siteOf(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  settings: Settings,
  ground: Site['ground'],
): Site {
  return {
    study,
    gradient,
    features,
    noGo: noGoGround(study, gradient, features, settings),
    streams: streamCells(study, features),
    voidCells: study.ground.data.reduce((count, z) => count + (!Number.isNaN(z) ? 0 : 1), 0),
    ground,
  }
}

/** Distance between the stakes at which the section is taken. */
const STAKE_M = 2

/** A line counts as level while its ground stays within this part of the ditch's depth. Source: judgement. */
const LEVEL_SHARE = 0.5

/**
 * The whole answer about one line.
 *
 * Throws  InputError `line/outside` where the line leaves the raster or crosses a gap, `line/too-short`.
 * Cost    some steps for each cell of the catchment and of the overflows.
 * @param scratch  working memory of a shell that asks again and again, see `WalkScratch`
 */
export function assess(site: Site, line: readonly Point[], settings: Settings, rain: RainTable | null, scratch?: WalkScratch): Assessment {
  const { study } = site
  const { ground } = study
  const length_m = pathLength_m(line)
  if (line.length < 2 || length_m < ground.geometry.cell_m)
    throw new InputError(
      'line/too-short',
      `The line is ${length_m} m long, shorter than one cell (${ground.geometry.cell_m} m). Draw a longer one.`,
      { length_m },
    )
  // What is dug is dug in the ground as it lies; water runs on the ground with culverts, walls and carved hollows.
  const profile = profileAlong(study.surveyed, line, STAKE_M)
  const lost = profile.find(p => Number.isNaN(p.ground_m))
  if (lost)
    throw new InputError(
      'line/outside',
      `At ${lost.chainage_m} m along the line there is no ground: it leaves the raster or crosses a gap in it. Draw it inside the elevation data.`,
      {
        chainage_m: lost.chainage_m,
      },
    )
  const heights = profile.map(p => p.ground_m)
  const lowest_m = Math.min(...heights)
  const groundRange_m = Math.max(...heights) - lowest_m
  const bed_m = lowest_m - settings.depth_m
  const slopes = profile.map(p => Math.abs(p.crossSlope_ratio)).filter(s => !Number.isNaN(s))
  const meanSlope = slopes.length > 0 ? slopes.reduce((a, b) => a + b, 0) / slopes.length : 0
  const noGo = noGoAlong(site.noGo, line)

  const catchment = lineCatchment(study.net, ground, line, study.rim, scratch)
  const outline = catchmentOutline(ground, catchment, line)
  const polygonArea_m2 = outline.rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)

  const level = groundRange_m <= LEVEL_SHARE * settings.depth_m
  const dug = level ? dig(profile, length_m, bed_m, meanSlope, settings) : null
  const cn = settings.curveNumber ?? curveNumber(settings.cover, settings.coverCondition, settings.soilGroup).value
  const cnSource =
    settings.curveNumber === null ? curveNumber(settings.cover, settings.coverCondition, settings.soilGroup).source : 'given by the user'
  const storms = stormsOf(rain, settings, cn, catchment.area_m2, dug?.storage ?? null)

  const first = overflowFrom(study, site.features, line[0]!, site.streams, scratch)
  const last = overflowFrom(study, site.features, line[line.length - 1]!, site.streams, scratch)
  const spills = [first, last].flatMap((overflow, k) => (overflow ? [{ chainage_m: k === 0 ? 0 : length_m, overflow }] : []))

  const ranked = rankSpills(spills)
  const findings: Finding[] = [
    find.groundFit(ground.geometry.cell_m, settings),
    find.permissionsAsked(settings),
    find.lineOffNoGo(noGo, length_m, site.features.length),
    find.soilSoaks(),
    find.catchmentComplete(catchment, polygonArea_m2),
    find.storageHoldsStorm(storms, rain, settings, catchment, dug?.storage ?? null, groundRange_m),
    find.waterAgainstFill(dug?.storage ?? null, length_m / (profile.length - 1)),
    find.overflowMissesBuildings(
      spills,
      site.features.some(f => f.kind === 'building'),
      settings,
      ground.geometry.cell_m,
    ),
    find.overflowStaysOnHolding(
      ranked.find(spill => spill.rank === 1) ?? null,
      site.features.some(f => f.kind === 'boundary'),
    ),
  ]

  return {
    ground: {
      cell_m: ground.geometry.cell_m,
      crs: ground.geometry.crs,
      width: ground.geometry.width,
      height: ground.geometry.height,
      voidCells: site.voidCells,
      sha256: site.ground.sha256,
      elevationError_m: settings.elevationError_m,
      warnings: site.ground.warnings,
    },
    line: {
      path: line,
      length_m,
      bedElevation_m: bed_m,
      fall_ratio: (heights[0]! - heights[heights.length - 1]!) / length_m,
      meanGroundSlope_ratio: meanSlope,
      groundRange_m,
      noGo,
    },
    catchment: {
      area_m2: catchment.area_m2,
      polygonArea_m2,
      cutByEdge: catchment.cutByEdge,
      edgeShare_ratio: catchment.edgeShare_ratio,
      longestFlow_m: catchment.longestFlow_m,
      ridge: ridgeOf(outline),
      rings: outline.rings,
      ridgeLines: outline.ridges,
    },
    runoff: { curveNumber: cn, curveNumberSource: cnSource },
    storms,
    storage: dug && {
      toSill_m3: dug.storage.toSill_m3,
      toCrest_m3: dug.storage.toCrest_m3,
      afterSediment_m3: dug.storage.toSillAfterSediment_m3,
    },
    section: dug?.mean ?? null,
    spills: ranked.map(({ chainage_m, overflow, rank, reasons }) => ({
      chainage_m,
      rank,
      reasons,
      path: {
        points: overflow.points,
        beyond: overflow.beyond,
        length_m: overflow.length_m,
        endsIn: overflow.endsIn,
        nearestBuilding_m: overflow.buildings[0]?.distance_m ?? null,
        nearestBuildingName: overflow.buildings[0] ? (overflow.buildings[0].name ?? overflow.buildings[0].id) : null,
        heightBelowFloor_m: overflow.buildings[0]?.heightBelowFloor_m ?? null,
        reachesBuilding: find.reaches(overflow, ground.geometry.cell_m),
      },
      band: overflow.band,
    })),
    earth: dug && { cut_m3: dug.cut_m3, bermLoose_m3: earthVolumes(dug.cut_m3, settings.swell_ratio, settings.bermPerCut_ratio).loose_m3 },
    profile: profile.map(({ chainage_m, ground_m }) => ({ chainage_m, ground_m })),
    findings,
  }

  function rankSpills(
    all: readonly { chainage_m: number; overflow: Overflow }[],
  ): { chainage_m: number; overflow: Overflow; rank: number; reasons: string[] }[] {
    const judged = all.map(spill => ({ ...spill, reasons: find.spillReasons(spill.overflow, settings, ground.geometry.cell_m) }))
    const order = [...judged].sort(
      (a, b) => find.spillCost(a.reasons, a.overflow) - find.spillCost(b.reasons, b.overflow) || a.chainage_m - b.chainage_m,
    )
    return judged.map(spill => ({ ...spill, rank: order.indexOf(spill) + 1 }))
  }
}

function ridgeOf(outline: CatchmentOutline): Assessment['catchment']['ridge'] {
  return (
    outline.highPoint && { highPoint: outline.highPoint.at, elevation_m: outline.highPoint.elevation_m, length_m: outline.ridgeLength_m }
  )
}

interface Dug {
  readonly storage: LineStorage
  readonly cut_m3: number
  readonly mean: Section
}

/** The ditch on the slope of each stake, its bed at one level; null where it cannot be dug as it is set. */
function dig(profile: readonly ProfilePoint[], length_m: number, bed_m: number, meanSlope: number, settings: Settings): Dug | null {
  const shape: SectionShape = settings
  const spacing_m = length_m / (profile.length - 1)
  try {
    const sections = profile.map(p => crossSection({ ...shape, depth_m: p.ground_m - bed_m }, slopeOr(p, meanSlope)))
    return {
      storage: lineStorage(sections, spacing_m, settings),
      cut_m3: averageEndArea_m3(
        sections.map(s => s.cut_m2),
        spacing_m,
      ),
      mean: crossSection(shape, meanSlope),
    }
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}

/**
 * The ditch's section at one place of a line that has been assessed, on the ground's own slope there; null where it cannot be dug as it is set, or
 * the place has no ground.
 */
export function sectionAt(
  site: Pick<Site, 'study'>,
  answer: Pick<Assessment, 'line'>,
  settings: Settings,
  chainage_m: number,
): Section | null {
  const { path, length_m, bedElevation_m, meanGroundSlope_ratio } = answer.line
  const profile = profileAlong(site.study.surveyed, path, STAKE_M)
  const at = profile[Math.round((Math.min(Math.max(chainage_m, 0), length_m) / length_m) * (profile.length - 1))]!
  try {
    return crossSection({ ...settings, depth_m: at.ground_m - bedElevation_m }, slopeOr(at, meanGroundSlope_ratio))
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}

const slopeOr = (at: ProfilePoint, mean: number): number => (Number.isNaN(at.crossSlope_ratio) ? mean : Math.abs(at.crossSlope_ratio))

function stormsOf(
  rain: RainTable | null,
  settings: Settings,
  cn: number,
  area_m2: number,
  storage: LineStorage | null,
): Assessment['storms'] {
  if (!rain) return []
  const durations = durations_h(rain)
  const duration_h = settings.stormDuration_h
  if (duration_h < durations[0]! || duration_h > durations[durations.length - 1]!) return []
  return [...new Set([...chances(rain), settings.acceptanceChance])]
    .sort((a, b) => b - a)
    .flatMap(chancePerYear => {
      let rain_mm: number
      try {
        rain_mm = rainDepth_mm(rain, duration_h, chancePerYear)
      } catch (error) {
        if (error instanceof InputError && error.code === 'rain/outside-table') return []
        throw error
      }
      const runoff_mm = stormRunoff_mm(rain_mm, cn)
      const runoff_m3 = volume_m3(runoff_mm, area_m2)
      return [
        {
          chancePerYear,
          duration_h,
          rain_mm,
          runoff_mm,
          runoff_m3,
          kept_m3: storage && Math.min(runoff_m3, storage.toSillAfterSediment_m3),
        },
      ]
    })
}
