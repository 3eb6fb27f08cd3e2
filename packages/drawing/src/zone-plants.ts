import type { FieldPapers, PlantMatch, PlantZone } from 'soakline/plan'
import { nameGroundWork } from './ground-work-sentences.js'
import { sayMatchReasons, sayPlantName, tellingReasons } from './on-site.js'
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

/** Plants with the same reasons stand together; what all of them share is said once, before them. */
function together(all: readonly PlantMatch[], voice: Voice): string {
  const matches = all.map(match => ({ ...match, reasons: tellingReasons(match.reasons) }))
  const [first] = matches
  const shared = matches.length < 2 ? [] : first!.reasons.filter(reason => matches.every(({ reasons }) => reasons.includes(reason)))
  const groups = new Map<string, string[]>()
  for (const { plant, reasons } of matches) {
    const why = sayMatchReasons(
      reasons.filter(reason => !shared.includes(reason)),
      voice,
    )
    groups.set(why, [...(groups.get(why) ?? []), sayPlantName(plant, voice)])
  }
  const plants = [...groups].map(([why, names]) => `${names.join(', ')}${why === '' ? '' : ` (${why})`}`).join('. ')
  return shared.length === 0 ? plants : `${sayMatchReasons(shared, voice)}: ${plants}`
}
