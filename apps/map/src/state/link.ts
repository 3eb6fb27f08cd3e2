import { QUESTIONS, type Question } from '@soakline/drawing'
import type { Display } from '../worker/protocol.js'

/** A view of the open ground as the page's address tells it: where on the ground, how large, which question. No place on Earth and nothing of a plan. */
export interface Link {
  /** `demo`, or the first signs of the raster's checksum. */
  readonly ground: string
  /** The middle of the view as parts of the ground's width from the west and of its height from the north; null: as it is first shown. */
  readonly view: { readonly across: number; readonly down: number; readonly zoom: number } | null
  readonly question: Question | null
}

type Bounds = readonly [west: number, south: number, east: number, north: number]

const CHECKSUM_SIGNS = 8
const NONE = '-'
/** A view may stand off the ground by its own width. */
const [LEAST, MOST, MOST_ZOOM] = [-1, 2, 24]

/** The name of a ground in a link. */
export const groundTag = (demo: boolean, sha256: string): string => (demo ? 'demo' : `g-${sha256.slice(0, CHECKSUM_SIGNS)}`)

/** The part of the address after #, the sign itself included. */
export function writtenLink({ ground, view, question }: Link): string {
  const parts = view === null ? [NONE, NONE, NONE] : [view.across.toFixed(5), view.down.toFixed(5), view.zoom.toFixed(2)]
  return `#${[ground, ...parts, question ?? NONE].join('/')}`
}

/** A link as it stands in the address; null where that is none of ours. What cannot be read of its view or question is left out. */
export function readLink(hash: string): Link | null {
  const [ground = '', across, down, zoom, question] = hash.replace(/^#/, '').split('/')
  if (!/^(demo|g-[0-9a-f]{8})$/.test(ground)) return null
  const number = (text: string | undefined, low: number, high: number): number | null => {
    const value = text === undefined || text === '' ? Number.NaN : Number(text)
    return value >= low && value <= high ? value : null
  }
  const [a, d, z] = [number(across, LEAST, MOST), number(down, LEAST, MOST), number(zoom, 0, MOST_ZOOM)]
  return {
    ground,
    view: a === null || d === null || z === null ? null : { across: a, down: d, zoom: z },
    question: QUESTIONS.find(q => q === question) ?? null,
  }
}

/** A place on the map as parts of the ground, and back. */
export const partsOf = ([lon, lat]: Display, [west, south, east, north]: Bounds): { readonly across: number; readonly down: number } => ({
  across: (lon - west) / (east - west),
  down: (north - lat) / (north - south),
})
export const placeAt = (
  { across, down }: { readonly across: number; readonly down: number },
  [west, south, east, north]: Bounds,
): Display => [west + across * (east - west), north - down * (north - south)]
