import type { Language, Voice } from './voice.js'

/**
 * The words of the trade that stand on the sheet, each with what it means. The English ones are those of `docs/glossary.md` of the library, word for
 * word (a test holds the two together).
 */
export const GLOSSARY: readonly Readonly<Record<Language, readonly [word: string, meaning: string]>>[] = [
  {
    en: ['A-frame', 'Three poles joined like the letter A with a plumb line: it sets two feet at one level, step by step.'],
    es: ['nivel A', 'Tres palos unidos como la letra A con una plomada: pone dos pies a un mismo nivel, paso a paso.'],
  },
  { en: ['bed', 'The level floor of the ditch.'], es: ['fondo', 'El piso a nivel de la zanja.'] },
  {
    en: ['berm', 'The soil of the ditch laid loose along its downhill side.'],
    es: ['camellón', 'La tierra de la zanja puesta suelta a lo largo de su lado de abajo.'],
  },
  {
    en: ['breach', 'A break of the berm, through which the ditch empties at once.'],
    es: ['rotura', 'Una ruptura del camellón, por la que la zanja se vacía de golpe.'],
  },
  {
    en: ['catchment', 'All ground whose water comes to a line or a place.'],
    es: ['cuenca', 'Todo el terreno cuya agua llega a una línea o a un lugar.'],
  },
  {
    en: ['check bank', 'A low bank across the ditch that keeps water from running along a bed that falls.'],
    es: ['dique', 'Un bordo bajo atravesado en la zanja, que no deja correr el agua por un fondo que baja.'],
  },
  { en: ['contour', 'A line of one height on the ground.'], es: ['curva de nivel', 'Una línea de una misma altura en el terreno.'] },
  { en: ['crest', 'The top of the berm.'], es: ['cresta', 'Lo más alto del camellón.'] },
  { en: ['cross-section', 'The ditch and the berm as cut across.'], es: ['corte', 'La zanja y el camellón vistos de corte.'] },
  {
    en: ['culvert', 'A pipe under a track, which no height data shows.'],
    es: ['alcantarilla', 'Un tubo bajo un camino, que ningún dato de alturas muestra.'],
  },
  {
    en: ['datum', 'The surface from which heights or places are counted.'],
    es: ['datum', 'La superficie desde la que se cuentan las alturas o los lugares.'],
  },
  {
    en: ['drain-down', 'How long the full ditch needs to soak empty.'],
    es: ['vaciado', 'Cuánto tarda la zanja llena en vaciarse hacia el suelo.'],
  },
  { en: ['elevation', 'Height above the datum.'], es: ['altura', 'Altura sobre el datum.'] },
  { en: ['fall', 'By how much a line goes down on its way.'], es: ['caída', 'Cuánto baja una línea en su camino.'] },
  { en: ['gradient', 'Rise of the ground over its length.'], es: ['pendiente', 'Lo que sube el terreno entre su largo.'] },
  {
    en: ['hollow', 'A low place that must fill before water leaves it.'],
    es: ['hondonada', 'Un lugar bajo que debe llenarse antes de que el agua salga de él.'],
  },
  { en: ['intake', 'How fast a soil takes water in.'], es: ['infiltración', 'Qué tan rápido toma agua un suelo.'] },
  { en: ['level line', 'A line that keeps one height.'], es: ['línea a nivel', 'Una línea que mantiene una altura.'] },
  {
    en: ['long section', 'Ground, bed, water and crest along the line.'],
    es: ['perfil', 'Terreno, fondo, agua y cresta a lo largo de la línea.'],
  },
  { en: ['no data', 'Cells of a raster that hold no height.'], es: ['sin datos', 'Celdas de un ráster que no tienen altura.'] },
  { en: ['outlet', 'A place to which the overflow can be let go.'], es: ['salida', 'Un lugar al que se puede dejar ir el rebose.'] },
  {
    en: ['overflow', 'Water that leaves the full ditch over its sill.'],
    es: ['rebose', 'El agua que sale de la zanja llena por su umbral.'],
  },
  { en: ['peak', 'The fastest flow of a storm.'], es: ['pico', 'El caudal más fuerte de un aguacero.'] },
  { en: ['raster', 'Heights in rows of square cells.'], es: ['ráster', 'Alturas en filas de celdas cuadradas.'] },
  {
    en: ['ridge', 'The part of a catchment’s outline that is a divide.'],
    es: ['filo', 'La parte del borde de una cuenca que es parteaguas.'],
  },
  {
    en: ['runoff', 'The part of the rain that runs over the ground.'],
    es: ['escurrimiento', 'La parte de la lluvia que corre por encima del terreno.'],
  },
  {
    en: ['settling', 'By how much loose soil sinks in its first years.'],
    es: ['asentamiento', 'Cuánto se hunde la tierra suelta en sus primeros años.'],
  },
  {
    en: ['side slope', 'How steep the sides of ditch and berm are.'],
    es: ['talud', 'Qué tan parados son los lados de la zanja y del camellón.'],
  },
  {
    en: ['sill', 'The level edge of the spill, the lowest part of the crest.'],
    es: ['umbral', 'El borde a nivel del vertedero, la parte más baja de la cresta.'],
  },
  { en: ['slip', 'Ground that has slid, or may.'], es: ['deslizamiento', 'Terreno que se ha deslizado, o que puede deslizarse.'] },
  {
    en: ['soil group', 'One of A to D, by how fast a wet soil takes in water.'],
    es: ['grupo de suelo', 'Uno de A a D, según qué tan rápido toma agua un suelo mojado.'],
  },
  { en: ['spill', 'The place made for the overflow.'], es: ['vertedero', 'El lugar hecho para el rebose.'] },
  {
    en: ['stake', 'A mark on the ground with its levels written on it.'],
    es: ['estaca', 'Una marca en el terreno con sus niveles escritos.'],
  },
  {
    en: ['storm', 'Rain of a depth and a length that comes with a chance in each year.'],
    es: ['aguacero', 'Lluvia de una altura y una duración que llega con cierta probabilidad cada año.'],
  },
  {
    en: ['swale', 'A ditch cut level along the contour, with its soil laid downhill as a berm.'],
    es: ['zanja', 'Una zanja cavada a nivel por la curva, con su tierra puesta abajo como camellón.'],
  },
  {
    en: ['test pit', 'A hole dug to see soil, water and rock, and to time the soaking.'],
    es: ['calicata', 'Un hoyo para ver suelo, agua y roca, y para medir cuánto tarda en infiltrarse.'],
  },
  {
    en: ['time of concentration', 'How long water needs from the farthest place of the catchment.'],
    es: ['tiempo de concentración', 'Cuánto tarda el agua desde el lugar más lejano de la cuenca.'],
  },
  { en: ['void', 'A patch of no data inside a raster.'], es: ['hueco', 'Un hueco sin datos dentro de un ráster.'] },
  {
    en: ['water level', 'A clear hose with water, whose two ends stand at one height.'],
    es: ['manguera de nivel', 'Una manguera clara con agua, cuyas dos puntas quedan a una altura.'],
  },
  {
    en: ['wetness', 'Where water gathers: area above a cell over its slope.'],
    es: ['humedad', 'Donde se junta el agua: el área de arriba de una celda entre su pendiente.'],
  },
]

/** The words with their meanings, in the order of the reader's alphabet. */
export const glossaryOf = ({ language }: Pick<Voice, 'language'>): readonly (readonly [word: string, meaning: string])[] =>
  GLOSSARY.map(entry => entry[language]).sort(([a], [b]) => a.localeCompare(b, language))
