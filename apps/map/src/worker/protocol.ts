import type { Language, PaperName, Ramp, SaidOutlet, UnitSystem } from '@soakline/drawing'
import type {
  Box,
  FileBounds,
  FittingSystem,
  GroundReport,
  GroundSource,
  KnownPoint,
  MapData,
  MapDataSource,
  ReadOptions,
  UnpackedGround,
  VectorFileOptions,
  VectorLayer,
  WrittenBook,
} from '@soakline/io'
import type { FeatureCollection } from 'geojson'
import type { Finding, InputErrorCode, Warning } from 'soakline/foundation'
import type { Hollow, HollowTreatment, RainRow, SoilRecord } from 'soakline/hydrology'
import type {
  AsBuilt,
  Assessment,
  BuiltReading,
  Cascade,
  ComparedDesigns,
  DugView,
  GridName,
  GroundWork,
  Influence,
  LevelBook,
  LineSection,
  Place,
  Plan,
  PlanFeature,
  PlanHollow,
  Settings,
  SiteRecords,
  StaffReadings,
  Stage,
  VerdictChanged,
} from 'soakline/plan'
import type { CandidateReason, CandidateSearch, NoGoChange, OutletSearch } from 'soakline/siting'
import type { MeasuredWay } from 'soakline/terrain'
import type { FileKind } from '../state/file-kind.js'
import type { GroundFile, ReadGround } from './read-ground.js'

/** Degrees on the map: longitude and latitude, or, for a raster without a place on Earth, stand-ins that `display.ts` makes. */
export type Display = readonly [number, number]

/** The one readable card about a raster. */
export interface GroundCard {
  readonly name: string
  readonly report: GroundReport
  /** West, south, east, north on the map. */
  readonly bounds: readonly [number, number, number, number]
  /** For a raster without a place on Earth: its centre in its own metres, where the map's stand-in degrees begin. */
  readonly localCentre: readonly [number, number] | null
  readonly width_m: number
  readonly height_m: number
  readonly hollows: number
  /** Share of the data's rim across which more water may come in. */
  readonly openRim_ratio: number
  /** The step between contours: whole metres, or whole feet. */
  readonly contourInterval_m: Readonly<Record<UnitSystem, number>>
  /** What the raster may be trusted for, by the settings' defaults. */
  readonly fit: Finding
  /** Counts the grounds opened in this session; tiles carry it so that old ones are not taken for new. */
  readonly groundNumber: number
  /** The heights between which its tint runs. */
  readonly tint_m: readonly [low: number, high: number]
}

/** Ground of which only the heights are known yet: enough to draw it. */
export interface GroundPicture extends Pick<GroundCard, 'groundNumber' | 'bounds'> {
  readonly cell_m: number
}

/** A layer as it was read; what refused it crosses the thread as data. */
export type ReadLayer = Omit<VectorLayer, 'problem'> & { readonly problem: Refusal | null }

/** A hollow of the ground before any was opened, and what is done with it. */
export interface HollowCard {
  /** Its deepest place. */
  readonly at: Place
  readonly depth_m: number
  readonly area_m2: number
  readonly volume_m3: number
  readonly guess: Hollow['guess']
  readonly chosen: HollowTreatment
  /** False where the choice could not be followed. */
  readonly done: boolean
  /** Indices of the choices that name it. */
  readonly choices: readonly number[]
  /** A bank under which a pipe may run; null for none. */
  readonly culvert: { readonly from: Place; readonly to: Place; readonly length_m: number } | null
}

/** What is drawn and set: the site that every answer is given on. */
export interface SiteInput {
  readonly features: readonly PlanFeature[]
  /** Choices about hollows; none: all fill and run over. */
  readonly hollows: readonly PlanHollow[]
  /** What was dug and seen, with places as the plan keeps them; absent: nothing. */
  readonly soil?: SoilRecord
  readonly settings: Partial<Settings>
}

export interface LineInput {
  readonly path: readonly Place[]
}

/** A line traced on the ground, with what traces it again. */
export interface TracedLine {
  readonly path: readonly Place[]
  readonly through: Place
  readonly length_m: number
}

/** Rain of a table. */
export interface StormInput {
  readonly rain: readonly RainRow[]
}

/** A line that is asked about, with the rain that it is asked by. */
export interface LineAsked {
  readonly revision: number
  readonly line: LineInput
  readonly rain: readonly RainRow[]
  readonly storm?: Plan['measuredStorm'] | undefined
  readonly dailyRain?: Plan['dailyRain'] | undefined
}

/** A line with the settings that make a design of it. */
export interface DesignInput extends LineInput {
  readonly settings: Partial<Settings>
}

/** Everything that one line's answer shows. Collections are in map degrees; each feature says what it is in `properties.what`. */
export interface LineAnswer {
  readonly revision: number
  /** While the line is still moving without its outlines (catchment, ridge lines, bands): they are in `drawn`. */
  readonly assessment: Assessment
  /** `what`: line, berm-stroke, breach-stake (`below`), breach (way of the worst), tried (`share_ratio`), catchment, fall-line, ridge, high-point, level-line (the line's level beyond its ends), path, beyond, band, path-end. */
  readonly drawn: FeatureCollection
  /** No-go ground by the settings that are only tried, where they change it; a line changes none. */
  readonly noGo?: FeatureCollection
  /** Time that the answer took in the worker. */
  readonly took_ms: number
}

/** A possible line as the page shows it, and as the plan would keep it. */
export interface FoundLine {
  readonly rank: number
  readonly path: readonly Place[]
  readonly reasons: readonly CandidateReason[]
}

/** What a search for lines found. */
export interface FoundLines {
  /** Best first. */
  readonly lines: readonly FoundLine[]
  readonly remarks: CandidateSearch['remarks']
  /** The length of contour that each reason left out, longest first. */
  readonly ruledOut: CandidateSearch['ruledOut']
  /** Places where water could be let go, found before any line. */
  readonly outlets: { readonly places: readonly SaidOutlet[]; readonly leftOut: OutletSearch['leftOut'] }
  /** `what`: candidate (`rank`), outlet (`rank`). */
  readonly drawn: FeatureCollection
}

/** What is known of a place under the pointer. */
export interface PlaceReading {
  readonly place: Place
  readonly x_m: number
  readonly y_m: number
  readonly elevation_m: number | null
  readonly slope_ratio: number | null
  /** Reasons why no swale goes there. */
  readonly noGo: readonly string[]
}

/** What a plan adds to an answer for the work on the ground. */
export type WorkRecords = Pick<Plan, keyof SiteRecords | 'plants' | 'stormLog'>

/** What is asked of the work on the ground. */
export interface WorkAsked {
  readonly records: WorkRecords
  readonly rain: readonly RainRow[]
  readonly storm?: Plan['measuredStorm'] | undefined
  /** Marks of an A-frame that stood both ways round; null for none. */
  readonly frame: { readonly first_m: number; readonly turned_m: number } | null
  /** What the staff reads on stake 1; null for no instrument. */
  readonly backsight_m: number | null
}

/** Something worked out, or why it was not; null where it was not asked for. */
export type Tried<T> = { readonly value: T } | { readonly refusal: Refusal } | null

/** The work on the ground that follows from an answer. */
export interface WorkAnswer {
  readonly work: GroundWork
  readonly book: Tried<LevelBook>
  readonly staff: Tried<readonly StaffReadings[]>
  readonly frame: Tried<{ readonly levelMark_m: number; readonly pointsDiffer_m: number }>
  readonly built: Tried<{
    readonly asBuilt: AsBuilt
    readonly planned: Pick<Assessment, 'storage' | 'spillway'>
    readonly built: Pick<Assessment, 'storage' | 'spillway'>
    readonly verdicts: readonly VerdictChanged[]
  }>
  /** `what`: stake (`label`, `named`), plant-zone (`zone`), low-spot. */
  readonly drawn: FeatureCollection
  /** False for a raster without a place on Earth: then some files cannot be made. */
  readonly onEarth: boolean
}

/** The files that are taken along. */
export const FIELD_FILES = ['csv', 'gpx', 'kml', 'dxf', 'geojson', 'levels'] as const
export type FieldFile = (typeof FIELD_FILES)[number]

/** The ground that a file lies on, as much of it as the reading of the file needs. */
export interface LyingOn {
  readonly crs: string
  /** West, south, east, north in degrees; null for a raster without a place on Earth. */
  readonly extent: readonly [number, number, number, number] | null
}

/** The questions about files from outside, each answered by a reader of its own that the page ends when it is stuck: [what is sent, what comes back]. */
export interface FileProtocol {
  readGround: [GroundFile, ReadGround]
  /** The part of a large raster that a window touches, as a file of its own. */
  cutGround: [{ readonly name: string; readonly file: Blob; readonly options: ReadOptions }, { readonly file: ArrayBuffer }]
  /** What a file seems to be. */
  fileKind: [{ readonly name: string; readonly file: Blob }, { readonly kind: FileKind }]
  /** The layers of a file of any format that is read, each as GeoJSON text, and all of them as one where all could be read. */
  readLayers: [
    { readonly bytes: ArrayBuffer; readonly on: LyingOn; readonly said: Pick<VectorFileOptions, 'crs' | 'unit' | 'member'> },
    {
      readonly format: string
      readonly layers: readonly ReadLayer[]
      readonly warnings: readonly Warning[]
      readonly together: { readonly geojson: string; readonly kind: FileKind } | null
    },
  ]
  /** GeoJSON text to features of the plan. */
  importFeatures: [
    { readonly text: string; readonly on: LyingOn },
    { readonly features: readonly PlanFeature[]; readonly warnings: readonly Warning[] },
  ]
  /** GeoJSON, GPX or KML to the line of the plan; `line` says which of several. */
  importLine: [
    { readonly text: string; readonly on: LyingOn; readonly line?: string | undefined },
    { readonly path: readonly Place[]; readonly warnings: readonly Warning[] },
  ]
  importRain: [{ readonly text: string }, { readonly rows: readonly RainRow[]; readonly warnings: readonly Warning[] }]
  importStorm: [{ readonly text: string }, Omit<NonNullable<Plan['measuredStorm']>, 'source'>]
  importDailyRain: [{ readonly text: string }, Omit<NonNullable<Plan['dailyRain']>, 'source'> & { readonly warnings: readonly Warning[] }]
  /** A table of levels read on site; `stakes` for tables that name them. */
  importReadings: [
    { readonly text: string; readonly stakes: readonly { readonly number: number; readonly chainage_m: number }[] },
    { readonly readings: readonly BuiltReading[] },
  ]
  importLevelBook: [{ readonly text: string }, WrittenBook]
  /** A plan file, and the raster that it may hold. */
  importPlan: [{ readonly text: string }, { readonly plan: Plan; readonly inside: UnpackedGround | null }]
}
export type FileQuestion = keyof FileProtocol

/** Every question that the sheet may ask: [what is sent, what comes back]. Those about files aside, its own worker answers. */
export interface Protocol extends FileProtocol {
  /** Studies a raster that was read, or reads it first; when it is refused the session stays as it was. */
  openGround: [GroundFile | { readonly name: string; readonly read: ReadGround }, GroundCard]
  /** A shaded map tile; null outside the raster. */
  tile: [
    {
      readonly groundNumber: number
      readonly z: number
      readonly x: number
      readonly y: number
      readonly night: boolean
      readonly ramp?: Ramp
    },
    ImageBitmap | null,
  ]
  /** Contour lines; `properties`: elevation_m, heavy. */
  contours: [{ readonly units: UnitSystem }, FeatureCollection]
  /** Takes what is drawn and set; gives back no-go ground, one feature for each reason (`properties.reason`), and the clearance round each building. */
  setSite: [
    SiteInput,
    {
      readonly noGo: FeatureCollection
      readonly halos: FeatureCollection
      readonly warnings: readonly Warning[]
      /** The largest hollows, greatest volume first. */
      readonly hollows: readonly HollowCard[]
      /** What the raster may be trusted for, by the settings given. */
      readonly fit: Finding
    },
  ]
  /** The level or falling line through a place. */
  traceLine: [
    { readonly through: Place; readonly length_m: number; readonly fall_ratio: number },
    { readonly path: readonly Place[]; readonly length_m: number; readonly elevation_m: number },
  ]
  /** The answer about a line. The latest revision wins: an older one may be refused with `superseded`. */
  answer: [
    LineAsked & {
      /** True while the line is still moving: other storms and routing are left out. */
      readonly live?: boolean
      /** Settings that a finger is changing just now; no-go ground stays that of the site. */
      readonly trying?: Partial<Settings>
    },
    LineAnswer,
  ]
  /** The level line walked from a place toward another; null where none leads there. */
  walkLine: [{ readonly from: Place; readonly toward: Place }, TracedLine | null]
  /** The level line nearest to a drawn one; null where none comes near enough. */
  fitLine: [LineInput, TracedLine | null]
  /** Level copies of a line further down the slope; without a drop by what the rules of spacing say. */
  linesBelow: [
    LineInput & { readonly count: number; readonly drop_m: number | null },
    { readonly lines: readonly TracedLine[]; readonly drop_m: number },
  ]
  /** What the last answered ditch holds and lets out at each level of its water; null without a ditch. */
  stages: [{ readonly revision: number }, readonly Stage[] | null]
  /** The ground round the last answered line, before and as dug, to be looked at; null without a ditch. */
  dugView: [{ readonly revision: number }, DugView | null]
  /** What would change the checks of a line most. It takes a second or more and runs behind other questions; a newer line, or a changed site, calls it off. */
  matters: [LineInput & StormInput, readonly Influence[]]
  /** Two designs on the same ground, side by side, and the line of the first as the map shows it. */
  compare: [
    { readonly a: DesignInput; readonly b: DesignInput } & StormInput,
    { readonly compared: ComparedDesigns; readonly drawn: FeatureCollection },
  ]
  /** Several ditches on one slope together; null where the storm's peak or a ditch is not known. */
  cascade: [
    { readonly lines: readonly LineInput[] } & StormInput,
    /** `drawn`: the way of each overflow, `properties`: what `other-way`, line (its index). */
    { readonly result: Cascade; readonly drawn: FeatureCollection } | null,
  ]
  /**
   * The whole answer about a line: every place tried as a spill, what lies below if the berm gives way, and the tried terrains. It takes seconds and
   * runs behind other questions; a newer line, or a changed site, calls it off.
   */
  whole: [LineAsked, LineAnswer]
  /** Possible lines over the whole ground. It takes seconds and runs behind other questions; a changed site calls it off. */
  candidates: [{ readonly rain: readonly RainRow[] }, FoundLines]
  /** The ditch's section at a place along the last answered line; null where it cannot be dug as it is set. */
  sectionAt: [{ readonly chainage_m: number }, LineSection | null]
  /** How no-go ground differs from what the usual value of one limit gives. */
  limitChange: [{ readonly name: keyof Settings }, NoGoChange]
  /** The work on the ground that follows from the last answer; null where no ditch can be dug as it is set. */
  groundWork: [WorkAsked, WorkAnswer | null]
  /** A file to take along, about the last answer. */
  fieldFile: [
    {
      readonly file: FieldFile
      readonly records: WorkRecords
      readonly holding: string
      readonly language: Language
      readonly units: UnitSystem
    },
    string,
  ]
  /** A raster of the open ground, or of the last answer, as a GeoTIFF. */
  gridFile: [{ readonly grid: GridName }, Uint8Array<ArrayBuffer>]
  /** The printed drawing set about the last answer. */
  drawingSet: [
    {
      readonly records: WorkRecords
      readonly holding: string
      readonly lineName: string
      readonly dateText: string
      readonly paper: PaperName
      readonly language: Language
      readonly units: UnitSystem
    },
    string,
  ]
  readPlace: [{ readonly place: Place }, PlaceReading | null]
  /** Distances, rises and the area along places; null where one of them lies beyond the raster's coordinate system. */
  measure: [{ readonly places: readonly Place[] }, MeasuredWay | null]
  /** Coordinate systems that put a file where it is said to lie; needs no open ground. `unit_m`: of the file's own lengths, where it names one. */
  findSystems: [
    (
      | { readonly points: readonly KnownPoint[] }
      | { readonly near: { readonly bounds: FileBounds; readonly place: readonly [number, number] } }
    ) & { readonly unit_m?: number | null },
    readonly FittingSystem[],
  ]
  /** Brings elevation for a box from a public source; only the hosts that are allowed are asked. It runs behind other questions. */
  bringGround: [
    { readonly source: GroundSource; readonly box: Box; readonly allowed: readonly string[]; readonly dateText: string },
    { readonly file: ArrayBuffer; readonly fileName: string; readonly warnings: readonly Warning[] },
  ]
  /** Brings what the open map has in a box; only the hosts that are allowed are asked. It runs behind other questions. */
  bringMapData: [{ readonly source: MapDataSource; readonly box: Box; readonly allowed: readonly string[] }, MapData]
  /** Forgets what was brought and kept in this browser. */
  forgetBrought: [null, null]
  /** The printable report about the last answered line. */
  report: [{ readonly language: Language; readonly units: UnitSystem; readonly holding: string; readonly dateText: string }, string]
}

export type Question = keyof Protocol
/** The questions that the sheet's own worker answers. */
export type SessionQuestion = Exclude<Question, FileQuestion>
export type Sent<K extends Question> = Protocol[K][0]
export type Answered<K extends Question> = Protocol[K][1]

/** Errors travel as data: `structuredClone` would keep only the message. */
export interface Refusal {
  readonly code: InputErrorCode | 'unexpected' | 'superseded'
  readonly message: string
  readonly details: Readonly<Record<string, unknown>>
}

export interface Asked<K extends SessionQuestion = SessionQuestion> {
  readonly id: number
  readonly question: K
  readonly sent: Sent<K>
}

/** A question taken back before it was answered; none is answered any more after it. */
export interface Withdrawn {
  readonly withdraw: number
}

/** Said once a first line is answered: the engine may be readied for a drag now, see `warm-drag.ts`. Nothing comes back. */
export interface Warming {
  readonly warmUp: true
}

/** How far a long question is, 0–1. */
export interface Progress {
  readonly id: number
  readonly done: number
}

/** What can be drawn already of a ground that is being opened: its tiles are given from now on. */
export interface Pictured {
  readonly id: number
  readonly picture: GroundPicture
}

export type Reply<K extends Question = Question> =
  | { readonly id: number; readonly ok: true; readonly value: Answered<K> }
  | { readonly id: number; readonly ok: false; readonly error: Refusal }
