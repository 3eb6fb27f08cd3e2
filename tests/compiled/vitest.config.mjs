// The repository's own configuration, with the compiled kernels in the place of the plain definitions wherever nobody asks for either: so the
// tests of the terrain engine run on both.   npx vitest run --config tests/compiled/vitest.config.mjs packages/soakline/test/hydrology
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig, mergeConfig } from 'vitest/config'
import base from '../../vitest.config.ts'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
/** Where the plain definitions are the default: the text, and the same with the kernels that `open.mjs` leaves for the tests. */
const DEFAULTS = [
  ['kernels = null }', 'kernels = globalThis.kernelsOfTheTests }'],
  ['kernels: Kernels | null = null', 'kernels: Kernels | null = globalThis.kernelsOfTheTests'],
]
const FILES = ['drainage', 'water-study', 'contributing-area', 'flow-network']
  .map(name => `hydrology/${name}.ts`)
  .concat('terrain/gradient.ts')
  .map(file => join(root, 'packages/soakline/src', file))

export default mergeConfig(
  base,
  defineConfig({
    root,
    plugins: [
      {
        name: 'compiled-kernels',
        enforce: 'pre',
        transform(code, id) {
          if (!FILES.includes(id.split('?')[0])) return null
          const changed = DEFAULTS.reduce((text, [old, now]) => text.replaceAll(old, now), code)
          if (changed === code) throw new Error(`${id} has no default to change`)
          return changed
        },
      },
    ],
    test: {
      setupFiles: [join(root, 'tests/compiled/open.mjs')],
      // Two tests watch which cells the plain definition reads; kernels read all of them into their own memory.
      testNamePattern: /^(?!.*(each reads the rows of its own band|no cell outside the raster is looked at))/,
    },
  }),
)
