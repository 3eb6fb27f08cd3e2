import { InputError, type Warning } from 'soakline/foundation'
import type { Point } from 'soakline/raster'
import type { Projection } from './crs.js'
import { readLine, type VectorOptions } from './geojson.js'
import { readGpx } from './gpx.js'
import { readKml } from './kml.js'
import { whichLine } from './which-line.js'

/** What a text of lines is written in, by its beginning. */
export function lineFormat(text: string): 'geojson' | 'gpx' | 'kml' {
  const root = /^\uFEFF?\s*(?:<\?[^>]*\?>\s*|<!--[\s\S]*?-->\s*)*<(?:\w+:)?(\w+)/.exec(text.slice(0, 4096))?.[1]?.toLowerCase()
  return root === 'gpx' || root === 'kml' ? root : 'geojson'
}

/**
 * The line of a plan from GeoJSON, or the route, track or line of a GPX or KML file that `whichLine` finds, in the working system.
 *
 * Units    metres; heights are ignored.
 * Throws   what `readLine`, `readGpx` and `readKml` throw; `line/none`, `line/several`, `line/no-such-line`, `line/too-short`.
 */
export function readLineFile(text: string, projection: Projection, options: VectorOptions = {}): { path: Point[]; warnings: Warning[] } {
  const format = lineFormat(text)
  if (format === 'geojson') return readLine(text, projection, options)
  const { lines, points } = format === 'gpx' ? readGpx(text, projection) : readKml(text, projection)
  if (lines.length === 0)
    throw new InputError('line/none', 'The file holds no line. Export the swale as one route or track, or as one line.', {
      features: points.length,
    })
  const line = whichLine(lines, options.line)
  const others = points.length + lines.length - 1
  const path = line.path.filter((at, k) => k === 0 || at[0] !== line.path[k - 1]![0] || at[1] !== line.path[k - 1]![1])
  if (path.length < 2)
    throw new InputError(
      'line/too-short',
      'The line has fewer than two different points, so it has no length and no direction. Draw it again.',
      { points: path.length },
    )
  return {
    path: [...path],
    warnings: others > 0 ? [{ code: 'line/others-ignored', details: { features: others } }] : [],
  }
}
