// The repository's own configuration with one mutant (SOAKLINE_MUTANT, as mutation.mjs writes it) planted as its source is read.
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig, mergeConfig } from 'vitest/config'
import base from '../../vitest.config.ts'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const { file, at, was, now } = JSON.parse(process.env.SOAKLINE_MUTANT ?? 'null')
const planted = join(root, 'packages/soakline/src', file)

export default mergeConfig(
  base,
  defineConfig({
    root,
    plugins: [
      {
        name: 'mutant',
        enforce: 'pre',
        transform(code, id) {
          if (id.split('?')[0] !== planted) return null
          if (code.slice(at, at + was.length) !== was) throw new Error(`The mutant's place is not in ${file} any more.`)
          return code.slice(0, at) + now + code.slice(at + was.length)
        },
      },
    ],
    test: { bail: 1, reporters: ['dot'], pool: 'threads' },
  }),
)
