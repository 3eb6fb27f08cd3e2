import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { run } from '@soakline/cli'

/** What a command line left behind. */
export interface Ran {
  readonly code: number
  readonly out: string
  readonly error: string
  readonly folder: string
  readonly json: (name: string) => Record<string, never>
  readonly text: (name: string) => string
}

export const newFolder = (): string => mkdtempSync(join(tmpdir(), 'soakline-'))

/** Runs a command line in this process, its answer in a new folder of its own unless the words name one. */
export async function soakline(...words: string[]): Promise<Ran> {
  const named = words.indexOf('--out')
  const folder = named >= 0 ? words[named + 1]! : newFolder()
  let out = ''
  let error = ''
  const code = await run(named >= 0 ? words : [...words, '--out', folder], {
    out: text => {
      out += text
    },
    error: text => {
      error += text
    },
  })
  const text = (name: string): string => readFileSync(join(folder, name), 'utf8')
  return { code, out, error, folder, text, json: name => JSON.parse(text(name)) }
}

/** Words for "assess": no terrains are tried with other heights, which takes most of its time and which few tests ask about. */
export function noTerrainsTried(): string[] {
  const file = join(newFolder(), 'settings.json')
  writeFileSync(file, '{"triedTerrains": 0}')
  return ['--settings', file]
}
