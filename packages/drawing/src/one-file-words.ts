import type { Voice } from './voice.js'

/** What the sheet says of the one file that a plan is saved into, in English. Spanish has the same keys, or does not compile. */
const english = {
  choose: 'Save into one file from now on…',
  chooseHint: 'You choose the file once; saving then writes into it again, with no further question.',
  into: (name: string) => `Saving writes into ${name}.`,
  leave: 'No longer into this file',
  written: (name: string) => `Saved into ${name}.`,
}

/** The words about the one file that a plan is saved into. */
export type OneFileWords = typeof english

const spanish: OneFileWords = {
  choose: 'Guardar desde ahora en un mismo archivo…',
  chooseHint: 'El archivo se elige una vez; guardar escribe después en él, sin más preguntas.',
  into: name => `Guardar escribe en ${name}.`,
  leave: 'Ya no en este archivo',
  written: name => `Guardado en ${name}.`,
}

/** What the sheet says of the one file that a plan is saved into. */
export const oneFileWords = ({ language }: Pick<Voice, 'language'>): OneFileWords => (language === 'es' ? spanish : english)
