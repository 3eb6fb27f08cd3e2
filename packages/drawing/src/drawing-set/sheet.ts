import type { FieldPapers } from 'soakline/plan'
import { factsOfDetails } from '../facts.js'
import { DAY } from '../inks.js'
import { measuresOf, unitSign } from '../measures.js'
import type { ReportInput } from '../report.js'
import { type Sentence, saying, texts } from '../templates.js'
import type { Voice } from '../voice.js'
import { type Block, intoColumns } from './blocks.js'
import { PAPERS, type Paper, type PaperName, type Room, roomOn } from './paper.js'
import { valuesFor } from './values.js'
import { SET, type SheetCode } from './words.js'

/** What a drawing set is made of. Places in the working CRS, metres. */
export interface DrawingSetInput extends ReportInput {
  readonly paper: PaperName
  /** Name of the line; '' when it has none. */
  readonly lineName: string
  /** `fieldPapers` of the same answer; null where it has no ditch. */
  readonly papers: FieldPapers | null
  /** Longitude and latitude of each stake; null in a local system. */
  readonly stakePlaces: readonly (readonly [longitude: number, latitude: number])[] | null
  /** Of the plan, 500 for 1:500; default the largest usual one from 1:200 (an inch to 20 feet) on that shows the whole plan. */
  readonly planScale?: number
}

/** What the sheets share. */
export interface Desk {
  readonly input: DrawingSetInput
  readonly voice: Voice
  readonly paper: Paper
  readonly room: Room
  /** The set's words that stand without values. */
  readonly say: Readonly<Record<keyof typeof SET, string>>
  /** A sentence of the set with its values. */
  readonly tell: (sentence: Sentence, values: Readonly<Record<string, unknown>>) => string
  readonly value: ReturnType<typeof valuesFor>
  /** Metres or feet, as they head a column. */
  readonly unit: string
}

export function deskOf(input: DrawingSetInput, voice: Voice): Desk {
  const paper = PAPERS[input.paper]
  const m = measuresOf(voice)
  return {
    input,
    voice,
    paper,
    room: roomOn(paper),
    say: texts(SET, voice.language),
    tell: (sentence, values) => saying(sentence, voice.language)(factsOfDetails(values), m),
    value: valuesFor(voice),
    unit: voice.units === 'us' ? unitSign('ft', voice) : 'm',
  }
}

/** A sheet of the set: one or more pages that bear its title. Bodies are markup. */
export interface SheetPages {
  readonly code: SheetCode
  /** The scale as the title block says it; null without one. */
  readonly scale: string | null
  /** That of the pages after the first, where they have another. */
  readonly laterScale?: string | null
  readonly bodies: readonly string[]
}

/** Text and tables, running through the columns of as many pages as they need. */
export function flowing(code: SheetCode, { paper, room }: Desk, blocks: readonly Block[]): SheetPages {
  const columns = intoColumns(blocks, room.height_mm)
  const bodies: string[] = []
  for (let k = 0; k < columns.length; k += paper.columns)
    bodies.push(
      columns
        .slice(k, k + paper.columns)
        .map(column => `<div class="column">${column}</div>`)
        .join(''),
    )
  return { code, scale: null, bodies }
}

/** A drawing for the printer: its paper is the paper. */
export const onWhite = (svg: string): string => svg.replaceAll(DAY.paper, '#FFFFFF')
