import type { Sentence } from './templates.js'

/** Refusals of what comes back from the ground: readings, level books, storm logs, plant lists, and files of other programs. */
export const REFUSED_GROUND_WORK = {
  'as-built/bad-level': {
    en: 'A reading has no level. Give a number, or leave the row out.',
    es: 'Una lectura no tiene nivel. Dé un número, o quite la fila.',
  },
  'as-built/cannot-hold': {
    en: 'As it was built the ditch holds nothing in one place[: at {chainage_m:length} along the line]. Look at the readings there, or dig it as planned.',
    es: 'Como se hizo, la zanja no guarda nada en un lugar[: a {chainage_m:length} del comienzo de la línea]. Mire ahí las lecturas, o cávela como estaba previsto.',
  },
  'as-built/empty': {
    en: 'The table of readings is empty.',
    es: 'La tabla de lecturas está vacía.',
  },
  'as-built/far-from-plan': {
    en: 'A reading lies far from its planned level[: at {chainage_m:length} along the line]. It is counted from another height: add the known level of the base stake to the readings.',
    es: 'Una lectura está muy lejos de su nivel previsto[: a {chainage_m:length} del comienzo de la línea]. Se cuenta desde otra altura: sume a las lecturas el nivel conocido de la estaca base.',
  },
  'as-built/header': {
    en: 'The first row of the readings must name its columns, each once: chainage_m or stake, then bed_m, crest_m, sill_m; or what, chainage_m, level_m.',
    es: 'La primera fila de las lecturas debe nombrar sus columnas, cada una una vez: chainage_m o stake, luego bed_m, crest_m, sill_m; o what, chainage_m, level_m.',
  },
  'as-built/no-readings': {
    en: 'There are no readings. Give at least one level of bed, crest or sill.',
    es: 'No hay lecturas. Dé al menos un nivel del fondo, de la corona o del vertedero.',
  },
  'as-built/number': {
    en: 'A row of the readings holds something that is not a number, or too many cells[: row {row}]. With decimal commas, put semicolons between the columns.',
    es: 'Una fila de las lecturas tiene algo que no es número, o celdas de más[: la {row}]. Con coma decimal, separe las columnas con punto y coma.',
  },
  'as-built/off-line': {
    en: 'A reading lies beyond the end of the line[: at {chainage_m:length}]. Measure along the line from its first stake.',
    es: 'Una lectura queda más allá del final de la línea[: a {chainage_m:length}]. Mida a lo largo de la línea desde su primera estaca.',
  },
  'as-built/too-long': {
    en: 'The table of readings has too many rows. Give the readings of one line only.',
    es: 'La tabla de lecturas tiene demasiadas filas. Dé solo las lecturas de una línea.',
  },
  'as-built/twice': {
    en: 'One place is read twice[: at {chainage_m:length} along the line]. Keep the reading that holds.',
    es: 'Un lugar está leído dos veces[: a {chainage_m:length} del comienzo de la línea]. Deje la lectura que vale.',
  },
  'as-built/unknown-stake': {
    en: 'A row of the readings names a stake that this line does not have[: row {row}]. Give its number, or the distance along the line.',
    es: 'Una fila de las lecturas nombra una estaca que esta línea no tiene[: la {row}]. Dé su número, o la distancia a lo largo de la línea.',
  },
  'as-built/what': {
    en: 'A row of the readings is none of bed, crest, sill[: row {row}].',
    es: 'Una fila de las lecturas no es de bed, crest ni sill (fondo, corona, vertedero)[: la {row}].',
  },
  'digging/bad-rate': {
    en: 'A price cannot be used. Give 0 or more, in your own money.',
    es: 'Un precio no sirve. Dé 0 o más, en su propia moneda.',
  },
  'digging/bad-size': {
    en: 'A size for the digging cannot be used. Give 0 or more, and stretches of 1 m or more.',
    es: 'Una medida para cavar no sirve. Dé 0 o más, y tramos de 1 m o más.',
  },
  'gpx/bad-place': {
    en: 'A place in the GPX file cannot be read. Export the file again.',
    es: 'Un lugar del archivo GPX no se puede leer. Expórtelo otra vez.',
  },
  'gpx/not-gpx': { en: 'This is not a GPX file. Export it as GPX.', es: 'Este no es un archivo GPX. Expórtelo como GPX.' },
  'kml/bad-place': {
    en: 'A place in the KML file cannot be read. Export the file again.',
    es: 'Un lugar del archivo KML no se puede leer. Expórtelo otra vez.',
  },
  'kml/not-kml': {
    en: 'This is not a KML file. Export it as KML; a KMZ is a packed folder, unpack it first.',
    es: 'Este no es un archivo KML. Expórtelo como KML; un KMZ es una carpeta comprimida, descomprímala antes.',
  },
  'level-book/empty': {
    en: 'The level book has no readings, or far too many[: {rows} rows].',
    es: 'La libreta de nivel no tiene lecturas, o tiene demasiadas[: {rows} filas].',
  },
  'level-book/header': {
    en: 'The first row of the level book must name its columns: point, backsight_m, intermediate_m, foresight_m and, for known points, level_m.',
    es: 'La primera fila de la libreta debe nombrar sus columnas: punto, atrás_m, entre_m, adelante_m y, para los puntos conocidos, nivel_m.',
  },
  'level-book/known-level': {
    en: 'Only the first point of a level book and the last can be known ones[: row {row} gives a level too]. Leave it empty.',
    es: 'Solo el primer punto de la libreta y el último pueden ser conocidos[: la fila {row} también da un nivel]. Déjelo vacío.',
  },
  'level-book/no-start': {
    en: 'The level book does not say the level of its first point, and there is no stake yet to take it from. Add level_m to its first row.',
    es: 'La libreta no dice el nivel de su primer punto, y todavía no hay estaca de la cual tomarlo. Agregue nivel_m en su primera fila.',
  },
  'level-book/number': {
    en: 'A row of the level book holds something that is not a number, or too many cells[: row {row}]. With decimal commas, put semicolons between the columns.',
    es: 'Una fila de la libreta tiene algo que no es número, o celdas de más[: la {row}]. Con coma decimal, separe las columnas con punto y coma.',
  },
  'levelling/bad-size': {
    en: 'A number of the leveling cannot be used. Give plain numbers, 0 or more, and lengths of tools above 0.',
    es: 'Un número de la nivelación no sirve. Dé números sencillos, 0 o más, y largos de herramientas mayores que 0.',
  },
  'levelling/book-shape': {
    en: 'A line of the level book does not fit[: line {line}]. The first has a backsight, the last a foresight, a change of stand both, any other one reading between.',
    es: 'Un renglón de la libreta de nivel no cuadra[: el {line}]. El primero lleva lectura atrás, el último lectura adelante, un cambio de puesto las dos, y los demás una lectura intermedia.',
  },
  'levelling/too-short': {
    en: 'A level book needs two lines or more.',
    es: 'Una libreta de nivel necesita dos renglones o más.',
  },
  'log/bad-entry': {
    en: 'A storm of the log cannot be read[: number {entry}]. Correct it.',
    es: 'Un aguacero del registro de tormentas no se puede leer[: el número {entry}]. Corríjalo.',
  },
  'log/not-a-list': {
    en: 'The storm log is not a list of storms, or far too long. Correct the file.',
    es: 'El registro de tormentas no es una lista de aguaceros, o es larguísimo. Corrija el archivo.',
  },
  'planting/bad-size': {
    en: 'A size for the planting cannot be used. Give lengths of 0 or more, spacings and slopes above 0.',
    es: 'Una medida para plantar no sirve. Dé largos de 0 o más, distancias y pendientes mayores que 0.',
  },
  'plants/bad-plant': {
    en: 'A plant of the list cannot be read[: number {plant}]. Correct it in the list.',
    es: 'Una planta de la lista no se puede leer[: la número {plant}]. Corríjala en la lista.',
  },
  'plants/not-a-list': {
    en: 'The plant list is not a list of plants, or far too long. Correct the file.',
    es: 'La lista de plantas no es una lista, o es larguísima. Corrija el archivo.',
  },
  'stakes/bad-base': {
    en: 'The base stake is not one of this line. Choose one of its stakes.',
    es: 'La estaca base no es de esta línea. Elija una de sus estacas.',
  },
  'stakes/bad-bend': {
    en: 'The bend from which a stake is set must be an angle of 1 to 180°.',
    es: 'La curva desde la que se pone una estaca debe ser un ángulo de 1 a 180°.',
  },
  'stakes/bad-scale': {
    en: 'The scale from map to ground cannot be: it lies near 1.',
    es: 'La escala del mapa al terreno no puede ser: anda cerca de 1.',
  },
  'stakes/no-ditch': {
    en: 'No ditch can be laid out on this line as it is set, so there is nothing to carry to the ground. Change the line or the settings.',
    es: 'En esta línea no se puede trazar una zanja como está fijada, así que no hay nada que llevar al terreno. Cambie la línea o los ajustes.',
  },
  'stakes/screening-only': {
    en: 'This height data is good for a first look alone: its cells or the steps of its heights are too large for this ditch, or it shows treetops and roofs. Nothing is staked out from it. Bring finer height data of the bare ground, or survey the place.',
    es: 'Estos datos de altura sirven solo para una primera mirada: sus celdas o los saltos de sus alturas son muy grandes para esta zanja, o muestran copas y techos. No se estaca nada con ellos. Traiga datos más finos del suelo pelado, o levante el lugar.',
  },
  'stakes/bad-spacing': {
    en: 'The distance between stakes must be 0.5 m or more.',
    es: 'La distancia entre estacas debe ser de 0,5 m o más.',
  },
  'sun/bad-place': {
    en: 'A latitude, slope or direction for the sun cannot be used.',
    es: 'Una latitud, pendiente o dirección para el sol no sirve.',
  },
  'xml/broken': {
    en: 'The file is not whole XML[: see line {line}]. Export it again.',
    es: 'El archivo no es XML completo[: mire la línea {line}]. Expórtelo otra vez.',
  },
  'xml/doctype': {
    en: 'The file brings a document type of its own, which can fetch things and grow. It was not opened; export plain GPX or KML.',
    es: 'El archivo trae un tipo de documento propio, que puede bajar cosas y crecer. No se abrió; exporte GPX o KML sencillo.',
  },
  'xml/too-large': {
    en: 'The file is too large or too deeply nested. Keep what lies on the holding and export again.',
    es: 'El archivo es demasiado grande o tiene demasiados niveles. Deje lo que está en la finca y expórtelo otra vez.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
