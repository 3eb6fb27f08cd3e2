import type { AsBuiltRemark, Crossing, MatchReason, StormCompared } from 'soakline/plan'
import type { Sentence } from './templates.js'

// What is said of the ditch as it was built, of storms as they were seen, and of plants in their places.

/** Remarks on readings of what was built, each with `chainage_m` and `value_m`. */
export const AS_BUILT_REMARKS = {
  'as-built/berm-below-sill': {
    en: 'The berm is {value_m} lower than the place where it should spill[, {chainage_m:length} along the line]. Water will run over the berm there first. Raise it before any rain.',
    es: 'El camellón queda {value_m} más bajo que el lugar donde debe rebalsar[, a {chainage_m:length} del comienzo de la línea]. Ahí pasará primero el agua sobre el camellón. Súbalo antes de que llueva.',
  },
  'as-built/water-over-berm': {
    en: 'In the storm the water would stand {value_m} over the berm as it was built[, {chainage_m:length} along the line]. Raise the low spot.',
    es: 'En la tormenta el agua quedaría {value_m} sobre el camellón como se hizo[, a {chainage_m:length} del comienzo de la línea]. Suba ese lugar bajo.',
  },
  'as-built/sill-higher': {
    en: 'The sill was built {value_m} higher than planned: less berm is left above the water. Lower it, or raise the berm by as much.',
    es: 'El vertedero quedó {value_m} más alto de lo previsto: queda menos camellón sobre el agua. Bájelo, o suba el camellón otro tanto.',
  },
  'as-built/sill-lower': {
    en: 'The sill was built {value_m} lower than planned: the ditch keeps less water.',
    es: 'El vertedero quedó {value_m} más bajo de lo previsto: la zanja guarda menos agua.',
  },
  'as-built/sill-not-level': {
    en: 'The sill is not level: it differs by {value_m} along its length. Water will run over its low side alone and wash it out.',
    es: 'El vertedero no está a nivel: difiere {value_m} en su largo. El agua pasará solo por el lado bajo y lo lavará.',
  },
  'as-built/gap': {
    en: 'From {chainage_m:length} along the line on, {value_m:length} of the berm were not read. A low spot there is not seen.',
    es: 'Desde {chainage_m:length} del comienzo de la línea, {value_m:length} del camellón no se leyeron. Ahí no se ve un lugar bajo.',
  },
  'as-built/no-crest': {
    en: 'Unknown: the berm’s crest was not read, so nobody can say whether it has low spots.',
    es: 'No se sabe: no se leyó la corona del camellón, así que nadie puede decir si tiene lugares bajos.',
  },
  'as-built/no-sill': {
    en: 'Unknown: the sill was not read, so the planned one was taken.',
    es: 'No se sabe: no se leyó el vertedero; se tomó el previsto.',
  },
  'as-built/fresh-berm': {
    en: 'The berm is fresh and will settle. Its levels were lowered by what it is expected to lose; read them again after the first rains.',
    es: 'El camellón está fresco y se va a asentar. Sus niveles se bajaron lo que se espera que pierda; léalos otra vez después de las primeras lluvias.',
  },
} as const satisfies Readonly<Record<AsBuiltRemark['code'], Sentence>>

/** A storm that was seen against what was predicted for its rain. */
export const STORM_COMPARED = {
  'log/no-rain': {
    en: 'Unknown: the rain of this storm was not measured, so it says nothing about the plan.',
    es: 'No se sabe: la lluvia de este aguacero no se midió, así que no dice nada del plan.',
  },
  'log/nothing-seen': {
    en: 'Unknown: nobody wrote down how high the water stood or whether it spilled.',
    es: 'No se sabe: nadie anotó hasta dónde subió el agua ni si rebalsó.',
  },
  'log/within-spread': {
    en: 'What was seen lies within what was predicted for this rain.',
    es: 'Lo que se vio queda dentro de lo previsto para esta lluvia.',
  },
  'log/more-water-than-predicted': {
    en: 'The water stood {waterOff_m} higher than predicted: more water comes than was counted. Look for water from beyond the ridge, and check the spill again.',
    es: 'El agua subió {waterOff_m} más de lo previsto: llega más agua de la contada. Busque agua de más allá del filo y revise otra vez el vertedero.',
  },
  'log/less-water-than-predicted': {
    en: 'Less water stood in the ditch than was predicted for this rain. The ground may have been dry; one storm says little.',
    es: 'En la zanja hubo menos agua de la prevista para esta lluvia. Quizá el suelo estaba seco; un aguacero dice poco.',
  },
  'log/spilled-unexpectedly': {
    en: 'It spilled although the plan said that it would not: more water comes than was counted, or the ditch holds less. Check both before the next storm.',
    es: 'Rebalsó aunque el plan decía que no: llega más agua de la contada, o la zanja guarda menos. Revise las dos cosas antes del próximo aguacero.',
  },
  'log/did-not-spill': {
    en: 'It did not spill although the plan said that it would. The ground may have been dry; do not rely on it.',
    es: 'No rebalsó aunque el plan decía que sí. Quizá el suelo estaba seco; no cuente con eso.',
  },
} as const satisfies Readonly<Record<StormCompared['because'], Sentence>>

/** What speaks against a plant in a place, as parts of a sentence. */
export const PLANT_REASONS = {
  'plant/woody-at-spill': { en: 'nothing woody may grow at the spill', es: 'en el vertedero no debe crecer nada leñoso' },
  'plant/woody-in-bed': { en: 'woody growth in the bed holds the water back', es: 'lo leñoso en el fondo frena el agua' },
  'plant/trees-kept-off-berm': { en: 'trees are kept off the berm', es: 'en el camellón no van árboles' },
  'plant/tree-on-berm': {
    en: 'a tree on the berm: its roots and its fall can open it',
    es: 'un árbol en el camellón: sus raíces y su caída lo pueden abrir',
  },
  'plant/deep-drainage-on-berm': {
    en: 'it wants deeper drained soil than a berm gives',
    es: 'pide suelo drenado más hondo de lo que da un camellón',
  },
  'plant/under-water-too-long': { en: 'it would stand under water too long', es: 'quedaría demasiado tiempo bajo agua' },
  'plant/water-unknown': {
    en: 'how long it would stand under water is not known',
    es: 'no se sabe cuánto tiempo quedaría bajo agua',
  },
  'plant/too-little-drained': { en: 'too little drained soil lies above the water', es: 'queda muy poco suelo drenado sobre el agua' },
  'plant/drained-depth-unknown': {
    en: 'how deep the soil drains there is not known',
    es: 'no se sabe hasta qué hondura drena ahí el suelo',
  },
  'plant/wider-than-zone': { en: 'it grows much wider than the place', es: 'crece mucho más ancho que el lugar' },
  'plant/too-shady': { en: 'it wants more sun than this face gets', es: 'pide más sol del que recibe esta cara' },
  'plant/hot-face': { en: 'this face is hot in the afternoon', es: 'esta cara es caliente por la tarde' },
  'plant/dry-above-water': { en: 'it wants wet feet, and this place is dry', es: 'pide el pie mojado, y este lugar es seco' },
} as const satisfies Readonly<Record<MatchReason, Sentence>>

/** Why a crossing cannot lie where it was wished. */
export const CROSSING_REFUSED = {
  'crossing/at-spill': {
    en: 'It would lie on the sill or beside it. Nobody crosses at the spill: choose a place further off.',
    es: 'Quedaría sobre el vertedero o junto a él. Por el vertedero no cruza nadie: elija un lugar más lejos.',
  },
  'crossing/beyond-line': {
    en: 'It would reach beyond the end of the line. Choose a place on it.',
    es: 'Quedaría más allá del final de la línea. Elija un lugar sobre ella.',
  },
} as const satisfies Readonly<Record<NonNullable<Crossing['refused']>, Sentence>>
