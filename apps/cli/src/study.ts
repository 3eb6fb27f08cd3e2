import { lonLatExtent, type Reading, readFeatures, readHollowChoices } from '@soakline/io'
import type { HollowChoice, WaterStudy } from 'soakline/hydrology'
import { studyWater } from 'soakline/hydrology'
import { defaultSettings, type Settings } from 'soakline/plan'
import { drawnWorks, type SiteFeature } from 'soakline/siting'
import { readText } from './files.js'
import type { Talk } from './ground.js'
import { kernelsFor } from './kernels.js'
import { featureText } from './layer-file.js'
import type { Arguments, OptionTable } from './usage.js'

/** Options of every command that lets water run: what is drawn on the ground, and what was chosen about its hollows. */
export const STUDY_OPTIONS: OptionTable = {
  features: 'FILE',
  'features-crs': 'EPSG:n',
  'features-unit': 'm|ft|ftUS',
  'features-kind': 'KIND|LAYER=KIND,…',
  hollows: 'FILE',
}

/** What `STUDY_OPTIONS` name. */
export interface OnTheGround {
  readonly features: readonly SiteFeature[]
  readonly hollows: readonly HollowChoice[]
}

/** Reads what `--features` and `--hollows` name; nothing where they are not given. */
export async function onTheGround(args: Arguments, reading: Reading, talk: Talk): Promise<OnTheGround> {
  const { warn } = talk
  const { projection } = reading
  const extent = lonLatExtent(reading.grid.geometry, projection)
  const hollowFile = args.options.get('hollows')
  const features = await featureText(args, reading, talk)
  const drawn = features === undefined ? null : readFeatures(features, projection)
  const chosen = hollowFile === undefined ? null : readHollowChoices(await readText(hollowFile), projection, extent ? { extent } : {})
  for (const warning of [...(drawn?.warnings ?? []), ...(chosen?.warnings ?? [])]) warn(warning)
  return { features: drawn?.features ?? [], hollows: chosen?.choices ?? [] }
}

/** Studies the water of a raster with culverts and walls that are drawn and hollows treated as chosen; tells choices that were not followed. */
export async function studyOf(
  { grid }: Reading,
  { features, hollows }: OnTheGround,
  { warn }: Talk,
  settings: Settings = defaultSettings(),
): Promise<WaterStudy> {
  const study = studyWater(grid, {
    kernels: await kernelsFor(grid.data.length),
    ...drawnWorks(features, settings.wallHeight_m),
    hollows,
    ...(settings.elevationError_m === null ? {} : { elevationError_m: settings.elevationError_m }),
  })
  study.outcomes.forEach(({ because, choice }, k) => {
    if (because !== null) warn({ code: 'hollows/not-as-chosen', details: { choice: k + 1, treatment: choice.treatment, because } })
  })
  return study
}
