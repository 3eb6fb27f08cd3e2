import type {
  Crosser,
  DigPhaseCode,
  DO_NOT,
  IN_STORM,
  InspectionTime,
  LEVEL_TOOLS,
  PlantZoneCode,
  RainAfterPhase,
  StakeKind,
} from 'soakline/plan'
import type { Sentence } from './templates.js'

type Names<K extends string> = Readonly<Record<K, Sentence>>

/** Steps of the digging, in order. */
const DIG_PHASES = {
  'ask-and-mark': { en: 'Ask, mark and stake out the line.', es: 'Pregunte, marque y estaque la línea.' },
  'make-spill': { en: 'Make the spill first, in ground that was not dug.', es: 'Haga primero el vertedero, en suelo sin remover.' },
  'strip-turf': {
    en: 'Take off turf and topsoil where ditch and berm will be, and stack them uphill.',
    es: 'Quite el césped y la tierra buena donde irán zanja y camellón, y amontónelos cuesta arriba.',
  },
  scarify: {
    en: 'Roughen the ground under the berm, so that the loose soil grips.',
    es: 'Raspe el suelo debajo del camellón para que la tierra suelta agarre.',
  },
  'dig-from-spill': {
    en: 'Dig from the spill outward, stretch by stretch, and heap the soil downhill.',
    es: 'Cave desde el vertedero hacia afuera, tramo por tramo, y amontone la tierra cuesta abajo.',
  },
  'turn-ends-uphill': {
    en: 'Turn the ends uphill and close them.',
    es: 'Doble los extremos cuesta arriba y ciérrelos.',
  },
  'set-levels': { en: 'Check bed, crest and sill with an instrument.', es: 'Revise con instrumento fondo, corona y vertedero.' },
  'lay-crossings': { en: 'Lay the crossings.', es: 'Haga los pasos para cruzar.' },
  'cover-and-plant': { en: 'Cover the bare soil and plant it.', es: 'Cubra el suelo desnudo y plántelo.' },
  'wait-for-grass': {
    en: 'Wait until the grass stands before much water is let in.',
    es: 'Espere a que el pasto esté firme antes de dejar entrar mucha agua.',
  },
} as const satisfies Names<DigPhaseCode>

/** What rain does after a step. */
const RAIN_AFTER = {
  'nothing-moved': { en: 'Rain does no harm: no soil was moved.', es: 'La lluvia no daña: no se movió tierra.' },
  'spill-stands-alone': { en: 'Rain does no harm: the spill stands by itself.', es: 'La lluvia no daña: el vertedero queda solo.' },
  'turf-stacked-uphill-runs-through': {
    en: 'Rain runs through: leave gaps in the stacked turf.',
    es: 'La lluvia pasa de largo: deje huecos en el césped amontonado.',
  },
  'dug-part-runs-to-spill-close-end-each-evening': {
    en: 'What is dug runs to the spill. Close its end every evening.',
    es: 'Lo cavado escurre al vertedero. Cierre su punta cada tarde.',
  },
  'closed-and-spills': { en: 'The ditch is closed and spills where it should.', es: 'La zanja está cerrada y rebalsa donde debe.' },
  'bare-keep-inflow-off': { en: 'The soil is bare: keep water out.', es: 'El suelo está desnudo: no deje entrar agua.' },
  grassed: { en: 'Grass holds the soil.', es: 'El pasto sostiene el suelo.' },
} as const satisfies Names<RainAfterPhase>

const CROSSERS = {
  barrow: { en: 'wheelbarrow', es: 'carretilla' },
  stock: { en: 'stock', es: 'ganado' },
  machine: { en: 'machine', es: 'máquina' },
} as const satisfies Names<Crosser>

const PLANT_ZONES = {
  'erosion-strip': { en: 'grass strip above the ditch', es: 'barrera de pasto arriba de la zanja' },
  bed: { en: 'bed', es: 'fondo' },
  'wet-edge': { en: 'wet side of the berm', es: 'lado mojado del camellón' },
  crest: { en: 'crest of the berm', es: 'corona del camellón' },
  'dry-edge': { en: 'dry side of the berm', es: 'lado seco del camellón' },
  'soak-zone': { en: 'ground below the berm', es: 'suelo abajo del camellón' },
  spill: { en: 'spill', es: 'vertedero' },
} as const satisfies Names<PlantZoneCode>

/** What nobody may do in a storm. */
const NOT_IN_STORM = {
  'stand-on-berm': { en: 'Do not stand on the berm or below it.', es: 'No se pare en el camellón ni abajo de él.' },
  'cross-at-spill': { en: 'Do not cross at the spill.', es: 'No cruce por el vertedero.' },
  'block-spill': { en: 'Do not block the spill.', es: 'No tape el vertedero.' },
  'cut-berm-elsewhere': { en: 'Do not cut the berm anywhere.', es: 'No corte el camellón en ninguna parte.' },
  'let-children-near': { en: 'Keep children away.', es: 'No deje acercarse a los niños.' },
  'go-alone-at-night': { en: 'Do not go alone at night.', es: 'No vaya solo de noche.' },
} as const satisfies Names<(typeof DO_NOT)[number]>

/** What to do when the water rises toward the crest, in order. */
const DO_IN_STORM = {
  'clear-sill': {
    en: 'Take branches and grass off the sill, from its side, if you can do so without danger.',
    es: 'Quite ramas y pasto del vertedero, desde un lado, si puede hacerlo sin peligro.',
  },
  'open-notch': {
    en: 'Open the notch at the spill, never the berm.',
    es: 'Abra la muesca en el vertedero, nunca el camellón.',
  },
  'warn-below': { en: 'Warn everybody below.', es: 'Avise a todos los de abajo.' },
  leave: { en: 'Then go away from the ditch, to the side and uphill.', es: 'Después aléjese de la zanja, de lado y cuesta arriba.' },
} as const satisfies Names<(typeof IN_STORM)[number]>

const INSPECTION_TIMES = {
  'after-storm': { en: 'after each storm', es: 'después de cada aguacero' },
  'before-wet-season': { en: 'before the wet season', es: 'antes de las lluvias' },
  'growing-season': { en: 'in the growing season', es: 'en época de crecimiento' },
  'dry-season': { en: 'in the dry season', es: 'en época seca' },
  'first-year': { en: 'in the first year', es: 'en el primer año' },
  'each-year': { en: 'each year', es: 'cada año' },
} as const satisfies Names<InspectionTime>

/** What is looked at: `INSPECTION_LIST`. */
const INSPECTIONS: Names<string> = {
  'sill-level-and-clear': { en: 'Is the sill level and free?', es: '¿Está el vertedero a nivel y libre?' },
  'ground-below-spill-scoured': {
    en: 'Is the ground below the spill washed out?',
    es: '¿Está lavado el suelo debajo del vertedero?',
  },
  'berm-low-slumped-cracked': {
    en: 'Is the berm low, slumped or cracked anywhere?',
    es: '¿Está el camellón bajo, caído o agrietado en algún lugar?',
  },
  'water-marks-on-berm': { en: 'How high do water marks reach on the berm?', es: '¿Hasta dónde llegan las marcas de agua en el camellón?' },
  'seep-below-berm': { en: 'Does water come out below the berm?', es: '¿Sale agua abajo del camellón?' },
  'still-standing-after-days': { en: 'Is water still standing after days?', es: '¿Queda agua después de varios días?' },
  'sediment-a-quarter-full': {
    en: 'Is a quarter of the ditch full of silt? Then clean it out.',
    es: '¿Está la zanja llena de sedimento en una cuarta parte? Entonces límpiela.',
  },
  'burrows-filled': { en: 'Are there burrows? Fill them in.', es: '¿Hay cuevas de animales? Tápelas.' },
  'ends-bypassed': { en: 'Did water run round the ends?', es: '¿Pasó agua rodeando los extremos?' },
  'levels-after-settling': {
    en: 'Are crest and sill at their level after settling? Check with an instrument.',
    es: '¿Están corona y vertedero en su nivel después de asentarse? Revise con instrumento.',
  },
  'grass-thick': { en: 'Is the grass thick everywhere?', es: '¿Está tupido el pasto en todas partes?' },
  'woody-at-spill-pulled': {
    en: 'Is anything woody growing at the spill? Pull it out.',
    es: '¿Crece algo leñoso en el vertedero? Arránquelo.',
  },
  'mulch-out-of-bed': {
    en: 'Is loose mulch in the bed or at the spill? Take it out.',
    es: '¿Hay cobertura suelta en el fondo o el vertedero? Sáquela.',
  },
  'stock-fenced-off': { en: 'Is stock fenced off?', es: '¿Está cercado el ganado afuera?' },
  'new-buildings-below': {
    en: 'Was anything built below? Then check the whole plan again.',
    es: '¿Se construyó algo abajo? Entonces revise otra vez todo el plan.',
  },
}

const TOOLS = {
  'a-frame': { en: 'A-frame', es: 'nivel A' },
  'water-level': { en: 'water level', es: 'manguera de nivel' },
  'rotating-laser': { en: 'rotating laser', es: 'láser giratorio' },
  'optical-level': { en: 'optical level', es: 'nivel óptico' },
  'string-level': { en: 'string level', es: 'nivel de cuerda' },
  phone: { en: 'phone', es: 'teléfono' },
} as const satisfies Names<(typeof LEVEL_TOOLS)[number]['tool']>

/** What a stake stands for. */
const STAKES = {
  start: { en: 'start of the line', es: 'comienzo de la línea' },
  end: { en: 'end of the line', es: 'final de la línea' },
  step: { en: 'between', es: 'intermedia' },
  bend: { en: 'bend', es: 'curva' },
  spill: { en: 'spill', es: 'vertedero' },
  'sill-end': { en: 'end of the sill', es: 'extremo del vertedero' },
  'check-bank': { en: 'check bank in the ditch', es: 'dique en la zanja' },
} as const satisfies Names<StakeKind>

/** Names of the work on the ground, by what they are of. */
export const GROUND_WORK_NAMES = {
  phase: DIG_PHASES,
  rain: RAIN_AFTER,
  stake: STAKES,
  crosser: CROSSERS,
  zone: PLANT_ZONES,
  doNot: NOT_IN_STORM,
  inStorm: DO_IN_STORM,
  time: INSPECTION_TIMES,
  inspection: INSPECTIONS,
  tool: TOOLS,
} as const satisfies Readonly<Record<string, Names<string>>>
