import { featureCollection, type Projection } from '@soakline/io'
import type { Place, PlanFeature } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'

/** A place of the working CRS as a plan keeps it: nine decimals of a degree, a tenth of a millimetre. */
export function placeInPlan(projection: Projection, [x, y]: Point): Place {
  if (projection.kind === 'local') return [x, y]
  const [longitude, latitude] = projection.toLonLat(x, y)
  return [Math.round(longitude * 1e9) / 1e9, Math.round(latitude * 1e9) / 1e9]
}

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
