import { METRES_PER } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { DAY as inks } from './inks.js'
import { letteringWidth } from './label-places.js'
import { formatElevation, formatHeight, formatLength, formatNumber, formatStakeLevel } from './measures.js'
import { apart, halo, middleWithin, picture, roundStep, type SectionSize, SMALL } from './section-picture.js'
import { ranked, wordsOf } from './sentences.js'
import { sizingWords } from './sizing-words.js'
import { digits, element, lettering, pathData } from './svg.js'
import { inLanguage, type Voice } from './voice.js'

const EXAGGERATIONS = [1, 2, 3, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200]

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
  /** Down the picture, of a height. */
  y(z_m: number): number
  /** The height of a place down the picture. */
  z_m(y: number): number
}

/** Room across for a length on the axis, and down for a height. */
const [LENGTH_ROOM, HEIGHT_ROOM] = [34, 13]
const LONG_RIMS = { left: 74, right: 150, top: 34, bottom: 58 } as const

/** The frame of the plot that `longSectionSvg` draws in a size; null where it draws none. */
export function longSectionFrame(
  assessment: Pick<Assessment, 'line' | 'profile' | 'storage' | 'spillway'>,
  { width, height }: SectionSize,
): LongSectionFrame | null {
  const { line, profile } = assessment
  const { left, top } = LONG_RIMS
  const right = width - LONG_RIMS.right
  const heights = heightsDrawn(assessment)
  if (profile.length < 2 || !(line.length_m > 0) || right <= left || heights.length === 0) return null
  const perLength = (right - left) / line.length_m
  const room = roomFor(line, height)
  const perHeight = exaggeration(heights, perLength, room) * perLength
  const middle_m = (Math.min(...heights) + Math.max(...heights)) / 2
  const centre = top + room / 2
  return {
    y: z_m => centre - (z_m - middle_m) * perHeight,
    z_m: y => middle_m + (centre - y) / perHeight,
    left,
    right,
    top,
    floor: height - LONG_RIMS.bottom,
    x: chainage_m => left + chainage_m * perLength,
    chainage_m: x => Math.min(Math.max((x - left) / perLength, 0), line.length_m),
  }
}

/** A place along the line and a height. */
type At = readonly [chainage_m: number, z_m: number]

/** A line of the long section from end to end, broken where its height is not known. */
interface Trace {
  readonly runs: readonly (readonly At[])[]
  readonly name: string
  readonly ink: string
  readonly weight: number
  readonly dashes?: string
}

/** Room for a label of two lines, and of one. */
const [TWO_LINES, ONE_LINE] = [26, 14]

/**
 * The long section of the line: old ground, bed, settled crest and the acceptance storm's water at every stake, the sill and its notch where it
 * spills. Heights are drawn larger than lengths and that is said. An SVG document as text.
 */
export function longSectionSvg(
  assessment: Assessment,
  voice: Voice,
  { width, height }: SectionSize = { width: 720, height: 300 },
  given: { readonly times?: number } = {},
): string {
  const { plan } = wordsOf(voice)
  const { section: say } = sizingWords(voice)
  const { profile, line, storage, spillway } = assessment
  const { left, right, top, bottom } = LONG_RIMS
  if (profile.length < 2 || !(line.length_m > 0))
    return picture(width, 80, plan.longTitle, lettering(plan.noLine, 20, 44, { fill: inks.ink }))

  const trace = (z: (p: Assessment['profile'][number]) => number | null, look: Omit<Trace, 'runs'>): Trace[] => {
    const runs = runsOfKnown(profile.map(p => [p.chainage_m, z(p)]))
    return runs.length > 0 ? [{ runs, ...look }] : []
  }
  const ground = trace(p => p.ground_m, { name: plan.ground, ink: inks.contour, weight: 2 })
  const bed = trace(p => p.bed_m, { name: plan.bed, ink: inks.ditch, weight: 2.2 })
  const crest = trace(p => p.crest_m, { name: plan.crest, ink: inks.noGo, weight: 1.4, dashes: '2 2.5' })
  const water = trace(p => p.water_m, { name: say.storm, ink: inks.water, weight: 1.8 })
  const levels: { readonly z: number; readonly name: string; readonly ink: string; readonly dashes: string; readonly weight: number }[] = []
  if (storage !== null) {
    const notched = spillway !== null && spillway.notchElevation_m !== null
    if (spillway !== null) levels.push({ z: spillway.sillElevation_m, name: say.sill, ink: inks.water, weight: 1, dashes: '8 3' })
    if (spillway === null || notched)
      levels.push({
        z: storage.sillElevation_m,
        name: notched ? say.notch : say.firstOut,
        ink: inks.water,
        weight: 0.9,
        dashes: notched ? '1.5 3' : '8 3',
      })
  }
  const traces = [...bed, ...water, ...crest, ...ground]
  const heights = heightsDrawn(assessment)
  if (heights.length === 0) return picture(width, 80, plan.longTitle, lettering(plan.noLine, 20, 44, { fill: inks.ink }))
  const low = Math.min(...heights)
  const high = Math.max(...heights)
  const perLength = (width - left - right) / line.length_m
  const room = roomFor(line, height)
  const times = given.times ?? exaggeration(heights, perLength, room)
  const perHeight = times * perLength
  const middle = (low + high) / 2
  const x = (along: number): number => left + along * perLength
  const y = (z: number): number => top + room / 2 - (z - middle) * perHeight
  const onPicture = (run: readonly At[]): Point[] => run.map(([along, z]) => [x(along), y(z)])
  const floor = height - bottom

  let inside = ''
  // Heights at the left, lengths below.
  const feet = voice.units === 'us'
  const unit_m = feet ? METRES_PER.ft : 1
  const heightStep = roundStep(room / perHeight / unit_m, Math.min(6, Math.max(1, room / HEIGHT_ROOM)))
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
  const along = `${feet ? inLanguage(voice, { en: 'ft', es: 'pies' }) : 'm'} ${plan.along}`
  inside += lettering(along, middleWithin(along, (left + width - right) / 2, width), floor + 32, {
    fill: inks.ink,
    'text-anchor': 'middle',
  })

  // Water lies on the bed: what stands up to where the first of it leaves, and over it, paler, what the storm adds.
  if (storage !== null)
    for (const run of waterOnBed(profile, () => storage.sillElevation_m))
      inside += element('path', { d: pathData(onPicture(run), { closed: true }), fill: inks.water, 'fill-opacity': 0.16 })
  for (const run of waterOnBed(profile, p => p.water_m))
    inside += element('path', { d: pathData(onPicture(run), { closed: true }), fill: inks.water, 'fill-opacity': 0.12 })
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
  const noGo = line.noGo[0]
  if (noGo !== undefined) {
    const atEnd = noGo.from_m > line.length_m / 2
    inside += lettering(plan.noGoStretch, x(atEnd ? noGo.to_m : noGo.from_m), floor - 10, {
      fill: inks.noGo,
      'text-anchor': atEnd ? 'end' : 'start',
      'font-style': 'italic',
    })
  }

  for (const level of levels)
    inside += element('path', {
      d: `M${left} ${digits(y(level.z))}H${width - right}`,
      stroke: level.ink,
      'stroke-width': level.weight,
      'stroke-dasharray': level.dashes,
    })
  for (const { runs, ink, weight, dashes } of traces)
    for (const run of runs)
      inside += element('path', {
        d: pathData(onPicture(run)),
        fill: 'none',
        stroke: ink,
        'stroke-width': weight,
        'stroke-dasharray': dashes,
      })
  inside += sillSign(assessment, x, y)

  // The spills stand as arrows over the sill; where their names would lie on each other, their numbers do.
  const spillNames = ranked(assessment).map(spill => plan.spill(spill.rank))
  const sillName = spillway === null ? '' : `, ${say.sillLong(formatLength(spillway.length_m, voice))}`
  const namesFit = [...spillNames, sillName].reduce((sum, name) => sum + letteringWidth(name, SMALL) + 8, 0) <= width - left - right
  for (const spill of ranked(assessment)) {
    const at = x(spill.chainage_m)
    const isChosen = spillway !== null && Math.abs(spill.chainage_m - spillway.chainage_m) < 0.01
    const tip = crest.length > 0 ? y(heightAt(crest[0]!.runs, spill.chainage_m)) - 3 : y(storage?.sillElevation_m ?? line.bedElevation_m)
    inside += element('path', {
      d: `M${digits(at - 5)} ${digits(tip - 12)}L${digits(at)} ${digits(tip)}L${digits(at + 5)} ${digits(tip - 12)}`,
      fill: isChosen ? inks.ditch : inks.paper,
      stroke: inks.ditch,
      'stroke-width': 1.6,
    })
    inside += lettering(
      `${namesFit ? plan.spill(spill.rank) : spill.rank}${isChosen && namesFit ? sillName : ''}`,
      at,
      Math.max(12, tip - 17),
      {
        fill: inks.ditch,
        'text-anchor': spill.chainage_m > line.length_m * 0.8 ? 'end' : spill.chainage_m < line.length_m * 0.2 ? 'start' : 'middle',
        'font-weight': 'bold',
        ...halo,
      },
    )
  }
  inside += leastFreeboard(assessment, voice, x, y, width - right)

  const named = [
    ...levels,
    ...traces.map(t => {
      const last = t.runs[t.runs.length - 1]!
      return { z: last[last.length - 1]![1], name: t.name, ink: t.ink }
    }),
  ]
  const gap = (named.length - 1) * TWO_LINES <= floor - 12 - (top - 10) ? TWO_LINES : ONE_LINE
  const places = apart(
    named.map(n => y(n.z)),
    gap,
    top - 10,
    floor - 12,
  )
  named.forEach((n, k) => {
    const at = places[k]!
    const text = { fill: n.ink, 'dominant-baseline': 'central' } as const
    inside += element('path', {
      d: `M${width - right} ${digits(y(n.z))}L${width - right + 10} ${digits(at)}H${width - right + 14}`,
      fill: 'none',
      stroke: n.ink,
      'stroke-width': 0.8,
    })
    const from = width - right + 18
    const elevation = formatStakeLevel(n.z, voice)
    if (gap === TWO_LINES)
      inside +=
        lettering(n.name, from, n.name === plan.ground ? at : at - 5, text) +
        (n.name === plan.ground ? '' : lettering(elevation, from, at + 7, { ...text, 'font-weight': 'bold' }))
    else {
      const whole = `${n.name} ${elevation}`
      inside += lettering(n.name === plan.ground || letteringWidth(whole, SMALL) * 0.9 > width - from ? n.name : whole, from, at, text)
    }
  })
  inside += element('path', { d: `M${left} ${top - 14}V${floor}H${width - right}`, fill: 'none', stroke: inks.ink, 'stroke-width': 1 })
  const scaled = times === 1 ? plan.notExaggerated : plan.exaggerated(formatNumber(times, voice, times < 10 ? 1 : 0))
  inside += lettering(scaled, Math.max(0, Math.min(left, width - letteringWidth(scaled, SMALL))), height - 8, {
    fill: inks.ink,
    'font-style': 'italic',
  })
  return picture(width, height, plan.longTitle, inside)
}

/**
 * Water at one level over the whole bed, hatched, with its name and level: a sheet to lie over `longSectionSvg` of the same size. An SVG document as
 * text; null where no section is drawn.
 */
export function longSectionWaterSvg(assessment: Assessment, level_m: number, name: string, voice: Voice, size: SectionSize): string | null {
  const frame = longSectionFrame(assessment, size)
  if (frame === null) return null
  const { left, right, x, y } = frame
  const at = y(level_m)
  const hatch = element(
    'pattern',
    { id: 'water-now', width: 7, height: 7, patternUnits: 'userSpaceOnUse' },
    element('path', { d: 'M0 3.5h4.5', stroke: inks.water, 'stroke-width': 1.2 }),
  )
  const rings = waterOnBed(assessment.profile, () => level_m).map(run => {
    const d = pathData(
      run.map(([along, z]): Point => [x(along), y(z)]),
      { closed: true },
    )
    return element('path', { d, fill: inks.water, 'fill-opacity': 0.3 }) + element('path', { d, fill: 'url(#water-now)' })
  })
  const text = `${name} ${formatStakeLevel(level_m, voice)}`
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: size.width,
      height: size.height,
      viewBox: `0 0 ${digits(size.width)} ${digits(size.height)}`,
      'aria-hidden': 'true',
      'font-size': SMALL,
      'font-family': 'inherit',
    },
    element('defs', {}, hatch) +
      rings.join('') +
      element('path', { d: `M${digits(left)} ${digits(at)}H${digits(right)}`, stroke: inks.ditch, 'stroke-width': 2 }) +
      lettering(text, (left + right) / 2, at + 15, { fill: inks.ditch, 'text-anchor': 'middle', 'font-weight': 'bold', ...halo }),
  )
}

/** The label of a no-go stretch stands on the axis, below all levels. */
const roomFor = ({ noGo }: Assessment['line'], height: number): number =>
  height - LONG_RIMS.top - LONG_RIMS.bottom - (noGo.length > 0 ? 24 : 0)

/** How many times larger heights are drawn: the most that fits, among those that are wanted. */
function exaggeration(
  heights: readonly number[],
  perLength: number,
  room: number,
  wanted: (times: number) => boolean = () => true,
): number {
  const span = Math.max(Math.max(...heights) - Math.min(...heights), 0.2)
  const fits = (times: number): boolean => times * perLength * span * 1.12 <= room
  return [...EXAGGERATIONS].reverse().find(times => fits(times) && wanted(times)) ?? room / (perLength * span * 1.12)
}

/** All heights that a long section shows: what is known on two stakes or more that follow on each other, and the levels of sill and notch. */
function heightsDrawn({ profile, storage, spillway }: Pick<Assessment, 'profile' | 'storage' | 'spillway'>): number[] {
  const of = (z: (p: Assessment['profile'][number]) => number | null): number[] =>
    runsOfKnown(profile.map(p => [p.chainage_m, z(p)])).flatMap(run => run.map(([, height]) => height))
  return [
    ...of(p => p.ground_m),
    ...of(p => p.bed_m),
    ...of(p => p.crest_m),
    ...of(p => p.water_m),
    ...(storage !== null && spillway !== null ? [spillway.sillElevation_m] : []),
    ...(storage !== null && (spillway === null || spillway.notchElevation_m !== null) ? [storage.sillElevation_m] : []),
  ]
}

/**
 * A picture in which the line's length is drawn to a scale, and how many times larger its heights are; null where no section is drawn.
 *
 * Units   `perMetre` and the size are pixels of 1/96 inch; `height` is the room that the heights may take. `wanted` chooses among the exaggerations.
 */
export function longSectionToScale(
  assessment: Assessment,
  perMetre: number,
  height: number,
  wanted?: (times: number) => boolean,
): { readonly size: SectionSize; readonly times: number } | null {
  const { line, profile } = assessment
  const heights = heightsDrawn(assessment)
  if (profile.length < 2 || !(line.length_m > 0) || heights.length === 0) return null
  const size = { width: LONG_RIMS.left + LONG_RIMS.right + line.length_m * perMetre, height }
  return { size, times: exaggeration(heights, perMetre, roomFor(line, height), wanted) }
}

/** The sill as it is cut out of the crest, to the scale of lengths, with the notch in its middle. */
function sillSign({ spillway, line, profile }: Assessment, x: (chainage_m: number) => number, y: (z_m: number) => number): string {
  if (spillway === null) return ''
  const { chainage_m, length_m, sillElevation_m, notchElevation_m } = spillway
  const from = Math.min(Math.max(chainage_m - length_m / 2, 0), Math.max(0, line.length_m - length_m))
  const to = Math.min(from + length_m, line.length_m)
  const crests = runsOfKnown(profile.map(p => [p.chainage_m, p.crest_m]))
  if (crests.length === 0) return ''
  const [west, east, sill] = [x(from), x(to), y(sillElevation_m)]
  const [crestFrom, crestTo] = [y(heightAt(crests, from)), y(heightAt(crests, to))]
  const sides = `M${digits(west)} ${digits(crestFrom)}V${digits(sill)}`
  const middle = (west + east) / 2
  const half = Math.min(3.5, (east - west) / 4)
  const notch =
    notchElevation_m === null ? '' : `H${digits(middle - half)}V${digits(y(notchElevation_m))}H${digits(middle + half)}V${digits(sill)}`
  return (
    element('path', {
      d: `M${digits(west)} ${digits(crestFrom)}H${digits(east)}`,
      stroke: inks.paper,
      'stroke-width': 3,
    }) +
    element('path', {
      d: `${sides}${notch}H${digits(east)}V${digits(crestTo)}`,
      fill: 'none',
      stroke: inks.ditch,
      'stroke-width': 2.2,
      'stroke-linejoin': 'round',
    })
  )
}

/** Where the settled crest stands least above the storm's water; a sentence where the water could not be followed. */
function leastFreeboard(
  { spillway, profile, line, storage }: Assessment,
  voice: Voice,
  x: (chainage_m: number) => number,
  y: (z_m: number) => number,
  right: number,
): string {
  const { section: say } = sizingWords(voice)
  if (storage === null) return ''
  const note = (text: string): string => {
    const from = LONG_RIMS.left + 10
    // What does not fit between the rims is left to the sentences of the page.
    return letteringWidth(text, SMALL) * 0.9 > right - from
      ? ''
      : lettering(text, from, y(storage.crestElevation_m) + 14, { fill: inks.noGo, 'font-style': 'italic', ...halo })
  }
  if (spillway === null) return note(say.noStormLevel)
  const least = spillway.least === null ? undefined : spillway.water[spillway.least]
  if (least === undefined) return note(say.overBanks)
  const crests = runsOfKnown(profile.map(p => [p.chainage_m, p.crest_m]))
  if (crests.length === 0) return ''
  const at = x(least.chainage_m) + (least.chainage_m < 0.01 * line.length_m ? 5 : least.chainage_m > 0.99 * line.length_m ? -5 : 0)
  const [crest, water] = [y(heightAt(crests, least.chainage_m)), y(least.level_m)]
  const height = formatHeight(least.freeboard_m, voice)
  const isEast = least.chainage_m > line.length_m / 2
  const room = (isEast ? at - LONG_RIMS.left : right - at) - 12
  const text = [say.leastFreeboard(height), say.leastShort(height)].find(t => letteringWidth(t, SMALL) <= room) ?? height
  return (
    element('path', {
      d: `M${digits(at - 4)} ${digits(crest)}h8M${digits(at)} ${digits(crest)}V${digits(water)}M${digits(at - 4)} ${digits(water)}h8`,
      fill: 'none',
      stroke: inks.ink,
      'stroke-width': 1.4,
    }) +
    lettering(text, at + (isEast ? -8 : 8), (crest + water) / 2, {
      fill: inks.ink,
      'text-anchor': isEast ? 'end' : 'start',
      'dominant-baseline': 'central',
      'font-weight': 'bold',
      ...halo,
    })
  )
}

/** The height of a trace at a place along the line: that of its nearest stake. */
function heightAt(runs: readonly (readonly At[])[], chainage_m: number): number {
  let best: At = runs[0]![0]!
  for (const run of runs) for (const at of run) if (Math.abs(at[0] - chainage_m) < Math.abs(best[0] - chainage_m)) best = at
  return best[1]
}

/** Rings of the water between the bed and a level, where it stands over the bed. */
function waterOnBed(profile: Assessment['profile'], level: (p: Assessment['profile'][number]) => number | null): At[][] {
  const wet = runsOfKnown(
    profile.map(p => {
      const z = level(p)
      return [p.chainage_m, z !== null && z > p.bed_m ? z : null]
    }),
  )
  const bed = new Map(profile.map(p => [p.chainage_m, p.bed_m]))
  return wet.map(run => [...run, ...[...run].reverse().map(([along]): At => [along, bed.get(along)!])])
}

/** The stretches of two stakes or more where a height is known. */
function runsOfKnown(all: readonly (readonly [chainage_m: number, z_m: number | null])[]): At[][] {
  const runs: At[][] = []
  let run: At[] = []
  for (const [along, z] of all) {
    if (z !== null && Number.isFinite(z)) run.push([along, z])
    else if (run.length > 0) {
      runs.push(run)
      run = []
    }
  }
  if (run.length > 0) runs.push(run)
  return runs.filter(r => r.length > 1)
}
