// What nobody uses: files, exports and dependencies, as knip finds them. Tests count as users; `.ci/knip.json` says where programs begin.
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

test('no file, no export and no dependency is left over', () => {
  const knip = join(repositoryRoot, 'node_modules/knip/bin/knip.js')
  const run = spawnSync(process.execPath, [knip, '--config', '.ci/knip.json', '--reporter', 'compact', '--no-progress'], {
    cwd: repositoryRoot,
    encoding: 'utf8',
  })
  expect(`${run.stdout}${run.stderr}`.trim()).toBe('')
  expect(run.status).toBe(0)
}, 120_000)
