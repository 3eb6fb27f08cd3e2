import type { Section } from 'soakline/earthworks'
import { METRES_PER } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { DAY } from './inks.js'
import { letteringWidth } from './label-places.js'
import { formatElevation, formatHeight, formatLength, formatNumber } from './measures.js'
import { ranked, wordsOf } from './sentences.js'
import { digits, element, lettering, pathData } from './svg.js'
import type { Voice } from './voice.js'

const LETTERS = "'Gill Sans','Gill Sans MT',Cabin,Candara,Calibri,'Trebuchet MS',sans-serif"
const inks = DAY
const SMALL = 11
/** The paper's colour around writing that lies on lines. */
const halo = { stroke: inks.paper, 'stroke-width': 3, 'stroke-linejoin': 'round', 'paint-order': 'stroke' } as const

function picture(width: number, height: number, title: string, inside: string): string {
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width,
      height,
      viewBox: `0 0 ${digits(width)} ${digits(height)}`,
      role: 'img',
      'aria-label': title,
      'font-family': LETTERS,
      'font-size': SMALL,
    },
    element('title', {}, title) + element('rect', { width, height, fill: inks.paper }) + inside,
  )
}

/** A round step that cuts a span into at most so many parts. */
function roundStep(span: number, parts: number): number {
  const rough = span / parts
  const decade = 10 ** Math.floor(Math.log10(rough))
  return ([1, 2, 5].find(k => k * decade >= rough) ?? 10) * decade
}

/** Heights of labels moved apart so that they do not lie on each other, in their order from top to bottom. */
function apart(wanted: readonly number[], gap: number, top: number, bottom: number): number[] {
  const order = wanted.map((_, k) => k).sort((a, b) => wanted[a]! - wanted[b]!)
  const placed = [...wanted]
  let floor = top
  for (const k of order) {
    placed[k] = Math.max(placed[k]!, floor)
    floor = placed[k]! + gap
  }
  let ceiling = bottom
  for (const k of order.reverse()) {
    placed[k] = Math.min(placed[k]!, ceiling)
    ceiling = placed[k]! - gap
  }
  return placed
}

const EXAGGERATIONS = [1, 2, 3, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200]

/** The middle of writing that is wanted round a place and must stay on the picture. */
function middleWithin(text: string, wanted: number, width: number): number {
  const half = Math.min(letteringWidth(text, SMALL), width) / 2
  return Math.min(Math.max(wanted, half), width - half)
}

/** Room for a section, in the units of its lettering, which is 11 high. */
export interface SectionSize {
  readonly width: number
  readonly height: number
}

/** Where the plot of a long section stands in its picture, and which place along the line stands where across it. */
export interface LongSectionFrame {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly floor: number
  /** Across the picture, of a distance along the line. */
  x(chainage_m: number): number
  /** Distance along the line of a place across the picture, kept to the line. */
  chainage_m(x: number): number
}

/** Room across for a length on the axis. */
const LENGTH_ROOM = 34
const LONG_RIMS = { left: 74, right: 150, top: 34, bottom: 58 } as const

/** The frame of the plot that `longSectionSvg` draws in a size; null where it draws none. */
export function longSectionFrame(
  { line, profile }: Pick<Assessment, 'line' | 'profile'>,
  { width, height }: SectionSize,
): LongSectionFrame | null {
  const { left, top } = LONG_RIMS
  const right = width - LONG_RIMS.right
  if (profile.length < 2 || !(line.length_m > 0) || right <= left) return null
  const perLength = (right - left) / line.length_m
  return {
    left,
    right,
    top,
    floor: height - LONG_RIMS.bottom,
    x: chainage_m => left + chainage_m * perLength,
    chainage_m: x => Math.min(Math.max((x - left) / perLength, 0), line.length_m),
  }
}

/** The long section of the line: old ground, bed, sill and crest from end to end, heights drawn larger than lengths and that said. An SVG document as text. */
export function longSectionSvg(assessment: Assessment, voice: Voice, { width, height }: SectionSize = { width: 720, height: 300 }): string {
  const { plan } = wordsOf(voice)
  const { profile, line, section } = assessment
  const { left, right, top, bottom } = LONG_RIMS
  if (profile.length < 2 || !(line.length_m > 0))
    return picture(width, 80, plan.longTitle, lettering(plan.noLine, 20, 44, { fill: inks.ink }))
  const bed = line.bedElevation_m
  const levels: { readonly z: number; readonly name: string; readonly ink: string; readonly dashes?: string; readonly weight: number }[] = [
    { z: bed, name: plan.bed, ink: inks.ditch, weight: 2.2 },
  ]
  if (section !== null) {
    levels.push({ z: bed + section.sill_z_m, name: plan.sill, ink: inks.water, weight: 1.4, dashes: '8 3' })
    levels.push({ z: bed + section.crest_z_m, name: plan.crest, ink: inks.noGo, weight: 1.4, dashes: '2 2.5' })
  }
  const heights = [...profile.map(p => p.ground_m).filter(Number.isFinite), ...levels.map(l => l.z)]
  const low = Math.min(...heights)
  const high = Math.max(...heights)
  const span = Math.max(high - low, 0.2)
  const perLength = (width - left - right) / line.length_m
  // The label of a no-go stretch stands on the axis, below all levels.
  const room = height - top - bottom - (line.noGo.length > 0 ? 24 : 0)
  const times = [...EXAGGERATIONS].reverse().find(k => k * perLength * span * 1.12 <= room) ?? room / (perLength * span * 1.12)
  const perHeight = times * perLength
  const middle = (low + high) / 2
  const x = (along: number): number => left + along * perLength
  const y = (z: number): number => top + room / 2 - (z - middle) * perHeight
  const floor = height - bottom

  let inside = ''
  // Heights at the left, lengths below.
  const feet = voice.units === 'us'
  const unit_m = feet ? METRES_PER.ft : 1
  const heightStep = roundStep(room / perHeight / unit_m, 6)
  const [lowest, highest] = [middle - room / 2 / perHeight, middle + room / 2 / perHeight]
  for (let k = Math.ceil(lowest / unit_m / heightStep); k * heightStep * unit_m <= highest; k++) {
    const at = y(k * heightStep * unit_m)
    inside += element('path', {
      d: `M${left} ${digits(at)}H${width - right}`,
      stroke: inks.faint,
      'stroke-width': 0.5,
      'stroke-opacity': 0.5,
    })
    inside += lettering(formatElevation(k * heightStep * unit_m, voice, heightStep < 0.1 ? 2 : heightStep < 1 ? 1 : 0), left - 9, at, {
      fill: inks.contour,
      'text-anchor': 'end',
      'dominant-baseline': 'central',
    })
  }
  const lengthStep = roundStep(line.length_m / unit_m, Math.min(8, Math.max(2, (width - left - right) / LENGTH_ROOM)))
  for (let k = 0; k * lengthStep * unit_m <= line.length_m; k++) {
    const at = x(k * lengthStep * unit_m)
    inside += element('path', { d: `M${digits(at)} ${floor}v5`, stroke: inks.ink, 'stroke-width': 0.8 })
    inside += lettering(formatNumber(k * lengthStep, voice, 1), at, floor + 16, { fill: inks.ink, 'text-anchor': 'middle' })
  }
  const along = `${feet ? (voice.language === 'es' ? 'pies' : 'ft') : 'm'} ${plan.along}`
  inside += lettering(along, middleWithin(along, (left + width - right) / 2, width), floor + 32, {
    fill: inks.ink,
    'text-anchor': 'middle',
  })

  if (section !== null)
    inside += element('rect', {
      x: left,
      y: y(bed + section.sill_z_m),
      width: width - left - right,
      height: Math.max(0, y(bed) - y(bed + section.sill_z_m)),
      fill: inks.water,
      'fill-opacity': 0.16,
    })
  for (const stretch of line.noGo)
    inside +=
      element('rect', {
        x: x(stretch.from_m),
        y: floor - 6,
        width: (stretch.to_m - stretch.from_m) * perLength,
        height: 6,
        fill: inks.noGo,
        'fill-opacity': 0.45,
      }) +
      element('path', {
        d: `M${digits(x(stretch.from_m))} ${floor - 6}H${digits(x(stretch.to_m))}`,
        stroke: inks.noGo,
        'stroke-width': 1.5,
      })
  if (line.noGo.length > 0)
    inside += lettering(
      plan.noGoStretch,
      x(line.noGo[0]!.from_m) + (line.noGo[0]!.from_m > line.length_m / 2 ? (line.noGo[0]!.to_m - line.noGo[0]!.from_m) * perLength : 0),
      floor - 10,
      {
        fill: inks.noGo,
        'text-anchor': line.noGo[0]!.from_m > line.length_m / 2 ? 'end' : 'start',
        'font-style': 'italic',
      },
    )

  for (const level of levels)
    inside += element('path', {
      d: `M${left} ${digits(y(level.z))}H${width - right}`,
      stroke: level.ink,
      'stroke-width': level.weight,
      'stroke-dasharray': level.dashes,
    })
  for (const run of runsOfKnown(profile))
    inside += element('path', {
      d: pathData(run.map(p => [x(p.chainage_m), y(p.ground_m)])),
      fill: 'none',
      stroke: inks.contour,
      'stroke-width': 2,
    })

  // The spills stand as notches over the crest; where their names would lie on each other, their numbers do.
  const spillNames = ranked(assessment).map(spill => plan.spill(spill.rank))
  const namesFit = spillNames.reduce((sum, name) => sum + letteringWidth(name, SMALL) + 8, 0) <= width - left - right
  for (const spill of ranked(assessment)) {
    const at = x(spill.chainage_m)
    const tip = y(bed + (section?.sill_z_m ?? 0))
    inside += element('path', {
      d: `M${digits(at - 6)} ${digits(tip - 15)}L${digits(at)} ${digits(tip)}L${digits(at + 6)} ${digits(tip - 15)}`,
      fill: inks.paper,
      stroke: inks.ditch,
      'stroke-width': 1.6,
    })
    inside += lettering(namesFit ? plan.spill(spill.rank) : String(spill.rank), at, Math.max(14, tip - 21), {
      fill: inks.ditch,
      'text-anchor': spill.chainage_m > line.length_m * 0.8 ? 'end' : spill.chainage_m < line.length_m * 0.2 ? 'start' : 'middle',
      'font-weight': 'bold',
      ...halo,
    })
  }
  const last = [...profile].reverse().find(p => Number.isFinite(p.ground_m))
  const named = [...levels, ...(last === undefined ? [] : [{ z: last.ground_m, name: plan.ground, ink: inks.contour, weight: 2 }])]
  const places = apart(
    named.map(n => y(n.z)),
    26,
    top - 10,
    floor - 12,
  )
  named.forEach((n, k) => {
    const at = places[k]!
    inside += element('path', {
      d: `M${width - right} ${digits(y(n.z))}L${width - right + 10} ${digits(at)}H${width - right + 14}`,
      fill: 'none',
      stroke: n.ink,
      'stroke-width': 0.8,
    })
    inside += lettering(n.name, width - right + 18, at - 5, { fill: n.ink, 'dominant-baseline': 'central' })
    if (n.name !== plan.ground)
      inside += lettering(formatElevation(n.z, voice, 2), width - right + 18, at + 7, {
        fill: n.ink,
        'dominant-baseline': 'central',
        'font-weight': 'bold',
      })
  })
  inside += element('path', { d: `M${left} ${top - 14}V${floor}H${width - right}`, fill: 'none', stroke: inks.ink, 'stroke-width': 1 })
  const scaled = times === 1 ? plan.notExaggerated : plan.exaggerated(formatNumber(times, voice, times < 10 ? 1 : 0))
  inside += lettering(scaled, Math.max(0, Math.min(left, width - letteringWidth(scaled, SMALL))), height - 8, {
    fill: inks.ink,
    'font-style': 'italic',
  })
  return picture(width, height, plan.longTitle, inside)
}

function runsOfKnown(profile: Assessment['profile']): Assessment['profile'][number][][] {
  const runs: Assessment['profile'][number][][] = []
  let run: Assessment['profile'][number][] = []
  for (const p of profile) {
    if (Number.isFinite(p.ground_m)) run.push(p)
    else if (run.length > 0) {
      runs.push(run)
      run = []
    }
  }
  if (run.length > 0) runs.push(run)
  return runs.filter(r => r.length > 1)
}

/** What the drawing of a cross-section needs of it. */
export type DrawnSection = Pick<Section, 'ground' | 'dug' | 'sill_z_m' | 'crest_z_m' | 'cut_m2' | 'berm_m2' | 'cutRing' | 'bermRing'> & {
  readonly shape: Pick<Section['shape'], 'bedWidth_m' | 'freeboard_m'>
}

/** Room below a cross-section for its areas and its scale. */
const CROSS_FOOT = 74
/** How much of `letteringWidth`, which leaves room round a label, the writing itself takes. Measured on Noto Sans. */
const NARROWER = 0.9

/** The cross-section with old ground, cut, berm and water up to the sill; heights and lengths at one scale. An SVG document as text. */
export function crossSectionSvg(
  section: DrawnSection,
  voice: Voice,
  size: SectionSize = { width: 720, height: Number.POSITIVE_INFINITY },
): string {
  const { plan } = wordsOf(voice)
  const { width } = size
  const margin = 6
  const all = [...section.ground, ...section.dug]
  // A wide wedge of water over flat ground would make the ditch tiny: at most a few ditch widths uphill are shown.
  const works = [...section.cutRing, ...section.bermRing]
  const workWest = Math.min(...works.map(p => p[0]))
  const workEast = Math.max(...works.map(p => p[0]))
  const west = Math.max(Math.min(...all.map(p => p[0])), workWest - 0.8 * (workEast - workWest))
  const east = Math.max(...all.map(p => p[0]))
  const inView = all.filter(p => p[0] >= west - 1e-9).map(p => p[1])
  const high = Math.max(...inView, section.crest_z_m, heightOn(section.ground, west))
  const low = Math.min(...inView, 0)
  const top = 46
  const perMetre = Math.min((width - 2 * margin - 152) / (east - west), 160, (size.height - top - CROSS_FOOT) / (high - low))
  const x = (at: number): number => margin + 150 + (at - west) * perMetre
  const y = (z: number): number => top + (high - z) * perMetre
  const height = top + (high - low) * perMetre + CROSS_FOOT
  const place = (p: Point): Point => [x(p[0]), y(p[1])]
  const clip = element('clipPath', { id: 'cross-frame' }, element('rect', { x: x(west), y: 0, width: (east - west) * perMetre, height }))

  const soil = element('path', {
    d: pathData([...section.dug.map(place), [x(east), height - 40], [x(west) - width, height - 40]], { closed: true }),
    fill: inks.contour,
    'fill-opacity': 0.1,
  })
  const cut = element('path', {
    d: pathData(section.cutRing.map(place), { closed: true }),
    fill: inks.paper,
    stroke: inks.contour,
    'stroke-width': 0.8,
    'stroke-dasharray': '4 3',
  })
  const berm = element('path', {
    d: pathData(section.bermRing.map(place), { closed: true }),
    fill: inks.contour,
    'fill-opacity': 0.3,
    stroke: inks.contour,
    'stroke-width': 1,
  })
  const pool = waterUpTo(section.dug, section.sill_z_m)
  const water =
    pool.length < 2
      ? ''
      : element('path', { d: pathData(pool.map(place), { closed: true }), fill: inks.water, 'fill-opacity': 0.28 }) +
        element('path', {
          d: `M${digits(x(pool[0]![0]))} ${digits(y(section.sill_z_m))}H${digits(x(pool[pool.length - 1]![0]))}`,
          stroke: inks.water,
          'stroke-width': 1.6,
        })
  const dug = element('path', {
    d: pathData(section.dug.map(place)),
    fill: 'none',
    stroke: inks.ink,
    'stroke-width': 1.8,
    'stroke-linejoin': 'round',
  })
  const ground = element('path', {
    d: pathData(section.ground.map(place)),
    fill: 'none',
    stroke: inks.contour,
    'stroke-width': 1.4,
    'stroke-dasharray': '9 4',
  })

  // Levels are named at the left, on thin lines that run to the works.
  const named = [
    { z: section.crest_z_m, name: plan.crest, ink: inks.noGo },
    { z: section.sill_z_m, name: plan.sill, ink: inks.water },
    { z: 0, name: plan.bed, ink: inks.ditch },
  ]
  const places = apart(
    named.map(n => y(n.z)),
    27,
    30,
    height - CROSS_FOOT + 10,
  )
  const crestAt = Math.max(...section.bermRing.filter(p => Math.abs(p[1] - section.crest_z_m) < 1e-9).map(p => p[0]), 0)
  const reach = [crestAt, crestAt, section.shape.bedWidth_m]
  const names = named
    .map((n, k) => {
      const at = places[k]!
      return (
        element('path', {
          d: `M${margin + 118} ${digits(at)}L${margin + 144} ${digits(y(n.z))}H${digits(x(reach[k]!))}`,
          fill: 'none',
          stroke: n.ink,
          'stroke-width': 0.7,
          'stroke-dasharray': '2 3',
        }) +
        lettering(n.name, margin + 112, at - 5.5, { fill: n.ink, 'text-anchor': 'end', 'dominant-baseline': 'central' }) +
        lettering(n.z === 0 ? formatHeight(0, voice) : `+ ${formatHeight(n.z, voice)}`, margin + 112, at + 7.5, {
          fill: n.ink,
          'text-anchor': 'end',
          'dominant-baseline': 'central',
          'font-weight': 'bold',
        })
      )
    })
    .join('')
  const unit = plan.lengthUnit[voice.units]
  const perLength = voice.units === 'us' ? METRES_PER.ft : 1
  const area = (m2: number): string =>
    plan.perLength(
      voice.units === 'us'
        ? `${formatNumber(m2 / perLength ** 2, voice, 1)} ${voice.language === 'es' ? 'pies³' : 'cubic feet'}`
        : `${formatNumber(m2, voice, 2)} m³`,
      unit,
    )
  const middle = (ring: readonly Point[]): Point => [
    ring.reduce((s, p) => s + p[0], 0) / ring.length,
    ring.reduce((s, p) => s + p[1], 0) / ring.length,
  ]
  const [cutMiddle, bermMiddle] = [middle(section.cutRing), middle(section.bermRing)]
  const foot = height - 26
  const overGround = Math.min(y(heightOn(section.ground, west)), y(section.sill_z_m)) - 8
  const groundNameAt = Math.abs(overGround - y(section.crest_z_m)) < 9 ? y(section.crest_z_m) - 8 : overGround
  const [cutText, bermText] = [`${plan.cut}: ${area(section.cut_m2)}`, `${plan.berm}: ${area(section.berm_m2)}`]
  const bermAt = Math.max(x(bermMiddle[0]), x(cutMiddle[0]) + 190)
  // Where the two do not fit side by side, they stand one below the other.
  const stacked = bermAt + letteringWidth(bermText, SMALL) / 2 > width
  /** Where writing begins that should begin at a place, and end on the picture. */
  const begin = (wanted: number): number =>
    Math.max(
      margin,
      Math.min(wanted, width - margin - NARROWER * Math.max(letteringWidth(cutText, SMALL), letteringWidth(bermText, SMALL))),
    )
  const [upText, downText] = [`← ${plan.uphill}`, `${plan.downhill} →`]
  // Over a narrow section the two ways would meet: the first then begins over the names of the levels.
  const [upWide, downWide] = [letteringWidth(upText, SMALL), letteringWidth(downText, SMALL)]
  const upAt = Math.max(margin, Math.min(x(west), Math.max(x(east), x(west) + downWide) - downWide - upWide - 12))
  const writing =
    lettering(cutText, stacked ? begin(x(west) + 4) : x(cutMiddle[0]), foot - 18, {
      fill: inks.ink,
      'text-anchor': stacked ? 'start' : 'middle',
    }) +
    lettering(bermText, stacked ? begin(x(west) + 4) : bermAt, stacked ? foot - 2 : foot - 18, {
      fill: inks.contour,
      'text-anchor': stacked ? 'start' : 'middle',
    }) +
    lettering(upText, upAt, 14, { fill: inks.ink, 'font-style': 'italic' }) +
    lettering(downText, Math.max(x(east), x(west) + downWide), 14, { fill: inks.ink, 'font-style': 'italic', 'text-anchor': 'end' }) +
    lettering(plan.ground, x(west) + 4, groundNameAt, { fill: inks.contour }) +
    // Below the bed nothing else is drawn.
    lettering(`${plan.bed} ${formatLength(section.shape.bedWidth_m, voice)}`, x(section.shape.bedWidth_m / 2), y(0) + 13, {
      fill: inks.ditch,
      'text-anchor': 'middle',
    }) +
    lettering(plan.notExaggerated, margin, height - 8, { fill: inks.ink, 'font-style': 'italic' })
  return picture(
    width,
    Math.ceil(height),
    plan.crossTitle,
    element('defs', {}, clip) +
      element('g', { 'clip-path': 'url(#cross-frame)' }, soil + cut + berm + water + ground + dug) +
      names +
      writing,
  )
}

/** Height of a polyline that runs in x, extended level beyond its ends. */
function heightOn(path: readonly Point[], at: number): number {
  for (let k = 1; k < path.length; k++) {
    const [a, b] = [path[k - 1]!, path[k]!]
    if (at <= b[0]) return b[0] > a[0] ? a[1] + ((b[1] - a[1]) * (Math.max(at, a[0]) - a[0])) / (b[0] - a[0]) : a[1]
  }
  return path[path.length - 1]?.[1] ?? 0
}

/** The ring of still water over the bed, up to a level: from the bed's uphill foot outward until the ground stands above it. */
function waterUpTo(dug: readonly Point[], level: number): Point[] {
  const foot = dug.findIndex(p => Math.abs(p[0]) < 1e-9 && Math.abs(p[1]) < 1e-9)
  if (foot < 0) return []
  const meet = (a: Point, b: Point): Point => {
    const t = b[1] === a[1] ? 0 : (level - a[1]) / (b[1] - a[1])
    return [a[0] + t * (b[0] - a[0]), level]
  }
  const ring: Point[] = []
  for (let k = foot; k >= 0; k--) {
    if (dug[k]![1] >= level) {
      ring.unshift(meet(dug[k + 1]!, dug[k]!))
      break
    }
    ring.unshift(dug[k]!)
    if (k === 0) ring.unshift([dug[0]![0], level])
  }
  for (let k = foot + 1; k < dug.length; k++) {
    if (dug[k]![1] >= level) {
      ring.push(meet(dug[k - 1]!, dug[k]!))
      break
    }
    ring.push(dug[k]!)
  }
  return ring
}
