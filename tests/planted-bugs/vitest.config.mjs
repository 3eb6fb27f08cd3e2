// The repository's own configuration, with one bug planted as its source is read: the files themselves are never touched.
import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig, mergeConfig } from 'vitest/config'
import base from '../../vitest.config.ts'
import { BUGS } from './bugs.mjs'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const bug = BUGS[Number(process.env.SOAKLINE_BUG)]
if (!bug) throw new Error(`SOAKLINE_BUG is "${process.env.SOAKLINE_BUG}": give the number of a listed bug.`)
const planted = join(root, bug.file)
if (readFileSync(planted, 'utf8').split(bug.old).length !== 2)
  throw new Error(`The place of bug ${process.env.SOAKLINE_BUG} is not in ${bug.file} exactly once.`)

export default mergeConfig(
  base,
  defineConfig({
    root,
    plugins: [
      {
        name: 'planted-bug',
        enforce: 'pre',
        transform: (code, id) => (id.split('?')[0] === planted ? code.replace(bug.old, () => bug.now) : null),
      },
    ],
    // One test that notices is enough.
    test: { bail: 1, reporters: ['dot'] },
  }),
)
