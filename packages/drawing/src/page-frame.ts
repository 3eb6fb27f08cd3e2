import type { Point } from 'soakline/raster'

/** A rectangle of ground in the working CRS. */
export interface Extent {
  readonly west_m: number
  readonly south_m: number
  readonly east_m: number
  readonly north_m: number
}

/** How ground lies on a page: y runs down, `perMetre` page units to a metre of ground, `u` page units to 1/96 inch. */
export interface PageFrame {
  readonly width: number
  readonly height: number
  readonly perMetre: number
  readonly u: number
  readonly extent: Extent
}

/** The extent that holds all places; null for none. */
export function extentOf(paths: Iterable<readonly Point[]>): Extent | null {
  let west_m = Number.POSITIVE_INFINITY
  let south_m = Number.POSITIVE_INFINITY
  let east_m = Number.NEGATIVE_INFINITY
  let north_m = Number.NEGATIVE_INFINITY
  for (const path of paths)
    for (const [x, y] of path) {
      west_m = Math.min(west_m, x)
      east_m = Math.max(east_m, x)
      south_m = Math.min(south_m, y)
      north_m = Math.max(north_m, y)
    }
  return west_m <= east_m && south_m <= north_m ? { west_m, south_m, east_m, north_m } : null
}

/** The extent made larger on all sides. */
export const widened = (e: Extent, by_m: number): Extent => ({
  west_m: e.west_m - by_m,
  south_m: e.south_m - by_m,
  east_m: e.east_m + by_m,
  north_m: e.north_m + by_m,
})

export const touches = (a: Extent, b: Extent): boolean =>
  a.west_m <= b.east_m && b.west_m <= a.east_m && a.south_m <= b.north_m && b.south_m <= a.north_m

/** A page of a size with the middle of the ground in its middle. */
export function frameAround(middle: Point, perMetre: number, width: number, height: number, u: number): PageFrame {
  const halfWidth = width / perMetre / 2
  const halfHeight = height / perMetre / 2
  return {
    width,
    height,
    perMetre,
    u,
    extent: {
      west_m: middle[0] - halfWidth,
      east_m: middle[0] + halfWidth,
      south_m: middle[1] - halfHeight,
      north_m: middle[1] + halfHeight,
    },
  }
}

/** A place on the page. */
export const onPage = (frame: PageFrame, [x, y]: Point): Point => [
  (x - frame.extent.west_m) * frame.perMetre,
  (frame.extent.north_m - y) * frame.perMetre,
]

/** The runs of a path that come near an extent, so that a drawing does not carry what it cuts off. */
export function runsWithin(path: readonly Point[], extent: Extent): Point[][] {
  const runs: Point[][] = []
  let run: Point[] = []
  for (let k = 1; k < path.length; k++) {
    const a = path[k - 1]!
    const b = path[k]!
    const box = { west_m: Math.min(a[0], b[0]), east_m: Math.max(a[0], b[0]), south_m: Math.min(a[1], b[1]), north_m: Math.max(a[1], b[1]) }
    if (touches(box, extent)) {
      if (run.length === 0) run.push(a)
      run.push(b)
    } else if (run.length > 0) {
      runs.push(run)
      run = []
    }
  }
  if (run.length > 0) runs.push(run)
  return runs
}
