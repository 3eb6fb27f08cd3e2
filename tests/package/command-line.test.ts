// The README and the page of the command line name the commands and options that there are: no more, no fewer.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { COMMANDS } from '@soakline/cli'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'

const PAGE = 'packages/soakline/docs/command-line.md'
const read = (name: string): string => readFileSync(join(repositoryRoot, name), 'utf8')
const commandsOf = (text: string): string[] => [...text.matchAll(/npm run -s soakline -- (\w+)/g)].map(([, name]) => name!)
const optionsOf = (text: string): string[] => [...text.matchAll(/(?<!\w)--([a-z][\w-]*)/g)].map(([, name]) => name!)

const names = COMMANDS.map(({ name }) => name)
const options = new Set(COMMANDS.flatMap(command => Object.keys(command.options)))

test('the page has every command, in the order of the job', () => {
  expect([...new Set(commandsOf(read(PAGE)))]).toEqual(names)
})

test('the page has every option, and none that no command takes', () => {
  const said = new Set(optionsOf(read(PAGE)))
  expect([...options].filter(option => !said.has(option))).toEqual([])
  // What each command does with it, and `--sources` of `about`, stand in the command's own table; `--help` is asked of all.
  expect([...said].filter(option => !options.has(option) && option !== 'help')).toEqual([])
})

test('the README’s commands are there, with the options that it gives them', () => {
  const lines = read('README.md').match(/^npm run -s soakline -- .*$/gm) ?? []
  expect(lines.length).toBeGreaterThan(3)
  for (const line of lines) {
    const command = COMMANDS.find(({ name }) => name === commandsOf(line)[0])
    expect(command, line).toBeDefined()
    expect(
      optionsOf(line).filter(option => !Object.hasOwn(command!.options, option)),
      line,
    ).toEqual([])
  }
})
