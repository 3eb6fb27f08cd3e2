// Single mutants of the terrain engine, each planted as its source is loaded (no file is touched), and whether the tests of that source notice.
//   node tests/long/mutation.mjs [--sample N] [--seed S] [--minutes M]
// A seeded sample of all single changes of operators and constants, without those that `equivalent-mutants.mjs` shows to change nothing. Prints a line for each
// and the score; always ends with 0: the score is for people. A test that never ends counts as noticing, as is usual in mutation testing.
import { readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { seededRandom } from '../../packages/soakline/dist/foundation/index.js'
import { runApart } from '../helpers/run-apart.mjs'
import { EQUIVALENT } from './equivalent-mutants.mjs'
import { allMutants, SOURCES } from './mutants.mjs'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const { values } = parseArgs({
  options: { sample: { type: 'string' }, seed: { type: 'string' }, minutes: { type: 'string' } },
})
const sample = Number(values.sample ?? 60)
const until = Date.now() + Number(values.minutes ?? 14) * 60_000

/** How a test file ends with a mutant planted, or with none. */
const outcome = (mutant, test) =>
  runApart(test, {
    config: 'tests/long/mutation.config.mjs',
    environment: { SOAKLINE_MUTANT: JSON.stringify(mutant) },
    patience_ms: 120_000,
  })

const known = readdirSync(join(root, 'packages/soakline/src/terrain')).filter(name => name !== 'index.ts' && !SOURCES[`terrain/${name}`])
if (known.length > 0) console.log(`not looked at: ${known.join(', ')}`)
const all = allMutants()
const random = seededRandom(Number(values.seed ?? 1))
const chosen = []
for (let k = 0; k < Math.min(sample, all.length); k++) chosen.push(...all.splice(Math.floor(random.uniform() * all.length), 1))
console.log(
  `${chosen.length} of ${all.length + chosen.length} mutants (${EQUIVALENT.length} more change nothing), seed ${values.seed ?? 1}`,
)

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
    const word = { failed: 'caught  ', late: 'no end  ', passed: 'SURVIVED' }[end]
    console.log(
      `${word}  ${mutant.file}:${mutant.line}:${mutant.column}  "${mutant.was.trim()}" → "${mutant.now.trim()}"${end === 'passed' ? `  in: ${mutant.shown}` : ''}`,
    )
  }
}
await Promise.all([worker(), worker()])
const tried = counts.failed + counts.late + counts.passed
console.log(
  `${counts.failed} of ${tried} caught, ${counts.late} more by a test that does not end, ${counts.passed} survived: ${((100 * (counts.failed + counts.late)) / tried).toFixed(0)} %`,
)
