import type { OutputFile } from './files.js'
import type { Talk } from './ground.js'
import type { Arguments, OptionTable } from './usage.js'

/** What a command answers: nothing is written until all of it is known. */
export interface Answer {
  readonly folder: string
  readonly files: readonly OutputFile[]
  /** The command's main JSON document. */
  readonly main: unknown
  /** Lines for people. */
  readonly summary: readonly string[]
  readonly exitCode: 0 | 4
}

/** A command is a value. */
export interface Command {
  readonly name: string
  readonly usage: string
  readonly options: OptionTable
  readonly run: (args: Arguments, talk: Talk) => Promise<Answer>
}
