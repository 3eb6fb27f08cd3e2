/** A wrong use of the command line: told with a hint, exit code 2. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
}

/** The options of a command: name → what its value is called, or null for a flag. */
export type OptionTable = Readonly<Record<string, string | null>>

/** Options of every command that may ask a server: which hosts it may ask, and where their answers are kept. */
export const NETWORK_OPTIONS: OptionTable = { allow: 'HOST,…', keep: 'DIR' }

/** Options that every command on a raster takes. */
export const GROUND_OPTIONS: OptionTable = {
  out: 'DIR',
  crs: 'EPSG:n|local',
  'crs-near': 'LON,LAT',
  'crs-points': 'X,Y=LON,LAT;X,Y=LON,LAT',
  'elevation-unit': 'm|ft|ftUS',
  nodata: 'V',
  band: 'N',
  member: 'NAME',
  join: null,
  colours: 'terrarium|terrain-rgb|BASE,STEP',
  tile: 'ZOOM/X/Y',
  window: 'WEST,SOUTH,EAST,NORTH',
  'window-xy': 'WEST,SOUTH,EAST,NORTH',
  ...NETWORK_OPTIONS,
  'fill-gaps': 'M2',
  language: 'en|es',
  units: 'metric|us',
  json: null,
}

/** What was typed, told apart. */
export interface Arguments {
  readonly operands: readonly string[]
  readonly options: ReadonlyMap<string, string>
  readonly flags: ReadonlySet<string>
}

/**
 * Tells operands from options. `--name value` and `--name=value` are the same; a value may begin with `-`.
 *
 * Throws  UsageError for an unknown option, a missing value, an option given twice.
 */
export function parseArguments(words: readonly string[], table: OptionTable): Arguments {
  const operands: string[] = []
  const options = new Map<string, string>()
  const flags = new Set<string>()
  for (let k = 0; k < words.length; k++) {
    const word = words[k]!
    if (!word.startsWith('--')) {
      operands.push(word)
      continue
    }
    const cut = word.indexOf('=')
    const name = cut < 0 ? word.slice(2) : word.slice(2, cut)
    if (!Object.hasOwn(table, name))
      throw new UsageError(
        `There is no option --${name} here. The options are: ${Object.keys(table)
          .map(o => `--${o}`)
          .join(' ')}.`,
      )
    const value = table[name]
    if (value === null) {
      if (cut >= 0) throw new UsageError(`--${name} takes no value.`)
      flags.add(name)
      continue
    }
    if (options.has(name)) throw new UsageError(`--${name} is given twice.`)
    const text = cut >= 0 ? word.slice(cut + 1) : words[++k]
    if (text === undefined) throw new UsageError(`--${name} needs a value: --${name} ${value}.`)
    options.set(name, text)
  }
  return { operands, options, flags }
}

/** A number from an option. Throws UsageError. */
export function numberOption(args: Arguments, name: string, low: number, high: number): number | undefined {
  const text = args.options.get(name)
  if (text === undefined) return undefined
  const value = Number(text)
  if (text.trim() === '' || !(value >= low && value <= high))
    throw new UsageError(`--${name} must be a number from ${low} to ${high}; it is "${text}".`)
  return value
}

/** One of several words from an option. Throws UsageError. */
export function wordOption<W extends string>(args: Arguments, name: string, words: readonly W[]): W | undefined {
  const text = args.options.get(name)
  if (text === undefined) return undefined
  if (!(words as readonly string[]).includes(text)) throw new UsageError(`--${name} must be one of ${words.join(', ')}; it is "${text}".`)
  return text as W
}

/** A pair of numbers such as `-93.92,46.51`. Throws UsageError. */
export function pairOption(args: Arguments, name: string): [number, number] | undefined {
  const text = args.options.get(name)
  if (text === undefined) return undefined
  const parts = text.split(',').map(part => (part.trim() === '' ? Number.NaN : Number(part)))
  if (parts.length !== 2 || !parts.every(Number.isFinite))
    throw new UsageError(`--${name} needs two numbers with a comma between them, such as --${name} -93.921,46.506; it is "${text}".`)
  return [parts[0]!, parts[1]!]
}
