import { measuresOf } from './measures.js'
import { inLanguage, type Language, type Voice } from './voice.js'

/** The short answers about ground without a plan. */
interface GroundSummaries {
  readonly levelLine: (length: string, from: string, to: string) => string
  readonly hollows: (count: number, largest: { readonly volume: string; readonly depth: string } | null) => string
  readonly contours: (count: number) => string
  readonly drains: (area: string, cutByEdge: boolean) => string
  readonly ridge: (height: string, longestFlow: string) => string
}

const SUMMARIES: Readonly<Record<Language, GroundSummaries>> = {
  en: {
    levelLine: (length, from, to) => `A line of ${length}, from ${from} to ${to}.`,
    hollows: (count, largest) =>
      `${count} ${count === 1 ? 'hollow' : 'hollows'}${largest ? `; the largest holds ${largest.volume} and is ${largest.depth} deep` : ''}.`,
    contours: count => `${count} contour lines.`,
    drains: (area, cut) => (cut ? `At least ${area} drain here: the raster's edge cuts the catchment.` : `${area} drain here.`),
    ridge: (height, longest) => `The ridge that bounds it rises to ${height}; the longest way of the water is ${longest}.`,
  },
  es: {
    levelLine: (length, from, to) => `Línea de ${length}, de ${from} a ${to}.`,
    hollows: (count, largest) =>
      `${count} ${count === 1 ? 'hondonada' : 'hondonadas'}${largest ? `; la mayor guarda ${largest.volume} y tiene ${largest.depth} de hondo` : ''}.`,
    contours: count => `${count} curvas de nivel.`,
    drains: (area, cut) => (cut ? `Al menos ${area} escurren aquí: el relieve se corta en el borde.` : `${area} escurren aquí.`),
    ridge: (height, longest) => `El filo que lo cierra llega a ${height}; el recorrido más largo mide ${longest}.`,
  },
}

/** A level or falling line in one sentence. Heights at its ends above the datum. */
export function sayLevelLine(line: { readonly length_m: number; readonly from_m: number; readonly to_m: number }, voice: Voice): string {
  const m = measuresOf(voice)
  return inLanguage(voice, SUMMARIES).levelLine(m.length(line.length_m), m.elevation(line.from_m), m.elevation(line.to_m))
}

/** How many hollows and contour lines a ground has, with its largest hollow: the first of those given. */
export function sayTerrain(
  hollows: readonly { readonly depth_m: number; readonly volume_m3: number }[],
  contours: number,
  voice: Voice,
): string {
  const m = measuresOf(voice)
  const words = inLanguage(voice, SUMMARIES)
  const largest = hollows[0] ? { volume: m.volume(hollows[0].volume_m3), depth: m.height(hollows[0].depth_m) } : null
  return `${words.hollows(hollows.length, largest)} ${words.contours(contours)}`
}

/** What drains into a line or a place, and the ridge that bounds it where there is one: a sentence each. */
export function sayCatchment(
  catchment: { readonly area_m2: number; readonly cutByEdge: boolean; readonly ridge_m: number | null; readonly longestFlow_m: number },
  voice: Voice,
): string[] {
  const { area_m2, cutByEdge, ridge_m, longestFlow_m } = catchment
  const m = measuresOf(voice)
  const words = inLanguage(voice, SUMMARIES)
  return [
    words.drains(m.area(area_m2), cutByEdge),
    ...(ridge_m === null ? [] : [words.ridge(m.elevation(ridge_m), m.length(longestFlow_m))]),
  ]
}
