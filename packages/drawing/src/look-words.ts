import { inLanguage, type Voice } from './voice.js'

/** Stations of the guided look, in their order. */
export const LOOK_STATIONS = ['plan', 'answers', 'why', 'ridge', 'building', 'bench', 'section', 'point', 'own'] as const
/** One of them. */
export type LookStation = (typeof LOOK_STATIONS)[number]

/** What the guided look says, about two minutes of reading, in English. Spanish has the same keys, or does not compile. */
const english = {
  name: 'Guided look, two minutes',
  again: 'Guided look (two minutes)',
  where: (now: string, all: string) => `${now} of ${all}`,
  back: 'Back',
  next: 'Next',
  done: 'Done',
  skip: 'Leave the look',
  skipped: 'The guided look is put away. You find it again in the menu.',
  stations: {
    plan: {
      title: 'An invented hillside',
      text: 'This is a demo. The dark blue line is a swale: a level ditch on contour. The short strokes are its berm, on the downhill side.',
    },
    answers: {
      title: 'The answers, in the order of the job',
      text: 'Each answer is a sentence with its number and a mark: within limits, watch, fails, or unknown. None of them is a promise.',
    },
    why: {
      title: 'Why?',
      text: 'Under each answer “Why?” gives what to do next, the numbers, the method and where it comes from.',
    },
    ridge: {
      title: 'Which ridge drains here?',
      text: 'The first of three questions that are always in reach. The blue wash is the ground that drains into the line, the dotted crest is its ridge.',
    },
    building: {
      title: 'Will the overflow reach a building?',
      text: 'When the ditch is full, water leaves over a sill. Its way runs down the plan to where it ends. If it meets a building, or comes too near, that fails.',
    },
    bench: {
      title: 'The tempting place',
      text: 'The same question about a line on the flat bench below. It is easier to dig, and its overflow runs to the cabin: this fails.',
    },
    section: {
      title: 'Sections',
      text: 'Ground, bed, crest and water along the line, and the ditch cut across. On a phone the sections stand in the report.',
    },
    point: {
      title: 'Try a line of your own',
      text: 'Choose “Level line here” and tap a place. Drag its middle or its ends, or move it by buttons: the answers follow.',
    },
    own: {
      title: 'Your own ground',
      text: 'Drop your elevation file anywhere on this page, or choose “Open…”. It stays on this device. Then draw the buildings, the neighbors’ too.',
    },
  } as Readonly<Record<LookStation, { readonly title: string; readonly text: string }>>,
}

/** The words of the guided look. */
export type LookWords = typeof english

const spanish: LookWords = {
  name: 'Recorrido guiado, dos minutos',
  again: 'Recorrido guiado (dos minutos)',
  where: (now, all) => `${now} de ${all}`,
  back: 'Atrás',
  next: 'Seguir',
  done: 'Listo',
  skip: 'Dejar el recorrido',
  skipped: 'El recorrido guiado queda guardado. Lo encuentra de nuevo en el menú.',
  stations: {
    plan: {
      title: 'Una ladera inventada',
      text: 'Esto es una muestra inventada. La línea azul oscuro es una zanja de infiltración a nivel. Las rayitas son su camellón, del lado de abajo.',
    },
    answers: {
      title: 'Las respuestas, en el orden del trabajo',
      text: 'Cada respuesta es una frase con su número y una marca: dentro de límites, vigilar, no pasa o no se sabe. Ninguna es una promesa.',
    },
    why: {
      title: '¿Por qué?',
      text: 'Debajo de cada respuesta, «¿Por qué?» dice qué hacer, los números, el método y de dónde sale.',
    },
    ridge: {
      title: '¿Qué filo escurre hacia aquí?',
      text: 'La primera de tres preguntas siempre a la mano. La mancha azul es el terreno que escurre a la línea; la cresta punteada, su filo.',
    },
    building: {
      title: '¿Llegará el rebalse a una construcción?',
      text: 'Cuando la zanja se llena, el agua sale por un vertedero. Su camino baja por el plano hasta donde termina. Si topa con una construcción, o va muy cerca, eso no pasa.',
    },
    bench: {
      title: 'El lugar que tienta',
      text: 'La misma pregunta para una línea en el descanso de abajo. Es más fácil de cavar, y su rebalse llega a la cabaña: eso no pasa.',
    },
    section: {
      title: 'Cortes',
      text: 'Terreno, fondo, corona y agua a lo largo de la línea, y la zanja cortada a lo ancho. En el teléfono los cortes están en el informe.',
    },
    point: {
      title: 'Pruebe una línea suya',
      text: 'Elija «Línea a nivel aquí» y toque un lugar. Arrastre su mitad o sus extremos, o muévala con botones: las respuestas la siguen.',
    },
    own: {
      title: 'Su propio terreno',
      text: 'Suelte su archivo de alturas en cualquier parte de esta página, o elija «Abrir…». No sale de este equipo. Luego dibuje las construcciones, también las vecinas.',
    },
  },
}

/** What the guided look says at each station. */
export const lookWords = (voice: Pick<Voice, 'language'>): LookWords => inLanguage(voice, { en: english, es: spanish })
