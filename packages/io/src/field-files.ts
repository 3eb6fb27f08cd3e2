import { type Assessment, type PlantZone, type Stake, spillInUse } from 'soakline/plan'
import { chainages_m, type Point, polygonsOf } from 'soakline/raster'
import { groundScale, type Projection } from './crs.js'
import { type CsvCell, writeCsv } from './csv.js'
import type { FieldDrawing, NamedArea, NamedLine, NamedPoint } from './field-shapes.js'
import { writeGeoJson } from './geojson.js'

/** What the hillside needs of one answer. */
export interface FieldPlan {
  readonly name: string
  readonly answer: Pick<Assessment, 'line' | 'profile' | 'catchment' | 'spillway' | 'spills'>
  readonly stakes: readonly Stake[]
  readonly zones?: readonly PlantZone[]
  /** The sentences and names of the language that is spoken; default the codes themselves. */
  readonly words?: FieldWords
}

/** Names and remarks in the reader’s language that go into the files. */
export interface FieldWords {
  /** Name of a stake, short enough for a receiver; default its number and kinds. */
  readonly stake?: (stake: Stake) => string
  readonly stakeNote?: (stake: Stake) => string
  readonly group?: (code: FieldGroup) => string
  readonly zone?: (code: PlantZone['zone']) => string
}

/** Folders and layers of the files. */
export const FIELD_GROUPS = ['line', 'stakes', 'catchment', 'overflow', 'planting'] as const
/** One of `FIELD_GROUPS`. */
export type FieldGroup = (typeof FIELD_GROUPS)[number]

/** The drawing that GPX, KML and DXF are written from: line and stakes; and, for maps and drawings, catchment, overflow and planting. */
export function fieldDrawing({ name, answer, stakes, zones = [], words = {} }: FieldPlan): FieldDrawing {
  const group = words.group ?? ((code: FieldGroup): string => code)
  const points = stakes.map(
    (stake): NamedPoint => ({
      name: words.stake?.(stake) ?? `${stake.number}${stake.kinds[0] === 'step' ? '' : ` ${stake.kinds.join(' ')}`}`,
      at: stake.at,
      height_m: stake.ground_m,
      ...(words.stakeNote ? { note: words.stakeNote(stake) } : {}),
      group: group('stakes'),
      what: 'stake',
    }),
  )
  const lines: NamedLine[] = [
    {
      name,
      path: answer.line.path,
      heights_m: [...chainages_m(answer.line.path)].map(chainage_m => groundAt(answer.profile, chainage_m)),
      group: group('line'),
      what: 'line',
    },
    ...[spillInUse(answer)]
      .filter(spill => spill !== null)
      .map((spill): NamedLine => ({ name: group('overflow'), path: spill.path.points, group: group('overflow'), what: 'overflow' })),
  ]
  const areas: NamedArea[] = [
    ...answer.catchment.rings.map(
      (ring): NamedArea => ({ name: group('catchment'), rings: [ring], group: group('catchment'), what: 'catchment' }),
    ),
    ...zones.flatMap(zone =>
      zone.parts.map(
        (part): NamedArea => ({
          name: words.zone?.(zone.zone) ?? zone.zone,
          rings: [part.ring],
          group: group('planting'),
          what: 'planting',
        }),
      ),
    ),
  ]
  return { name, points, lines, areas }
}

/**
 * The same for a map program: every stake with its levels, the line, the overflow from its spill, the catchment, and the places to plant with their counts.
 *
 * Source  RFC 7946, as `writeGeoJson`.
 */
export function fieldGeoJson({ name, answer, stakes, zones = [], words = {} }: FieldPlan, projection: Projection): string {
  return writeGeoJson(
    [
      { shapes: [{ type: 'line' as const, path: answer.line.path }], properties: { what: 'line', name, length_m: answer.line.length_m } },
      ...stakes.map(stake => {
        const { at, kinds, toNext, fromBase, ...numbers } = stake
        return {
          shapes: [{ type: 'point' as const, at }],
          properties: {
            what: 'stake',
            name: words.stake?.(stake) ?? String(stake.number),
            kinds: kinds.join(' '),
            ...numbers,
            bedDropToNext_m: toNext?.bedDrop_m ?? null,
            fromBaseTape_m: fromBase.tape_m,
            fromBaseBearing_deg: fromBase.bearing_deg,
          },
        }
      }),
      ...[spillInUse(answer)]
        .filter(spill => spill !== null)
        .map(({ chainage_m, path }) => ({
          shapes: [{ type: 'line' as const, path: path.points }],
          properties: { what: 'overflow', chainage_m, endsIn: path.endsIn },
        })),
      ...(answer.catchment.rings.length > 0
        ? [{ shapes: polygonsOf(answer.catchment.rings), properties: { what: 'catchment', area_m2: answer.catchment.area_m2 } }]
        : []),
      ...zones
        .filter(zone => zone.parts.length > 0)
        .map(({ zone, parts, length_m, area_m2, spacing_m, count }) => ({
          shapes: parts.map(part => ({ type: 'polygon' as const, rings: [part.ring] })),
          properties: { what: 'planting', zone, name: words.zone?.(zone) ?? zone, length_m, area_m2, spacing_m, count },
        })),
    ],
    projection,
  )
}

/** Where a line lies on Earth: its latitude, and how long a metre of its system is on the ground. A raster without a place has neither. */
export function placeOnEarth(
  projection: Projection,
  path: readonly Point[],
): { readonly latitude_deg: number | null; readonly groundPerGrid_ratio: number } {
  const middle = path[Math.floor(path.length / 2)]
  if (projection.kind === 'local' || middle === undefined) return { latitude_deg: null, groundPerGrid_ratio: 1 }
  const [longitude, latitude_deg] = projection.toLonLat(middle[0], middle[1])
  const [north, east] = groundScale(projection, longitude, latitude_deg)
  return { latitude_deg, groundPerGrid_ratio: 2 / (north + east) }
}

/** Ground between the stakes of the profile, straight. */
function groundAt(profile: Assessment['profile'], chainage_m: number): number | null {
  const k = profile.findIndex(p => p.chainage_m >= chainage_m - 1e-9)
  const b = profile[k < 0 ? profile.length - 1 : k]
  if (!b) return null
  const a = profile[Math.max(0, k - 1)]!
  const span_m = b.chainage_m - a.chainage_m
  return span_m > 0 ? a.ground_m + ((chainage_m - a.chainage_m) * (b.ground_m - a.ground_m)) / span_m : b.ground_m
}

/** The stake table: every number of every stake, longitude and latitude where the raster has a place on Earth. Formula-safe. */
export function stakesCsv(stakes: readonly Stake[], projection: Projection): string {
  const lonLat = (stake: Stake): [CsvCell, CsvCell] => {
    if (projection.kind === 'local') return [null, null]
    const [longitude, latitude] = projection.toLonLat(stake.at[0], stake.at[1])
    return [Number(longitude.toFixed(9)), Number(latitude.toFixed(9))]
  }
  const round = (value: number | null, digits = 4): CsvCell => (value === null ? null : Number(value.toFixed(digits)))
  return writeCsv(
    [
      'stake',
      'kinds',
      'chainage_m',
      'x_m',
      'y_m',
      'longitude',
      'latitude',
      'from_base_m',
      'from_base_tape_m',
      'from_base_bearing_deg',
      'ground_m',
      'bed_m',
      'crest_m',
      'sill_m',
      'cut_m',
      'berm_settled_m',
      'berm_to_build_m',
      'top_width_m',
      'to_next_m',
      'ground_drop_to_next_m',
      'bed_drop_to_next_m',
      'horizontal_doubt_m',
    ],
    stakes.map(s => [
      s.number,
      s.kinds.join(' '),
      round(s.chainage_m),
      round(s.at[0]),
      round(s.at[1]),
      ...lonLat(s),
      round(s.fromBase.distance_m),
      round(s.fromBase.tape_m),
      round(s.fromBase.bearing_deg, 3),
      round(s.ground_m),
      round(s.bed_m),
      round(s.crest_m),
      round(s.sill_m),
      round(s.cut_m),
      round(s.bermSettled_m),
      round(s.bermToBuild_m),
      round(s.topWidth_m),
      round(s.toNext?.distance_m ?? null),
      round(s.toNext?.groundDrop_m ?? null),
      round(s.toNext?.bedDrop_m ?? null),
      round(s.horizontalDoubt_m, 2),
    ]),
  )
}
