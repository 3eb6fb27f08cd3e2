// Two builds of the same commit in two fresh folders give the same bytes. Ends with 1 and names the files where they do not.
//   node tests/long/two-builds.mjs
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const BUILT = ['packages/soakline/dist', 'packages/io/dist', 'packages/drawing/dist', 'apps/cli/dist', 'apps/map/dist']

const must = (program, args, cwd) => {
  const done = spawnSync(program, args, { cwd, encoding: 'utf8', maxBuffer: 1 << 26 })
  if (done.status !== 0) throw new Error(`${program} ${args.join(' ')}: ${done.stderr}${done.stdout}`)
}

const filesOf = folder =>
  readdirSync(folder, { withFileTypes: true }).flatMap(entry =>
    entry.isDirectory() ? filesOf(join(folder, entry.name)) : [join(folder, entry.name)],
  )

/** Clones the commit, builds it, and gives the hash of every built file. */
function built(folder) {
  must('git', ['clone', '--quiet', root, folder], root)
  must(process.execPath, ['.ci/setup.mjs', 'build'], folder)
  return new Map(
    BUILT.flatMap(part => filesOf(join(folder, part))).map(file => [
      relative(folder, file),
      createHash('sha256').update(readFileSync(file)).digest('hex'),
    ]),
  )
}

const home = mkdtempSync(join(tmpdir(), 'soakline-two-builds-'))
try {
  const [one, two] = ['one', 'another-with-a-longer-name'].map(name => built(join(home, name)))
  const differing = [...new Set([...one.keys(), ...two.keys()])].filter(file => one.get(file) !== two.get(file))
  console.log(`${one.size} files built, ${differing.length} of them differ`)
  for (const file of differing) console.log(file)
  process.exitCode = differing.length > 0 ? 1 : 0
} finally {
  rmSync(home, { recursive: true, force: true })
}
