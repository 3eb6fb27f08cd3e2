import { InputError, type LengthUnit } from 'soakline/foundation'
import { type Box, refuseBadBox } from './ground-window.js'
import { hostOf } from './network.js'
import type { ColourHeights } from './stored-raster.js'

/**
 * What heights may be trusted for: `country`: to see how the country lies; `place`: to choose where to walk, dig test pits and survey.
 * None of them is good for setting levels.
 */
export type Trust = 'country' | 'place'

/** A public source of elevation, as plain data. */
export interface GroundSource {
  readonly id: string
  /** The name that its publisher gives it: the same in every language. */
  readonly name: string
  /** `raster`: GeoTIFF files, read by stretches; `colour-tiles`: map tiles with heights in their colours. */
  readonly kind: 'raster' | 'colour-tiles'
  /**
   * Address with places for the square degree or the tile: `{south:2}`, `{north:2}`, `{west:3}`, `{east:3}` are its rims in whole degrees without sign, with so
   * many digits; `{NS:south}`, `{EW:west}` and the like are the letters of their sides, `{ns:south}` small ones; `{z}`, `{x}`, `{y}` the address of a map tile.
   * Without any of them it is one file for all.
   */
  readonly address: string
  /** Zoom of colour tiles; their finest. */
  readonly zoom?: number
  /** How heights are packed into colours. */
  readonly colours?: ColourHeights
  /** Side of a cell on the ground, as published; null where it is not stated. */
  readonly cell_m: number | null
  /** Unit of the heights where the files themselves do not say it; null: asked when the ground is opened. */
  readonly heightUnit: LengthUnit | null
  /** Root mean square error of a height; null where nobody states one. */
  readonly heightError_m: number | null
  /** `ground`: bare ground; `surface`: roofs and crowns of trees stand in it; `mixed`: by place. */
  readonly shows: 'ground' | 'surface' | 'mixed'
  /** What heights are counted from; null where it is not one thing, or not stated. */
  readonly verticalDatum: string | null
  readonly licence: string
  /** Whom the heights are owed to, in the words that the licence asks for. */
  readonly credit: string
  /** West, south, east, north of what it covers, roughly. */
  readonly covers: Box
  readonly trust: Trust
  /** Where these facts are from, each with its source. */
  readonly facts: string
}

/** Root mean square errors per error that 90 % or 95 % of heights keep within, for a normal distribution. */
const RMS_OF_90 = 1 / 1.6449
const RMS_OF_95 = 1 / 1.96

/** Public sources of elevation that can be read by place. The finest come first. */
export const GROUND_SOURCES: readonly GroundSource[] = [
  {
    id: 'usgs-3dep-13',
    name: 'USGS 3DEP, 1/3 arc-second',
    kind: 'raster',
    address:
      'https://prd-tnm.s3.amazonaws.com/StagedProducts/Elevation/13/TIFF/current/{ns:north}{north:2}{ew:west}{west:3}/USGS_13_{ns:north}{north:2}{ew:west}{west:3}.tif',
    cell_m: 10,
    heightUnit: 'm',
    heightError_m: Number((3.04 * RMS_OF_95).toFixed(2)),
    shows: 'ground',
    verticalDatum: 'NAVD88',
    licence: 'Public domain (U.S. Government work)',
    credit: '3DEP data courtesy of the U.S. Geological Survey',
    covers: [-180, 17, -64, 72],
    trust: 'place',
    facts:
      'Cells, bare ground, metres over NAVD88: catalog.data.gov, "1/3rd arc-second DEMs", read Nov 2026. 3.04 m at 95 % in the conterminous states: usgs.gov/faqs, "vertical accuracy of the seamless 3DEP DEMs", after Open-File Report 2014–1008. Credit: tilezen/joerd docs/attribution.md. Address and ranges: from memory, not tried from here.',
  },
  {
    id: 'nrcan-mrdem-30',
    name: 'NRCan MRDEM-30 (terrain)',
    kind: 'raster',
    address: 'https://canelevation-dem.s3.ca-central-1.amazonaws.com/mrdem-30/mrdem-30-dtm.tif',
    cell_m: 30,
    heightUnit: 'm',
    heightError_m: null,
    shows: 'ground',
    verticalDatum: 'CGVD2013',
    licence: 'Open Government Licence – Canada',
    credit: 'Contains information licensed under the Open Government Licence – Canada (Natural Resources Canada, MRDEM-30)',
    covers: [-142, 41, -52, 84],
    trust: 'country',
    facts:
      'Cells, terrain from lidar where there is any, elsewhere estimated from a surface model: portal.opentopography.org, OT.032025.3979.1, read Nov 2026. Datum, licence, address: from memory, not tried from here.',
  },
  {
    id: 'copernicus-glo-30',
    name: 'Copernicus DEM GLO-30',
    kind: 'raster',
    address:
      'https://copernicus-dem-30m.s3.amazonaws.com/Copernicus_DSM_COG_10_{NS:south}{south:2}_00_{EW:west}{west:3}_00_DEM/Copernicus_DSM_COG_10_{NS:south}{south:2}_00_{EW:west}{west:3}_00_DEM.tif',
    cell_m: 30,
    heightUnit: 'm',
    heightError_m: Number((4 * RMS_OF_90).toFixed(2)),
    shows: 'surface',
    verticalDatum: 'EGM2008 geoid',
    licence: 'Copernicus DEM licence for the general public (free, with notice)',
    credit:
      '© DLR e.V. 2010–2014 and © Airbus Defence and Space GmbH 2014–2018, provided under COPERNICUS by the European Union and ESA; all rights reserved',
    covers: [-180, -90, 180, 84],
    trust: 'country',
    facts:
      'Surface model, cells, files, no files over the sea: awslabs/open-data-registry, copernicus-dem.yaml, read Nov 2026. Less than 4 m at 90 %, EGM2008: product handbook as quoted at docs.digitalearthafrica.org and help.emd.dk. Notice and address: from memory, not tried from here.',
  },
  {
    id: 'terrain-tiles',
    name: 'Terrain Tiles (terrarium)',
    kind: 'colour-tiles',
    address: 'https://s3.amazonaws.com/elevation-tiles-prod/terrarium/{z}/{x}/{y}.png',
    zoom: 15,
    colours: { base_m: -32768, step_m: 1 / 256 },
    cell_m: null,
    heightUnit: 'm',
    heightError_m: null,
    shows: 'mixed',
    verticalDatum: null,
    licence: 'By place: public domain and open licences of several countries',
    credit:
      'Terrain Tiles: U.S. Geological Survey, U.S. National Oceanic and Atmospheric Administration and the national agencies named at github.com/tilezen/joerd/blob/master/docs/attribution.md',
    covers: [-180, -85, 180, 85],
    trust: 'country',
    facts:
      'Zooms 0 to 15, packing, sources and credit: tilezen/joerd docs/index.md and docs/attribution.md, read Nov 2026. Datum differs by source and is not stated: joerd issue 197. The address is that of the open-data registry, from memory, not tried from here.',
  },
]

/** A public source of what stands on the ground, asked by a box and answering as JSON. */
export interface MapDataSource {
  readonly id: string
  readonly name: string
  readonly address: string
  readonly licence: string
  readonly credit: string
  readonly facts: string
}

export const MAP_DATA_SOURCES: readonly MapDataSource[] = [
  {
    id: 'openstreetmap',
    name: 'OpenStreetMap',
    address: 'https://overpass-api.de/api/interpreter',
    licence: 'Open Database License (ODbL) 1.0',
    credit: '© OpenStreetMap contributors',
    facts:
      'Address of the query interface: rdrr.io/cran/MetricGraph, fetch_osm, read Nov 2026. Query words, tags, licence and credit: from memory.',
  },
]

const PLACES = /\{(?:(south|north):2|(west|east):3|(NS|ns):(south|north)|(EW|ew):(west|east)|[zxy])\}/g

/** Whether the files of a source stand for square degrees, for map tiles, or for all that it covers. */
export function tiling({ address, kind }: Pick<GroundSource, 'address' | 'kind'>): 'degrees' | 'map-tiles' | 'one' {
  if (kind === 'colour-tiles') return 'map-tiles'
  return /\{/.test(address) ? 'degrees' : 'one'
}

/** The address of the file of a square degree, by its south-west corner. */
export function degreeAddress(template: string, west: number, south: number): string {
  const rims: Readonly<Record<string, number>> = { west, south, east: west + 1, north: south + 1 }
  const digits = (value: number, length: number): string => String(Math.abs(value)).padStart(length, '0')
  return template.replace(PLACES, (all, up?: string, across?: string, ns?: string, nsRim?: string, ew?: string, ewRim?: string) => {
    if (up) return digits(rims[up]!, 2)
    if (across) return digits(rims[across]!, 3)
    const letter = nsRim ? (rims[nsRim]! < 0 ? 'S' : 'N') : ewRim ? (rims[ewRim]! < 0 ? 'W' : 'E') : all
    return ns === 'ns' || ew === 'ew' ? letter.toLowerCase() : letter
  })
}

/**
 * A source that the user gives, from plain data; what is not given is not known.
 *
 * Throws  InputError `source/bad-value`, `address/not-web`.
 */
export function groundSourceFrom(value: unknown): GroundSource {
  const given = (typeof value === 'object' && value !== null ? value : {}) as Readonly<Record<string, unknown>>
  const bad = (what: string): InputError =>
    new InputError('source/bad-value', `The source of elevation cannot be used: ${what}. Correct it and try again.`, { what })
  const text = (key: string, otherwise: string | null): string => {
    const said = given[key] ?? otherwise
    if (typeof said !== 'string' || said.trim() === '' || said.length > 500) throw bad(`"${key}" must be a text`)
    return said.trim()
  }
  const numberOrNull = (key: string, most: number): number | null => {
    const said = given[key] ?? null
    if (said !== null && !(typeof said === 'number' && said > 0 && said <= most)) throw bad(`"${key}" must be a number over 0`)
    return said as number | null
  }
  const address = text('address', null)
  hostOf(address.replace(PLACES, '0'))
  if (/[{}]/.test(address.replace(PLACES, ''))) throw bad('its address holds a place in {braces} that is not known')
  const tiles = /\{[zxy]\}/.test(address)
  if (tiles && !['{z}', '{x}', '{y}'].every(part => address.includes(part))) throw bad('its address needs {z}, {x} and {y}')
  const colours = given.colours as Partial<ColourHeights> | undefined
  const { zoom } = given
  if (tiles && (typeof colours?.base_m !== 'number' || !(typeof colours.step_m === 'number' && colours.step_m > 0)))
    throw bad('tiles of colours need "colours" with base_m and step_m')
  if (tiles && !(typeof zoom === 'number' && Number.isInteger(zoom) && zoom >= 0 && zoom <= 25)) throw bad('tiles need their finest "zoom"')
  const covers = (given.covers ?? [-180, -90, 180, 90]) as Box
  if (!Array.isArray(covers)) throw bad('"covers" must be west, south, east, north')
  refuseBadBox(covers, 'lonlat')
  const shows = given.shows ?? 'mixed'
  if (shows !== 'ground' && shows !== 'surface' && shows !== 'mixed') throw bad('"shows" must be ground, surface or mixed')
  const cell_m = numberOrNull('cell_m', 10_000)
  const heightUnit = given.heightUnit ?? (tiles ? 'm' : null)
  if (heightUnit !== null && heightUnit !== 'm' && heightUnit !== 'ft' && heightUnit !== 'ftUS')
    throw bad('"heightUnit" must be m, ft or ftUS')
  return {
    id: text('id', `own-${hostOf(address.replace(PLACES, '0'))}`),
    name: text('name', hostOf(address.replace(PLACES, '0'))),
    kind: tiles ? 'colour-tiles' : 'raster',
    address,
    ...(tiles ? { zoom: zoom as number, colours: { base_m: colours!.base_m!, step_m: colours!.step_m! } } : {}),
    cell_m,
    heightUnit,
    heightError_m: numberOrNull('heightError_m', 1000),
    shows,
    verticalDatum: given.verticalDatum === undefined || given.verticalDatum === null ? null : text('verticalDatum', null),
    licence: text('licence', 'not stated'),
    credit: text('credit', hostOf(address.replace(PLACES, '0'))),
    covers,
    trust: cell_m !== null && cell_m <= 10 ? 'place' : 'country',
    facts: 'as the user gives them',
  }
}

/** A source of map data that the user gives. Throws as `groundSourceFrom`. */
export function mapDataSourceFrom(value: unknown): MapDataSource {
  const { id, name, address, licence, credit } = groundSourceFrom(value)
  return { id, name, address, licence, credit, facts: 'as the user gives them' }
}
