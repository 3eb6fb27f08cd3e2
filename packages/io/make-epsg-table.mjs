// Writes src/generated/epsg.ts: EPSG code → name and PROJ definition, from the package epsg-index.
// Node built-ins and epsg-index only; the file is written only when its content changes.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const index = JSON.parse(readFileSync(createRequire(import.meta.url).resolve('epsg-index/all.json'), 'utf8'))
const target = join(here, 'src', 'generated', 'epsg.ts')

// Some datums are tied to WGS 84 by a grid file that nobody carries about. Where a seven- or three-parameter shift of the EPSG dataset
// serves (metres, not centimetres), it stands in; the reader warns of it. The other grid datums are left out, so that their codes are refused by name.
// Parameters from memory, unchecked, save the British one (given with the task and tested against a published worked example).
const SHIFT_FOR_GRID = {
  '@null': '+nadgrids=@null',
  'OSTN15_NTv2_OSGBtoETRS.gsb': '+towgs84=446.448,-125.157,542.06,0.1502,0.247,0.8421,-20.4894',
  'BETA2007.gsb': '+towgs84=598.1,73.7,418.2,0.202,0.045,-2.455,6.7',
  'nzgd2kgrid0005.gsb': '+towgs84=59.47,-5.04,187.44,0.47,-0.1,1.024,-4.5993',
  'NTv2_0.gsb': '+towgs84=-8,160,176,0,0,0,0',
}

const definitions = {}
const verticalUnits = {}
for (const [code, entry] of Object.entries(index).sort(([a], [b]) => Number(a) - Number(b))) {
  if (entry.kind === 'CRS-VERTCRS') {
    const unit = { metre: 'm', foot: 'ft', 'US survey foot': 'ftUS' }[entry.unit] ?? 'other'
    // A depth axis points down: heights would come out upside down.
    verticalUnits[code] = [entry.name, /depth/i.test(entry.name) ? 'other' : unit]
    continue
  }
  if (!entry.proj4?.includes('+proj=') || entry.proj4.includes('+proj=geocent')) continue
  const grid = /\+nadgrids=("[^"]*"|\S+)/.exec(entry.proj4)
  const shift = grid ? SHIFT_FOR_GRID[grid[1]] : undefined
  if (grid && !shift) continue
  const proj = (grid ? entry.proj4.replace(grid[0], shift) : entry.proj4)
    .replace(/\+(type=crs|no_defs|wktext|vunits=\S+|vto_meter=\S+|geoidgrids=\S+|geoid_crs=\S+)(?=\s|$)/g, '')
    .replace('+datum=NAD27', '+ellps=clrk66 +towgs84=-8,160,176,0,0,0,0')
    .replace(/\s+/g, ' ')
    .trim()
  definitions[code] = [entry.name, proj]
}

const literal = value => `JSON.parse(${JSON.stringify(JSON.stringify(value))})`
const text = `// Written by make-epsg-table.mjs from the package epsg-index (EPSG dataset). Not to be edited.
export const EPSG_DEFINITIONS: Readonly<Record<string, readonly [name: string, proj: string]>> = ${literal(definitions)}
export const VERTICAL_UNITS: Readonly<Record<string, readonly [name: string, unit: 'm' | 'ft' | 'ftUS' | 'other']>> = ${literal(verticalUnits)}
`
let before = ''
try {
  before = readFileSync(target, 'utf8')
} catch {
  // first time
}
if (before !== text) {
  mkdirSync(dirname(target), { recursive: true })
  writeFileSync(target, text)
}
