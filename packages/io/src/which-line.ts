import { InputError } from 'soakline/foundation'

/** A line of a file, by what tells it from the others in it. */
export interface TellableLine {
  readonly name: string
  /** What a file of ours says that it is. */
  readonly what?: string | undefined
}

/** Most names that a refusal carries. */
const MOST_NAMES = 40

/**
 * Which of a file's lines is the swale: the one that is asked for by its name, or by its number in the file from 1; else the only one; else the only one
 * that says itself that it is the line, as our own files do.
 *
 * Throws  InputError `line/several` and `line/no-such-line`: questions; `details.names` holds the names in their order, '' for a line without.
 */
export function whichLine<L extends TellableLine>(lines: readonly L[], wanted?: string): L {
  const names = lines.slice(0, MOST_NAMES).map(({ name }) => name.slice(0, 60))
  if (wanted !== undefined) {
    const named = lines.filter(({ name }) => name.trim() === wanted.trim())
    const numbered = /^\d{1,6}$/.test(wanted.trim()) ? lines[Number(wanted) - 1] : undefined
    const found = named.length === 1 ? named[0] : named.length === 0 ? numbered : undefined
    if (found !== undefined) return found
    throw new InputError(
      'line/no-such-line',
      `The file holds ${named.length > 1 ? `${named.length} lines` : 'no line'} of the name "${wanted.slice(0, 60)}". Its lines are ${numberedNames(names)}. Give one of these names, or a number.`,
      { names, lines: lines.length },
    )
  }
  const own = lines.filter(({ what }) => what === 'line')
  if (lines.length === 1) return lines[0]!
  if (own.length === 1) return own[0]!
  throw new InputError(
    'line/several',
    `The file holds ${lines.length} lines (${numberedNames(names)}); which one is meant is not clear. Say which with --line-name, or export the one line.`,
    { names, lines: lines.length },
  )
}

const numberedNames = (names: readonly string[]): string =>
  names
    .slice(0, 12)
    .map((name, k) => `${k + 1} ${name === '' ? '–' : name}`)
    .join(', ')
