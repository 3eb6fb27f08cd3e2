import type { Verdict } from 'soakline/foundation'
import { type BuildingRuns, type DoubtRuns, overflowVerdict } from 'soakline/siting'
import { describe, expect, test } from 'vitest'

const none: BuildingRuns = { id: 'a', name: null, touched: 0, reached: 0, near: 0, nearest_m: null, leastRise_m: null }

/** Runs that say so of one building, and of the ground without error. */
function runsThat(
  said: Partial<BuildingRuns>,
  { runs = 200, leftWindow = 0, plain = {} as Partial<BuildingRuns>, buildings = 1 } = {},
): DoubtRuns {
  const geometry = { width: 1, height: 1, cell_m: 1, west_m: 0, north_m: 1, crs: 'local' }
  const spill = (of: Partial<BuildingRuns>, left: number) => ({
    buildings: buildings ? [{ ...none, ...of }] : [],
    visits: new Uint16Array(1),
    leftWindow: left,
  })
  return {
    geometry,
    seed: 1,
    firstRun: 0,
    runs,
    clipped: false,
    areas_m2: [],
    catchmentCut: 0,
    spills: [spill(said, leftWindow)],
    withoutError: { area_m2: 1, spills: [spill(plain, 0)] },
  }
}

describe('the rule by the unfavourable end', () => {
  test.each([
    ['no run near, 200 runs', runsThat({}), 'holds', 'overflow/misses-in-runs'],
    ['no building', runsThat({}, { buildings: 0 }), 'holds', 'overflow/misses-in-runs'],
    ['one run within twice the clearance', runsThat({ near: 1 }), 'watch', 'overflow/near-in-runs'],
    ['one run within the clearance', runsThat({ near: 1, reached: 1 }), 'watch', 'overflow/reaches-in-runs'],
    ['nine of 200 at the wall', runsThat({ near: 9, reached: 9, touched: 9 }), 'watch', 'overflow/reaches-in-runs'],
    ['ten of 200 at the wall', runsThat({ near: 10, reached: 10, touched: 10 }), 'fails', 'overflow/reaches-building'],
    ['no run, but the ground as it is', runsThat({}, { plain: { touched: 1, reached: 1, near: 1 } }), 'fails', 'overflow/reaches-building'],
    ['within the clearance on the ground as it is', runsThat({}, { plain: { reached: 1, near: 1 } }), 'watch', 'overflow/reaches-in-runs'],
    ['water left the window', runsThat({}, { leftWindow: 1 }), 'unknown', 'overflow/window-left'],
    ['too few runs', runsThat({}, { runs: 100 }), 'unknown', 'overflow/too-few-runs'],
    ['just enough runs', runsThat({}, { runs: 149 }), 'holds', 'overflow/misses-in-runs'],
    ['one run is one too many, however few', runsThat({ near: 1, reached: 1 }, { runs: 10 }), 'watch', 'overflow/reaches-in-runs'],
  ] as const)('%s', (_, runs, verdict, because) => {
    expect(overflowVerdict(runs, runsThat({}), 0)).toMatchObject({ verdict, because })
  })

  test('runs with twice the error count against it, and are asked for', () => {
    expect(overflowVerdict(runsThat({}), runsThat({ near: 1, reached: 1 }), 0)).toMatchObject({
      verdict: 'watch',
      because: 'overflow/reaches-with-twice-the-error',
    })
    expect(overflowVerdict(runsThat({}), runsThat({ near: 1 }), 0).verdict).toBe('holds')
    expect(overflowVerdict(runsThat({}), null, 0)).toMatchObject({ verdict: 'unknown', because: 'overflow/too-few-runs' })
  })

  test('law: more reached runs never give a better verdict', () => {
    const order: readonly Verdict[] = ['holds', 'unknown', 'watch', 'fails']
    let worst = 0
    for (let k = 0; k <= 200; k++) {
      const at = order.indexOf(overflowVerdict(runsThat({ near: k, reached: k, touched: k }), runsThat({}), 0).verdict)
      expect(at).toBeGreaterThanOrEqual(worst)
      worst = at
    }
    expect(worst).toBe(3)
  })
})
