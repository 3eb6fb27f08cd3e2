// Every npm script of the repository passes through here, on a machine that has only Node and npm:
// install what is missing (through the pinned pnpm), build what is stale, then do what was asked.
// Node built-ins only. All set-up output goes to standard error, so that standard output belongs to the task.
import { spawn, spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const [task, ...rest] = process.argv.slice(2)
const say = line => process.stderr.write(`${line}\n`)

const tasks = {
  start: async () => (await build(), run(process.execPath, ['.ci/serve.mjs', ...rest])),
  soakline: async () => {
    await build()
    return run(process.execPath, [join(root, 'apps/cli/dist/main.js'), ...rest], { cwd: process.env.INIT_CWD ?? root })
  },
  build: () => build(),
  check: async () => (await build(), tool('@biomejs/biome/bin/biome', ['check', '.']), 0),
  format: () => (install(), tool('@biomejs/biome/bin/biome', ['check', '--write', '.'])),
  test: async () => {
    await build()
    tool('@biomejs/biome/bin/biome', ['check', '--diagnostic-level=error', '.'])
    if (rest.length > 0) return tool('vitest/vitest.mjs', ['run', ...rest])
    // Tests of the packages leave nothing behind: they share what they import, which takes as long as many of them. The others have a process a file.
    tool('vitest/vitest.mjs', ['run', '--no-isolate', '--exclude', 'apps/**', '--exclude', 'tests/**'])
    tool('vitest/vitest.mjs', ['run', '--exclude', 'packages/**', '--exclude', 'tests/browser/**'])
    // The browser draws by software and wants the machine for itself: its tests run after the others, one file at a time, each with a browser of its own.
    // Three files of minutes each, which wait on purpose (a stuck reader, work kept, releases), are a part of the long check: `npm run check:long -- sheet`.
    const long = ['bad-decoder', 'keeping', 'releases'].flatMap(name => ['--exclude', `tests/browser/${name}.test.ts`])
    return tool('vitest/vitest.mjs', ['run', '--no-isolate', '--no-file-parallelism', ...long, 'tests/browser'])
  },
  'check:long': async () => (await build(), run(process.execPath, ['tests/long/run.mjs', ...rest])),
  gallery: async () => {
    await build()
    const folder = join(root, 'tests/artefacts/gallery')
    tool('vitest/vitest.mjs', ['run', '--reporter=dot', 'tests/gallery'], { SOAKLINE_GALLERY: folder })
    say(`Open ${join(folder, 'index.html')} in a browser.`)
  },
  'api-pages': () => {
    install()
    tool('typedoc/bin/typedoc', ['--options', '.ci/typedoc.json', '--logLevel', 'Warn'])
    say(`Open ${join(root, 'node_modules/.cache/api-pages/index.html')} in a browser.`)
  },
  bench: async () => (await build(), run(process.execPath, ['tests/bench/run.mjs', ...rest])),
}

const [major, minor] = process.versions.node.split('.').map(Number)
if (major < 20 || (major === 20 && minor < 12)) {
  say(`Soakline needs Node 20.12 or newer; this is ${process.versions.node}. Install a newer Node, then run the same command again.`)
  process.exit(1)
}
if (!Object.hasOwn(tasks, task ?? '')) {
  say(`Usage: node .ci/setup.mjs ${Object.keys(tasks).join(' | ')}`)
  process.exit(2)
}
process.exit((await tasks[task]()) ?? 0)

/** Installs the locked packages when the lock file or a package.json is newer than the last installation. */
function install() {
  const manifests = [
    'package.json',
    'pnpm-lock.yaml',
    'pnpm-workspace.yaml',
    ...['packages', 'apps'].flatMap(group => readdirSync(join(root, group)).map(name => `${group}/${name}/package.json`)),
  ].filter(file => existsSync(join(root, file)))
  const stamp = hash(manifests.map(file => readFileSync(join(root, file))))
  const stampFile = join(root, 'node_modules/.setup-stamp')
  if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return
  const { packageManager } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
  say('Setting up: installing packages …')
  must('npx', ['--yes', packageManager, 'install', '--frozen-lockfile', '--prefer-offline'])
  writeFileSync(stampFile, stamp)
}

/** Builds libraries and shells when a source file has changed since the last build. */
async function build() {
  install()
  const sources = ['packages', 'apps', 'tests', 'fixtures', '.ci'].flatMap(folder => files(join(root, folder)))
  const stamp = hash(sources.map(file => `${relative(root, file)} ${statSync(file).size} ${statSync(file).mtimeMs}`))
  const stampFile = join(root, 'node_modules/.build-stamp')
  if (
    existsSync(stampFile) &&
    readFileSync(stampFile, 'utf8') === stamp &&
    ['apps/cli/dist/main.js', 'apps/map/dist/index.html'].every(made => existsSync(join(root, made)))
  )
    return
  say('Building …')
  must(process.execPath, ['packages/io/make-epsg-table.mjs'])
  must(process.execPath, ['packages/soakline/make-kernels.mjs'])
  // The compiler works on one core; the sheet is bundled from the sources, so that the other need not wait for it.
  await together(
    ['node_modules/typescript/bin/tsc', '-b'],
    ['apps/map/node_modules/vite/bin/vite.js', 'build', 'apps/map', '--logLevel', 'warn'],
  )
  writeFileSync(stampFile, stamp)
}

function files(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap(entry => {
    if (['node_modules', 'dist', 'generated', 'artefacts', 'results'].includes(entry.name)) return []
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return files(path)
    return /\.(ts|tsx|mjs|json|css|html|svg|webmanifest|geojson|csv|tif)$/.test(entry.name) ? [path] : []
  })
}

function hash(parts) {
  const sum = createHash('sha256')
  for (const part of parts) sum.update(part)
  return sum.digest('hex')
}

/** Runs a program to its end with its output on standard error; stops the script if it fails. */
function must(program, args) {
  const done = spawnSync(program, args, { cwd: root, stdio: ['ignore', 2, 2], shell: process.platform === 'win32' })
  if (done.status !== 0) {
    say(`Stopped: ${program} ${args.join(' ')} ended with ${done.status ?? done.error?.message}.`)
    process.exit(1)
  }
}

/** Runs programs of Node beside each other, as `must` runs one; stops the script once all have ended if any failed. */
async function together(...programs) {
  const ends = programs.map(
    args =>
      new Promise(resolve => {
        const done = spawn(process.execPath, args, { cwd: root, stdio: ['ignore', 2, 2] })
        done.on('error', error => resolve(error.message))
        done.on('close', (status, signal) => resolve(status ?? signal))
      }),
  )
  for (const [k, end] of (await Promise.all(ends)).entries()) {
    if (end === 0) continue
    say(`Stopped: ${process.execPath} ${programs[k].join(' ')} ended with ${end}.`)
    process.exit(1)
  }
}

function run(program, args, { cwd = root, also = {} } = {}) {
  const done = spawnSync(program, args, { cwd, stdio: 'inherit', env: { ...process.env, ...also } })
  return done.status ?? 1
}

function tool(path, args, also) {
  const status = run(process.execPath, [join(root, 'node_modules', path), ...args], { also })
  if (status !== 0) process.exit(status)
  return status
}
