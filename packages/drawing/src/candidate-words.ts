import type { Warning } from 'soakline/foundation'
import type { Candidate, CandidateReason, CandidateReasonCode, CandidateSearch, Heading, RuledOutBy } from 'soakline/siting'
import { type Facts, factsOfDetails } from './facts.js'
import { formatSignificant, type Measures, measuresOf } from './measures.js'
import { sayReason, saySpillReason, wordsOf } from './sentences.js'
import { inLanguage, type Voice } from './voice.js'

/** What a sentence about a possible line may ask for besides its values. */
interface Saying {
  readonly f: Facts
  readonly m: Measures
  /** Codes of the details, said and listed. */
  readonly reasons: string
  readonly heading: string
  readonly days: (n: number | null) => string
}
type Say = (s: Saying) => string

interface CandidateWords {
  readonly title: string
  readonly line: (rank: string) => string
  readonly heading: Readonly<Record<Heading, string>>
  readonly reason: Readonly<Record<CandidateReasonCode, Say>>
  readonly remark: Readonly<Record<string, Say>>
  readonly ruledOut: Readonly<Record<string, string>>
  readonly mostRuledOut: (reasons: string) => string
  readonly closing: string
}

const english: CandidateWords = {
  title: 'Possible lines, best first. They are places to look at on site, not plans.',
  line: rank => `Line ${rank}`,
  heading: {
    north: 'north',
    'north-east': 'northeast',
    east: 'east',
    'south-east': 'southeast',
    south: 'south',
    'south-west': 'southwest',
    west: 'west',
    'north-west': 'northwest',
  },
  reason: {
    'line/catches-and-keeps': ({ f, m, days }) =>
      `${m.length(f.number('length_m'))} long, with ${m.area(f.number('catchment_m2'))} draining in, it keeps ${most(f) ? 'nearly all of the' : 'about'} ${m.volume(f.number('kept_m3'))}${most(f) ? '' : ` of the ${m.volume(f.number('runoff_m3'))}`} that ${m.depth(f.number('runoff_mm'))} of runoff send, for ${days(f.number('low_days'))} to ${days(f.number('high_days'))} days of digging by one person.`,
    'line/spills': ({ heading, reasons }) => `The overflow at its ${heading} end was traced: ${reasons}.`,
    'line/catchment-cut-by-edge': () => 'The height data ends before its ridge, so more water may come than is counted here.',
    'line/other-end-forbidden': ({ heading, reasons }) =>
      `Its ${heading} end must not overflow (${reasons}): turn it uphill, and look for low spots along the whole berm.`,
    'line/on-caution': ({ f, m, reasons }) => `${m.length(f.number('length_m'))} of it lie on ground that asks for care: ${reasons}.`,
    'line/below-another': ({ f }) =>
      `It lies below ${several(f) ? 'lines' : 'line'} ${listed(f.text('ranks'))}: dug together, they share one water.`,
    'line/part-in-hollow': () => 'Part of it lies in a hollow that fills up before its water moves on.',
    'line/tight-bends': ({ f, m }) => `Bends that stay tighter than set: ${m.count(f.number('bends'))}.`,
  },
  remark: {
    'ground/too-coarse': ({ f, m }) =>
      `One cell of the height data is ${m.length(f.number('cell_m'))} wide. It cannot show where a ditch with a bed of ${m.length(f.number('bedWidth_m'))} would run, so no line is offered. Bring finer height data.`,
    'candidates/storm-assumed': ({ f, m }) =>
      `Nobody stated a storm, so ${m.depth(f.number('runoff_mm'))} of runoff were taken to rank the lines. Bring a rain table for your place.`,
    'candidates/no-building-drawn': () =>
      'No building is drawn, so no line could be kept away from one. Draw every building down to the stream, then ask again.',
    'candidates/no-boundary-drawn': () => 'No boundary is drawn, so a line or its overflow may lie on a neighbor’s land.',
    'candidates/none-found': ({ f, m, reasons }) =>
      `No possible line was found along ${m.length(f.number('looked_m'))} of contours${reasons === '' ? '' : `; most of it was left out because it is: ${reasons}`}. That is an answer too.`,
  },
  ruledOut: {
    'too-gentle': 'too flat to hold a level line',
    'too-steep-for-ditch': 'too steep for a ditch',
    'foot-of-slope': 'at the foot of a slope, beside flat ground',
    'off-level': 'too bumpy for a level line',
    'too-short': 'too short a stretch',
  },
  mostRuledOut: reasons => `Left out most: ${reasons}.`,
  closing:
    'Walk a line before you choose it, then check it with "assess". Where no reason was found against a place, none was found: no more.',
}

const spanish: CandidateWords = {
  title: 'Líneas posibles, la mejor primero. Son lugares para mirar en el sitio, no planes.',
  line: rank => `Línea ${rank}`,
  heading: {
    north: 'norte',
    'north-east': 'noreste',
    east: 'este',
    'south-east': 'sureste',
    south: 'sur',
    'south-west': 'suroeste',
    west: 'oeste',
    'north-west': 'noroeste',
  },
  reason: {
    'line/catches-and-keeps': ({ f, m, days }) =>
      `Mide ${m.length(f.number('length_m'))} y le escurren ${m.area(f.number('catchment_m2'))}; guarda ${most(f) ? 'casi todos los' : 'unos'} ${m.volume(f.number('kept_m3'))}${most(f) ? '' : ` de los ${m.volume(f.number('runoff_m3'))}`} que mandan ${m.depth(f.number('runoff_mm'))} de escorrentía, por ${days(f.number('low_days'))} a ${days(f.number('high_days'))} días de cavar de una persona.`,
    'line/spills': ({ heading, reasons }) => `Se siguió el agua desde el vertedero en su extremo ${heading}: ${reasons}.`,
    'line/catchment-cut-by-edge': () => 'Los datos de altura se acaban antes del filo: puede venir más agua de la que aquí se cuenta.',
    'line/other-end-forbidden': ({ heading, reasons }) =>
      `Por su extremo ${heading} no debe rebosar (${reasons}): dóblelo cuesta arriba y busque lugares bajos en todo el camellón.`,
    'line/on-caution': ({ f, m, reasons }) => `${m.length(f.number('length_m'))} de la línea están en suelo que pide cuidado: ${reasons}.`,
    'line/below-another': ({ f }) =>
      `Queda abajo de ${several(f) ? 'las líneas' : 'la línea'} ${listed(f.text('ranks'))}: cavadas juntas, comparten la misma agua.`,
    'line/part-in-hollow': () => 'Una parte queda en una hondonada que se llena antes de que su agua siga.',
    'line/tight-bends': ({ f, m }) => `Curvas que quedan más cerradas de lo puesto: ${m.count(f.number('bends'))}.`,
  },
  remark: {
    'ground/too-coarse': ({ f, m }) =>
      `Una celda de los datos de altura mide ${m.length(f.number('cell_m'))}. No puede mostrar por dónde iría una zanja con un fondo de ${m.length(f.number('bedWidth_m'))}; por eso no se ofrece ninguna línea. Traiga datos de altura más finos.`,
    'candidates/storm-assumed': ({ f, m }) =>
      `Nadie dijo qué tormenta; para ordenar las líneas se tomaron ${m.depth(f.number('runoff_mm'))} de escorrentía. Traiga una tabla de lluvias de su lugar.`,
    'candidates/no-building-drawn': () =>
      'No hay ninguna construcción dibujada, así que ninguna línea se pudo apartar de ellas. Dibuje todas hasta la quebrada y pregunte otra vez.',
    'candidates/no-boundary-drawn': () => 'No hay lindero dibujado: una línea o su rebose puede quedar en tierra del vecino.',
    'candidates/none-found': ({ f, m, reasons }) =>
      `No se halló ninguna línea posible en ${m.length(f.number('looked_m'))} de curvas de nivel${reasons === '' ? '' : `; lo más quedó fuera por ser: ${reasons}`}. Eso también es una respuesta.`,
  },
  ruledOut: {
    'too-gentle': 'demasiado plano para una línea a nivel',
    'too-steep-for-ditch': 'demasiado empinado para una zanja',
    'foot-of-slope': 'al pie de una ladera, junto a suelo plano',
    'off-level': 'demasiado disparejo para una línea a nivel',
    'too-short': 'un tramo demasiado corto',
  },
  mostRuledOut: reasons => `Lo que más quedó fuera: ${reasons}.`,
  closing:
    'Camine una línea antes de escogerla y luego revísela con "assess". Donde no se halló motivo en contra, no se halló: nada más que eso.',
}

/** True where what is kept is about all that comes. */
const most = (f: Facts): boolean => (f.number('kept_m3') ?? 0) >= 0.95 * (f.number('runoff_m3') ?? 0)
const several = (f: Facts): boolean => (f.text('ranks') ?? '').includes(',')
const listed = (ranks: string | null): string => (ranks ?? '').split(',').join(', ')
const candidateWords = (voice: Voice): CandidateWords => inLanguage(voice, { en: english, es: spanish })
const lookIn = (table: Readonly<Record<string, string>>, code: string): string | null => (Object.hasOwn(table, code) ? table[code]! : null)

/** Why contour was left out, in words. */
export const sayRuledOut = (by: RuledOutBy | string, voice: Voice): string =>
  lookIn(candidateWords(voice).ruledOut, by) ?? sayReason(by, voice)

/** A reason for or against a place where a line may spill, in words. */
export const sayLineSpillReason = saySpillReason

function saidWith(say: Say, details: CandidateReason['details'], voice: Voice, sayCode: (code: string, voice: Voice) => string): string {
  const f = factsOfDetails(details)
  const codes = (f.text('reasons') ?? '').split(',').filter(code => code !== '')
  return say({
    f,
    m: measuresOf(voice),
    reasons: wordsOf(voice).list(codes.map(code => sayCode(code, voice))),
    heading: lookIn(candidateWords(voice).heading, f.text('heading') ?? '') ?? '',
    days: n => formatSignificant(n, voice, n !== null && n < 10 ? 1 : 2),
  })
}

/** What is said of a possible line: two sentences, and one for each thing to know besides. */
export const sayCandidate = (candidate: Pick<Candidate, 'reasons'>, voice: Voice): string[] =>
  candidate.reasons.map(({ code, details }) =>
    saidWith(candidateWords(voice).reason[code], details, voice, code === 'line/on-caution' ? sayReason : sayLineSpillReason),
  )

/** A remark on a search for lines; null for a code that is not one. */
export function sayCandidateRemark(remark: Warning, voice: Voice): string | null {
  const table = candidateWords(voice).remark
  return Object.hasOwn(table, remark.code) ? saidWith(table[remark.code]!, remark.details, voice, sayRuledOut) : null
}

/** Lines for people: what the answer rests on, the best lines, what was left out. */
export function candidatesText(search: CandidateSearch, voice: Voice, { shown = 8 } = {}): string[] {
  const words = candidateWords(voice)
  const remarks = search.remarks.map(remark => sayCandidateRemark(remark, voice) ?? remark.code)
  if (search.candidates.length === 0) return remarks
  const lines = search.candidates
    .slice(0, shown)
    .flatMap(candidate => [words.line(String(candidate.rank)), ...sayCandidate(candidate, voice).map(text => `  ${text}`)])
  const left = search.ruledOut.slice(0, 3).map(({ by }) => sayRuledOut(by, voice))
  return [
    words.title,
    ...remarks,
    '',
    ...lines,
    '',
    ...(left.length > 0 ? [words.mostRuledOut(wordsOf(voice).list(left))] : []),
    words.closing,
  ]
}
