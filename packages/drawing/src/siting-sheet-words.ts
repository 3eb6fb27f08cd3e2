import type { BreachBelow } from 'soakline/siting'
import { inLanguage, type Voice } from './voice.js'

// What the sheet says about places to spill, tried terrains, a broken berm, possible lines and the soil record.

/** Words of the sheet about siting. */
export interface SitingWords {
  readonly againOf: string
  readonly stop: string
  readonly goOn: string
  readonly stopped: string
  readonly notAllTried: string
  readonly places: (count: string) => string
  readonly none: string
  readonly best: string
  readonly second: string
  readonly forbidden: string
  readonly inFavor: string
  readonly against: string
  readonly more: (count: string) => string
  readonly fewer: string
  readonly nowhere: string
  readonly area: (low: string, middle: string, high: string, runs: string) => string
  readonly areaNotTried: string
  readonly tried: string
  readonly reached: (place: string, reached: string, runs: string) => string
  readonly near: (clearance: string, near: string, runs: string) => string
  readonly stillAllows: (share: string, near: string, runs: string) => string
  readonly left: (count: string, runs: string) => string
  readonly notTried: string
  readonly way: string
  readonly flow: (flow: string, deepest: string | null, fastest: string | null) => string
  readonly inForest: (length: string) => string
  readonly passes: string
  readonly runsOver: (what: string, after: string) => string
  readonly passing: (what: string, distance: string, after: string) => string
  readonly above: (height: string) => string
  readonly below: (height: string) => string
  readonly needed: (height: string) => string
  readonly passesNothing: string
  readonly stretches: string
  readonly stretch: (from: string, to: string, what: string) => string
  readonly stake: (at: string, what: string) => string
  readonly lies: Readonly<Record<BreachBelow, string>>
  readonly worst: (place: string, what: string) => string
  readonly behind: (volume: string, peak: string) => string
  readonly distance: (distance: string, name: string) => string
  readonly depthThere: (depth: string) => string
  readonly noBerm: string
  readonly key: {
    readonly title: string
    readonly building: string
    readonly value: string
    readonly unknown: string
    readonly nothing: string
    readonly breach: string
    readonly any: string
    readonly tenth: string
    readonly half: string
    readonly candidate: string
    readonly outlet: string
    readonly pit: string
    readonly seen: string
  }
  readonly find: {
    readonly title: string
    readonly button: string
    readonly text: string
    readonly working: string
    readonly take: string
    readonly taken: (line: string) => string
    readonly line: (rank: string) => string
    readonly putAway: string
    readonly closing: string
    readonly ruledOut: string
    readonly ruledOutOf: (length: string, why: string) => string
    readonly old: string
    readonly failed: string
  }
  readonly soil: {
    readonly title: string
    readonly text: string
    readonly addPit: string
    readonly addSeen: string
    readonly placePit: string
    readonly placeSeen: (what: string) => string
    readonly pit: (number: string) => string
    readonly at: (place: string) => string
    readonly along: (length: string) => string
    readonly depth: string
    readonly texture: string
    readonly notNoted: string
    readonly mottling: string
    readonly water: string
    readonly rock: string
    readonly met: Readonly<Record<'depth' | 'none' | 'unknown', string>>
    readonly metAt: string
    readonly crumb: string
    readonly crumbs: Readonly<Record<'none' | 'slaking' | 'slight-halo' | 'halo', string>>
    readonly cracks: string
    readonly yes: string
    readonly no: string
    readonly tests: string
    readonly test: (number: string) => string
    readonly rate: string
    readonly measuredIn: string
    readonly measured: Readonly<Record<'ring' | 'pit' | 'auger' | 'other', string>>
    readonly testDepth: string
    readonly addTest: string
    readonly otherTest: (intake: string) => string
    readonly remove: string
    readonly removeTest: string
    readonly show: string
    readonly seen: string
    readonly sighting: Readonly<Record<string, string>>
    readonly seenWhat: string
    readonly range: (low: string, high: string) => string
    readonly reasons: string
    readonly layers: string
  }
}

const english: SitingWords = {
  againOf: 'From before the last change: being worked out again.',
  stop: 'Stop',
  goOn: 'Work it out',
  stopped: 'Stopped: spill places, a broken berm and other terrains were not tried for this line as it is now.',
  notAllTried: 'Not everything has been tried yet.',
  places: count => `All ${count} places tried, the best first`,
  none: 'no reason found',
  best: 'The best place',
  second: 'For a second sill, for large storms',
  forbidden: 'Not here',
  inFavor: 'For',
  against: 'Against',
  more: count => `Show all ${count}`,
  fewer: 'Show fewer',
  nowhere: 'Water should spill at none of them: move the line or look for another outlet.',
  area: (low, middle, high, runs) =>
    `In ${runs} tried terrains the draining area was ${low} to ${high} (eight of ten lie within), in the middle ${middle}.`,
  areaNotTried: 'No other terrains were tried, so it is not known how far the area may be off.',
  tried: 'When the heights are as wrong as they may be',
  reached: (place, reached, runs) => `From ${place}, water reached a building in ${reached} of ${runs} tried terrains.`,
  near: (clearance, near, runs) => `It came within ${clearance} of one in ${near} of ${runs}.`,
  stillAllows: (share, near, runs) => `${near} of ${runs} still allows up to ${share} of terrains like these to send it that near.`,
  left: (count, runs) => `In ${count} of ${runs} it left the ground that was looked at: where it ends there is not known.`,
  notTried: 'No other terrains were tried.',
  way: 'The overflow of the storm that the ditch is judged by',
  flow: (flow, deepest, fastest) =>
    `${flow} run down${deepest === null ? '' : `, up to ${deepest} deep`}${fastest === null ? '' : `, up to ${fastest} fast on bare soil`}.`,
  inForest: length => `${length} of its way lie in forest.`,
  passes: 'What it passes',
  runsOver: (what, after) => `${what}: it runs over it, after ${after}`,
  passing: (what, distance, after) => `${what}: ${distance} off, after ${after}`,
  above: height => `it stands ${height} above the water`,
  below: height => `it lies ${height} below the water`,
  needed: height => `${height} is asked`,
  passesNothing: 'Nothing that is drawn.',
  stretches: 'What lies below the berm, stretch by stretch',
  stretch: (from, to, what) => `From ${from} to ${to}: ${what}`,
  stake: (at, what) => `At ${at}: ${what}`,
  lies: {
    building: 'a building',
    septic: 'a septic field',
    well: 'a well',
    track: 'a track',
    boundary: 'the boundary, and the neighbor beyond it',
    utility: 'a buried line',
    'not-known': 'not known',
    nothing: 'nothing of value that is drawn',
  },
  worst: (place, what) => `Worst place: ${place}. Below it: ${what}.`,
  behind: (volume, peak) => `About ${volume} could run out, up to ${peak} at once.`,
  distance: (distance, name) => `It passes ${name} at ${distance}.`,
  depthThere: depth => `There it may stand up to ${depth} deep.`,
  noBerm: 'There is no berm to break: the ditch cannot be dug as it is set.',
  key: {
    title: 'Key',
    building: 'Berm above a building',
    value: 'Berm above a track, boundary, well, septic field or buried line',
    unknown: 'Berm above ground that is not known',
    nothing: 'No bar: nothing of value drawn below',
    breach: 'Way of the worst break',
    any: 'Water ran here in some tried terrain',
    tenth: 'in a tenth of them or more',
    half: 'in half of them or more',
    candidate: 'Possible line',
    outlet: 'place where water could be let go',
    pit: 'Test pit',
    seen: 'Thing seen',
  },
  find: {
    title: 'Possible lines',
    button: 'Find possible lines',
    text: 'Looks over the whole ground for level lines with water coming in, no reason against them, and a place to spill.',
    working: 'Looking for possible lines',
    take: 'Take this line',
    taken: line => `${line} is the plan’s line now. Undo brings back the one before.`,
    line: rank => `Line ${rank}`,
    putAway: 'Put away',
    closing: 'Walk a line before you choose it. Where no reason was found against a place, none was found: no more.',
    ruledOut: 'Why ground was left out',
    ruledOutOf: (length, why) => `${length} of contours: ${why}`,
    old: 'What is drawn or set has changed since: look again.',
    failed: 'The search could not be made.',
  },
  soil: {
    title: 'Soil record',
    text: 'What was found by digging and walking. Until pits are dug, what the soil does is unknown.',
    addPit: 'Add a test pit',
    addSeen: 'Add it',
    placePit: 'Tap the place of the test pit.',
    placeSeen: what => `Tap the place: ${what}.`,
    pit: number => `Test pit ${number}`,
    at: place => `at ${place}`,
    along: length => `${length} along the line`,
    depth: 'Depth of the pit',
    texture: 'Texture at the depth of the bed',
    notNoted: 'not noted',
    mottling: 'Rust and gray spots',
    water: 'Water',
    rock: 'Rock or hardpan',
    met: { depth: 'met at a depth', none: 'looked for, not met', unknown: 'nobody looked' },
    metAt: 'At the depth of',
    crumb: 'Crumbs in rain water',
    crumbs: { none: 'stay whole', slaking: 'fall apart in clear water', 'slight-halo': 'a hint of cloud', halo: 'a cloud that spreads' },
    cracks: 'Cracks in dry weather',
    yes: 'yes',
    no: 'no',
    tests: 'Intake tests',
    test: number => `Test ${number}`,
    rate: 'Intake',
    measuredIn: 'Measured in',
    measured: { ring: 'a double ring', pit: 'a pit', auger: 'an auger hole', other: 'another way' },
    testDepth: 'Depth of the tested floor',
    addTest: 'Add an intake test',
    otherTest: intake => `From a reading in the plan’s file: ${intake}`,
    remove: 'Remove it',
    removeTest: 'Remove the test',
    show: 'Show',
    seen: 'Seen on the walk',
    sighting: {
      slip: 'ground that slipped',
      'ground-crack': 'a crack across the slope',
      hummocks: 'humpy ground',
      'leaning-trees': 'leaning trees',
      seep: 'a seep',
      'tunnel-hole': 'a hole washed out under the ground',
      pipe: 'an old drain or pipe',
      'cracked-clay': 'cracked clay',
      'stock-path': 'a path of cattle',
      'roof-water': 'water from a roof',
      'track-water': 'water from a track',
    },
    seenWhat: 'What was seen',
    range: (low, high) => `Give a number from ${low} to ${high}.`,
    reasons: 'What pits, tests and the walk say',
    layers: 'It has several layers, from the plan’s file; they stay as they are.',
  },
}

const spanish: SitingWords = {
  againOf: 'De antes del último cambio: se está calculando otra vez.',
  stop: 'Parar',
  goOn: 'Calcularlo',
  stopped: 'Parado: para esta línea, como está ahora, no se probaron los vertederos, la rotura del camellón ni otros terrenos.',
  notAllTried: 'Aún no se ha ensayado todo.',
  places: count => `Los ${count} lugares ensayados, el mejor primero`,
  none: 'no se halló motivo',
  best: 'El mejor lugar',
  second: 'Para un segundo vertedero, en tormentas grandes',
  forbidden: 'Aquí no',
  inFavor: 'A favor',
  against: 'En contra',
  more: count => `Ver los ${count}`,
  fewer: 'Ver menos',
  nowhere: 'El agua no debe rebalsar en ninguno: mueva la línea o busque otra salida.',
  area: (low, middle, high, runs) =>
    `En ${runs} terrenos ensayados el área que escurre fue de ${low} a ${high} (ocho de cada diez quedan ahí), con ${middle} en medio.`,
  areaNotTried: 'No se ensayaron otros terrenos: no se sabe cuánto puede errar el área.',
  tried: 'Si las alturas tienen todo el error que pueden tener',
  reached: (place, reached, runs) => `Desde ${place}, el agua llegó a una construcción en ${reached} de ${runs} terrenos ensayados.`,
  near: (clearance, near, runs) => `Pasó a menos de ${clearance} de una en ${near} de ${runs}.`,
  stillAllows: (share, near, runs) => `${near} de ${runs} aún permite que pase así de cerca en hasta el ${share} de terrenos como estos.`,
  left: (count, runs) => `En ${count} de ${runs} salió del terreno que se miró: ahí no se sabe dónde termina.`,
  notTried: 'No se ensayaron otros terrenos.',
  way: 'El rebalse de la tormenta con que se juzga la zanja',
  flow: (flow, deepest, fastest) =>
    `Bajan ${flow}${deepest === null ? '' : `, con hasta ${deepest} de hondo`}${fastest === null ? '' : `, a hasta ${fastest} en suelo desnudo`}.`,
  inForest: length => `${length} de su camino van por bosque.`,
  passes: 'Junto a qué pasa',
  runsOver: (what, after) => `${what}: le pasa por encima, a los ${after}`,
  passing: (what, distance, after) => `${what}: a ${distance}, a los ${after}`,
  above: height => `queda ${height} más alto que el agua`,
  below: height => `queda ${height} más bajo que el agua`,
  needed: height => `se piden ${height}`,
  passesNothing: 'Junto a nada de lo dibujado.',
  stretches: 'Qué hay abajo del camellón, tramo por tramo',
  stretch: (from, to, what) => `De ${from} a ${to}: ${what}`,
  stake: (at, what) => `A ${at}: ${what}`,
  lies: {
    building: 'una construcción',
    septic: 'una fosa séptica',
    well: 'un pozo',
    track: 'un camino',
    boundary: 'el lindero, y el vecino detrás de él',
    utility: 'una línea enterrada',
    'not-known': 'no se sabe',
    nothing: 'nada de valor que esté dibujado',
  },
  worst: (place, what) => `El peor lugar: ${place}. Abajo está: ${what}.`,
  behind: (volume, peak) => `Podrían salir unos ${volume}, hasta ${peak} de golpe.`,
  distance: (distance, name) => `Pasa a ${distance} de ${name}.`,
  depthThere: depth => `Ahí puede llegar a ${depth} de hondo.`,
  noBerm: 'No hay camellón que se rompa: la zanja no se puede cavar como está puesta.',
  key: {
    title: 'Signos',
    building: 'Camellón arriba de una construcción',
    value: 'Camellón arriba de camino, lindero, pozo, fosa séptica o línea enterrada',
    unknown: 'Camellón arriba de suelo que no se conoce',
    nothing: 'Sin franja: abajo no hay nada de valor dibujado',
    breach: 'Camino de la peor rotura',
    any: 'Por aquí pasó agua en algún terreno ensayado',
    tenth: 'en la décima parte de ellos o más',
    half: 'en la mitad de ellos o más',
    candidate: 'Línea posible',
    outlet: 'lugar donde se podría soltar el agua',
    pit: 'Calicata',
    seen: 'Cosa vista',
  },
  find: {
    title: 'Líneas posibles',
    button: 'Buscar líneas posibles',
    text: 'Busca en todo el terreno líneas a nivel a las que llegue agua, sin motivo en contra y con dónde rebalsar.',
    working: 'Buscando líneas posibles',
    take: 'Tomar esta línea',
    taken: line => `${line} es ahora la línea del plan. Deshacer trae la de antes.`,
    line: rank => `Línea ${rank}`,
    putAway: 'Guardar',
    closing: 'Camine una línea antes de escogerla. Donde no se halló motivo en contra, no se halló: nada más que eso.',
    ruledOut: 'Por qué quedó fuera terreno',
    ruledOutOf: (length, why) => `${length} de curvas de nivel: ${why}`,
    old: 'Lo dibujado o lo puesto cambió desde entonces: busque otra vez.',
    failed: 'No se pudo buscar.',
  },
  soil: {
    title: 'Registro del suelo',
    text: 'Lo que se halló cavando y caminando. Mientras no haya calicatas, no se sabe qué hace el suelo.',
    addPit: 'Agregar una calicata',
    addSeen: 'Agregarlo',
    placePit: 'Toque el lugar de la calicata.',
    placeSeen: what => `Toque el lugar: ${what}.`,
    pit: number => `Calicata ${number}`,
    at: place => `en ${place}`,
    along: length => `a ${length} del comienzo de la línea`,
    depth: 'Hondura de la calicata',
    texture: 'Textura a la hondura del fondo de la zanja',
    notNoted: 'sin anotar',
    mottling: 'Manchas de óxido y gris',
    water: 'Agua',
    rock: 'Roca o capa dura',
    met: { depth: 'hallado a una hondura', none: 'buscado, no hallado', unknown: 'nadie miró' },
    metAt: 'A una hondura de',
    crumb: 'Terrones en agua de lluvia',
    crumbs: {
      none: 'quedan enteros',
      slaking: 'se deshacen en agua clara',
      'slight-halo': 'un asomo de nube',
      halo: 'una nube que se extiende',
    },
    cracks: 'Grietas en tiempo seco',
    yes: 'sí',
    no: 'no',
    tests: 'Pruebas de infiltración',
    test: number => `Prueba ${number}`,
    rate: 'Infiltración',
    measuredIn: 'Medida en',
    measured: { ring: 'un doble anillo', pit: 'un hoyo', auger: 'un hoyo de barreno', other: 'otra forma' },
    testDepth: 'Hondura del fondo probado',
    addTest: 'Agregar una prueba de infiltración',
    otherTest: intake => `De una lectura en el archivo del plan: ${intake}`,
    remove: 'Quitarlo',
    removeTest: 'Quitar la prueba',
    show: 'Mostrar',
    seen: 'Visto al caminar',
    sighting: {
      slip: 'un derrumbe',
      'ground-crack': 'una grieta a lo ancho de la ladera',
      hummocks: 'suelo con jorobas',
      'leaning-trees': 'árboles ladeados',
      seep: 'un rezumadero',
      'tunnel-hole': 'un hueco lavado bajo el suelo',
      pipe: 'un drenaje o tubo viejo',
      'cracked-clay': 'arcilla agrietada',
      'stock-path': 'una vereda de ganado',
      'roof-water': 'agua de un techo',
      'track-water': 'agua de un camino',
    },
    seenWhat: 'Qué se vio',
    range: (low, high) => `Dé un número de ${low} a ${high}.`,
    reasons: 'Qué dicen calicatas, pruebas y la caminata',
    layers: 'Tiene varias capas, del archivo del plan; quedan como están.',
  },
}

/** Words of the sheet about siting, tried terrains, a broken berm, possible lines and the soil record. */
export const sitingSheetWords = (voice: Pick<Voice, 'language'>): SitingWords => inLanguage(voice, { en: english, es: spanish })
