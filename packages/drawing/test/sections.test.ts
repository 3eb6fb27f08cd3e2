import { bedAt, crossSectionSvg, longSectionFrame, longSectionSvg, longSectionWaterSvg, sectionWater } from '@soakline/drawing'
import { crossSection, dugSection } from 'soakline/earthworks'
import { type Assessment, defaultSettings } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

const { assessment } = hillside()
const { length_m } = assessment.line
const size = { width: 720, height: 300 }

test('the frame of the long section spans the line from end to end, and leads back from a place to its distance', () => {
  const frame = longSectionFrame(assessment, size)!
  expect(frame.x(0)).toBe(frame.left)
  expect(frame.x(length_m)).toBeCloseTo(frame.right, 9)
  for (const share of [0, 0.25, 0.6, 1]) expect(frame.chainage_m(frame.x(share * length_m))).toBeCloseTo(share * length_m, 9)
  expect(frame.chainage_m(frame.left - 50)).toBe(0)
  expect(frame.chainage_m(frame.right + 50)).toBe(length_m)
})

test('the frame is the one that is drawn: both axes meet at its lower left', () => {
  const { left, right, top, floor } = longSectionFrame(assessment, size)!
  expect(longSectionSvg(assessment, EN, size)).toContain(`d="M${left} ${top - 14}V${floor}H${right}"`)
})

test('there is no frame without a line, without a profile, or without room', () => {
  expect(longSectionFrame({ ...assessment, line: { ...assessment.line, length_m: 0 } }, size)).toBeNull()
  expect(longSectionFrame({ ...assessment, profile: [] }, size)).toBeNull()
  expect(longSectionFrame(assessment, { width: 200, height: 300 })).toBeNull()
})

test('heights lead down the picture and back, the bed is drawn where the frame has it', () => {
  const frame = longSectionFrame(assessment, size)!
  const { bedElevation_m } = assessment.line
  for (const z of [bedElevation_m, bedElevation_m + 0.37]) expect(frame.z_m(frame.y(z))).toBeCloseTo(z, 9)
  expect(frame.y(bedElevation_m + 0.1)).toBeLessThan(frame.y(bedElevation_m))
  const drawn = [...longSectionSvg(assessment, EN, size).matchAll(/ ([\d.]+)L/g)].map(m => Number(m[1]))
  expect(Math.min(...drawn.map(y => Math.abs(y - frame.y(bedAt(assessment, null)))))).toBeLessThan(0.11)
})

test('water at one level lies hatched over the long section, with its name and level; in the cross-section it is named too', () => {
  const level_m = assessment.storage!.sillElevation_m
  const sheet = longSectionWaterSvg(assessment, level_m, 'water at this hour', EN, size)!
  expect(sheet).toMatch(/url\(#water-now\)/)
  expect(sheet).toContain(`water at this hour ${level_m.toLocaleString('en', { minimumFractionDigits: 2, maximumFractionDigits: 2 })} m`)
  expect(longSectionWaterSvg({ ...assessment, profile: [] }, level_m, '', EN, size)).toBeNull()
  // Below the bed there is no water to hatch.
  expect(longSectionWaterSvg(assessment, assessment.line.bedElevation_m - 1, '', EN, size)).not.toContain('fill="url')
  const now = { z_m: 0.2, name: 'agua puesta a mano' }
  expect(crossSectionSvg(assessment.section!, ES, undefined, { first_z_m: 0.3, storm_z_m: null, now })).toMatch(
    /agua puesta a mano<.*\+ 0,2 m/,
  )
})

/** Where writing begins and ends across a picture, by the width of Noto Sans, which the page uses where a narrower one is missing. */
const reach = (svg: string): { readonly text: string; readonly from: number; readonly to: number }[] =>
  [...svg.matchAll(/<text x="([-\d.]+)"[^>]*?>([^<]*)<\/text>/g)].map(([tag, x, text]) => {
    const wide = text!.length * 11 * 0.48
    const anchor = /text-anchor="(\w+)"/.exec(tag!)?.[1] ?? 'start'
    const from = Number(x) - (anchor === 'end' ? wide : anchor === 'middle' ? wide / 2 : 0)
    return { text: text!, from, to: from + wide }
  })

for (const voice of [EN, EN_US, ES, ES_US])
  test(`in the narrowest room of the page no lettering leaves its picture: ${voice.language} ${voice.units}`, () => {
    const narrow = { width: 305, height: 190 }
    for (const svg of [longSectionSvg(assessment, voice, narrow), crossSectionSvg(assessment.section!, voice, narrow)])
      expect(reach(svg).filter(({ from, to }) => from < -1 || to > narrow.width + 1)).toEqual([])
  })

describe('the long section shows what the sizing found', () => {
  const rise = 0.3
  /** Water that stands higher the further it is from the spill at the beginning of the line. */
  const rising: Assessment = {
    ...assessment,
    profile: assessment.profile.map(p => ({ ...p, water_m: 1252.1 + (rise * p.chainage_m) / length_m })),
  }
  const pathOf = (svg: string, ink: string, weight: number): readonly (readonly number[])[] =>
    [
      ...(new RegExp(`<path d="([^"]+)" fill="none" stroke="${ink}" stroke-width="${weight}"`).exec(svg)?.[1] ?? '').matchAll(
        /([-\d.]+) ([-\d.]+)/g,
      ),
    ].map(m => [Number(m[1]), Number(m[2])])

  test('the water of the storm rises away from the spill, on the scale of the heights', () => {
    const svg = longSectionSvg(rising, EN, size)
    const [water, crest] = [pathOf(svg, '#2C7199', 1.8), pathOf(svg, '#8A5044', 1.4)]
    const [first, last] = [water[0]!, water[water.length - 1]!]
    expect(first[0]).toBe(longSectionFrame(assessment, size)!.left)
    expect(first[1]! - last[1]!).toBeGreaterThan(5)
    // The crest stands 0.3 m over the water at the first stake: so many units to a metre.
    const perMetre = (first[1]! - crest[0]![1]!) / (1252.4 - 1252.1)
    expect((first[1]! - last[1]!) / perMetre).toBeCloseTo(rise, 2)
  })

  test('sill and notch are named with their levels, the sill with its length, and the least freeboard stands at its stake', () => {
    const svg = longSectionSvg(assessment, EN, size)
    for (const text of ['long sill', '1,252.10 m', 'low notch', '1,252.05 m', 'spill 1, sill 4.2 m long', 'least freeboard 0.15 m'])
      expect(svg).toContain(text)
    const spanish = longSectionSvg(assessment, ES, { width: 900, height: 300 })
    for (const text of ['muesca', '1252,05 m', 'vertedero de 4,2 m', 'corona sobre el agua, lo menos 0,15 m'])
      expect(spanish).toContain(text)
  })

  test('the sill is drawn to the scale of lengths, at the end where it spills', () => {
    const svg = longSectionSvg(assessment, EN, size)
    const sign =
      /<path d="M([\d.]+) [\d.]+V[\d.]+H[\d.]+V[\d.]+H[\d.]+V[\d.]+H([\d.]+)V[\d.]+" fill="none" stroke="#174A63" stroke-width="2.2"/.exec(
        svg,
      )!
    const frame = longSectionFrame(assessment, size)!
    expect(Number(sign[1])).toBeCloseTo(frame.x(0), 1)
    expect(Number(sign[2])).toBeCloseTo(frame.x(4.2), 1)
  })

  test('what is not known is said, and no water is drawn for it', () => {
    const unknown: Assessment = { ...assessment, spillway: null, profile: assessment.profile.map(p => ({ ...p, water_m: null })) }
    const svg = longSectionSvg(unknown, EN, size)
    expect(svg).toContain('The storm’s highest water is not known.')
    expect(pathOf(svg, '#2C7199', 1.8)).toEqual([])
    expect(svg).not.toContain('least freeboard')
    expect(longSectionSvg({ ...assessment, spillway: { ...assessment.spillway!, least: null } }, EN, size)).toContain(
      'Over the banks before it can pass.',
    )
    const bare = { ...unknown, storage: null, section: null, profile: unknown.profile.map(p => ({ ...p, crest_m: null })) }
    expect(longSectionSvg(bare, EN, size)).not.toMatch(/NaN|Infinity|undefined/)
  })
})

describe('the cross-section', () => {
  test('shows the water of the stake that is pointed at', () => {
    expect(sectionWater(assessment, null)!.first_z_m).toBeCloseTo(1252.05 - 1251.7, 9)
    expect(sectionWater(assessment, null)!.storm_z_m).toBeCloseTo(1252.23 - 1251.7, 9)
    expect(sectionWater(assessment, 0)!.storm_z_m).toBeCloseTo(1252.2 - 1251.7, 9)
    expect(sectionWater({ ...assessment, storage: null }, 0)).toBeNull()
    expect(sectionWater({ ...assessment, profile: assessment.profile.map(p => ({ ...p, water_m: null })) }, 0)!.storm_z_m).toBeNull()
  })

  test('letters the storm’s level where it is known, and leaves it out where not', () => {
    const section = crossSection(defaultSettings(), 0.12)
    expect(crossSectionSvg(section, EN, undefined, { first_z_m: 0.3, storm_z_m: 0.42 })).toMatch(/water in storm<.*\+ 0\.42 m/)
    expect(crossSectionSvg(section, ES, undefined, { first_z_m: 0.3, storm_z_m: 0.42 })).toMatch(/agua, aguacero<.*\+ 0,42 m/)
    expect(crossSectionSvg(section, EN, undefined, { first_z_m: 0.3, storm_z_m: null })).not.toContain('water in storm')
  })

  const shape = { ...defaultSettings(), depth_m: 0.4, freeboard_m: 0.3 }
  const berm = { innerSlope_ratio: 1.5, outerSlope_ratio: 2, crestWidth_m: 0.5, bermPerCut_ratio: 0.9, freeboard_m: 0.3 }
  const sections = {
    trapezoid: crossSection(shape, 0.12),
    // As the plan digs it: the ground is given 20 m to either side.
    bowl: {
      ...dugSection({ form: 'bowl', topWidth_m: 1.8, depth_m: 0.4 }, berm, [
        [-20, 2.4],
        [20, -2.4],
      ]),
      shape,
    },
  }
  for (const sectionForm of ['trapezoid', 'bowl'] as const)
    test(`a ${sectionForm} holds water up to its levels, and over its crest no further than the crest`, () => {
      const section = sections[sectionForm]
      for (const storm_z_m of [0.45, section.crest_z_m + 0.2]) {
        const svg = crossSectionSvg(section, EN, { width: 400, height: 210 }, { first_z_m: 0.3, storm_z_m })
        expect(svg.match(/fill="#2C7199"/g)!.length).toBeGreaterThanOrEqual(2)
        expect(svg).not.toMatch(/NaN|Infinity|undefined/)
        const [, width] = /viewBox="0 0 ([\d.]+)/.exec(svg)!
        const water = [...svg.matchAll(/d="(M[^"]+Z)" fill="#2C7199"/g)].flatMap(m =>
          [...m[1]!.matchAll(/([-\d.]+) [-\d.]+/g)].map(n => Number(n[1])),
        )
        expect(Math.max(...water)).toBeLessThan(Number(width))
      }
      if (sectionForm === 'bowl') expect(crossSectionSvg(section, EN)).toContain('bowl, ')
    })
})
