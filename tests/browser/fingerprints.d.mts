import type * as hydrology from 'soakline/hydrology'
import type * as plan from 'soakline/plan'
import type * as raster from 'soakline/raster'
import type * as terrain from 'soakline/terrain'

export interface Rooms {
  readonly hydrology: typeof hydrology
  readonly plan: typeof plan
  readonly terrain: typeof terrain
}

export function fingerprints(rooms: Rooms, ground: raster.ElevationGrid): Promise<Record<string, string>>
