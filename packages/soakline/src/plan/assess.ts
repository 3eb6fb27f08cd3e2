import { storageAt_m3 } from '../earthworks/index.js'
import { type Finding, InputError, type Warning } from '../foundation/index.js'
import {
  type Catchment,
  type CatchmentOutline,
  catchmentOutline,
  chances,
  contributingArea,
  type DailyRain,
  EMPTY_SOIL_RECORD,
  type Hyetograph,
  lineCatchment,
  type RainTable,
  type SoilRecord,
  type WalkScratch,
  type WaterStudy,
  walkScratch,
} from '../hydrology/index.js'
import { cellAt, type Grid, type Point, placeAlong, ringArea_m2, stations } from '../raster/index.js'
import {
  cautionsAlong,
  type NoGoGround,
  type NoGoOptions,
  noGoAlong,
  noGoGround,
  type Overflow,
  overflowFrom,
  type SiteFeature,
  streamCells,
} from '../siting/index.js'
import { profileAlong } from '../terrain/index.js'
import type { Assessment, StormAnswer } from './assessment.js'
import { cutSides } from './cut-sides.js'
import { type DitchBuilt, ditchBuilt } from './ditch-built.js'
import { dugLineOf, storedAsDug_m3 } from './dug-line.js'
import { earthOf } from './earth.js'
import * as find from './findings.js'
import { gatheringTime } from './gathering-time.js'
import { catchmentCovers, drawnCovers, meanCurveNumber } from './ground-cover.js'
import {
  bedLevel_m,
  bedRise_m,
  ditchPool,
  type LineDitch,
  type LineSection,
  lineDitch,
  lineGround,
  lineSection,
  slopeOr,
  spillToCrest_m,
} from './line-ditch.js'
import { OFF_LEVEL } from './off-level.js'
import { outsideMethods } from './outside-methods.js'
import type { Settings } from './settings.js'
import { countedIntake, decisionOf, soaking } from './soaking.js'
import { bestSpill, chosenPlace_m } from './spill-place.js'
import { routeEmpty, routeWorst, sillFor, spillway } from './spillway.js'
import { levelsOf } from './storm-hours.js'
import { type GatheredWater, measuredWater, type NoStorm, type StormWater, stormWater } from './storm-water.js'
import { yearOf } from './year.js'

/** The holding as an assessment sees it: worked out once, asked with every line. */
export interface Site {
  readonly study: WaterStudy
  readonly gradient: Grid<'gradient_ratio'>
  readonly features: readonly SiteFeature[]
  readonly noGo: NoGoGround
  readonly streams: Uint8Array
  /** Contributing area of each cell, by the dispersive network. */
  readonly gathers: Grid<'contributing-area_m2', Float64Array>
  readonly voidCells: number
  /** What is drawn on each cell as cover, see `drawnCovers`. */
  readonly covers: Uint8Array
  /** What was dug and seen. */
  readonly soil: SoilRecord
  /** Hash of the raster and remarks made when it was read. */
  readonly ground: { readonly sha256: string; readonly warnings: readonly Warning[] }
}

/** What a site may have besides its ground and its features. */
export interface SiteOptions extends NoGoOptions {
  /** What was dug and seen. */
  readonly soil?: SoilRecord
}

/** Puts a site together: the study of its ground, what is drawn on it, and where no swale goes. */
export function siteOf(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  settings: Settings,
  ground: Site['ground'],
  { soil = EMPTY_SOIL_RECORD, memory, layers }: SiteOptions = {},
): Site {
  return {
    study,
    gradient,
    features,
    noGo: noGoGround(study, gradient, features, settings, { ...(memory ? { memory } : {}), ...(layers ? { layers } : {}) }),
    streams: streamCells(study, features),
    gathers: contributingArea(study.net),
    voidCells: study.ground.data.reduce((count, z) => count + (!Number.isNaN(z) ? 0 : 1), 0),
    covers: drawnCovers(study.ground.geometry, features),
    soil,
    ground,
  }
}

/** What `assess` may be told besides. */
export interface AssessOptions {
  /** The ditch as it was built, where it was read (`asBuilt(…).built`): everything is worked out on that. Default null: as planned. */
  readonly built?: DitchBuilt | null
  /** Working memory of a shell that asks again and again, see `WalkScratch`. */
  readonly scratch?: WalkScratch
  /** True leaves out the other storms and all routing: for a look while the line is still moving. Peaks then pass unlowered. Default false. */
  readonly live?: boolean
  /** True counts the store a second time, cell by cell on the ground as dug: takes some tenths of a second. Default false. */
  readonly asDug?: boolean
  /** A storm as it was measured. */
  readonly measuredStorm?: Hyetograph | null
  /** A record of daily rain, for how often the ditch spills and how long it stands. */
  readonly dailyRain?: DailyRain | null
  /** The catchment's area where the heights are as wrong as they may be: storage is claimed on the lower, spills are sized on the upper end. */
  readonly areas?: { readonly low_m2: number; readonly high_m2: number }
}

/**
 * The whole answer about one line.
 *
 * Throws  InputError `line/outside` where the line leaves the raster or crosses a gap, `line/too-short`.
 * Cost    some steps for each cell of the catchment and of the overflows, and a routing for each storm.
 */
export function assess(
  site: Site,
  line: readonly Point[],
  settings: Settings,
  rain: RainTable | null,
  { scratch: given, live = false, asDug = false, dailyRain = null, measuredStorm = null, areas, built = null }: AssessOptions = {},
): Assessment {
  const { study } = site
  const scratch = given ?? walkScratch(study.ground.data.length)
  const { ground } = study
  // What is dug is dug in the ground as it lies; water runs on the ground with culverts, walls and carved hollows.
  const along = lineGround(study.surveyed, line)
  const { length_m } = along
  const noGo = noGoAlong(site.noGo, line)

  const catchment = lineCatchment(study.net, ground, line, study.rim, scratch)
  const outline = catchmentOutline(ground, catchment, line)
  const polygonArea_m2 = outline.rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)
  const covers = catchmentCovers(catchment, site.covers, settings)
  const area_m2 = catchment.area_m2

  // The outlet first: the bed, the sill and the crest follow from where it spills.
  const ranked = rankSpills(spillPlaces(site, line, length_m, settings, scratch))
  // A place beyond a line that was shortened since is the line's end.
  const spillAt_m = chosenPlace_m(ranked, settings, length_m)
  const chosen = ranked.find(spill => spill.chainage_m === spillAt_m) ?? null
  const houseBelow = ranked.some(({ overflow }) => (overflow.buildings[0]?.distance_m ?? Infinity) <= settings.buildingClearance_m)
  const freeboard_m = houseBelow ? Math.max(settings.freeboard_m, settings.freeboardAboveHouse_m) : settings.freeboard_m
  const acceptanceChance = houseBelow ? Math.min(settings.acceptanceChance, settings.acceptanceChanceAboveHouse) : settings.acceptanceChance

  const heights = along.stakes.map(p => p.ground_m - bedRise_m(settings, spillAt_m, p.chainage_m))
  const groundRange_m = Math.max(...heights) - Math.min(...heights)
  const bed_m = bedLevel_m(along, settings, spillAt_m)
  const level = groundRange_m <= OFF_LEVEL.most_ratio * settings.depth_m
  const planned = level ? lineDitch(along, settings, spillAt_m, freeboard_m) : null
  const ditch = planned && built ? ditchBuilt(planned, built, settings) : planned

  const time = gatheringTime(study, line, area_m2, meanCurveNumber(covers), along.meanSlope_ratio, rain, settings, scratch)
  const stormOf = (chancePerYear: number, table: RainTable): StormWater | NoStorm =>
    stormWater(table, chancePerYear, covers, area_m2, Math.max(area_m2, areas?.high_m2 ?? 0), time.time_h, along.meanSlope_ratio, settings)
  const accepted = rain ? stormOf(acceptanceChance, rain) : null
  const acceptance = typeof accepted === 'string' ? null : accepted
  const decision = decisionOf(site.soil, line, along, ditch, settings)
  const intake = decision && decision.pits.dug > 0 ? decision.credited : countedIntake(settings)
  // Without routing two levels are asked for.
  const pool = ditch && ditchPool(ditch, intake.intake?.value ?? 0, live ? [ditch.spillLevel_m, ditch.crestLevel_m] : undefined)
  const sill = sillFor(acceptance, settings)
  const spill =
    ditch && pool && acceptance ? spillway(ditch, pool, acceptance, spillAt_m, chosen?.overflow.exitSlope_ratio ?? 0, settings, live) : null
  const others = rain && !live ? chances(rain).filter(chance => chance !== acceptanceChance) : []
  const storms = [...(acceptance ? [acceptance] : []), ...others.flatMap(chance => stormOrNone(stormOf(chance, rain!)))]
    .sort((a, b) => b.chancePerYear - a.chancePerYear)
    .map(storm => ({
      chancePerYear: storm.chancePerYear,
      rationalPeak_m3s: storm.rationalPeak_m3s,
      ...stormAnswer(storm, ditch, pool, sill?.length_m ?? null, settings, live),
    }))
  const measured =
    measuredStorm && !live
      ? measuredWater(measuredStorm, covers, area_m2, Math.max(area_m2, areas?.high_m2 ?? 0), time.time_h, settings)
      : null
  const judged = storms.find(storm => storm.chancePerYear === acceptanceChance) ?? null
  const storage = ditch &&
    pool && {
      ...storageOf(ditch, pool, settings),
      ...(asDug
        ? {
            asDug_m3: storedAsDug_m3(study.surveyed, dugLineOf(line, along, ditch, spill), ditch, settings.bedWidth_m, spill),
          }
        : {}),
    }
  const soaks = soaking(ditch, intake, decision, acceptance?.wet.hydrograph.peak_m3s ?? null, settings)

  const year =
    dailyRain && ditch && storage && !live ? yearOf(ditch, storage, dailyRain, covers, area_m2, soaks.infiltration_mmh, settings) : null

  const made = [
    find.groundFit(ground.geometry.cell_m, settings, {
      warnings: site.ground.warnings,
      slope_ratio: along.meanSlope_ratio,
      berm_m: ditch ? ditch.mean.crest_z_m - ditch.mean.lip_z_m : 0,
    }),
    find.permissionsAsked(settings),
    find.lineOffNoGo(noGo, length_m, site.features.length),
    find.cautionsOnLine(cautionsAlong(site.noGo, line), settings),
    find.lineAcrossFlow(concentratedAt(site, line, area_m2), settings),
    find.soilSoaks(soaks, settings),
    find.catchmentComplete(catchment, polygonArea_m2, filledShare(study, catchment)),
    find.storageHoldsStorm(judged, rain, accepted, acceptanceChance, settings, catchment, storage, groundRange_m),
    ...find.bareAboveLine(settings),
    ...outsideMethods(time, meanCurveNumber(covers), acceptance, settings),
    find.spillCarriesPeak(spill, acceptance, accepted, rain, acceptanceChance, catchment, settings, length_m),
    find.freeboardLeft(spill, acceptance, freeboard_m, houseBelow, catchment),
    find.exitHolds(spill),
    find.waterAgainstFill(ditch, spill),
    find.localLimits(ditch && ditch.mean.crest_z_m - ditch.mean.lip_z_m, storage && storage.toCrest_m3, settings),
    find.overflowMissesBuildings(
      ranked,
      site.features.some(f => f.kind === 'building'),
      settings,
      ground.geometry.cell_m,
    ),
    find.overflowStaysOnHolding(
      bestSpill(ranked),
      site.features.some(f => f.kind === 'boundary'),
    ),
  ]

  const findings = saidOnce(made.map(found => find.inSnow(found, settings)))

  const natural = along.stakes.map(p => p.ground_m)
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
      bedElevation_m: ditch?.bed_m ?? bed_m,
      bedFall_ratio: settings.bedFall_ratio,
      fall_ratio: (natural[0]! - natural[natural.length - 1]!) / length_m,
      meanGroundSlope_ratio: along.meanSlope_ratio,
      groundRange_m,
      noGo,
    },
    catchment: {
      area_m2,
      polygonArea_m2,
      cutByEdge: catchment.cutByEdge,
      cutSides: catchment.cutByEdge ? cutSides(catchment, study.rim) : [],
      edgeShare_ratio: catchment.edgeShare_ratio,
      longestFlow_m: catchment.longestFlow_m,
      ridge: ridgeOf(outline),
      rings: outline.rings,
      ridgeLines: outline.ridges,
    },
    runoff: {
      curveNumber: meanCurveNumber(covers),
      curveNumberSource: covers.length === 1 ? covers[0]!.source : 'weighted by area from the covers listed',
      covers: covers.map(({ cover, condition, area_m2: part_m2, curveNumber, source }) => ({
        cover,
        condition,
        area_m2: part_m2,
        curveNumber,
        source,
      })),
      gatheringTime: time,
    },
    storms,
    acceptance: { chancePerYear: acceptanceChance, houseBelow, freeboard_m },
    hydrograph: acceptance && {
      chancePerYear: acceptance.chancePerYear,
      step_h: acceptance.wet.hydrograph.step_h,
      expected_m3s: acceptance.expected.hydrograph.flows_m3s,
      wet_m3s: acceptance.wet.hydrograph.flows_m3s,
      rain: { step_h: acceptance.rain.step_h, depths_mm: acceptance.rain.depths_mm },
      peakKnown: acceptance.wet.hydrograph.peak_m3s !== null,
      source: acceptance.wet.hydrograph.source,
    },
    storage,
    section: ditch?.mean ?? null,
    spillway: spill,
    soaking: soaks,
    measuredStorm:
      measuredStorm === null || measured === null || typeof measured === 'string'
        ? null
        : { source: measuredStorm.source, ...stormAnswer(measured, ditch, pool, sill?.length_m ?? null, settings, live) },
    year,
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
    earth: ditch && earthOf(ditch, settings),
    profile: along.stakes.map(({ chainage_m, ground_m }, k) => ({
      chainage_m,
      ground_m,
      bed_m: ditch ? ditch.stakes[k]!.bed_m : bed_m + bedRise_m(settings, spillAt_m, chainage_m),
      crest_m: ditch ? ditch.stakes[k]!.bed_m + ditch.stakes[k]!.section.crest_z_m : null,
      water_m: spill?.water[k]?.level_m ?? null,
    })),
    findings,
  }

  function rankSpills(all: readonly SpillPlace[]): RankedSpill[] {
    const judgedPlaces = all.map(place => ({ ...place, reasons: find.spillReasons(place.overflow, settings, ground.geometry.cell_m) }))
    const order = [...judgedPlaces].sort(
      (a, b) => find.spillCost(a.reasons, a.overflow) - find.spillCost(b.reasons, b.overflow) || a.chainage_m - b.chainage_m,
    )
    return judgedPlaces.map(place => ({ ...place, rank: order.indexOf(place) + 1 }))
  }
}

/** One and the same reason of one check is said once. */
const saidOnce = (findings: readonly Finding[]): Finding[] =>
  findings.filter((one, k) => findings.findIndex(({ check, because }) => check === one.check && because === one.because) === k)

interface SpillPlace {
  readonly chainage_m: number
  readonly overflow: Overflow
}

interface RankedSpill extends SpillPlace {
  readonly rank: number
  readonly reasons: string[]
}

/** Both ends of the line, and the place that the settings name. */
function spillPlaces(site: Site, line: readonly Point[], length_m: number, settings: Settings, scratch?: WalkScratch): SpillPlace[] {
  const named = settings.spillChainage_m
  const inner = named !== null && named > 0 && named < length_m ? [named] : []
  return [0, ...inner, length_m].flatMap(chainage_m => {
    const overflow = overflowFrom(site.study, site.features, placeAlong(line, chainage_m).at, site.streams, scratch)
    return overflow ? [{ chainage_m, overflow }] : []
  })
}

const stormOrNone = (storm: StormWater | NoStorm): StormWater[] => (typeof storm === 'string' ? [] : [storm])

function ridgeOf(outline: CatchmentOutline): Assessment['catchment']['ridge'] {
  return (
    outline.highPoint && { highPoint: outline.highPoint.at, elevation_m: outline.highPoint.elevation_m, length_m: outline.ridgeLength_m }
  )
}

function storageOf(ditch: LineDitch, pool: Parameters<typeof storageAt_m3>[0], settings: Settings): NonNullable<Assessment['storage']> {
  const toSill_m3 = storageAt_m3(pool, ditch.spillLevel_m)
  return {
    toSill_m3,
    toCrest_m3: storageAt_m3(pool, ditch.crestLevel_m),
    afterSediment_m3: toSill_m3 * (1 - settings.sedimentShare_ratio),
    sillElevation_m: ditch.bed_m + ditch.spillLevel_m,
    crestElevation_m: ditch.bed_m + ditch.crestLevel_m,
  }
}

/** Length of a sill that nobody knows yet: only volumes are taken from such a routing, and they hardly depend on it. */
const ANY_SILL_m = 2

function stormAnswer(
  storm: GatheredWater,
  ditch: LineDitch | null,
  pool: ReturnType<typeof ditchPool> | null,
  sillLength_m: number | null,
  settings: Settings,
  live: boolean,
): Omit<StormAnswer, 'chancePerYear' | 'rationalPeak_m3s'> {
  const empty = ditch && pool && !live ? routeEmpty(ditch, pool, storm, sillLength_m ?? ANY_SILL_m, settings) : null
  const worst = ditch && pool && !live && sillLength_m !== null ? routeWorst(ditch, pool, storm, sillLength_m, settings) : null
  const known = storm.expected.hydrograph.peak_m3s !== null && sillLength_m !== null
  return {
    duration_h: storm.duration_h,
    rain_mm: storm.rain_mm,
    runoff_mm: storm.expected.runoff_mm,
    runoff_m3: storm.expected.runoff_m3,
    runoffLeast_mm: storm.spread?.least_mm ?? null,
    runoffMost_mm: storm.spread?.most_mm ?? null,
    peakInflow_m3s: storm.expected.hydrograph.peak_m3s,
    highestWater_m: known && empty && ditch ? ditch.bed_m + empty.highest_m : null,
    freeboard_m: known ? (empty?.freeboard_m ?? null) : null,
    spillStarts_h: empty && empty.spillStarts_s !== null ? empty.spillStarts_s / 3600 : null,
    spilled_m3: empty?.spilled_m3 ?? null,
    peakSpill_m3s: known ? (empty?.peakSpill_m3s ?? null) : null,
    soaked_m3: empty?.soaked_m3 ?? null,
    standing_m3: empty?.left_m3 ?? null,
    kept_m3: empty
      ? Math.max(0, empty.inflow_m3 - empty.spilled_m3)
      : ditch && pool && Math.min(storm.expected.runoff_m3, storageAt_m3(pool, ditch.spillLevel_m)),
    worst:
      worst && ditch && storm.wet.hydrograph.peak_m3s !== null
        ? {
            runoff_m3: storm.wet.runoff_m3,
            peakInflow_m3s: storm.wet.hydrograph.peak_m3s,
            highestWater_m: ditch.bed_m + worst.highest_m,
            freeboard_m: worst.freeboard_m,
            peakSpill_m3s: worst.peakSpill_m3s,
          }
        : null,
    levels: empty && ditch && pool && levelsOf(empty, ditch.bed_m, pool, storm.expected.hydrograph.flows_m3s),
  }
}

/** Part of the catchment that lies under filled hollows, or is flat. */
function filledShare({ ground, brimful }: WaterStudy, { share, box, area_m2 }: Catchment): number {
  if (!(area_m2 > 0)) return 0
  const { width, cell_m } = share.geometry
  const [shares, brimful_m, ground_m] = [share.data, brimful.data, ground.data]
  let filled = 0
  for (let row = box.firstRow; row <= box.lastRow; row++)
    for (let cell = row * width + box.firstColumn, last = row * width + box.lastColumn; cell <= last; cell++)
      if (shares[cell]! > 0 && brimful_m[cell]! - ground_m[cell]! > FILLED_m) filled += shares[cell]!
  return (filled * cell_m * cell_m) / area_m2
}

/** Shallower fillings are noise of the heights. Source: judgement. */
const FILLED_m = 0.02

/** The place where most of the line's water arrives within one cell, and its share; null for a line without water. */
function concentratedAt(
  { gathers }: Site,
  line: readonly Point[],
  area_m2: number,
): { readonly chainage_m: number; readonly share_ratio: number; readonly area_m2: number } | null {
  let most: { chainage_m: number; share_ratio: number; area_m2: number } | null = null
  if (!(area_m2 > 0)) return null
  for (const { chainage_m, at } of stations(line, gathers.geometry.cell_m)) {
    const cell = cellAt(gathers.geometry, at[0], at[1])
    const here_m2 = cell < 0 ? Number.NaN : gathers.data[cell]!
    if (here_m2 > (most?.area_m2 ?? 0)) most = { chainage_m, share_ratio: Math.min(1, here_m2 / area_m2), area_m2: here_m2 }
  }
  return most
}

/**
 * The ditch's section at one place of a line that has been assessed, on the ground's own slope there; null where it cannot be dug as it is set, or
 * the place has no ground.
 */
export function sectionAt(
  site: Pick<Site, 'study'>,
  answer: Pick<Assessment, 'line' | 'acceptance' | 'profile'>,
  settings: Settings,
  chainage_m: number,
): LineSection | null {
  const { path, length_m, meanGroundSlope_ratio } = answer.line
  const { profile } = answer
  const place = Math.round((Math.min(Math.max(chainage_m, 0), length_m) / length_m) * (profile.length - 1))
  const at = profileAlong(site.study.surveyed, path, length_m / (profile.length - 1))[place]!
  try {
    return lineSection(
      settings,
      slopeOr(at, meanGroundSlope_ratio),
      at.ground_m - profile[place]!.bed_m,
      spillToCrest_m(settings, answer.acceptance.freeboard_m),
    )
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}
