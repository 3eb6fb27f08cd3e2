// Plants each listed bug in turn and says whether the tests named with it notice.
//   node tests/planted-bugs/run.mjs [FIRST [LAST]]     numbers in the list, from 0; all of them if left out
// Ends with 1 when a bug was missed.
import { runApart } from '../helpers/run-apart.mjs'
import { BUGS } from './bugs.mjs'

const [first = 0, last = BUGS.length - 1] = process.argv.slice(2).map(Number)

/** An endless loop is noticed as well, and so is a test process that dies of it: nobody waits longer than this for tests that take seconds. */
const PATIENCE_ms = 60_000

/** Whether any of the tests notices: it ran and failed, or never ended. Each file on its own, so that one caught in a loop does not hide another. */
async function notices(number) {
  const how = { config: 'tests/planted-bugs/vitest.config.mjs', environment: { SOAKLINE_BUG: String(number) }, patience_ms: PATIENCE_ms }
  for (const path of BUGS[number].tests) if ((await runApart(path, how)) !== 'passed') return true
  return false
}

const missed = []
for (let number = first; number <= Math.min(last, BUGS.length - 1); number++) {
  const { file, breaks } = BUGS[number]
  const caught = await notices(number)
  if (!caught) missed.push(number)
  process.stdout.write(
    `${caught ? 'caught' : 'MISSED'}  ${String(number).padStart(2)}  ${file.replace('packages/soakline/src/', '')}: ${breaks}\n`,
  )
}
process.stdout.write(
  `${Math.min(last, BUGS.length - 1) - first + 1 - missed.length} caught, ${missed.length} missed${missed.length > 0 ? `: ${missed.join(', ')}` : ''}\n`,
)
process.exit(missed.length > 0 ? 1 : 0)
