// Every command of the tutorials is run, and the lines that a tutorial shows of its answer are held against it, in their order.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { soakline } from '../helpers/command-line.js'
import { repositoryRoot } from '../helpers/repository.js'

const DOCS = join(repositoryRoot, 'packages/soakline/docs')
const COMMAND = 'npm run -s soakline -- '

interface Block {
  readonly kind: string
  readonly lines: readonly string[]
}

/** The fenced blocks of a document. */
const blocksOf = (text: string): Block[] =>
  [...text.matchAll(/^```(\w+)\n([\s\S]*?)^```$/gm)].map(([, kind = '', body = '']) => ({ kind, lines: body.trimEnd().split('\n') }))

/** Lines of the document that the output does not have, or not in this order. */
function missing(shown: readonly string[], output: string): string[] {
  const lines = output.split('\n')
  let from = 0
  return shown.filter(line => {
    if (line === '…') return false
    const at = lines.indexOf(line, from)
    if (at >= 0) from = at + 1
    return at < 0
  })
}

const home = process.cwd()
beforeAll(() => {
  const folder = mkdtempSync(join(tmpdir(), 'soakline-tutorial-'))
  for (const name of ['fixtures', 'node_modules']) symlinkSync(join(repositoryRoot, name), join(folder, name))
  mkdirSync(join(folder, 'out'))
  process.chdir(folder)
}, 300_000)
afterAll(() => process.chdir(home))

test.each(readdirSync(DOCS).filter(name => name.startsWith('tutorial-')))(
  '%s',
  async name => {
    let out = ''
    let error = ''
    let commands = 0
    for (const { kind, lines } of blocksOf(readFileSync(join(DOCS, name), 'utf8'))) {
      if (kind === 'sh') {
        out = error = ''
        for (const line of lines) {
          expect(line.startsWith(COMMAND), line).toBe(true)
          const ran = await soakline(...line.slice(COMMAND.length).split(' '))
          expect([0, 3, 4], line).toContain(ran.code)
          out += ran.out
          error += ran.error
          commands++
        }
      } else if (kind === 'js') await import(`data:text/javascript,${encodeURIComponent(lines.join('\n'))}`)
      else expect(missing(lines, kind === 'error' ? error : out)).toEqual([])
    }
    expect(commands).toBeGreaterThan(3)
  },
  300_000,
)
