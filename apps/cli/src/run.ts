import { sayRefusal, type Voice } from '@soakline/drawing'
import { InputError, type Warning } from 'soakline/foundation'
import type { Command } from './command.js'
import { about } from './commands/about.js'
import { assessCommand } from './commands/assess.js'
import { bring } from './commands/bring.js'
import { catchment } from './commands/catchment.js'
import { level } from './commands/level.js'
import { care, digging, planting, stakes } from './commands/on-the-ground.js'
import { path } from './commands/path.js'
import { suggest } from './commands/suggest.js'
import { terrain } from './commands/terrain.js'
import { jsonText, writeFiles } from './files.js'
import { voiceOf, warningLine } from './ground.js'
import { networkOf } from './network.js'
import { parseArguments, UsageError } from './usage.js'

/** Every command, in the order of the job. */
export const COMMANDS: readonly Command[] = [
  about,
  bring,
  terrain,
  level,
  catchment,
  path,
  suggest,
  assessCommand,
  stakes,
  digging,
  planting,
  care,
]

/** Where a run writes. */
export interface Streams {
  readonly out: (text: string) => void
  readonly error: (text: string) => void
}

/** Exit codes: 0 answered; 4 answered and a finding fails; 2 bad usage; 3 an input was refused; 1 internal error. */
export type ExitCode = 0 | 1 | 2 | 3 | 4

/** Runs one command line. Standard output carries the answer alone; remarks and refusals go to standard error, a line each. */
export async function run(words: readonly string[], { out, error }: Streams): Promise<ExitCode> {
  const [name, ...rest] = words
  if (name === undefined || name === 'help' || name === '--help') {
    ;(name === undefined ? error : out)(helpText())
    return name === undefined ? 2 : 0
  }
  const command = COMMANDS.find(c => c.name === name)
  let voice: Voice = { language: 'en', units: 'metric' }
  try {
    if (!command) throw new UsageError(`There is no command "${name}".`)
    if (rest.includes('--help')) {
      out(`${command.usage}\n`)
      return 0
    }
    const args = parseArguments(rest, command.options)
    voice = voiceOf(args)
    // Remarks are told with the answer: a refusal is the one line on standard error.
    const warnings: Warning[] = []
    const answer = await command.run(args, { voice, warn: warning => warnings.push(warning), network: networkOf(args) })
    await writeFiles(answer.folder, answer.files)
    for (const warning of warnings) error(`${oneLine(warningLine(warning, voice))}\n`)
    out(args.flags.has('json') ? jsonText(answer.main) : `${answer.summary.join('\n')}\n`)
    return answer.exitCode
  } catch (problem) {
    if (problem instanceof UsageError) {
      error(`${oneLine(problem.message)}\n${command ? `usage: ${command.usage}` : helpText()}\n`)
      return 2
    }
    if (problem instanceof InputError) {
      // The refusal's own message is English; the dictionary says it in other languages.
      const said = voice.language === 'en' ? null : sayRefusal(problem, voice)
      error(`${problem.code}: ${oneLine(said ?? problem.message)}\n`)
      return 3
    }
    error(`internal error: ${problem instanceof Error ? (problem.stack ?? problem.message) : String(problem)}\n`)
    return 1
  }
}

const oneLine = (text: string): string => text.replace(/\s*\n\s*/g, ' ')

const helpText = (): string => `usage: soakline COMMAND …\n${COMMANDS.map(c => `  ${c.usage}`).join('\n')}\n`
