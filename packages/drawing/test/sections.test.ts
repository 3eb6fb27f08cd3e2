import { crossSectionSvg, longSectionFrame, longSectionSvg } from '@soakline/drawing'
import { expect, test } from 'vitest'
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
