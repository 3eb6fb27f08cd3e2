import { RAMPS, type Ramp } from '@soakline/drawing'
import { elevationGrid, type Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { shadeTile, TILE_PX } from '../src/worker/shade-tile.js'

// The tints of the ground, from low to high, as a grey print and as colour-blind eyes have them.

type Colour = readonly [red: number, green: number, blue: number]

/** The tint of level ground at a part of the range of heights. */
function tint(part: number, night: boolean, ramp: Ramp): Colour {
  const ground = elevationGrid(Array.from({ length: 80 }, () => Array.from({ length: 80 }, () => 100 * part)))
  const { geometry: g } = ground
  const toWorking = (longitude: number, latitude: number): Point => [
    longitude * 111_319.49 + (g.width * g.cell_m) / 2,
    latitude * 111_319.49 + (g.height * g.cell_m) / 2,
  ]
  const { pixels } = shadeTile(
    ground,
    { low_m: 0, high_m: 100, exaggeration: 1 },
    { z: 17, x: 2 ** 16, y: 2 ** 16 - 1 },
    toWorking,
    night,
    ramp,
  )!
  const at = ((TILE_PX - 10) * TILE_PX + 10) * 4
  return [pixels[at]!, pixels[at + 1]!, pixels[at + 2]!]
}

// sRGB to linear light and to L*: IEC 61966-2-1 and CIE 1976 (from memory, unchecked).
const linear = (value: number): number => (value <= 10.31475 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4)
const lightness = (light: Colour): number => {
  const y = 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
  return y > 0.008856 ? 116 * Math.cbrt(y) - 16 : 903.3 * y
}

/** Full lack of one kind of cones, in linear light: Machado, Oliveira and Fernandes (2009) (from memory, unchecked). */
const EYES: Readonly<Record<string, readonly [Colour, Colour, Colour]>> = {
  'all colours': [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'no red cones': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'no green cones': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'no blue cones': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
}

describe.each(RAMPS.flatMap(ramp => [false, true].map(night => [ramp, night] as const)))('tint %s, by night: %s', (ramp, night) => {
  test.each(Object.entries(EYES))('higher ground is lighter, step by step, for eyes with %s', (_, rows) => {
    const steps = [0, 0.25, 0.5, 0.75, 1].map(part => {
      const light = tint(part, night, ramp).map(linear) as unknown as Colour
      return lightness(rows.map(row => row[0] * light[0] + row[1] * light[1] + row[2] * light[2]) as unknown as Colour)
    })
    for (let k = 1; k < steps.length; k++) expect(steps[k]! - steps[k - 1]!).toBeGreaterThan(1.5)
    // A grey print tells the lowest from the highest ground.
    expect(steps[4]! - steps[0]!).toBeGreaterThan(15)
  })
})
