import { BARE_SOILS, bareVelocity, LEAST_DRAIN_FALL_ratio, leadAwayDrain, normalDepth_m, uniformFlow } from 'soakline/earthworks'
import { InputError, seededRandom } from 'soakline/foundation'
import { TEXTURES } from 'soakline/hydrology'
import { describe, expect, test } from 'vitest'

const trapezoid = (bedWidth_m: number, sideSlope_ratio = 2) => ({ form: 'trapezoid', bedWidth_m, sideSlope_ratio }) as const

describe('the fall that a bare bed bears', () => {
  test('1 m of bed, sides 1:1, 0.3 m deep, n 0.025: 1.4 m/s at 1 %, and firm loam stands it up to about 0.25 % (worked by hand)', () => {
    const bare = { shape: trapezoid(1, 1), fall_ratio: 0.01, roughness: 0.025 }
    const flow = uniformFlow(bare, 0.3)
    expect(flow.velocity_ms).toBeCloseTo(1.42, 2)
    const { value } = bareVelocity('firm-loam')
    const steepest = 0.01 * (value / flow.velocity_ms) ** 2
    expect(steepest).toBeCloseTo(0.0029, 4)
    const { design } = leadAwayDrain(flow.flow_m3s * (value / flow.velocity_ms), 'firm-loam', 0.01, {
      sideSlope_ratio: 1,
      narrowest_m: 1,
      widest_m: 1,
      roughnessBare: 0.025,
      deepest_m: 2,
    })
    expect(design!.fall_ratio).toBeCloseTo(steepest, 9)
  })

  test('loam never gets a bed of 1 % for a burst of 0.1 m³/s while bare', () => {
    const { design, because } = leadAwayDrain(0.1, 'loam', 0.01)
    expect(because).toBe('drain/found')
    expect(design!.fall_ratio).toBeLessThan(0.01)
  })
})

test('law: a drain found carries its flow, keeps its bed, and is no deeper than asked; a slow search finds none narrower', () => {
  const random = seededRandom(5)
  for (let k = 0; k < 12; k++) {
    const flow_m3s = 0.01 + 0.4 * random.uniform() * random.uniform()
    const soil = [...TEXTURES, ...BARE_SOILS][Math.floor(random.uniform() * (TEXTURES.length + BARE_SOILS.length))]!
    const offered = 0.0005 + 0.03 * random.uniform() ** 2
    const { because, design, drain, permissible } = leadAwayDrain(flow_m3s, soil, offered)
    if (design !== null && drain !== null) {
      expect(design.fall_ratio).toBeGreaterThanOrEqual(LEAST_DRAIN_FALL_ratio)
      expect(design.fall_ratio).toBeLessThanOrEqual(offered)
      expect(drain.velocity_ms).toBeLessThanOrEqual(permissible.value * (1 + 1e-9))
      expect(drain.bedHolds).toBe(true)
      expect(drain.digDepth_m).toBeLessThanOrEqual(0.6)
      const tall = { shape: trapezoid(design.bedWidth_m), fall_ratio: design.fall_ratio, roughness: 0.08 }
      expect(uniformFlow(tall, drain.depth_m).flow_m3s).toBeCloseTo(flow_m3s, 9)
    } else expect(because === 'drain/no-fall').toBe(offered < LEAST_DRAIN_FALL_ratio)
    if (offered < LEAST_DRAIN_FALL_ratio) continue
    // Oracle: every other width, thirteen falls.
    const until = design === null ? 3 : design.bedWidth_m - 0.1
    for (let bed = 0.5; bed <= until + 1e-9; bed += 0.2)
      for (let n = 0; n <= 12; n++) {
        const fall_ratio = LEAST_DRAIN_FALL_ratio + ((offered - LEAST_DRAIN_FALL_ratio) * n) / 12
        const bare = { shape: trapezoid(bed), fall_ratio, roughness: 0.02 }
        const holds = uniformFlow(bare, normalDepth_m(bare, flow_m3s)).velocity_ms <= permissible.value
        expect(holds && normalDepth_m({ ...bare, roughness: 0.08 }, flow_m3s) + 0.15 <= 0.6 - 1e-9).toBe(false)
      }
  }
})

test('more flow never gives a narrower drain', () => {
  let before = 0
  for (const flow of [0.01, 0.03, 0.06, 0.1, 0.15]) {
    const bed = leadAwayDrain(flow, 'silt-loam', 0.01).design?.bedWidth_m ?? Infinity
    expect(bed).toBeGreaterThanOrEqual(before)
    before = bed
  }
})

test('why none does: no fall, too fast at any fall, too deep at any width', () => {
  expect(leadAwayDrain(0.1, 'loam', 0.0005)).toMatchObject({ because: 'drain/no-fall', design: null, drain: null, widestDig_m: null })
  const fast = leadAwayDrain(3, 'sand', 0.01)
  expect(fast).toMatchObject({ because: 'drain/too-fast', design: null })
  const deep = leadAwayDrain(0.5, 'stiff-clay', 0.001)
  expect(deep.because).toBe('drain/too-deep')
  expect(deep.widestDig_m).toBeGreaterThan(0.6)
})

test('refusals', () => {
  for (const work of [
    () => leadAwayDrain(0, 'loam', 0.01),
    () => leadAwayDrain(0.1, 'loam', -0.01),
    () => leadAwayDrain(0.1, 'loam', Number.NaN),
    () => leadAwayDrain(0.1, 'loam', 0.01, { deepest_m: 0 }),
  ])
    expect(work).toThrow(InputError)
})
