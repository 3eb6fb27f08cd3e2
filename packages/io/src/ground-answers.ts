import type { GroundAnswers } from 'soakline/plan'
import type { ReadOptions } from './stored-raster.js'

/** What a plan keeps of the answers that a raster was read with; undefined where nothing was asked. */
export function answersKept({
  crs,
  elevationUnit,
  nodata,
  band,
  member,
  join,
  colours,
  tile,
  fillVoids_m2,
  window,
}: ReadOptions): GroundAnswers | undefined {
  const values = nodata === undefined ? undefined : typeof nodata === 'number' ? [nodata] : nodata
  const kept: GroundAnswers = {
    ...(crs === undefined ? {} : { crs }),
    ...(elevationUnit === undefined ? {} : { elevationUnit }),
    // Not a number says that no value means "no data".
    ...(values === undefined ? {} : { nodata: values.filter(value => !Number.isNaN(value)) }),
    ...(band === undefined ? {} : { band }),
    ...(member === undefined ? {} : { member }),
    ...(join === undefined ? {} : { join }),
    ...(colours === undefined ? {} : { colours }),
    ...(tile === undefined ? {} : { tile }),
    ...(fillVoids_m2 === undefined ? {} : { fillVoids_m2 }),
    ...(window === undefined ? {} : { window }),
  }
  return Object.keys(kept).length === 0 ? undefined : kept
}

/** The options that read a raster as a plan's answers say. Laws: `answersKept(optionsKept(answers))` are the same answers. */
export function optionsKept({ nodata, ...answers }: GroundAnswers): ReadOptions {
  return { ...answers, ...(nodata === undefined ? {} : { nodata: nodata.length === 0 ? Number.NaN : nodata }) }
}
