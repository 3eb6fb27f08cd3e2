import type { Place, PlanFeature } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'
import type { Projection } from './crs.js'
import { featureCollection, readFeatures } from './geojson.js'

/**
 * A place of the working CRS as plans and JSON files give it: longitude and latitude, nine decimals (a tenth of a millimetre), or the raster's own metres
 * where it has no place on Earth.
 */
export function placeInPlan(projection: Projection, [x, y]: Point): Place {
  if (projection.kind === 'local') return [x, y]
  const [longitude, latitude] = projection.toLonLat(x, y)
  return [Math.round(longitude * 1e9) / 1e9, Math.round(latitude * 1e9) / 1e9]
}

/** A plan's place in the working CRS. Throws what the projection throws for a place beyond its reach. */
export const placeOnGround = (projection: Projection, [a, b]: Place): Point =>
  projection.kind === 'local' ? [a, b] : projection.fromLonLat(a, b)

/** A feature in the working CRS as a plan keeps it. */
export function featureInPlan({ id, kind, name, floor_m, height_m, source, shapes }: SiteFeature, projection: Projection): PlanFeature {
  const { features } = featureCollection([{ shapes, properties: {} }], projection) as { features: { geometry: PlanFeature['geometry'] }[] }
  return {
    id,
    kind,
    name,
    floor_m,
    ...(height_m === undefined ? {} : { height_m }),
    ...(source === undefined ? {} : { source }),
    geometry: features[0]!.geometry,
  }
}

/**
 * A plan's features in the working CRS. They come through the same door as a file's, so that they are checked and taken alike.
 *
 * Throws  as `readFeatures`.
 */
export function readPlanFeatures(planned: readonly PlanFeature[], projection: Projection): ReturnType<typeof readFeatures> {
  const features = planned.map(({ id, geometry, kind, name, floor_m, height_m, source }) => ({
    type: 'Feature',
    id,
    geometry,
    properties: {
      kind,
      name,
      ...(floor_m === null ? {} : { floor_m }),
      ...(height_m === undefined ? {} : { height_m }),
      ...(source === undefined ? {} : { source }),
    },
  }))
  return readFeatures(JSON.stringify({ type: 'FeatureCollection', features }), projection)
}
