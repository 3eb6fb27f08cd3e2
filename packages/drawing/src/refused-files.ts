import type { Sentence } from './templates.js'

/** Refusals of files: height data, coordinate systems, records of rain and soil, choices about hollows. */
export const REFUSED_FILES = {
  'crs/axes': {
    en: 'The coordinate system counts its axes to the west or south, and files differ in how they follow that. Convert the raster to a UTM zone first.',
    es: 'Ese sistema de coordenadas cuenta sus ejes hacia el oeste o el sur, y los archivos lo siguen de distinto modo. Convierta antes el ráster a una zona UTM.',
  },
  'crs/no-place': {
    en: 'The raster has no place on Earth, so longitude and latitude are not known. Give places in the raster’s own meters, or open it again with its EPSG number.',
    es: 'El ráster no tiene lugar en la Tierra, así que no se conocen longitud ni latitud. Dé los lugares en los metros propios del ráster, o ábralo otra vez con su número EPSG.',
  },
  'crs/not-a-plane': {
    en: 'The raster is in coordinates counted from the center of the Earth, which no map uses. Convert it to UTM first.',
    es: 'El ráster está en coordenadas contadas desde el centro de la Tierra, que ningún mapa usa. Conviértalo antes a UTM.',
  },
  'crs/polar': {
    en: 'The raster lies beyond the UTM zones, near a pole. Convert it to a metric system of that place.',
    es: 'El ráster está más allá de las zonas UTM, cerca de un polo. Conviértalo a un sistema métrico de ese lugar.',
  },
  'crs/unit': {
    en: 'The length unit of that coordinate system is not known, so no length would be. Convert the raster to UTM first.',
    es: 'No se conoce la unidad de largo de ese sistema de coordenadas; ningún largo se conocería. Convierta antes el ráster a UTM.',
  },
  'crs/unit-conflict': {
    en: 'The file names a coordinate system but another length unit than that system has. Lengths would be wrong by a factor; have it exported again.',
    es: 'El archivo nombra un sistema de coordenadas y otra unidad de largo que la de ese sistema. Los largos saldrían mal por un factor; pida que lo exporten otra vez.',
  },
  'elevation-unit/unknown': {
    en: 'The file does not say the unit of its heights. Meters taken for feet make every slope wrong by a factor of 3.28. Say which it is.',
    es: 'El archivo no dice en qué unidad están las alturas. Metros tomados por pies cambian cada pendiente por un factor de 3,28. Diga cuál es.',
  },
  'grid/no-line': {
    en: 'That raster is about a line, and there is none yet. Draw or bring one.',
    es: 'Ese ráster trata de una línea, y todavía no hay ninguna. Dibuje o traiga una.',
  },
  'grid/no-such-band': {
    en: 'The raster has no layer of that number. Choose one that it has.',
    es: 'El ráster no tiene una capa con ese número. Elija una de las que tiene.',
  },
  'grid/nodata-unclear': {
    en: 'Many cells hold one number far from every other height, and the file does not say what means “no data”. Say whether it is ground or a gap.',
    es: 'Muchas celdas tienen un mismo número, lejos de toda otra altura, y el archivo no dice qué significa «sin datos». Diga si es suelo o un hueco.',
  },
  'grid/several-bands': {
    en: 'The raster has several layers and does not say which holds the heights. Choose one.',
    es: 'El ráster tiene varias capas y no dice cuál trae las alturas. Elija una.',
  },
  'ground/none': {
    en: 'No height data is open. Open some, then ask again.',
    es: 'No hay datos de altura abiertos. Abra unos y pregunte otra vez.',
  },
  'hollows/not-points': {
    en: 'A choice about a hollow is not a point[: number {feature}]. Mark each hollow by one point in it.',
    es: 'Una elección sobre una hondonada no es un punto[: la número {feature}]. Marque cada hondonada con un punto adentro.',
  },
  'hollows/treatment': {
    en: 'A choice about a hollow does not say what its water does in a way that is known here[: number {feature}].',
    es: 'Una elección sobre una hondonada no dice qué hace su agua de un modo que aquí se conozca[: la número {feature}].',
  },
  'plan/ground-damaged': {
    en: 'The height data in the plan is damaged: the file may have been cut off or changed on its way. Open another copy, or bring the raster itself.',
    es: 'Los datos de altura del plan están dañados: quizá el archivo se cortó o se cambió en el camino. Abra otra copia, o traiga el ráster mismo.',
  },
  'plan/ground-too-large': {
    en: 'The height data is too large to be kept in the plan. Keep it as a file beside it, or cut out the holding.',
    es: 'Los datos de altura son demasiado grandes para ir en el plan. Guárdelos como archivo aparte, o recorte el predio.',
  },
  'rain-record/cumulative': {
    en: 'Rain fallen so far must begin with 0 and never fall[; line {line} does not fit].',
    es: 'La lluvia acumulada debe empezar en 0 y nunca bajar[; la línea {line} no cuadra].',
  },
  'rain-record/date': {
    en: 'A line of the record holds no date that can be read[: line {line}]. Write year-month-day, as 2024-02-29.',
    es: 'Una línea del registro no tiene una fecha legible[: la {line}]. Escriba año-mes-día, como 2024-02-29.',
  },
  'rain-record/date-order': {
    en: 'The dates could have the day or the month first. Say which.',
    es: 'Las fechas podrían tener primero el día o el mes. Diga cuál.',
  },
  'rain-record/duplicate-day': {
    en: 'Two lines of the record are of the same time. Keep one.',
    es: 'Dos líneas del registro son de la misma hora o día. Deje una.',
  },
  'rain-record/empty': { en: 'The record of rain is empty.', es: 'El registro de lluvia está vacío.' },
  'rain-record/gap-in-storm': {
    en: 'A line of the storm has no reading[: line {line}]. A gap is no dry spell: fill it, or cut the storm there.',
    es: 'Una línea del aguacero no tiene lectura[: la {line}]. Un hueco no es un rato seco: llénelo o corte ahí el aguacero.',
  },
  'rain-record/header': {
    en: 'The first line of the record must name its columns: date, depth_mm (for a storm: time_min, depth_mm).',
    es: 'La primera línea del registro debe nombrar sus columnas: date, depth_mm (para un aguacero: time_min, depth_mm).',
  },
  'rain-record/mixed-times': {
    en: 'Some lines of the record have a time of day and others have none[: see line {line}]. Give one to all or to none.',
    es: 'Unas líneas del registro tienen hora y otras no[: mire la {line}]. Póngala a todas o a ninguna.',
  },
  'rain-record/mixed-zones': {
    en: 'The record changes its time zone on the way[, in line {line}]. Export it in one clock, without daylight saving.',
    es: 'El registro cambia de huso horario a medio camino[, en la línea {line}]. Expórtelo en una sola hora, sin horario de verano.',
  },
  'rain-record/not-in-order': {
    en: 'The record is not in order of time. Sort it.',
    es: 'El registro no está en orden de tiempo. Ordénelo.',
  },
  'rain-record/number': {
    en: 'A line of the record holds something that is not a number, or too many cells[: line {line}]. With decimal commas, put semicolons between the columns.',
    es: 'Una línea del registro tiene algo que no es número, o celdas de más[: la {line}]. Con coma decimal, separe las columnas con punto y coma.',
  },
  'rain-record/out-of-range': {
    en: 'A line of the record has rain below 0 or more than has ever fallen[: line {line}]. Look at the unit.',
    es: 'Una línea del registro tiene lluvia menor que 0 o más de la que jamás ha caído[: la {line}]. Revise la unidad.',
  },
  'rain-record/several-columns': {
    en: 'Several columns could be the rain. Say which one, or leave one in the file.',
    es: 'Varias columnas podrían ser la lluvia. Diga cuál, o deje una sola en el archivo.',
  },
  'rain-record/short-record': {
    en: 'The record is too short[: it has rain for {days} days and at least {least} are needed]; better are ten years. If only days with rain are listed, say so.',
    es: 'El registro es muy corto[: tiene lluvia de {days} días y hacen falta al menos {least}]; mejor son diez años. Si solo trae los días con lluvia, dígalo.',
  },
  'rain-record/too-long': {
    en: 'The record has too many rows, or a wrong year in it.',
    es: 'El registro tiene demasiadas filas, o un año equivocado.',
  },
  'rain-record/uneven-steps': {
    en: 'The record does not run in even steps of time[: see line {line}]. Give every step once, dry ones with 0.',
    es: 'El registro no va a pasos iguales de tiempo[: mire la línea {line}]. Ponga cada paso una vez, los secos con 0.',
  },
  'rain-record/unit-contradiction': {
    en: 'The record and you give two different units. Find out which is right.',
    es: 'El registro y usted dan dos unidades distintas. Averigüe cuál es la correcta.',
  },
  'rain-record/unit-unknown': {
    en: 'The record does not say if it is in millimeters or inches. Say which.',
    es: 'El registro no dice si está en milímetros o en pulgadas. Dígalo.',
  },
  'rain/not-frequency-table': {
    en: 'The file of rain frequencies lacks its table, its unit, or its kind. Download it again with its header.',
    es: 'Al archivo de frecuencias de lluvia le falta la tabla, la unidad o el tipo. Descárguelo otra vez con su encabezado.',
  },
  'rain/too-long': { en: 'The rain table has too many rows.', es: 'La tabla de lluvia tiene demasiadas filas.' },
  'soil/bad-record': {
    en: 'Something in the soil record cannot be used[: {where}, {key}]. Mend it and open the record again.',
    es: 'Algo en el registro de suelo no se puede usar[: {where}, {key}]. Corríjalo y ábralo otra vez.',
  },
  'soil/not-points': {
    en: 'A feature of the soil record is not a point[: number {feature}]. Mark each pit, and each thing seen, by one point.',
    es: 'Un elemento del registro de suelo no es un punto[: el número {feature}]. Marque cada calicata y cada cosa vista con un punto.',
  },
  'soil/unknown-kind': {
    en: 'A feature of the soil record is neither a pit nor a thing seen that is known here[: number {feature}].',
    es: 'Un elemento del registro de suelo no es una calicata ni una cosa vista que aquí se conozca[: el número {feature}].',
  },
} as const satisfies Readonly<Record<string, Sentence>>
