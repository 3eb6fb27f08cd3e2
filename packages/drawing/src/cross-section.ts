import { METRES_PER } from 'soakline/foundation'
import type { Assessment, LineSection } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { DAY as inks } from './inks.js'
import { letteringWidth } from './label-places.js'
import { formatHeight, formatLength, formatNumber } from './measures.js'
import { apart, picture, type SectionSize, SMALL } from './section-picture.js'
import { wordsOf } from './sentences.js'
import { sizingWords } from './sizing-words.js'
import { digits, element, lettering, pathData } from './svg.js'
import { inLanguage, type Voice } from './voice.js'

/** What the drawing of a cross-section needs of it. */
export type DrawnSection = Pick<
  LineSection,
  'ground' | 'dug' | 'sill_z_m' | 'crest_z_m' | 'cut_m2' | 'berm_m2' | 'cutRing' | 'bermRing' | 'bed_m' | 'topWidth_m'
> & {
  readonly shape: Pick<LineSection['shape'], 'bedWidth_m' | 'freeboard_m'>
}

/** Levels of the water over the bed of a section. */
export interface SectionWater {
  /** Where the first water leaves the ditch. */
  readonly first_z_m: number
  /** The acceptance storm's highest there; null while it is not known. */
  readonly storm_z_m: number | null
  /** A level that is looked at just now, with its name; absent: none. */
  readonly now?: { readonly z_m: number; readonly name: string }
}

/** The water over the bed at the stake nearest to a place; without a place, where the bed is lowest. Null without a ditch. */
export function sectionWater({ profile, storage }: Assessment, chainage_m: number | null): SectionWater | null {
  if (storage === null || profile.length === 0) return null
  const lowest = Math.min(...profile.map(p => p.bed_m))
  const here =
    chainage_m === null
      ? // On a level bed that is every stake: the one with the highest water counts.
        profile.filter(p => p.bed_m <= lowest + 1e-6).reduce((a, b) => ((b.water_m ?? -Infinity) > (a.water_m ?? -Infinity) ? b : a))
      : profile.reduce((a, b) => (Math.abs(b.chainage_m - chainage_m) < Math.abs(a.chainage_m - chainage_m) ? b : a))
  return {
    first_z_m: Math.max(0, storage.sillElevation_m - here.bed_m),
    storm_z_m: here.water_m === null ? null : Math.max(0, here.water_m - here.bed_m),
  }
}

/** The bed at the stake nearest to a place; without a place, where it is lowest. Unit: m in the raster's datum. */
export function bedAt({ profile }: Pick<Assessment, 'profile'>, chainage_m: number | null): number {
  if (chainage_m === null) return Math.min(...profile.map(p => p.bed_m))
  return profile.reduce((a, b) => (Math.abs(b.chainage_m - chainage_m) < Math.abs(a.chainage_m - chainage_m) ? b : a)).bed_m
}

/** Room below a cross-section for its areas and its scale. */
const CROSS_FOOT = 74
/** Room for the name of a level and its height. */
const LEVEL_ROOM = 26
/** How much of `letteringWidth`, which leaves room round a label, the writing itself takes. Measured on Noto Sans. */
const NARROWER = 0.9

/**
 * The cross-section with old ground, cut, berm, and water where the first of it leaves and, over that, at the storm's highest; heights and lengths at
 * one scale. An SVG document as text.
 */
export function crossSectionSvg(
  section: DrawnSection,
  voice: Voice,
  size: SectionSize = { width: 720, height: Number.POSITIVE_INFINITY },
  { first_z_m, storm_z_m, now }: SectionWater = { first_z_m: section.sill_z_m, storm_z_m: null },
  { perMetre: given, idPrefix = 'cross' }: { readonly perMetre?: number; readonly idPrefix?: string } = {},
): string {
  const { plan } = wordsOf(voice)
  const { section: say } = sizingWords(voice)
  const { width } = size
  const margin = 6
  const all = [...section.ground, ...section.dug]
  const { west, east } = drawnSpan(section)
  const inView = all.filter(p => p[0] >= west - 1e-9 && p[0] <= east + 1e-9).map(p => p[1])
  const high = Math.max(...inView, section.crest_z_m, heightOn(section.ground, west))
  const low = Math.min(...inView, 0, heightOn(section.ground, east))
  const top = 46
  const perMetre = given ?? Math.min((width - 2 * margin - 152) / (east - west), 160, (size.height - top - CROSS_FOOT) / (high - low))
  const x = (at: number): number => margin + 150 + (at - west) * perMetre
  const y = (z: number): number => top + (high - z) * perMetre
  const levels = (storm_z_m === null ? 3 : 4) + (now === undefined ? 0 : 1)
  const height = Math.max(top + (high - low) * perMetre, 20 + LEVEL_ROOM * levels) + CROSS_FOOT - 10
  const place = (p: Point): Point => [x(p[0]), y(p[1])]
  const clip = element(
    'clipPath',
    { id: `${idPrefix}-frame` },
    element('rect', { x: x(west), y: 0, width: (east - west) * perMetre, height }),
  )

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
  const crestAt = Math.max(...section.bermRing.filter(p => Math.abs(p[1] - section.crest_z_m) < 1e-9).map(p => p[0]), 0)
  const [bedFrom, bedTo] = bedOf(section)
  const waterTo = (z_m: number, opacity: number, dashes?: string): string => {
    const pool = waterUpTo(section.dug, bedFrom, z_m, crestAt)
    return pool.length < 2 || z_m <= 0
      ? ''
      : element('path', { d: pathData(pool.map(place), { closed: true }), fill: inks.water, 'fill-opacity': opacity }) +
          element('path', {
            d: `M${digits(x(pool[0]![0]))} ${digits(y(z_m))}H${digits(x(pool[pool.length - 1]![0]))}`,
            stroke: inks.water,
            'stroke-width': 1.6,
            'stroke-dasharray': dashes,
          })
  }
  // What stands up to the first spill is darker and has a whole line; the storm's water over it is paler, its line broken.
  const water =
    (storm_z_m === null ? '' : waterTo(storm_z_m, 0.14, '7 3')) +
    waterTo(first_z_m, 0.2) +
    (now === undefined ? '' : waterTo(Math.min(now.z_m, section.crest_z_m), 0.45))
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
    { z: section.crest_z_m, name: plan.crest, ink: inks.noGo, to: crestAt },
    ...(storm_z_m === null ? [] : [{ z: storm_z_m, name: say.storm, ink: inks.water, to: crestAt }]),
    { z: first_z_m, name: say.firstOut, ink: inks.water, to: crestAt },
    ...(now === undefined ? [] : [{ z: now.z_m, name: now.name, ink: inks.ditch, to: crestAt }]),
    { z: 0, name: plan.bed, ink: inks.ditch, to: bedTo },
  ]
  const places = apart(
    named.map(n => y(n.z)),
    LEVEL_ROOM,
    30,
    height - CROSS_FOOT + 20,
  )
  const names = named
    .map((n, k) => {
      const at = places[k]!
      return (
        element('path', {
          d: `M${margin + 118} ${digits(at)}L${margin + 144} ${digits(y(n.z))}H${digits(x(n.to))}`,
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
        ? `${formatNumber(m2 / perLength ** 2, voice, 1)} ${inLanguage(voice, { en: 'cubic feet', es: 'pies³' })}`
        : `${formatNumber(m2, voice, 2)} m³`,
      unit,
    )
  const middle = (ring: readonly Point[]): Point => [
    ring.reduce((s, p) => s + p[0], 0) / ring.length,
    ring.reduce((s, p) => s + p[1], 0) / ring.length,
  ]
  const [cutMiddle, bermMiddle] = [middle(section.cutRing), middle(section.bermRing)]
  const foot = height - 26
  const overGround = Math.min(y(heightOn(section.ground, west)), y(storm_z_m ?? first_z_m), y(first_z_m)) - 8
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
    lettering(
      section.bed_m === undefined
        ? `${plan.bed} ${formatLength(section.shape.bedWidth_m, voice)}`
        : say.bowl(formatLength(section.topWidth_m, voice)),
      x((bedFrom + bedTo) / 2),
      y(0) + 13,
      { fill: inks.ditch, 'text-anchor': 'middle' },
    ) +
    lettering(plan.notExaggerated, margin, height - 8, { fill: inks.ink, 'font-style': 'italic' })
  return picture(
    width,
    Math.ceil(height),
    plan.crossTitle,
    element('defs', {}, clip) +
      element('g', { 'clip-path': `url(#${idPrefix}-frame)` }, soil + cut + berm + water + ground + dug) +
      names +
      writing,
  )
}

/** What is drawn across a section. A wide wedge of water over flat ground would make the ditch tiny: at most a few ditch widths uphill are shown. */
function drawnSpan(section: DrawnSection): { readonly west: number; readonly east: number } {
  const all = [...section.ground, ...section.dug].map(p => p[0])
  const works = [...section.cutRing, ...section.bermRing].map(p => p[0])
  const [from, to] = [Math.min(...works), Math.max(...works)]
  return { west: Math.max(Math.min(...all), from - 0.8 * (to - from)), east: Math.min(Math.max(...all), to + 0.5 * (to - from)) }
}

/** Width of a picture that shows a section at so many units to a metre. */
export function crossSectionWidth(section: DrawnSection, perMetre: number): number {
  const { west, east } = drawnSpan(section)
  return 12 + 152 + (east - west) * perMetre
}

/** Height of a polyline that runs in x, extended level beyond its ends. */
function heightOn(path: readonly Point[], at: number): number {
  for (let k = 1; k < path.length; k++) {
    const [a, b] = [path[k - 1]!, path[k]!]
    if (at <= b[0]) return b[0] > a[0] ? a[1] + ((b[1] - a[1]) * (Math.max(at, a[0]) - a[0])) / (b[0] - a[0]) : a[1]
  }
  return path[path.length - 1]?.[1] ?? 0
}

/** From where to where the bed lies across a section; a bowl's is its deepest point. */
function bedOf({ cutRing, bed_m, shape }: DrawnSection): readonly [number, number] {
  const low = Math.min(...cutRing.map(p => p[1]))
  const at = cutRing.filter(p => p[1] <= low + 1e-9).map(p => p[0])
  const from = Math.min(...at)
  return [from, bed_m === undefined ? Math.max(from + shape.bedWidth_m, ...at) : Math.max(...at)]
}

/** The ring of still water over the bed, up to a level: from the bed outward until the ground stands above it, at most to the berm's crest. */
function waterUpTo(dug: readonly Point[], bedAt: number, level: number, crestAt: number): Point[] {
  const foot = dug.findIndex(p => Math.abs(p[0] - bedAt) < 1e-9)
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
    if (dug[k]![0] >= crestAt - 1e-9) {
      ring.push([dug[k]![0], level])
      break
    }
  }
  return ring
}
