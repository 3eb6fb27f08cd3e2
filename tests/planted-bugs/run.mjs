// Plants each listed bug in turn and says whether the tests named with it notice.
//   node tests/planted-bugs/run.mjs [FIRST [LAST]]     numbers in the list, from 0; all of them if left out
// Ends with 1 when a bug was missed.
import { spawn } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { BUGS } from './bugs.mjs'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const [first = 0, last = BUGS.length - 1] = process.argv.slice(2).map(Number)

/** An endless loop is noticed as well, and so is a test process that dies of it: nobody waits longer than this for tests that take seconds. */
const PATIENCE_ms = 60_000

/** Whether any of the tests notices: it ran and failed. Each file on its own, so that one caught in a loop does not hide another. */
async function notices(number) {
  for (const path of BUGS[number].tests) if (await fails(number, path)) return true
  return false
}

function fails(number, path) {
  return new Promise((done, fault) => {
    const run = spawn(
      process.execPath,
      [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'tests/planted-bugs/vitest.config.mjs', path],
      { cwd: root, env: { ...process.env, NO_COLOR: '1', SOAKLINE_BUG: String(number) }, detached: true },
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
    }, PATIENCE_ms)
    run.on('close', code => {
      clearTimeout(watch)
      if (late) done(true)
      else if (!/Tests\s+\(?\d/.test(said)) fault(new Error(`Bug ${number}: no test ran in ${path}.\n${said}`))
      else done(code !== 0)
    })
  })
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
