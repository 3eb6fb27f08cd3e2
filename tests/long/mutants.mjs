// Single changes of the terrain engine's operators and constants, and the tests that should notice each. Kept apart from the run of mutation.mjs, so
// that a test can look whether the list of changes without effect is still true.
import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { EQUIVALENT } from './equivalent-mutants.mjs'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))

const T = 'packages/soakline/test'
const water = name => `${T}/hydrology/${name}.test.ts`
const lines = name => `${T}/terrain/${name}.test.ts`
const KERNELS = `${T}/kernels/spread-by-kernels.test.ts`
const NETWORK = [KERNELS, water('flow-network'), water('flow-methods'), 'tests/exact/catchment.test.ts']

const DRAINAGE = [
  water('drainage-by-definition'),
  water('drainage'),
  'tests/exact/invariants-water.test.ts',
  water('flow-network'),
  water('in-steps'),
]

/** Each source and the tests that should notice, the quickest first. */
export const SOURCES = {
  'hydrology/drainage.ts': DRAINAGE,
  'hydrology/flat-ways.ts': DRAINAGE,
  'hydrology/basin-passes.ts': DRAINAGE,
  'hydrology/direction-codes.ts': DRAINAGE,
  'hydrology/flow-network.ts': [...NETWORK, water('drainage'), water('in-steps')],
  'hydrology/by-facets.ts': [KERNELS, water('flow-methods'), 'tests/reference/reference.test.ts'],
  'hydrology/multiple-flow.ts': [KERNELS, water('flow-methods'), 'tests/reference/reference.test.ts'],
  'hydrology/contributing-area.ts': [KERNELS, water('contributing-area'), water('flow-network')],
  'hydrology/catchment.ts': [
    water('catchment-by-definition'),
    water('catchment'),
    'tests/exact/catchment.test.ts',
    water('cell-and-origin'),
    water('divide'),
  ],
  'hydrology/area-catchment.ts': [water('catchment-by-definition'), water('catchment'), water('cell-and-origin')],
  'hydrology/past-ends.ts': [water('catchment'), water('cell-and-origin')],
  'hydrology/divide.ts': [water('divide'), water('cell-and-origin')],
  'hydrology/edge.ts': [water('edge'), 'tests/exact/edge-honesty.test.ts', water('flow-network')],
  'hydrology/hollows.ts': [water('hollows'), water('cell-and-origin')],
  'hydrology/hollow-tree.ts': [water('hollows')],
  'hydrology/hollow-guess.ts': [water('hollows'), water('conditioned')],
  'hydrology/culvert-places.ts': [water('culvert-places'), water('hollows'), water('conditioned')],
  'hydrology/carving.ts': [water('carving'), water('conditioned'), water('cell-and-origin')],
  'hydrology/hollow-choices.ts': [water('conditioned'), water('carving'), water('in-steps')],
  'hydrology/drawn-works.ts': [water('conditioned'), water('cell-and-origin')],
  'hydrology/released-water.ts': [water('released-water'), 'tests/exact/released-water.test.ts', water('cell-and-origin')],
  'hydrology/spread.ts': [water('divide'), water('flow-network')],
  'hydrology/layer-queue.ts': [water('catchment-by-definition'), water('catchment'), water('divide')],
  'hydrology/longest-flow.ts': [water('longest-flow'), water('cell-and-origin')],
  'hydrology/tie-dependence.ts': [water('tie-dependence'), water('in-steps')],
  'terrain/gradient.ts': [lines('gradient')],
  'terrain/curvature.ts': [lines('curvature')],
  'terrain/isoline.ts': [lines('contour-lines'), lines('level-line')],
  'terrain/contour-lines.ts': [lines('contour-lines')],
  'terrain/contour-pass.ts': [lines('contour-lines')],
  'terrain/contour-interval.ts': [lines('contour-interval')],
  'terrain/level-line.ts': [lines('level-line'), 'tests/exact/level-line.test.ts'],
  'terrain/level-line-between.ts': [lines('level-line-between')],
  'terrain/measured-way.ts': [lines('measured-way')],
  'terrain/profile.ts': [lines('level-line')],
  'terrain/fall-line.ts': [lines('fall-line-by-definition'), lines('fall-line'), water('released-water')],
  'terrain/smooth-line.ts': [lines('smooth-line-cases'), lines('smooth-line')],
  'terrain/line-deviation.ts': [lines('line-deviation'), lines('smooth-line')],
  'terrain/height-along.ts': [lines('height-along'), lines('smooth-line')],
  'terrain/point-spacing.ts': [lines('triangulated-surface')],
  'terrain/survey-geometry.ts': [lines('triangulated-surface')],
  'terrain/survey-points.ts': [lines('triangulated-surface'), 'packages/io/test/survey-points.test.ts'],
  'terrain/triangulated-surface.ts': [lines('triangulated-surface')],
}

/** What is changed into what; spaces keep generics, arrows and signs of numbers out. */
const CHANGES = [
  [/ < (?=[\w(!-])/g, ' <= '],
  [/ <= /g, ' < '],
  [/ > (?=[\w(!-])/g, ' >= '],
  [/ >= /g, ' > '],
  [/ === /g, ' !== '],
  [/ !== /g, ' === '],
  [/ \+ /g, ' - '],
  [/ - /g, ' + '],
  [/ \* /g, ' / '],
  [/ && /g, ' || '],
  [/ \|\| /g, ' && '],
  [/Math\.min\(/g, 'Math.max('],
  [/Math\.max\(/g, 'Math.min('],
  [/ \+= /g, ' -= '],
]

/** All single changes in the code of a source; comments, texts, imports and types are left alone. */
export function mutantsOf(file) {
  const text = readFileSync(join(root, 'packages/soakline/src', file), 'utf8')
  const found = []
  let at = 0
  let inComment = false
  let inImport = false
  for (const [number, line] of text.split('\n').entries()) {
    const plain = line.trim()
    if (plain.startsWith('/*')) inComment = true
    if (plain.startsWith('import') || plain.startsWith('export {') || plain.startsWith('export type')) inImport = true
    const code = line.replace(/\/\/.*$/, '').replace(/(['"`])(?:\\.|(?!\1).)*\1/g, quoted => ' '.repeat(quoted.length))
    const isCode = !inComment && !inImport && !plain.startsWith('readonly ') && !/InputError/.test(plain)
    if (isCode)
      for (const [pattern, now] of CHANGES)
        for (const match of code.matchAll(pattern))
          found.push({ file, line: number + 1, column: match.index + 1, at: at + match.index, was: match[0], now, shown: plain })
    if (plain.endsWith('*/')) inComment = false
    if (inImport && (plain.includes("from '") || plain.endsWith('}'))) inImport = false
    at += line.length + 1
  }
  return found
}

/** Mutants of all sources without those that are listed as changing nothing; throws where a listed one is not there (any more). */
export function allMutants() {
  const all = Object.keys(SOURCES).flatMap(mutantsOf)
  const listed = new Set(
    EQUIVALENT.map(([file, shown, was, now, nth]) => {
      const same = all.filter(m => m.file === file && m.shown === shown && m.was.trim() === was && m.now.trim() === now)
      if (same.length < nth) throw new Error(`Not in ${file} any more: "${was}" → "${now}" (${nth}) in: ${shown}`)
      return same[nth - 1]
    }),
  )
  return all.filter(mutant => !listed.has(mutant))
}
