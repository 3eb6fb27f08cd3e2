import { inLanguage, type Voice } from './voice.js'

// Labels of what is done by hand on the drawing: tools, handles, water, designs side by side, several swales.

/** Words about what is done by hand on the drawing. */
export interface HandsWords {
  readonly walk: { readonly tool: string; readonly hint: string; readonly from: string; readonly to: string; readonly noWay: string }
  readonly drawn: {
    readonly title: string
    readonly range: (range: string) => string
    readonly fit: string
    readonly keep: string
    readonly fitted: string
    readonly noFit: string
  }
  readonly spill: { readonly handle: string; readonly given: (place: string) => string; readonly best: string }
  readonly section: {
    readonly bed: string
    readonly bedAt: (depth: string, level: string) => string
    readonly water: string
    readonly letGo: string
  }
  readonly storm: {
    readonly slider: string
    readonly play: string
    readonly pause: string
    readonly putAway: string
    readonly water: string
    readonly waterNow: string
  }
  readonly designs: {
    readonly title: string
    readonly text: string
    readonly keep: string
    readonly kept: string
    readonly compare: string
    readonly swap: string
    readonly swapped: string
    readonly forget: string
    readonly working: string
    readonly differs: string
    readonly checks: string
    readonly refused: string
    readonly onPlan: string
  }
  readonly swales: {
    readonly title: string
    readonly text: string
    readonly name: (number: string) => string
    readonly now: string
    readonly workOn: string
    readonly remove: string
    readonly add: string
    readonly added: string
    readonly copy: string
    readonly copies: string
    readonly drop: string
    readonly copied: (count: string) => string
    readonly noneBelow: string
    readonly working: string
    readonly alone: string
    readonly rule: string
  }
  readonly key: { readonly other: string; readonly designA: string }
  readonly job: { readonly open: string }
  readonly relief: {
    readonly open: string
    readonly text: string
    readonly turn: string
    readonly working: string
    readonly none: string
    readonly close: string
    readonly picture: string
  }
}

const ENGLISH: HandsWords = {
  walk: {
    tool: 'Walk the contour',
    hint: 'Set the first end, then walk along the contour to the other end',
    from: 'Tap where the line begins.',
    to: 'Walk along the contour and tap where the line ends.',
    noWay: 'From there no level line leads that way. Try a place on the slope.',
  },
  drawn: {
    title: 'Drawn as it is.',
    range: range => `The ground along it rises and falls by ${range}.`,
    fit: 'Fit it to the contour',
    keep: 'Keep it as drawn',
    fitted: 'The line now follows the contour.',
    noFit: 'No contour runs near enough to this line to fit it.',
  },
  spill: {
    handle: 'the spill: drag it along the line',
    given: place => `You set the spill: ${place}.`,
    best: 'Let the best place be chosen',
  },
  section: {
    bed: 'Level of the bed',
    bedAt: (depth, level) => `${depth} deep, bed at ${level}`,
    water: 'Level of the water',
    letGo: 'Water at the storm’s level again',
  },
  storm: {
    slider: 'Hour of the storm',
    play: 'Let it rain',
    pause: 'Pause',
    putAway: 'Put the storm away',
    water: 'water at this hour',
    waterNow: 'water as set',
  },
  designs: {
    title: 'Two designs side by side',
    text: 'Keep the line and the settings as they are as design A, then change what you like: that is B.',
    keep: 'Keep this as design A',
    kept: 'Design A is kept.',
    compare: 'Compare A with B',
    swap: 'Go on with A',
    swapped: 'The other design is on the plan now.',
    forget: 'Forget A',
    working: 'Both are worked out …',
    differs: 'What differs',
    checks: 'Checks that come out differently',
    refused: 'They cannot be compared:',
    onPlan: 'A is the thin dashed line on the plan, B the one you work on.',
  },
  swales: {
    title: 'Several swales in a cascade',
    text: 'Copy the line further down the slope, or add lines of your own. Each spills into the next or past it.',
    name: number => `Swale ${number}`,
    now: 'on the plan now',
    workOn: 'Work on this one',
    remove: 'Remove',
    add: 'Add another line',
    added: 'Point at the place of the new line.',
    copy: 'Copy downhill',
    copies: 'How many copies',
    drop: 'Height from one to the next',
    copied: count => `${count} ${count === '1' ? 'copy' : 'copies'} laid below the line.`,
    noneBelow: 'Below this line the slope ends: no copy fits there.',
    working: 'All ditches are worked out together …',
    alone: 'The answers above are about the swale on the plan alone; this counts them together.',
    rule: 'Empty: the middle of what the published spacing rules give for this slope.',
  },
  key: { other: 'another swale of the plan', designA: 'design A' },
  job: { open: 'Open its sheet' },
  relief: {
    open: 'See the ground as dug',
    text: 'A picture to look at; no number is read from it. Heights are drawn larger than lengths.',
    turn: 'Turn the picture',
    working: 'The ground is being drawn …',
    none: 'There is no ditch to show.',
    close: 'Close',
    picture: 'Relief of the ground with the ditch and its berm',
  },
}

const SPANISH: HandsWords = {
  walk: {
    tool: 'Caminar la curva',
    hint: 'Ponga el primer extremo y camine por la curva de nivel hasta el otro',
    from: 'Toque donde empieza la línea.',
    to: 'Camine por la curva de nivel y toque donde termina la línea.',
    noWay: 'Desde ahí ninguna línea a nivel va para ese lado. Pruebe un lugar en la ladera.',
  },
  drawn: {
    title: 'Dibujada tal cual.',
    range: range => `El suelo a lo largo sube y baja ${range}.`,
    fit: 'Ajustar a la curva de nivel',
    keep: 'Dejar como se dibujó',
    fitted: 'La línea sigue ahora la curva de nivel.',
    noFit: 'Ninguna curva de nivel pasa tan cerca como para ajustar esta línea.',
  },
  spill: {
    handle: 'el vertedero: arrástrelo por la línea',
    given: place => `Usted puso el vertedero: ${place}.`,
    best: 'Que se escoja el mejor lugar',
  },
  section: {
    bed: 'Nivel del fondo',
    bedAt: (depth, level) => `${depth} de hondo, fondo a ${level}`,
    water: 'Nivel del agua',
    letGo: 'Otra vez el agua de la tormenta',
  },
  storm: {
    slider: 'Hora de la tormenta',
    play: 'Que llueva',
    pause: 'Pausa',
    putAway: 'Quitar la tormenta',
    water: 'agua a esta hora',
    waterNow: 'agua puesta a mano',
  },
  designs: {
    title: 'Dos diseños lado a lado',
    text: 'Guarde la línea y los ajustes como están como diseño A y cambie después lo que quiera: ese es B.',
    keep: 'Guardar esto como diseño A',
    kept: 'El diseño A está guardado.',
    compare: 'Comparar A con B',
    swap: 'Seguir con A',
    swapped: 'El otro diseño está ahora en el plano.',
    forget: 'Olvidar A',
    working: 'Se calculan los dos …',
    differs: 'En qué difieren',
    checks: 'Revisiones que salen distintas',
    refused: 'No se pueden comparar:',
    onPlan: 'A es la línea fina a trazos en el plano; B, la que usted trabaja.',
  },
  swales: {
    title: 'Varias zanjas en cascada',
    text: 'Copie la línea más abajo en la ladera o agregue líneas suyas. Cada una rebalsa en la siguiente o pasa de largo.',
    name: number => `Zanja ${number}`,
    now: 'ahora en el plano',
    workOn: 'Trabajar en esta',
    remove: 'Quitar',
    add: 'Agregar otra línea',
    added: 'Señale el lugar de la línea nueva.',
    copy: 'Copiar ladera abajo',
    copies: 'Cuántas copias',
    drop: 'Altura de una a la siguiente',
    copied: count => (count === '1' ? 'Una copia puesta debajo de la línea.' : `${count} copias puestas debajo de la línea.`),
    noneBelow: 'Debajo de esta línea termina la ladera: no cabe ninguna copia.',
    working: 'Se calculan todas las zanjas juntas …',
    alone: 'Las respuestas de arriba son solo de la zanja en el plano; esto las cuenta juntas.',
    rule: 'Vacío: la mitad de lo que dan las reglas publicadas de espaciamiento para esta ladera.',
  },
  key: { other: 'otra zanja del plano', designA: 'diseño A' },
  job: { open: 'Abrir su hoja' },
  relief: {
    open: 'Ver el suelo ya cavado',
    text: 'Un dibujo para mirar; de él no se lee ningún número. Las alturas se dibujan más grandes que los largos.',
    turn: 'Girar el dibujo',
    working: 'Se dibuja el suelo …',
    none: 'No hay zanja que mostrar.',
    close: 'Cerrar',
    picture: 'Relieve del suelo con la zanja y su camellón',
  },
}

/** What the sheet says about work by hand on the drawing. */
export const handsWords = (voice: Pick<Voice, 'language'>): HandsWords => inLanguage(voice, { en: ENGLISH, es: SPANISH })
