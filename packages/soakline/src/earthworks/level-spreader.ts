import { InputError, type Known, METRES_PER } from '../foundation/index.js'

/** A published rule for the length of a level sill that spreads water over the slope below. */
export interface SpreaderRule {
  readonly length_mPerM3s: number
  readonly below: 'grass' | 'forest' | 'not said'
  readonly source: string
  readonly known: Known
}

/** One foot of sill for a cubic foot a second, in metres for a cubic metre a second. */
const FOOT_PER_CFS = 1 / (METRES_PER.ft * METRES_PER.ft)

/** The published rules. They differ by twenty times: the choice is a setting, and all are shown. */
export const SPREADER_RULES = {
  'north-carolina': {
    length_mPerM3s: 10 * FOOT_PER_CFS,
    below: 'not said',
    source: '10 ft per cfs: NC 15A NCAC 02H .1059',
    known: 'published',
  },
  'hathaway-hunt-grass': {
    length_mPerM3s: 13 * FOOT_PER_CFS,
    below: 'grass',
    source: '13 ft per cfs on grass: Hathaway & Hunt; TRCA LID wiki, 1.4 m per 0.01 m³/s',
    known: 'published',
  },
  'trca-forest': { length_mPerM3s: 430, below: 'forest', source: '4.3 m per 0.01 m³/s into forest: TRCA LID wiki', known: 'published' },
  'half-cfs-per-foot': {
    length_mPerM3s: 2 * FOOT_PER_CFS,
    below: 'not said',
    source: '0.5 cfs per foot: a guidance page without author',
    known: 'published',
  },
} as const satisfies Readonly<Record<string, SpreaderRule>>
/** A rule of `SPREADER_RULES`. */
export type SpreaderRuleName = keyof typeof SPREADER_RULES

/** Lengths in which spreaders are published. Source: level-spreader guidance, 4–40 m. */
export const SPREADER_LENGTHS_m = { least: 4, most: 40 } as const

/** How far a lip may be out of level: 0.25 in. Source: NC 15A NCAC 02H .1059. */
export const LIP_TOLERANCE_m = 0.00635

/** What one rule asks. */
export interface SpreaderLength {
  readonly rule: SpreaderRuleName
  readonly length_m: number
  /** A longer sill than any is published for: split the water between several. */
  readonly longerThanPublished: boolean
  readonly chosen: boolean
  readonly source: string
}

/**
 * Length that each published rule asks for a flow, the chosen one marked.
 *
 * Units   m³/s → m. Default of the rule: `hathaway-hunt-grass` (judgement: swales spill on grass).
 * Throws  `weir/bad-flow`.
 */
export function spreaderLengths(flow_m3s: number, chosen: SpreaderRuleName = 'hathaway-hunt-grass'): SpreaderLength[] {
  if (!(flow_m3s >= 0 && flow_m3s < Infinity))
    throw new InputError('weir/bad-flow', `The flow is ${flow_m3s}; give 0 or more.`, { flow_m3s })
  return (Object.keys(SPREADER_RULES) as SpreaderRuleName[]).map(rule => {
    const { length_mPerM3s, source } = SPREADER_RULES[rule]
    const length_m = flow_m3s * length_mPerM3s
    return { rule, length_m, longerThanPublished: length_m > SPREADER_LENGTHS_m.most, chosen: rule === chosen, source }
  })
}
