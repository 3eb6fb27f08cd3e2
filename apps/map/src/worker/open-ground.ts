import type { UnitSystem } from '@soakline/drawing'
import { lonLatExtent, type Projection, placeInPlan, placeOnGround, type Reading } from '@soakline/io'
import { inTurns, METRES_PER, type TurnOptions } from 'soakline/foundation'
import { openRim_ratio, studyWater, studyWaterSteps, type WalkScratch, type WaterStudy, walkScratch } from 'soakline/hydrology'
import type { Kernels } from 'soakline/kernels'
import { groundFit, type Place, type PlanHollow, type Settings, settingsFrom } from 'soakline/plan'
import { cellCentre, type Grid, type GridGeometry, type Point } from 'soakline/raster'
import { drawnWorks, type NoGoMemory, noGoMemory, type SiteFeature } from 'soakline/siting'
import { type ContourLine, contourInterval_m, contourLines, gradient } from 'soakline/terrain'
import { toDisplay } from '../display.js'
import { mapPlaces } from './map-places.js'
import type { GroundCard, GroundPicture, HollowCard } from './protocol.js'
import { type GroundLook, groundLook } from './shade-tile.js'

/** What a tile of the ground is drawn from. */
export interface Drawable {
  readonly reading: Reading
  readonly look: GroundLook
  readonly picture: GroundPicture
  readonly localCentre: GroundCard['localCentre']
}

/** All that is known of the one open raster. */
export interface Ground extends Drawable {
  readonly name: string
  readonly kernels: Kernels | null
  readonly study: WaterStudy
  /** The study that answers rest on, remade when culverts, walls or choices about hollows change. */
  treated: { readonly key: string; readonly study: WaterStudy }
  /** Working memory of the answers, kept while the ground is open. */
  readonly scratch: WalkScratch
  readonly gradient: Grid<'gradient_ratio'>
  /** What no-go ground was worked out from, so that one changed feature costs little. */
  readonly noGoMemory: NoGoMemory
  /** The same for what another limit would give. */
  readonly limitMemory: NoGoMemory
  readonly card: GroundCard
  readonly contours: (units: UnitSystem) => readonly ContourLine[]
  /** From the working CRS to map degrees, each time a pair of its own. */
  readonly onMap: ReturnType<typeof mapPlaces>
}

/**
 * The same reading with a grid that is made here, whatever file or thread it comes from: the engine makes its code of an answer for objects made in one
 * place, so that what it has learnt by one ground, or by the invented one of `warmDrag`, holds for the next.
 */
export function madeHere(reading: Reading): Reading {
  const { quantity, geometry, data } = reading.grid
  const { width, height, cell_m, west_m, north_m, crs } = geometry
  return { ...reading, grid: { quantity, geometry: { width, height, cell_m, west_m, north_m, crs }, data } }
}

/** What is needed to draw the ground, from its heights alone. */
export function drawable(reading: Reading, groundNumber: number): Drawable {
  const { geometry } = reading.grid
  const { width, height, cell_m, west_m, north_m } = geometry
  const localCentre =
    reading.projection.kind === 'local' ? ([west_m + (width * cell_m) / 2, north_m - (height * cell_m) / 2] as const) : null
  const bounds = boundsOf(geometry, reading.projection, localCentre)
  return { reading, look: groundLook(reading.grid), localCentre, picture: { groundNumber, bounds, cell_m } }
}

/** Works out the water of a ground, and makes what is kept while it is open. */
export async function study(name: string, shown: Drawable, kernels: Kernels | null, turns: TurnOptions): Promise<Ground> {
  const { reading, look, localCentre, picture } = shown
  const { grid, report } = reading
  const { geometry } = grid
  const water = await inTurns(studyWaterSteps(grid, { kernels }), turns)
  const range_m = report.maximum_m - report.minimum_m
  const interval_m = { metric: contourInterval_m(range_m), us: contourInterval_m(range_m / METRES_PER.ft) * METRES_PER.ft }
  const card: GroundCard = {
    name,
    report,
    bounds: picture.bounds,
    localCentre,
    width_m: geometry.width * geometry.cell_m,
    height_m: geometry.height * geometry.cell_m,
    hollows: water.hollows.length,
    openRim_ratio: openRim_ratio(grid, water.drained),
    contourInterval_m: interval_m,
    fit: groundFit(geometry.cell_m, settingsFrom({}).settings),
    groundNumber: picture.groundNumber,
    tint_m: [look.low_m, look.high_m],
  }
  return {
    ...shown,
    name,
    kernels,
    study: water,
    treated: { key: '', study: water },
    scratch: walkScratch(grid.data.length),
    gradient: gradient(grid, kernels),
    noGoMemory: noGoMemory(),
    limitMemory: noGoMemory(),
    card,
    contours: onceEach(units => contourLines(grid, interval_m[units])),
    onMap: mapPlaces(geometry, at => (localCentre ? toDisplay(at, localCentre) : reading.projection.toLonLat(at[0], at[1]))),
  }
}

/** Works out a value for each system of units when it is first asked for. */
function onceEach<T>(make: (units: UnitSystem) => T): (units: UnitSystem) => T {
  const made = new Map<UnitSystem, T>()
  return units => {
    const value = made.get(units) ?? make(units)
    made.set(units, value)
    return value
  }
}

function boundsOf(g: GridGeometry, projection: Projection, localCentre: readonly [number, number] | null): GroundCard['bounds'] {
  const extent = lonLatExtent(g, projection)
  if (extent) return [extent[0], extent[1], extent[2], extent[3]]
  const south = g.north_m - g.height * g.cell_m
  return [...toDisplay([g.west_m, south], localCentre), ...toDisplay([g.west_m + g.width * g.cell_m, g.north_m], localCentre)]
}

/** A plan's place in the working CRS. */
export const working = ({ reading }: Drawable, place: Place): Point => placeOnGround(reading.projection, place)

/** A place of the working CRS as a plan keeps it. */
export const planPlace = ({ reading }: Ground, at: Point): Place => placeInPlan(reading.projection, at)

/** The study of the ground with what is drawn and chosen; the plain one, made when the ground was opened, where nothing changes it. */
export function treated(here: Ground, features: readonly SiteFeature[], chosen: readonly PlanHollow[], settings: Settings): WaterStudy {
  const works = drawnWorks(features, settings.wallHeight_m)
  const { elevationError_m } = settings
  const plain = works.culverts.length === 0 && works.walls.length === 0 && chosen.length === 0 && elevationError_m === null
  const key = plain ? '' : JSON.stringify([works, chosen, elevationError_m])
  if (here.treated.key !== key)
    here.treated = {
      key,
      study: plain
        ? here.study
        : studyWater(here.reading.grid, {
            kernels: here.kernels,
            ...works,
            hollows: chosen.map(({ at, treatment }) => ({ at: working(here, at), treatment })),
            ...(elevationError_m === null ? {} : { elevationError_m }),
          }),
    }
  return here.treated.study
}

/** Hollows that are asked about: the largest, and none that holds less than a wheelbarrow or two, unless something was chosen for it. Judgement. */
const MOST_HOLLOWS = 12
const LEAST_HOLLOW_M3 = 0.2

export function hollowCards(here: Ground, { ground, hollowsBefore, hollows, outcomes, culvertPlaces }: WaterStudy): HollowCard[] {
  const place = (cell: number): Place => planPlace(here, cellCentre(ground.geometry, cell))
  return hollowsBefore.flatMap((hollow, index) => {
    const choices = outcomes.flatMap((outcome, k) => (outcome.hollow === index ? [k] : []))
    const asked = index < MOST_HOLLOWS && hollow.volume_m3 >= LEAST_HOLLOW_M3
    if (!asked && choices.length === 0) return []
    const outcome = outcomes[choices[0] ?? -1]
    const bank = culvertPlaces.find(found => hollows[found.hollow]!.deepest === hollow.deepest)
    return [
      {
        at: place(hollow.deepest),
        depth_m: hollow.depth_m,
        area_m2: hollow.area_m2,
        volume_m3: hollow.volume_m3,
        guess: hollow.guess,
        chosen: outcome?.choice.treatment ?? 'fill',
        done: outcome === undefined || outcome.done === outcome.choice.treatment,
        choices,
        culvert: bank ? { from: place(bank.from), to: place(bank.to), length_m: bank.length_m } : null,
      },
    ]
  })
}
