import type { Voice } from './voice.js'

/** What the sheet says of links to a view, in English. Spanish has the same keys, or does not compile. */
const english = {
  copy: 'Copy a link to this view',
  copied: 'The link is copied. It opens this view where the same ground is open; no coordinates and nothing of the plan stand in it.',
}

/** The words about links to a view. */
export type LinkWords = typeof english

const spanish: LinkWords = {
  copy: 'Copiar un enlace a esta vista',
  copied: 'El enlace está copiado. Abre esta vista donde esté abierto el mismo terreno; en él no hay coordenadas ni nada del plan.',
}

/** What the sheet says of links to a view. */
export const linkWords = ({ language }: Pick<Voice, 'language'>): LinkWords => (language === 'es' ? spanish : english)
