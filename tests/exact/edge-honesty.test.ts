import { seededRandom } from 'soakline/foundation'
import type { ElevationGrid } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { cases } from '../helpers/cases.js'
import { type EdgeTally, precision, RISES, type Rise, recall, tallyCrops, together } from '../helpers/edge-crops.js'
import { realCases, realGround, volcano } from '../helpers/real-ground.js'
import { type Terrain, TIE_FREE, terrain } from '../helpers/surfaces.js'

/** Invented ground of each kind, and real ground where it is present. */
const INVENTED: readonly Terrain[] = ['smooth', 'rough', 'lakes', 'gaps', 'decimetres', 'metres']
/** Invented ground on which no two neighbours are equally high. */
const TIE_FREE_KINDS = new Set<string>(TIE_FREE)
const REAL = realCases()
if (REAL.length === 0) console.log('edge honesty: no ../shared/data here, real rasters other than the volcano are left out')

const CROPS = cases(60)
const KINDS = [...INVENTED, 'volcano', ...REAL.filter(name => name !== 'volcano_10m')]

/** One raster of invented ground for every twenty crops, so that long checks meet many. */
async function grounds(kind: string, crops: number): Promise<ElevationGrid[]> {
  if (kind === 'volcano') return [volcano()]
  if (REAL.includes(kind)) return [await realGround(kind)]
  return Array.from({ length: Math.ceil(crops / 20) }, (_, k) => terrain(kind as Terrain, 40 + k, 240, 230))
}

describe(`crops of bigger rasters, ${CROPS} in all: cells whose area is short for what lies beyond the edge are flagged`, () => {
  const found = new Map<string, Record<Rise, EdgeTally>>()

  test.each(KINDS)(
    '%s: none is missed off hollows, whatever the limit; nor below them, equal heights aside, if water may be held up to any height',
    async kind => {
      const crops = Math.ceil(CROPS / KINDS.length)
      const random = seededRandom(1 + KINDS.indexOf(kind))
      const wholes = await grounds(kind, crops)
      const tallies = wholes.map((whole, k) =>
        tallyCrops(whole, Math.floor((crops * (k + 1)) / wholes.length) - Math.floor((crops * k) / wholes.length), random),
      )
      const sum = { 'any height': together(tallies.map(t => t['any height'])), default: together(tallies.map(t => t.default)) }
      found.set(kind, sum)
      for (const rise of Object.keys(RISES) as Rise[]) {
        expect(sum[rise].short).toBeGreaterThan(0)
        expect(sum[rise].missedOffHollows).toBe(0)
      }
      if (TIE_FREE_KINDS.has(kind)) expect(sum['any height'].missed).toBe(0)
      else expect(recall(sum['any height'])).toBeGreaterThan(0.999)
      // Held up no higher than the deepest hollow of the crop: some few are missed below hollows.
      expect(recall(sum.default)).toBeGreaterThan(kind === 'volcano' ? 0.95 : 0.995)
    },
  )

  test('all together: at least seven in ten flagged cells that drain more than 100 cells are short indeed', () => {
    for (const rise of Object.keys(RISES) as Rise[]) {
      for (const [kind, tallies] of found) say(kind, rise, tallies[rise])
      const all = together([...found.values()].map(tallies => tallies[rise]))
      say('all', rise, all)
      expect(recall(all)).toBeGreaterThan(rise === 'any height' ? 0.9999 : 0.999)
      expect(precision(all)).toBeGreaterThan(0.7)
    }
  })

  const say = (kind: string, rise: Rise, tally: EdgeTally): void =>
    console.log(
      `edge flag, water held up to ${rise}, ${kind}: recall ${recall(tally).toFixed(5)} of ${tally.short} short cells (${tally.missed} missed, ${tally.missedOffHollows} off hollows), precision ${precision(tally).toFixed(3)} of ${tally.flaggedWide}`,
    )
})
