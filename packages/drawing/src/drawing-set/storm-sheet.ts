import type { StormAnswer } from 'soakline/plan'
import { hydrographSvg, sayNoHydrograph, sayStorm } from '../hydrograph.js'
import { formatNumber } from '../measures.js'
import { saySource, wordsOf } from '../sentences.js'
import { sayExits, sayRunoff, saySoaking, saySpillway, saySpreaders } from '../sizing.js'
import { sizingWords } from '../sizing-words.js'
import { sayMeasuredStorm, saySoil, sayYear } from '../soil-and-year.js'
import { type Block, figure, joined, paragraph, type Said, said, table, title } from './blocks.js'
import { saidBlocks } from './said-blocks.js'
import { type Desk, flowing, onWhite, type SheetPages } from './sheet.js'
import type { ValueFormat } from './values.js'

const HYDROGRAPH_HEIGHT = 340
const PIXELS_PER_mm = 96 / 25.4

/** Every storm into an empty ditch and in the worst case, the acceptance storm hour by hour, the spill, the soil. */
export function stormSheet(desk: Desk): SheetPages {
  const { input, voice, room } = desk
  const { assessment: a } = input
  const { report } = wordsOf(voice)
  const { storms: say, worst, hydrograph } = sizingWords(voice)
  const width = room.column_mm
  const none: Block[] = a.storms.length === 0 ? [paragraph(report.noStorms, width)] : []
  const svg = hydrographSvg(a, voice, { width: Math.floor(Math.min(width, 190) * PIXELS_PER_mm), height: HYDROGRAPH_HEIGHT })
  return flowing('storms', desk, [
    ...none,
    ...(a.storms.length === 0
      ? []
      : [
          title(say.title),
          { ...paragraph(`${say.caption}. ${say.judged}`, width, { small: true }), withNext: true },
          stormTable(desk),
          title(worst.title),
          { ...paragraph(`${worst.caption}.`, width, { small: true }), withNext: true },
          worstTable(desk),
          paragraph(worst.note, width, { small: true }),
        ]),
    paragraph(report.stormNote(formatNumber(a.runoff.curveNumber, voice, 1), saySource(a.runoff.curveNumberSource, voice)), width, {
      small: true,
    }),
    ...(a.catchment.cutByEdge ? [paragraph(report.stormCut, width, { strong: true })] : []),
    title(hydrograph.title),
    svg === null
      ? paragraph(sayNoHydrograph(a, voice) ?? hydrograph.noLevels, width)
      : figure(onWhite(svg), HYDROGRAPH_HEIGHT / PIXELS_PER_mm, sayStorm(a, voice)),
    ...saidBlocks(saySpillway(a, voice), desk),
    ...saidBlocks(saySpreaders(a, voice), desk),
    ...saidBlocks(sayExits(a, voice), desk),
    ...saidBlocks(sayRunoff(a, voice), desk),
    ...saidBlocks(saySoaking(a, voice, input.settings), desk),
    ...saidBlocks(saySoil(a, voice), desk),
    ...saidBlocks(sayMeasuredStorm(a, voice), desk),
    ...saidBlocks(sayYear(a, voice), desk),
  ])
}

/** A row of a storm table: its name, a key of the storm's answer and how that is said (a word where no number fits), and up to which other value it reaches. */
type StormRow = readonly [
  name: string,
  key: string,
  as: ValueFormat,
  of: (storm: StormAnswer) => number | string | null,
  upTo?: readonly [key: string, of: (storm: StormAnswer) => number | null],
]

function storms(desk: Desk, rows: readonly StormRow[], under: string): Block {
  const { input, voice, room, value } = desk
  const { storms: all, acceptance, catchment } = input.assessment
  const { storms: say, unknown, atLeast } = sizingWords(voice)
  const judged = all.findIndex(s => s.chancePerYear === acceptance.chancePerYear)
  // What rests on a catchment that the edge of the data cuts off is at least so much.
  const isLeast = (as: ValueFormat): boolean => catchment.cutByEdge && (as === 'volume' || as === 'flow')
  return table(
    [
      { head: say.quantity, share: 40 },
      ...all.map((storm, k) => ({
        head: `${say.chance(formatNumber(1 / storm.chancePerYear, voice, 1))}${k === judged ? ' ◄' : ''}`,
        share: 20,
        number: true,
      })),
    ],
    rows.map(([name, key, as, of, upTo]): (string | Said)[] => [
      name,
      ...all.map((storm, k) => {
        const known = of(storm)
        if (known === null) return said(unknown)
        if (typeof known === 'string') return said(known)
        const shown = value(`storms.${k}.${under}${key}`, as, known)
        if (upTo !== undefined) return joined([shown, ' – ', value(`storms.${k}.${under}${upTo[0]}`, as, upTo[1](storm))])
        return isLeast(as) ? joined([atLeast, shown]) : shown
      }),
    ]),
    room.column_mm,
  )
}

function stormTable(desk: Desk): Block {
  const { storms: say } = sizingWords(desk.voice)
  // Where nobody knows the soil nothing was let soak in: that is no 0.
  const soilKnown = desk.input.assessment.soaking.infiltration_mmh !== null
  return storms(
    desk,
    [
      [say.rain, 'rain_mm', 'depth', s => s.rain_mm],
      [say.duration, 'duration_h', 'duration', s => s.duration_h],
      [say.runoffDepth, 'runoff_mm', 'depth', s => s.runoff_mm],
      [say.spread, 'runoffLeast_mm', 'depth', s => s.runoffLeast_mm, ['runoffMost_mm', s => s.runoffMost_mm]],
      [say.runoff, 'runoff_m3', 'volume', s => s.runoff_m3],
      [say.peak, 'peakInflow_m3s', 'flow', s => s.peakInflow_m3s],
      [say.quickPeak, 'rationalPeak_m3s', 'flow', s => s.rationalPeak_m3s],
      [say.kept, 'kept_m3', 'volume', s => s.kept_m3],
      [say.soaked, 'soaked_m3', 'volume', s => (soilKnown ? s.soaked_m3 : null)],
      [say.standing, 'standing_m3', 'volume', s => (soilKnown ? s.standing_m3 : null)],
      [say.spilled, 'spilled_m3', 'volume', s => s.spilled_m3],
      [say.starts, 'spillStarts_h', 'duration', s => (s.spilled_m3 === 0 ? say.neverSpills : s.spillStarts_h)],
      [say.peakSpill, 'peakSpill_m3s', 'flow', s => s.peakSpill_m3s],
      [say.highest, 'highestWater_m', 'level', s => s.highestWater_m],
      [say.freeboard, 'freeboard_m', 'height', s => s.freeboard_m],
    ],
    '',
  )
}

function worstTable(desk: Desk): Block {
  const { worst: say } = sizingWords(desk.voice)
  const of = (key: keyof NonNullable<StormAnswer['worst']>) => (s: StormAnswer) => s.worst?.[key] ?? null
  return storms(
    desk,
    [
      [say.runoff, 'runoff_m3', 'volume', of('runoff_m3')],
      [say.peak, 'peakInflow_m3s', 'flow', of('peakInflow_m3s')],
      [say.peakSpill, 'peakSpill_m3s', 'flow', of('peakSpill_m3s')],
      [say.highest, 'highestWater_m', 'level', of('highestWater_m')],
      [say.freeboard, 'freeboard_m', 'height', of('freeboard_m')],
    ],
    'worst.',
  )
}
