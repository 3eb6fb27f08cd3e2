import { nameGroundWork, sayGroundWork } from '@soakline/drawing'
import {
  CROSSERS,
  DIG_PHASES,
  DO_NOT,
  IN_STORM,
  INSPECTION_LIST,
  INSPECTION_TIMES,
  LEVEL_TOOLS,
  MATCH_REASONS,
  PLANT_ZONES,
  STAKE_KINDS,
} from 'soakline/plan'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US } from './hillside.js'

const LISTS = {
  phase: DIG_PHASES,
  crosser: CROSSERS,
  zone: PLANT_ZONES,
  stake: STAKE_KINDS,
  doNot: DO_NOT,
  inStorm: IN_STORM,
  time: INSPECTION_TIMES,
  inspection: INSPECTION_LIST.map(({ code }) => code),
  tool: LEVEL_TOOLS.map(({ tool }) => tool),
} as const

test('every step, place, tool and inspection has its name in both languages', () => {
  for (const [of, codes] of Object.entries(LISTS))
    for (const code of codes) {
      const [en, es] = [EN, ES].map(voice => nameGroundWork(of as keyof typeof LISTS, code, voice))
      expect(en, code).not.toMatch(/\bsafe|\bclear\b|[a-z]-[a-z]+-[a-z]/)
      expect(es, code).not.toBe(en)
      expect(es, code).not.toMatch(/\bsegur[oa]|bordo/)
    }
  expect(nameGroundWork('tool', 'new-tool', EN)).toBe('new-tool')
})

test('what was built, seen and planted is said with its values, and never a raw gap', () => {
  expect(sayGroundWork('as-built/berm-below-sill', { chainage_m: 20, value_m: 0.06 }, EN)).toMatch(
    /^The berm is 0\.06 m lower than the place where it should spill, 20 m along the line\./,
  )
  for (const voice of [EN, EN_US, ES, ES_US])
    for (const code of [
      'as-built/gap',
      'as-built/sill-not-level',
      'log/spilled-unexpectedly',
      'log/more-water-than-predicted',
      ...MATCH_REASONS,
    ])
      for (const values of [{}, { chainage_m: 5, value_m: 33, waterOff_m: 0.1 }])
        expect(sayGroundWork(code, values, voice)).not.toMatch(/[{}[\]]|undefined|NaN|without a sentence/)
  expect(sayGroundWork('new/code', {}, EN)).toContain('new/code')
})
