import { escapeText as e } from '../escape-text.js'
import { verdictMark } from '../marks.js'
import { sayAnswers, sayVerdict, wordsOf } from '../sentences.js'
import { type Block, headless, lines, paragraph, type Said, table, title } from './blocks.js'
import { type Desk, flowing, type SheetPages } from './sheet.js'

/** The three answers, the line in numbers, and which sheets follow. */
export function overviewSheet(desk: Desk, contents: readonly (readonly [name: string, page: number])[]): SheetPages {
  const { input, voice, say, room, value } = desk
  const { assessment: a } = input
  const { report } = wordsOf(voice)
  const width = room.column_mm
  const { number } = report
  const rows: (readonly [string, Said])[] = [
    [number.length, value('line.length_m', 'length', a.line.length_m)],
    [number.bed, value('line.bedElevation_m', 'level', a.line.bedElevation_m)],
    [number.range, value('line.groundRange_m', 'height', a.line.groundRange_m)],
    [number.slope, value('line.meanGroundSlope_ratio', 'slope', a.line.meanGroundSlope_ratio)],
    [number.area, atLeast(a.catchment.cutByEdge, value('catchment.area_m2', 'area', a.catchment.area_m2))],
    ...(typeof a.catchment.low_m2 === 'number' && typeof a.catchment.high_m2 === 'number'
      ? ([
          [say.catchmentRange, value('catchment.low_m2', 'area', a.catchment.low_m2)],
          [say.catchmentHigh, value('catchment.high_m2', 'area', a.catchment.high_m2)],
        ] as const)
      : []),
    [number.flow, atLeast(a.catchment.cutByEdge, value('catchment.longestFlow_m', 'length', a.catchment.longestFlow_m))],
    [number.toSill, value('storage.toSill_m3', 'volume', a.storage?.toSill_m3)],
    [number.afterSediment, value('storage.afterSediment_m3', 'volume', a.storage?.afterSediment_m3)],
    [number.toCrest, value('storage.toCrest_m3', 'volume', a.storage?.toCrest_m3)],
    [say.firstOut, value('storage.sillElevation_m', 'level', a.storage?.sillElevation_m)],
    [say.waterSill, value('spillway.sillElevation_m', 'level', a.spillway?.sillElevation_m)],
    [say.sillLength, value('spillway.length_m', 'length', a.spillway?.length_m)],
    [say.settledCrest, value('storage.crestElevation_m', 'level', a.storage?.crestElevation_m)],
    [number.cut, value('earth.cut_m3', 'earth', a.earth?.cut_m3)],
    [number.berm, value('earth.bermLoose_m3', 'earth', a.earth?.bermLoose_m3)],
  ]
  const blocks: Block[] = [
    paragraph(`${report.limits} ${report.void}`, width, { strong: true }),
    ...(input.asBuilt ? [paragraph(report.asBuilt, width, { strong: true })] : []),
    title(report.questions),
    ...sayAnswers(a, voice).flatMap(answer => {
      const word = sayVerdict(answer.verdict, voice)
      const head = `${answer.title} · ${word}`
      return [
        {
          ...paragraph({ text: `00${head}`, html: `${verdictMark(answer.verdict, word, 13)} ${e(head)}` }, width, { strong: true }),
          withNext: true,
        },
        paragraph(answer.text, width),
      ]
    }),
    title(report.numbers),
    lines(rows, width),
    title(say.contents),
    contentTable(contents, width),
    ...(a.storage === null ? [paragraph(report.notDug, width)] : []),
  ]
  return flowing('overview', desk, blocks)
}

/** The sheets in three columns, read downwards. */
function contentTable(contents: readonly (readonly [name: string, page: number])[], width_mm: number): Block {
  const perColumn = Math.ceil(contents.length / 3)
  const columns = [0, 1, 2].flatMap(() => [
    { head: '', share: 50 },
    { head: '', share: 11, number: true },
  ])
  const rows = Array.from({ length: perColumn }, (_, r) =>
    [0, 1, 2].flatMap(c => {
      const entry = contents[c * perColumn + r]
      return entry === undefined ? ['', ''] : [entry[0], String(entry[1])]
    }),
  )
  return headless(table(columns, rows, width_mm))
}

const atLeast = (cut: boolean, value: Said): Said => (cut ? { text: `≥ ${value.text}`, html: `≥ ${value.html}` } : value)
