import { carving, drainage, filledSurface, hollows } from 'soakline/hydrology'
import { elevationGrid } from 'soakline/raster'
import { type ReferenceValue, reference } from './reference-value.js'

type Rows = readonly (readonly number[])[]

/** The filled surface, row by row, and what filling adds. */
function filling(rows: Rows): { filled: number[][]; volume: number } {
  const ground = elevationGrid(rows)
  const drained = drainage(ground)
  const surface = filledSurface(ground, drained)
  const width = rows[0]!.length
  return {
    filled: rows.map((_, row) => [...surface.data.slice(row * width, (row + 1) * width)]),
    volume: hollows(ground, surface, drained).reduce((sum, hollow) => sum + hollow.volume_m3, 0),
  }
}

/** What filling the only hollow adds, and what the cut from its pit takes away instead. */
function fillOrCut(rows: Rows): { fillVolume: number; cutCells: number; cutVolume: number } {
  const ground = elevationGrid(rows)
  const drained = drainage(ground)
  const surface = filledSurface(ground, drained)
  const [hollow] = hollows(ground, surface, drained)
  const cut = carving(ground, surface).cutFrom(hollow!.deepest)
  if (typeof cut === 'string') throw new Error(cut)
  return { fillVolume: hollow!.volume_m3, cutCells: cut.lowered.length, cutVolume: cut.volume_m3 }
}

/** Numbers known from outside about hollows: filling and cutting. Eight neighbours, open border. */
export const DEPRESSION_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'TI-FILL-1',
      quantity: 'one hollow filled, and the volume that this adds',
      inputs: [
        [10, 10, 10, 10, 10],
        [10, 6, 5, 7, 10],
        [10, 4, 2, 6, 10],
        [10, 7, 3, 8, 8],
        [10, 10, 10, 10, 10],
      ],
      expected: {
        filled: [
          [10, 10, 10, 10, 10],
          [10, 8, 8, 8, 10],
          [10, 8, 8, 8, 10],
          [10, 8, 8, 8, 8],
          [10, 10, 10, 10, 10],
        ],
        volume: 24,
      },
      unit: 'm, m3',
      tolerance: { abs: 0 },
      source: 'priority-flood, Barnes et al. (2014); own grid, reproduced with SAGA 8.5.0',
      known: 'derived',
    },
    filling,
  ),
  reference(
    {
      id: 'TI-FILL-2',
      quantity: 'two hollows behind a ridge fill to two levels',
      inputs: [
        [9, 9, 9, 9, 9],
        [9, 3, 7, 2, 9],
        [9, 4, 7, 1, 5],
        [9, 3, 7, 2, 9],
        [9, 9, 9, 9, 9],
      ],
      expected: {
        filled: [
          [9, 9, 9, 9, 9],
          [9, 7, 7, 5, 9],
          [9, 7, 7, 5, 5],
          [9, 7, 7, 5, 9],
          [9, 9, 9, 9, 9],
        ],
        volume: 21,
      },
      unit: 'm, m3',
      tolerance: { abs: 0 },
      source: 'own grid, reproduced with SAGA 8.5.0',
      known: 'derived',
    },
    filling,
  ),
  reference(
    {
      id: 'TI-FILL-BREACH',
      quantity: 'a walled pit with a notch: filled, or cut through the notch down to its floor',
      inputs: [
        [0, 0, 0, 0, 0, 0],
        [0, 9, 9, 9, 9, 0],
        [0, 9, 1, 1, 6, 0],
        [0, 9, 1, 1, 9, 0],
        [0, 9, 9, 9, 9, 0],
        [0, 0, 0, 0, 0, 0],
      ],
      expected: { fillVolume: 20, cutCells: 1, cutVolume: 5 },
      unit: 'm3, cells, m3',
      tolerance: { abs: 0 },
      source: 'least-cost path after Lindsay (2016); own grid',
      known: 'derived',
    },
    fillOrCut,
  ),
]
