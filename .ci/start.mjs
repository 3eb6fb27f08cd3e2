// `npm start`: answers the demo holding in the terminal, both plans, and says where the whole answer lies.
import { spawnSync } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const demo = join(root, 'fixtures/demo')
const language = process.argv.includes('--language=es') ? 'es' : 'en'
for (const [line, title] of [
  ['bench', 'The obvious place: the natural bench'],
  ['spur', 'The better place: the nose of the spur'],
]) {
  const out = join(root, 'demo-answer', line)
  process.stdout.write(`\n${title}\n${'─'.repeat(title.length)}\n`)
  const done = spawnSync(
    process.execPath,
    [
      join(root, 'apps/cli/dist/main.js'),
      'assess',
      join(demo, 'ground.tif'),
      '--line',
      join(demo, `line-${line}.geojson`),
      '--features',
      join(demo, 'features.geojson'),
      '--rain',
      join(demo, 'rain.csv'),
      '--settings',
      join(demo, 'settings.json'),
      '--holding',
      `Demo holding, ${line}`,
      '--language',
      language,
      '--out',
      out,
    ],
    { stdio: ['ignore', 'inherit', 'ignore'] },
  )
  if (done.status !== 0 && done.status !== 4) process.exit(done.status ?? 1)
  process.stdout.write(`→ ${join(out, 'report.html')}\n`)
}
