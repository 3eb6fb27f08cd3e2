import { plainText } from './escape-text.js'
import { formatCount, formatLength } from './measures.js'
import { inLanguage, type Voice } from './voice.js'

/** What a list of sources says of one of them. */
export interface SaidSource {
  readonly name: string
  readonly cell_m: number | null
  readonly heightError_m: number | null
  readonly shows: 'ground' | 'surface' | 'mixed'
  readonly verticalDatum: string | null
  readonly licence: string
  readonly credit: string
  readonly trust: 'country' | 'place'
}

const english = {
  title: 'Open heights for a place',
  intro:
    'Public bodies give heights away, and an open map knows buildings, tracks, streams and woods. They lie on servers of others: nothing is asked of one before you say yes to it.',
  area: 'The area',
  middle: 'Its middle',
  noMiddle: 'No place is chosen yet.',
  fromMap: 'Middle of the map',
  point: 'Point on the map',
  pointing: 'Point at the middle of the area.',
  typed: 'Latitude, longitude',
  side: 'Its side',
  sideHint: 'The holding and all ground that drains to it: rather too much than too little.',
  source: 'Source of heights',
  map: 'Open map',
  mapIntro: 'Buildings, tracks, streams, woods, wet places, springs and wells in the area of the open ground.',
  mapNoGround: 'Open the ground first: what is on the map lies on it.',
  allow: (host: string) => `Say yes to ${host} and bring`,
  bring: 'Bring',
  asks: (host: string) =>
    `${host} will be asked for the parts of its files that hold this area. It learns this device’s address on the network and roughly which place is meant; of your plan it learns nothing.`,
  asksMap: (host: string) =>
    `${host} will be asked what the map has in the area of the open ground. It learns this device’s address on the network and where that ground lies; of your plan it learns nothing.`,
  allowed: 'Hosts that you have said yes to',
  noneAllowed: 'None: no server of others is asked for anything.',
  takeBack: (host: string) => `Take the yes to ${host} back`,
  bringing: 'Bringing…',
  stop: 'Stop',
  brought: (name: string) => `${name} was brought and opened.`,
  kept: 'What was brought is kept in this browser, so that it comes again with no network.',
  forget: 'Forget what is kept',
  forgotten: 'Forgotten. The ground that is open stays.',
  own: 'Add a source',
  ownAddress: 'Address of a GeoTIFF, or a template',
  ownHint:
    'https:// to one file, or with {NS:south}{south:2}{EW:west}{west:3} for files of a square degree, or with {z}/{x}/{y} for tiles of heights in colors (terrarium).',
  ownName: 'Name',
  ownCredit: 'Whom it is owed to',
  add: 'Add',
  remove: (name: string) => `Remove ${name}`,
  needsArea: 'Choose the middle of the area first.',
  cell: 'Cells',
  error: 'A height is off by',
  notStated: 'not stated',
  shows: 'Shows',
  showing: {
    ground: 'bare ground',
    surface: 'the surface: roofs and crowns of trees stand in it',
    mixed: 'now ground, now surface, by place',
  },
  datum: 'Heights over',
  licence: 'License',
  credit: 'Owed to',
  trust: 'Good for',
  trusted: {
    country: 'seeing how the country lies; no line and no level',
    place: 'choosing where to walk, dig test pits and survey; no level',
  },
  creditLine: (credits: string) => `Data: ${credits}`,
  window: 'This raster is larger than can be held here. Read a part of it:',
  windowBox: (box: string) => `It lies at ${box} (latitude, longitude of its corners).`,
  windowSize: (width: string, height: string, size: string) => `${width} by ${height} cells; in memory it would take ${size} MB.`,
  read: 'Read this part',
  cliWrote: (width: string, height: string, file: string) =>
    `${width} by ${height} cells were brought and written to ${file}; from now on no network is needed.`,
  cliFeatures: (count: string, file: string) => `${count} things of the open map were written to ${file}.`,
  cliHost: (host: string) => `Asked of: ${host}`,
  cliPlace: (box: string) => `It lies at ${box} (west, south, east, north).`,
  cliNoPlace: 'It does not say where it lies.',
  cliFile: (size: string) => `The file has ${size} MB.`,
  cliSystem: (crs: string) => `Coordinate system: ${crs}.`,
}

/** Words about open data and windows of large rasters. */
export type OpenGroundWords = typeof english

const spanish: OpenGroundWords = {
  title: 'Alturas abiertas de un lugar',
  intro:
    'Hay oficinas públicas que regalan alturas, y un mapa abierto que conoce edificios, caminos, arroyos y bosques. Están en servidores de otros: a ninguno se le pide nada antes de que usted diga que sí.',
  area: 'El área',
  middle: 'Su centro',
  noMiddle: 'Aún no se ha elegido un lugar.',
  fromMap: 'El centro del mapa',
  point: 'Señalar en el mapa',
  pointing: 'Señale el centro del área.',
  typed: 'Latitud, longitud',
  side: 'Su lado',
  sideHint: 'La finca y todo el terreno que escurre hacia ella: mejor de más que de menos.',
  source: 'Fuente de alturas',
  map: 'Mapa abierto',
  mapIntro: 'Edificios, caminos, arroyos, bosques, lugares húmedos, manantiales y pozos del área del terreno abierto.',
  mapNoGround: 'Abra primero el terreno: lo del mapa va encima de él.',
  allow: host => `Decir que sí a ${host} y traer`,
  bring: 'Traer',
  asks: host =>
    `A ${host} se le pedirán las partes de sus archivos que tienen esta área. Sabrá la dirección de este equipo en la red y más o menos de qué lugar se trata; de su plan no sabrá nada.`,
  asksMap: host =>
    `A ${host} se le preguntará qué tiene el mapa en el área del terreno abierto. Sabrá la dirección de este equipo en la red y dónde está ese terreno; de su plan no sabrá nada.`,
  allowed: 'Servidores a los que dijo que sí',
  noneAllowed: 'Ninguno: a ningún servidor de otros se le pide nada.',
  takeBack: host => `Retirar el sí a ${host}`,
  bringing: 'Trayendo…',
  stop: 'Parar',
  brought: name => `Se trajo y se abrió ${name}.`,
  kept: 'Lo que se trajo se guarda en este navegador, para que venga otra vez sin red.',
  forget: 'Olvidar lo guardado',
  forgotten: 'Olvidado. El terreno abierto se queda.',
  own: 'Agregar una fuente',
  ownAddress: 'Dirección de un GeoTIFF, o una plantilla',
  ownHint:
    'https:// a un solo archivo, o con {NS:south}{south:2}{EW:west}{west:3} si son archivos de un grado cuadrado, o con {z}/{x}/{y} si son mosaicos de alturas en colores (terrarium).',
  ownName: 'Nombre',
  ownCredit: 'A quién se le debe',
  add: 'Agregar',
  remove: name => `Quitar ${name}`,
  needsArea: 'Elija primero el centro del área.',
  cell: 'Celdas',
  error: 'Una altura falla en',
  notStated: 'no se dice',
  shows: 'Muestra',
  showing: {
    ground: 'el suelo desnudo',
    surface: 'la superficie: lleva techos y copas de árboles',
    mixed: 'a veces suelo, a veces superficie, según el lugar',
  },
  datum: 'Alturas sobre',
  licence: 'Licencia',
  credit: 'Se debe a',
  trust: 'Sirve para',
  trusted: {
    country: 'ver cómo es la comarca; ni líneas ni niveles',
    place: 'elegir dónde caminar, hacer calicatas y levantar; no para niveles',
  },
  creditLine: credits => `Datos: ${credits}`,
  window: 'Este ráster es más grande de lo que aquí cabe. Lea una parte:',
  windowBox: box => `Está en ${box} (latitud y longitud de sus esquinas).`,
  windowSize: (width, height, size) => `${width} por ${height} celdas; en memoria ocuparía ${size} MB.`,
  read: 'Leer esta parte',
  cliWrote: (width, height, file) =>
    `Se trajeron ${width} por ${height} celdas y se escribieron en ${file}; de ahora en adelante no hace falta red.`,
  cliFeatures: (count, file) => `Se escribieron ${count} cosas del mapa abierto en ${file}.`,
  cliHost: host => `Se le pidió a: ${host}`,
  cliPlace: box => `Está en ${box} (oeste, sur, este, norte).`,
  cliNoPlace: 'No dice dónde está.',
  cliFile: size => `El archivo tiene ${size} MB.`,
  cliSystem: crs => `Sistema de coordenadas: ${crs}.`,
}

/** What both shells say of open data. */
export const openGroundWords = (voice: Pick<Voice, 'language'>): OpenGroundWords => inLanguage(voice, { en: english, es: spanish })

/** What is known of a source, as rows of a name and a text. */
export function sayGroundSource(source: SaidSource, voice: Voice): [name: string, text: string][] {
  const say = openGroundWords(voice)
  return [
    [say.trust, say.trusted[source.trust]],
    [say.cell, source.cell_m === null ? say.notStated : formatLength(source.cell_m, voice)],
    [say.error, source.heightError_m === null ? say.notStated : formatLength(source.heightError_m, voice)],
    [say.shows, say.showing[source.shows]],
    [say.datum, source.verticalDatum === null ? say.notStated : plainText(source.verticalDatum)],
    [say.licence, plainText(source.licence)],
    [say.credit, plainText(source.credit)],
  ]
}

/** Sizes as lists of lines say them: whole megabytes, at least one. */
export const sayMegabytes = (bytes: number, voice: Voice): string => formatCount(Math.max(1, Math.round(bytes / 1e6)), voice)
