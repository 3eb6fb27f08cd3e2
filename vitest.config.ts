import { defineConfig } from 'vitest/config'

// Tests run the sources, not the build: the condition `source` of each package's exports points at src/.
const conditions = ['source', 'module', 'node', 'development|production', 'import', 'default']

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    include: ['packages/*/test/**/*.test.ts', 'apps/*/test/**/*.test.ts', 'tests/**/*.test.ts'],
    exclude: ['**/node_modules/**', 'tests/long/**'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: 'forks',
    // By itself it leaves one core idle, which on a machine of two is half of it.
    maxWorkers: '100%',
  },
})
