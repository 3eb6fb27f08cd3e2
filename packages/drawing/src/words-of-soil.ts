import type { Sentence } from './templates.js'

// What pits, tests and the walk say of the soil: sentences for the reasons of `soilDecision`, and the next step for each.

/** A thing seen on the walk; from further away it is told with its distance and nothing more. */
const seen = (near: Sentence, thing: Sentence, sense: Sentence): Sentence => ({
  ...near,
  when: {
    key: 'far',
    is: {
      true: {
        en: `A thing seen {distance_m:length?far} from the line: ${thing.en}. ${sense.en}`,
        es: `Visto a {distance_m:length?distancia} de la línea: ${thing.es}. ${sense.es}`,
      },
    },
  },
})
const MAY_REACH: Sentence = {
  en: 'It does not decide here, but ground like this may reach further.',
  es: 'Aquí no decide, pero un suelo así puede llegar más lejos.',
}
const MAY_TURN: Sentence = {
  en: 'It does not decide here, but look where its water goes.',
  es: 'Aquí no decide, pero mire a dónde va su agua.',
}

export const SOIL_FINDINGS = {
  'soil/few-pits': {
    en: 'Unknown: {dug} test pit(s) for a line of {lineLength_m:length}. Dig at least {wanted}, better {best}; the soil between them may be different.',
    es: 'No se sabe: {dug} calicata(s) para una línea de {lineLength_m:length}. Cave al menos {wanted}, mejor {best}; entre una y otra el suelo puede ser distinto.',
  },
  'soil/pits-enough': {
    en: 'There are {dug} test pits for a line of {lineLength_m:length}; at least {wanted} were wanted.',
    es: 'Hay {dug} calicatas para una línea de {lineLength_m:length}; se pedían al menos {wanted}.',
  },
  'soil/long-stretch-without-pit': {
    en: 'There is a stretch of {longest_m:length} without a test pit; usual is {limit_m:length} at most. Dig one in its middle.',
    es: 'Hay un tramo de {longest_m:length} sin calicata; lo usual es {limit_m:length} como mucho. Cave una a la mitad.',
  },
  'soil/pit-off-line': {
    en: 'A test pit lies {distance_m:length} from the line, more than {limit_m:length}. It tells of other ground and does not count here.',
    es: 'Una calicata está a {distance_m:length} de la línea, más de {limit_m:length}. Habla de otro terreno y aquí no cuenta.',
  },
  'soil/pit-too-shallow': {
    en: 'Unknown: a test pit is only {depth_m} deep. Dig it down to {wanted_m}, below the planned bed, to see if water or rock lies there.',
    es: 'No se sabe: una calicata tiene solo {depth_m} de hondo. Cávela hasta {wanted_m}, bajo el fondo previsto, para ver si ahí hay agua o roca.',
  },
  'soil/water-not-noted': {
    en: 'Unknown: nobody wrote down if there is water in a test pit. Look again after a day, down to {wanted_m}.',
    es: 'No se sabe: nadie anotó si hay agua en una calicata. Mire otra vez al día siguiente, hasta {wanted_m}.',
  },
  'soil/mottling-not-noted': {
    en: 'Unknown: nobody wrote down if the soil shows rust and gray spots. They tell how high the water stands in the wet season.',
    es: 'No se sabe: nadie anotó si el suelo tiene manchas de óxido y gris. Ellas dicen hasta dónde sube el agua en época de lluvia.',
  },
  'soil/rock-not-noted': {
    en: 'Unknown: nobody wrote down if a test pit meets rock or hardpan, down to {wanted_m}.',
    es: 'No se sabe: nadie anotó si una calicata topa con roca o capa dura, hasta {wanted_m}.',
  },
  'soil/water-near': {
    en: 'Water stands {clearance_m} below the bed; {limit_m} is wanted. The ditch would not soak away. Lead the water off, or choose drier ground.',
    es: 'El agua está {clearance_m} bajo el fondo; se piden {limit_m}. La zanja no infiltraría. Lleve el agua a otro lado o busque terreno más seco.',
  },
  'soil/mottling-near': {
    en: 'Rust and gray spots begin at {depth_m}: in the wet season water stands within {limit_m} of the bed. Lead the water off rather than soak it.',
    es: 'Las manchas de óxido y gris empiezan a {depth_m}: en lluvias el agua queda a menos de {limit_m} del fondo. Lleve el agua a otro lado en vez de infiltrarla.',
  },
  'soil/rock-near': {
    en: 'Rock lies {clearance_m} below the bed; {limit_m} is wanted. Water would run along the rock and come out somewhere below.',
    es: 'La roca está {clearance_m} bajo el fondo; se piden {limit_m}. El agua correría sobre la roca y saldría más abajo.',
  },
  'soil/water-above-bed': {
    en: 'Don’t dig: water stands at {depth_m}, above the planned bed at {bedDepth_m}.',
    es: 'No cave: el agua está a {depth_m}, por encima del fondo previsto a {bedDepth_m}.',
  },
  'soil/rock-above-bed': {
    en: 'Don’t dig: rock lies at {depth_m}, above the planned bed at {bedDepth_m}.',
    es: 'No cave: la roca está a {depth_m}, por encima del fondo previsto a {bedDepth_m}.',
  },
  'soil/clearance-holds': {
    en: 'No water, rust spots or rock were met within {limit_m} below the bed in this pit.',
    es: 'En esta calicata no se halló agua, manchas de óxido ni roca a menos de {limit_m} bajo el fondo.',
  },
  'soil/texture-not-noted': {
    en: 'Unknown: the texture of the soil at the bed, {bedDepth_m} down, and below it is not written down.',
    es: 'No se sabe: falta anotar la textura del suelo en el fondo, a {bedDepth_m}, y más abajo.',
  },
  'soil/clay-below-bed': {
    en: 'A layer of clay begins {below_m} below the bed. Water can stand on it and travel tens of meters before it comes out.',
    es: 'Una capa de arcilla empieza {below_m} bajo el fondo. El agua puede quedarse encima y andar decenas de metros antes de salir.',
  },
  'soil/steep-clay': {
    en: 'Don’t dig yet: clay on a slope of {slope_ratio}. Water soaked into steep clay can make it slide. Ask someone who judges slopes.',
    es: 'No cave todavía: arcilla en una pendiente de {slope_ratio}. El agua en arcilla empinada puede hacerla deslizar. Pregunte a quien sepa de taludes.',
  },
  'soil/crumbs-not-tested': {
    en: 'Unknown: no crumb test. Drop pea-sized dry crumbs from the depth of the bed into rainwater; look after 10 minutes and after 2 hours.',
    es: 'No se sabe: falta la prueba del terrón. Ponga terroncitos secos, del fondo previsto, en agua de lluvia; mire a los 10 minutos y a las 2 horas.',
  },
  'soil/slightly-dispersive': {
    en: 'Unknown: the crumbs cloud the water a little. Repeat the test, or have a laboratory look at the soil, before water is to stand here.',
    es: 'No se sabe: los terrones enturbian un poco el agua. Repita la prueba, o mande el suelo a un laboratorio, antes de dejar agua aquí.',
  },
  'soil/dispersive': {
    en: 'The crumbs make a milky cloud: this soil melts in water. Let no water stand on it, make no sill of it, and leave no ditch in it bare.',
    es: 'Los terrones hacen una nube lechosa: este suelo se deshace en agua. No deje agua encima, no haga de él un vertedero ni deje zanja sin cubrir.',
  },
  'soil/slakes': {
    en: 'The crumbs fall apart without clouding the water. The bed will seal and the berm will wash: mulch and plant at once.',
    es: 'Los terrones se deshacen sin enturbiar el agua. El fondo se sella y el camellón se lava: cubra y siembre enseguida.',
  },
  'soil/cracks': {
    en: 'A test pit shows cracks. Dry clay swallows water through cracks at first and hardly any once wet; through cracks a berm can leak.',
    es: 'Una calicata muestra grietas. La arcilla seca traga agua por las grietas al principio y casi nada ya mojada; por ellas un camellón puede fugar.',
  },
  'soil/seen-slip': seen(
    {
      en: 'Don’t dig yet: a landslip was seen here. Water can set it moving. Ask someone who judges slopes.',
      es: 'No cave todavía: aquí se vio un derrumbe. El agua puede moverlo otra vez. Pregunte a quien sepa de taludes.',
    },
    { en: 'a landslip', es: 'un derrumbe' },
    MAY_REACH,
  ),
  'soil/seen-ground-crack': seen(
    {
      en: 'Don’t dig yet: cracks across the slope were seen. The ground may be moving. Ask someone who judges slopes.',
      es: 'No cave todavía: se vieron grietas a lo ancho de la ladera. El suelo puede estar moviéndose. Pregunte a quien sepa de taludes.',
    },
    { en: 'cracks across the slope', es: 'grietas a lo ancho de la ladera' },
    MAY_REACH,
  ),
  'soil/seen-hummocks': seen(
    {
      en: 'Don’t dig yet: the ground is lumpy, as old slips leave it. Ask someone who judges slopes.',
      es: 'No cave todavía: el terreno tiene bultos, como los deja un derrumbe viejo. Pregunte a quien sepa de taludes.',
    },
    { en: 'lumpy ground, as old slips leave it', es: 'terreno con bultos, como los deja un derrumbe viejo' },
    MAY_REACH,
  ),
  'soil/seen-leaning-trees': seen(
    {
      en: 'Don’t dig yet: leaning trees were seen. The ground may be creeping. Ask someone who judges slopes.',
      es: 'No cave todavía: se vieron árboles inclinados. El suelo puede estar bajando poco a poco. Pregunte a quien sepa de taludes.',
    },
    { en: 'leaning trees', es: 'árboles inclinados' },
    MAY_REACH,
  ),
  'soil/seen-seep': seen(
    {
      en: 'Don’t dig yet: water comes out of the slope here. The ground is wet already.',
      es: 'No cave todavía: aquí sale agua de la ladera. El suelo ya está mojado.',
    },
    { en: 'water that comes out of the slope', es: 'agua que sale de la ladera' },
    MAY_REACH,
  ),
  'soil/seen-tunnel-hole': seen(
    {
      en: 'Don’t dig: holes were seen that water has washed out under the ground. A ditch would feed them.',
      es: 'No cave: se vieron huecos que el agua lavó bajo tierra. Una zanja los alimentaría.',
    },
    { en: 'holes that water has washed out under the ground', es: 'huecos que el agua lavó bajo tierra' },
    MAY_REACH,
  ),
  'soil/seen-pipe': seen(
    {
      en: 'Unknown: an old pipe or drain was seen. Find both of its ends first; it may carry the water anywhere.',
      es: 'No se sabe: se vio un tubo o drenaje viejo. Busque primero sus dos puntas; puede llevar el agua a cualquier parte.',
    },
    { en: 'an old pipe or drain', es: 'un tubo o drenaje viejo' },
    MAY_TURN,
  ),
  'soil/seen-cracked-clay': seen(
    {
      en: 'Cracked clay was seen. After a drought the first rain runs down the cracks, and a berm of it can leak.',
      es: 'Se vio arcilla agrietada. Tras la sequía la primera lluvia se va por las grietas, y un camellón así puede fugar.',
    },
    { en: 'cracked clay', es: 'arcilla agrietada' },
    MAY_REACH,
  ),
  'soil/seen-stock-path': seen(
    {
      en: 'A stock path was seen. It can carry water that the height data does not show.',
      es: 'Se vio un camino de ganado. Puede llevar agua que los datos de altura no muestran.',
    },
    { en: 'a stock path', es: 'un camino de ganado' },
    MAY_TURN,
  ),
  'soil/seen-roof-water': seen(
    {
      en: 'Water from a roof comes in here. It is not counted in the catchment.',
      es: 'Aquí entra agua de un techo. No está contada en la cuenca.',
    },
    { en: 'water from a roof', es: 'agua de un techo' },
    MAY_TURN,
  ),
  'soil/seen-track-water': seen(
    {
      en: 'Water from a track comes in here. It is not counted in the catchment.',
      es: 'Aquí entra agua de un camino. No está contada en la cuenca.',
    },
    { en: 'water from a track', es: 'agua de un camino' },
    MAY_TURN,
  ),
  'intake/unknown': {
    en: 'Unknown: neither {wantedTests} soak tests nor the texture at the bed are known, so no soaking is counted on.',
    es: 'No se sabe: no hay {wantedTests} pruebas de infiltración ni la textura del fondo; no se cuenta con que el agua se infiltre.',
  },
  'intake/half-slowest-test': {
    en: 'Counted on: half the slowest of the soak tests, {intake_mmh} an hour, through the bed alone.',
    es: 'Se cuenta con la mitad de la prueba más lenta, {intake_mmh} por hora, solo por el fondo.',
  },
  'intake/lowest-published': {
    en: 'Counted on: the lowest value published for this soil, {intake_mmh} an hour, through the bed alone. Three tests in the ground are better.',
    es: 'Se cuenta con el valor publicado más bajo para este suelo, {intake_mmh} por hora, solo por el fondo. Tres pruebas en el terreno son mejor.',
  },
  'intake/few-tests-lower': {
    en: 'Counted on: half the slowest of too few tests, {intake_mmh} an hour, since it is below all that is published for this soil.',
    es: 'Se cuenta con la mitad de la más lenta de muy pocas pruebas, {intake_mmh} por hora, porque está por debajo de todo lo publicado para este suelo.',
  },
  'intake/test-not-at-bed': {
    en: 'A soak test of {intake_mmh} an hour does not count[: it was made at {depth_m}]. The bed lies at {bedDepth_m}, and only tests made there, with their depth written down, tell of it.',
    es: 'Una prueba de {intake_mmh} por hora no cuenta[: se hizo a {depth_m}]. El fondo está a {bedDepth_m}, y solo hablan de él las pruebas hechas ahí, con su hondura anotada.',
  },
  'soak/in-time': {
    en: 'The ditch is empty after {emptying_h}; {limit_h} at most are wanted. Counted on: {intake_mmh} an hour.',
    es: 'La zanja queda vacía en {emptying_h}; se piden {limit_h} como mucho. Se cuenta con {intake_mmh} por hora.',
  },
  'soak/too-slow': {
    en: 'This soil will not soak in time: it takes {intake_mmh} an hour and {needed_mmh} is needed (a test of {neededTest_mmh}). Lead the water off in a graded drain, or don’t dig.',
    es: 'Este suelo no infiltra a tiempo: toma {intake_mmh} por hora y hacen falta {needed_mmh} (una prueba de {neededTest_mmh}). Lleve el agua por una zanja de desviación, o no cave.',
  },
  'soak/tests-decide': {
    en: 'Unknown: what is published for this soil is too far apart. {wantedTests} soak tests at the bed decide; the slowest has to show {neededTest_mmh} an hour.',
    es: 'No se sabe: lo publicado para este suelo varía demasiado. Deciden {wantedTests} pruebas en el fondo; la más lenta debe dar {neededTest_mmh} por hora.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

const DIG_PITS: Sentence = {
  en: 'Dig the missing pits, and write down in each: texture, rust spots, water, rock, the crumb test and the soak tests.',
  es: 'Cave las calicatas que faltan y anote en cada una: textura, manchas de óxido, agua, roca, prueba del terrón y pruebas de infiltración.',
}
const LOOK_IN_PIT: Sentence = {
  en: 'Go back to the pit, look, and write down what you see, also when there is nothing.',
  es: 'Vuelva a la calicata, mire y anote lo que ve, también cuando no hay nada.',
}
const LEAD_AWAY: Sentence = {
  en: 'Plan a ditch that falls[ {drainFall_ratio}] to a chosen outlet, or leave the place as it is.',
  es: 'Planee una zanja de desviación que baje[ {drainFall_ratio}] a una salida elegida, o deje el lugar como está.',
}
const OTHER_PLACE: Sentence = {
  en: 'Leave this place as it is, and look for one where the pit is dry and deep soil.',
  es: 'Deje este lugar como está y busque otro donde la calicata dé suelo seco y hondo.',
}
const JUDGE_SLOPE: Sentence = {
  en: 'Have the slope looked at by a person who judges slopes, before any water is held on it.',
  es: 'Haga que vea la ladera una persona que sepa de taludes, antes de retener agua en ella.',
}
const COVER: Sentence = {
  en: 'Keep the soil covered, the berm low and the water shallow, and look after each storm for leaks.',
  es: 'Mantenga el suelo cubierto, el camellón bajo y poca agua, y después de cada aguacero busque fugas.',
}
const FOLLOW_WATER: Sentence = {
  en: 'Follow this water in rain, and lead it where you want it before you dig.',
  es: 'Siga esta agua con lluvia, y llévela a donde la quiera antes de cavar.',
}
const TEST_SOAKING: Sentence = {
  en: 'Make at least three soak tests at the depth of the bed, in soil that is already wet.',
  es: 'Haga al menos tres pruebas de infiltración a la hondura del fondo, en suelo ya mojado.',
}
const KEEP_WATCH: Sentence = {
  en: 'Dig another pit where the soil or the plants change along the line.',
  es: 'Cave otra calicata donde cambien el suelo o las plantas a lo largo de la línea.',
}

/** What to do next about each. */
export const SOIL_NEXT = {
  'soil/few-pits': DIG_PITS,
  'soil/pits-enough': KEEP_WATCH,
  'soil/long-stretch-without-pit': DIG_PITS,
  'soil/pit-off-line': DIG_PITS,
  'soil/pit-too-shallow': DIG_PITS,
  'soil/water-not-noted': LOOK_IN_PIT,
  'soil/mottling-not-noted': LOOK_IN_PIT,
  'soil/rock-not-noted': LOOK_IN_PIT,
  'soil/water-near': LEAD_AWAY,
  'soil/mottling-near': LEAD_AWAY,
  'soil/rock-near': LEAD_AWAY,
  'soil/water-above-bed': OTHER_PLACE,
  'soil/rock-above-bed': OTHER_PLACE,
  'soil/clearance-holds': KEEP_WATCH,
  'soil/texture-not-noted': LOOK_IN_PIT,
  'soil/clay-below-bed': {
    en: 'Look below the line, after long rain, for wet spots where this water comes out; walk down to the buildings.',
    es: 'Después de lluvias largas busque abajo de la línea mojadales por donde salga esta agua; camine hasta las construcciones.',
  },
  'soil/steep-clay': JUDGE_SLOPE,
  'soil/crumbs-not-tested': {
    en: 'Make the crumb test with soil from the depth of the bed, and write down what the water looks like.',
    es: 'Haga la prueba del terrón con suelo del fondo previsto y anote cómo queda el agua.',
  },
  'soil/slightly-dispersive': {
    en: 'Repeat the crumb test with rainwater, or send the soil to a laboratory and ask whether it disperses.',
    es: 'Repita la prueba del terrón con agua de lluvia, o mande el suelo a un laboratorio y pregunte si se dispersa.',
  },
  'soil/dispersive': {
    en: 'Leave the place as it is: no bare ditch stands in this soil. Ask someone who knows such soil before you dig anything.',
    es: 'Deje el lugar como está: en este suelo no aguanta ninguna zanja desnuda. Antes de cavar nada, pregunte a quien conozca suelos así.',
  },
  'soil/slakes': COVER,
  'soil/cracks': COVER,
  'soil/seen-slip': JUDGE_SLOPE,
  'soil/seen-ground-crack': JUDGE_SLOPE,
  'soil/seen-hummocks': JUDGE_SLOPE,
  'soil/seen-leaning-trees': JUDGE_SLOPE,
  'soil/seen-seep': {
    en: 'Draw it as wet ground, keep the line away from it, and look where its water comes from.',
    es: 'Dibújelo como suelo mojado, aparte la línea de ahí y busque de dónde viene esa agua.',
  },
  'soil/seen-tunnel-hole': OTHER_PLACE,
  'soil/seen-pipe': FOLLOW_WATER,
  'soil/seen-cracked-clay': COVER,
  'soil/seen-stock-path': FOLLOW_WATER,
  'soil/seen-roof-water': FOLLOW_WATER,
  'soil/seen-track-water': FOLLOW_WATER,
  'intake/unknown': TEST_SOAKING,
  'intake/half-slowest-test': KEEP_WATCH,
  'intake/lowest-published': TEST_SOAKING,
  'intake/few-tests-lower': TEST_SOAKING,
  'intake/test-not-at-bed': TEST_SOAKING,
  'soak/in-time': KEEP_WATCH,
  'soak/too-slow': LEAD_AWAY,
  'soak/tests-decide': TEST_SOAKING,
} as const satisfies Readonly<Record<keyof typeof SOIL_FINDINGS, Sentence>>
