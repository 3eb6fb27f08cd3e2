import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import { M2_PER_ACRE } from '../../src/foundation/index.js'
import { type GraphicalStorm, graphicalCoefficients, graphicalPeak, pondFactor } from '../../src/hydrology/graphical-peak.js'
import { dividedHyetograph, measuredHyetograph } from '../../src/hydrology/hyetograph.js'
import type { RainTable } from '../../src/hydrology/rainfall.js'
import { rationalPeak, rationalPeakOfTable } from '../../src/hydrology/rational-peak.js'
import { runoffHydrograph } from '../../src/hydrology/runoff-hydrograph.js'
import { curveNumberRunoff, type RunoffSeries, totalRunoff_mm } from '../../src/hydrology/storm-runoff.js'
import { kirpichTime, lagEquationTime, timeByStretches } from '../../src/hydrology/time-of-concentration.js'
import { type FlowStretch, kinematicSheetTime, LONGEST_SHEET_m, shallowFlowSpeed, sheetFlowTime } from '../../src/hydrology/travel-time.js'
import {
  CURVED_FORM,
  formArea,
  gammaForm,
  PEAK_RATE_OF_UNIT_AREA,
  peakRateOfGamma,
  triangularForm,
  unitPeak_m3s,
} from '../../src/hydrology/unit-hydrograph.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const codes = (limited: { readonly outsideLimits: readonly { readonly code: string }[] }): string[] =>
  limited.outsideLimits.map(w => w.code)
const remarks = (limited: { readonly remarks: readonly { readonly code: string }[] }): string[] => limited.remarks.map(w => w.code)

describe('times of travel and their limits', () => {
  const sheet = { length_m: 30, slope_ratio: 0.05, roughness: 0.24, rain2yr24h_mm: 80 }

  test('NEH Part 630, ch. 15: a sheet of water over 100 ft is outside limits, one of exactly 100 ft within', () => {
    expect(sheetFlowTime({ ...sheet, length_m: LONGEST_SHEET_m }).value).toBeGreaterThan(0)
    expect(sheetFlowTime({ ...sheet, length_m: 30.48 }).value).toBeGreaterThan(0)
    const long = sheetFlowTime({ ...sheet, length_m: 31 })
    expect(long.value).toBeNull()
    expect(codes(long)).toEqual(['travel/sheet-too-long'])
    expect(kinematicSheetTime({ ...sheet, length_m: 31 }, 50).value).toBeNull()
  })

  test('USDA TR-55 fig. 3-1: shallow flow on more than 50 % is outside limits', () => {
    expect(shallowFlowSpeed({ slope_ratio: 0.5, speed_ms: 2 }).value).toBeCloseTo(Math.SQRT2, 12)
    expect(codes(shallowFlowSpeed({ slope_ratio: 0.51, speed_ms: 2 }))).toEqual(['travel/shallow-too-steep'])
  })

  test('law: a longer, rougher, flatter or drier sheet is never faster', () =>
    fc.assert(
      fc.property(
        fc.constantFrom('length_m', 'roughness', 'slope_ratio', 'rain2yr24h_mm'),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (key, share) => {
          const less = sheetFlowTime({ ...sheet, [key]: sheet[key] * share }).value!
          const more = sheetFlowTime(sheet).value!
          if (key === 'length_m' || key === 'roughness') expect(less).toBeLessThanOrEqual(more)
          else expect(less).toBeGreaterThanOrEqual(more)
        },
      ),
    ))

  test('the sum of stretches, raised to 0.1 h and said so; unknown when any stretch leaves its limits', () => {
    const quick: FlowStretch = { kind: 'measured', length_m: 30, measuredSpeed_ms: 1 }
    const short = timeByStretches([quick])
    expect(short.value).toBe(0.1)
    expect(remarks(short)).toEqual(['travel/raised-to-least'])
    expect(short.stretches[0]!.value).toBeCloseTo(30 / 3600, 12)
    const long: FlowStretch = { kind: 'measured', length_m: 3600, measuredSpeed_ms: 1 }
    expect(timeByStretches([long, long])).toMatchObject({ value: 2, remarks: [] })
    expect(timeByStretches([long, { kind: 'sheet', ...sheet, length_m: 90 }])).toMatchObject({ value: null, remarks: [] })
    expect(refusalCode(() => timeByStretches([]))).toBe('travel/no-stretches')
    expect(refusalCode(() => timeByStretches([{ ...quick, length_m: 0 }]))).toBe('travel/bad-measure')
    expect(refusalCode(() => timeByStretches([{ ...quick, measuredSpeed_ms: Number.NaN }]))).toBe('travel/bad-measure')
  })

  test('Kirpich holds for slopes of 3 to 10 % and 1.25 to 112 acres; what is not known is not checked, and that is said', () => {
    const basin = { length_m: 500, slope_ratio: 0.05, area_m2: 20 * M2_PER_ACRE }
    expect(kirpichTime(basin)).toMatchObject({ outsideLimits: [], remarks: [] })
    expect(kirpichTime(basin).value! * 60).toBeCloseTo(7.4, 1)
    expect(codes(kirpichTime({ ...basin, slope_ratio: 0.2 }))).toEqual(['travel/slope-outside-kirpich'])
    expect(codes(kirpichTime({ ...basin, area_m2: 2000 }))).toEqual(['travel/area-outside-kirpich'])
    expect(remarks(kirpichTime({ ...basin, area_m2: null }))).toEqual(['travel/area-not-checked'])
    expect(remarks(kirpichTime({ ...basin, length_m: 100, slope_ratio: 0.1 }))).toEqual(['travel/raised-to-least'])
    expect(refusalCode(() => kirpichTime({ ...basin, slope_ratio: 0 }))).toBe('travel/bad-measure')
  })

  test('NEH Part 630, ch. 15: the lag equation holds for curve numbers 50 to 95 and basins of 1.3 acres to 9.2 square miles', () => {
    const basin = { length_m: 1000, curveNumber: 63, landSlope_ratio: 0.05, area_m2: 100 * M2_PER_ACRE }
    expect(lagEquationTime(basin).value).toBeGreaterThan(0.5)
    expect(codes(lagEquationTime({ ...basin, curveNumber: 49 }))).toEqual(['travel/curve-number-outside-lag'])
    expect(codes(lagEquationTime({ ...basin, curveNumber: 96 }))).toEqual(['travel/curve-number-outside-lag'])
    expect(codes(lagEquationTime({ ...basin, area_m2: M2_PER_ACRE }))).toEqual(['travel/area-outside-lag'])
    expect(remarks(lagEquationTime({ ...basin, area_m2: null }))).toEqual(['travel/area-not-checked'])
  })
})

describe('forms of unit hydrographs', () => {
  const peakRate = fc.double({ min: 100, max: 600, noNaN: true })

  test('law: 1 at the peak, 0 outside, and the area gives back the peak rate factor', () =>
    fc.assert(
      fc.property(peakRate, factor => {
        for (const form of [triangularForm(factor), gammaForm(factor)]) {
          expect(form.flow_ratio(1)).toBeCloseTo(1, 12)
          expect(form.flow_ratio(-0.1)).toBe(0)
          expect(form.flow_ratio(form.ends_ratio + 1e-9)).toBe(0)
          expect(PEAK_RATE_OF_UNIT_AREA / formArea(form) / factor).toBeCloseTo(1, 2)
        }
      }),
      { numRuns: 25 },
    ))

  test('oracle: the gamma form’s factor is that of its area by quadrature', () => {
    for (const m of [1, 2, 3.7, 5]) {
      let area = 0
      for (let x = 5e-4; x < 40; x += 1e-3) area += (x * Math.exp(1 - x)) ** m * 1e-3
      expect(peakRateOfGamma(m)).toBeCloseTo(PEAK_RATE_OF_UNIT_AREA / area, 2)
    }
  })

  test('between its ordinates the curve is straight', () => {
    expect(CURVED_FORM.flow_ratio(0.25)).toBeCloseTo(0.145, 12)
    expect(CURVED_FORM.flow_ratio(4.75)).toBeCloseTo(0.0025, 12)
    expect(CURVED_FORM.flow_ratio(5.1)).toBe(0)
  })

  test('refusals', () => {
    expect(refusalCode(() => triangularForm(700))).toBe('hydrograph/bad-peak-rate')
    expect(refusalCode(() => gammaForm(99))).toBe('hydrograph/bad-peak-rate')
    expect(refusalCode(() => peakRateOfGamma(0))).toBe('hydrograph/bad-peak-rate')
    expect(refusalCode(() => unitPeak_m3s(0, 1, 1))).toBe('hydrograph/bad-measure')
  })
})

describe('hydrographs', () => {
  const series = (depths_mm: readonly number[], step_h = 0.1): RunoffSeries => ({
    step_h,
    depths_mm,
    shortestBurst_h: step_h,
    source: 'seeded',
  })
  const depths = fc.array(fc.oneof(fc.constant(0), fc.double({ min: 1e-9, max: 40, noNaN: true })), { minLength: 1, maxLength: 60 })
  const form = fc.constantFrom(CURVED_FORM, triangularForm(), triangularForm(300), gammaForm(300), gammaForm(600))
  const time = fc.double({ min: 0.25, max: 3, noNaN: true })

  test('law: the flow adds up to runoff × area, to 1e-9', () =>
    fc.assert(
      fc.property(depths, form, time, fc.double({ min: 10, max: 1e6, noNaN: true }), (mm, shape, time_h, area_m2) => {
        const runoff = series(mm)
        const flow = runoffHydrograph(runoff, area_m2, time_h, { form: shape })
        const out_m3 = flow.flows_m3s.reduce((a, b) => a + b, 0) * flow.step_h * 3600
        const in_m3 = (totalRunoff_mm(runoff) * area_m2) / 1000
        expect(Math.abs(out_m3 - in_m3)).toBeLessThanOrEqual(1e-9 * in_m3)
        expect(flow.volume_m3).toBeCloseTo(in_m3, 6)
        expect(Math.min(...flow.flows_m3s)).toBeGreaterThanOrEqual(0)
      }),
    ))

  test('law: flows add: two storms together flow as the sum of their flows', () =>
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 20 }), fc.infiniteStream(evenly(0, 30)), time, (n, stream, time_h) => {
        const take = () => Array.from({ length: n }, () => stream.next().value!)
        const [a, b] = [take(), take()]
        const flows = (mm: readonly number[]) => runoffHydrograph(series(mm), 8000, time_h).flows_m3s
        const [fa, fb, both] = [flows(a), flows(b), flows(a.map((x, k) => x + b[k]!))]
        for (const [k, flow] of both.entries()) expect(flow).toBeCloseTo(fa[k]! + fb[k]!, 12)
      }),
    ))

  test('one short burst gives the peak of the unit hydrograph, within the sampling', () => {
    const flow = runoffHydrograph(series([1], 0.01), 1e6, 1, { form: triangularForm() })
    expect(flow.highest_m3s / unitPeak_m3s(1e6, 1, 0.605)).toBeCloseTo(1, 2)
    expect(flow.highestAt_h).toBeCloseTo(0.6, 1)
  })

  test('from hourly rain the peak is unknown, however fine the steps; from a gauge of 5 minutes it is known', () => {
    const hourly = curveNumberRunoff(dividedHyetograph(measuredHyetograph(1, [6, 76, 12], 'hourly'), 10), 80)
    const flow = runoffHydrograph(hourly, 8000, 0.25)
    expect(flow.peak_m3s).toBeNull()
    expect(flow.highest_m3s).toBeGreaterThan(0.05)
    const gauge = curveNumberRunoff(measuredHyetograph(1 / 12, [6, 36, 12], 'gauge'), 80)
    const known = runoffHydrograph(gauge, 8000, 0.25)
    expect(known.peak_m3s).toBe(known.highest_m3s)
  })

  test('no runoff, no flow', () => {
    expect(runoffHydrograph(series([0, 0]), 8000, 0.25)).toMatchObject({ peak_m3s: 0, highest_m3s: 0, highestAt_h: 0, volume_m3: 0 })
  })

  test('differencing hourly runoff instead of tenths would give 0.075 instead of 0.107 m³/s: steps too long for the rise are refused', () => {
    expect(refusalCode(() => runoffHydrograph(series([0, 34, 9], 1), 8000, 0.25))).toBe('hydrograph/step-too-long')
    expect(refusalCode(() => runoffHydrograph(series([1]), 0, 0.25))).toBe('hydrograph/bad-measure')
  })
})

describe('peaks without a hydrograph', () => {
  const table: RainTable = {
    rows: [
      { duration_h: 0.25, chancePerYear: 0.04, depth_mm: 30 },
      { duration_h: 1, chancePerYear: 0.04, depth_mm: 55 },
      { duration_h: 1, chancePerYear: 0.01, depth_mm: 70 },
      { duration_h: 2, chancePerYear: 0.01, depth_mm: 80 },
    ],
  }
  const storm: GraphicalStorm = {
    type: 'II',
    area_m2: 8000,
    curveNumber: 74,
    rain24h_mm: 100,
    timeOfConcentration_h: 0.25,
    shortestDuration_h: 0.25,
    pond_ratio: 0,
  }

  test('FHWA HEC-22 §3.2.2: the rational method ends at 80 ha', () => {
    expect(rationalPeak(0.5, 36, 1e5).value).toBe(0.5)
    expect(rationalPeak(0.5, 36, 8e5).value).toBeCloseTo(4, 12)
    expect(codes(rationalPeak(0.5, 36, 8.1e5))).toEqual(['peak/area-outside-rational'])
    expect(refusalCode(() => rationalPeak(1.1, 36, 1e5))).toBe('peak/bad-coefficient')
    expect(refusalCode(() => rationalPeak(0.5, 0, 1e5))).toBe('peak/bad-measure')
  })

  test('the intensity is that of the table for the time of concentration; a shorter time takes the shortest duration, and says so', () => {
    const hour = rationalPeakOfTable(table, 0.04, 1, 0.4, 8000)
    expect(hour.value).toBeCloseTo((0.4 * 55 * 8000) / 3.6e6, 12)
    const quick = rationalPeakOfTable(table, 0.04, 0.1, 0.4, 8000)
    expect(quick.value).toBeCloseTo((0.4 * 120 * 8000) / 3.6e6, 12)
    expect(remarks(quick)).toEqual(['peak/shortest-duration-taken'])
  })

  test('without a burst of 15 minutes for that chance the peak is unknown, whatever the time of concentration', () => {
    const rare = rationalPeakOfTable(table, 0.01, 1.5, 0.4, 8000)
    expect(rare.value).toBeNull()
    expect(codes(rare)).toEqual(['peak/no-short-burst'])
    const graphical = graphicalPeak({ ...storm, shortestDuration_h: 24 })
    expect(graphical.value).toBeNull()
    expect(codes(graphical)).toEqual(['peak/no-short-burst'])
  })

  test('USDA TR-55 ch. 4: limits of the graphical method', () => {
    expect(graphicalPeak(storm).value).toBeCloseTo(0.0934, 4)
    expect(codes(graphicalPeak({ ...storm, curveNumber: 39 }))).toEqual(['peak/curve-number-outside-graphical'])
    expect(codes(graphicalPeak({ ...storm, timeOfConcentration_h: 0.09 }))).toEqual(['peak/time-outside-graphical'])
    expect(codes(graphicalPeak({ ...storm, timeOfConcentration_h: 10.1 }))).toEqual(['peak/time-outside-graphical'])
    expect(codes(graphicalPeak({ ...storm, pond_ratio: 0.06 }))).toEqual(['peak/ponds-outside-graphical'])
    expect(pondFactor(0.06)).toBeNaN()
    expect(pondFactor(0.02)).toBeCloseTo(0.81, 12)
  })

  test('USDA TR-55 ch. 4: initial abstraction outside 0.1–0.5 of the rain takes the limiting row and loses accuracy', () => {
    expect(remarks(graphicalPeak(storm))).toEqual([])
    expect(remarks(graphicalPeak({ ...storm, rain24h_mm: 300 }))).toEqual(['peak/abstraction-clamped'])
    expect(remarks(graphicalPeak({ ...storm, curveNumber: 45, rain24h_mm: 80 }))).toEqual(['peak/abstraction-clamped'])
    expect(graphicalCoefficients('II', 0.02).c0).toBe(2.55323)
    expect(graphicalCoefficients('II', 0.1).c0).toBe(2.55323)
    expect(graphicalCoefficients('II', 0.7).c0).toBe(2.20282)
    expect(graphicalCoefficients('III', 0.5).c2).toBe(-0.09525)
  })
})
