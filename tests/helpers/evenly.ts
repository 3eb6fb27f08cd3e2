import fc from 'fast-check'

/**
 * A number drawn evenly from a range, its ends among them.
 *
 * `fc.double` draws evenly over bit patterns: of a range that begins at 0 nine draws in ten lie below a thousandth of it, so that nearly every place falls
 * on the raster's corner and nearly every azimuth is north.
 */
export const evenly = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1 << 20 }).map(n => min + ((max - min) * n) / (1 << 20))
