import type { Culvert, Wall } from '../hydrology/index.js'
import type { Shape } from '../raster/index.js'
import type { SiteFeature } from './feature.js'

/**
 * The culverts and walls among drawn features, as a study of the water takes them. A wall drawn as an area stands round its rim; places alone
 * have no line and do nothing.
 *
 * @param wallHeight_m  of walls whose own height was not given
 */
export function drawnWorks(
  features: readonly SiteFeature[],
  wallHeight_m: number,
): { readonly culverts: readonly Culvert[]; readonly walls: readonly Wall[] } {
  return {
    culverts: features.filter(f => f.kind === 'culvert').flatMap(f => f.shapes.flatMap(pathsOf).map(path => ({ path }))),
    walls: features
      .filter(f => f.kind === 'wall')
      .flatMap(f => f.shapes.flatMap(pathsOf).map(path => ({ path, height_m: f.height_m ?? wallHeight_m }))),
  }
}

const pathsOf = (shape: Shape): Wall['path'][] =>
  shape.type === 'line' ? [shape.path] : shape.type === 'polygon' ? shape.rings.map(ring => [...ring, ring[0]!]) : []
