import { spawn } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))

/**
 * How a test file ends in a process of its own, under a configuration and with more in the environment: 'passed', 'failed', or 'late' where it takes longer
 * than `patience_ms`. A run without a test tells nothing and is a fault.
 */
export function runApart(test, { config, environment, patience_ms }) {
  return new Promise((done, fault) => {
    const run = spawn(process.execPath, [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', config, test], {
      cwd: root,
      env: { ...process.env, NO_COLOR: '1', ...environment },
      detached: true,
    })
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
    }, patience_ms)
    run.on('close', code => {
      clearTimeout(watch)
      if (late) done('late')
      else if (!/Tests\s+\(?\d/.test(said)) fault(new Error(`No test ran in ${test} with ${JSON.stringify(environment)}:\n${said}`))
      else done(code === 0 ? 'passed' : 'failed')
    })
  })
}
