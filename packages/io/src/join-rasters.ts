import { InputError, type LengthUnit, type Warning } from 'soakline/foundation'
import { DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster } from './stored-raster.js'

/** Cells of tiles may miss each other by this part of a cell and still be the same cells: written corners are rounded. Judgement. */
const MISS = 0.02
/** Heights of two tiles in one cell that differ by more than this, in the tiles' unit, are said. Judgement: a step that water sees. */
const STEP = 0.1

/**
 * One raster of several tiles of one grid.
 *
 * Shapes   from the outermost tiles; north-up.
 * No data  where no tile has a height. Where tiles overlap the first that has one gives it, so that nothing known is overwritten by a gap.
 * Laws     Every valid cell of the answer is a cell of a tile, unchanged; the order of tiles matters only where two of them disagree, which is counted.
 * Throws   InputError `tiles/other-system`, `tiles/other-unit`, `tiles/other-cells`, `tiles/not-in-line`, `tiles/turned`, `grid/too-large`.
 */
export function joinRasters(tiles: readonly StoredRaster[], options: ReadOptions = {}): StoredRaster {
  const first = tiles[0]!
  for (const tile of tiles) refuseUnlike(first, tile)
  const placed = tiles.map(northUp)
  const [a, , , , e] = placed[0]!.affine
  const at = placed.map(({ affine, width, height }) => {
    const [column, row] = [(affine[2] - placed[0]!.affine[2]) / a, (affine[5] - placed[0]!.affine[5]) / e]
    const sizes = [affine[0] / a - 1, affine[4] / e - 1] as const
    if (Math.abs(sizes[0]) * width > MISS || Math.abs(sizes[1]) * height > MISS)
      throw new InputError(
        'tiles/other-cells',
        `The tiles have cells of different sizes (${a} and ${affine[0]}), so they are not parts of one raster. Open them one at a time, or draw them on one grid first.`,
        { first: a, other: affine[0] },
      )
    if (Math.abs(column - Math.round(column)) > MISS || Math.abs(row - Math.round(row)) > MISS)
      throw new InputError(
        'tiles/not-in-line',
        'The cells of one tile lie between those of another, so they cannot be joined without drawing them anew. Draw them on one grid first (bilinear).',
        { column, row },
      )
    return { column: Math.round(column), row: Math.round(row) }
  })
  const west = Math.min(...at.map(({ column }) => column))
  const north = Math.min(...at.map(({ row }) => row))
  const width = Math.max(...at.map(({ column }, k) => column + placed[k]!.width)) - west
  const height = Math.max(...at.map(({ row }, k) => row + placed[k]!.height)) - north
  const maxCells = options.maxCells ?? DEFAULT_MAX_CELLS
  if (!(width * height <= maxCells))
    throw new InputError(
      'grid/too-large',
      `Joined, the tiles make ${width} × ${height} cells, more than the ${maxCells} that can be held. Leave out tiles far from the holding.`,
      { width, height, maxCells },
    )
  const data = (
    tiles.every(tile => tile.data instanceof Float32Array) ? new Float32Array(width * height) : new Float64Array(width * height)
  ).fill(Number.NaN)
  let [both, unlike, most] = [0, 0, 0]
  placed.forEach((tile, k) => {
    const { column, row } = at[k]!
    for (let r = 0; r < tile.height; r++) {
      const to = (row - north + r) * width + column - west
      for (let c = 0; c < tile.width; c++) {
        const z = tile.data[r * tile.width + c]!
        if (Number.isNaN(z)) continue
        const there = data[to + c]!
        if (Number.isNaN(there)) {
          data[to + c] = z
          continue
        }
        both++
        const step = Math.abs(there - z)
        if (step > STEP) unlike++
        if (step > most) most = step
      }
    }
  })
  const warnings: Warning[] = [{ code: 'tiles/joined', details: { tiles: tiles.length, width, height, shared: both } }]
  if (unlike > 0) warnings.push({ code: 'tiles/disagree', details: { cells: unlike, most: Number(most.toPrecision(6)) } })
  const seen = new Set<string>()
  for (const warning of tiles.flatMap(tile => tile.warnings)) {
    const key = JSON.stringify(warning)
    if (!seen.has(key)) warnings.push(warning)
    seen.add(key)
  }
  const errors = tiles.map(tile => tile.packingError ?? 0)
  return {
    ...first,
    ...(errors.some(error => error > 0) ? { packingError: Math.max(...errors) } : {}),
    width,
    height,
    data,
    affine: [a, 0, placed[0]!.affine[2] + west * a, 0, e, placed[0]!.affine[5] + north * e],
    warnings,
  }
}

function refuseUnlike(first: StoredRaster, tile: StoredRaster): void {
  if (tile.crs !== first.crs)
    throw new InputError(
      'tiles/other-system',
      `The tiles lie in different coordinate systems (${first.crs ?? 'none stated'} and ${tile.crs ?? 'none stated'}). Bring them into one first.`,
      { first: first.crs, other: tile.crs },
    )
  const unit = ({ verticalUnit, verticalUnitText }: StoredRaster): LengthUnit | string | null =>
    verticalUnit === 'other' ? verticalUnitText : verticalUnit
  if (unit(tile) !== unit(first) || tile.verticalDatum !== first.verticalDatum || tile.ellipsoidal !== first.ellipsoidal)
    throw new InputError(
      'tiles/other-unit',
      `The heights of the tiles are counted differently (${unit(first) ?? 'no unit'}, ${first.verticalDatum ?? 'no datum'}; and ${unit(tile) ?? 'no unit'}, ${tile.verticalDatum ?? 'no datum'}). A step would stand between them; bring them to one first.`,
      { first: unit(first), other: unit(tile) },
    )
}

/** The same raster with rows to the south and columns to the east. */
function northUp(tile: StoredRaster): StoredRaster {
  const [a, b, c, d, e, f] = tile.affine
  if (b !== 0 || d !== 0 || a === 0 || e === 0)
    throw new InputError(
      'tiles/turned',
      'A tile is rotated or sheared, so it cannot be joined. Warp it to a north-up grid first (bilinear).',
      {},
    )
  if (a > 0 && e < 0) return tile
  const { width, height } = tile
  const data = tile.data.slice()
  for (let row = 0; row < height; row++) {
    const from = e < 0 ? row : height - 1 - row
    for (let column = 0; column < width; column++)
      data[row * width + column] = tile.data[from * width + (a > 0 ? column : width - 1 - column)]!
  }
  return { ...tile, data, affine: [Math.abs(a), 0, a > 0 ? c : c + a * width, 0, -Math.abs(e), e < 0 ? f : f + e * height] }
}
