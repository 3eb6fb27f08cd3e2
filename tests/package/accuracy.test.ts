// The page of accuracy names commands and files that exist, and its table of speed is that of the newest kept run. UPDATE_ACCURACY=1 writes the table anew.
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

const PAGE = join(repositoryRoot, 'packages/soakline/docs/accuracy.md')
const RUNS = join(repositoryRoot, 'tests/bench/results')
const REPEAT = 'node tests/bench/speed.mjs --keep'

interface Bar {
  readonly name: string
  readonly asked: string
  readonly measured: string
  readonly verdict: string
}
const { barLines } = (await import('../bench/speed-bars.mjs' as string)) as {
  barLines: (measured: Readonly<Record<string, object>>, sizes: readonly number[]) => readonly string[]
}

/** The bars among lines of the benchmark: those that ask for something. */
const barsOf = (lines: readonly string[]): Bar[] =>
  lines
    .map(line => line.split(' | '))
    .filter(cells => cells.length === 4 && /^[≤≥] /.test(cells[1]!))
    .map(([name, asked, measured, verdict]) => ({ name: name!, asked: asked!, measured: measured!, verdict: verdict! }))

/** The day of the newest kept run of the speed benchmark, and its bars; nothing where none was kept. */
function newestRun(): { readonly day: string; readonly bars: readonly Bar[] } | null {
  const name = readdirSync(RUNS)
    .filter(file => /^\d{4}-\d\d-\d\d-speed\.txt$/.test(file))
    .sort()
    .at(-1)
  if (name === undefined) return null
  return { day: name.slice(0, 10), bars: barsOf(readFileSync(join(RUNS, name), 'utf8').split('\n')) }
}

/** The table of speed: every bar that is asked today, with its figure in the newest run. */
function speedTable(): string {
  const run = newestRun()
  const rows = barsOf(barLines({}, [1000, 4000, 10000])).map(({ name, asked }) => {
    const found = run?.bars.find(bar => bar.name === name && bar.asked === asked)
    const measured =
      found === undefined || found.verdict === 'not measured'
        ? '**not measured on an idle machine yet**'
        : found.verdict === 'met'
          ? `${found.measured}, ${run!.day}`
          : `**${found.measured}, ${run!.day}: falls short**`
    return `| ${name} | ${asked} | ${measured} |`
  })
  return ['| bar | asked | measured |', '|---|---|---|', ...rows].join('\n')
}

const WRITTEN = /(?<=<!-- speed -->\n)[\s\S]*(?=<!-- \/speed -->)/
if (process.env.UPDATE_ACCURACY)
  writeFileSync(
    PAGE,
    readFileSync(PAGE, 'utf8').replace(WRITTEN, () => `\n${speedTable()}\n\n`),
  )
const page = readFileSync(PAGE, 'utf8')

/** Everything in the page that is set as code. */
const codes = [...page.matchAll(/`([^`]+)`/g)].map(([, code]) => code!)

test('there is something to look at: each row but a few names what repeats it', () => {
  const rows = page.match(/^\| (?!promised|bar |---)[^\n]*\|$/gm) ?? []
  expect(rows.length).toBeGreaterThan(40)
  expect(codes.filter(code => /^(npm|npx|node) /.test(code)).length).toBeGreaterThan(30)
})

test('every file that is named exists', () => {
  const named = codes.flatMap(code => code.split(' ')).filter(word => /^(tests|packages|apps|fixtures)\//.test(word))
  expect(named.length).toBeGreaterThan(30)
  expect(named.filter(path => !existsSync(join(repositoryRoot, path)))).toEqual([])
})

test('every command that is named exists', () => {
  const { scripts } = JSON.parse(readFileSync(join(repositoryRoot, 'package.json'), 'utf8')) as { scripts: Record<string, string> }
  const parts = readFileSync(join(repositoryRoot, 'tests/long/run.mjs'), 'utf8')
  const wrong = codes.filter(code => {
    const [program, first, second, , ...rest] = code.split(' ')
    if (program === 'npm' && (first === 'test' || first === 'start')) return !(first in scripts)
    if (program === 'npm' && first === 'run')
      return !(second! in scripts) || (second === 'check:long' && rest.some(part => !new RegExp(`^  ${part}: \\{`, 'm').test(parts)))
    return program === 'npm'
  })
  expect(wrong).toEqual([])
  expect(codes.filter(code => code.startsWith('npm run check:long')).length).toBeGreaterThan(8)
})

test('the table of speed is that of the newest kept run', () => {
  expect(WRITTEN.exec(page)?.[0].trim(), 'UPDATE_ACCURACY=1 npx vitest run tests/package/accuracy.test.ts writes it anew').toBe(
    speedTable(),
  )
  expect(page).toContain(REPEAT)
})
