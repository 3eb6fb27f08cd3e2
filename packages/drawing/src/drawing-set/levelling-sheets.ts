import { lines, nothing, paragraph, type Said, said, table, tick, title } from './blocks.js'
import { type Desk, flowing, type SheetPages } from './sheet.js'
import { SET } from './words.js'

/** Room to write a reading by hand. */
const HAND_mm = 5.3
/** Of the tally, which is ticked. */
const TALLY_mm = 4.9

/** How to calibrate and walk an A-frame, and the tally of its steps. Empty without a ditch. */
export function aFrameSheet(desk: Desk): SheetPages[] {
  const { input, say, tell, room, value, unit } = desk
  const { papers } = input
  if (papers === null) return []
  const { aFrame, aFrameError, tally } = papers
  const width = room.column_mm
  return [
    flowing('aFrame', desk, [
      paragraph(tell(SET.aFrameHow, { ...aFrame }), width),
      lines(
        [
          [say.aFrameFall, value('papers.aFrameFall.dropPerStep_m', 'fine', papers.aFrameFall.dropPerStep_m)],
          [say.aFrameMark, value('papers.aFrameFall.markOffset_m', 'fine', papers.aFrameFall.markOffset_m)],
          [
            tell(SET.aFrameChance, { steps: aFrameError.steps, readingError_mm: 1000 * aFrameError.readingError_m }),
            value('papers.aFrameError.byChance_m', 'fine', aFrameError.byChance_m),
          ],
          [say.aFrameBias, value('papers.aFrameError.byBias_m', 'fine', aFrameError.byBias_m)],
        ],
        width,
      ),
      paragraph(say.aFrameNot, width, { strong: true }),
      title(say.tally),
      table(
        [
          { head: say.stake, share: 12, number: true },
          { head: say.steps, share: 26, number: true },
          { head: `${say.rest}, ${unit}`, share: 22, number: true },
          { head: say.stepsSoFar, share: 22, number: true },
          { head: `${say.dropSoFar}, ${unit}`, share: 30, number: true },
          { head: say.done, share: 12 },
          { head: say.read, share: 30 },
        ],
        tally.map((row, k): Said[] => [
          value(`papers.tally.${k}.stake`, 'count', row.stake),
          value(`papers.tally.${k}.steps`, 'count', row.steps),
          value(`papers.tally.${k}.rest_m`, 'stake', row.rest_m),
          value(`papers.tally.${k}.stepsSoFar`, 'count', row.stepsSoFar),
          value(`papers.tally.${k}.bedDropSoFar_m`, 'stake', row.bedDropSoFar_m),
          tick,
          nothing,
        ]),
        width,
        { row_mm: TALLY_mm },
      ),
    ]),
  ]
}

/** What a water level should read from stake to stake. Empty without a ditch. */
export function waterLevelPages(desk: Desk): SheetPages[] {
  const { input, say, room, value, unit } = desk
  const { papers } = input
  if (papers === null) return []
  const { waterLevel } = papers
  const width = room.column_mm
  return [
    flowing('waterLevel', desk, [
      paragraph(say.waterHow, width),
      lines(
        [
          [say.setUps, value('papers.waterLevel.setUps', 'count', waterLevel.setUps)],
          [say.setUpError, value('papers.waterLevel.error_m', 'fine', waterLevel.error_m)],
        ],
        width,
      ),
      table(
        [
          { head: say.from, share: 9, number: true },
          { head: say.to, share: 9, number: true },
          { head: `${say.apart}, ${unit}`, share: 17, number: true },
          { head: `${say.onGround}, ${unit}`, share: 25, number: true },
          { head: `${say.onBed}, ${unit}`, share: 25, number: true },
          { head: say.readFrom, share: 21 },
          { head: say.readTo, share: 21 },
          { head: say.differs, share: 19 },
        ],
        waterLevel.rows.map((row, k): Said[] => [
          value(`papers.waterLevel.rows.${k}.from`, 'count', row.from),
          value(`papers.waterLevel.rows.${k}.to`, 'count', row.to),
          value(`papers.waterLevel.rows.${k}.distance_m`, 'stake', row.distance_m),
          value(`papers.waterLevel.rows.${k}.ground_m`, 'stake', row.ground_m),
          value(`papers.waterLevel.rows.${k}.bed_m`, 'stake', row.bed_m),
          row.tooFar ? said(say.tooFar) : nothing,
          nothing,
          nothing,
        ]),
        width,
        { row_mm: HAND_mm },
      ),
    ]),
  ]
}

/** Free lines at the end of the book, for changes of stand. */
const FREE_LINES = 4

/** The level book to fill in: bed and crest of every stake with their planned levels. Empty without a ditch. */
export function bookSheet(desk: Desk): SheetPages[] {
  const { input, say, tell, room, value } = desk
  const { papers } = input
  if (papers === null) return []
  const width = room.column_mm
  const blank = (point: Said, planned: Said): Said[] => [point, nothing, nothing, nothing, nothing, nothing, nothing, planned, nothing]
  const planned = papers.stakes.flatMap((stake, k) => [
    blank(said(tell(SET.bedAt, { stake: stake.number })), value(`papers.stakes.${k}.bed_m`, 'stake', stake.bed_m)),
    stake.crest_m === null
      ? blank(said(tell(SET.sillAt, { stake: stake.number })), value(`papers.stakes.${k}.sill_m`, 'stake', stake.sill_m))
      : blank(said(tell(SET.crestAt, { stake: stake.number })), value(`papers.stakes.${k}.crest_m`, 'stake', stake.crest_m)),
  ])
  const head = [say.point, say.back, say.between, say.fore, say.rise, say.falls, say.level, `${say.planned}, ${desk.unit}`, say.off]
  return [
    flowing('book', desk, [
      paragraph(say.bookHow, width),
      paragraph(
        tell(SET.bookCheck, {
          oneStand_mm: 1000 * papers.misclosure.oneStand_m,
          fourStands_mm: 1000 * papers.misclosure.fourStands_m,
        }),
        width,
      ),
      table(
        head.map((name, k) => ({ head: name, share: k === 0 ? 22 : 17 })),
        [
          blank(said(say.known), nothing),
          ...planned,
          ...Array.from({ length: FREE_LINES }, () => blank(nothing, nothing)),
          blank(said(say.sums), nothing),
        ],
        width,
        { row_mm: HAND_mm },
      ),
    ]),
  ]
}
