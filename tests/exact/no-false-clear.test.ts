import { type Verdict, worstVerdict } from 'soakline/foundation'
import { studyWater } from 'soakline/hydrology'
import { assess, defaultSettings, type Settings, siteOf } from 'soakline/plan'
import { atTwiceTheError, type DoubtQuestion, type DoubtRuns, doubtRuns, joinedRuns, overflowVerdict } from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { cases } from '../helpers/cases.js'
import { particleRuns } from '../helpers/particle-oracle.js'
import { type Hillside, randomHillside } from '../helpers/random-hillside.js'

/** Clearance in plan, m: half the settings' own, so that hillsides of 80 m can stay clear of it twice over. */
const PLAN_M = 5
/** In height: depth of a thin flow and twice the error. */
const heightClearance_m = (hill: Hillside): number => 0.15 + 2 * hill.sigma_m
const ORACLE_RUNS = 200
const CLEAR_RUNS = 400

/** What a judge says of a hillside: the verdict about its overflow. */
type Judge = (hill: Hillside) => Verdict

/** The quick answer, before terrains are tried: the path and the 1 % band on the ground as it is. */
const byPathAndBand: Judge = hill => {
  const settings: Settings = {
    ...defaultSettings(),
    elevationError_m: hill.sigma_m,
    buildingClearance_m: PLAN_M,
    allBuildingsDrawn: true,
    permissionsAsked: true,
  }
  const study = studyWater(hill.ground)
  const site = siteOf(study, gradient(hill.ground), [hill.cabin], settings, { sha256: '', warnings: [] })
  const answer = assess(site, hill.line, settings, null)
  return answer.findings.find(f => f.check === 'overflow-misses-buildings')!.verdict
}

/** The tried terrains of the library and its rule. Once some runs forbid it to hold, more of them never allow it: they are saved. */
const byTriedTerrains: Judge = hill => {
  const study = studyWater(hill.ground)
  const question: DoubtQuestion = {
    line: hill.line,
    spills: hill.sills,
    error: hill,
    clearance: { plan_m: PLAN_M, height_m: heightClearance_m(hill) },
    seed: 1,
    runs: 20,
  }
  const tried = (on: DoubtQuestion): DoubtRuns => doubtRuns(study, [hill.cabin], on)
  const verdict = (runs: DoubtRuns, twice: DoubtRuns | null): Verdict =>
    worstVerdict(hill.sills.map((_, k) => overflowVerdict(runs, twice, k).verdict))
  const some = tried(question)
  if (['watch', 'fails'].includes(verdict(some, null))) return verdict(some, null)
  return verdict(joinedRuns(some, tried({ ...question, firstRun: 20, runs: 180 })), tried(atTwiceTheError(question)))
}

interface Rates {
  readonly reached: number
  readonly falseClear: readonly number[]
  readonly wellClear: number
  readonly cautious: readonly number[]
}

/** What the oracle says: whether any of 200 runs comes within the clearance, and whether 400 stay twice as far. It stops once both are known. */
function asked(hill: Hillside): { comes: boolean; clear: boolean } {
  const runs = particleRuns(hill, { plan_m: PLAN_M, height_m: heightClearance_m(hill) })
  let clear = true
  for (let run = 0; run < CLEAR_RUNS; run++) {
    const { clearances } = runs.next().value
    if (run < ORACLE_RUNS && clearances <= 1) return { comes: true, clear: false }
    if (clearances <= 2) clear = false
    if (!clear && run >= ORACLE_RUNS - 1) break
  }
  return { comes: false, clear }
}

/** Both rates of each judge over the hillsides of the seeds. */
function rates(seeds: readonly number[], judges: readonly Judge[]): Rates {
  let reached = 0
  let wellClear = 0
  const falseClear = judges.map(() => 0)
  const cautious = judges.map(() => 0)
  for (const seed of seeds) {
    const hill = randomHillside(seed)
    const { comes, clear } = asked(hill)
    if (comes) reached++
    if (clear) wellClear++
    judges.forEach((judge, k) => {
      if (!comes && !clear) return
      const holds = judge(hill) === 'holds'
      if (comes && holds) falseClear[k]!++
      if (clear && !holds) cautious[k]!++
    })
  }
  return { reached, falseClear, wellClear, cautious }
}

const together = (a: Rates, b: Rates): Rates => ({
  reached: a.reached + b.reached,
  falseClear: a.falseClear.map((n, k) => n + b.falseClear[k]!),
  wellClear: a.wellClear + b.wellClear,
  cautious: a.cautious.map((n, k) => n + b.cautious[k]!),
})

/** Share of the hillsides that stay well clear of the cabin that may be called less than within limits. */
const MOST_CAUTIOUS = 0.2

/** Hillsides at a time: what a long run has found so far is said as it goes. */
const AT_A_TIME = 50

describe('no false clear: an independent oracle lets particles go on hillsides with wrong heights', () => {
  const seeds = Array.from({ length: cases(30) }, (_, k) => k + 1)
  test(`${seeds.length} hillsides`, () => {
    const judges = [byTriedTerrains, byPathAndBand]
    let so = rates([], judges)
    for (let from = 0; from < seeds.length; from += AT_A_TIME) {
      so = together(so, rates(seeds.slice(from, from + AT_A_TIME), judges))
      process.stdout.write(
        `no false clear: of ${Math.min(from + AT_A_TIME, seeds.length)} hillsides the oracle's water came within the clearance on ${so.reached} and stayed twice as far on ${so.wellClear}; ` +
          `called "holds" though it came: tried terrains ${so.falseClear[0]}, path and band ${so.falseClear[1]}; ` +
          `called less though it stayed well clear: tried terrains ${so.cautious[0]}, path and band ${so.cautious[1]}\n`,
      )
    }
    // The hillsides must put the question: enough on both sides.
    expect(so.reached).toBeGreaterThan(seeds.length / 5)
    expect(so.wellClear).toBeGreaterThan(seeds.length / 5)
    expect(so.falseClear[0]).toBe(0)
    expect(so.cautious[0]! / so.wellClear).toBeLessThanOrEqual(MOST_CAUTIOUS)
  }, 10_800_000)
})
