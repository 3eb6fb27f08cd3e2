import { InputError, type Warning } from 'soakline/foundation'
import { HOLLOW_TREATMENTS, type HollowChoice, type HollowTreatment } from 'soakline/hydrology'
import type { Projection } from './crs.js'
import { readFeaturePoints, type VectorOptions } from './geojson.js'

/**
 * Choices about hollows from GeoJSON: points, each in the hollow that it is about, with the property `treatment`: fill, carve or keep.
 *
 * Throws  InputError `hollows/not-points`, `hollows/treatment`, and those of `readGeoJson` and `Projection`.
 */
export function readHollowChoices(
  text: string,
  projection: Projection,
  options: VectorOptions = {},
): { choices: HollowChoice[]; warnings: Warning[] } {
  const { points, warnings } = readFeaturePoints(text, projection, options)
  const choices = points.map(({ at, properties, number }): HollowChoice => {
    if (at === null)
      throw new InputError('hollows/not-points', `Feature ${number} of the choices is not a point. Mark each hollow by one point in it.`, {
        feature: number,
      })
    const treatment = properties.get('treatment')
    if (!HOLLOW_TREATMENTS.includes(treatment as HollowTreatment))
      throw new InputError(
        'hollows/treatment',
        `Feature ${number} says ${JSON.stringify(treatment ?? null)} as its treatment; it must be one of ${HOLLOW_TREATMENTS.join(', ')}.`,
        { feature: number },
      )
    return { at, treatment: treatment as HollowTreatment }
  })
  return { choices, warnings }
}
