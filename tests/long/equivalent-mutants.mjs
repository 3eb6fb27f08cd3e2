// Changes of the terrain engine that nobody could see from outside, each with its reason: they are not drawn as mutants, for no test can notice them.
// Each: source, its line as it stands (trimmed), what is changed into what, which of the same in that line (from 1), and why nothing follows.
const NAN_OVER_NAN = 'only cells are added or freed that the fit refuses: NaN over NaN'
const SAME_VALUE = 'of two equal values either stands for both'
const NEVER_EQUAL = 'the two sides are never equal here'
const PAST_THE_END = 'an index past a typed array reads undefined, which compares false with everything, and writes nothing'

const CURVATURE_REFUSES = 'if (column === 0 || column === width - 1 || cell < width || cell >= (height - 1) * width) return NO_FIT'
const LAST_ROW = 'const lastRow = Math.min(height - 1, Math.floor((north_m - Math.min(...ys)) / cell_m - 0.5 + 1e-9))'
const ENTRIES = 'for (let a = 0; a < 4; a++) {'

export const EQUIVALENT = [
  ['terrain/curvature.ts', CURVATURE_REFUSES, '<', '<=', 1, 'the one cell added lies in column 0, refused before'],
  ['terrain/curvature.ts', CURVATURE_REFUSES, '>=', '>', 1, 'the one cell freed lies in column 0, refused before'],
  [
    'terrain/curvature.ts',
    'for (let row = Math.max(1, firstRow); row < Math.min(endRow, height - 1); row++)',
    '-',
    '+',
    1,
    `endRow is at most height: ${NAN_OVER_NAN}`,
  ],
  [
    'terrain/curvature.ts',
    'for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++)',
    '<',
    '<=',
    1,
    NAN_OVER_NAN,
  ],
  ['terrain/curvature.ts', 'for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++)', '-', '+', 1, NAN_OVER_NAN],
  ['terrain/contour-lines.ts', 'if (z < low) low = z', '<', '<=', 1, SAME_VALUE],
  ['terrain/contour-lines.ts', 'if (z > high) high = z', '>', '>=', 1, SAME_VALUE],
  [
    'terrain/contour-pass.ts',
    'const [one, other] = low < high ? [from, to] : [to, from]',
    '<',
    '<=',
    1,
    `a side without a level between its ends is left before: ${NEVER_EQUAL}`,
  ],
  [
    'terrain/isoline.ts',
    ENTRIES,
    '<',
    '<=',
    1,
    'the fifth joins nothing: undefined compares false, the length between is 0 and is passed over',
  ],
  ['terrain/isoline.ts', 'if (b <= a) continue', '<=', '<', 1, NEVER_EQUAL],
  ['terrain/isoline.ts', 'if (long < 1e-20) continue', '<', '<=', 1, 'a square of lengths of exactly 1e-20 would have to be drawn'],
  [
    'terrain/level-line.ts',
    'const gapOn = (ground: ElevationGrid): number => Math.min(0.5, (0.99 * GAP_M) / ground.geometry.cell_m)',
    '*',
    '/',
    1,
    'GAP_M is 1',
  ],
  ['terrain/level-line.ts', 'const step = Math.min(0.25, (0.5 * GAP_M) / g.cell_m)', '*', '/', 1, 'GAP_M is 1'],
  [
    'terrain/level-line.ts',
    'const fall = fall_ratio * g.cell_m * sense // per cell of line walked in this sense',
    '*',
    '/',
    2,
    'sense is 1 or −1',
  ],
  ['terrain/level-line.ts', 'for (let k = 0; k < 20; k++) {', '<', '<=', 1, 'the twentieth pass always ends the loop'],
  [
    'terrain/level-line.ts',
    "if (!(gains > 1e-14) || k === 19) return { path, end: 'flat' }",
    '>',
    '>=',
    1,
    'a gain of exactly 1e-14 would have to be drawn',
  ],
  ['terrain/triangulated-surface.ts', 'const sign = whole > 0 ? 1 : -1', '>', '>=', 1, 'a whole of 0 has returned three lines above'],
  ['terrain/triangulated-surface.ts', LAST_ROW, '-', '+', 1, `rows below the raster: ${PAST_THE_END}`],
  ['terrain/triangulated-surface.ts', LAST_ROW, '-', '+', 3, 'a row beyond the triangle’s box holds no place of it'],
  [
    'hydrology/drainage.ts',
    'return da > db || (da === db && this.places[a >> 1]! < this.places[b >> 1]!)',
    '<',
    '<=',
    1,
    `a pass stands in the queue once: ${NEVER_EQUAL}`,
  ],
  [
    'hydrology/drainage.ts',
    'if (row === height - 1 && (k === 3 || k === 4 || k === 5)) return false',
    '||',
    '&&',
    1,
    `below the last row ${PAST_THE_END}`,
  ],
  ['hydrology/by-facets.ts', 'for (let m = 0; m < 8; m++) {', '<', '<=', 1, `a ninth facet: ${PAST_THE_END}, NaN is passed over`],
  ['hydrology/contributing-area.ts', 'for (; at > 0 && parts[at - 1]! > part; at--) parts[at] = parts[at - 1]!', '>', '>=', 1, SAME_VALUE],
  [
    'hydrology/edge.ts',
    'if (own < 0) continue',
    '<',
    '<=',
    1,
    'no cell has the number 0: it is the outside, and its cells get numbers of their own',
  ],
  ['hydrology/edge.ts', 'const isFirst = own < other', '<', '<=', 1, `a pass lies between two places: ${NEVER_EQUAL}`],
  [
    'hydrology/edge.ts',
    'const key = own < other ? own * count + other : other * count + own',
    '<',
    '<=',
    1,
    `a pass lies between two places: ${NEVER_EQUAL}`,
  ],
  [
    'hydrology/edge.ts',
    'for (let cell = 0; cell < data.length; cell++) if (reached[cell]! > least_ratio) below.push(cell)',
    '<',
    '<=',
    1,
    PAST_THE_END,
  ],
  [
    'hydrology/culvert-places.ts',
    'for (let far = 0, idle = 0; far <= farthest && idle < 8; far++) {',
    '<',
    '<=',
    1,
    'with eight buckets empty the ninth is the first again, and empty',
  ],
]
