import { METRES_PER } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import { chainages_m, insideRings, type Point, stations } from 'soakline/raster'
import type { FeatureKind, SiteFeature } from 'soakline/siting'
import type { ContourLine } from 'soakline/terrain'
import { plainText } from './escape-text.js'
import { hatch, stipple } from './hatching.js'
import { DAY, type Inks, NIGHT } from './inks.js'
import { type LabelPlaces, labelPlaces, letteringWidth } from './label-places.js'
import { formatElevation, formatLength, formatLevel } from './measures.js'
import { type Extent, extentOf, frameAround, onPage, type PageFrame, runsWithin, touches, widened } from './page-frame.js'
import { ranked, sayFeature, wordsOf } from './sentences.js'
import { digits, element, lettering, pathData } from './svg.js'
import type { Voice } from './voice.js'

/** What a plan shows. All places in the working CRS, metres. */
export interface PlanInput {
  readonly assessment: Assessment
  readonly contours: readonly ContourLine[]
  readonly features: readonly SiteFeature[]
  /** No-go ground by reason, rings taken together by the even–odd rule. */
  readonly noGo?: readonly { readonly reason: string; readonly rings: readonly (readonly Point[])[] }[] | undefined
  /** The ground to show; default all of the line, its catchment and its overflows, with the buildings beside them. */
  readonly extent?: Extent | undefined
  /** Width of the halo around buildings; default none. */
  readonly clearance_m?: number | undefined
  /** Chalk on slate. Default false. */
  readonly night?: boolean | undefined
  /** Coordinates of the working CRS at the rims, in metres, with a fine cross where two of them meet. Default false. */
  readonly grid?: boolean | undefined
  /** Stakes to mark with their numbers. Default none. */
  readonly stakes?: readonly { readonly number: number; readonly at: Point }[] | undefined
  /** Begins every id in the drawing, so that two drawings may stand in one document. Default `plan`. */
  readonly idPrefix?: string | undefined
}

/** A page's size in millimetres and its scale: 500 for 1:500. */
export interface ScaledPage {
  readonly scale: number
  readonly width_mm: number
  readonly height_mm: number
}

const MM_PER_UNIT = 25.4 / 96

/** The plan fitted into a picture of a size in pixels: an SVG document as text. */
export function planSvg(input: PlanInput, voice: Voice, size: { readonly width: number; readonly height: number }): string {
  const shown = shownExtent(input)
  const perMetre = Math.min(size.width / (shown.east_m - shown.west_m), size.height / (shown.north_m - shown.south_m))
  const frame = frameAround(middleOf(shown), perMetre, size.width, size.height, 1)
  return drawn(input, voice, frame, { width: `${digits(size.width)}`, height: `${digits(size.height)}` })
}

/**
 * The plan to scale: the view box is in millimetres of the page, and so are its width and height. At 1:500, 100 m of ground are 200 mm.
 * What does not fit on the page is cut off around the middle; `fittingScale` gives the scale at which all of it fits.
 */
export function planToScaleSvg(input: PlanInput, voice: Voice, page: ScaledPage): string {
  const frame = frameAround(middleOf(shownExtent(input)), 1000 / page.scale, page.width_mm, page.height_mm, MM_PER_UNIT)
  return drawn(input, voice, frame, { width: `${digits(page.width_mm)}mm`, height: `${digits(page.height_mm)}mm` })
}

/** The scales that a plan is drawn at: 500 for 1:500. */
export const METRIC_SCALES = [100, 200, 250, 500, 750, 1000, 1250, 1500, 2000, 2500, 5000]
/** An inch to 10, 20, 30 … feet. */
export const US_SCALES = [120, 240, 360, 480, 600, 720, 1200, 1800, 2400, 3600, 4800, 6000]

/** The largest usual scale (as 500 for 1:500) at which the whole plan fits on a page of a size. */
export function fittingScale(input: PlanInput, voice: Voice, page: { readonly width_mm: number; readonly height_mm: number }): number {
  const e = shownExtent(input)
  const needed = Math.max((1000 * (e.east_m - e.west_m)) / page.width_mm, (1000 * (e.north_m - e.south_m)) / page.height_mm)
  const scales = voice.units === 'us' ? US_SCALES : METRIC_SCALES
  const coarsest = scales[scales.length - 1]!
  return scales.find(scale => scale >= needed) ?? Math.ceil(needed / coarsest) * coarsest
}

/** The height in millimetres that a plan of a width needs at a scale. */
export function neededHeight_mm(input: PlanInput, scale: number): number {
  const e = shownExtent(input)
  return (1000 * (e.north_m - e.south_m)) / scale
}

/** The input with only those features and no-go rings that come into the extent, the width of a halo beyond it included. */
function seenIn(input: PlanInput, extent: Extent): PlanInput {
  const near = widened(extent, (input.clearance_m ?? 0) + 1)
  const isNear = (path: readonly Point[]): boolean => {
    const e = extentOf([path])
    return e !== null && touches(e, near)
  }
  return {
    ...input,
    features: input.features.filter(feature => pathsOf(feature).some(isNear)),
    noGo: (input.noGo ?? [])
      .map(({ reason, rings }) => ({ reason, rings: rings.filter(isNear) }))
      .filter(ground => ground.rings.length > 0),
  }
}

/** What of the input stands on a page to scale: the key explains that and no more. */
export const seenOnPage = (input: PlanInput, page: ScaledPage): PlanInput =>
  seenIn(input, frameAround(middleOf(shownExtent(input)), 1000 / page.scale, page.width_mm, page.height_mm, MM_PER_UNIT).extent)

/** Whether a place lies on the page. */
const isOn = ({ extent }: PageFrame, [x, y]: Point): boolean => touches({ west_m: x, east_m: x, south_m: y, north_m: y }, extent)

const middleOf = (e: Extent): Point => [(e.west_m + e.east_m) / 2, (e.south_m + e.north_m) / 2]

function shownExtent({ assessment, features, extent }: PlanInput): Extent {
  if (extent !== undefined) return extent
  const { line, catchment, spills } = assessment
  const works = extentOf([line.path, ...catchment.rings, ...spills.flatMap(spill => [spill.path.points, spill.path.beyond, ...spill.band])])
  if (works === null) return { west_m: 0, south_m: 0, east_m: 100, north_m: 100 }
  const span = Math.max(works.east_m - works.west_m, works.north_m - works.south_m, 20)
  const beside = widened(works, 0.15 * span)
  const buildings = features
    .filter(feature => feature.kind === 'building')
    .flatMap(pathsOf)
    .filter(path => {
      const e = extentOf([path])
      return e !== null && touches(e, beside)
    })
  return widened(extentOf([...cornersOf(works), ...buildings]) ?? works, 0.06 * span)
}

const cornersOf = (e: Extent): Point[][] => [
  [
    [e.west_m, e.south_m],
    [e.east_m, e.north_m],
  ],
]

function pathsOf(feature: SiteFeature): (readonly Point[])[] {
  return feature.shapes.flatMap(shape => (shape.type === 'point' ? [[shape.at]] : shape.type === 'line' ? [shape.path] : shape.rings))
}

/** What the layers of a plan share. */
interface Sheet {
  readonly input: PlanInput
  readonly voice: Voice
  readonly frame: PageFrame
  readonly inks: Inks
  readonly labels: LabelPlaces
  readonly id: (name: string) => string
}

const LETTERS = "'Gill Sans','Gill Sans MT',Cabin,Candara,Calibri,'Trebuchet MS',sans-serif"

function drawn(whole: PlanInput, voice: Voice, frame: PageFrame, size: { readonly width: string; readonly height: string }): string {
  const input = seenIn(whole, frame.extent)
  const inks = input.night ? NIGHT : DAY
  const prefix = input.idPrefix ?? 'plan'
  const sheet: Sheet = {
    input,
    voice,
    frame,
    inks,
    labels: labelPlaces(frame.width, frame.height, 3 * frame.u),
    id: name => `${prefix}-${name}`,
  }
  const { width, height, u } = frame
  // Furniture and important writing take their places first; contour heights get what is left.
  const furniture = scaleBar(sheet) + northArrow(sheet)
  const grid = input.grid ? coordinateGrid(sheet) : { crosses: '', names: '' }
  const marks = spillNumbers(sheet)
  const stakes = stakeMarks(sheet)
  const ridge = ridgeAndHighPoint(sheet)
  const ends = overflowEnds(sheet)
  const names = featureNames(sheet)
  const contours = contourLayer(sheet)
  const layers = [
    contours.lines,
    noGoLayer(sheet),
    catchmentWash(sheet),
    grid.crosses,
    featureLayer(sheet),
    bands(sheet),
    contours.heights,
    ridge,
    ditch(sheet),
    overflows(sheet),
    stakes,
    names,
    ends,
    marks,
  ]
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      ...size,
      viewBox: `0 0 ${digits(width)} ${digits(height)}`,
      role: 'img',
      'aria-label': wordsOf(voice).plan.title,
      'font-family': LETTERS,
      'font-size': digits(10 * u, 3),
    },
    [
      element('title', {}, wordsOf(voice).plan.title),
      element('defs', {}, definitions(sheet)),
      element('rect', { width, height, fill: inks.paper }),
      element('g', { 'clip-path': `url(#${sheet.id('frame')})` }, layers.join('')),
      grid.names,
      furniture,
      element('rect', { x: u / 2, y: u / 2, width: width - u, height: height - u, fill: 'none', stroke: inks.ink, 'stroke-width': u }),
    ].join(''),
  )
}

function definitions({ frame, input, inks, id }: Sheet): string {
  const { width, height, u } = frame
  const reasons = [...new Set((input.noGo ?? []).map(ground => ground.reason))]
  return [
    element('clipPath', { id: id('frame') }, element('rect', { width, height })),
    ...reasons.map(reason => hatch(reason, id(`no-go-${idWord(reason)}`), inks.noGo, u)),
    hatch('forest', id('forest'), inks.growth, u),
    hatch('wet-ground', id('wet'), inks.water, u),
    stipple(id('band'), inks.water, u),
  ].join('')
}

/** A reason as part of an id: a code from elsewhere must not break a reference. */
const idWord = (reason: string): string => reason.replace(/[^a-z0-9-]/gi, '_')

/** A path of ground as page data. */
const trail = (frame: PageFrame, points: readonly Point[], closed = false): string =>
  pathData(
    points.map(p => onPage(frame, p)),
    { closed, step: 0.5 * frame.u },
  )
const rings = (frame: PageFrame, of: readonly (readonly Point[])[]): string => of.map(ring => trail(frame, ring, true)).join('')

/** Writing with the paper's colour around it. */
function label(
  { frame, inks }: Sheet,
  text: string,
  x: number,
  y: number,
  size: number,
  fill: string,
  more: Readonly<Record<string, string | number>> = {},
): string {
  return lettering(text, x, y, {
    fill,
    'font-size': size,
    'text-anchor': 'middle',
    'dominant-baseline': 'central',
    stroke: inks.paper,
    'stroke-width': 2.6 * frame.u,
    'stroke-linejoin': 'round',
    'paint-order': 'stroke',
    ...more,
  })
}

/** Writing beside a place, at the first free side; '' when no side is free, unless it must stand. */
function labelBeside(
  sheet: Sheet,
  text: string,
  at: Point,
  size: number,
  fill: string,
  { gap = 6, must = false, italic = false } = {},
): string {
  const { u } = sheet.frame
  const width = letteringWidth(text, size)
  const sides: Point[] = [
    [width / 2 + gap * u, 0],
    [-width / 2 - gap * u, 0],
    [0, -size / 2 - gap * u],
    [0, size / 2 + gap * u],
    [width / 2 + gap * u, -size],
    [-width / 2 - gap * u, -size],
    [width / 2 + gap * u, size],
    [-width / 2 - gap * u, size],
  ]
  const more: Record<string, string> = italic ? { 'font-style': 'italic' } : {}
  for (const [dx, dy] of sides) {
    const box = { x: at[0] + dx, y: at[1] + dy, width, height: size * 1.15 }
    if (sheet.labels.take(box)) return label(sheet, text, box.x, box.y, size, fill, more)
  }
  if (!must) return ''
  // Crowded: held inside the page, over what lies there.
  const x = Math.min(Math.max(at[0], width / 2 + 4 * u), sheet.frame.width - width / 2 - 4 * u)
  const y = Math.min(Math.max(at[1] - size, size), sheet.frame.height - size)
  sheet.labels.hold({ x, y, width, height: size })
  return label(sheet, text, x, y, size, fill, more)
}

/** The step between neighbouring contours; null when there are fewer than two heights. */
export function contourInterval_m(contours: readonly ContourLine[]): number | null {
  const heights = [...new Set(contours.map(line => line.elevation_m))].sort((a, b) => a - b)
  let interval = Number.POSITIVE_INFINITY
  for (let k = 1; k < heights.length; k++) interval = Math.min(interval, heights[k]! - heights[k - 1]!)
  return Number.isFinite(interval) ? interval : null
}

function contourLayer(sheet: Sheet): { readonly lines: string; readonly heights: string } {
  const { input, frame, inks, voice } = sheet
  const { u } = frame
  const interval = contourInterval_m(input.contours) ?? 1
  const step = (line: ContourLine): number => Math.round(line.elevation_m / interval)
  const pieces = input.contours.flatMap(line =>
    runsWithin(line.path, widened(frame.extent, (8 * u) / frame.perMetre)).map(path => ({ line, path })),
  )
  // Where lines would lie closer than 5 units to each other on the whole, only every fifth (or twenty-fifth …) is drawn.
  const drawnLength = pieces.reduce((sum, { path }) => sum + (chainages_m(path).at(-1) ?? 0) * frame.perMetre, 0)
  let every = 1
  while (drawnLength / every > (frame.width * frame.height) / (5 * u)) every *= 5
  let thin = ''
  let heavy = ''
  let heights = ''
  const size = 8.5 * u
  for (const { line, path } of pieces) {
    if (step(line) % every !== 0) continue
    const index = step(line) % (5 * every) === 0
    const data = trail(frame, path)
    if (index) heavy += data
    else thin += data
    if (!index) continue
    const feet = voice.units === 'us'
    const value = feet ? line.elevation_m / METRES_PER.ft : line.elevation_m
    const text = formatLevel(value, voice, Math.abs(value - Math.round(value)) < 0.02 ? 0 : 1)
    heights += heightOnLine(sheet, path, text, size)
  }
  const stroke = { fill: 'none', stroke: inks.contour, 'stroke-linejoin': 'round' }
  return {
    lines:
      (thin === '' ? '' : element('path', { d: thin, ...stroke, 'stroke-width': 0.55 * u, 'stroke-opacity': 0.75 })) +
      (heavy === '' ? '' : element('path', { d: heavy, ...stroke, 'stroke-width': 1.15 * u, 'stroke-opacity': 0.9 })),
    heights,
  }
}

/** A height set along its contour, where it lies free and fairly straight. */
function heightOnLine(sheet: Sheet, path: readonly Point[], text: string, size: number): string {
  const { frame, inks } = sheet
  const width = letteringWidth(text, size) + 4 * frame.u
  const places = stations(path, Math.max(0.5, (0.5 * width) / frame.perMetre))
  const order = places.map((_, k) => k).sort((a, b) => Math.abs(a - places.length * 0.3) - Math.abs(b - places.length * 0.3))
  for (const k of order) {
    const before = places[k - 1]
    const after = places[k + 1]
    const here = places[k]!
    if (!before || !after) continue
    const a = onPage(frame, before.at)
    const b = onPage(frame, after.at)
    const [x, y] = onPage(frame, here.at)
    if (Math.hypot(b[0] - a[0], b[1] - a[1]) < 0.85 * width) continue
    let turn = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI
    if (turn > 90) turn -= 180
    if (turn <= -90) turn += 180
    const lean = Math.abs(Math.sin((turn * Math.PI) / 180))
    const box = { x, y, width: width * (1 - lean) + size * lean + 8 * frame.u, height: width * lean + size * (1 - lean) + 8 * frame.u }
    if (!sheet.labels.take(box)) continue
    return label(sheet, text, x, y, size, inks.contour, {
      transform: `rotate(${digits(turn, 1)} ${digits(x)} ${digits(y)})`,
      'stroke-width': 3.4 * frame.u,
    })
  }
  return ''
}

function noGoLayer({ input, frame, inks, id }: Sheet): string {
  return (input.noGo ?? [])
    .filter(ground => ground.rings.length > 0)
    .map(ground => {
      const d = rings(frame, ground.rings)
      return (
        element('path', { d, fill: `url(#${id(`no-go-${idWord(ground.reason)}`)})`, 'fill-rule': 'evenodd', opacity: 0.75 }) +
        element('path', {
          d,
          fill: 'none',
          stroke: inks.noGo,
          'stroke-width': 0.6 * frame.u,
          'stroke-opacity': 0.6,
          'stroke-dasharray': `${3 * frame.u} ${2 * frame.u}`,
        })
      )
    })
    .join('')
}

function catchmentWash({ input, frame, inks }: Sheet): string {
  const { rings: of } = input.assessment.catchment
  if (of.length === 0) return ''
  return element('path', {
    d: rings(frame, of),
    fill: inks.water,
    'fill-opacity': input.night ? 0.16 : 0.13,
    'fill-rule': 'evenodd',
    stroke: inks.water,
    'stroke-width': 0.7 * frame.u,
    'stroke-opacity': 0.55,
  })
}

function ridgeAndHighPoint(sheet: Sheet): string {
  const { input, frame, inks, voice } = sheet
  const { u } = frame
  const { ridgeLines, ridge } = input.assessment.catchment
  const crest = element('path', {
    d: ridgeLines.map(line => trail(frame, line)).join(''),
    fill: 'none',
    stroke: inks.contour,
    'stroke-width': 2.6 * u,
    'stroke-linecap': 'round',
    'stroke-dasharray': `0.01 ${5.2 * u}`,
  })
  if (ridge === null || !isOn(frame, ridge.highPoint)) return ridgeLines.length === 0 ? '' : crest
  const [x, y] = onPage(frame, ridge.highPoint)
  const triangle = element('path', {
    d: `M${digits(x)} ${digits(y - 6 * u)}L${digits(x + 5 * u)} ${digits(y + 3 * u)}L${digits(x - 5 * u)} ${digits(y + 3 * u)}Z`,
    fill: inks.paper,
    stroke: inks.contour,
    'stroke-width': 1.4 * u,
  })
  sheet.labels.hold({ x, y, width: 12 * u, height: 12 * u })
  return (
    (ridgeLines.length === 0 ? '' : crest) +
    triangle +
    labelBeside(sheet, formatElevation(ridge.elevation_m, voice), [x, y], 9.5 * u, inks.contour, { gap: 8, must: true })
  )
}

function bands({ input, frame, inks, id }: Sheet): string {
  return ranked(input.assessment)
    .filter(spill => spill.band.length > 0)
    .map(spill =>
      element('path', {
        d: rings(frame, spill.band),
        fill: `url(#${id('band')})`,
        'fill-rule': 'evenodd',
        stroke: inks.water,
        'stroke-width': 0.5 * frame.u,
        'stroke-dasharray': `${1.5 * frame.u} ${2.5 * frame.u}`,
        opacity: spill.rank === 1 ? 0.8 : 0.45,
      }),
    )
    .join('')
}

/** 1 when uphill is to the left of the line's way, −1 when it is to the right: where most of the catchment lies. */
function uphillSide({ assessment }: PlanInput): 1 | -1 {
  const { line, catchment } = assessment
  let votes = 0
  for (const { at, heading } of stations(line.path, Math.max(1, line.length_m / 40)))
    for (const reach_m of [1.5, 4, 8]) {
      const left: Point = [at[0] - heading[1] * reach_m, at[1] + heading[0] * reach_m]
      const right: Point = [at[0] + heading[1] * reach_m, at[1] - heading[0] * reach_m]
      votes += (insideRings(left, catchment.rings) ? 1 : 0) - (insideRings(right, catchment.rings) ? 1 : 0)
    }
  if (votes !== 0) return votes > 0 ? 1 : -1
  const [first, last, high] = [line.path[0], line.path[line.path.length - 1], catchment.ridge?.highPoint]
  if (!first || !last || !high) return 1
  return (last[0] - first[0]) * (high[1] - first[1]) - (last[1] - first[1]) * (high[0] - first[0]) >= 0 ? 1 : -1
}

function ditch({ input, frame, inks }: Sheet): string {
  const { u } = frame
  const { line } = input.assessment
  if (line.path.length < 2) return ''
  // Page y runs down, so the left of the way on the ground is (heading.y, −heading.x) turned over: downhill is −side.
  const side = uphillSide(input)
  const at = ([x, y]: Point, heading: Point, off: number): string => {
    const nx = side * heading[1]
    const ny = side * heading[0]
    return `${digits(x + nx * off)} ${digits(y + ny * off)}`
  }
  let crest = ''
  let strokes = ''
  stations(line.path, (4.5 * u) / frame.perMetre).forEach((station, k) => {
    const p = onPage(frame, station.at)
    crest += `${k === 0 ? 'M' : 'L'}${at(p, station.heading, 4.2 * u)}`
    strokes += `M${at(p, station.heading, 4.2 * u)}L${at(p, station.heading, (k % 2 === 0 ? 11 : 7.5) * u)}`
  })
  let stretches = ''
  for (const stretch of line.noGo) {
    const along = stations(line.path, Math.max(0.25, (2 * u) / frame.perMetre)).filter(
      s => s.chainage_m >= stretch.from_m - 1e-6 && s.chainage_m <= stretch.to_m + 1e-6,
    )
    stretches += along.map((s, k) => `${k === 0 ? 'M' : 'L'}${at(onPage(frame, s.at), s.heading, -5.5 * u)}`).join('')
  }
  return [
    element('path', { d: crest, fill: 'none', stroke: inks.ditch, 'stroke-width': 0.8 * u }),
    element('path', { d: strokes, fill: 'none', stroke: inks.ditch, 'stroke-width': 0.9 * u }),
    stretches === ''
      ? ''
      : element('path', {
          d: stretches,
          fill: 'none',
          stroke: inks.noGo,
          'stroke-width': 3.2 * u,
          'stroke-dasharray': `${2 * u} ${1.4 * u}`,
        }),
    element('path', { d: trail(frame, line.path), fill: 'none', stroke: inks.ditch, 'stroke-width': 3 * u, 'stroke-linejoin': 'round' }),
  ].join('')
}

function overflows({ input, frame, inks }: Sheet): string {
  const { u } = frame
  return ranked(input.assessment)
    .filter(spill => spill.path.points.length > 1)
    .map(spill => {
      const strong = spill.rank === 1
      let heads = ''
      const places = stations(spill.path.points, (34 * u) / frame.perMetre)
      places.forEach((place, k) => {
        if (k === 0) return
        const [x, y] = onPage(frame, place.at)
        // The heading over the last few units, since a traced path turns by cell.
        const back = places[k - 1]!
        const [bx, by] = onPage(frame, back.at)
        const length = Math.hypot(x - bx, y - by)
        if (length === 0) return
        const [dx, dy] = k === places.length - 1 ? [place.heading[0], -place.heading[1]] : [(x - bx) / length, (y - by) / length]
        const corner = (along: number, across: number): string =>
          `${digits(x + dx * along - dy * across)} ${digits(y + dy * along + dx * across)}`
        heads += `M${corner(1, 0)}L${corner(-6.5 * u, 3 * u)}L${corner(-5 * u, 0)}L${corner(-6.5 * u, -3 * u)}Z`
      })
      return (
        element('path', {
          d: trail(frame, spill.path.points),
          fill: 'none',
          stroke: inks.water,
          'stroke-width': (strong ? 2 : 1.2) * u,
          'stroke-linejoin': 'round',
          'stroke-dasharray': strong ? undefined : `${7 * u} ${2.5 * u}`,
        }) +
        (spill.path.beyond.length < 2
          ? ''
          : element('path', {
              d: trail(frame, spill.path.beyond),
              fill: 'none',
              stroke: inks.water,
              'stroke-width': u,
              'stroke-dasharray': `${digits(1.5 * u, 3)} ${digits(3 * u, 3)}`,
            })) +
        element('path', { d: heads, fill: inks.water })
      )
    })
    .join('')
}

function overflowEnds(sheet: Sheet): string {
  const { input, frame, inks, voice } = sheet
  return ranked(input.assessment)
    .map(({ path }) => {
      const end = path.points[path.points.length - 1]
      // Where it ends beyond the page nothing can be written beside its end.
      if (end === undefined || !isOn(frame, end) || !Object.hasOwn(wordsOf(voice).endWord, path.endsIn)) return ''
      return labelBeside(sheet, wordsOf(voice).endWord[path.endsIn], onPage(frame, end), 9.5 * frame.u, inks.water, {
        must: true,
        italic: true,
      })
    })
    .join('')
}

function spillNumbers(sheet: Sheet): string {
  const { input, frame, inks } = sheet
  const { u } = frame
  const { line, spills } = input.assessment
  if (line.path.length < 2) return ''
  const places = stations(line.path, Math.max(0.25, line.length_m / 400))
  return spills
    .map(spill => {
      const nearest = places.reduce((best, place) =>
        Math.abs(place.chainage_m - spill.chainage_m) < Math.abs(best.chainage_m - spill.chainage_m) ? place : best,
      )
      const [x, y] = onPage(frame, nearest.at)
      sheet.labels.hold({ x, y, width: 18 * u, height: 18 * u })
      return (
        element('circle', {
          cx: x,
          cy: y,
          r: 7 * u,
          fill: spill.rank === 1 ? inks.ditch : inks.paper,
          stroke: inks.ditch,
          'stroke-width': 1.4 * u,
        }) +
        lettering(String(spill.rank), x, y, {
          fill: spill.rank === 1 ? inks.paper : inks.ditch,
          'font-size': 9.5 * u,
          'font-weight': 'bold',
          'text-anchor': 'middle',
          'dominant-baseline': 'central',
        })
      )
    })
    .join('')
}

/** Stakes as small rings on the line, with their numbers uphill of it where they fit. */
function stakeMarks(sheet: Sheet): string {
  const { input, frame, inks } = sheet
  const { u } = frame
  const all = (input.stakes ?? []).map(({ number, at }) => ({ number, at: onPage(frame, at) }))
  for (const { at } of all) sheet.labels.hold({ x: at[0], y: at[1], width: 5 * u, height: 5 * u })
  return all
    .map(
      ({ number, at }) =>
        element('circle', { cx: at[0], cy: at[1], r: 1.9 * u, fill: inks.paper, stroke: inks.ink, 'stroke-width': 0.8 * u }) +
        labelBeside(sheet, String(number), at, 8 * u, inks.ink, { gap: 4 }),
    )
    .join('')
}

/** Line work of the features that are drawn as lines or outlines. Dashes in units. */
function lineStyle(
  kind: FeatureKind,
  inks: Inks,
): { readonly stroke: string; readonly width: number; readonly dashes?: readonly number[] } {
  const styles: Readonly<Record<FeatureKind, { readonly stroke: string; readonly width: number; readonly dashes?: readonly number[] }>> = {
    building: { stroke: inks.ink, width: 1 },
    forest: { stroke: inks.growth, width: 1, dashes: [1, 2] },
    wet: { stroke: inks.water, width: 0.8, dashes: [4, 3] },
    spring: { stroke: inks.water, width: 1.4 },
    septic: { stroke: inks.noGo, width: 1.2, dashes: [5, 2] },
    well: { stroke: inks.ink, width: 1.2 },
    boundary: { stroke: inks.ink, width: 1.3, dashes: [12, 3, 2, 3] },
    track: { stroke: inks.faint, width: 2.6, dashes: [6, 2.5] },
    stream: { stroke: inks.water, width: 2.4 },
    utility: { stroke: inks.noGo, width: 1.3, dashes: [3, 2, 1, 2] },
    culvert: { stroke: inks.ink, width: 2.4, dashes: [2, 1.5] },
    wall: { stroke: inks.ink, width: 2 },
    slip: { stroke: inks.noGo, width: 1.2, dashes: [2, 2] },
    pit: { stroke: inks.ink, width: 1.2 },
  }
  return styles[kind]
}

function featureLayer(sheet: Sheet): string {
  const { input, frame, inks, id } = sheet
  const { u } = frame
  const hatched = new Set((input.noGo ?? []).filter(ground => ground.rings.length > 0).map(ground => ground.reason))
  let halos = ''
  let shapes = ''
  for (const { kind, shapes: of } of input.features) {
    const style = lineStyle(kind, inks)
    const stroke = {
      stroke: style.stroke,
      'stroke-width': style.width * u,
      'stroke-linejoin': 'round',
      'stroke-dasharray': style.dashes?.map(dash => digits(dash * u, 3)).join(' '),
    }
    for (const shape of of) {
      if (shape.type === 'point') {
        shapes += symbol(kind, onPage(frame, shape.at), u, inks)
        continue
      }
      if (shape.type === 'line') {
        shapes += element('path', { d: trail(frame, shape.path), fill: 'none', ...stroke })
        continue
      }
      const d = rings(frame, shape.rings)
      if (kind === 'building') {
        if (input.clearance_m !== undefined && input.clearance_m > 0)
          halos += element('path', {
            d,
            fill: inks.ink,
            stroke: inks.ink,
            'stroke-width': 2 * input.clearance_m * frame.perMetre,
            'stroke-linejoin': 'round',
          })
        shapes += element('path', { d, fill: inks.ink, 'fill-rule': 'evenodd', stroke: inks.paper, 'stroke-width': 0.8 * u })
        continue
      }
      // Where the same ground is hatched as no-go, the feature is only its outline.
      const fill =
        kind === 'forest' && !hatched.has('forest')
          ? `url(#${id('forest')})`
          : kind === 'wet' && !hatched.has('wet-ground')
            ? `url(#${id('wet')})`
            : 'none'
      shapes += element('path', { d, fill, 'fill-rule': 'evenodd', ...stroke })
    }
  }
  return (halos === '' ? '' : element('g', { opacity: 0.07 }, halos)) + shapes
}

/** The sign of a feature that is a place. */
function symbol(kind: FeatureKind, [x, y]: Point, u: number, inks: Inks): string {
  const style = lineStyle(kind, inks)
  const pen = { fill: inks.paper, stroke: style.stroke, 'stroke-width': 1.3 * u }
  const square = (r: number, fill: string): string =>
    element('rect', { ...pen, x: x - r * u, y: y - r * u, width: 2 * r * u, height: 2 * r * u, fill })
  const ring = (r: number): string => element('circle', { ...pen, cx: x, cy: y, r: r * u })
  const strokes = (d: string): string => element('path', { d, fill: 'none', stroke: style.stroke, 'stroke-width': 1.3 * u })
  const cross = strokes(`M${digits(x - 4 * u)} ${digits(y)}H${digits(x + 4 * u)}M${digits(x)} ${digits(y - 4 * u)}V${digits(y + 4 * u)}`)
  if (kind === 'building') return square(4.5, inks.ink)
  if (kind === 'well') return ring(4.5) + cross
  if (kind === 'pit')
    return square(4, inks.paper) + strokes(`M${digits(x - 4 * u)} ${digits(y + 4 * u)}L${digits(x + 4 * u)} ${digits(y - 4 * u)}`)
  if (kind === 'spring')
    return ring(3.6) + strokes(`M${digits(x)} ${digits(y + 3.6 * u)}q${digits(4 * u)} ${digits(2 * u)} ${digits(u)} ${digits(7 * u)}`)
  if (kind === 'septic') return square(4, inks.paper) + strokes(`M${digits(x - 4 * u)} ${digits(y)}H${digits(x + 4 * u)}`)
  return element('circle', { cx: x, cy: y, r: 3 * u, fill: style.stroke })
}

function featureNames(sheet: Sheet): string {
  const { input, frame, inks, voice } = sheet
  let names = ''
  for (const feature of input.features) {
    const text = feature.name === null ? '' : plainText(feature.name).trim()
    const shown = text !== '' ? text : feature.kind === 'building' ? sayFeature('building', voice) : ''
    if (shown === '') continue
    const short = shown.length > 28 ? `${shown.slice(0, 27)}…` : shown
    const ground = pathsOf(feature).flat()
    const inside = ground.filter(p => touches({ west_m: p[0], east_m: p[0], south_m: p[1], north_m: p[1] }, frame.extent))
    const e = extentOf([inside])
    if (e === null) continue
    const area = feature.kind === 'building' || feature.kind === 'forest' || feature.kind === 'wet' || feature.kind === 'slip'
    const at = area ? middleOf(e) : inside[Math.floor(inside.length / 2)]!
    const gap = feature.kind === 'building' ? 4 + ((e.east_m - e.west_m) * frame.perMetre) / (2 * frame.u) : 7
    names += labelBeside(
      sheet,
      short,
      onPage(frame, at),
      9.5 * frame.u,
      feature.kind === 'building' ? inks.ink : lineStyle(feature.kind, inks).stroke,
      {
        gap,
        must: feature.kind === 'building',
      },
    )
  }
  return names
}

function scaleBar(sheet: Sheet): string {
  const { frame, inks, voice } = sheet
  const { u, perMetre, height } = frame
  const unit_m = voice.units === 'us' ? METRES_PER.ft : 1
  const wanted = (110 * u) / perMetre / unit_m
  const decade = 10 ** Math.floor(Math.log10(wanted))
  const whole = ([5, 2, 1].find(k => k * decade <= wanted) ?? 1) * decade
  const length = whole * unit_m * perMetre
  const [x, y] = [12 * u, height - 12 * u]
  let bar = element('rect', { x: x - 7 * u, y: y - 20 * u, width: length + 40 * u, height: 27 * u, fill: inks.paper, 'fill-opacity': 0.85 })
  for (let k = 0; k < 4; k++)
    bar += element('rect', {
      x: x + (length * k) / 4,
      y: y - 3.5 * u,
      width: length / 4,
      height: 4 * u,
      fill: k % 2 === 0 ? inks.ink : inks.paper,
      stroke: inks.ink,
      'stroke-width': 0.7 * u,
    })
  const size = 8.5 * u
  bar += lettering('0', x, y - 7 * u, { fill: inks.ink, 'font-size': size, 'text-anchor': 'middle' })
  bar += lettering(formatLength(whole * unit_m, voice), x + length, y - 7 * u, {
    fill: inks.ink,
    'font-size': size,
    'text-anchor': 'middle',
  })
  sheet.labels.hold({ x: x + length / 2, y: y - 7 * u, width: length + 66 * u, height: 30 * u })
  return bar
}

/** Between grid lines on the page, at least. Source: judgement. */
const GRID_APART = 120

/** Fine crosses at round coordinates, and the coordinates at the upper and the left rim. */
function coordinateGrid(sheet: Sheet): { readonly crosses: string; readonly names: string } {
  const { frame, inks } = sheet
  const { u, perMetre, extent } = frame
  const wanted_m = (GRID_APART * u) / perMetre
  const decade = 10 ** Math.floor(Math.log10(wanted_m))
  const step_m = ([1, 2, 5, 10].find(k => k * decade >= wanted_m) ?? 10) * decade
  const round = (from: number, to: number): number[] => {
    const values: number[] = []
    for (let k = Math.ceil(from / step_m); k * step_m <= to; k++) values.push(k * step_m)
    return values
  }
  const [easts, norths] = [round(extent.west_m, extent.east_m), round(extent.south_m, extent.north_m)]
  const arm = 3.5 * u
  let crosses = ''
  for (const east of easts)
    for (const north of norths) {
      const [x, y] = onPage(frame, [east, north])
      crosses += `M${digits(x - arm)} ${digits(y)}H${digits(x + arm)}M${digits(x)} ${digits(y - arm)}V${digits(y + arm)}`
    }
  const size = 7.5 * u
  const rim = 8 * u
  let names = ''
  const name = (text: string, x: number, y: number, turn: string | undefined, box: { width: number; height: number }): void => {
    if (!sheet.labels.take({ x, y, ...box })) return
    names += label(sheet, text, x, y, size, inks.ink, turn === undefined ? {} : { transform: turn })
  }
  for (const east of easts) {
    const [x] = onPage(frame, [east, extent.north_m])
    const text = `E ${digits(east, 0)}`
    names += element('path', { d: `M${digits(x)} 0v${digits(4 * u)}`, stroke: inks.ink, 'stroke-width': 0.6 * u })
    name(text, x, rim + 2 * u, undefined, { width: letteringWidth(text, size), height: size })
  }
  for (const north of norths) {
    const [, y] = onPage(frame, [extent.west_m, north])
    const text = `N ${digits(north, 0)}`
    names += element('path', { d: `M0 ${digits(y)}h${digits(4 * u)}`, stroke: inks.ink, 'stroke-width': 0.6 * u })
    const turn = `rotate(-90 ${digits(rim + 2 * u)} ${digits(y)})`
    name(text, rim + 2 * u, y, turn, { width: size, height: letteringWidth(text, size) })
  }
  return { crosses: element('path', { d: crosses, stroke: inks.ink, 'stroke-width': 0.5 * u, 'stroke-opacity': 0.7 }), names }
}

function northArrow(sheet: Sheet): string {
  const { frame, inks, voice } = sheet
  const { u, width } = frame
  const [x, y] = [width - 18 * u, 34 * u]
  sheet.labels.hold({ x, y: y - 8 * u, width: 30 * u, height: 50 * u })
  return (
    element('rect', { x: x - 12 * u, y: y - 30 * u, width: 24 * u, height: 45 * u, fill: inks.paper, 'fill-opacity': 0.85 }) +
    element('path', { d: `M${digits(x)} ${digits(y - 13 * u)}V${digits(y + 11 * u)}`, stroke: inks.ink, 'stroke-width': u }) +
    element('path', {
      d: `M${digits(x)} ${digits(y - 15 * u)}L${digits(x + 4.5 * u)} ${digits(y - 2 * u)}L${digits(x)} ${digits(y - 5 * u)}Z`,
      fill: inks.ink,
    }) +
    element('path', {
      d: `M${digits(x)} ${digits(y - 15 * u)}L${digits(x - 4.5 * u)} ${digits(y - 2 * u)}L${digits(x)} ${digits(y - 5 * u)}Z`,
      fill: inks.paper,
      stroke: inks.ink,
      'stroke-width': 0.7 * u,
    }) +
    lettering(wordsOf(voice).plan.north, x, y - 19 * u, { fill: inks.ink, 'font-size': 10 * u, 'text-anchor': 'middle' })
  )
}
