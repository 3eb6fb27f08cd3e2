import { plainText } from './escape-text.js'
import { formatArea, formatCount, formatElevation, formatHeight, formatLength, formatSlope } from './measures.js'
import { sheetWords } from './sheet-words.js'
import type { Language, Voice } from './voice.js'

/** What was read from a file of heights and how it was taken, as far as words are made of it; the reader's report is one. */
export interface ImportReport {
  readonly format: string
  readonly fileCells: readonly [width: number, height: number]
  readonly points?: number
  readonly cell_m: number
  readonly crs: string
  readonly crsName: string
  readonly fileCrs: string
  readonly elevationUnit: 'm' | 'ft' | 'ftUS'
  readonly elevationUnitFrom: 'file' | 'user' | 'assumed'
  readonly verticalReference: string | null
  readonly minimum_m: number
  readonly maximum_m: number
  readonly quantum_m: number | null
  readonly voidCells: number
  readonly voids: readonly { readonly cells: number; readonly area_m2: number; readonly touchesEdge: boolean }[]
}

interface Words {
  readonly reference: string
  readonly referenceUnsaid: string
  readonly gapsInside: (list: string, more: boolean) => string
  readonly gapsAtEdge: (area: string) => string
}

const WORDS: Readonly<Record<Language, Words>> = {
  en: {
    reference: 'Heights counted from',
    referenceUnsaid: 'not said in the file: heights can be compared within it alone',
    gapsInside: (list, more) => `inside: ${list}${more ? ' and smaller ones' : ''}`,
    gapsAtEdge: area => `at the edge: ${area}`,
  },
  es: {
    reference: 'Alturas contadas desde',
    referenceUnsaid: 'el archivo no lo dice: las alturas solo se comparan entre sí',
    gapsInside: (list, more) => `adentro: ${list}${more ? ' y otras menores' : ''}`,
    gapsAtEdge: area => `en el borde: ${area}`,
  },
}

/** Gaps inside that are named by their areas in a line; the others are smaller. Judgement. */
const MOST_NAMED = 6

/** One line of the report: what it is about, and what was found. */
export type ReportLine = readonly [about: string, found: string]

/**
 * How a file of heights was taken, line by line: the card of the sheet and the text of the command line.
 *
 * @param where the place of its middle in words; null leaves that line out
 * @param side_m width and height of the ground
 */
export function importReport(
  name: string,
  report: ImportReport,
  side_m: readonly [width: number, height: number],
  where: string | null,
  voice: Voice,
): ReportLine[] {
  const { ground } = sheetWords(voice)
  const words = WORDS[voice.language]
  const { quantum_m } = report
  return [
    [ground.what, ground.whatText(ground.format[report.format] ?? report.format, plainText(name))],
    ...(where === null ? [] : [[ground.where, where] as const]),
    [
      ground.system,
      `${plainText(report.crsName)} (${plainText(report.crs)})${report.fileCrs === report.crs ? '' : `; ${ground.reprojected(plainText(report.fileCrs))}`}`,
    ],
    [ground.units, `${ground.unit[report.elevationUnit]}, ${ground.unitFrom[report.elevationUnitFrom]}`],
    [words.reference, report.verticalReference === null ? words.referenceUnsaid : plainText(report.verticalReference)],
    [
      ground.size,
      ground.sizeText(
        formatLength(side_m[0], voice),
        formatLength(side_m[1], voice),
        formatCount(report.fileCells[0], voice),
        formatCount(report.fileCells[1], voice),
        formatLength(report.cell_m, voice),
      ),
    ],
    [
      ground.heights,
      `${ground.heightsText(formatElevation(report.minimum_m, voice), formatElevation(report.maximum_m, voice))}${quantum_m === null ? '' : `, ${ground.steps(formatHeight(quantum_m, voice))}`}`,
    ],
    [ground.gaps, gapsText(report, (side_m[0] * side_m[1]) / report.cell_m ** 2, voice)],
  ]
}

function gapsText({ voidCells, voids }: ImportReport, cells: number, voice: Voice): string {
  const { ground } = sheetWords(voice)
  const words = WORDS[voice.language]
  if (voidCells === 0) return ground.gapsNone
  const area = (m2: number): string => formatArea(m2, voice)
  const inside = voids.filter(v => !v.touchesEdge)
  const outside = voids.filter(v => v.touchesEdge).reduce((sum, v) => sum + v.area_m2, 0)
  return [
    ground.gapsText(formatCount(voidCells, voice), formatSlope(voidCells / Math.max(1, Math.round(cells)), voice)),
    ...(outside > 0 ? [words.gapsAtEdge(area(outside))] : []),
    ...(inside.length > 0
      ? [
          words.gapsInside(
            inside
              .slice(0, MOST_NAMED)
              .map(v => area(v.area_m2))
              .join(', '),
            inside.length > MOST_NAMED,
          ),
        ]
      : []),
  ].join('; ')
}

/** Choices of what to do with gaps inside: up to which area they are filled, and how many those are; none first. */
export function gapChoices(
  report: Pick<ImportReport, 'voids'>,
  filled_m2: number,
  voice: Voice,
): { readonly most_m2: number; readonly text: string }[] {
  const inside = report.voids.filter(v => !v.touchesEdge).map(v => v.area_m2)
  const sizes = [...new Set(inside)].sort((a, b) => a - b)
  // A few steps of size, the largest among them.
  const steps = sizes.filter((_, k) => k === sizes.length - 1 || k % Math.ceil(sizes.length / 5) === 0)
  const words = GAPS[voice.language]
  return [
    { most_m2: 0, text: words.leave },
    ...(filled_m2 > 0 ? [{ most_m2: filled_m2, text: words.filled(formatArea(filled_m2, voice)) }] : []),
    ...steps.map(most_m2 => ({
      most_m2,
      text: words.fill(formatArea(most_m2, voice), formatCount(inside.filter(area => area <= most_m2).length, voice)),
    })),
  ]
}

/** The question about gaps inside. */
export const gapQuestion = (voice: Voice): { readonly ask: string; readonly note: string } => GAPS[voice.language]

const GAPS: Readonly<
  Record<
    Language,
    {
      readonly ask: string
      readonly note: string
      readonly leave: string
      readonly filled: (area: string) => string
      readonly fill: (area: string, count: string) => string
    }
  >
> = {
  en: {
    ask: 'Gaps inside the ground',
    note: 'A filled gap is a smooth skin between its edges: made up, good for small holes only. A gap that is left stops the water, and what drains beside it stays in doubt.',
    leave: 'Leave them as gaps',
    filled: area => `Filled up to ${area}`,
    fill: (area, count) => `Fill those of up to ${area} (${count})`,
  },
  es: {
    ask: 'Huecos dentro del terreno',
    note: 'Un hueco rellenado es una superficie lisa entre sus bordes: inventada, y solo buena para huecos chicos. Un hueco que se deja corta el agua, y lo que drena a su lado queda en duda.',
    leave: 'Dejarlos como huecos',
    filled: area => `Rellenados hasta ${area}`,
    fill: (area, count) => `Rellenar los de hasta ${area} (${count})`,
  },
}
