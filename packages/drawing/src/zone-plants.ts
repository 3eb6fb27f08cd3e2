import type { FieldPapers, PlantMatch, PlantZone } from 'soakline/plan'
import { nameGroundWork } from './ground-work-sentences.js'
import { sayMatchReasons, sayPlantName } from './on-site.js'
import type { Voice } from './voice.js'

/** What goes to one place, by how it goes there. */
export interface ZonePlants {
  readonly zone: string
  readonly well: string
  /** With care, or not known yet; each with its reasons. */
  readonly withCare: string
  readonly not: string
}

/** For each place to plant the plants of the list that go there, those that want care, and those that do not, with the reasons. */
export function sayZonePlants(zones: readonly PlantZone[], { matches }: FieldPapers['plants'], voice: Voice): ZonePlants[] {
  return zones
    .filter(({ length_m }) => length_m > 0)
    .map(({ zone }) => {
      const here = matches.filter(match => match.zone === zone)
      const said = (...verdicts: readonly PlantMatch['verdict'][]): string =>
        together(
          here.filter(({ verdict }) => verdicts.includes(verdict)),
          voice,
        )
      return { zone: nameGroundWork('zone', zone, voice), well: said('holds'), withCare: said('watch', 'unknown'), not: said('fails') }
    })
}

/** Plants with the same reasons stand together. */
function together(matches: readonly PlantMatch[], voice: Voice): string {
  const groups = new Map<string, string[]>()
  for (const { plant, reasons } of matches) {
    const why = sayMatchReasons(reasons, voice)
    groups.set(why, [...(groups.get(why) ?? []), sayPlantName(plant, voice)])
  }
  return [...groups].map(([why, plants]) => `${plants.join(', ')}${why === '' ? '' : ` (${why})`}`).join('. ')
}
