// Single mutants of the terrain engine, each planted as its source is loaded (no file is touched), and whether the tests of that source notice.
//   node tests/long/mutation.mjs [--sample N] [--seed S] [--minutes M]
// A seeded sample of all single changes of operators and constants. Prints a line for each and the score; always ends with 0: the score is for people.
import { spawn } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { seededRandom } from '../../packages/soakline/dist/foundation/index.js'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const { values } = parseArgs({
  options: { sample: { type: 'string' }, seed: { type: 'string' }, minutes: { type: 'string' } },
})
const sample = Number(values.sample ?? 60)
const until = Date.now() + Number(values.minutes ?? 14) * 60_000

const T = 'packages/soakline/test'
const water = name => `${T}/hydrology/${name}.test.ts`
const lines = name => `${T}/terrain/${name}.test.ts`
const NETWORK = [water('flow-network'), water('flow-methods'), 'tests/exact/catchment.test.ts']

/** Each source and the tests that should notice, the quickest first. */
const SOURCES = {
  'hydrology/drainage.ts': [
    water('drainage-by-definition'),
    water('drainage'),
    'tests/exact/invariants-water.test.ts',
    water('flow-network'),
  ],
  'hydrology/flow-network.ts': [...NETWORK, water('drainage')],
  'hydrology/by-facets.ts': [water('flow-methods'), 'tests/reference/reference.test.ts'],
  'hydrology/multiple-flow.ts': [water('flow-methods'), 'tests/reference/reference.test.ts'],
  'hydrology/contributing-area.ts': [water('contributing-area'), water('flow-network')],
  'hydrology/catchment.ts': [
    water('catchment-by-definition'),
    water('catchment'),
    'tests/exact/catchment.test.ts',
    water('cell-and-origin'),
  ],
  'hydrology/area-catchment.ts': [water('catchment-by-definition'), water('catchment'), water('cell-and-origin')],
  'hydrology/past-ends.ts': [water('catchment'), water('cell-and-origin'), 'tests/cli/contract.test.ts'],
  'hydrology/divide.ts': [water('divide'), water('cell-and-origin')],
  'hydrology/edge.ts': [water('edge'), 'tests/exact/edge-honesty.test.ts', water('flow-network')],
  'hydrology/hollows.ts': [water('hollows'), water('cell-and-origin')],
  'hydrology/hollow-tree.ts': [water('hollows')],
  'hydrology/hollow-guess.ts': [water('hollows'), water('conditioned')],
  'hydrology/culvert-places.ts': [water('culvert-places'), water('hollows'), water('conditioned')],
  'hydrology/carving.ts': [water('carving'), water('conditioned'), water('cell-and-origin')],
  'hydrology/hollow-choices.ts': [water('conditioned'), water('carving')],
  'hydrology/drawn-works.ts': [water('conditioned'), water('cell-and-origin')],
  'hydrology/released-water.ts': [water('released-water'), 'tests/exact/released-water.test.ts', water('cell-and-origin')],
  'hydrology/spread.ts': [water('divide'), water('flow-network')],
  'hydrology/layer-queue.ts': [water('catchment-by-definition'), water('catchment'), water('divide')],
  'hydrology/longest-flow.ts': [water('longest-flow'), water('cell-and-origin')],
  'hydrology/tie-dependence.ts': [water('tie-dependence')],
  'terrain/gradient.ts': [lines('gradient')],
  'terrain/curvature.ts': [lines('curvature')],
  'terrain/isoline.ts': [lines('contour-lines'), lines('level-line')],
  'terrain/contour-lines.ts': [lines('contour-lines')],
  'terrain/contour-interval.ts': [lines('contour-interval')],
  'terrain/level-line.ts': [lines('level-line'), 'tests/exact/level-line.test.ts'],
  'terrain/profile.ts': [lines('level-line'), 'tests/cli/demo.test.ts'],
  'terrain/fall-line.ts': [lines('fall-line-by-definition'), lines('fall-line'), water('released-water')],
  'terrain/smooth-line.ts': [lines('smooth-line-cases'), lines('smooth-line')],
  'terrain/line-deviation.ts': [lines('line-deviation'), lines('smooth-line')],
  'terrain/height-along.ts': [lines('height-along'), lines('smooth-line')],
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
function mutantsOf(file) {
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

/** How a test file ends with a mutant planted, or with none: 'passed', 'failed', or 'late' when it takes longer than a minute. A run without a test is a fault. */
function outcome(mutant, test) {
  return new Promise((done, fault) => {
    const run = spawn(
      process.execPath,
      [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'tests/long/mutation.config.mjs', test],
      { cwd: root, env: { ...process.env, NO_COLOR: '1', SOAKLINE_MUTANT: JSON.stringify(mutant) }, detached: true },
    )
    let said = ''
    for (const stream of [run.stdout, run.stderr])
      stream.on('data', text => {
        said += text
      })
    let late = false
    const watch = setTimeout(() => {
      late = true
      // The runner and the process that runs the tests.
      process.kill(-run.pid, 'SIGKILL')
    }, 60_000)
    run.on('close', code => {
      clearTimeout(watch)
      if (late) done('late')
      else if (!/Tests\s+\(?\d/.test(said)) fault(new Error(`No test ran in ${test} with ${JSON.stringify(mutant)}:\n${said}`))
      else done(code === 0 ? 'passed' : 'failed')
    })
  })
}

const known = readdirSync(join(root, 'packages/soakline/src/terrain')).filter(name => name !== 'index.ts' && !SOURCES[`terrain/${name}`])
if (known.length > 0) console.log(`not looked at: ${known.join(', ')}`)
const all = Object.keys(SOURCES).flatMap(mutantsOf)
const random = seededRandom(Number(values.seed ?? 1))
const chosen = []
for (let k = 0; k < Math.min(sample, all.length); k++) chosen.push(...all.splice(Math.floor(random.uniform() * all.length), 1))
console.log(`${chosen.length} of ${all.length + chosen.length} mutants, seed ${values.seed ?? 1}`)

// Without a mutant every test passes, or a failure would tell nothing.
for (const test of new Set(chosen.flatMap(({ file }) => SOURCES[file]))) {
  const plain = await outcome(null, test)
  if (plain !== 'passed') throw new Error(`${test} ended "${plain}" without a mutant: nothing can be said with one.`)
}

const counts = { failed: 0, late: 0, passed: 0 }
const queue = [...chosen]
/** Two at a time: most of a run is the start of the test runner. */
async function worker() {
  for (let mutant = queue.shift(); mutant && Date.now() < until; mutant = queue.shift()) {
    let end = 'passed'
    for (const test of SOURCES[mutant.file]) {
      end = await outcome(mutant, test)
      if (end !== 'passed') break
    }
    counts[end]++
    const word = { failed: 'caught  ', late: 'late    ', passed: 'SURVIVED' }[end]
    console.log(
      `${word}  ${mutant.file}:${mutant.line}:${mutant.column}  "${mutant.was.trim()}" → "${mutant.now.trim()}"${end === 'passed' ? `  in: ${mutant.shown}` : ''}`,
    )
  }
}
await Promise.all([worker(), worker()])
const tried = counts.failed + counts.late + counts.passed
console.log(
  `${counts.failed} of ${tried} caught, ${counts.late} ran longer than a minute, ${counts.passed} survived: ${((100 * counts.failed) / tried).toFixed(0)} %`,
)
