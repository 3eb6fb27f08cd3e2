import { hydrographSvg, judgedStorm, sayNoHydrograph, sayStorm } from '@soakline/drawing'
import type { Assessment } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

const { assessment } = hillside()
const size = { width: 720, height: 340 }
const draw = (a: Assessment): string => hydrographSvg(a, EN, size)!

/** Places of the path with a look. */
const placesOf = (svg: string, look: string): readonly (readonly [number, number])[] =>
  [...(new RegExp(`<path d="([^"]+)" fill="none"[^>]*${look}`).exec(svg)?.[1] ?? '').matchAll(/([-\d.]+) ([-\d.]+)/g)].map(m => [
    Number(m[1]),
    Number(m[2]),
  ])
const WET = 'stroke-dasharray="6 3"'
const USUAL = 'stroke="#174A63" stroke-width="2.2"'

test('the peaks are where the flow is greatest, and stand as the flows do', () => {
  const svg = draw(assessment)
  const top = (look: string): number => Math.min(...placesOf(svg, look).map(([, y]) => y))
  const floor = Math.max(...placesOf(svg, WET).map(([, y]) => y))
  // 190 liters a second on wet soil, 120 as usual.
  expect((floor - top(USUAL)) / (floor - top(WET))).toBeCloseTo(0.12 / 0.19, 2)
  const at = placesOf(svg, WET).find(([, y]) => y === top(WET))![0]
  const [from, to] = [72, 720 - 58]
  // Hours 8 to 17 are shown: 5 % of the peak flow from 8.7 to 16.3.
  expect(at).toBeCloseTo(from + ((25 * 0.5 - 8) / (17 - 8)) * (to - from), 0)
})

test('units and words are the reader’s', () => {
  expect(draw(assessment)).toContain('>190 liters/s<')
  expect(draw(assessment)).toContain('mm in 30 minutes')
  expect(hydrographSvg(assessment, EN_US)).toContain('6.7 cubic ft/s')
  expect(hydrographSvg(assessment, ES_US)).toContain('6,7 pies³/s')
  expect(hydrographSvg(assessment, ES_US)).toContain('pulg en 30 minutos')
  expect(hydrographSvg(assessment, ES)).toContain('horas desde que empezó el aguacero')
  expect(sayStorm(assessment, EN)).toBe(
    '118 mm in 24 hours, with a chance of 1 in 25 each year. Shown: hours 8 to 17. Before and after, less than a twentieth of the peak runs in.',
  )
  expect(sayStorm(assessment, ES)).toMatch(/^118 mm en 24 horas, con probabilidad de 1 entre 25 cada año\. Se ven las horas 8 a 17\./)
})

test('a storm that flows in all along is shown whole', () => {
  const { hydrograph } = assessment
  const even = { ...assessment, hydrograph: { ...hydrograph!, wet_m3s: hydrograph!.wet_m3s.map(() => 0.1) } }
  expect(sayStorm(even, EN)).toBe('118 mm in 24 hours, with a chance of 1 in 25 each year.')
  expect(draw(even)).toMatch(/text-anchor="middle">0<.*text-anchor="middle">24</)
})

test('no two curves share weight, dashes and ink', () => {
  const svg = draw(assessment)
  const looks = [
    ...svg.matchAll(
      /<path d="M[^"]*" fill="none"( stroke-linejoin="round")? stroke="([^"]+)" stroke-width="([^"]+)"( stroke-dasharray="[^"]+")?/g,
    ),
  ].map(m => `${m[3]}${m[4] ?? ''}`)
  expect(new Set(looks).size).toBeGreaterThanOrEqual(4)
})

test('rain hangs from the top: the heaviest burst reaches lowest', () => {
  const rain = /<path d="(M[^"]+Z)" fill="#2C7199" fill-opacity="0.45"/.exec(draw(assessment))![1]!
  const lows = [...rain.matchAll(/V([\d.]+)/g)].map(m => Number(m[1]))
  // The 25th half hour, of those from hour 8 on.
  expect(lows.indexOf(Math.max(...lows))).toBe(24 - 16)
  expect(Math.min(...lows)).toBeGreaterThanOrEqual(26)
})

describe('what is not known is said in a sentence', () => {
  test('an unknown peak gives no picture', () => {
    const unknown: Assessment = { ...assessment, hydrograph: { ...assessment.hydrograph!, peakKnown: false } }
    for (const voice of [EN, ES]) {
      expect(hydrographSvg(unknown, voice)).toBeNull()
      expect(sayNoHydrograph(unknown, voice)).toMatch(/^(Unknown|No se sabe): /)
    }
  })

  test('no storm gives no picture', () => {
    const none: Assessment = { ...assessment, hydrograph: null }
    expect(hydrographSvg(none, EN)).toBeNull()
    expect(sayNoHydrograph(none, EN)).toMatch(/no storm could be worked out/)
    expect(sayStorm(none, EN)).toBe('')
    expect(judgedStorm(none)).toBeNull()
  })

  test('a storm without runoff gives no picture', () => {
    const { hydrograph } = assessment
    const dry = { ...hydrograph!, expected_m3s: hydrograph!.expected_m3s.map(() => 0), wet_m3s: hydrograph!.wet_m3s.map(() => 0) }
    expect(hydrographSvg({ ...assessment, hydrograph: dry, storms: [] }, EN)).toBeNull()
  })

  test('without a ditch there is no water in it', () => {
    const bare: Assessment = {
      ...assessment,
      storage: null,
      storms: assessment.storms.map(s => ({ ...s, levels: null, peakSpill_m3s: null, spillStarts_h: null })),
    }
    expect(draw(bare)).not.toContain('water in the ditch')
    expect(draw(bare)).not.toMatch(/over the sill|NaN|undefined/)
  })
})

test('the flow over the sill is a curve with its peak lettered; where nothing spills it is left out', () => {
  expect(draw(assessment)).toContain('over the sill')
  expect(placesOf(draw(assessment), 'stroke-dasharray="1.5 2.5"').length).toBeGreaterThan(5)
  expect(draw(assessment)).toContain('>100 liters/s<')
  const kept = {
    ...assessment,
    storms: assessment.storms.map(s => ({ ...s, levels: { ...s.levels!, spills_m3s: s.levels!.spills_m3s.map(() => 0) } })),
  }
  expect(draw(kept)).not.toContain('over the sill')
})

for (const voice of [EN, EN_US, ES, ES_US])
  test(`in a phone's width no lettering leaves the picture: ${voice.language} ${voice.units}`, () => {
    const svg = hydrographSvg(assessment, voice, { width: 320, height: 330 })!
    const out = [...svg.matchAll(/<text x="([-\d.]+)"[^>]*?>([^<]*)<\/text>/g)].filter(([tag, x, text]) => {
      const wide = text!.length * 11 * 0.48
      const anchor = /text-anchor="(\w+)"/.exec(tag!)?.[1] ?? 'start'
      const from = Number(x) - (anchor === 'end' ? wide : anchor === 'middle' ? wide / 2 : 0)
      return from < -1 || from + wide > 321
    })
    expect(out.map(([tag]) => tag)).toEqual([])
  })
