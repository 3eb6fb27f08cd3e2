import type { GridGeometry } from 'soakline/raster'
import { type ErrorModel, errorField, MOST_CORRELATED_CELLS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { addErrors, fieldScratch } from '../../src/siting/doubt-error-field.js'

const geometry = (width: number, height: number, cell_m = 1): GridGeometry => ({
  width,
  height,
  cell_m,
  west_m: 0,
  north_m: height * cell_m,
  crs: 'local',
})
const white: ErrorModel = { sigma_m: 0.1, correlated_ratio: 0, correlationLength_m: 0 }
const shared = (cells: number): ErrorModel => ({ sigma_m: 0.1, correlated_ratio: 1, correlationLength_m: cells })

/** Mean of products over many runs of the errors of two cells, over σ². */
function correlation(model: ErrorModel, pairs: readonly (readonly [number, number])[], runs: number, size = 40): number {
  let sum = 0
  for (let run = 0; run < runs; run++) {
    const { data } = errorField(geometry(size, size), model, 11, run)
    for (const [a, b] of pairs) sum += data[a]! * data[b]!
  }
  return sum / (runs * pairs.length) / (model.sigma_m * model.sigma_m)
}

describe('white errors', () => {
  const many = errorField(geometry(700, 700), white, 3, 0).data
  test('mean 0, σ as asked, kurtosis 2.9, nothing beyond 6 σ', () => {
    let mean = 0
    let square = 0
    let fourth = 0
    let beyond3 = 0
    let most = 0
    for (const e of many) {
      const x = e / 0.1
      mean += x
      square += x * x
      fourth += x ** 4
      if (Math.abs(x) > 3) beyond3++
      most = Math.max(most, Math.abs(x))
    }
    const n = many.length
    expect(most).toBeLessThan(6)
    expect(Math.abs(mean / n)).toBeLessThan(4 / Math.sqrt(n))
    expect(square / n).toBeCloseTo(1, 2)
    // The sum of twelve uniforms: 3 − 6/(5 × 12).
    expect(fourth / n / (square / n) ** 2).toBeGreaterThan(2.87)
    expect(fourth / n / (square / n) ** 2).toBeLessThan(2.93)
    // The doc comment's 0.20 %, against 0.27 % of a normal.
    expect(beyond3 / n).toBeGreaterThan(0.0018)
    expect(beyond3 / n).toBeLessThan(0.0023)
  })

  test('neighbours, rows, runs and seeds have nothing in common', () => {
    const limit = 5 / 700
    for (const other of [1, 2, 700, 701, 699, 1400]) {
      let sum = 0
      for (let cell = 0; cell + other < many.length; cell++) sum += many[cell]! * many[cell + other]!
      expect(Math.abs(sum / many.length / 0.01)).toBeLessThan(limit)
    }
    for (const field of [errorField(geometry(700, 700), white, 3, 1).data, errorField(geometry(700, 700), white, 4, 0).data]) {
      let sum = 0
      for (let cell = 0; cell < many.length; cell++) sum += many[cell]! * field[cell]!
      expect(Math.abs(sum / many.length / 0.01)).toBeLessThan(limit)
    }
  })
})

describe('correlated errors', () => {
  test('σ as asked in the middle, at the rim and in the corner', () => {
    for (const cells of [3, 9, 21]) {
      const size = 40
      for (const cell of [0, 20, 20 * size + 20, size * size - 1])
        expect(correlation(shared(cells), [[cell, cell]], 900, size)).toBeCloseTo(1, 0.6)
    }
  })

  test('at the stated length the correlation is 0.39 across and down, and gone at three lengths', () => {
    const size = 60
    const pairs = (step: number) => Array.from({ length: 12 }, (_, k) => [k * 240, k * 240 + step] as const)
    expect(correlation(shared(9), pairs(9), 500, size)).toBeGreaterThan(0.3)
    expect(correlation(shared(9), pairs(9), 500, size)).toBeLessThan(0.48)
    expect(correlation(shared(9), pairs(9 * size), 500, size)).toBeGreaterThan(0.3)
    expect(correlation(shared(9), pairs(9 * size), 500, size)).toBeLessThan(0.48)
    expect(Math.abs(correlation(shared(9), pairs(27), 500, size))).toBeLessThan(0.1)
    expect(correlation(shared(9), pairs(1), 500, size)).toBeGreaterThan(0.9)
  })

  test('the kernel as told: a cell is the average, three times over a square, of its own bytes', () => {
    // One cell alone and the same cell in a wide window: the slow definition is that the window changes nothing.
    const wide = errorField(geometry(50, 50), { sigma_m: 1, correlated_ratio: 0.6, correlationLength_m: 7 }, 5, 2)
    const scratch = fieldScratch()
    for (const [column, row] of [
      [0, 0],
      [13, 40],
      [49, 49],
    ] as const) {
      const alone = new Float32Array(1)
      const place = { firstColumn: column, firstRow: row, width: 1, height: 1, cell_m: 1 }
      addErrors(alone, new Float32Array(1), place, { sigma_m: 1, correlated_ratio: 0.6, correlationLength_m: 7 }, 5, 2, scratch)
      expect(alone[0]).toBe(wide.data[row * 50 + column])
    }
  })
})

test('both parts together have the variance asked for', () => {
  const model: ErrorModel = { sigma_m: 0.2, correlated_ratio: 0.5, correlationLength_m: 5 }
  const pairs = Array.from({ length: 30 }, (_, k) => [k * 53, k * 53] as const)
  expect(correlation(model, pairs, 400)).toBeGreaterThan(0.94)
  expect(correlation(model, pairs, 400)).toBeLessThan(1.06)
})

test('the same bits everywhere: these are they', () => {
  const { data } = errorField(geometry(3, 2), { sigma_m: 1, correlated_ratio: 0.5, correlationLength_m: 3 }, 2026, 7)
  expect([...data].map(x => x.toFixed(7))).toMatchInlineSnapshot(`
    [
      "1.0664949",
      "0.1140300",
      "0.6908789",
      "-0.8013901",
      "-0.2350143",
      "1.1606882",
    ]
  `)
})

test('voids stay voids, σ 0 changes nothing', () => {
  const ground = Float32Array.from([1, Number.NaN, 2.5, 3])
  const into = new Float32Array(4)
  const place = { firstColumn: 0, firstRow: 0, width: 2, height: 2, cell_m: 1 }
  addErrors(into, ground, place, { sigma_m: 0, correlated_ratio: 0.5, correlationLength_m: 9 }, 1, 0, fieldScratch())
  expect([...into]).toEqual([...ground])
  addErrors(into, ground, place, shared(9), 1, 0, fieldScratch())
  expect([...into].map(Number.isNaN)).toEqual([false, true, false, false])
})

test.each([
  { ...white, sigma_m: -1 },
  { ...white, sigma_m: Number.NaN },
  { ...white, correlated_ratio: 1.1 },
  { ...white, correlationLength_m: MOST_CORRELATED_CELLS + 2 },
])('refused: %o', model => {
  expect(() => errorField(geometry(2, 2), model, 1, 0)).toThrow(expect.objectContaining({ code: 'doubt/bad-error-model' }))
})
