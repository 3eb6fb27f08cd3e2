import { crossSectionSvg, crossSectionWidth, type DrawnSection, type SectionWater, sectionWater } from '../cross-section.js'
import { longSectionSvg, longSectionToScale } from '../long-section.js'
import { formatNumber } from '../measures.js'
import { METRIC_SCALES, US_SCALES } from '../plan.js'
import { sayScale } from '../report.js'
import { wordsOf } from '../sentences.js'
import type { UnitSystem, Voice } from '../voice.js'
import { type Block, figure, paragraph, title, type Whole } from './blocks.js'
import { type Desk, flowing, onWhite, type SheetPages } from './sheet.js'
import { SET } from './words.js'

/** Pixels of a picture to a metre of ground: a picture's pixel is 1/96 inch. */
const perMetre = (scale: number): number => 96 / 0.0254 / scale
const mm = (pixels: number): number => (pixels * 25.4) / 96

const LONG_HEIGHT = 310
/** Scales of heights: usual ones. */
const HEIGHTS: Readonly<Record<UnitSystem, readonly number[]>> = {
  metric: [5, 10, 20, 25, 40, 50, 100, 125, 200, 250, 500, 1000],
  us: [6, 12, 24, 36, 48, 60, 72, 96, 120, 240, 360, 480, 600, 1200],
}
/** A scale as the title block has room for. */
const ratio = (scale: number, voice: Voice): string => `1:${formatNumber(scale, voice)}`
/** So that the lettering of a narrow section has its room. */
const LEAST_WIDTH = 420
/** Scales of a cross-section: the usual ones of details, in inches to the foot for readers in feet. Source: common practice. */
const DETAIL = { metric: [20, 25, 50, 75, 100, 200], us: [16, 24, 32, 48, 64, 96, 192] } as const

/** The line's own section and those across it, all to scale. */
export function sectionSheet(desk: Desk): SheetPages {
  const { input, voice, room, paper } = desk
  const long = longSection(desk)
  const { blocks: across, scale: laterScale } = crossSections(desk)
  const blocks: readonly Block[] =
    input.assessment.section === null ? [...across, paragraph(wordsOf(voice).report.notDug, room.column_mm)] : across
  const scale = long?.scale ?? null
  if (long === null || paper.columns === 1)
    return { ...flowing('sections', desk, [...(long === null ? [] : [long.heading, long.picture]), ...blocks]), scale, laterScale }
  // On a lying page the long section runs over both columns; what follows has the room below it.
  const below = flowing(
    'sections',
    { ...desk, room: { ...room, height_mm: room.height_mm - long.heading.height_mm - long.picture.height_mm } },
    blocks,
  )
  const [first = '', ...rest] = below.bodies
  return { ...below, scale, laterScale, bodies: [`<div class="across">${long.heading.html}${long.picture.html}</div>${first}`, ...rest] }
}

function longSection({
  input,
  voice,
  room,
  say,
  tell,
}: Desk): { readonly heading: Whole; readonly picture: Whole; readonly scale: string } | null {
  const { assessment } = input
  const scales = voice.units === 'us' ? US_SCALES : METRIC_SCALES
  const scale = scales.find(s => mm(longSectionToScale(assessment, perMetre(s), LONG_HEIGHT)?.size.width ?? 0) <= room.width_mm)
  const usual = (times: number): boolean => HEIGHTS[voice.units].includes(scale! / times)
  const drawn = scale === undefined ? null : longSectionToScale(assessment, perMetre(scale), LONG_HEIGHT, usual)
  if (scale === undefined || drawn === null) return null
  const text = tell(SET.lengthsHeights, { lengths: sayScale(scale, voice), heights: sayScale(scale / drawn.times, voice) })
  return {
    heading: title(say.longSection),
    picture: figure(onWhite(longSectionSvg(assessment, voice, drawn.size, drawn)), mm(LONG_HEIGHT), text),
    scale: tell(SET.lengthsHeights, { lengths: ratio(scale, voice), heights: ratio(scale / drawn.times, voice) }),
  }
}

/** The section on the mean slope, and those where the cut is deepest and shallowest, all to one scale; null where there is none. */
function crossSections({ input, voice, room, say, tell }: Desk): { readonly blocks: Block[]; readonly scale: string | null } {
  const { assessment, papers } = input
  const all: { readonly name: string; readonly section: DrawnSection; readonly water: SectionWater | null }[] = [
    ...(assessment.section === null ? [] : [{ name: say.crossMean, section: assessment.section, water: sectionWater(assessment, null) }]),
    ...(papers?.sections ?? []).map(({ why, chainage_m, section }) => ({
      name: tell(why === 'steepest' ? SET.crossSteepest : SET.crossFlattest, { chainage_m }),
      section,
      water: sectionWater(assessment, chainage_m),
    })),
  ]
  const scales = DETAIL[voice.units]
  const fits = (s: number): boolean => all.every(({ section }) => mm(crossSectionWidth(section, perMetre(s))) <= room.column_mm)
  const scale = scales.find(fits) ?? scales[scales.length - 1]!
  const blocks = all.flatMap(({ name, section, water }, k) => {
    const width = Math.max(crossSectionWidth(section, perMetre(scale)), LEAST_WIDTH)
    const size = { width, height: Number.POSITIVE_INFINITY }
    const look = { perMetre: perMetre(scale), idPrefix: `set-cross-${k}` }
    const svg = crossSectionSvg(section, voice, size, water ?? undefined, look)
    const height = Number(/^<svg[^>]* height="([\d.]+)"/.exec(svg)?.[1] ?? 0)
    return [title(`${name} · ${sayScale(scale, voice)}`, room.column_mm), figure(onWhite(svg), mm(height))]
  })
  return { blocks, scale: all.length === 0 ? null : ratio(scale, voice) }
}
