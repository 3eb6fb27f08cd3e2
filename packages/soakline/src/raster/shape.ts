import type { Point } from './grid.js'

/** A drawn shape in the working CRS, metres. Polygon: outer ring first, then holes; rings need not repeat their first point. */
export type Shape =
  | { readonly type: 'point'; readonly at: Point }
  | { readonly type: 'line'; readonly path: readonly Point[] }
  | { readonly type: 'polygon'; readonly rings: readonly (readonly Point[])[] }
