// The long versions of the checks, each part under a quarter of an hour on one core.
//   npm run check:long [-- PART …]      parts: water, kernels, lines, edge, clear, files, sheet, kills, pictures, screens, bugs, builds, pages, mutation; all of them if left out
// What each part says is kept as dated text in tests/long/results/. Ends with 1 when a part failed.
import { spawnSync } from 'node:child_process'
import { mkdirSync, writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const vitest = (...files) => [
  'node_modules/vitest/vitest.mjs',
  'run',
  '--no-color',
  '--no-file-parallelism',
  '--testTimeout=900000',
  ...files,
]

/** What each part runs, and with how many cases. */
const PARTS = {
  water: {
    says: 'laws of filling, directions, accumulation and catchments on a thousand grounds each',
    cases: 1000,
    command: vitest(
      'tests/exact/invariants-water.test.ts',
      ...[
        'edge',
        'catchment',
        'divide',
        'drainage',
        'flow-network',
        'flow-methods',
        'contributing-area',
        'tie-dependence',
        'longest-flow',
        'released-water',
      ].map(name => `packages/soakline/test/hydrology/${name}.test.ts`),
    ),
  },
  kernels: {
    says: 'the tests of the terrain engine on the compiled kernels',
    cases: 200,
    command: vitest(
      '--config',
      'tests/compiled/vitest.config.mjs',
      'packages/soakline/test/hydrology',
      'packages/soakline/test/terrain',
      'tests/exact',
    ),
  },
  lines: {
    says: 'laws of contours, level and falling lines and slopes on a thousand grounds each',
    cases: 1000,
    command: vitest(...['contour-lines', 'level-line', 'gradient'].map(name => `packages/soakline/test/terrain/${name}.test.ts`)),
  },
  edge: {
    says: 'edge flags of more than a thousand crops of real and invented ground',
    cases: 1100,
    command: vitest('tests/exact/edge-honesty.test.ts'),
  },
  clear: {
    says: 'no false clear: verdicts about overflows against particles on a thousand hillsides with wrong heights',
    cases: 1000,
    command: vitest('tests/exact/no-false-clear.test.ts'),
  },
  files: {
    says: 'two hundred thousand changed files of each kind, all read or refused by a code, soon and in little memory',
    cases: 200_000,
    command: vitest('packages/io/test/fuzz-files.test.ts'),
  },
  sheet: {
    says: 'what takes minutes in the browser: a stuck reader, how the work is kept, releases',
    cases: null,
    command: vitest(...['bad-decoder', 'keeping', 'releases'].map(name => `tests/browser/${name}.test.ts`)),
  },
  kills: {
    says: 'the page killed five hundred times in the middle of the work: at most the last edit is lost',
    cases: 500,
    command: vitest('tests/browser/kills.test.ts'),
  },
  pictures: {
    says: 'the map loses its graphics context twenty times: nothing is lost, and it is drawn again',
    cases: 20,
    command: vitest('tests/browser/trouble.test.ts', '-t', 'drawing context lost'),
  },
  screens: {
    says: 'every screen on desk and phone, in both languages and all three looks, and what axe-core finds against it',
    cases: null,
    also: { SOAKLINE_SCREENS: 'all' },
    command: vitest(...['screens', 'sizing', 'first-visit'].map(name => `tests/browser/${name}.test.ts`)),
  },
  bugs: { says: 'planted bugs and the tests that should notice them', cases: null, command: ['tests/planted-bugs/run.mjs'] },
  builds: { says: 'two builds of a commit in two folders give the same bytes', cases: null, command: ['tests/long/two-builds.mjs'] },
  pages: { says: 'the pages of the public interface are written without a warning', cases: null, command: ['.ci/setup.mjs', 'api-pages'] },
  mutation: {
    says: 'a seeded sample of mutants of the terrain engine and whether the tests of their source notice',
    cases: null,
    command: ['tests/long/mutation.mjs', '--sample', '120', '--minutes', '14'],
  },
}

const asked = process.argv.slice(2)
const unknown = asked.filter(name => !Object.hasOwn(PARTS, name))
if (unknown.length > 0) {
  process.stderr.write(`There is no part ${unknown.join(', ')}: choose from ${Object.keys(PARTS).join(', ')}.\n`)
  process.exit(2)
}

let failed = false
for (const name of asked.length > 0 ? asked : Object.keys(PARTS)) {
  const { says, cases, command, also = {} } = PARTS[name]
  process.stderr.write(`${name}: ${says} …\n`)
  const began = new Date()
  const { SOAKLINE_CASES: _own, ...env } = process.env
  const done = spawnSync(process.execPath, command, {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 256 * 1024 * 1024,
    env: { ...env, ...also, NO_COLOR: '1', ...(cases === null ? {} : { SOAKLINE_CASES: String(cases) }) },
  })
  const seconds = Math.round((Date.now() - began.getTime()) / 1000)
  const passed = done.status === 0
  failed ||= !passed
  const folder = join(root, 'tests/long/results')
  mkdirSync(folder, { recursive: true })
  const head = [
    `${name}: ${says}`,
    `${began.toISOString()}, ${seconds} s, Node ${process.versions.node}, ${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown processor'}`,
    cases === null ? '' : `${cases} cases`,
    passed ? 'passed' : `FAILED (${done.error?.message ?? `status ${done.status}`})`,
  ].filter(line => line !== '')
  // Paths of this machine are nobody's business.
  const said = `${done.stdout}${passed ? '' : done.stderr}`.replaceAll(root, '.')
  writeFileSync(join(folder, `${began.toISOString().slice(0, 10)}-${name}.txt`), `${head.join('\n')}\n\n${said.trim()}\n`)
  process.stdout.write(`${head.join(' · ')}\n`)
}
process.exit(failed ? 1 : 0)
