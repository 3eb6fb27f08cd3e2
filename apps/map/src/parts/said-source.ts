import { type Voice, wordsOf } from '@soakline/drawing'

/** A source as the library gives it, its common endings said in the reader's language. */
export function saidSource(source: string, voice: Voice): string {
  let said = source
  for (const [phrase, word] of Object.entries(wordsOf(voice).sourceWord)) said = said.replaceAll(phrase, word)
  return said
}
