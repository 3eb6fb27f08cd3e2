import type { Words } from './english.js'
import type { Facts } from './facts.js'
import type { Measures } from './measures.js'
import { sayings, texts } from './templates.js'
import { FILE_REMARKS } from './words-of-files.js'
import { LIMIT_FINDINGS, LIMIT_NEXT, LIMIT_REMARKS } from './words-of-limits.js'
import { OPEN_GROUND_REMARKS } from './words-of-open-ground.js'
import { RAIN_REMARKS } from './words-of-rain.js'
import { SITING_FINDINGS, SITING_NEXT, SPILL_REASON_WORDS } from './words-of-siting.js'
import { SOIL_FINDINGS, SOIL_NEXT } from './words-of-soil.js'

const storm = (f: Facts, m: Measures): string => {
  const chance = f.number('chancePerYear')
  const rain = f.number('rain_mm')
  const hours = f.number('duration_h')
  const named = chance === null ? 'El aguacero con que se mide este plan' : `Un aguacero con probabilidad de ${m.chance(chance)}`
  return rain === null || hours === null ? named : `${named}, ${m.depth(rain)} en ${m.duration(hours)},`
}
const building = (f: Facts): string => f.text('name') ?? 'una construcción'
const from = (f: Facts, m: Measures): string => {
  const at = f.number('chainage_m') ?? f.chainage_m
  return at === null ? 'El rebalse' : `El rebalse que sale a ${m.length(at)} del comienzo de la línea`
}

/** Everything that Soakline says, in Spanish, as someone from a hillside would. */
export const spanish: Words = {
  verdict: { holds: 'dentro de límites', watch: 'vigilar', fails: 'no pasa', unknown: 'no se sabe' },

  check: {
    'ground-fit': '¿Sirven los datos de altura?',
    'permissions-asked': '¿Se puede cavar aquí?',
    'line-off-no-go': '¿Está la línea fuera de donde no debe ir una zanja?',
    'cautions-on-line': '¿Debe mirarlo antes quien sepa de taludes?',
    'line-across-flow': '¿Cruza la línea un lugar donde se junta el agua?',
    'soil-soaks': '¿Se bebe el agua este suelo?',
    'catchment-complete': '¿Están en los datos todas las laderas que escurren hacia aquí?',
    'storage-holds-storm': '¿Cuánto guarda la zanja de un aguacero?',
    'spill-carries-peak': '¿Alcanza el vertedero para la tormenta?',
    freeboard: '¿Queda el camellón sobre el agua en todo el largo?',
    'exit-holds': '¿Aguanta el suelo debajo del vertedero?',
    'water-against-fill': '¿Qué tan hondo queda el agua contra tierra suelta?',
    'local-limits': '¿Queda el camellón bajo los límites locales?',
    'spill-place': '¿Hay un lugar donde pueda verter?',
    'overflow-misses-buildings': '¿Llegará el rebalse a una construcción?',
    'overflow-stays-on-holding': '¿Se queda el rebalse en su terreno?',
    'breach-misses-buildings': 'Si el camellón se rompe, ¿qué hay abajo?',
  },

  because: {
    'ground/fine-enough': (f, m) =>
      `Cada celda de los datos de altura mide ${m.length(f.number('cell_m') ?? f.measured)} de ancho; alcanza para ver una zanja con fondo de ${m.length(f.number('bedWidth_m'))}. Marque la línea con este plano; los niveles, con instrumento.`,
    'ground/coarse': (f, m) =>
      `Plano aproximado: cada celda de los datos de altura mide ${m.length(f.number('cell_m') ?? f.measured)} de ancho, más de un tercio del fondo de ${m.length(f.number('bedWidth_m'))}. Sirve para escoger el lugar; los niveles se ponen con instrumento.`,
    'ground/too-coarse': (f, m) =>
      `Cada celda de los datos de altura mide ${m.length(f.number('cell_m') ?? f.measured)} de ancho. Ahí no se ve una zanja con fondo de ${m.length(f.number('bedWidth_m'))}: no se fíe ni de la línea ni de sus niveles.`,
    'ground/error-unknown': () =>
      'No se sabe: nadie ha dicho cuánto pueden fallar las alturas de estos datos. Mientras no se sepa, no se fíe de lo que depende de alturas pequeñas.',
    'ground/surface-model': () =>
      'El ráster parece mostrar copas y techos, no el suelo. Puede servir para elegir un lugar; de él no se toma ningún nivel ni estaca.',
    'ground/steps-too-large': (f, m) =>
      `Las alturas vienen en escalones de ${m.height(f.measured)}, más de un cuarto del camellón. No lo pueden mostrar: no tome de este plano niveles ni estacas.`,
    'ground/slope-too-gentle': (f, m) =>
      `En esta pendiente suave el error de las alturas mueve una línea a nivel ${m.length(f.measured)}; la mitad de la separación entre líneas es ${m.length(f.limit)}. Los datos son muy gruesos para esta pendiente: trace la línea con un instrumento.`,
    'catchment/much-filled': (f, m) =>
      `El ${m.slope(f.measured)} de la cuenca está en hondonadas que hubo que llenar. ${f.number('heldArea_m2') === null ? 'Si se llenan y rebosan o guardan su agua cambia la respuesta' : `Si rebosan, bajan aquí ${m.area(f.number('area_m2'))}; si guardan su agua, ${m.area(f.number('heldArea_m2'))}`}: elija para cada una en Terreno.`,
    'limits/no-ditch': () => 'No se sabe: sin una zanja que se pueda excavar no hay camellón que comparar.',
    'limits/not-looked-up': () => 'No se sabe: nadie ha dicho desde qué altura o volumen la norma local pide un ingeniero con licencia.',
    'limits/under': (f, m) =>
      `El camellón queda ${m.height(f.measured)} sobre su pie del lado de la zanja; la norma local pide ingeniero desde ${m.height(f.limit)}.`,
    'limits/too-high': (f, m) =>
      `El camellón quedaría de ${m.height(f.measured)} de alto. Desde ${m.height(f.limit)} la norma local pide un ingeniero con licencia: quédese en la idea.`,
    'limits/too-much': (f, m) =>
      `La zanja podría guardar ${m.volume(f.measured)}. Desde ${m.volume(f.limit)} la norma local pide un ingeniero con licencia: quédese en la idea.`,
    'permissions/refused': () =>
      'Una de las preguntas sobre quebradas, terreno mojado, permisos, líneas enterradas o vecinos se contestó con una negativa.',
    'permissions/answered': () =>
      'Las preguntas sobre quebradas, suelo mojado, permisos, líneas enterradas y vecinos están marcadas como contestadas. Soakline no ha visto las respuestas.',
    'permissions/not-answered': () =>
      'No se sabe: faltan por contestar las preguntas sobre quebradas, suelo mojado, permisos, líneas enterradas y vecinos. Van antes de cavar.',
    'no-go/none-found': () => 'En lo que se dibujó no se halló motivo contra este lugar. Lo que no se dibujó no se miró.',
    'no-go/on-line': (f, m) => {
      const [begin, end, length] = [f.number('from_m'), f.number('to_m'), f.number('length_m') ?? f.measured]
      const broken = begin !== null && end !== null && length !== null && end - begin > 1.05 * length
      const stretch =
        begin === null || end === null ? '' : `, ${broken ? 'por tramos, ' : ''}entre los ${m.length(begin)} y los ${m.length(end)}`
      return `${m.length(length)} de la línea caen donde no debe ir una zanja${stretch}: ${f.text('reasons') ?? 'no se da el motivo'}.`
    },
    'no-go/features-missing': () =>
      'No se sabe: no se dibujaron construcciones, bosque, suelo mojado, quebradas ni linderos, así que no se pudo descartar ningún lugar.',
    'catchment/complete': (f, m) =>
      `Los datos de altura pasan del filo de la loma por todos lados: ${m.area(f.number('area_m2'))} escurren hacia esta línea.`,
    'catchment/cut-by-edge': (f, m) =>
      `Los datos de altura se acaban antes del filo de la loma. Por lo menos ${m.area(f.number('area_m2'))} escurren hacia esta línea; puede ser mucho más.`,
    'catchment/uncertain-outline': (f, m) =>
      `Contando celda por celda, ${m.area(f.number('area_m2'))} escurren hacia esta línea; el contorno dibujado encierra ${m.area(f.number('polygonArea_m2'))}. Allá arriba el agua se reparte: tome el contorno como un croquis.`,
    'catchment/in-hollow': () =>
      'Parte de la línea está en una hondonada que se llena antes de que el agua siga su camino. Esa agua no se cuenta como recogida por la zanja.',
    'ground/ask-professional': (f, m) =>
      `${m.length(f.number('length_m') ?? f.measured)} de la línea están en suelo donde primero hay que preguntar a un profesional, o mirar el sitio: ${f.text('reasons') ?? 'la razón no se dio'}.`,
    'ground/soil-not-looked-at': () =>
      'No se sabe: en la línea no se halló lugar empinado ni mojado, pero nadie ha dicho si el suelo es arcilla o material suelto de ladera.',
    'ground/no-caution-found': () =>
      'No se halló en la línea motivo para preguntar a un profesional. Eso no dice nada de lo que no se miró: el suelo no se probó.',
    'flow/no-water': () => 'No se sabe: no se halló agua que escurra hacia esta línea.',
    'flow/concentrated': (f, m) =>
      `El ${m.slope(f.measured)} del agua de la línea llega a un solo lugar${f.chainage_m === null ? '' : `, a ${m.length(f.chainage_m)} de su inicio`}. Atravesada en un lugar así, una zanja con su camellón es una presa en una cárcava.`,
    'flow/spread-out': (f, m) =>
      `El agua llega repartida: ningún lugar recibe más del ${m.slope(f.measured)}. Más del ${m.slope(f.limit)} pide vigilar.`,
    'soil/soaks': (f, m) =>
      `La zanja llena se infiltra en unas ${m.duration(f.measured)}; se pide en ${m.duration(f.limit)}. Se contó la mitad de la prueba más lenta, y solo el fondo.`,
    'soil/by-texture-only': (f, m) =>
      `Con la tasa más baja publicada para este tipo de suelo la zanja llena se infiltra en unas ${m.duration(f.measured)}; se pide en ${m.duration(f.limit)}. Lo publicado difiere hasta diez veces: es una suposición hasta que usted pruebe. Se piden ${m.count(f.number('fewestTests'))} pruebas.`,
    'soil/too-slow': (f, m) =>
      `La zanja llena tardaría ${m.duration(f.measured)}; se pide en ${m.duration(f.limit)}. Este suelo no recibe el agua antes de la próxima tormenta: llévela a otro lado, o no excave.`,
    'soil/takes-no-water': () =>
      'En la prueba el suelo no recibió agua. Una zanja aquí quedaría llena: lleve el agua a otro lado, o no excave.',
    'soil/no-ditch': () => 'No se sabe: sin una zanja que se pueda excavar nadie puede decir cuánto tiempo quedaría llena.',
    'soil/no-pits': () =>
      'No se sabe: no hay calicatas anotadas, así que nadie puede decir qué tan rápido se bebe el agua este suelo, a qué hondura está el agua, ni si la zanja quedaría llena varios días.',
    'storage/holds': (f, m) =>
      `${storm(f, m)} manda unos ${m.volume(f.limit)}. En la zanja caben ${m.volume(f.measured)} hasta el vertedero si empieza vacía. Igual necesita su vertedero: una zanja que sigue llena no guarda nada.`,
    'storage/bare-above': (f): string =>
      f.code('burned') === 'true'
        ? 'La ladera de arriba se quemó: cuenta como suelo desnudo, y con el agua bajan ceniza y tierra que llenan la zanja.'
        : 'La ladera de arriba está desnuda: con el agua baja tierra que llena la zanja.',
    'storm/snow-or-frost': () =>
      'No se sabe: el agua del deshielo o que corre sobre suelo helado no sigue ninguna regla de las que se usan aquí; puede ser más que la de cualquier aguacero de la tabla.',
    'storage/passes-through': (f, m) =>
      `${storm(f, m)} manda unos ${m.volume(f.limit)}. La zanja guarda ${m.volume(f.number('kept_m3') ?? f.measured)} si empieza vacía; lo demás pasa por el vertedero: es más que nada un desagüe con una zanja al lado.`,
    'storage/no-texture': () =>
      'No se sabe: la forma elegida de calcular el escurrimiento pide la textura del suelo, y nadie la ha palpado todavía.',
    'spill/no-short-bursts': (f, m) =>
      `No se sabe: el aguacero más corto de la tabla de lluvia dura ${f.measured === null ? 'más de 15 minutos' : m.duration(f.measured / 60)}. Qué tan rápido llega el agua depende de aguaceros de 15 minutos o menos, y nunca se toma de la lluvia de un día.`,
    'spill/catchment-cut': () =>
      'No se sabe: los datos de altura terminan antes del parteaguas, así que puede llegar más agua de la que se ve aquí. Sobre eso no se calcula ningún vertedero.',
    'spill/long-enough': (f, m) =>
      `Un vertedero de ${m.length(f.measured)} de largo deja pasar la tormenta de ${m.chance(f.number('chancePerYear'))}: se piden ${m.length(f.limit)}. La zanja se cuenta llena, el suelo mojado y la muesca tapada.`,
    'spill/too-short': (f, m) =>
      `El vertedero está puesto en ${m.length(f.measured)} de largo. La tormenta de ${m.chance(f.number('chancePerYear'))} pide ${m.length(f.limit)} con la zanja llena, el suelo mojado y la muesca tapada.`,
    'spill/very-long': (f, m) =>
      `La tormenta pide un vertedero de ${m.length(f.limit)} de largo. Es más de lo que se construye en una pieza; el agua pide varios vertederos, o una línea más corta.`,
    'freeboard/peak-unknown': () =>
      'No se sabe: mientras nadie pueda decir qué tan rápido llega el agua, no se sabe cuánto queda el camellón sobre ella.',
    'freeboard/over-berm': (f, m) =>
      `En la tormenta de ${m.chance(f.number('chancePerYear'))} el agua pasaría sobre el camellón${f.chainage_m === null ? '' : ` a ${m.length(f.chainage_m)} del inicio de la línea`}. Un camellón de tierra suelta que se desborda se lo lleva el agua.`,
    'freeboard/too-little': (f, m) =>
      `En la tormenta de ${m.chance(f.number('chancePerYear'))} el camellón asentado queda solo ${m.height(f.measured)} sobre el agua${f.chainage_m === null ? '' : ` a ${m.length(f.chainage_m)} del inicio de la línea`}; se piden ${m.height(f.limit)}. El agua se levanta en su camino al vertedero.`,
    'freeboard/enough': (f, m) =>
      `En la tormenta de ${m.chance(f.number('chancePerYear'))} el camellón asentado queda al menos ${m.height(f.measured)} sobre el agua, en todo el largo; se piden ${m.height(f.limit)}.`,
    'exit/peak-unknown': () =>
      'No se sabe: mientras nadie pueda decir qué tan rápido llega el agua, no se sabe a qué velocidad corre debajo del vertedero.',
    'exit/bare-holds': (f, m) =>
      `Debajo del vertedero el agua corre con ${m.height(f.number('depth_m'))} de hondura a ${m.speed(f.number('bare_ms'))}. Aun el suelo desnudo de este tipo aguanta ${m.speed(f.number('bareLimit_ms'))}.`,
    'exit/grass-first': (f, m) =>
      `Sobre suelo desnudo el agua correría debajo del vertedero a ${m.speed(f.number('bare_ms'))}, más de los ${m.speed(f.number('bareLimit_ms'))} que aguanta. El pasto ya crecido sí lo aguanta.`,
    'exit/stone': (f, m) =>
      `Debajo del vertedero el agua corre a ${m.speed(f.number('grass_ms'))}, más de lo que aguantan el suelo desnudo o el pasto en esta pendiente. Tiene que correr sobre piedra.`,
    'exit/too-fast': () =>
      'Debajo del vertedero el agua correría demasiado rápido para el suelo desnudo, para el pasto y para la piedra que está puesta.',
    'storage/no-rain-table': () =>
      'No se sabe: no hay tabla de lluvias de este lugar, así que no se pudo comparar ningún aguacero con la zanja.',
    'storage/catchment-cut': () =>
      'No se sabe: los datos de altura se acaban antes del filo de la loma, así que no se puede contar el agua que manda un aguacero. Es más de la que aquí se ve.',
    'storage/cannot-be-dug': () =>
      'No se sabe: una zanja de esta forma no se puede cavar en esta pendiente, así que no hay agua guardada que contar.',
    'storage/storm-outside-table': (f, m) =>
      `No se sabe: la tabla de lluvias no llega a un aguacero de ${m.duration(f.number('duration_h'))} con probabilidad de ${m.chance(f.number('chancePerYear'))}.`,
    'fill/shallow': (f, m) =>
      `Llena hasta el vertedero, el agua llega a lo más a ${m.height(f.measured)} contra la tierra suelta; con más de ${m.height(f.limit)} hay que vigilar.`,
    'fill/deep': (f, m) =>
      `Llena hasta el vertedero, el agua llega a ${m.height(f.measured)} contra la tierra suelta${f.chainage_m === null ? '' : ` a ${m.length(f.chainage_m)} del comienzo de la línea`}, más de ${m.height(f.limit)}. El agua debe quedar en lo cavado, no detrás del camellón.`,
    'fill/too-deep': (f, m) =>
      `Llena hasta el vertedero, el agua llegaría a ${m.height(f.measured)} contra la tierra suelta${f.chainage_m === null ? '' : ` a ${m.length(f.chainage_m)} del comienzo de la línea`}, más de ${m.height(f.limit)}. Eso ya es una pequeña represa de tierra suelta.`,
    'fill/not-known': () =>
      'No se sabe: sin un corte que se pueda cavar, nadie puede decir qué tan hondo quedaría el agua contra la tierra suelta.',
    'storage/line-not-level': (f, m) =>
      `El suelo a lo largo de la línea sube y baja ${m.height(f.measured)}. Una zanja a nivel de esta hondura aguanta ${m.height(f.limit)}; no puede seguir la línea y no se sabe cuánto guardaría.`,
    'overflow/culvert-on-way': () =>
      'En el camino del rebalse hay un terraplén, y puede haber un tubo debajo. Los datos no muestran por dónde va el agua ahí.',
    'overflow/reaches-building': (f, m) =>
      (f.number('reached') ?? 0) === 0
        ? `${from(f, m)} va a dar a ${building(f)}. No haga este vertedero.`
        : `${from(f, m)} llegó a ${building(f)} al ensayar las alturas con su error: en ${m.count(f.number('reached'))} de ${m.count(f.number('runs'))} terrenos ensayados pasó a menos de ${m.length(f.number('clearance_m') ?? f.limit)} o llegó. No haga este vertedero.`,
    'overflow/near-building': (f, m) =>
      `${from(f, m)} pasa a ${m.length(f.measured ?? f.number('distance_m'))} de ${building(f)}; a menos de ${m.length(f.limit ?? f.number('clearance_m'))} hay que ir a mirar el terreno.`,
    'overflow/not-high-enough': (f, m) =>
      (f.measured ?? 0) < 0
        ? `${from(f, m)} corre ${m.height(-f.measured!)} más arriba que el piso de ${building(f)}. Si se sale de su camino, le llega.`
        : `${from(f, m)} corre apenas ${m.height(f.measured)} más abajo que el piso de ${building(f)}. Es muy poco para lo que pueden fallar las alturas.`,
    'overflow/misses': (f, m) => {
      const distance = f.number('distance_m') ?? f.measured
      return distance === null
        ? `${from(f, m)} se siguió hasta el final y no topa con ninguna construcción dibujada.`
        : `${from(f, m)} se siguió hasta el final y no se acerca a menos de ${m.length(distance)} de ${f.text('name') ?? 'ninguna construcción dibujada'}.`
    },
    'overflow/buildings-not-confirmed': () =>
      'No se sabe: nadie ha dicho que estén dibujadas todas las construcciones hasta la quebrada, también las de los vecinos. La que no está dibujada no se ve.',
    'overflow/leaves-raster': (f, m) => `${from(f, m)} se sale de los datos de altura. No se sabe con qué topa más allá.`,
    'overflow/no-building-drawn': () =>
      'No se dibujó ninguna construcción, y alguien dijo que están todas dibujadas. Entonces el rebalse no topa con ninguna; eso descansa solo en esa palabra.',
    'overflow/no-ground': () => 'No se sabe: no se pudo seguir el camino del rebalse desde ninguno de los extremos de la línea.',
    'holding/stays': () => 'Desde el mejor extremo el rebalse termina antes de llegar al lindero como está dibujado.',
    'holding/crosses-boundary': () =>
      'Desde el mejor extremo el rebalse cruza el lindero. El agua que antes no iba al terreno del vecino solo puede ir si el vecino lo permite.',
    'holding/boundary-not-drawn': () => 'No se sabe: no se dibujó el lindero, así que nadie puede decir si el rebalse sale de su terreno.',
    ...sayings(SOIL_FINDINGS, 'es'),
    ...sayings(SITING_FINDINGS, 'es'),
    ...sayings(LIMIT_FINDINGS, 'es'),
  },

  next: {
    'ground/fine-enough': () => 'Recorra la línea y revise los niveles en unos cuantos puntos con manguera de nivel o láser.',
    'ground/coarse': () => 'Busque datos de altura más finos (la mitad del fondo o menos), o mida la línea en el terreno.',
    'ground/too-coarse': () => 'Consiga datos de altura con celdas de 1 m o menos, o levante el lugar a mano antes de decidir nada.',
    'ground/error-unknown': () => 'Averigüe el error de altura de los datos, o mida unas alturas en el terreno y compare.',
    'ground/surface-model': () => 'Busque un modelo de terreno del suelo desnudo.',
    'ground/steps-too-large': () => 'Busque alturas en escalones más finos, o mida la línea en el lugar.',
    'ground/slope-too-gentle': () => 'Trace la línea con nivel de agua o láser, y tome alturas en el lugar.',
    'catchment/much-filled': () => 'Vaya a ver si las hondonadas son reales, y elija qué hace cada una.',
    'limits/no-ditch': () => 'Defina primero la línea y la forma de la zanja, y vuelva a revisar.',
    'limits/not-looked-up': () => 'Pregunte a la autoridad local desde qué altura y volumen pide ingeniero, y ponga los dos.',
    'limits/under': () => 'Guarde la norma local junto con este plano.',
    'limits/too-high': () => 'Haga más bajo el camellón, o deje la obra a un ingeniero con licencia.',
    'limits/too-much': () => 'Haga la zanja más corta o menos honda, o deje la obra a un ingeniero con licencia.',
    'permissions/refused': () => 'No cave aquí. Pregunte qué se permitiría.',
    'permissions/answered': () => 'Guarde las respuestas por escrito junto con este plano.',
    'permissions/not-answered': () =>
      'Pregunte al municipio, a las empresas de agua, luz y gas, y a los vecinos de abajo. Después márquelo como contestado.',
    'no-go/none-found': () => 'Recorra la línea y busque lo que el mapa no muestra: mojadales, derrumbes, tubos viejos, caminos.',
    'no-go/on-line': () => 'Saque la línea de ese tramo, o termínela antes.',
    'no-go/features-missing': () =>
      'Dibuje construcciones, bosque, suelo mojado, quebradas, líneas enterradas y linderos, y vuelva a revisar.',
    'catchment/complete': () => 'Después de una lluvia fuerte, mire si techos, caminos o tubos traen agua del otro lado del filo.',
    'catchment/cut-by-edge': () => 'Traiga datos de altura que lleguen hasta el filo de la loma.',
    'catchment/uncertain-outline': () => 'Camine el filo y mire para dónde corre el agua de cada lado.',
    'catchment/in-hollow': () => 'Vaya a ver si la hondonada es de verdad. Si lo es, saque la línea de ahí.',
    'ground/ask-professional': () =>
      'Pregunte antes de excavar a quien tenga licencia para juzgar taludes, y busque grietas, árboles inclinados y escurrideros.',
    'ground/soil-not-looked-at': () => 'Cave un pozo y diga en los ajustes si el suelo es arcilla o material suelto de ladera.',
    'ground/no-caution-found': () =>
      'Camine la ladera arriba y abajo: grietas, montículos, árboles inclinados y escurrideros piden un profesional.',
    'flow/no-water': () => 'Mire si la línea corre sobre un parteaguas, y muévala cuesta abajo.',
    'flow/concentrated': () => 'Termine la línea antes de ese lugar, o pregunte a un ingeniero con licencia cómo ha de pasar el agua.',
    'flow/spread-out': () => 'Busque en el lugar rodadas, tubos y veredas de ganado que junten agua y sean más chicos que una celda.',
    'soil/soaks': () => 'Pruebe otra vez donde el suelo cambie a lo largo de la línea, y después de las primeras lluvias.',
    'soil/by-texture-only': (f, m) =>
      `Haga al menos ${m.count(f.number('fewestTests'))} pruebas de infiltración a la hondura del fondo, en suelo ya mojado.`,
    'soil/too-slow': (f, m) =>
      f.number('drainFall_ratio') === null
        ? 'Planee una zanja de desviación que baje a una salida elegida, o deje el lugar como está.'
        : `Planee una zanja de desviación que baje ${m.slope(f.number('drainFall_ratio'))} hacia la salida elegida, o deje el lugar como está. Su tamaño está calculado junto a la infiltración.`,
    'soil/takes-no-water': () => 'Mire en un pozo qué detiene el agua, y elija otro lugar.',
    'soil/no-ditch': () => 'Defina primero la línea y la forma de la zanja, y vuelva a revisar.',
    'soil/no-pits': (_f, m) =>
      `Abra calicatas cada ${m.length(30)} a ${m.length(50)}, por lo menos ${m.length(1)} más hondas que el fondo de la zanja. Anote textura, raíces, manchas, agua y qué tan rápido se hunde el agua.`,
    'storage/holds': () => 'Haga primero el vertedero, y que alcance para el aguacero entero.',
    'storage/passes-through': () =>
      'Calcule el vertedero para el aguacero entero, y escoja el suelo de más abajo con tanto cuidado como la zanja.',
    'storage/bare-above': () =>
      'Primero cubra la ladera: siembre, ponga mantillo, saque los animales. Mire la zanja después de cada lluvia y límpiela antes de que se llene una cuarta parte.',
    'storm/snow-or-frost': () =>
      'Antes de excavar pregunte a la autoridad local o a un ingeniero titulado cuánta agua manda aquí el deshielo.',
    'storage/no-rain-table': () => 'Traiga la tabla de lluvias del servicio meteorológico para este lugar, también con aguaceros cortos.',
    'storage/catchment-cut': () => 'Traiga datos de altura que lleguen hasta el filo de la loma, y después calcule la zanja.',
    'storage/cannot-be-dug': () => 'Escoja una ladera más suave, o cambie los taludes, la hondura o la corona.',
    'storage/storm-outside-table': () =>
      'Traiga una tabla de lluvias que tenga este aguacero, o mida la zanja con uno que esté en la tabla.',
    'storage/no-texture': () => 'Palpe el suelo en un pozo y ponga su textura, o calcule el escurrimiento por cobertura y grupo de suelo.',
    'spill/no-short-bursts': () => 'Traiga del servicio meteorológico una tabla de lluvia con aguaceros de 5, 10 y 15 minutos.',
    'spill/catchment-cut': () => 'Traiga datos de altura que lleguen al parteaguas y calcule entonces el vertedero.',
    'spill/long-enough': (_f, m) =>
      `Haga el vertedero antes que la zanja, en suelo sin remover, a nivel dentro de ${m.depth(6)}, y manténgalo libre.`,
    'spill/too-short': () => 'Haga el vertedero tan largo como se pide, acorte la línea, o elija más de un lugar de salida.',
    'spill/very-long': () => 'Divida la línea en otras más cortas, cada una con su vertedero, o pregunte a un ingeniero con licencia.',
    'freeboard/peak-unknown': () =>
      'Traiga una tabla de lluvia con aguaceros cortos y revise que los datos de altura lleguen al parteaguas.',
    'freeboard/over-berm': () => 'Haga el vertedero más largo o más bajo, la zanja más ancha o la línea más corta, y vuelva a revisar.',
    'freeboard/too-little': () => 'Haga el vertedero más largo o más bajo, mantenga cortada la zanja, o vierta en dos lugares.',
    'freeboard/enough': () =>
      'Revise la corona con un instrumento cuando el camellón se haya asentado, y después de cada temporada de lluvias.',
    'exit/peak-unknown': () => 'Traiga una tabla de lluvia con aguaceros cortos y vuelva a revisar.',
    'exit/bare-holds': () => 'Siembre pasto de todos modos, y busque surcos después de cada tormenta.',
    'exit/grass-first': () =>
      'No deje entrar agua a la zanja hasta que el pasto esté firme, o ponga piedra debajo del vertedero el primer año.',
    'exit/stone': () => 'Ponga piedra debajo del vertedero, bien asentada en el suelo, o reparta el agua en un vertedero más largo.',
    'exit/too-fast': () => 'Elija para el vertedero un terreno más suave, o hágalo mucho más largo. Pregunte a un ingeniero con licencia.',
    'fill/shallow': () => 'Al construir, deje el vertedero a esta altura.',
    'fill/deep': () => 'Cave más hondo y ponga el vertedero más bajo, para que menos agua se recueste en el camellón.',
    'fill/not-known': () => 'Defina primero la línea y la forma de la zanja, y vuelva a revisar.',
    'fill/too-deep': () => 'Baje el vertedero o cave más hondo. Si el agua tiene que llegar tan alto, consulte a un ingeniero titulado.',
    'storage/line-not-level': () => 'Trace otra vez la línea por una sola altura, o pártala en líneas más cortas.',
    'overflow/culvert-on-way': () => 'Busque un tubo en ese terraplén. Si lo hay, dibuje la alcantarilla en Terreno y vuelva a revisar.',
    'overflow/reaches-building': () =>
      'Escoja el otro extremo, mueva la línea, o no la haga. Antes de seguir, consulte a un ingeniero titulado.',
    'overflow/near-building': () => 'Camine desde el vertedero hasta la construcción por donde iría el agua. Si puede, aleje el vertedero.',
    'overflow/not-high-enough': () => 'Mida con instrumento el piso y el suelo por donde pasa el agua.',
    'overflow/misses': () =>
      'Camine con lluvia por donde iría el agua. Rodadas y caminos de animales que los datos no muestran la pueden desviar.',
    'overflow/buildings-not-confirmed': () =>
      'Dibuje todas las construcciones hasta la quebrada, también galpones y las de vecinos, y dígalo en los ajustes.',
    'overflow/leaves-raster': () => 'Traiga datos de altura que bajen hasta la quebrada.',
    'overflow/no-building-drawn': () =>
      'Mire otra vez desde la línea hasta la quebrada: cuentan galpones, tanques y construcciones de vecinos.',
    'overflow/no-ground': () => 'Ponga los extremos de la línea donde haya datos de altura.',
    'holding/stays': () => 'Revise los mojones del lindero en el terreno.',
    'holding/crosses-boundary': () => 'Escoja otro lugar para rebalsar, o pregunte antes al vecino y a la autoridad del lugar.',
    'holding/boundary-not-drawn': () => 'Dibuje el lindero de la propiedad en el plano.',
    ...sayings(SOIL_NEXT, 'es'),
    ...sayings(SITING_NEXT, 'es'),
    ...sayings(LIMIT_NEXT, 'es'),
  },

  reason: {
    'above-building': 'encima de una construcción',
    'near-building': 'cerca de una construcción',
    forest: 'bosque que ya está',
    'wet-ground': 'suelo que ya está mojado',
    spring: 'cerca de un ojo de agua',
    septic: 'cerca de una fosa séptica',
    well: 'cerca de un pozo',
    boundary: 'cerca del lindero',
    track: 'cerca de un camino',
    stream: 'cerca de una quebrada',
    utility: 'cerca de una línea enterrada',
    slip: 'un derrumbe viejo',
    hollow: 'una hondonada',
    'too-steep': 'demasiado empinado',
    seepage: 'tan cerca arriba de una construcción, fosa séptica o pozo que el agua puede filtrarse hasta ahí',
    'high-wetness': 'un lugar donde se junta el agua: mírelo en el sitio',
    'slide-prone': 'una ladera que puede deslizarse si se empapa: pregunte a un profesional',
    'steep-weak-soil': 'suelo empinado de arcilla o de derrubios, o que nadie ha mirado: pregunte a un profesional',
    'above-bank': 'arriba de un corte, un muro o un camino: pregunte a un profesional',
    'above-slip': 'arriba de la cabeza de un derrumbe viejo: pregunte a un profesional',
  },

  pathEnd: {
    edge: 'se sale de los datos de altura',
    void: 'termina donde faltan datos de altura',
    hollow: 'termina en una hondonada',
    stream: 'termina en la quebrada',
    forest: 'termina en el bosque',
    boundary: 'cruza el lindero',
  },
  endWord: {
    edge: 'fuera de los datos',
    void: 'donde faltan datos',
    hollow: 'a una hondonada',
    stream: 'a la quebrada',
    forest: 'al bosque',
    boundary: 'cruza el lindero',
  },

  spillReason: {
    ...texts(SPILL_REASON_WORDS, 'es'),
    'near-septic': 'pasa cerca de una fosa séptica',
    'gentle-exit': 'el suelo abajo del vertedero es suave',
  },

  warning: {
    'elevation-unit/assumed': () =>
      'El archivo no dice en qué unidad están las alturas; se tomaron metros. Si son pies, todas las alturas de aquí están mal por un factor de 3,28.',
    'elevation-unit/overridden': f =>
      `El archivo da las alturas en ${f.text('file') ?? 'otra unidad'}; se leyeron como ${f.text('given') ?? 'usted dijo'}, tal como lo pidió.`,
    'vertical-datum/not-stated': () =>
      'El archivo no dice desde dónde se cuentan sus alturas. Dentro de él se pueden comparar; con un GPS u otro mapa pueden diferir.',
    'vertical-datum/ellipsoidal': () =>
      'Las alturas se cuentan desde el elipsoide, no desde el nivel del mar. Pueden diferir en decenas de metros de otros mapas.',
    'grid/reprojected': (f, m) =>
      `Los datos de altura se redibujaron de ${f.text('from') ?? 'su propio sistema'} a ${f.text('to') ?? 'metros'} con celdas de ${m.length(f.number('cell_m'))}. Eso los suaviza un poco.`,
    'grid/resampled': (f, m) =>
      `Las celdas del archivo no son cuadradas; se redibujaron como cuadros de ${m.length(f.number('cell_m'))}. Eso suaviza un poco el terreno.`,
    'grid/rotated': () => 'El ráster del archivo está girado; se redibujó con el norte arriba. Eso suaviza un poco el terreno.',
    'grid/quantised': (f, m) =>
      `Las alturas vienen en escalones de ${m.height(f.number('quantum_m'))}. En suelo suave esos escalones parecen terrazas que no existen.`,
    'grid/packed-with-error': (f, m) =>
      `Para achicar el archivo se cambiaron sus alturas: cada una puede desviarse hasta ${m.height(f.number('error_m'))}, además del error propio del levantamiento. Las diferencias de altura menores no significan nada.`,
    'grid/looks-like-surface-model': (f, m) =>
      `${f.number('steepShare') === null ? 'Muchas celdas son empinadas' : `El ${m.slope(f.number('steepShare'))} de las celdas son empinadas`} como paredes: puede que muestren copas de árboles y techos, no el suelo. Por las copas no se puede seguir el agua.`,
    'grid/voids': (f, m) =>
      `En el ráster faltan datos en algunas partes${f.number('cells') === null ? '' : ` (${f.number('cells')} celdas)`}. Por ahí no se sigue el agua.${(f.number('inner') ?? 0) > 0 ? ` ${f.number('inner')} de esas partes están adentro, la mayor de ${m.area(f.number('largest_m2'))}: diga si hay que rellenarlas.` : ''}`,
    'grid/voids-filled': (f, m) =>
      `Se rellenaron ${f.number('voids') ?? 'algunos'} hueco(s) de hasta ${m.area(f.number('most_m2'))} con una superficie lisa (${f.number('cells') ?? '?'} celdas). Esas alturas son inventadas.`,
    'grid/tiny': f =>
      `El ráster tiene solo ${f.number('width') ?? '?'} por ${f.number('height') ?? '?'} celdas. Son muy pocas para ver qué ladera escurre hacia dónde.`,
    'grid/flat-border': (f, m) =>
      `Buena parte del borde tiene una misma altura (${m.elevation(f.number('elevation_m'))}). Puede que quiera decir “sin datos”; si es así, dígalo al leer el archivo.`,
    'grid/scaled': () => 'El archivo guarda sus alturas con un factor y un desfase; se aplicaron los dos.',
    'grid/other-images-ignored': f =>
      `El archivo trae ${f.number('images') === null ? 'más imágenes' : `${f.number('images')} imagen(es) más`}; solo se leyó la primera.`,
    'grid/mask-applied': f =>
      `El archivo trae una máscara; las celdas con altura que ella tapa (${f.number('cells') ?? '?'}) se quitaron y cuentan como huecos.`,
    'grid/mask-ignored': () => 'El archivo trae una máscara que no se usó. Celdas que ella tapa pudieron tomarse por suelo.',
    'grid/nodata-unreadable': f =>
      `La marca de “sin datos” del archivo (${f.text('text') ?? 'no dada'}) no se pudo leer como número y no se usó.`,
    'grid/nodata-impossible': f =>
      `La marca de “sin datos” del archivo (${f.number('value') ?? 'no dada'}) no cabe en sus números y no se usó.`,
    'grid/infinite-cells': f => `${f.number('cells') ?? 'Algunas'} celdas no tenían una altura finita y cuentan como sin datos.`,
    'survey/interpolated': (f, m) =>
      `El terreno se trazó derecho entre ${f.number('points') ?? 'los'} puntos medidos, en celdas de ${m.length(f.number('cell_m'))}. Si hay un bordo o una zanja entre dos puntos, aquí no aparece.`,
    'survey/merged': f =>
      `${f.number('points') ?? 'Algunos'} punto(s) estaban en el mismo lugar que otro anterior y no se tomaron${f.number('firstRow') === null ? '' : `; el primero está en la fila ${f.number('firstRow')}`}.`,
    'survey/voids': (f, m) =>
      `${f.number('cells') ?? 'Algunas'} celdas quedan fuera de los puntos, o entre puntos a más de ${m.length(f.number('longestEdge_m'))} uno de otro. Ahí nadie midió: son huecos sin datos.`,
    'survey/reprojected': f =>
      `Los lugares de los puntos se calcularon otra vez, de ${f.text('from') ?? 'su propio sistema'} a ${f.text('to') ?? 'metros'}. Las alturas no se tocaron.`,
    'crs/overridden': f =>
      `El archivo dice ${f.text('file') ?? 'otro sistema de coordenadas'}; se leyó como ${f.text('given') ?? 'usted dijo'}, tal como lo pidió.`,
    'crs/stretched': (f, m) =>
      `En este sistema de coordenadas las medidas del mapa y las del suelo difieren aquí (factor ${m.number(f.number('stretch_ratio'))}). Mida con cinta en el terreno.`,
    'crs/datum-shift-approximate': () =>
      'La posición en la Tierra es buena solo a unos metros. No afecta los largos ni las alturas dentro del plano.',
    'crs/datum-unknown': () =>
      'No se sabe cómo se apoya este sistema de coordenadas en la Tierra. En otros mapas el lugar puede quedar corrido hasta unos cientos de metros.',
    'vector/empty-geometries': f => `${f.number('features') ?? 'Algunos'} elemento(s) dibujados no tienen forma y se dejaron fuera.`,
    'tiles/joined': f =>
      `Se unieron ${f.number('tiles') ?? 'varios'} mosaicos en un solo ráster. Donde se traslapan, da la altura el primero que la tenga.`,
    'tiles/disagree': f =>
      `Donde los mosaicos se traslapan difieren en ${f.number('cells') ?? 'algunas'} celda(s), hasta en ${f.number('most') ?? 'no se sabe cuánto'} en la unidad del archivo: ahí puede haber un escalón en el terreno.`,
    'vector/records-left-out': f =>
      `${f.number('records') ?? 'Algunos'} de ${f.number('of') ?? 'los'} registro(s) del shapefile están dañados y se dejaron fuera; el primero es el ${f.number('first') ?? 'desconocido'}. Lo que muestran no está en el plano.`,
    'vector/index-disagrees': f =>
      `El índice del shapefile lista ${f.number('index') ?? 'otros'} registro(s) y el archivo mismo trae ${f.number('records') ?? 'otros'}; se leyeron todos los del archivo. Otro programa quizá muestre menos: pida que exporten la capa otra vez.`,
    'vector/without-attributes': f =>
      `${f.number('features') ?? 'Algunas'} figura(s) no tienen fila en la tabla del shapefile; de ellas solo se conoce el lugar.`,
    'vector/deleted-left-out': f =>
      `${f.number('features') ?? 'Algunos'} elemento(s) están marcados como borrados en el archivo y se dejaron fuera.`,
    'vector/links-not-followed': f =>
      `El archivo enlaza a ${f.number('links') ?? 'otros'} archivo(s); no se bajaron, así que falta lo que muestran.`,
    'vector/shapes-left-out': f =>
      `${f.number('shapes') ?? 'Algunas'} imagen(es), modelo(s) o recorrido(s) del archivo no son puntos, líneas ni áreas del terreno y se dejaron fuera.`,
    'vector/layers-left-out': f =>
      `${f.number('layers') ?? 'Algunas'} capa(s) con ${f.number('features') ?? 'algunos'} elemento(s) se dejaron fuera, como usted dijo.`,
    'vector/layers-unreadable': f =>
      `${f.number('layers') ?? 'Algunas'} capa(s) del archivo no se pudieron leer y se dejaron fuera; la primera es ${f.text('first') ?? 'una sin nombre'}.`,
    'geopackage/rows-left-out': f =>
      `${f.number('rows') ?? 'Algunas'} de ${f.number('of') ?? 'las'} fila(s) de la tabla no traen una forma legible y se dejaron fuera; la primera es la ${f.number('first') ?? 'desconocida'}. Lo que muestran no está en el plano.`,
    'geopackage/curves-left-out': f =>
      `${f.number('features') ?? 'Algunos'} elemento(s) son curvas o superficies en el espacio, que aquí no se leen, y se dejaron fuera. Exporte la capa con tramos rectos.`,
    'geopackage/other-system-left-out': f =>
      `${f.number('features') ?? 'Algunos'} elemento(s) dicen estar en otro sistema de coordenadas que su tabla y se dejaron fuera.`,
    'geopackage/views-left-out': f =>
      `${f.number('layers') ?? 'Algunas'} capa(s) salen de instrucciones dentro del archivo, que aquí no se ejecutan, y se dejaron fuera; la primera es ${f.text('first') ?? 'una sin nombre'}. Expórtelas como tablas.`,
    'geopackage/tables-left-out': f =>
      `${f.number('tables') ?? 'Algunas'} tabla(s) más del archivo no son elementos (imágenes, alturas o listas) y se dejaron fuera; la primera es ${f.text('first') ?? 'una sin nombre'}.`,
    'geopackage/may-lack-changes': () =>
      'El archivo se copió mientras estaba abierto en otro lado: sus últimos cambios pueden estar en un segundo archivo (-wal) y faltar aquí. Ciérrelo allá y expórtelo otra vez.',
    'vector/copies-left-out': f =>
      `${f.number('features') ?? 'Algunos'} elemento(s) están dos veces en el archivo; cada uno se tomó una vez.`,
    'vector/local-metres': () =>
      'El ráster no tiene lugar en la Tierra; las coordenadas dibujadas se tomaron como metros de su propia cuadrícula.',
    'vector/outside-raster': () => 'Nada de lo dibujado en este archivo cae sobre los datos de altura. ¿Será el archivo correcto?',
    'line/others-ignored': f => `El archivo trae ${f.number('features') ?? 'otros'} elemento(s) además de la línea; no se usaron.`,
    'features/ids-made-unique': f =>
      `${f.number('features') ?? 'Algunos'} elemento(s) tenían el mismo nombre interno que otro; se les dio uno nuevo.`,
    'features/rings-closed': f => `${f.number('rings') ?? 'Algunos'} contorno(s) estaban abiertos; se cerraron con un tramo recto.`,
    'line/in-hollow': () => 'Parte de la línea está en una hondonada que se llena antes de que el agua siga su camino.',
    'travel/raised-to-least': () => 'El tiempo del agua salió menor de seis minutos; se tomaron seis, lo menos que conoce el método.',
    'travel/no-two-year-rain': () =>
      'La tabla de lluvia no trae la lluvia de 24 horas de 1 entre 2, en que se apoya el tiempo de concentración; se tomó el más corto, que da el máximo más alto.',
    'travel/area-not-checked': () => 'No se sabe el tamaño de la cuenca; nadie revisó si la regla del tiempo de concentración le sirve.',
    'peak/no-short-burst': () =>
      'La tabla de lluvias no trae aguaceros de 15 minutos o menos; no se sabe el caudal más alto. La lluvia de un día no lo dice.',
    'peak/area-outside-rational': () => 'La cuenca es mayor que aquellas para las que sirve el método racional.',
    'peak/shortest-duration-taken': () =>
      'El agua llega antes de lo que dura el aguacero más corto de la tabla; se tomó ese, así que el caudal puede ser mayor.',
    'peak/curve-number-outside-graphical': () => 'El número de escurrimiento es muy bajo para el método gráfico.',
    'peak/time-outside-graphical': () => 'El tiempo de concentración está fuera de la tabla del método gráfico (0,1 a 10 horas).',
    'peak/ponds-outside-graphical': () => 'Hay más lagunas o pantanos en la cuenca de lo que admite el método gráfico.',
    'peak/abstraction-clamped': () =>
      'La parte de la lluvia que se retiene está fuera de la tabla del método gráfico; se tomó el valor más cercano.',
    'hollows/not-as-chosen': f =>
      `La decisión ${f.number('choice') ?? ''} sobre una hondonada no se siguió: ${
        {
          'choice/no-hollow': 'ninguna hondonada tiene ese lugar',
          'choice/overruled': 'otra decisión sobre la misma cambia menos el terreno',
        }[f.text('because') ?? ''] ?? 'no se puede abrir dentro de los límites'
      }.`,
    'section/holds-less-than-sill': () =>
      'El suelo arriba de la línea es tan llano que el agua se saldría hacia arriba antes de llegar al vertedero. Se cuenta menos agua guardada.',
    'section/holds-less-than-crest': () =>
      'El suelo arriba de la línea es tan llano que el agua se saldría hacia arriba antes de llegar a la corona.',
    'runoff/none': () => 'Según el método, en este aguacero no escurre agua. En los de verdad puede que sí.',
    'stakes/screening-only': () =>
      'Estos datos de altura sirven solo para una primera mirada, así que no se escribieron estacas: traiga datos más finos del suelo pelado, o levante el lugar.',
    ...sayings(FILE_REMARKS, 'es'),
    ...sayings(RAIN_REMARKS, 'es'),
    ...sayings(LIMIT_REMARKS, 'es'),
    ...sayings(OPEN_GROUND_REMARKS, 'es'),
  },
  warningUnknown: (code, details) => `Una observación que todavía no tiene frase, código ${code}${details === '' ? '' : ` (${details})`}.`,
  unknownFirst: 'No se sabe: ',
  codeUnknown: code => `Un motivo que todavía no tiene frase, código ${code}.`,
  nextUnknown: 'Antes de seguir, pregunte a alguien que conozca este trabajo.',

  feature: {
    building: 'construcción',
    forest: 'bosque',
    wet: 'suelo mojado',
    spring: 'ojo de agua',
    septic: 'fosa séptica',
    well: 'pozo',
    boundary: 'lindero',
    track: 'camino',
    stream: 'quebrada',
    utility: 'línea enterrada',
    culvert: 'alcantarilla',
    wall: 'muro',
    slip: 'derrumbe viejo',
    pit: 'calicata',
  },

  setting: {
    bedWidth_m: 'Ancho del fondo',
    depth_m: 'Hondura del fondo bajo el labio de abajo',
    cutSideSlope_ratio: 'Talud de los lados de la zanja',
    bermInnerSlope_ratio: 'Talud del camellón, lado de la zanja',
    bermOuterSlope_ratio: 'Talud del camellón, lado de abajo',
    crestWidth_m: 'Ancho de la corona del camellón',
    bermPerCut_ratio: 'Camellón asentado por volumen cavado',
    sectionForm: 'Forma de la zanja',
    drawnCut_m: 'La sección dibujada',
    bedFall_ratio: 'Caída del fondo hacia el vertedero',
    checkBanks: 'Diques a través de un fondo que cae',
    freeboard_m: 'Camellón sobre el agua más alta, al menos',
    freeboardAboveHouse_m: 'Lo mismo donde hay una casa abajo',
    spillHead_m: 'Altura del agua de la tormenta sobre el vertedero largo',
    sillLength_m: 'Largo del vertedero largo, si se da',
    spillChainage_m: 'Lugar de salida a lo largo de la línea, si se da',
    notchDepth_m: 'Hondura de la muesca debajo del vertedero',
    notchWidth_m: 'Ancho de la muesca',
    weirCoefficient: 'Qué tan libre pasa el agua por el vertedero',
    ditchRoughness: 'Rugosidad de la zanja crecida (n de Manning)',
    exitSoil: 'Suelo debajo del vertedero',
    exitSoilResistance: 'Cómo resiste ese suelo bajo el pasto',
    exitGrass: 'Pasto debajo del vertedero, según la regla publicada',
    exitStone_m: 'Tamaño de la piedra debajo del vertedero',
    spreaderRule: 'Regla para repartir el agua debajo del vertedero',
    cover: 'Qué cubre el suelo de arriba',
    coverCondition: 'Estado de esa cubierta',
    soilGroup: 'Grupo de suelo (A se bebe más agua, D menos)',
    soilGroupRule: 'De dónde viene el grupo de suelo',
    curveNumber: 'Número de escurrimiento, si se da directo',
    sedimentShare_ratio: 'Parte de lo que guarda que se deja para sedimento',
    swell_ratio: 'Cuánto se esponja la tierra cavada',
    aboveShare_ratio: 'Parte del agua de un lugar que, si llega a una construcción, lo pone “encima”',
    setbackBuilding_m: 'Distancia a una construcción',
    steepSlope_ratio: 'Más empinado que esto no va zanja',
    hollowDepth_m: 'Hondura desde la que cuenta una hondonada',
    hollowVolume_m3: 'Volumen desde el que cuenta una hondonada',
    coverWeighting: 'Cómo cuentan juntas varias coberturas',
    initialAbstraction_ratio: 'Lluvia retenida antes de que escurra algo',
    wetnessRule: 'Número de escurrimiento en suelo seco y mojado',
    runoffMethod: 'Cómo se calcula el escurrimiento',
    soilSaturation_ratio: 'Qué tan mojado está el suelo antes de la tormenta',
    acceptanceChanceAboveHouse: 'Lo mismo donde hay una casa abajo',
    stormPattern: 'Cómo se reparte la lluvia en la tormenta',
    stormPeakPlace_ratio: 'En qué parte cae el aguacero más fuerte',
    rainUplift_ratio: 'Factor sobre toda la lluvia, por el cambio del clima',
    timeMethod: 'Cómo se calcula el tiempo de concentración',
    sheetLengthRule: 'Hasta dónde corre el agua como lámina',
    unitForm: 'Forma de la crecida de un aguacero',
    sheetSurface: 'Suelo en lo alto de la ladera',
    shallowSurface: 'Suelo más abajo en la ladera',
    texture: 'Textura del suelo en el fondo',
    textureIntake: 'Infiltración publicada que se cuenta',
    slowestTest_mmh: 'Prueba de infiltración más lenta',
    intakeTests: 'Número de pruebas de infiltración',
    emptyWithin_h: 'Tiempo en que la zanja ha de infiltrarse',
    digSoil: 'Cómo se excava el suelo',
    digOutput: 'Qué tan rápido se excava',
    hoursPerDay_h: 'Horas de excavación al día',
    settlement_ratio: 'Cuánto se asienta el camellón',
    settlementConvention: 'De qué altura se cuenta el asentamiento',
    mulchDepth_m: 'Espesor del acolchado sobre el camellón',
    stakesEvery_m: 'Lo más que hay entre dos estacas',
    stakesBend_deg: 'Curva que lleva su propia estaca',
    baseStake: 'Estaca desde la que se miden las otras',
    doubtCap_m: 'Hasta dónde se muestra la duda del lugar de una estaca',
    aFrameSpan_m: 'Distancia entre las patas del nivel A',
    aFramePlumb_m: 'Plomada del nivel A, del clavo al travesaño',
    waterLevelReach_m: 'Alcance de la manguera de nivel',
    unevennessShare_ratio: 'Cuánto puede variar el fondo, respecto de la hondura del agua',
    crestTolerance_mm: 'Cuánto puede quedar la corona debajo del plan',
    sillTolerance_mm: 'Cuánto puede apartarse el vertedero de su nivel',
    positionLimit_m: 'Con cuánta duda de su lugar puede un teléfono guiar a una estaca',
    digStretch_m: 'Tramo del plan de excavación',
    stripDepth_m: 'Césped y tierra buena que se quitan',
    soakWidth_m: 'Suelo mojado abajo del camellón, para árboles',
    besideSill_m: 'Nada leñoso a menos de esto del vertedero',
    bermPlants: 'Plantas leñosas en el camellón',
    concentratedFlow_ratio: 'Parte del agua en un solo lugar que pide vigilar',
    acceptanceChance: 'Aguacero con que se mide la zanja',
    stormDuration_h: 'Duración de ese aguacero',
    elevationError_m: 'Error de las alturas (un error estándar)',
    buildingClearance_m: 'Distancia a una construcción que pide vigilar',
    buildingMargin_m: 'Margen alrededor de una construcción para “encima de una construcción”',
    setbackBoundary_m: 'Distancia al lindero',
    setbackTrack_m: 'Distancia a un camino',
    setbackStream_m: 'Distancia a una quebrada',
    setbackUtility_m: 'Distancia a una línea enterrada',
    setbackSeptic_m: 'Distancia a una fosa séptica',
    setbackWell_m: 'Distancia a un pozo',
    wallHeight_m: 'Altura de un muro dibujado sin altura',
    setbackSpring_m: 'Distancia a un ojo de agua',
    triedTerrains: 'Número de terrenos ensayados',
    correlatedError_ratio: 'Parte del error de alturas que comparten los vecinos',
    errorCorrelation_m: 'Hasta dónde llega ese error compartido',
    burnedAbove: 'La ladera de arriba se quemó y no ha vuelto a crecer',
    snowOrFrost: 'El agua puede venir del deshielo o de suelo helado',
    sillArmoured: 'Un vertedero sobre relleno suelto irá protegido con piedra y dentellón',
    seepage_m: 'Distancia cuesta arriba de una construcción, fosa o pozo en que puede filtrarse agua',
    seepageDepths_ratio: 'Lo mismo en honduras de la zanja',
    slideCohesion_kPa: 'Cohesión del suelo mojado, kPa',
    slideFriction_deg: 'Ángulo de fricción del suelo mojado, grados',
    slideWeight_kNm3: 'Peso del suelo mojado, kN/m³',
    slideDepth_m: 'Hondura de un deslizamiento somero',
    slideWetShare_ratio: 'Parte de esa hondura bajo agua',
    slideFactor_ratio: 'Factor bajo el cual se marca el suelo como propenso a deslizarse',
    weakSoil: '¿Es el suelo arcilla o material suelto de ladera?',
    weakSlope_ratio: 'Pendiente en ese suelo que pide un profesional',
    bankSlope_ratio: 'Pendiente que cuenta como corte o muro de terraza',
    bankDistance_m: 'Distancia arriba de un corte que pide un profesional',
    slipHead_m: 'Distancia arriba de un deslizamiento viejo',
    wetnessIndex_ln: 'Índice de humedad que marca agua que se junta',
    canopyHeight_m: 'Altura sobre el suelo que cuenta como bosque',
    allBuildingsDrawn: 'Están dibujadas todas las construcciones hasta la quebrada',
    mayWatercourse: 'Se toca un cauce',
    mayWetland: 'Se toca un humedal o terreno protegido',
    mayEarthworks: 'Permiso de movimiento de tierras',
    mayBuriedLines: 'Líneas enterradas, marcadas por quien las localiza',
    mayNeighbour: 'Agua llevada de nuevo hacia un vecino',
    regulatedHeight_m: 'Altura de camellón desde la que la norma local pide ingeniero',
    regulatedVolume_m3: 'Volumen guardado desde el que la norma local lo pide',
    permissionsAsked: 'Los permisos están contestados',
  },

  cover: {
    pasture: 'potrero',
    meadow: 'pradera de corte',
    brush: 'matorral',
    'woods-grass': 'árboles con pasto, huerta',
    woods: 'bosque',
    farmstead: 'casas y patios',
    'fallow-bare': 'barbecho desnudo',
    'newly-graded': 'suelo recién movido',
    'row-crop-straight': 'cultivo en surcos rectos',
    'row-crop-contoured': 'cultivo en surcos a nivel',
    'row-crop-contoured-terraced': 'cultivo en surcos a nivel, con terrazas',
    'small-grain-straight': 'cereal en surcos rectos',
    'small-grain-contoured': 'cereal en surcos a nivel',
    'rotation-meadow-straight': 'pradera en rotación, surcos rectos',
    'rotation-meadow-contoured': 'pradera en rotación, a nivel',
    lawn: 'césped',
    'gravel-road': 'camino de grava',
    'dirt-road': 'camino de tierra',
    impervious: 'techos y pavimento',
  },
  condition: { poor: 'mala', fair: 'regular', good: 'buena' },
  choice: {
    none: 'ninguna',
    small: 'pequeñas',
    trees: 'también árboles',
    'not-here': 'aquí no aplica',
    allowed: 'preguntado y permitido',
    refused: 'negado',
    trapezoid: 'fondo plano, lados rectos',
    bowl: 'cuenco',
    drawn: 'como se dibuje',
    erodible: 'se deslava fácilmente',
    resistant: 'resistente',
    'firm-loam': 'franco firme',
    'fine-sand': 'arena fina',
    'sandy-loam': 'franco arenoso',
    'silt-loam': 'franco limoso',
    'stiff-clay': 'arcilla dura',
    'alluvial-silt': 'limo de río',
    'fine-gravel': 'grava fina',
    sand: 'arena',
    'loamy-sand': 'arena franca',
    loam: 'franco',
    'sandy-clay-loam': 'franco arcillo arenoso',
    'clay-loam': 'franco arcilloso',
    'silty-clay-loam': 'franco arcillo limoso',
    'sandy-clay': 'arcilla arenosa',
    'silty-clay': 'arcilla limosa',
    clay: 'arcilla',
    'north-carolina': 'Carolina del Norte',
    'hathaway-hunt-grass': 'sobre pasto (Hathaway y Hunt)',
    'trca-forest': 'hacia bosque (región de Toronto)',
    'half-cfs-per-foot': 'la más corta, sin autor',
    'tp-61/bermudagrass': 'pasto bermuda (SCS-TP-61)',
    'tp-61/bluegrass-brome-grama': 'poa, bromo, navajita (SCS-TP-61)',
    'tp-61/grass-mixture-canarygrass': 'mezcla de pastos, alpiste (SCS-TP-61)',
    'tp-61/lespedeza-lovegrass-alfalfa': 'lespedeza, pasto llorón, alfalfa (SCS-TP-61)',
    'kansas-5-40-56/bermuda-bahia': 'bermuda, bahía (regla de Kansas)',
    'kansas-5-40-56/sod-grasses-canarygrass': 'pastos de césped, alpiste (regla de Kansas)',
    'kansas-5-40-56/sod-mixtures': 'mezclas de césped (regla de Kansas)',
    'kansas-5-40-56/native-bunch': 'pasto nativo en macollos (regla de Kansas)',
    asked: 'como se dio',
    'transmission-rate': 'de la prueba más lenta (TR-55, 1986)',
    'tightest-layer': 'de la prueba más lenta (NEH, 2009)',
    lowest: 'la más baja',
    table: 'por la tabla publicada',
    formula: 'por fórmula',
    'neh-15-2010': 'el más corto (NEH, 2010)',
    'tr-55-1986': 'el más largo (TR-55, 1986)',
    curved: 'curva del manual',
    triangle: 'triángulo',
    fast: 'rápido',
    middle: 'medio',
    slow: 'lento',
    runoff: 'cada una por su escurrimiento',
    area: 'un solo número, por área',
    'curve-number': 'por cobertura y grupo de suelo',
    'green-ampt': 'por lo que recibe la textura',
    'alternating-block': 'de la tabla de lluvia del lugar',
    I: 'patrón de 24 horas I (EE. UU.)',
    IA: 'patrón de 24 horas IA (EE. UU.)',
    II: 'patrón de 24 horas II (EE. UU.)',
    III: 'patrón de 24 horas III (EE. UU.)',
    velocity: 'por la velocidad a lo largo del camino del agua',
    kirpich: 'Kirpich',
    lag: 'retardo del NRCS',
    smooth: 'liso',
    'fallow-no-residue': 'barbecho desnudo',
    'cultivated-residue-up-to-20-percent': 'labrado, con poco rastrojo',
    'cultivated-residue-over-20-percent': 'labrado, con mucho rastrojo',
    'short-grass-prairie': 'pasto corto',
    'dense-grass': 'pasto denso',
    bermudagrass: 'pasto bermuda',
    range: 'agostadero',
    'woods-light-underbrush': 'bosque con poca maleza',
    'woods-dense-underbrush': 'bosque con mucha maleza',
    'paved-or-upland-gully': 'pavimento, o una cárcava chica',
    'grassed-waterway-or-unpaved': 'cauce con pasto, sin pavimento',
    'nearly-bare': 'casi desnudo',
    'row-crop-straight': 'surcos rectos',
    'short-grass-pasture': 'potrero de pasto corto',
    'minimum-tillage-contour-or-woodland': 'arbolado, o poco labrado',
    'forest-litter-or-hay-meadow': 'hojarasca de bosque, prado de heno',
    loose: 'suelto',
    firm: 'firme',
    'boulder-clay': 'arcilla con piedras grandes',
    rock: 'roca',
    'of-settled': 'de la altura asentada',
    'of-built': 'de la altura construida',
  },
  sourceWord: {
    judgement: 'criterio propio',
    'common practice, no source': 'costumbre, sin fuente',
    'from memory, unchecked': 'de memoria, sin revisar',
    'weighted by area from the covers listed': 'promedio por área de las coberturas de la lista',
  },
  yes: 'sí',
  no: 'no',
  notGiven: 'no se dio',

  toward: ['norte', 'noreste', 'este', 'sureste', 'sur', 'suroeste', 'oeste', 'noroeste'],
  endOf: [
    'el extremo norte',
    'el extremo noreste',
    'el extremo este',
    'el extremo sureste',
    'el extremo sur',
    'el extremo suroeste',
    'el extremo oeste',
    'el extremo noroeste',
  ],
  placeAlong: length => `el punto a ${length} del comienzo de la línea`,
  list: parts => {
    if (parts.length < 2) return parts.join('')
    const last = parts[parts.length - 1]!
    return `${parts.slice(0, -1).join(', ')} ${/^h?i(?!e)/i.test(last) ? 'e' : 'y'} ${last}`
  },

  question: {
    ridge: '¿Qué filo escurre hacia aquí?',
    spill: '¿Por dónde debe rebalsar?',
    building: '¿Llegará el rebalse a una construcción?',
  },
  answer: {
    area: (area, cut) => (cut ? `Por lo menos ${area} escurren hacia esta línea.` : `Hacia esta línea escurren ${area}.`),
    ridge: (rise, distance, toward) =>
      `El agua viene del ${toward}; el punto alto del filo está ${rise} más arriba que el fondo, a ${distance}.`,
    ridgeAtEdge: (sides, gap) =>
      `Los datos de altura se acaban antes del filo${sides === null ? '' : `, hacia el ${sides}`}${gap ? `${sides === null ? ',' : ' y'} en un hueco de ellos` : ''}: traiga datos que lleguen hasta él antes de calcular nada.`,
    noRidge: 'No se pudo dibujar un filo alrededor.',
    noSpill: 'No se halló dónde rebalsar. Sin buen desagüe no hay zanja.',
    spillAt: (end, length, ending) => `De los dos extremos, ${end} es mejor para rebalsar: el agua corre ${length} y ${ending}.`,
    spillAtBest: (place, length, ending) =>
      `De los lugares mirados, el mejor para rebalsar es ${place}: el agua corre ${length} y ${ending}.`,
    spillAllBad: (place, length, ending) =>
      `Ninguno de los lugares mirados es bueno para rebalsar. El menos malo es ${place}: el agua corre ${length} y ${ending}.`,
    spillBad: (end, length, ending) =>
      `Ningún extremo es bueno para rebalsar. El menos malo es ${end}: el agua corre ${length} y ${ending}.`,
    spillWhy: (against, inFavor) =>
      [against && `En contra: ${against}.`, inFavor && `A favor: ${inFavor}.`].filter(part => part !== '').join(' '),
    spillOther: (end, against, inFavor) =>
      [against && `Habla contra ${end}: ${against}.`, inFavor && `Habla por ${end}: ${inFavor}.`].filter(part => part !== '').join(' '),
    flow: (end, length, ending) => `Desde ${end} el rebalse corre ${length} y ${ending}.`,
    reaches: name => `Llega a ${name}.`,
    passes: (name, distance, height, below) =>
      `Pasa a ${distance} de ${name}${height === null ? '; no se sabe cuánto más abajo que el piso' : `, ${height} más ${below ? 'abajo' : 'arriba'} que su piso`}.`,
    far: (name, distance) => `La construcción dibujada más cercana es ${name}, a ${distance}.`,
    meetsNone: 'No topa con ninguna construcción dibujada.',
    aBuilding: 'una construcción',
    traced:
      'El camino del agua se siguió por el suelo que muestran los datos; rodadas y caminos de animales más angostos que una celda pueden desviar el agua de verdad.',
  },

  plan: {
    north: 'N',
    title: 'Plano de la zanja, de la ladera que escurre hacia ella y de su rebalse',
    longTitle: 'Perfil a lo largo de la línea',
    crossTitle: 'Corte de la zanja y el camellón',
    ground: 'suelo de antes',
    bed: 'fondo',
    sill: 'umbral del vertedero',
    crest: 'corona ya asentada',
    spill: rank => `vertedero ${rank}`,
    cut: 'lo que se cava',
    berm: 'camellón',
    uphill: 'hacia arriba',
    downhill: 'hacia abajo',
    exaggerated: times => `Alturas ${times} veces más grandes que los largos.`,
    notExaggerated: 'Alturas y largos a la misma escala.',
    along: 'a lo largo de la línea, desde su primer punto',
    perLength: (area, unit) => `${area} por ${unit}`,
    lengthUnit: { metric: 'metro', us: 'pie' },
    noGoStretch: 'tramo donde no debe ir',
    noLine: 'La línea no tiene largo, así que no se puede dibujar un corte.',
    scale: ratio => `1:${ratio}`,
    scaleFeet: (feet, ratio) => `1 pulgada = ${feet} pies (1:${ratio})`,
  },

  key: {
    contour: interval => `curva de nivel, cada ${interval}`,
    ditch: 'zanja, con el camellón del lado de abajo',
    catchment: 'ladera que escurre hacia la línea',
    ridge: 'filo que la cierra, con su punto alto',
    overflow: 'camino del rebalse; los números ordenan los lugares para rebalsar',
    band: 'por donde se puede abrir el agua',
    clearance: 'distancia a una construcción que pide vigilar',
    noGo: reason => `aquí no va zanja: ${reason}`,
  },

  report: {
    sheet: 'Hoja de la zanja',
    shows: 'Posible zanja de infiltración a nivel: ladera que escurre, agua que guarda y rebalse',
    drawing: 'Qué muestra',
    data: 'Datos de altura',
    trust: 'Para qué sirven',
    date: 'Fecha',
    scale: 'Escala del plano',
    atFullSize: 'impreso al 100 %, sin ajustar a la página',
    dataText: (file, crs, cell) => `${file}; ${crs}; celdas de ${cell}`,
    unitFrom: {
      file: 'La unidad de las alturas se leyó del archivo.',
      user: 'La unidad de las alturas es la que dijo el usuario.',
      assumed: 'La unidad de las alturas es supuesta.',
    },
    errorKnown: error => `Las alturas fallan en unos ${error} (un error estándar).`,
    errorUnknown: 'No se sabe cuánto pueden fallar las alturas.',
    unnamed: 'sin nombre',
    questions: 'Primero, tres preguntas',
    limits: 'Esto es un cálculo para planear. Revisa y sigue el agua; no demuestra nada. Lea “Antes de cavar”, más abajo.',
    asBuilt: 'Calculado con la zanja como se midió en el terreno, no como se planeó. Estacas, excavación y siembra son las del plan.',
    plan: 'Plano',
    heightsIn: { metric: 'Las alturas del plano están en metros', us: 'Las alturas del plano están en pies' },
    sections: 'Cortes',
    findings: 'Lo que se revisó',
    findingColumns: { verdict: 'Resultado', check: 'Pregunta', text: 'Lo que se halló', next: 'Qué hacer ahora' },
    source: 'Fuente',
    marks:
      'Disco lleno: dentro de límites. Medio disco: vigilar. Cruz: no pasa. Anillo vacío: no se sabe. “Dentro de límites” solo quiere decir que esta revisión no halló nada en contra.',
    storms: 'Aguaceros',
    noStorms:
      'No se dio una tabla de lluvias, así que no se pudo calcular ningún aguacero. Los volúmenes de agua no se saben; no son cero.',
    stormNote: (number, source) => `Número de escurrimiento ${number} (${source}).`,
    stormCut: 'Los datos de altura se acaban antes del filo: los volúmenes de verdad son mayores que estos.',
    numbers: 'La línea en números',
    number: {
      length: 'Largo de la línea',
      bed: 'Altura del fondo',
      fall: 'Caída del suelo a lo largo de la línea',
      range: 'Subidas y bajadas del suelo a lo largo de la línea',
      slope: 'Pendiente media de la ladera',
      area: 'Ladera que escurre hacia ella',
      outline: 'Dentro del contorno dibujado',
      flow: 'Camino más largo del agua hasta la línea',
      toSill: 'Agua que guarda hasta donde empieza a salir',
      afterSediment: 'Lo mismo, dejando lugar para sedimento',
      toCrest: 'Agua que guarda hasta la corona, donde pasaría por encima',
      cut: 'Tierra por cavar',
      berm: 'Tierra suelta en el camellón',
    },
    spills: 'Lugares para rebalsar, en orden',
    spillColumns: {
      rank: 'Orden',
      place: 'Lugar',
      path: 'Camino del rebalse',
      building: 'Construcción dibujada más cercana',
      reasons: 'Lo que cuenta',
    },
    settings: 'Ajustes usados',
    settingColumns: { name: 'Ajuste', value: 'Valor', origin: 'De dónde', source: 'Fuente del valor de fábrica' },
    notDug: 'Una zanja de esta forma no cabe en esta línea o pendiente; por eso no se dan corte, agua guardada ni tierra.',
    assumed: 'supuesto',
    given: 'dado',
    settingsNote: '“Supuesto” es un valor de fábrica que nadie ha revisado para este lugar. Cámbielo si sabe más.',
    assumptions: 'Supuestos y fuentes',
    assumptionItems: [
      'Áreas, largos y distancias se miden a nivel, como en un mapa.',
      'El agua se sigue por el suelo que muestran los datos, antes de la obra. Alcantarillas, drenes y rodadas más angostos que una celda no se ven si no se dibujaron.',
      'Lo que se cava y lo que se guarda se suma de estaca en estaca; el corte dibujado es el de la pendiente media. Lo que deja un aguacero se cuenta desde la zanja vacía; lo que debe pasar por el vertedero, desde la zanja llena.',
      'Lo que guarda se cuenta hasta donde empieza a salir el agua. Lo que sube más ya va de salida.',
      'La altura del camellón es ya asentado. Mientras está fresco debe quedar más alto.',
      'La franja del rebalse muestra por dónde se puede abrir el agua en suelo parejo. No es una probabilidad.',
    ],
    sources: 'Fuentes',
    remarks: 'Observaciones sobre los datos',
    noRemarks: 'Sin observaciones.',
    cautions: 'Antes de cavar',
    cautionItems: [
      'Pregunte a la autoridad local por movimientos de tierra, quebradas, humedales y derechos de agua. Echarle agua nueva al vecino es motivo para no seguir.',
      'Pida a las empresas de servicios que marquen las líneas enterradas.',
      'Consulte a un ingeniero titulado si más abajo hay casa, construcción o camino; si la ladera pasa de 15° en arcilla o tierra suelta; si hay grietas, árboles ladeados, filtraciones o derrumbes viejos; o arriba de un corte, del borde de una terraza o de un camino.',
      'Haga primero el vertedero, en suelo sin mover, nunca sobre relleno suelto. Nada leñoso crece en él ni cerca.',
      'Ponga los niveles con manguera o láser, y revise otra vez la corona y el umbral cuando el camellón se haya asentado.',
      'En una tormenta no se suba al camellón ni se pare debajo. Si rebosa, abra el vertedero, nunca el camellón, y solo si puede hacerlo sin peligro.',
      'Cuídela: saque el sedimento cuando llene la cuarta parte, no deje rastrojo suelto en el fondo ni en el vertedero, tape cuevas, cerque el ganado, y piense en los niños cerca del agua.',
    ],
    notConsidered: 'Lo que no se miró',
    notConsideredItems: {
      'breach-beyond-ways':
        'Adónde va el agua de un camellón roto más allá de lo que se trazó. Cuente con que todo lo que hay más abajo de la línea está en su camino.',
      'seepage-and-slope': 'Cómo se filtra el agua hacia las construcciones, y si la ladera está firme.',
      groundwater: 'Agua subterránea: ninguna calicata dice a qué profundidad está.',
      'dispersive-soil': 'Suelo que se deshace en el agua: falta la prueba del terrón en alguna calicata, o no hay ninguna.',
      'cracking-soil': 'Suelo que se agrieta al secarse: no está anotado en cada calicata.',
      'burned-ground': 'Si la ladera de arriba se quemó.',
      'snow-and-frost': 'Deshielo y suelo helado.',
      'sediment-and-debris': 'Cuánta tierra, piedras y ramas trae el agua.',
      'water-from-beyond': 'Obras más arriba, drenes, techos y caminos que traen agua del otro lado del filo.',
      'floods-and-plants': 'Crecidas de la quebrada, y cómo las plantas cambian el agua con los años.',
    },
    tracing: 'Para rastrear esta hoja',
    versionText: version => `Soakline ${version}`,
    hashText: hash => `Datos de altura, SHA-256: ${hash}`,
    void: 'Esta hoja deja de valer cuando cambian la línea, los ajustes, los datos o el terreno.',
    signatures: ['Revisó en el terreno', 'Fecha', 'Vio los permisos'],
    keyTitle: 'Signos',
  },

  summary: {
    title: 'Posible zanja de infiltración a nivel: un cálculo para planear, no un diseño',
    line: (length, bed, slope) => `Línea: ${length} de largo, fondo a ${bed}, en ladera de ${slope}.`,
    noDitch: 'Una zanja de esta forma no cabe en esta línea: no se sabe cuánto guardaría.',
    holds: (sill, cut) => `Guarda ${sill} hasta el vertedero; ${cut} de tierra por cavar.`,
    noStorm: 'No se dio tabla de lluvias: no se sabe cuánta agua manda un aguacero.',
    checks: 'Revisiones:',
    worst: verdict => `Lo peor de todas las revisiones: ${verdict}.`,
  },
}
