import type { JobStep, StepStanding } from 'soakline/plan'
import { factsOfDetails } from './facts.js'
import { measuresOf } from './measures.js'
import { type Sentence, saying } from './templates.js'
import type { Voice } from './voice.js'

// The steps of the job that no check judges: title, sentence, what to do next.

const TITLES: Readonly<Record<JobStep, Sentence>> = {
  line: { en: 'Does the line lie level?', es: '¿Va a nivel la línea?' },
  section: { en: 'What ditch and berm?', es: '¿Qué zanja y qué camellón?' },
  stakes: { en: 'Where exactly do I dig?', es: '¿Dónde exactamente cavo?' },
  digging: { en: 'May the digging begin?', es: '¿Se puede empezar a cavar?' },
  planting: { en: 'What goes where?', es: '¿Qué se siembra y dónde?' },
  'as-built': { en: 'Is it built as planned?', es: '¿Quedó como se planeó?' },
  care: { en: 'How is it kept?', es: '¿Cómo se cuida?' },
}

interface Said {
  readonly text: Sentence
  readonly next: Sentence
}

const SAID: Readonly<Record<string, Said>> = {
  'line/level': {
    text: {
      en: 'The line is {length_m:length} long on ground of {meanGroundSlope_ratio}. Its bed lies at {bedElevation_m:height}; the ground along it rises and falls by {groundRange_m:height}.',
      es: 'La línea mide {length_m:length} en una ladera de {meanGroundSlope_ratio}. Su fondo queda a {bedElevation_m:height}; el suelo a lo largo sube y baja {groundRange_m:height}.',
    },
    next: {
      en: 'Set the bed with a water level or a laser; the line from this plan shows the place.',
      es: 'Ponga el fondo con manguera de nivel o láser; la línea de este plano muestra el lugar.',
    },
  },
  'line/off-level': {
    text: {
      en: 'The line is {length_m:length} long. The ground along it rises and falls by {groundRange_m:height}, so the ditch is deeper in places than it need be.',
      es: 'La línea mide {length_m:length}. El suelo a lo largo sube y baja {groundRange_m:height}, así que la zanja queda en partes más honda de lo necesario.',
    },
    next: {
      en: 'Fit the line to the contour, or move the vertices that lie high.',
      es: 'Ajuste la línea a la curva de nivel o mueva los vértices altos.',
    },
  },
  'line/too-far-off-level': {
    text: {
      en: 'The ground along the line rises and falls by {groundRange_m:height}: too much for one level of water, so no ditch is laid out on it.',
      es: 'El suelo a lo largo de la línea sube y baja {groundRange_m:height}: demasiado para un solo nivel de agua, por eso no se traza zanja.',
    },
    next: { en: 'Fit the line to the contour.', es: 'Ajuste la línea a la curva de nivel.' },
  },
  'section/none': {
    text: {
      en: 'Unknown: no ditch of this shape can be laid out on this line.',
      es: 'Sin dato: en esta línea no cabe una zanja de esta forma.',
    },
    next: { en: 'Change the form of the ditch or the line.', es: 'Cambie la forma de la zanja o la línea.' },
  },
  'section/balanced': {
    text: {
      en: 'A bed {bedWidth_m:height} wide, {depth_m:height} deep, {topWidth_m:height} wide at the top; the berm stands {bermBuilt_m:height} high when fresh and {bermSettled_m:height} once settled. It holds {toSill_m3} until the first water leaves.',
      es: 'Un fondo de {bedWidth_m:height} de ancho, {depth_m:height} de hondo y {topWidth_m:height} de ancho arriba; el camellón mide {bermBuilt_m:height} recién hecho y {bermSettled_m:height} ya asentado. Guarda {toSill_m3} hasta que sale la primera agua.',
    },
    next: {
      en: 'Drag the bed in the section to make it deeper or shallower.',
      es: 'Arrastre el fondo en la sección para hacerla más honda o menos.',
    },
  },
  'section/short-of-earth': {
    text: {
      en: 'A bed {bedWidth_m:height} wide, {depth_m:height} deep. What is dug does not make the whole berm: {short_m3} of settled earth are wanting.',
      es: 'Un fondo de {bedWidth_m:height} de ancho y {depth_m:height} de hondo. Lo que se cava no alcanza para todo el camellón: faltan {short_m3} de tierra asentada.',
    },
    next: { en: 'Dig deeper or wider, or make the berm lower.', es: 'Cave más hondo o más ancho, o haga más bajo el camellón.' },
  },
  'stakes/screening-only': {
    text: {
      en: 'Nothing is staked out from this height data: it is good for choosing the place alone.',
      es: 'Con estos datos de altura no se estaca nada: solo sirven para escoger el lugar.',
    },
    next: {
      en: 'Bring finer heights of the bare ground, or survey the place.',
      es: 'Traiga alturas más finas del suelo desnudo o levante el lugar.',
    },
  },
  'stakes/not-yet': {
    text: { en: 'Unknown: the stakes are not worked out yet.', es: 'Sin dato: las estacas todavía no están calculadas.' },
    next: {
      en: 'Wait for the answer, or give the line a ditch that fits.',
      es: 'Espere la respuesta o dé a la línea una zanja que quepa.',
    },
  },
  'stakes/ready': {
    text: {
      en: '{count} stakes stand along {length_m:length}, each with its level.',
      es: '{count} estacas a lo largo de {length_m:length}, cada una con su nivel.',
    },
    next: { en: 'Print the levelling sheet or take the stakes along.', es: 'Imprima la hoja de niveles o lleve las estacas consigo.' },
  },
  'stakes/set-levels-on-site': {
    text: {
      en: '{count} stakes stand along {length_m:length}. This height data shows the place; the levels are set on site with an instrument.',
      es: '{count} estacas a lo largo de {length_m:length}. Estos datos muestran el lugar; los niveles se ponen en el sitio con instrumento.',
    },
    next: {
      en: 'Mark the line from the plan, then set every level from one base stake.',
      es: 'Marque la línea con el plano y ponga cada nivel desde una estaca base.',
    },
  },
  'digging/no-ditch': {
    text: { en: 'Unknown: there is no ditch to dig yet.', es: 'Sin dato: todavía no hay zanja que cavar.' },
    next: { en: 'Change the form of the ditch or the line.', es: 'Cambie la forma de la zanja o la línea.' },
  },
  'digging/checks-fail': {
    text: {
      en: 'Not yet: {fails} of the checks above fail[ and {unknown} are unknown].',
      es: 'Todavía no: {fails} de las revisiones de arriba fallan[ y {unknown} quedan sin dato].',
    },
    next: {
      en: 'Change the line, the spill or the ditch until no check fails.',
      es: 'Cambie la línea, el vertedero o la zanja hasta que nada falle.',
    },
  },
  'digging/checks-unknown': {
    text: {
      en: 'Not yet known: {unknown} of the checks above are unknown.',
      es: 'Todavía no se sabe: {unknown} de las revisiones de arriba quedan sin dato.',
    },
    next: {
      en: 'Answer what is unknown first: pits, buildings, rain.',
      es: 'Responda primero lo que falta: calicatas, construcciones, lluvia.',
    },
  },
  'digging/ready': {
    text: {
      en: 'No check fails. The spill is dug first.',
      es: 'Ninguna revisión falla. Primero se cava el vertedero.',
    },
    next: {
      en: 'Dig in the order of the phases: each leaves the work fit for rain.',
      es: 'Cave en el orden de las etapas: cada una deja la obra lista para la lluvia.',
    },
  },
  'planting/not-yet': {
    text: {
      en: 'Unknown: the places to plant are not worked out yet.',
      es: 'Sin dato: los lugares de siembra todavía no están calculados.',
    },
    next: {
      en: 'Wait for the answer, or give the line a ditch that fits.',
      es: 'Espere la respuesta o dé a la línea una zanja que quepa.',
    },
  },
  'planting/ready': {
    text: {
      en: '{zones} strips to plant, {count} plants at the usual spacing. Nothing woody on or near the spill.',
      es: '{zones} franjas por sembrar, {count} plantas al espacio usual. Nada leñoso en el vertedero ni cerca.',
    },
    next: { en: 'Plant the berm as soon as it is shaped.', es: 'Siembre el camellón apenas esté formado.' },
  },
  'planting/soil-unknown': {
    text: {
      en: '{zones} strips to plant, {count} plants at the usual spacing. How wet they stand is unknown while nobody has tried the soil.',
      es: '{zones} franjas por sembrar, {count} plantas al espacio usual. Qué tan mojadas quedan no se sabe mientras nadie pruebe el suelo.',
    },
    next: { en: 'Dig a pit and try how fast it drains.', es: 'Cave una calicata y pruebe qué tan rápido drena.' },
  },
  'built/no-readings': {
    text: { en: 'Unknown: no level has been read on site yet.', es: 'Sin dato: todavía no se ha leído ningún nivel en el sitio.' },
    next: { en: 'Read bed, crest and sill at the stakes and enter them.', es: 'Lea fondo, corona y vertedero en las estacas y anótelos.' },
  },
  'built/low-spots': {
    text: {
      en: 'Of {readings} readings the berm is too low in {low} places: {soilHeaped_m3} of loose earth bring it up.',
      es: 'De {readings} lecturas el camellón queda bajo en {low} lugares: {soilHeaped_m3} de tierra suelta lo levantan.',
    },
    next: {
      en: 'Raise the low stretches before the next rain, then read again.',
      es: 'Levante los tramos bajos antes de la próxima lluvia y vuelva a leer.',
    },
  },
  'built/within-tolerance': {
    text: {
      en: '{readings} readings, no low stretch of the berm among them.',
      es: '{readings} lecturas; ningún tramo bajo del camellón entre ellas.',
    },
    next: { en: 'Read again after the berm has settled.', es: 'Vuelva a leer cuando el camellón se haya asentado.' },
  },
  'care/not-yet': {
    text: { en: 'Unknown: there is no ditch to care for yet.', es: 'Sin dato: todavía no hay zanja que cuidar.' },
    next: { en: 'Change the form of the ditch or the line.', es: 'Cambie la forma de la zanja o la línea.' },
  },
  'care/no-storm': {
    text: {
      en: 'No storm has been noted yet, so nobody knows whether it does as planned. Clean it when {cleanAt_m:height} of mud lie on the bed.',
      es: 'Todavía no se anotó ninguna tormenta, así que no se sabe si responde como se planeó. Limpie cuando haya {cleanAt_m:height} de lodo en el fondo.',
    },
    next: {
      en: 'After each storm note the rain and how high the water stood.',
      es: 'Después de cada tormenta anote la lluvia y hasta dónde llegó el agua.',
    },
  },
  'care/as-planned': {
    text: {
      en: '{storms} storms noted, none with more water than planned. Clean it when {cleanAt_m:height} of mud lie on the bed.',
      es: '{storms} tormentas anotadas, ninguna con más agua que la prevista. Limpie cuando haya {cleanAt_m:height} de lodo en el fondo.',
    },
    next: { en: 'Walk it before the rains: sill, berm, spill way.', es: 'Recórrala antes de las lluvias: vertedero, camellón, salida.' },
  },
  'care/more-than-planned': {
    text: {
      en: '{worse} of {storms} storms brought more water than planned.',
      es: '{worse} de {storms} tormentas trajeron más agua que la prevista.',
    },
    next: {
      en: 'Look uphill for water that the plan does not count, and for a wetter soil.',
      es: 'Busque arriba agua que el plano no cuenta y suelo más mojado.',
    },
  },
}

/** A step of the job in words. */
export interface SaidStep {
  readonly title: string
  readonly text: string
  readonly next: string
}

/** Says how a step stands; a code without a sentence says itself. */
export function sayJobStep({ step, because, values }: Pick<StepStanding, 'step' | 'because' | 'values'>, voice: Voice): SaidStep {
  const said = Object.hasOwn(SAID, because) ? SAID[because]! : null
  const [facts, m] = [factsOfDetails(values), measuresOf(voice)]
  return {
    title: TITLES[step][voice.language],
    text: said ? saying(said.text, voice.language)(facts, m) : because,
    next: said ? saying(said.next, voice.language)(facts, m) : '',
  }
}

/** Codes that have a sentence. */
export const JOB_STEP_REASONS: readonly string[] = Object.keys(SAID)
