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

// epsg-index writes these shifts with their rotations as the EPSG dataset has them for turned axes, while PROJ's words mean turned positions: the other
// sign. Left as they are they put a place up to a kilometre off. Found by setting every shift of the table against PROJ 9.1.1 (GDAL 3.6.2), which each
// of these agrees with once its sign is changed: most to a centimetre, those that PROJ refines by region to 4 m.
const TURNED_AXES = new Set([
  '23.772,17.49,17.859,0.3132,1.85274,-1.67299,-5.4262',
  '2.329,-147.042,-92.08,0.309,-0.325,-0.497,5.69',
  '-162.619,-276.959,-161.764,-0.067753,2.243648,1.158828,-1.094246',
  '-96.062,-82.428,-121.753,-4.801,-0.345,1.376,1.496',
  '-44.183,-0.58,-38.489,-2.3867,-2.7072,3.5196,-8.2703',
  '24.47,-130.89,-81.56,0,0,-0.13,-0.22',
  '25,-141,-78.5,0,-0.35,-0.736,0',
  '414.1,41.3,603.1,0.855,-2.141,7.023,0',
  '-210.502,-66.902,-48.476,-2.094,15.067,5.817,0.485',
  '-208.719,129.685,52.092,0.195,0.014,-0.327,0.198',
  '-103.088,162.481,-28.276,-0.167,-0.082,-0.168,-1.504',
  '-117.808,-51.536,137.784,-0.303,-0.446,-0.234,-0.29',
  '-127.62,-67.24,-47.04,3.068,-4.903,-1.578,-1.06',
  '-292.295,248.758,429.447,-4.9971,-2.99,-6.6906,1.0289',
  '-288.885,-91.744,126.244,1.691,-0.41,0.211,-4.598',
  '-0.293,766.95,87.713,-0.195704,-1.695068,-3.473016,-0.039338',
  '174.05,-25.49,112.57,0,0,-0.554,0.2263',
  '584.9636,107.7175,413.8067,-1.1155,-0.2824,3.1384,7.9922',
  '-179.483,-69.379,-27.584,7.862,-8.163,-6.042,-13.925',
  '8.853,-52.644,180.304,0.393,2.323,-2.96,-24.081',
  '8.846,-4.394,-1.122,0.00237,0.146528,-0.130428,0.783926',
  '485.021,169.465,483.839,-7.786342,-4.397554,-4.102655,0',
  '-1.977,-13.06,-9.993,-0.364,-0.254,-0.689,-1.037',
  '-33.722,153.789,94.959,8.581,4.478,-4.54,8.95',
  '-239.749,88.181,30.488,-0.263,-0.082,-1.211,2.229',
  '-106.8686,52.2978,-103.7239,-0.3366,0.457,-1.8422,-1.2747',
  '226.702,-193.337,-35.371,2.229,4.391,-9.238,0.9798',
])
// Rotations in microradians where seconds of arc are meant; here as PROJ 9.1.1 has them.
const IN_MICRORADIANS = {
  '565.4171,50.3319,465.5524,1.9342,-1.6677,9.1019,4.0725': '565.4171,50.3319,465.5524,-0.398957388,0.343987817,-1.87740164,4.0725',
  '982.6087,552.753,-540.873,32.39344,-153.25684,-96.2266,16.805':
    '982.6087,552.753,-540.873,6.681626625,-31.611492409,-19.848161005,16.805',
}
// Codes whose shift puts places more than 15 m from where PROJ 9.1.1 does, mostly because the dataset has several for parts of the area: left out, so
// that they are refused by name and the user gives the definition of the region. 15 m is judgement: on a holding that much shows.
const UNCERTAIN = new Set([
  2040, 2042, 2044, 2045, 2096, 2097, 2164, 2169, 2312, 2313, 2401, 2402, 2406, 2407, 2408, 2409, 2410, 2411, 2412, 2413, 2414, 2415, 2416,
  2417, 2418, 2419, 2420, 2421, 2422, 2423, 2427, 2428, 2429, 2430, 2431, 2432, 2433, 2434, 2435, 2436, 2437, 2438, 2439, 2440, 2441, 2442,
  2736, 2737, 3148, 3200, 3330, 3354, 3370, 3371, 3374, 3771, 3772, 3773, 3800, 3819, 3833, 3837, 3838, 3986, 3987, 3988, 3989, 4127, 4132,
  4142, 4144, 4147, 4162, 4197, 4198, 4208, 4214, 4220, 4224, 4229, 4247, 4248, 4281, 4399, 4400, 4401, 4402, 4403, 4404, 4405, 4406, 4407,
  4408, 4415, 4620, 4666, 4695, 4705, 4718, 4741, 5167, 5174, 5176, 5177, 5178, 5228, 5520, 5588, 5631, 5670, 5671, 5680, 7142, 7907, 7910,
  7991, 8428, 8433, 8694, 9284, 9356, 9357, 9358, 9359, 9360, 20823, 20934, 20936, 21413, 21416, 21417, 21418, 21419, 21420, 21421, 21422,
  21423, 21453, 21456, 21457, 21458, 21459, 21460, 21461, 21462, 21463, 22032, 22033, 22092, 22235, 22991, 22992, 22993, 22994, 23036,
  23037, 23946, 24305, 24306, 24375, 24718, 24719, 24720, 24820, 24821, 24879, 24880, 24881, 24882, 26194, 26195, 26701, 26702, 26703,
  26704, 26705, 26706, 26707, 26708, 26709, 26710, 26711, 26721, 26731, 26732, 26733, 26734, 26735, 26736, 26737, 26738, 26739, 26783,
  26784, 28191, 28192, 29220, 32010, 32045, 32081, 32082, 32083,
])

/** The shift of a definition as PROJ means it. */
function mended(proj) {
  const shift = /\+towgs84=(\S+)/.exec(proj)?.[1]
  if (shift === undefined) return proj
  const parts = shift.split(',')
  const right = TURNED_AXES.has(shift)
    ? [...parts.slice(0, 3), ...parts.slice(3, 6).map(value => String(-Number(value) + 0)), parts[6]].join(',')
    : (IN_MICRORADIANS[shift] ?? shift)
  return proj.replace(shift, right)
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
  if (UNCERTAIN.has(Number(code))) continue
  definitions[code] = [entry.name, mended(proj)]
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
