import { drainage, filledSurface } from 'soakline/hydrology'
import type { ElevationGrid } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { TIE_FREE, terrain } from '../../../../tests/helpers/surfaces.js'
import { type DrainScratch, drainRun, drainScratch } from '../../src/siting/doubt-drainage.js'

/** Drains a ground by the runs' own kernel. */
function drained(ground: ElevationGrid, keep: readonly number[] = [], scratch = drainScratch(ground.geometry, ground.data, keep)) {
  scratch.z.set(ground.data)
  return { ...drainRun(scratch), filled: scratch.filled, scratch }
}

describe('the drainage of the tried terrains is that of the library', () => {
  for (const kind of TIE_FREE)
    test(`${kind}: directions, basins, passes and the filled surface are the same`, () => {
      for (let seed = 1; seed <= 12; seed++) {
        const ground = terrain(kind, seed, 40 + seed, 55 - seed)
        const ours = drained(ground)
        const theirs = drainage(ground)
        expect([...ours.slope]).toEqual([...theirs.slope])
        expect([...ours.direction]).toEqual([...theirs.direction])
        expect([...ours.basin]).toEqual([...theirs.basin])
        for (const key of ['pit', 'level_m', 'passInside', 'passOutside', 'pass_m', 'next'] as const)
          expect([...ours.basins[key]]).toEqual([...theirs.basins[key]])
        expect([...ours.filled]).toEqual([...filledSurface(ground, theirs).data])
      }
    })

  test('equal heights: the filled surface is the same, and every way leads off the raster', () => {
    for (const kind of ['lakes', 'decimetres', 'metres', 'metres with gaps', 'level'] as const)
      for (let seed = 1; seed <= 6; seed++) {
        const ground = terrain(kind, seed, 37, 45)
        const ours = drained(ground)
        expect([...ours.filled]).toEqual([...filledSurface(ground, drainage(ground)).data])
        const { width } = ground.geometry
        const step = [-width, 1 - width, 1, width + 1, width, width - 1, -1, -width - 1]
        for (let start = 0; start < ground.data.length; start++) {
          let cell = start
          let steps = 0
          while (ours.direction[cell]! < 8 && steps++ <= ground.data.length) cell += step[ours.direction[cell]!]!
          expect(steps).toBeLessThanOrEqual(ground.data.length)
        }
      }
  })

  test('a kept hollow keeps its water', () => {
    for (let seed = 1; seed <= 8; seed++) {
      const ground = terrain('rough', seed, 40, 40)
      const pits = drainage(ground).basins.pit
      const keep = [pits[1]!, pits[Math.floor(pits.length / 2)]!]
      const ours = drained(ground, keep)
      const theirs = drainage(ground, { keep })
      expect([...ours.direction]).toEqual([...theirs.direction])
      expect([...ours.basins.level_m]).toEqual([...theirs.basins.level_m])
    }
  })

  test('the working memory carries nothing from one ground to the next', () => {
    let scratch: DrainScratch | undefined
    for (let seed = 1; seed <= 6; seed++) {
      const ground = terrain('rough', seed, 50, 30)
      const fresh = drained(ground)
      const again = drained(ground, [], scratch ?? fresh.scratch)
      scratch ??= again.scratch
      expect([...again.direction]).toEqual([...drainage(ground).direction])
      expect([...again.filled]).toEqual([...fresh.filled])
    }
  })
})
