import type { Sentence } from './templates.js'

/** Refusals of numbers about rain, runoff, soil and the water of a year. */
export const REFUSED_WATER = {
  'balance/bad-area': { en: 'The catchment’s area must be above 0.', es: 'El área de la cuenca debe ser mayor que 0.' },
  'balance/bad-day': {
    en: 'A day has no rain or inflow that can be used[: day {day}]. A gap is no dry day: fill it, or cut there.',
    es: 'Un día no tiene lluvia o entrada que se pueda usar[: el día {day}]. Un hueco no es un día seco: llénelo o corte ahí.',
  },
  'balance/bad-share': {
    en: 'The share kept for silt must be from 0 to under 100 %.',
    es: 'La parte para sedimento debe ir de 0 a menos de 100 %.',
  },
  'balance/bad-storage': {
    en: 'The table of storage must begin with nothing at level 0 and rise.',
    es: 'La tabla de volumen debe empezar vacía en el nivel 0 y subir.',
  },
  'balance/no-days': { en: 'The series holds no day.', es: 'La serie no tiene ningún día.' },
  'balance/short-record': {
    en: 'The record is too short[: it holds {days} days of rain and at least {least} are needed]; better are ten years.',
    es: 'El registro es muy corto[: tiene {days} días de lluvia y hacen falta al menos {least}]; mejor son diez años.',
  },
  'cover/bad-depth': {
    en: 'The mulch is set too deep[: {depth_m}]. Take 0 to 0.3 m (5 to 10 cm is usual).',
    es: 'La cobertura está puesta demasiado gruesa[: {depth_m}]. Use de 0 a 0,3 m (lo usual es 5 a 10 cm).',
  },
  'cover/soil-group-unknown': { en: 'The soil group must be A, B, C or D.', es: 'El grupo de suelo debe ser A, B, C o D.' },
  'cover/unknown': {
    en: 'That land cover is not in the table. Choose one of the list.',
    es: 'Esa cobertura no está en la tabla. Elija una de la lista.',
  },
  'curve-number/no-area': { en: 'The parts of the catchment have no area.', es: 'Las partes de la cuenca no tienen área.' },
  'curve-number/out-of-range': {
    en: 'The runoff number must be above 0 and up to 100.',
    es: 'El número de escurrimiento debe ser mayor que 0 y hasta 100.',
  },
  'curve-number/outside-table': {
    en: 'The runoff number lies outside the table for dry or wet ground.',
    es: 'El número de escurrimiento está fuera de la tabla para suelo seco o mojado.',
  },
  'curve-number/ratio-not-published': {
    en: 'Runoff numbers are published for 20 % held back at first and can be turned into those for 5 % only.',
    es: 'Los números de escurrimiento están publicados para 20 % de retención inicial y solo se pueden convertir a 5 %.',
  },
  'curve-number/share-out-of-range': {
    en: 'A share of sealed ground must be from 0 to 100 %.',
    es: 'La parte de suelo sellado debe ir de 0 a 100 %.',
  },
  'curve-number/too-much-impervious': {
    en: 'There is more sealed ground than the rule for roofs and yards that drain onto soil allows.',
    es: 'Hay más suelo sellado del que admite la regla para techos y patios que escurren a tierra.',
  },
  'hydrograph/bad-measure': {
    en: 'An area, time or depth for the flood curve cannot be used. Give numbers above 0.',
    es: 'Un área, tiempo o lámina para la curva de crecida no se puede usar. Dé números mayores que 0.',
  },
  'hydrograph/bad-peak-rate': {
    en: 'The peak factor of the flood curve is outside what is used.',
    es: 'El factor de pico de la curva de crecida está fuera de lo usual.',
  },
  'hydrograph/step-too-long': {
    en: 'The step of the rain is too long for so small a catchment. Take shorter steps.',
    es: 'El paso de la lluvia es demasiado largo para una cuenca tan chica. Use pasos más cortos.',
  },
  'peak/bad-coefficient': { en: 'A runoff coefficient must be from 0 to 1.', es: 'Un coeficiente de escurrimiento debe ir de 0 a 1.' },
  'peak/bad-measure': {
    en: 'An area, rain or time for the highest flow cannot be used. Give numbers above 0.',
    es: 'Un área, lluvia o tiempo para el caudal mayor no se puede usar. Dé números mayores que 0.',
  },
  'rain/bad-chance': { en: 'A chance must be from 0 to 1 (4 % is 0.04).', es: 'Una probabilidad debe ir de 0 a 1 (4 % es 0,04).' },
  'rain/bad-date': { en: 'That day is not in the calendar.', es: 'Ese día no está en el calendario.' },
  'rain/bad-duration': { en: 'A duration must be above 0.', es: 'Una duración debe ser mayor que 0.' },
  'rain/bad-formula': { en: 'The rain formula’s numbers cannot be used.', es: 'Los números de la fórmula de lluvia no se pueden usar.' },
  'rain/bad-interval': {
    en: 'The years between storms must be above 0, and 1 or more for the largest storm of each year.',
    es: 'Los años entre aguaceros deben ser más de 0, y 1 o más si es el mayor de cada año.',
  },
  'rain/bad-peak-place': {
    en: 'The place of the heaviest burst must lie within the storm, from 0 to 1.',
    es: 'El lugar del chubasco más fuerte debe caer dentro del aguacero, de 0 a 1.',
  },
  'rain/bad-row': {
    en: 'A row of the rain table cannot be used: depth and duration must be above 0, the chance up to 1.',
    es: 'Una fila de la tabla de lluvia no sirve: lámina y duración deben ser mayores que 0, la probabilidad hasta 1.',
  },
  'rain/bad-step': {
    en: 'The time step of the rain cannot be used. Give hours above 0 that fit into the storm or the day.',
    es: 'El paso de tiempo de la lluvia no sirve. Dé horas mayores que 0 que quepan en el aguacero o el día.',
  },
  'rain/bad-uplift': {
    en: 'The factor for more rain must be above 0 (one fifth more is 1.2).',
    es: 'El factor para más lluvia debe ser mayor que 0 (un quinto más es 1,2).',
  },
  'rain/bad-years': { en: 'The number of years must be 0 or more.', es: 'El número de años debe ser 0 o más.' },
  'rain/duplicate-row': {
    en: 'The rain table gives two depths for the same duration and chance. Keep one.',
    es: 'La tabla de lluvia da dos láminas para la misma duración y probabilidad. Deje una.',
  },
  'rain/empty-table': { en: 'The rain table has no rows.', es: 'La tabla de lluvia no tiene filas.' },
  'rain/negative-depth': {
    en: 'A depth of rain is below 0 or missing. A gap is not a dry hour.',
    es: 'Una lámina de lluvia es menor que 0 o falta. Un hueco no es una hora seca.',
  },
  'rain/no-steps': { en: 'The record holds no reading.', es: 'El registro no tiene ninguna lectura.' },
  'rain/not-a-number': { en: 'The depth of rain is not a number.', es: 'La lámina de lluvia no es un número.' },
  'rain/outside-storm': { en: 'The time lies outside the storm’s 24 hours.', es: 'El tiempo cae fuera de las 24 horas del aguacero.' },
  'rain/outside-table': {
    en: 'The rain table does not cover the chosen storm[ ({duration_h} with a chance of {chancePerYear})], and nothing is guessed beyond it. Bring a table that does, or choose another storm.',
    es: 'La tabla de lluvia no cubre el aguacero elegido[ ({duration_h}, con probabilidad de {chancePerYear})], y nada se inventa más allá. Traiga una tabla que lo cubra, o elija otro aguacero.',
  },
  'runoff/exceeds-rain': {
    en: 'More water is said to run off than fell as rain. Check both numbers.',
    es: 'Se dice que escurre más agua de la que llovió. Revise los dos números.',
  },
  'runoff/none': {
    en: 'A storm without runoff tells no runoff number. Take a storm that ran off.',
    es: 'Un aguacero sin escorrentía no da ningún número de escurrimiento. Tome un aguacero que haya escurrido.',
  },
  'soak/bad-intake': { en: 'The soaking rate must be 0 or more.', es: 'La tasa de infiltración debe ser 0 o más.' },
  'soak/bad-levels': {
    en: 'The table of levels must begin at 0 and rise, with areas of 0 or more.',
    es: 'La tabla de niveles debe empezar en 0 y subir, con áreas de 0 o más.',
  },
  'soak/bad-time': { en: 'The time to empty must be above 0.', es: 'El tiempo de vaciado debe ser mayor que 0.' },
  'soak/level-outside': { en: 'The water stands outside the given levels.', es: 'El agua está fuera de los niveles dados.' },
  'soil/bad-parameters': {
    en: 'The numbers of the soil cannot be used: the rate must be above 0, the suction 0 or more.',
    es: 'Los números del suelo no sirven: la tasa debe ser mayor que 0, la succión 0 o más.',
  },
  'soil/bad-plan': {
    en: 'A size of the ditch for the soil question cannot be used. Give its depth, length and water depth.',
    es: 'Una medida de la zanja para la pregunta del suelo no sirve. Dé hondura, largo y altura del agua.',
  },
  'soil/bad-saturation': {
    en: 'The wetness of the soil must be from 0 (dry) to 1 (wet through).',
    es: 'La humedad del suelo debe ir de 0 (seco) a 1 (empapado).',
  },
  'soil/bad-test': {
    en: 'A soak test’s readings cannot be used: the numbers must be above 0 and the water must have fallen.',
    es: 'Las lecturas de una prueba de infiltración no sirven: los números deben ser mayores que 0 y el agua debe haber bajado.',
  },
  'soil/bad-time': { en: 'A time or a soaked depth must be 0 or more.', es: 'Un tiempo o una lámina infiltrada debe ser 0 o más.' },
  'soil/unknown-texture': {
    en: 'That soil texture is not in the tables. Choose one of the list.',
    es: 'Esa textura de suelo no está en las tablas. Elija una de la lista.',
  },
  'travel/bad-measure': {
    en: 'A length, slope or depth for the time of flow cannot be used. Give numbers above 0.',
    es: 'Un largo, pendiente o lámina para el tiempo de recorrido no sirve. Dé números mayores que 0.',
  },
  'travel/no-stretches': { en: 'The way of the water has no stretch.', es: 'El camino del agua no tiene ningún tramo.' },
} as const satisfies Readonly<Record<string, Sentence>>
