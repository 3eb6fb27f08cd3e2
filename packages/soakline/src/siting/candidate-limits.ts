import type { LimitEntry } from './no-go-limits.js'

/** What a possible line must be. */
export interface CandidateLimits {
  readonly searchInterval_m: number
  readonly searchSmoothing_m: number
  readonly leastSlope_ratio: number
  readonly mostSlope_ratio: number
  readonly footReach_m: number
  readonly leastLength_m: number
  readonly mostLength_m: number
  readonly leastCatchment_m2: number
  readonly mostOffLevel_m: number
  readonly shortestRadius_m: number
  readonly lineFall_ratio: number
  readonly lineGap_m: number
  readonly spillClearance_m: number
  readonly avoidCautions: boolean
  readonly coarsestCell_ratio: number
  readonly mostLines: number
}

const JUDGEMENT = 'judgement'

/** Every limit of a possible line: unit, default, range, meaning, source. */
export const CANDIDATE_LIMITS: { readonly [K in keyof CandidateLimits]: LimitEntry<CandidateLimits[K]> } = {
  searchInterval_m: {
    unit: 'm',
    default: 0.5,
    range: [0.05, 20],
    meaning: 'Fall from one level that is looked at to the next.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  searchSmoothing_m: {
    unit: 'm',
    default: 2,
    range: [0, 20],
    meaning: 'Forms of the ground narrower than this do not bend a possible line.',
    source: `${JUDGEMENT}: what a spade levels out`,
    known: 'judgement',
  },
  leastSlope_ratio: {
    unit: 'rise/run',
    default: 0.02,
    range: [0.001, 1],
    meaning: 'Gentler ground is left out: there a small error of height moves the line by metres.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  mostSlope_ratio: {
    unit: 'rise/run',
    default: 0.27,
    range: [0.01, 2],
    meaning: 'Steeper ground is left out.',
    source:
      'published limits disagree: contour bunds 5 % (FAO U3160E), contour trenches 10 % (BAIF), hillside ditches 12–50 % (Peace Corps 1986); 27 % is 15°',
    known: 'judgement',
  },
  footReach_m: {
    unit: 'm',
    default: 15,
    range: [0, 100],
    meaning:
      'The ground must go on falling at the least slope for this far below a line: at the foot of a slope water stands near the bed.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  leastLength_m: {
    unit: 'm',
    default: 15,
    range: [2, 1000],
    meaning: 'Shorter lines are left out.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  mostLength_m: {
    unit: 'm',
    default: 100,
    range: [5, 5000],
    meaning: 'Longer lines are parted.',
    source:
      'FAO ad083e, convertible terraces up to 100 m; others allow 300–400 m. By hand 100 m are weeks of work (common practice, no source)',
    known: 'published',
  },
  leastCatchment_m2: {
    unit: 'm2',
    default: 200,
    range: [0, 1e8],
    meaning: 'A line that less ground drains into is left out.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  mostOffLevel_m: {
    unit: 'm',
    default: 0.15,
    range: [0.01, 2],
    meaning: 'The ground along the line may leave its level by this much.',
    source: `${JUDGEMENT}: half the usual depth of the ditch`,
    known: 'judgement',
  },
  shortestRadius_m: {
    unit: 'm',
    default: 5,
    range: [2, 100],
    meaning: 'Shortest radius of a bend.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  lineFall_ratio: {
    unit: 'fall/run',
    default: 0,
    range: [0, 0.01],
    meaning: 'Fall of the line towards its spill; 0 is level.',
    source:
      'common practice, no source: level, at most about 1 %; graded bunds 0.1–0.3 %, contour ditches 0.25 % (Hudson) or 1 % (Peace Corps)',
    known: 'common-practice',
  },
  lineGap_m: {
    unit: 'm',
    default: 5,
    range: [0, 100],
    meaning: 'Undug ground between two lines of one level.',
    source: `${JUDGEMENT}: room to pass and to spill`,
    known: 'judgement',
  },
  spillClearance_m: {
    unit: 'm',
    default: 10,
    range: [0, 1000],
    meaning: 'A spill whose overflow passes nearer to a building is not offered.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  avoidCautions: {
    unit: 'yes/no',
    default: true,
    range: null,
    meaning: 'False offers lines on ground where a professional is to be asked first, marked as such.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  coarsestCell_ratio: {
    unit: 'bed widths',
    default: 5,
    range: [0.5, 100],
    meaning: 'With cells wider than this no line is offered: they cannot show where a ditch would run.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  mostLines: {
    unit: '1',
    default: 20,
    range: [1, 200],
    meaning: 'No more lines than this are offered.',
    source: JUDGEMENT,
    known: 'judgement',
  },
}

/** The limits of possible lines with defaults where nothing is given. */
export function candidateLimits(given: { readonly [K in keyof CandidateLimits]?: CandidateLimits[K] | undefined }): CandidateLimits {
  const keys = Object.keys(CANDIDATE_LIMITS) as (keyof CandidateLimits)[]
  return Object.fromEntries(keys.map(key => [key, given[key] ?? CANDIDATE_LIMITS[key].default])) as unknown as CandidateLimits
}
