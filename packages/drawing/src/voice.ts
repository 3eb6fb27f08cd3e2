/** The languages that Soakline speaks. */
export const LANGUAGES = ['en', 'es'] as const
/** A language of `LANGUAGES`. */
export type Language = (typeof LANGUAGES)[number]

/** Systems of units to choose from. */
export const UNIT_SYSTEMS = ['metric', 'us'] as const
/** A system of `UNIT_SYSTEMS`. */
export type UnitSystem = (typeof UNIT_SYSTEMS)[number]

/** How to speak to this reader. */
export interface Voice {
  readonly language: Language
  readonly units: UnitSystem
  /** BCP 47 tag for the look of numbers, e.g. `es-MX` for a decimal point; default the language alone, so Spanish has the decimal comma. */
  readonly locale?: string | undefined
}

/** What stands in the reader's language. A language that lacks its words here does not compile. */
export const inLanguage = <T>({ language }: Pick<Voice, 'language'>, words: Readonly<Record<Language, T>>): T => words[language]

/** The tag that numbers are written by. A tag that no engine can read gives way to the language. */
export function numberLocale(voice: Voice): string {
  const plain = voice.language
  if (voice.locale === undefined) return plain
  try {
    return Intl.NumberFormat.supportedLocalesOf([voice.locale]).length > 0 ? voice.locale : plain
  } catch {
    return plain
  }
}
