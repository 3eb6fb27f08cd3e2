import type { Sentence } from './templates.js'

/** Refusals of what comes over the network, and of parts cut out of the ground. */
export const REFUSED_NETWORK = {
  'address/busy': {
    en: 'The server is too busy now[: {host}]. Try again in a few minutes.',
    es: 'El servidor está muy ocupado ahora[: {host}]. Intente otra vez en unos minutos.',
  },
  'address/changed': {
    en: 'The file on the server changed while it was read, so its parts do not fit together. Bring it again.',
    es: 'El archivo del servidor cambió mientras se leía; sus partes no casan entre sí. Tráigalo otra vez.',
  },
  'address/cut-off': {
    en: 'The answer of the server broke off half-way[: {host}]. Try again; if it stays so, download the file and open it from this device.',
    es: 'La respuesta del servidor se cortó a medias[: {host}]. Intente otra vez; si sigue igual, baje el archivo y ábralo desde este equipo.',
  },
  'address/forbidden': {
    en: 'The server does not give this file to everybody[: {host}]. Sign in there, download the file, and open it from this device.',
    es: 'El servidor no da este archivo a cualquiera[: {host}]. Entre allá con su cuenta, baje el archivo y ábralo desde este equipo.',
  },
  'address/no-ranges': {
    en: 'The server sends files only whole, and this one is too large for that[: {host}]. Download the file and open it from this device.',
    es: 'El servidor solo manda archivos enteros, y este es demasiado grande para eso[: {host}]. Baje el archivo y ábralo desde este equipo.',
  },
  'address/not-found': {
    en: 'The server has no file at this address[: {host}]. Check the address, or choose another source.',
    es: 'El servidor no tiene un archivo en esa dirección[: {host}]. Revise la dirección o elija otra fuente.',
  },
  'address/not-web': {
    en: 'This is no address of the web. It begins with https:// and holds no password.',
    es: 'Esta no es una dirección de la red. Empieza con https:// y no lleva contraseña.',
  },
  'address/server-error': {
    en: 'The server answers with an error[: {host}, {status}]. Try again later, or choose another source.',
    es: 'El servidor responde con un error[: {host}, {status}]. Intente más tarde o elija otra fuente.',
  },
  'address/too-large': {
    en: 'The answer of the server is larger than can be taken. Choose a smaller area.',
    es: 'La respuesta del servidor es más grande de lo que cabe. Elija un área más chica.',
  },
  'address/too-slow': {
    en: 'The server sent nothing for too long[: {host}]. Try again later, or download the file and open it from this device.',
    es: 'El servidor no mandó nada por demasiado tiempo[: {host}]. Intente más tarde, o baje el archivo y ábralo desde este equipo.',
  },
  'address/unreachable': {
    en: 'No answer that can be read came back[ from {host}]: there is no network, the server is not there, or it forbids other pages to read from it. Download the file and open it from this device.',
    es: 'No llegó respuesta que se pueda leer[ de {host}]: no hay red, el servidor no está, o no deja que otras páginas lean de él. Baje el archivo y ábralo desde este equipo.',
  },
  'address/wrong-range': {
    en: 'The server sent another part of the file than was asked for, so nothing of it can be used. Download the file and open it from this device.',
    es: 'El servidor mandó otra parte del archivo que la pedida; nada de eso sirve. Baje el archivo y ábralo desde este equipo.',
  },
  'ground/not-covered': {
    en: 'The source does not reach over all of this place[: {source}]. Choose another source.',
    es: 'La fuente no cubre todo este lugar[: {source}]. Elija otra fuente.',
  },
  'ground/nothing-there': {
    en: 'The source has no heights for this place[: {source}]. Choose another place or another source.',
    es: 'La fuente no tiene alturas de este lugar[: {source}]. Elija otro lugar u otra fuente.',
  },
  'map-data/incomplete': {
    en: 'The server says that its answer is not whole, and what is missing would look like open ground. Choose a smaller area, or try again later.',
    es: 'El servidor avisa que su respuesta no está completa, y lo que falta parecería terreno libre. Elija un área más chica o intente más tarde.',
  },
  'map-data/not-json': {
    en: 'The answer of the server is no map data[: {host}]. Try again later.',
    es: 'La respuesta del servidor no son datos de mapa[: {host}]. Intente más tarde.',
  },
  'map-data/too-large': {
    en: 'There is more on the map here than can be taken at once. Choose a smaller area.',
    es: 'Aquí hay más en el mapa de lo que se puede traer de una vez. Elija un área más chica.',
  },
  'network/not-allowed': {
    en: 'Nothing was asked of this host, since nobody has allowed it[: {host}]. Allow it, or bring the file from this device.',
    es: 'No se pidió nada a este servidor porque nadie lo ha permitido[: {host}]. Permítalo, o traiga el archivo desde este equipo.',
  },
  'source/bad-value': {
    en: 'The source cannot be used as it is written. Check its address: https://, with the places for degrees or tiles in braces.',
    es: 'La fuente no se puede usar como está escrita. Revise su dirección: https://, con los lugares de grados o mosaicos entre llaves.',
  },
  'window/bad-box': {
    en: 'This is no area: west must lie before east and south before north.',
    es: 'Esto no es un área: el oeste va antes que el este y el sur antes que el norte.',
  },
  'window/large-pieces': {
    en: 'The raster is packed in pieces so large that no small part of it can be read. Write it again in tiles.',
    es: 'El ráster está empacado en piezas tan grandes que no se puede leer una parte chica. Escríbalo otra vez en mosaicos.',
  },
  'window/outside': {
    en: 'The area lies outside of the raster. Choose one inside it.',
    es: 'El área queda fuera del ráster. Elija una que esté adentro.',
  },
  'window/too-large': {
    en: 'The area is larger than can be brought at once. Choose a smaller one: the holding and the ground that drains to it.',
    es: 'El área es más grande de lo que se puede traer de una vez. Elija una más chica: la finca y el terreno que escurre hacia ella.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
