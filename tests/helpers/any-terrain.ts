import fc from 'fast-check'
import type { ElevationGrid } from 'soakline/raster'
import { dice, TERRAINS, type Terrain, terrain } from './surfaces.js'

/** Invented ground of any of the kinds, sides from `least` to `most` cells. */
export const anyTerrain = ({
  kinds = TERRAINS,
  least = 5,
  most = 40,
}: {
  kinds?: readonly Terrain[]
  least?: number
  most?: number
} = {}): fc.Arbitrary<ElevationGrid> =>
  fc
    .record({
      kind: fc.constantFrom(...kinds),
      seed: fc.integer({ min: 1, max: 1e6 }),
      width: fc.integer({ min: least, max: most }),
      height: fc.integer({ min: least, max: most }),
    })
    .map(({ kind, seed, width, height }) => terrain(kind, seed, width, height))

/** Small rasters of few whole heights, with and without voids. */
export const anyDice = ({
  least = 3,
  most = 8,
  high = 3,
}: {
  least?: number
  most?: number
  high?: number
} = {}): fc.Arbitrary<ElevationGrid> =>
  fc
    .record({
      seed: fc.integer({ min: 1, max: 1e6 }),
      width: fc.integer({ min: least, max: most }),
      height: fc.integer({ min: least, max: most }),
      high: fc.integer({ min: 1, max: high }),
      voids: fc.constantFrom(0, 0, 0.1, 0.3),
    })
    .map(({ seed, width, height, high, voids }) => dice(seed, width, height, high, voids))
