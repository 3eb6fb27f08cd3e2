import type { MeasuredLeg, MeasuredWay } from 'soakline/terrain'
import { formatAlong, formatArea, formatElevation, formatSlope } from './measures.js'
import type { Voice } from './voice.js'

/** What the sheet says about measuring on the plan, in English. Spanish has the same keys, or does not compile. */
const english = {
  tool: 'Measure',
  hint: 'Distance, fall and area along places that you tap',
  panel: 'Tap the places to measure along.',
  one: 'The next place gives the distance.',
  again: 'Measure anew',
  end: 'Put it away',
  legs: 'From place to place',
  leg: (from: string, to: string) => `${from} to ${to}`,
  level: 'the same height',
  noHeight: 'no height known at one of them',
  climbs: (rise: string, slope: string) => `climbs ${rise} (${slope})`,
  falls: (fall: string, slope: string) => `falls ${fall} (${slope})`,
  all: (length: string) => `${length} level distance.`,
  above: (rise: string) => `The last place lies ${rise} above the first.`,
  below: (fall: string) => `The last place lies ${fall} below the first.`,
  evenEnds: 'The last place lies as high as the first.',
  tape: (length: string) => `A taut tape from place to place: ${length}.`,
  ends: (first: string, last: string) => `Heights: ${first} at the first, ${last} at the last.`,
  area: (area: string) => `Closed from the last to the first: ${area} of level area.`,
  method: (system: string) =>
    `Level distances in the plane of ${system}. Heights are read between the cells of the raster and are no surer than they are; nothing of this goes into the plan.`,
  snap: 'Near a corner of what is drawn, the corner is taken.',
}

/** The words about measuring on the plan. */
export type MeasureWords = typeof english

const spanish: MeasureWords = {
  tool: 'Medir',
  hint: 'Distancia, caída y superficie por los lugares que toque',
  panel: 'Toque los lugares por donde medir.',
  one: 'El siguiente lugar da la distancia.',
  again: 'Medir de nuevo',
  end: 'Quitar la medida',
  legs: 'De lugar a lugar',
  leg: (from, to) => `${from} a ${to}`,
  level: 'la misma altura',
  noHeight: 'en uno de ellos no se conoce la altura',
  climbs: (rise, slope) => `sube ${rise} (${slope})`,
  falls: (fall, slope) => `baja ${fall} (${slope})`,
  all: length => `${length} de distancia a nivel.`,
  above: rise => `El último lugar queda ${rise} más alto que el primero.`,
  below: fall => `El último lugar queda ${fall} más bajo que el primero.`,
  evenEnds: 'El último lugar queda a la altura del primero.',
  tape: length => `Una cinta tensa de lugar a lugar: ${length}.`,
  ends: (first, last) => `Alturas: ${first} en el primero, ${last} en el último.`,
  area: area => `Cerrado del último al primero: ${area} de superficie a nivel.`,
  method: system =>
    `Distancias a nivel en el plano de ${system}. Las alturas se leen entre las celdas del ráster y no son más seguras que ellas; nada de esto entra en el plan.`,
  snap: 'Cerca de una esquina de lo dibujado se toma la esquina.',
}

/** What the sheet says about measuring on the plan. */
export const measureWords = ({ language }: Pick<Voice, 'language'>): MeasureWords => (language === 'es' ? spanish : english)

/** Heights nearer to each other than this are told as the same. Source: judgement; a tenth is the last figure shown. */
const EVEN_M = 0.05

/** One leg: its distance, and what the ground does on it. */
export function sayLeg({ length_m, rise_m }: MeasuredLeg, voice: Voice): string {
  const say = measureWords(voice)
  const slope = rise_m === null || length_m === 0 ? '' : formatSlope(Math.abs(rise_m) / length_m, voice)
  const how =
    rise_m === null
      ? say.noHeight
      : Math.abs(rise_m) < EVEN_M
        ? say.level
        : (rise_m > 0 ? say.climbs : say.falls)(formatElevation(Math.abs(rise_m), voice, 1), slope)
  return `${formatAlong(length_m, voice)}, ${how}`
}

/** What was measured along a way: its sentences, and its legs where it has more than one. */
export interface SaidMeasure {
  readonly sentences: readonly string[]
  readonly legs: readonly { readonly name: string; readonly text: string }[]
}

/** Puts what was measured into sentences. */
export function sayMeasured(way: MeasuredWay, voice: Voice): SaidMeasure {
  const say = measureWords(voice)
  const { rise_m, tape_m, area_m2, legs, heights_m } = way
  if (legs.length === 0) return { sentences: [], legs: [] }
  const height = (elevation_m: number | null | undefined): string => formatElevation(elevation_m, voice, 1)
  const ends =
    rise_m === null
      ? []
      : [Math.abs(rise_m) < EVEN_M ? say.evenEnds : (rise_m > 0 ? say.above : say.below)(formatElevation(Math.abs(rise_m), voice, 1))]
  return {
    sentences: [
      say.all(formatAlong(way.length_m, voice)),
      ...ends,
      ...(tape_m === null ? [] : [say.tape(formatAlong(tape_m, voice))]),
      say.ends(height(heights_m[0]), height(heights_m[heights_m.length - 1])),
      ...(area_m2 === null ? [] : [say.area(formatArea(area_m2, voice, 3))]),
    ],
    legs: legs.length < 2 ? [] : legs.map((leg, k) => ({ name: say.leg(String(k + 1), String(k + 2)), text: sayLeg(leg, voice) })),
  }
}
