import type { Sentence } from './templates.js'

/** Remarks on ground that was cut out or brought over the network, and on open map data. */
export const OPEN_GROUND_REMARKS = {
  'ground/cut-out': {
    en: 'Only a part was read: {width} by {height} cells of {ofWidth} by {ofHeight}. Ground beyond it that drains to here is not seen.',
    es: 'Solo se leyó una parte: {width} por {height} celdas de {ofWidth} por {ofHeight}. No se ve el terreno de más allá que escurre hacia aquí.',
  },
  'ground/credit': {
    en: 'The heights are by others: {credit}.[ Source: {name}.][ License: {licence}.][ Brought on {brought}.]',
    es: 'Las alturas son de otros: {credit}.[ Fuente: {name}.][ Licencia: {licence}.][ Traídas el {brought}.]',
  },
  'ground/open-source': {
    en: 'These heights show how the country lies. Choose nothing by them alone, and set no level by them.',
    es: 'Estas alturas muestran cómo es la comarca. No elija nada solo por ellas, ni nivele con ellas.',
    when: {
      key: 'trust',
      is: {
        place: {
          en: 'These heights are good for choosing where to walk, dig test pits and survey[; as published a height is off by {error_m:length}, often more in steep or wooded places]. Set no level by them: survey the place before you dig.',
          es: 'Estas alturas sirven para elegir dónde caminar, hacer calicatas y levantar[; según quien las publica, una altura falla en {error_m:length}, a menudo más en lo empinado o arbolado]. No nivele con ellas: levante el lugar antes de cavar.',
        },
        country: {
          en: 'These heights show how the country lies[; as published a height is off by {error_m:length}, often more in steep or wooded places]. A ditch is smaller than one of their cells: choose no line by them alone, set no level by them, and look for roofs and trees taken for ground.',
          es: 'Estas alturas muestran cómo es la comarca[; según quien las publica, una altura falla en {error_m:length}, a menudo más en lo empinado o arbolado]. Una zanja es más chica que una de sus celdas: no elija una línea solo por ellas, no nivele con ellas, y vea si techos y árboles pasaron por suelo.',
        },
      },
    },
  },
  'ground/no-file-there': {
    en: 'The source has no file for {files} part(s) of the area; there the ground is unknown, or sea.',
    es: 'La fuente no tiene archivo para {files} parte(s) del área; ahí no se sabe cómo es el terreno, o es mar.',
  },
  'map-data/brought': {
    en: 'Brought from {name?open map data}: {building} building(s), {track} road(s) and track(s), {stream} stream(s), {forest} wood(s), {wet} wet place(s), {spring} spring(s), {well} well(s).',
    es: 'Se trajeron de {name?datos abiertos de mapa}: {building} edificio(s), {track} camino(s), {stream} arroyo(s), {forest} bosque(s), {wet} lugar(es) húmedo(s), {spring} manantial(es), {well} pozo(s).',
  },
  'map-data/left-out': {
    en: '{features} thing(s) of the map had no whole outline and were left out. Look for them on the ground.',
    es: '{features} cosa(s) del mapa no tenían contorno completo y se dejaron fuera. Búsquelas en el terreno.',
  },
  'map-data/underground': {
    en: '{features} stream(s), road(s) or other thing(s) run under the ground there and were left out: a pipe or culvert may be there.',
    es: '{features} arroyo(s), camino(s) u otra(s) cosa(s) van ahí bajo tierra y se dejaron fuera: puede haber un tubo o una alcantarilla.',
  },
  'map-data/may-lack': {
    en: 'The map is drawn by volunteers. What is not on it may stand there all the same: walk the place and add what is missing, buildings first.',
    es: 'El mapa lo dibujan voluntarios. Lo que no está en él puede estar en el terreno: recorra el lugar y agregue lo que falte, primero los edificios.',
  },
  'map-data/credit': {
    en: 'What was brought from the map is by others: {credit}.[ License: {licence}.]',
    es: 'Lo que se trajo del mapa es de otros: {credit}.[ Licencia: {licence}.]',
  },
} as const satisfies Readonly<Record<string, Sentence>>
