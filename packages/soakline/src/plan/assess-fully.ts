import { storageAt_m3 } from '../earthworks/index.js'
import { type Finding, finish, type Steps, within } from '../foundation/index.js'
import { hollowCells, type RainTable } from '../hydrology/index.js'
import { cellAt, cellCentre, distanceToSegment, elevationErrorOr_m, type Point, placeAlong } from '../raster/index.js'
import {
  areaDoubt,
  atTwiceTheError,
  type BreachAnswer,
  belowBerm,
  beyondEnd,
  breachesAlongSteps,
  buildingDoubts,
  type DoubtRuns,
  type DugGround,
  type DugOverflow,
  doubtRunsSteps,
  dugGroundSteps,
  dugScratch,
  FLOW_DEPTH_m,
  MOST_CORRELATED_CELLS,
  overflowAsDug,
  overflowInFull,
  overflowVerdict,
  type SpillChoice,
  spillChoiceSteps,
  visitedRings,
} from '../siting/index.js'
import { type AssessOptions, assess, type Site } from './assess.js'
import type { Assessment, SpillAnswer } from './assessment.js'
import { ditchBuilt } from './ditch-built.js'
import { dugLineOf } from './dug-line.js'
import * as find from './findings.js'
import { heldArea_m2 } from './held-area.js'
import { ditchPool, type LineDitch, type LineGround, lineDitch, lineGround } from './line-ditch.js'
import type { Settings } from './settings.js'
import { chosenPlace_m } from './spill-place.js'

/** What `assessFully` may be told besides. */
export interface AssessFullyOptions extends Omit<AssessOptions, 'live' | 'areas'> {
  /** Seed of the tried terrains. Default 1: the same question gives the same answer. */
  readonly seed?: number
}

/**
 * The whole answer about one line, with all that takes seconds: every place along it tried as a spill, overflow and breach on the ground as dug, and
 * the doubt that the heights' error leaves, which the sill is then sized by.
 *
 * Throws  what `assess` throws.
 * Cost    some seconds; the tried terrains take most of it (see `doubtRuns`).
 */
export function assessFully(
  site: Site,
  line: readonly Point[],
  settings: Settings,
  rain: RainTable | null,
  options: AssessFullyOptions = {},
): Assessment {
  return finish(assessFullySteps(site, line, settings, rain, options))
}

/** `assessFully` in steps. */
export function* assessFullySteps(
  site: Site,
  line: readonly Point[],
  settings: Settings,
  rain: RainTable | null,
  { seed = 1, ...options }: AssessFullyOptions = {},
): Steps<Assessment> {
  const { study, features, streams } = site
  const first = assess(site, line, settings, rain, { ...options, live: true })
  const flow_m3s = first.spillway?.peakInflow_m3s ?? 0

  // The outlet first: every place along the line as it is drawn.
  const bare = yield* within(0, 0.02, dugGroundSteps(study, []))
  const choice = yield* within(
    0.02,
    0.1,
    spillChoiceSteps(bare, line, null, features, flow_m3s, {
      buildingClearance_m: settings.buildingClearance_m,
      elevationError_m: settings.elevationError_m,
      armoured: settings.sillArmoured,
      spreaderRule: settings.spreaderRule,
      ...(settings.bedFall_ratio > 0 ? { bedFall_ratio: settings.bedFall_ratio } : {}),
      ...(first.spillway ? { sill_m: first.spillway.length_m } : {}),
      scratch: dugScratch(bare, streams),
    }),
  )
  const best_m = choice.best === null ? null : choice.places[choice.best]!.chainage_m
  const spillChainage_m = chosenPlace_m(first.spills, { spillChainage_m: settings.spillChainage_m ?? best_m }, first.line.length_m)
  const chosen: Settings = { ...settings, spillChainage_m }

  // How far the answers move when the heights are as wrong as they may be.
  const ends = first.spills.map(spill => spill.chainage_m)
  const places = [...new Set([...ends, spillChainage_m])].sort((a, b) => a - b)
  const asked = question(first, line, places, settings, seed)
  const tries = settings.triedTerrains > 0
  const doubt = tries ? yield* within(0.1, 0.5, doubtRunsSteps(study, features, asked, { streams })) : null
  // Runs with twice the error find the rare ways that as many plain ones would miss.
  const twice = tries ? yield* within(0.5, 0.7, doubtRunsSteps(study, features, atTwiceTheError(asked), { streams })) : null
  const area = doubt && areaDoubt(doubt)

  const answer = assess(site, line, chosen, rain, {
    ...options,
    ...(area ? { areas: { low_m2: area.p10_m2, high_m2: Math.max(area.p90_m2, first.catchment.area_m2) } } : {}),
  })
  const ground = lineGround(study.surveyed, line)
  const planned = lineDitch(ground, chosen, spillChainage_m, answer.acceptance.freeboard_m)
  const ditch = planned && options.built ? ditchBuilt(planned, options.built, chosen) : planned
  const dug = ditch && (yield* within(0.7, 0.8, digAlong(site, line, ground, ditch, answer)))
  const asDug =
    dug &&
    answer.spills.map(({ chainage_m }) => {
      const from = startAsDug(dug.dug, chainage_m, answer.line.length_m)
      return { chainage_m, overflow: from && overflowAsDug(dug.dug, features, from, { scratch: dug.scratch }) }
    })
  const breach = dug && ditch ? yield* within(0.8, 1, breaches(site, dug, ditch, answer)) : null
  const told = answer.spills
    .map((spill, k): SpillAnswer => (dug ? spillAsDug(site, answer, spill, asDug?.[k]?.overflow ?? null, dug, settings) : spill))
    .map((spill): SpillAnswer => asChosen(withDoubt(spill, doubt, places, settings), choice))
  const findings = findingsOf(answer, asDug, choice, breach, doubt, twice, places, settings, site)
  const held_m2 = findings.some(found => found.because === MUCH_FILLED) ? yield* heldArea_m2(site, line) : null
  const order = [...told].sort((a, b) => a.rank - b.rank)
  return {
    ...answer,
    catchment: {
      ...answer.catchment,
      low_m2: area?.p10_m2 ?? null,
      middle_m2: area?.p50_m2 ?? null,
      high_m2: area?.p90_m2 ?? null,
      runs: doubt?.runs ?? 0,
      errorTried_m: doubt ? elevationErrorOr_m(settings.elevationError_m, answer.ground.cell_m) : null,
    },
    spills: told.map(spill => ({ ...spill, rank: order.indexOf(spill) + 1 })),
    spillChoice: choice,
    breaches: breach && breach.stakes.map(({ points: _points, ...stake }) => stake),
    worstBreach: breach && { stake: breach.worst, overflow: breach.worstOverflow },
    findings: findings.map(found => (held_m2 !== null && found.because === MUCH_FILLED ? find.catchmentIfHeld(found, held_m2) : found)),
  }
}

const MUCH_FILLED = 'catchment/much-filled'

/** Where water that leaves at a chainage comes down on old ground, with the berm in place. */
function startAsDug(dug: DugGround, chainage_m: number, length_m: number): Point | null {
  if (chainage_m <= 0) return beyondEnd(dug, 0, 'start')
  return chainage_m >= length_m ? beyondEnd(dug, 0, 'end') : belowBerm(dug, 0, chainage_m)
}

/** What the tried terrains are asked: with the clearance that the settings ask for, and as much height as flow and error may take. */
function question(first: Assessment, line: readonly Point[], places: readonly number[], settings: Settings, seed: number) {
  const { cell_m } = first.ground
  const sigma_m = elevationErrorOr_m(settings.elevationError_m, cell_m)
  return {
    line,
    spills: places.map(chainage_m => sillPlaces(line, chainage_m, first)),
    error: {
      sigma_m,
      correlated_ratio: settings.correlatedError_ratio,
      correlationLength_m: Math.min(settings.errorCorrelation_m, MOST_CORRELATED_CELLS * cell_m),
    },
    clearance: { plan_m: Math.max(0.1, settings.buildingClearance_m), height_m: FLOW_DEPTH_m + 2 * sigma_m },
    seed,
    runs: settings.triedTerrains,
  }
}

/** Places along the sill from which water is let go: its middle and its two ends, as far as the line goes. */
function sillPlaces(line: readonly Point[], chainage_m: number, { line: { length_m }, spillway }: Assessment): Point[] {
  const half_m = (spillway?.length_m ?? 1) / 2
  const along = [chainage_m - half_m, chainage_m, chainage_m + half_m].map(at => Math.min(length_m, Math.max(0, at)))
  return [...new Set(along)].map(at => placeAlong(line, at).at)
}

/** The ground with this one line dug in it. */
function* digAlong(site: Site, line: readonly Point[], ground: LineGround, ditch: LineDitch, answer: Assessment) {
  const sill = answer.spillway && { chainage_m: answer.spillway.chainage_m, length_m: answer.spillway.length_m }
  const dug = yield* dugGroundSteps(site.study, [dugLineOf(line, ground, ditch, sill)])
  return { dug, scratch: dugScratch(dug, site.streams) }
}
type Dug = ReturnType<typeof digAlong> extends Steps<infer D> ? D : never

/** The way of the overflow with the berm in the ground, and its water where it is the chosen place; as it was where the works leave none. */
function spillAsDug(
  site: Site,
  answer: Assessment,
  spill: SpillAnswer,
  overflow: DugOverflow | null,
  { dug, scratch }: Dug,
  { elevationError_m }: Settings,
): SpillAnswer {
  if (!overflow) return spill
  const { spillway } = answer
  const full =
    spillway && spill.chainage_m === spillway.chainage_m && spillway.peakSpill_m3s > 0
      ? overflowInFull(dug, site.features, overflow.from, spillway.peakSpill_m3s, { scratch, sill_m: spillway.length_m, elevationError_m })
      : null
  return {
    ...spill,
    path: pathOf(overflow, site.study.ground.geometry.cell_m),
    band: overflow.band,
    flow: full && {
      flow_m3s: full.flow_m3s,
      deepest_m: full.deepest ? Math.max(full.deepest.bare.depth_m, full.deepest.grassed.depth_m) : null,
      fastest_ms: full.fastest?.bare.velocity_ms ?? null,
      inForest_m: full.inForest_m,
      passes: full.passes,
    },
  }
}

/** The reasons and the rank that the choice among all places gives it. */
function asChosen(spill: SpillAnswer, { places }: SpillChoice): SpillAnswer {
  const place = places.find(one => Math.abs(one.chainage_m - spill.chainage_m) < 1e-6)
  return place ? { ...spill, reasons: place.reasons.map(reason => reason.code), rank: place.rank } : spill
}

const pathOf = (overflow: DugOverflow, cell_m: number): SpillAnswer['path'] => ({
  points: overflow.points,
  beyond: overflow.beyond,
  length_m: overflow.length_m,
  endsIn: overflow.endsIn,
  nearestBuilding_m: overflow.buildings[0]?.distance_m ?? null,
  nearestBuildingName: overflow.buildings[0] ? (overflow.buildings[0].name ?? overflow.buildings[0].id) : null,
  heightBelowFloor_m: overflow.buildings[0]?.heightBelowFloor_m ?? null,
  reachesBuilding: find.reaches(overflow, cell_m),
})

/** In how many of the tried terrains it comes to a building, and where it ran in them. */
function withDoubt(spill: SpillAnswer, doubt: DoubtRuns | null, places: readonly number[], { buildingClearance_m }: Settings): SpillAnswer {
  const k = places.indexOf(spill.chainage_m)
  if (!doubt || k < 0) return spill
  const worst = buildingDoubts(doubt, k)[0] ?? null
  return {
    ...spill,
    path: {
      ...spill.path,
      reachedInRuns: worst?.touched ?? 0,
      runs: doubt.runs,
      nearInRuns: worst?.reached ?? 0,
      clearance_m: buildingClearance_m,
      atMost_ratio: worst?.reachedAtMost_ratio ?? null,
      leftWindow: doubt.spills[k]!.leftWindow,
    },
    tried: [0, 0.1, 0.5].map(share_ratio => ({ share_ratio, rings: visitedRings(doubt, k, share_ratio) })),
  }
}

function* breaches(site: Site, { dug, scratch }: Dug, ditch: LineDitch, answer: Assessment): Steps<BreachAnswer> {
  const pool = ditchPool(ditch, 0)
  const storm = answer.storms.find(s => s.chancePerYear === answer.acceptance.chancePerYear)?.worst
  return yield* breachesAlongSteps(
    dug,
    0,
    site.features,
    [{ stored_m3: storageAt_m3(pool, ditch.crestLevel_m) }],
    storm?.peakInflow_m3s ?? 0,
    { scratch },
  )
}

/** The first bank that may have a pipe under it on the way of an overflow, or on the rim of a hollow that it runs through; null for none. */
function culvertMet({ study }: Site, ways: readonly { readonly chainage_m: number; readonly overflow: DugOverflow }[]): number | null {
  const g = study.ground.geometry
  const near_m = 1.5 * g.cell_m
  const banks = study.culvertPlaces.map(({ hollow, from, to }) => ({
    from: cellCentre(g, from),
    to: cellCentre(g, to),
    held: new Set(hollowCells(study.ground, study.brimful, study.hollows[hollow]!.deepest)),
  }))
  const meets = (place: Point): boolean =>
    banks.some(({ from, to, held }) => held.has(cellAt(g, place[0], place[1])) || distanceToSegment(place, from, to).distance_m <= near_m)
  return ways.find(({ overflow }) => overflow.points.some(meets) || overflow.beyond.some(meets))?.chainage_m ?? null
}

/** The findings of the quick answer, the overflow's judged anew, and those of the spill's place and the breach. */
function findingsOf(
  answer: Assessment,
  asDug: readonly { readonly chainage_m: number; readonly overflow: DugOverflow | null }[] | null,
  choice: SpillChoice,
  breach: BreachAnswer | null,
  doubt: DoubtRuns | null,
  twice: DoubtRuns | null,
  places: readonly number[],
  settings: Settings,
  site: Site,
): Assessment['findings'] {
  const cell_m = site.study.ground.geometry.cell_m
  const buildingsDrawn = site.features.some(f => f.kind === 'building')
  const known = asDug?.flatMap(({ chainage_m, overflow }) => (overflow ? [{ chainage_m, overflow }] : [])) ?? []
  const judged = doubt ? places.map((chainage_m, k) => ({ chainage_m, judgement: overflowVerdict(doubt, twice, k) })) : []
  const area = doubt && areaDoubt(doubt)
  const overflow = (plain: Finding): Finding => {
    const asItIs = known.length > 0 ? find.overflowMissesBuildings(known, buildingsDrawn, settings, cell_m) : plain
    const inDoubt = doubt ? find.overflowInDoubt(asItIs, judged, settings) : find.overflowUntried(asItIs)
    return find.culvertOnWay(inDoubt, culvertMet(site, known))
  }
  const findings = answer.findings.map(finding =>
    finding.check === 'catchment-complete' && area
      ? find.catchmentInDoubt(finding, area.p10_m2, area.p90_m2)
      : finding.check === 'overflow-misses-buildings'
        ? overflow(finding)
        : finding,
  )
  const place = find.spillPlace(choice, settings)
  const before = findings.findIndex(f => f.check === 'overflow-misses-buildings')
  return [
    ...findings.slice(0, before),
    place,
    ...findings.slice(before),
    find.breachMissesBuildings(breach, answer.spillway !== null, buildingsDrawn, settings),
  ]
}
