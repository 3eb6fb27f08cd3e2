import type { Stake } from 'soakline/plan'
import { nameGroundWork } from '../ground-work-sentences.js'
import { wordsOf } from '../sentences.js'
import { type Block, type Column, joined, nothing, paragraph, type Said, table } from './blocks.js'
import { type Desk, flowing, type SheetPages } from './sheet.js'

/** Room to write a reading by hand. */
const HAND_mm = 5.6

const noDitch = (desk: Desk): Block[] => [
  paragraph(desk.say.noPapers, desk.room.column_mm),
  paragraph(wordsOf(desk.voice).report.notDug, desk.room.column_mm),
]

/** Where each stake stands: coordinates, and tape and bearing from the first. */
export function setOutSheet(desk: Desk): SheetPages {
  const { input, say, room, value, unit, voice } = desk
  const { papers, stakePlaces } = input
  if (papers === null) return flowing('setOut', desk, noDitch(desk))
  const at = (k: number, key: string): string => `papers.stakes.${k}.${key}`
  const columns: Column[] = [
    { head: say.stake, share: 12, number: true },
    { head: say.what, share: 24 },
    { head: `${say.along}, ${unit}`, share: 15, number: true },
    { head: say.east, share: 21, number: true },
    { head: say.north, share: 23, number: true },
    ...(stakePlaces === null
      ? []
      : [
          { head: say.longitude, share: 25, number: true },
          { head: say.latitude, share: 23, number: true },
        ]),
    { head: `${say.tape}, ${unit}`, share: 18, number: true },
    { head: say.bearing, share: 14, number: true },
    { head: `${say.doubt}, ${unit}`, share: 13, number: true },
    { head: say.check, share: 17 },
  ]
  const rows = papers.stakes.map((stake, k): Said[] => [
    value(at(k, 'number'), 'count', stake.number),
    joined([stake.kinds.map(kind => nameGroundWork('stake', kind, voice)).join(', ')]),
    value(at(k, 'chainage_m'), 'stake', stake.chainage_m),
    value(at(k, 'at.0'), 'coordinate', stake.at[0]),
    value(at(k, 'at.1'), 'coordinate', stake.at[1]),
    ...(stakePlaces === null
      ? []
      : ([0, 1] as const).map(axis => value(`stakePlaces.${k}.${axis}`, 'degrees', stakePlaces[k]?.[axis] ?? null))),
    value(at(k, 'fromBase.tape_m'), 'stake', stake.fromBase.tape_m),
    stake.fromBase.bearing_deg === null ? nothing : value(at(k, 'fromBase.bearing_deg'), 'bearing', stake.fromBase.bearing_deg),
    doubt(desk, k, stake),
    nothing,
  ])
  return flowing('setOut', desk, [
    paragraph(say.setOutNote, room.column_mm, { small: true }),
    table(columns, rows, room.column_mm, { row_mm: HAND_mm, rowClass: k => (isPlain(papers.stakes[k]!) ? '' : 'marked') }),
  ])
}

function doubt({ value }: Desk, k: number, { horizontalDoubt_m, doubtCapped }: Stake): Said {
  const shown = value(`papers.stakes.${k}.horizontalDoubt_m`, 'stake', horizontalDoubt_m)
  return doubtCapped ? joined(['> ', shown]) : shown
}

const isPlain = ({ kinds }: Stake): boolean => kinds.length === 1 && kinds[0] === 'step'

/** The levels at each stake, with room for what is read. */
export function levelSheet(desk: Desk): SheetPages {
  const { input, say, room, value, unit } = desk
  const { papers } = input
  if (papers === null) return flowing('levels', desk, noDitch(desk))
  const number = (head: string, share: number): Column => ({ head: `${head}, ${unit}`, share, number: true })
  const columns: Column[] = [
    { head: say.stake, share: 11, number: true },
    number(say.along, 14),
    number(say.ground, 16),
    number(say.bed, 16),
    number(say.cut, 11),
    number(say.crest, 17),
    number(say.sill, 16),
    number(say.heap, 15),
    number(say.topWidth, 14),
    number(say.toe, 13),
    number(say.groundDrop, 16),
    number(say.bedDrop, 16),
    { head: say.read, share: 20 },
  ]
  const rows = papers.stakes.map((stake, k): Said[] => {
    const of = (key: keyof Stake): Said => (stake[key] === null ? dash : value(`papers.stakes.${k}.${key}`, 'stake', stake[key] as number))
    const next = (key: 'groundDrop_m' | 'bedDrop_m'): Said =>
      stake.toNext === null ? dash : value(`papers.stakes.${k}.toNext.${key}`, 'stake', stake.toNext[key])
    return [
      value(`papers.stakes.${k}.number`, 'count', stake.number),
      of('chainage_m'),
      of('ground_m'),
      of('bed_m'),
      of('cut_m'),
      of('crest_m'),
      of('sill_m'),
      of('bermToBuild_m'),
      of('topWidth_m'),
      of('outerToe_m'),
      next('groundDrop_m'),
      next('bedDrop_m'),
      nothing,
    ]
  })
  return flowing('levels', desk, [
    paragraph(say.levelsNote, room.column_mm, { small: true }),
    table(columns, rows, room.column_mm, { row_mm: HAND_mm, rowClass: k => (isPlain(papers.stakes[k]!) ? '' : 'marked') }),
  ])
}

const dash: Said = { text: '–', html: '–' }
