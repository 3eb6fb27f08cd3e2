// Single small mistakes, each planted in a source to see whether a test notices. `old` must occur exactly once in its file (listed.test.ts checks).
// To add one: its file, the text, the wrong text, what it breaks, and the tests that should notice, the quickest first.

const SRC = 'packages/soakline/src'
const T = 'packages/soakline/test'
const drainage = [`${T}/hydrology/drainage.test.ts`, 'tests/exact/invariants-water.test.ts']
const catchment = [`${T}/hydrology/catchment.test.ts`, 'tests/exact/catchment.test.ts']
const divide = [`${T}/hydrology/divide.test.ts`]
const edge = [`${T}/hydrology/edge.test.ts`, 'tests/exact/edge-honesty.test.ts', `${T}/hydrology/flow-network.test.ts`]
const walks = [`${T}/hydrology/divide.test.ts`, `${T}/hydrology/flow-network.test.ts`, `${T}/hydrology/catchment.test.ts`]
const slopes = [`${T}/terrain/gradient.test.ts`]
const contours = [`${T}/terrain/contour-lines.test.ts`]
const levels = [`${T}/terrain/level-line.test.ts`, 'tests/exact/level-line.test.ts']

/** @type {{ file: string, old: string, now: string, breaks: string, tests: string[] }[]} */
export const BUGS = [
  // Directions and filling.
  bug(
    'hydrology/drainage.ts',
    'if (drop > steepest) {',
    'if (drop > 0) {',
    'the last lower neighbour takes the water, not the steepest',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'const drop = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!',
    'const drop = here - z[cell + offsets[k]!]!',
    'diagonal neighbours are taken for nearer than they are',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'slope[cell] = best === OPEN && rim[cell] ? LEAVES : best',
    'slope[cell] = rim[cell] ? LEAVES : best',
    'border cells never drain inward',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'if (column === 0 && (k === 5 || k === 6 || k === 7)) return false',
    'if (column === 0 && k === 6) return false',
    'the first column looks into the rows beside',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'return !(column === width - 1 && (k === 1 || k === 2 || k === 3))',
    'return !(column === width - 1 && k === 2)',
    'the last column looks into the next row',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'if (slope[to] !== OPEN || z[to] !== z[cell]) continue',
    'if (slope[to] !== OPEN) continue',
    'ways over flats climb',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'for (const cell of rest) if (away[cell] === 0) slope[cell] = SINK',
    'for (const cell of rest) if (away[cell] === 5) slope[cell] = SINK',
    'flats get no pit',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'if (rim[cell] && own > 0) offer(0, own, NONE, cell, z[cell]!, 0)',
    'if (rim[cell] && own > 1) offer(0, own, NONE, cell, z[cell]!, 0)',
    'the first hollow cannot spill over the rim',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'offer(own, other, cell, to, Math.max(z[cell]!, z[to]!)',
    'offer(own, other, cell, to, Math.min(z[cell]!, z[to]!)',
    'passes are too low',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    '} else if (h < passHeight[known]! || (h === passHeight[known] && drop > passDrop[known]!)) {',
    '} else if (h > passHeight[known]!) {',
    'the highest pass counts instead of the lowest',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    '} else if (h < passHeight[known]! || (h === passHeight[known] && drop > passDrop[known]!)) {',
    '} else if (h < passHeight[known]!) {',
    'of equally high passes the first found counts',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'level_m[to] = Math.max(level_m[from]!, passHeight[p]!)',
    'level_m[to] = passHeight[p]!',
    'hollows within hollows fill too little',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'if (ha !== hb) return ha < hb',
    'if (ha !== hb) return ha > hb',
    'basins are joined from the highest pass',
    drainage,
  ),
  bug(
    'hydrology/drainage.ts',
    'turned = (was + 4) % 8',
    'turned = (was + 3) % 8',
    'the way from the pit does not lead to the pass',
    drainage,
  ),
  bug('hydrology/drainage.ts', 'data[cell] = z < level ? level : z', 'data[cell] = z < level ? z : level', 'nothing is filled', drainage),
  bug(
    'hydrology/drainage.ts',
    '...keep.map(cell => basin[cell]!).filter(b => b > 0)',
    '...keep.map(cell => basin[cell]!).filter(b => b > 1)',
    'the first hollow cannot be kept',
    drainage,
  ),
  // Catchments.
  bug('hydrology/catchment.ts', 'const EDGE_LIMIT = 0.005', 'const EDGE_LIMIT = 0.6', 'cut catchments look complete', catchment),
  bug(
    'hydrology/catchment.ts',
    'const edgeShare_ratio = rimShares / (1 + rimShares)',
    'const edgeShare_ratio = rimShares',
    'the edge share exceeds 1',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'if (depth > DITCH_DEEP_M) {',
    'if (depth > 10 * DITCH_DEEP_M) {',
    'a line drowned in a hollow counts the overflow as caught',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'arrives = (1 - t) * share[a]! + t * share[b]!',
    'arrives = t * share[a]! + (1 - t) * share[b]!',
    'shares are swapped',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'parts[k] = (1 - t) * viaA + t * viaB',
    'parts[k] = Math.max(viaA, viaB)',
    'beside the line too much is caught',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'const fx = x + (((n & 3) + 0.5) / 4 - 0.5) * cell_m',
    'const fx = x',
    'links are tried from one column of places only: ends of lines catch whole cells',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'arrives = caughtBasins.has(basin[cell]!) ? 1 : to >= 0 ? share[to]! : 0',
    'arrives = to >= 0 ? share[to]! : 0',
    'overflow that crosses the line on its way to the pass is lost',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'if (rim.data[cell]) edge += arrives',
    'if (rim.data[cell]) edge += 0',
    'no line’s catchment is ever cut',
    catchment,
  ),
  bug('hydrology/catchment.ts', 'if (rim.data[cell]) edge++', 'if (rim.data[cell]) edge--', 'no point’s catchment is ever cut', catchment),
  bug(
    'hydrology/catchment.ts',
    'if (share[donor] || direction[donor] !== (k + 4) % 8) continue',
    'if (share[donor] || direction[donor] !== k) continue',
    'a point catches what runs away from it',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'area_m2: queue.length * cellArea_m2(geometry),',
    'area_m2: (queue.length - 1) * cellArea_m2(geometry),',
    'a point’s own cell is left out',
    catchment,
  ),
  bug(
    'hydrology/catchment.ts',
    'for (let at = net.order.length - 1; at >= 0; at--) {',
    'for (let at = 0; at < net.order.length; at++) {',
    'dependence is worked out in the wrong order',
    divide,
  ),
  // Outline and ridge.
  bug('hydrology/divide.ts', 'const FALLS_OFF = 0.3', 'const FALLS_OFF = 0', 'sides that follow the slope count as ridge', divide),
  bug(
    'hydrology/divide.ts',
    'if (at > (highPoint?.elevation_m ?? Number.NEGATIVE_INFINITY))',
    'if (at < (highPoint?.elevation_m ?? Number.POSITIVE_INFINITY))',
    'the lowest place of the outline is its high point',
    divide,
  ),
  bug(
    'hydrology/divide.ts',
    'if (Number.isNaN(at) || isCut || beside',
    'if (Number.isNaN(at) || beside',
    'the raster’s edge holds the high point',
    divide,
  ),
  bug(
    'hydrology/divide.ts',
    '|| beside.has(cellAt(g, here[0], here[1]))) {',
    ') {',
    'the line itself counts as outline of the divide',
    divide,
  ),
  bug(
    'hydrology/divide.ts',
    'ridges.push(thinned(stair, STAIR * g.cell_m))',
    'ridges.push(stair)',
    'ridges are too long by their stairs',
    divide,
  ),
  // Edges.
  bug(
    'hydrology/edge.ts',
    'if (data[to] || z[to] !== z[cell]) return',
    'if (data[to] || z[to] === z[cell]) return',
    'lakes cut by the edge are not marked',
    [...edge, ...catchment],
  ),
  bug(
    'hydrology/edge.ts',
    'const data = rimCells(z, width, height)\n',
    'const data = new Uint8Array(rimCells(z, width, height).length)\n',
    'the rim is not marked',
    edge,
  ),
  bug(
    'hydrology/edge.ts',
    '|| rise < 0 || rise > rise_m) return',
    '|| rise < 0 || rise > 0.2 * rise_m || rise > 1) return',
    'hollows at the edge are thought to spill at one place only',
    edge,
  ),
  bug('hydrology/edge.ts', 'data[outside] = 1', 'data[inside] = 1', 'what lies beyond another pass is not flagged', edge),
  bug(
    'hydrology/edge.ts',
    'outer_m[inner] = Math.min(outer_m[inner]!, Math.max(pass.height_m, outer_m[order[k]!]!))',
    'outer_m[inner] = Math.min(outer_m[inner]!, outer_m[order[k]!]!)',
    'ways out are taken for lower than the passes on them',
    edge,
  ),
  bug(
    'hydrology/edge.ts',
    'inner_m[beyond(pass, here)] = pass === by ? second : best',
    'inner_m[beyond(pass, here)] = best',
    'the way out of a side leads through the other side',
    edge,
  ),
  bug(
    'hydrology/edge.ts',
    'Math.max(deepest, basins.level_m[b]! - data[basins.pit[b]!]!)',
    'Math.min(deepest, basins.level_m[b]! - data[basins.pit[b]!]!)',
    'no water is thought to be held up from beyond',
    edge,
  ),
  bug(
    'hydrology/edge.ts',
    'if (reached[cell]! > least_ratio) below.push(cell)',
    'if (reached[cell]! > 1000 * least_ratio) below.push(cell)',
    'little inflow is not flagged',
    edge,
  ),
  bug(
    'hydrology/edge.ts',
    'for (const code of [direction[cell]!, slope[cell]!]) if (code < 8)',
    'for (const code of [slope[cell]!]) if (code < 8)',
    'the flag is not passed on over passes',
    edge,
  ),
  // Walks over a part of the network.
  bug(
    'hydrology/layer-queue.ts',
    'if (this.links[cell] !== 0) return',
    'if (this.links[cell]! < 0) return',
    'a cell comes as often as it is named',
    walks,
  ),
  bug(
    'hydrology/layer-queue.ts',
    'this.at = sense > 0 ? 0 : layers - 1',
    'this.at = sense > 0 ? 1 : layers - 1',
    'ridge cells are left out',
    walks,
  ),
  bug(
    'hydrology/spread.ts',
    'arriving[to]! += passing * share',
    'arriving[to]! = passing * share',
    'waters that meet are not added',
    walks,
  ),
  bug('hydrology/spread.ts', '    arriving[cell] = 0\n', '', 'working memory is handed on dirty', walks),
  bug(
    'hydrology/area-catchment.ts',
    'if (isInside[cell]) arrives = 1',
    'if (isInside[cell]) arrives = 0.5',
    'an area has half of its own cells',
    catchment,
  ),
  bug(
    'hydrology/past-ends.ts',
    'return { atStart_m2: more(onward([...line].reverse())), atEnd_m2: more(onward(line)) }',
    'return { atStart_m2: more(onward(line)), atEnd_m2: more(onward([...line].reverse())) }',
    'start and end are taken for each other',
    catchment,
  ),
  // Slope, contours, level lines.
  bug(
    'terrain/gradient.ts',
    'out[0] = (c + 2 * f + i - (a + 2 * d + g)) / (8 * cell_m)',
    'out[0] = (c + f + i - (a + d + g)) / (8 * cell_m)',
    'the gradient is not exact on planes',
    slopes,
  ),
  bug(
    'terrain/gradient.ts',
    'out[1] = (a + 2 * b + c - (g + 2 * h + i)) / (8 * cell_m)',
    'out[1] = (a + 2 * b + c - (g + 2 * h + i)) / 8',
    'the gradient forgets the cell size',
    slopes,
  ),
  bug('terrain/gradient.ts', 'Math.atan2(-rise[0], -rise[1])', 'Math.atan2(-rise[1], -rise[0])', 'aspect counts from the east', slopes),
  bug('terrain/gradient.ts', 'degrees < 0 ? degrees + 360 : degrees', 'degrees', 'aspect to the west is negative', slopes),
  bug(
    'terrain/isoline.ts',
    'const isAbove = (z: number, level: number): boolean => z >= level',
    'const isAbove = (z: number, level: number): boolean => z > level',
    'plateaus at a level are not treated as the contours treat them',
    [...contours, ...levels],
  ),
  bug('terrain/isoline.ts', 'if (nw === isAbove(saddle, level)) {', 'if (nw !== isAbove(saddle, level)) {', 'lines cross over in saddles', [
    ...contours,
    ...levels,
  ]),
  bug(
    'terrain/isoline.ts',
    'const t = (level - low) / (high - low)',
    'const t = 0.5',
    'contours run through the middle of edges',
    contours,
  ),
  bug(
    'terrain/isoline.ts',
    "if (patch.column === start.column && patch.row === start.row && edge === towards) return 'closed'",
    "if (patch.column === start.column && patch.row === start.row) return 'closed'",
    'a line that passes its first patch twice is cut off',
    [...contours, ...levels],
  ),
  bug(
    'terrain/contour-lines.ts',
    'k * interval_m <= high',
    'k * interval_m < high - interval_m',
    'the highest levels have no lines',
    contours,
  ),
  bug(
    'terrain/contour-lines.ts',
    'if (other < edge || seen.has(name(column, row, edge)) || seen.has(name(column, row, other))) continue',
    'if (other < edge) continue',
    'lines are drawn more than once',
    contours,
  ),
  bug(
    'terrain/level-line.ts',
    'return -dv * (first.u - second.u) + du * (first.v - second.v) > 0',
    'return -dv * (first.u - second.u) + du * (first.v - second.v) < 0',
    'uphill lies on the right',
    levels,
  ),
  bug(
    'terrain/level-line.ts',
    'const fall = fall_ratio * g.cell_m * sense',
    'const fall = fall_ratio * sense',
    'the fall is right on cells of one metre only',
    levels,
  ),
  bug(
    'terrain/level-line.ts',
    'const t = piece > 0 ? (half_m - length) / piece : 0',
    'const t = piece > 0 ? 1 : 0',
    'level lines are too long',
    levels,
  ),
]

function bug(file, old, now, breaks, tests) {
  return { file: `${SRC}/${file}`, old, now, breaks, tests }
}
