import type { OutletRefusal, OverflowReason, SpillReasonCode } from 'soakline/siting'
import type { Sentence } from './templates.js'

// Where to spill, what the overflow meets when the heights are as wrong as they may be, and what lies below a break.

/** What speaks for and against a place to spill, as parts of a sentence. `{measured}` and `{limit}` are said where they are at hand. */
export const SPILL_REASON_WORDS = {
  'no-ground': { en: 'no ground is known there', es: 'ahí no se conoce el suelo' },
  'reaches-building': { en: 'it reaches a building', es: 'llega a una construcción' },
  'reaches-septic': { en: 'it runs over a septic field', es: 'pasa sobre una fosa séptica' },
  'reaches-well': { en: 'it reaches a well', es: 'llega a un pozo' },
  'crosses-boundary': {
    en: 'it crosses the boundary: water led onto a neighbor',
    es: 'cruza el lindero: le echa agua al vecino',
  },
  'runs-in-track': {
    en: 'it runs[ {measured}] along a track, and a track is a gutter',
    es: 'corre[ {measured}] por un camino, y un camino es una canaleta',
  },
  'track-receives': {
    en: 'a track[ {measured} below the sill] would take the water',
    es: 'un camino[ a {measured} del vertedero] recogería el agua',
  },
  'fill-receives': { en: 'the water falls on loose soil of another berm', es: 'el agua cae sobre la tierra suelta de otro camellón' },
  'slip-receives': { en: 'the water falls on ground that has slipped', es: 'el agua cae donde ya hubo un derrumbe' },
  'sill-on-fill': { en: 'the sill would lie on loose soil', es: 'el vertedero quedaría sobre tierra suelta' },
  'runs-back': { en: 'the water runs back into the same ditch', es: 'el agua vuelve a la misma zanja' },
  'passes-near-building': {
    en: 'it passes near a building[: {measured} off, and {limit} is asked]',
    es: 'pasa cerca de una construcción[: a {measured}, y se piden {limit}]',
  },
  'not-high-enough': {
    en: 'a floor near it stands too little above the water[: {measured:height}, and {limit:height} is asked]',
    es: 'un piso cercano queda muy poco más alto que el agua[: {measured:height}, y se piden {limit:height}]',
  },
  'crosses-track': { en: 'it crosses a track, which can carry the water off', es: 'cruza un camino, que se puede llevar el agua' },
  'short-forest-run': {
    en: 'its way through forest before the boundary is short[: {measured}]',
    es: 'su camino por el bosque antes del lindero es corto[: {measured}]',
  },
  'leaves-raster': { en: 'it runs off the height data', es: 'se sale de los datos de altura' },
  'too-fast-grassed': {
    en: 'even on grass it runs too fast[: {measured}, and grass stands {limit}]',
    es: 'aun sobre pasto corre demasiado rápido[: {measured}, y el pasto aguanta {limit}]',
  },
  'ends-in-hollow': { en: 'it ends in a hollow with no way out', es: 'termina en una hondonada sin salida' },
  'longer-than-published': {
    en: 'it asks for a longer sill than any that is published[: {measured}]; split the water',
    es: 'pide un vertedero más largo que los publicados[: {measured}]; reparta el agua',
  },
  'sill-armoured': {
    en: 'the sill lies on loose soil and hangs on its stone',
    es: 'el vertedero queda sobre tierra suelta y depende de su piedra',
  },
  'crosses-wet-ground': { en: 'it crosses ground that is already wet', es: 'cruza suelo que ya está mojado' },
  'steep-exit': {
    en: 'the ground below the spill is steep[: {measured}]',
    es: 'el suelo abajo del vertedero es empinado[: {measured}]',
  },
  'crosses-utility': { en: 'it crosses a buried line', es: 'cruza una línea enterrada' },
  'into-lower-ditch': {
    en: 'it runs into a ditch below, whose spill must carry it too',
    es: 'entra a una zanja de más abajo, y el vertedero de esa también tiene que llevarla',
  },
  'too-fast-bare': {
    en: 'in the first year, on bare soil, it runs too fast[: {measured}, and bare soil stands {limit}]',
    es: 'el primer año, en suelo desnudo, corre demasiado rápido[: {measured}, y el suelo aguanta {limit}]',
  },
  'ends-in-forest': { en: 'it ends in forest[ after {measured}]', es: 'termina en bosque[ a los {measured}]' },
  'ends-in-stream': { en: 'it ends in a stream[ after {measured}]', es: 'termina en una quebrada[ a los {measured}]' },
  'flat-firm-ground': { en: 'the ground below the spill is nearly flat', es: 'el suelo abajo del vertedero es casi plano' },
  'undisturbed-ground': { en: 'the sill is cut into ground that was not dug', es: 'el vertedero se corta en suelo sin remover' },
  'speed-within-bare': { en: 'it is slow enough for bare soil', es: 'va tan lenta que el suelo desnudo la aguanta' },
  'speed-within-grassed': { en: 'it is slow enough for grass', es: 'va tan lenta que el pasto la aguanta' },
  'far-from-buildings': {
    en: 'it keeps the set distance from the drawn buildings[: {measured}]',
    es: 'guarda la distancia puesta a las construcciones dibujadas[: {measured}]',
  },
} as const satisfies Readonly<Record<SpillReasonCode, Sentence>>

/** Why ground was left out where an outlet was looked for. */
export const OUTLET_REFUSAL_WORDS = {
  'off-holding': { en: 'off the holding', es: 'fuera de la finca' },
  building: { en: 'too close to a building', es: 'demasiado cerca de una construcción' },
  track: { en: 'on a track or beside it', es: 'en un camino o junto a él' },
  wet: { en: 'ground that is already wet', es: 'suelo que ya está mojado' },
  septic: { en: 'a septic field', es: 'una fosa séptica' },
  slip: { en: 'ground that has slipped', es: 'suelo que ya se derrumbó' },
  'too-steep': { en: 'too steep', es: 'demasiado empinado' },
  'water-passes-building': { en: 'its water would pass a building', es: 'su agua pasaría junto a una construcción' },
} as const satisfies Readonly<Record<OutletRefusal, Sentence>>

/** The verdict of the tried terrains about the overflow. `overflow/reaches-building` stands with the others of the traced ground. */
export const OVERFLOW_IN_DOUBT = {
  'overflow/reaches-in-runs': {
    en: 'In {reached} of {runs} tried terrains the overflow came within {clearance_m:length} of {name?a building}. The heights are not sure enough to rule it out.',
    es: 'En {reached} de {runs} terrenos ensayados el rebalse pasó a menos de {clearance_m:length} de {name?una construcción}. Las alturas no bastan para descartarlo.',
    when: {
      key: 'reached',
      is: {
        0: {
          en: 'On the ground as the data shows it the overflow comes within {clearance_m:length} of {name?a building}, though in none of {runs} tried terrains did it.',
          es: 'En el terreno como lo muestran los datos el rebalse pasa a menos de {clearance_m:length} de {name?una construcción}, aunque en ninguno de {runs} terrenos ensayados lo hizo.',
        },
      },
    },
  },
  'overflow/near-in-runs': {
    en: 'In none of {runs} tried terrains did the overflow come within {clearance_m:length} of {name?a building}, but in some it came within twice that[, as near as {distance_m:length}].',
    es: 'En ninguno de {runs} terrenos ensayados el rebalse pasó a menos de {clearance_m:length} de {name?una construcción}, pero en algunos pasó a menos del doble[; lo más cerca, a {distance_m:length}].',
  },
  'overflow/reaches-with-twice-the-error': {
    en: 'In none of {runs} tried terrains did the overflow come near {name?a building}, but it did when the heights were taken twice as wrong.',
    es: 'En ninguno de {runs} terrenos ensayados el rebalse se acercó a {name?una construcción}, pero sí cuando las alturas se tomaron con el doble de error.',
  },
  'overflow/window-left': {
    en: 'Unknown: in some of {runs} tried terrains the overflow left the ground that was worked out. Where it ends there is not known.',
    es: 'No se sabe: en algunos de {runs} terrenos ensayados el rebalse salió del suelo calculado. Ahí no se sabe dónde termina.',
  },
  'overflow/too-few-runs': {
    en: 'Unknown: only {runs} terrains were tried. {reached} of {runs} still allows {atMost_ratio} of terrains like these to send water to {name?a building}.',
    es: 'No se sabe: solo se ensayaron {runs} terrenos. {reached} de {runs} aún permite que en el {atMost_ratio} de terrenos como estos llegue agua a {name?una construcción}.',
  },
  'overflow/misses-in-runs': {
    en: 'In none of {runs} tried terrains did the overflow come near a building that was drawn[; {name} was the nearest].[ {reached} of {runs} still allows {atMost_ratio} of terrains like these to send it there.] Ruts and paths smaller than a cell are not seen.',
    es: 'En ninguno de {runs} terrenos ensayados el rebalse se acercó a una construcción dibujada[; la más cercana fue {name}].[ {reached} de {runs} aún permite que en el {atMost_ratio} de terrenos como estos llegue ahí.] Surcos y veredas más chicos que una celda no se ven.',
  },
} as const satisfies Readonly<Record<Exclude<OverflowReason, 'overflow/reaches-building'>, Sentence> & Record<string, Sentence>>

const WATER_BEHIND: Sentence = {
  en: '[ About {volume_m3} stand behind it.][ Up to {peak_m3s} could rush out.]',
  es: '[ Detrás hay unos {volume_m3}.][ Podrían salir de golpe hasta {peak_m3s}.]',
}
const breaks = (en: string, es: string): Sentence => ({
  en: `If the berm breaks[ at {chainage_m:length} along the line], ${en}`,
  es: `Si el camellón se rompe[ a {chainage_m:length} del comienzo de la línea], ${es}`,
})

export const SITING_FINDINGS = {
  ...OVERFLOW_IN_DOUBT,
  'holding/leaves-raster': {
    en: 'Unknown: the overflow runs off the height data inside the boundary. Where it crosses is not known.',
    es: 'No se sabe: el rebalse se sale de los datos de altura antes de llegar al lindero. No se sabe por dónde lo cruza.',
  },
  'overflow/no-terrains-tried': {
    en: 'On the heights as they are the overflow misses every building that was drawn[; it comes no closer than {measured:length}]. No other heights were tried, so how far errors would turn it is not known.',
    es: 'Con las alturas como están el rebalse no topa con ninguna construcción dibujada[; no se acerca a menos de {measured:length}]. No se ensayaron otras alturas, así que no se sabe cuánto lo desviarían los errores.',
  },
  'overflow/wets-building': {
    en: 'The overflow stands {depth_m} deep and so wide that it wets {name?a building}.',
    es: 'El rebalse llega a {depth_m} de hondo y es tan ancho que moja {name?una construcción}.',
  },
  'overflow/into-lower-ditch': {
    en: 'The overflow runs into ditch {ditch} below it. The spill of that ditch must carry this water too.',
    es: 'El rebalse entra a la zanja {ditch} de más abajo. El vertedero de esa zanja también tiene que llevar esta agua.',
  },
  'spill/place-found': {
    en: 'The best place to spill that was found lies {chainage_m:length} along the line[, where the ground below falls {slope_ratio}].[ Against it: {against}.][ For it: {inFavor}.]',
    es: 'El mejor lugar que se halló para el vertedero está a {chainage_m:length} del comienzo de la línea[, donde el suelo de abajo cae {slope_ratio}].[ En contra: {against}.][ A favor: {inFavor}.]',
  },
  'spill/place-with-doubts': {
    en: 'The place to spill lies {chainage_m:length} along the line, though not without doubts.[ Against it: {against}.][ For it: {inFavor}.]',
    es: 'El lugar para el vertedero está a {chainage_m:length} del comienzo de la línea, aunque no sin dudas.[ En contra: {against}.][ A favor: {inFavor}.]',
  },
  'spill/place-forbidden': {
    en: 'The chosen place to spill, {chainage_m:length} along the line, is ruled out.[ Against it: {against}.][ For it: {inFavor}.]',
    es: 'El lugar elegido para el vertedero, a {chainage_m:length} del comienzo de la línea, queda descartado.[ En contra: {against}.][ A favor: {inFavor}.]',
  },
  'spill/crosses-track': {
    en: 'From the best place to spill that was found, {chainage_m:length} along the line, the water crosses a track: it can run off along it, or stand in the way of whoever drives there.[ Against it: {against}.]',
    es: 'Desde el mejor lugar que se halló para el vertedero, a {chainage_m:length} del comienzo de la línea, el agua cruza un camino: se puede ir por él, o estorbar a quien pase.[ En contra: {against}.]',
  },
  'spill/leaves-raster': {
    en: 'Unknown: from the best place to spill that was found, {chainage_m:length} along the line, the water runs off the height data. Where it ends was not seen.[ Against it: {against}.][ For it: {inFavor}.]',
    es: 'No se sabe: desde el mejor lugar que se halló para el vertedero, a {chainage_m:length} del comienzo de la línea, el agua se sale de los datos de altura. No se vio dónde termina.[ En contra: {against}.][ A favor: {inFavor}.]',
  },
  'spill/nowhere-acceptable': {
    en: 'Nowhere along this line may it spill: all[ {tried}] places that were tried are ruled out.[ Against the least bad one, {chainage_m:length} along it: {against}.] No acceptable outlet, no swale.',
    es: 'En ningún lugar de esta línea debe rebalsar: todos los[ {tried}] lugares ensayados quedan descartados.[ Contra el menos malo, a {chainage_m:length} del comienzo: {against}.] Sin una salida aceptable no hay zanja.',
  },
  'spill/no-second-stage': {
    en: 'There is no second place to spill in large storms: the notch and the long sill must share one place.',
    es: 'No hay un segundo lugar para rebalsar en aguaceros grandes: la muesca y el vertedero largo comparten un mismo lugar.',
  },
  'spill/not-worked-out': {
    en: 'Unknown: the flow of the storm is not known, so where to spill was not worked out.',
    es: 'No se sabe: no se conoce el caudal del aguacero, así que no se calculó dónde rebalsar.',
  },
  'breach/reaches-building': breaks(
    `the water reaches {name?a building}.${WATER_BEHIND.en} Nothing of value should lie below a place where it can break.`,
    `el agua llega a {name?una construcción}.${WATER_BEHIND.es} Nada de valor debe quedar abajo de donde se pueda romper.`,
  ),
  'breach/near-building': breaks(
    'the water passes {name?a building} at {measured:length}; less than {limit:length} asks for a closer look on site.',
    'el agua pasa a {measured:length} de {name?una construcción}; a menos de {limit:length} hay que ir a mirar el terreno.',
  ),
  'breach/not-high-enough': breaks(
    'the water passes {name?a building} and its floor stands too little above it[: {heightBelowFloor_m} over the ground on the water’s way]. That is too little for the doubt in the heights.',
    'el agua pasa junto a {name?una construcción} y su piso queda muy poco más alto[: {heightBelowFloor_m} sobre el suelo por donde pasa]. Es muy poco para lo que pueden fallar las alturas.',
  ),
  'breach/meets': {
    ...breaks('the water meets something of value that was drawn.', 'el agua topa con algo de valor que está dibujado.'),
    when: {
      key: 'below',
      is: {
        track: breaks(
          'the water runs onto a track, which may lead it elsewhere.',
          'el agua corre al camino, que la puede llevar a otro lado.',
        ),
        septic: breaks('the water runs over a septic field.', 'el agua pasa sobre una fosa séptica.'),
        well: breaks('the water reaches a well.', 'el agua llega a un pozo.'),
        boundary: breaks('the water runs onto the neighbor’s land.', 'el agua corre al terreno del vecino.'),
        utility: breaks('the water runs over a buried line.', 'el agua pasa sobre una línea enterrada.'),
      },
    },
  },
  'breach/buildings-not-confirmed': {
    en: 'Unknown: the water of a break meets no building that was drawn, but nobody has said that every building down to the stream is drawn.',
    es: 'No se sabe: el agua de una rotura no topa con ninguna construcción dibujada, pero nadie ha dicho que estén dibujadas todas hasta la quebrada.',
  },
  'breach/peak-unknown': {
    en: 'Unknown: while nobody can say how fast the water comes, how much a break lets go is not known. Nothing that was drawn lies on its way.',
    es: 'No se sabe: mientras nadie pueda decir qué tan rápido llega el agua, no se sabe cuánta suelta una rotura. En su camino no hay nada dibujado.',
  },
  'breach/no-ditch': {
    en: 'Unknown: without a ditch that can be dug, nobody can say what a break of its berm would do.',
    es: 'No se sabe: sin una zanja que se pueda cavar, nadie puede decir qué haría una rotura de su camellón.',
  },
  'breach/leaves-raster': {
    en: 'Unknown: the water of a break runs off the height data[ when the berm breaks at {chainage_m:length} along the line]. What lies beyond is not known.',
    es: 'No se sabe: el agua de una rotura se sale de los datos de altura[ si el camellón se rompe a {chainage_m:length} del comienzo de la línea]. No se sabe qué hay más allá.',
  },
  'breach/nothing-below': {
    en: 'A break of the berm was tried at[ {stakes}] places along the line: the water meets nothing of value that was drawn.[ It comes no closer than {measured:length} to {name?a building}.]',
    es: 'Se ensayó una rotura del camellón en[ {stakes}] lugares de la línea: el agua no topa con nada de valor que esté dibujado.[ No se acerca a menos de {measured:length} de {name?una construcción}.]',
  },
  'breach/no-building-drawn': {
    en: 'No building was drawn, and somebody said that all of them are drawn. So the water of a break meets none; this rests on that word alone.',
    es: 'No se dibujó ninguna construcción, y alguien dijo que están todas dibujadas. Entonces el agua de una rotura no topa con ninguna; eso descansa solo en esa palabra.',
  },
  'breach/also-falls': {
    en: 'If this berm breaks, the ditch below breaks too: {volume_m3} together.',
    es: 'Si este camellón se rompe, también se rompe la zanja de abajo: {volume_m3} en total.',
  },
  'catchment/wide-range': {
    en: 'With the doubt in the heights anything from {low_m2} to {high_m2} may drain into this line. Size the spill for the larger.',
    es: 'Con la duda en las alturas pueden escurrir hacia esta línea entre {low_m2} y {high_m2}. Calcule el vertedero para lo mayor.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

const MEASURE: Sentence = {
  en: 'Measure the floor and the ground on the water’s way with an instrument, or spill elsewhere.',
  es: 'Mida con instrumento el piso y el suelo por donde pasa el agua, o rebalse en otro lado.',
}
const TRY_MORE: Sentence = {
  en: 'Try more terrains, or bring height data that reaches down to the stream.',
  es: 'Ensaye más terrenos, o traiga datos de altura que bajen hasta la quebrada.',
}
const WALK_WAY: Sentence = {
  en: 'Walk the way of the water in rain. Ruts and stock paths that the data does not show can turn it.',
  es: 'Camine con lluvia por donde iría el agua. Rodadas y caminos de animales que los datos no muestran la pueden desviar.',
}
const OTHER_SPILL: Sentence = {
  en: 'Move the line, or make an outlet first. Ask a licensed engineer before you go on.',
  es: 'Mueva la línea, o prepare antes una salida. Antes de seguir, consulte a un ingeniero titulado.',
}
const GO_LOOK: Sentence = {
  en: 'Walk from the spill down to where the water ends, and see whether what speaks against it can be helped.',
  es: 'Camine desde el vertedero hasta donde termina el agua, y vea si lo que habla en contra tiene remedio.',
}
const LESS_WATER: Sentence = {
  en: 'Move the line, or keep less water behind the berm: a wider, lower ditch. Ask a licensed engineer before you go on.',
  es: 'Mueva la línea, o guarde menos agua detrás del camellón: una zanja más ancha y baja. Antes de seguir, consulte a un ingeniero titulado.',
}
const DRAW_ALL: Sentence = {
  en: 'Draw every building down to the stream, sheds and neighbors’ too, then say so in the settings.',
  es: 'Dibuje todas las construcciones hasta la quebrada, también galpones y las de vecinos, y dígalo en los ajustes.',
}
const SETTLE_DITCH: Sentence = {
  en: 'Settle the line and the shape of the ditch first, then check again.',
  es: 'Defina primero la línea y la forma de la zanja, y vuelva a revisar.',
}
const BOTH_SPILLS: Sentence = {
  en: 'Size that spill for both waters, or lead this one elsewhere.',
  es: 'Calcule ese vertedero para las dos aguas, o lleve esta a otro lado.',
}
const SHORT_BURSTS: Sentence = {
  en: 'Bring a rain table with short bursts and make sure that the height data reaches the ridge.',
  es: 'Traiga una tabla de lluvia con aguaceros cortos y revise que los datos de altura lleguen al parteaguas.',
}

const MORE_GROUND: Sentence = {
  en: 'Bring height data that reaches down to the stream.',
  es: 'Traiga datos de altura que bajen hasta la quebrada.',
}

export const SITING_NEXT = {
  'overflow/no-terrains-tried': {
    en: 'Set how many terrains are tried back to what it was, 200, and ask again.',
    es: 'Vuelva a poner en 200 la cantidad de terrenos que se ensayan, y pregunte otra vez.',
  },
  'spill/crosses-track': {
    en: 'Move the line so that it spills elsewhere. Water may cross a road or a track only where a licensed engineer has planned the crossing.',
    es: 'Mueva la línea para que rebalse en otro lado. El agua solo puede cruzar un camino donde un ingeniero titulado haya planeado el paso.',
  },
  'holding/leaves-raster': MORE_GROUND,
  'overflow/reaches-in-runs': MEASURE,
  'overflow/near-in-runs': MEASURE,
  'overflow/reaches-with-twice-the-error': MEASURE,
  'overflow/window-left': TRY_MORE,
  'overflow/too-few-runs': {
    en: 'Try more terrains: set a larger number in the settings, 200 or more.',
    es: 'Ensaye más terrenos: ponga en los ajustes un número mayor, 200 o más.',
  },
  'overflow/misses-in-runs': WALK_WAY,
  'overflow/wets-building': OTHER_SPILL,
  'overflow/into-lower-ditch': BOTH_SPILLS,
  'spill/place-found': {
    en: 'Go and look at this place before you dig anything, and build the spill first.',
    es: 'Vaya a ver este lugar antes de cavar nada, y haga primero el vertedero.',
  },
  'spill/place-with-doubts': GO_LOOK,
  'spill/place-forbidden': {
    en: 'Let the best place be found again, or choose another one by hand.',
    es: 'Deje que se busque otra vez el mejor lugar, o elija otro a mano.',
  },
  'spill/nowhere-acceptable': OTHER_SPILL,
  'spill/no-second-stage': GO_LOOK,
  'spill/not-worked-out': SHORT_BURSTS,
  'breach/reaches-building': LESS_WATER,
  'breach/near-building': LESS_WATER,
  'breach/not-high-enough': {
    en: 'Measure the floor and the ground on the water’s way with an instrument, or move the line.',
    es: 'Mida con instrumento el piso y el suelo por donde pasaría el agua, o mueva la línea.',
  },
  'breach/meets': {
    en: 'Walk down from that place and look what the water would do there. Move the line or keep less water; ask a licensed engineer, and whoever owns what it meets, before you go on.',
    es: 'Baje caminando desde ese lugar y mire qué haría ahí el agua. Mueva la línea o guarde menos agua; antes de seguir pregunte a un ingeniero titulado y a quien sea dueño de lo que topa.',
  },
  'breach/buildings-not-confirmed': DRAW_ALL,
  'breach/peak-unknown': SHORT_BURSTS,
  'breach/no-ditch': SETTLE_DITCH,
  'spill/leaves-raster': MORE_GROUND,
  'breach/leaves-raster': MORE_GROUND,
  'breach/nothing-below': {
    en: 'Walk below the line all the same and think of everything there as in its way: people, stock, tracks.',
    es: 'Aun así camine abajo de la línea y piense que todo ahí está en su camino: gente, animales, caminos.',
  },
  'breach/no-building-drawn': {
    en: 'Look again from the line down to the stream: sheds, tanks and the neighbors’ buildings count.',
    es: 'Mire otra vez desde la línea hasta la quebrada: cuentan galpones, tanques y construcciones de vecinos.',
  },
  'breach/also-falls': BOTH_SPILLS,
  'catchment/wide-range': {
    en: 'Walk the ridge and see which way the water runs on either side, or bring better height data.',
    es: 'Camine el filo y mire para dónde corre el agua de cada lado, o traiga mejores datos de altura.',
  },
} as const satisfies Readonly<Record<keyof typeof SITING_FINDINGS, Sentence>>
