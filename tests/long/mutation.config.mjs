// The repository's own configuration with one mutant (SOAKLINE_MUTANT, as mutation.mjs writes it; null for none) planted as its source is read.
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig, mergeConfig } from 'vitest/config'
import base from '../../vitest.config.ts'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const mutant = JSON.parse(process.env.SOAKLINE_MUTANT ?? 'null')
const planted = mutant && join(root, 'packages/soakline/src', mutant.file)

export default mergeConfig(
  base,
  defineConfig({
    root,
    plugins: [
      {
        name: 'mutant',
        enforce: 'pre',
        transform(code, id) {
          if (mutant === null || id.split('?')[0] !== planted) return null
          const { file, at, was, now } = mutant
          if (code.slice(at, at + was.length) !== was) throw new Error(`The mutant's place is not in ${file} any more.`)
          return code.slice(0, at) + now + code.slice(at + was.length)
        },
      },
    ],
    test: { bail: 1, reporters: ['dot'] },
  }),
)
