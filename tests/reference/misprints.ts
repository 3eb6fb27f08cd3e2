import { CURVED_FORM, graphicalCoefficients, graphicalPeak, kinematicSheetTime, scsFallen_ratio, stormRunoff_mm } from 'soakline/hydrology'
import { formArea } from '../../packages/soakline/src/hydrology/unit-hydrograph.js'

/** A number that is printed wrongly in a source, what holds instead, and our own answer. Not to be "mended" to the printed one. */
export interface Misprint {
  readonly where: string
  readonly printed: number
  readonly holds: number
  readonly unit: string
  /** Half the last printed place. */
  readonly within: number
  readonly why: string
  readonly answer: () => number
}

const kinematicConstant = (): number => (kinematicSheetTime({ length_m: 1, slope_ratio: 1, roughness: 1 }, 1).value ?? Number.NaN) * 60

const flowedUntil = (time_ratio: number): number => formArea(CURVED_FORM, time_ratio) / formArea(CURVED_FORM)

export const MISPRINTS: readonly Misprint[] = [
  {
    where: 'USDA TR-55 (1986) Table 2-1, rain 7.0 in, curve number 50',
    printed: 1.68,
    holds: 1.67,
    unit: 'in',
    within: 0.005,
    why: 'its own equation gives 25/15 = 1.6667',
    answer: () => stormRunoff_mm(7 * 25.4, 50) / 25.4,
  },
  {
    where: 'FHWA HDS-2, 2nd ed. (2002), Table 6.5, Type III at 10.5 h',
    printed: 0.212,
    holds: 0.2165,
    unit: '1',
    within: 0.0005,
    why: 'the distribution is antisymmetric about noon, and at 13.5 h it is 0.7835',
    answer: () => scsFallen_ratio('III', 10.5),
  },
  {
    where: 'a public data set of the graphical method’s coefficients, Type III, Ia/P 0.50, C2',
    printed: -0.11508,
    holds: -0.09525,
    unit: '1',
    within: 0.000005,
    why: 'the row above was copied down; USDA TR-55 (1986) Table F-1 and FHWA HEC-22 Table 3-7 agree',
    answer: () => graphicalCoefficients('III', 0.5).c2,
  },
  {
    where: 'FHWA HDS-2, 2nd ed. (2002), mass curve of the unit hydrograph at 0.3 of the time to peak',
    printed: 0.012,
    holds: 0.017,
    unit: '1',
    within: 0.0005,
    why: 'the ordinates beside it add up to 0.0168; NEH Part 630, ch. 16 prints 0.017',
    answer: () => flowedUntil(0.3),
  },
  {
    where: 'FHWA HDS-2, 2nd ed. (2002), mass curve of the unit hydrograph at 1.5 of the time to peak',
    printed: 0.7,
    holds: 0.7036,
    unit: '1',
    within: 0.0005,
    why: 'the ordinates beside it add up to 0.7036; NEH Part 630, ch. 16 prints 0.705',
    answer: () => flowedUntil(1.5),
  },
  {
    where: 'FHWA HEC-22, 3rd ed. (2009), constant of kinematic sheet flow',
    printed: 6.92,
    holds: 6.988,
    unit: '1',
    within: 0.005,
    why: '(3.6e6)^0.4 / 60 for minutes and mm/h',
    answer: kinematicConstant,
  },
  {
    where: 'FHWA HDS-2, 2nd ed. (2002), constant of kinematic sheet flow',
    printed: 6.9,
    holds: 6.988,
    unit: '1',
    within: 0.05,
    why: '(3.6e6)^0.4 / 60 for minutes and mm/h',
    answer: kinematicConstant,
  },
  {
    where: 'FHWA HEC-22, 3rd ed. (2009), Example 3-5',
    printed: 96,
    holds: 95.26,
    unit: 'm3/s',
    within: 0.5,
    why: 'its own rounded factors, 0.176 × 6.1 × 89, give 95.5',
    answer: () =>
      graphicalPeak({
        type: 'II',
        area_m2: 6.1e6,
        curveNumber: 78,
        rain24h_mm: 150,
        timeOfConcentration_h: 0.8,
        shortestDuration_h: 5 / 60,
        pond_ratio: 0,
      }).value ?? Number.NaN,
  },
]
