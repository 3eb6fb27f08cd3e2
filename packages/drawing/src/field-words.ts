import type { BuiltReading, FieldReading, ReadAtStake, WayToStake } from 'soakline/plan'
import { windOf } from 'soakline/plan'
import { formatCount, formatFine, formatHeight, formatLength, formatNumber, formatStakeLevel } from './measures.js'
import { onSiteWords } from './on-site-words.js'
import { inLanguage, type Voice } from './voice.js'

/** What the sheet says to a person who stands at a stake, in English. Spanish has the same keys, or does not compile. */
const english = {
  open: 'Go out to the stakes',
  openHint: 'One stake at a time, in large letters: where it is, what to read there, how much to dig.',
  close: 'Back to the papers',
  title: 'At the stake',
  stake: (number: string, all: string) => `Stake ${number} of ${all}`,
  along: (length: string) => `${length} along the line`,
  previous: 'Stake before',
  next: 'Next stake',
  tool: 'Tool',
  tools: { staff: 'laser or optical level', water: 'water level', frame: 'A-frame' } as Readonly<Record<FieldReading['tool'], string>>,
  what: 'What is read',
  whats: { bed: 'bed', crest: 'crest of the berm', sill: 'sill' } as Readonly<Record<BuiltReading['what'], string>>,
  must: {
    staff: 'The staff must read',
    water: 'The staff here must read',
    frame: 'The string must hang off the level mark, toward the leg here, by',
  } as Readonly<Record<FieldReading['tool'], string>>,
  mustBehind: 'The string must hang off the level mark, toward the leg behind, by',
  backsightAsk: 'First stand the staff on the ground at stake 1 and type what it reads.',
  thereAsk: (stake: string) => `Stand one staff on the bed at stake ${stake} and type what it reads.`,
  startHere: 'The steps begin here. Set this stake with a water level or a laser, or take its level as the start.',
  backsight: 'Reads on stake 1',
  there: (stake: string) => `Reads at stake ${stake}`,
  read: {
    staff: 'The staff reads here',
    water: 'The staff reads here',
    frame: 'The string hangs off the mark by',
  } as Readonly<Record<FieldReading['tool'], string>>,
  work: { dig: 'Dig', fill: 'Fill', keep: 'Good' } as Readonly<Record<ReadAtStake['work'], string>>,
  within: 'within tolerance',
  deeper: 'deeper',
  higher: 'higher',
  none: { bed: '', crest: 'No berm is laid here: this is the sill.', sill: 'There is no sill yet.' } as Readonly<
    Record<BuiltReading['what'], string>
  >,
  level: (level: string, planned: string) => `Read ${level}, planned ${planned}.`,
  take: 'Keep the reading',
  taken: (what: string, stake: string) => `Kept: ${what} at stake ${stake}.`,
  kept: (what: string, level: string) => `Kept here: ${what} at ${level}.`,
  fromPlan: 'Counted from the planned bed of the stake before, since its own reading was not kept.',
  fromRead: 'Counted from the bed that was read at the stake before.',
  keys: 'Number keys',
  key: { sign: 'Change the sign', back: 'Delete the last digit' },
  steps: 'Steps of the frame from the stake before',
  stepOf: (now: string, all: string) => `${now} of ${all} steps`,
  stepRest: (rest: string) => `then ${rest} with a tape`,
  step: 'One step',
  stepBack: 'Step back',
  stepsDone: 'You are at the stake.',
  mark: (mark: string) => `At each step the string hangs ${mark} off the level mark, toward the lower leg.`,
  markLevel: 'At each step the string hangs on the level mark.',
  notSill: 'An A-frame does not do for the sill. Take a water level or a laser.',
  where: 'Where am I?',
  whereHint: 'The browser asks you first. Your position is shown here and on the plan, and never leaves this device.',
  stopWhere: 'Stop asking for my position',
  asking: 'Asking this device for its position …',
  position: {
    denied:
      'This device was told not to give its position. Allow it for this page in the browser’s settings, or find the stake with the tape: its distance and bearing stand in the table of stakes.',
    unavailable: 'This device cannot tell where it is just now. Step into the open and wait, or find the stake with the tape.',
    timeout: 'No position has come yet. Step into the open, away from trees and walls.',
    missing: 'This browser gives no position here. Find the stake with the tape: its distance and bearing stand in the table of stakes.',
    local: 'The heights have no place on Earth, so a position leads nowhere on them. Use the tape from the base stake.',
  },
  accuracy: (accuracy: string) => `This device knows its place to ± ${accuracy}.`,
  accuracyUnknown: 'This device does not say how sure it is of its place. No way is shown: it could lead anywhere.',
  tooRough: (accuracy: string, limit: string) =>
    `Too rough to lead you: ± ${accuracy}, the limit is ± ${limit} (settings). Step into the open, wait, or use the tape.`,
  here: (accuracy: string) => `The stake is within ± ${accuracy} of you: the device gets you no nearer. Now use the level.`,
  walk: (distance: string, bearing: string, wind: string) => `${distance} ${wind} · ${bearing}°`,
  more: 'How far to trust it',
  walkHow: 'Bearing from true north; a compass shows magnetic north.',
  doubt: (level: string) =>
    `Set by this alone, a stake here would be off by about ${level} in height. The place comes from the device, the level from the instrument.`,
  winds: ['north', 'northeast', 'east', 'southeast', 'south', 'southwest', 'west', 'northwest'],
}

/** The words of the panel that is carried out to the stakes. */
export type FieldWords = typeof english

const spanish: FieldWords = {
  open: 'Salir a las estacas',
  openHint: 'Una estaca a la vez, en letra grande: dónde está, qué leer ahí, cuánto cavar.',
  close: 'Volver a los papeles',
  title: 'En la estaca',
  stake: (number, all) => `Estaca ${number} de ${all}`,
  along: length => `a ${length} por la línea`,
  previous: 'Estaca anterior',
  next: 'Siguiente estaca',
  tool: 'Instrumento',
  tools: { staff: 'láser o nivel óptico', water: 'manguera de nivel', frame: 'nivel A' },
  what: 'Qué se lee',
  whats: { bed: 'fondo', crest: 'corona del camellón', sill: 'vertedero' },
  must: {
    staff: 'La regla debe marcar',
    water: 'La regla de aquí debe marcar',
    frame: 'El hilo debe colgar fuera de la marca de nivel, hacia la pata de aquí, por',
  },
  mustBehind: 'El hilo debe colgar fuera de la marca de nivel, hacia la pata de atrás, por',
  backsightAsk: 'Primero pare la regla sobre el suelo en la estaca 1 y escriba lo que marca.',
  thereAsk: stake => `Pare una regla sobre el fondo en la estaca ${stake} y escriba lo que marca.`,
  startHere: 'Los pasos empiezan aquí. Fije esta estaca con manguera o láser, o tome su nivel como comienzo.',
  backsight: 'Marca en la estaca 1',
  there: stake => `Marca en la estaca ${stake}`,
  read: { staff: 'La regla marca aquí', water: 'La regla marca aquí', frame: 'El hilo cuelga fuera de la marca por' },
  work: { dig: 'Cavar', fill: 'Rellenar', keep: 'Bien' },
  within: 'dentro de la tolerancia',
  deeper: 'más hondo',
  higher: 'más alto',
  none: { bed: '', crest: 'Aquí no va camellón: es el vertedero.', sill: 'Todavía no hay vertedero.' },
  level: (level, planned) => `Leído ${level}, planeado ${planned}.`,
  take: 'Guardar la lectura',
  taken: (what, stake) => `Guardado: ${what} en la estaca ${stake}.`,
  kept: (what, level) => `Guardado aquí: ${what} a ${level}.`,
  fromPlan: 'Se cuenta desde el fondo planeado de la estaca anterior, porque no se guardó su lectura.',
  fromRead: 'Se cuenta desde el fondo que se leyó en la estaca anterior.',
  keys: 'Teclas de números',
  key: { sign: 'Cambiar el signo', back: 'Borrar la última cifra' },
  steps: 'Pasos del nivel A desde la estaca anterior',
  stepOf: (now, all) => `${now} de ${all} pasos`,
  stepRest: rest => `luego ${rest} con cinta`,
  step: 'Un paso',
  stepBack: 'Un paso atrás',
  stepsDone: 'Ya está en la estaca.',
  mark: mark => `En cada paso el hilo cuelga a ${mark} de la marca de nivel, hacia la pata más baja.`,
  markLevel: 'En cada paso el hilo cuelga en la marca de nivel.',
  notSill: 'El nivel A no sirve para el vertedero. Use manguera o láser.',
  where: '¿Dónde estoy?',
  whereHint: 'El navegador le pregunta antes. Su posición se ve aquí y en el plano, y nunca sale de este equipo.',
  stopWhere: 'Dejar de pedir mi posición',
  asking: 'Pidiendo la posición a este equipo …',
  position: {
    denied:
      'A este equipo se le dijo que no diera su posición. Permítalo para esta página en los ajustes del navegador, o busque la estaca con la cinta: su distancia y su rumbo están en la tabla de estacas.',
    unavailable: 'Este equipo no sabe ahora dónde está. Salga a lo despejado y espere, o busque la estaca con la cinta.',
    timeout: 'Todavía no llega ninguna posición. Salga a lo despejado, lejos de árboles y paredes.',
    missing: 'Este navegador no da posición aquí. Busque la estaca con la cinta: su distancia y su rumbo están en la tabla de estacas.',
    local:
      'Las alturas no tienen lugar en la Tierra, así que una posición no lleva a ninguna parte en ellas. Use la cinta desde la estaca base.',
  },
  accuracy: accuracy => `Este equipo sabe su lugar con ± ${accuracy}.`,
  accuracyUnknown: 'Este equipo no dice con cuánta duda sabe su lugar. No se muestra camino: podría llevar a cualquier parte.',
  tooRough: (accuracy, limit) =>
    `Demasiado impreciso para guiarle: ± ${accuracy}, el límite es ± ${limit} (ajustes). Salga a lo despejado, espere, o use la cinta.`,
  here: accuracy => `La estaca está a ± ${accuracy} de usted: el equipo no le acerca más. Ahora use el nivel.`,
  walk: (distance, bearing, wind) => `${distance} al ${wind} · ${bearing}°`,
  more: 'Hasta dónde fiarse',
  walkHow: 'Rumbo desde el norte verdadero; la brújula marca el norte magnético.',
  doubt: level =>
    `Puesta solo con esto, una estaca aquí quedaría mal en unos ${level} de altura. El lugar viene del equipo, el nivel del instrumento.`,
  winds: ['norte', 'noreste', 'este', 'sureste', 'sur', 'suroeste', 'oeste', 'noroeste'],
}

/** What the sheet says to a person who stands at a stake. */
export const fieldWords = (voice: Pick<Voice, 'language'>): FieldWords => inLanguage(voice, { en: english, es: spanish })

/** The way to a stake: first what is read at a glance, empty where no way is told, then the sentences under it. */
export function sayWay(way: WayToStake, voice: Voice): { readonly glance: string; readonly lines: readonly string[] } {
  const say = fieldWords(voice)
  if (way.state === 'unknown' || way.accuracy_m === null) return { glance: '', lines: [say.accuracyUnknown] }
  const accuracy = formatLength(way.accuracy_m, voice)
  if (way.state === 'too-rough') return { glance: '', lines: [say.tooRough(accuracy, formatLength(way.limit_m, voice))] }
  const doubt = way.levelDoubt_m === null ? [] : [say.doubt(formatHeight(way.levelDoubt_m, voice))]
  if (way.state === 'here' || way.bearing_deg === null) return { glance: `± ${accuracy}`, lines: [say.here(accuracy), ...doubt] }
  const bearing = Math.round(way.bearing_deg) % 360
  const wind = say.winds[windOf(way.bearing_deg)]!
  return {
    glance: say.walk(formatLength(way.distance_m, voice), formatNumber(bearing, voice), wind),
    lines: [say.accuracy(accuracy), ...doubt, say.walkHow],
  }
}

/** What a reading asks for, in a word, a number and a remark: "Dig", "12 cm", "deeper". */
export function sayReadAtStake(
  { work, off_m, level_m, planned_m }: ReadAtStake,
  voice: Voice,
): { readonly word: string; readonly number: string; readonly remark: string; readonly line: string } {
  const say = fieldWords(voice)
  return {
    word: say.work[work],
    number: formatFine(Math.abs(off_m), voice),
    remark: work === 'keep' ? say.within : work === 'dig' ? say.deeper : say.higher,
    line: say.level(formatStakeLevel(level_m, voice), formatStakeLevel(planned_m, voice)),
  }
}

/** Stake 7 of 23, and why it stands there. */
export function sayAtStake(number: number, all: number, voice: Voice): string {
  return fieldWords(voice).stake(formatCount(number, voice), formatCount(all, voice))
}

/** What is marked out at each step of a frame. */
export const sayFrameMark = (markOffset_m: number, voice: Voice): string =>
  markOffset_m > 0 ? fieldWords(voice).mark(formatFine(markOffset_m, voice)) : fieldWords(voice).markLevel

/** Words that the field panel shares with the papers. */
export const readingName = (what: BuiltReading['what'], voice: Voice): string => onSiteWords(voice).built.what[what]
