import { InputError, type Warning } from 'soakline/foundation'
import type { Point } from 'soakline/raster'
import type { Projection } from './crs.js'
import { readLine, type VectorOptions } from './geojson.js'
import { readGpx } from './gpx.js'
import { readKml } from './kml.js'

/** What a text of lines is written in, by its beginning. */
export function lineFormat(text: string): 'geojson' | 'gpx' | 'kml' {
  const root = /^\uFEFF?\s*(?:<\?[^>]*\?>\s*|<!--[\s\S]*?-->\s*)*<(?:\w+:)?(\w+)/.exec(text.slice(0, 4096))?.[1]?.toLowerCase()
  return root === 'gpx' || root === 'kml' ? root : 'geojson'
}

/**
 * The line of a plan from GeoJSON, or the one route, track or line of a GPX or KML file, in the working system.
 *
 * Units    metres; heights are ignored.
 * Throws   what `readLine`, `readGpx` and `readKml` throw; `line/none`, `line/several`, `line/too-short`.
 */
export function readLineFile(text: string, projection: Projection, options: VectorOptions = {}): { path: Point[]; warnings: Warning[] } {
  const format = lineFormat(text)
  if (format === 'geojson') return readLine(text, projection, options)
  const { lines, points } = format === 'gpx' ? readGpx(text, projection) : readKml(text, projection)
  const [line] = lines
  if (!line)
    throw new InputError('line/none', 'The file holds no line. Export the swale as one route or track, or as one line.', {
      features: points.length,
    })
  if (lines.length > 1)
    throw new InputError(
      'line/several',
      `The file holds ${lines.length} lines (${lines.map(one => one.name.slice(0, 40)).join(', ')}); which one is meant is not clear. Export the one line.`,
      { lines: lines.length },
    )
  const path = line.path.filter((at, k) => k === 0 || at[0] !== line.path[k - 1]![0] || at[1] !== line.path[k - 1]![1])
  if (path.length < 2)
    throw new InputError(
      'line/too-short',
      'The line has fewer than two different points, so it has no length and no direction. Draw it again.',
      { points: path.length },
    )
  return {
    path: [...path],
    warnings: points.length > 0 ? [{ code: 'line/others-ignored', details: { features: points.length } }] : [],
  }
}
