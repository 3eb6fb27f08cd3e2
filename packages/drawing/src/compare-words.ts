import type { ComparedBy, ComparedDesigns, ComparedSpill } from 'soakline/plan'
import { formatNumber, measuresOf } from './measures.js'
import { sayCheck, sayPathEnd, sayVerdict } from './sentences.js'
import type { SaidTable } from './sizing.js'
import type { Sentence } from './templates.js'
import type { Voice } from './voice.js'

// Two designs side by side.

const NAMES: Readonly<Record<ComparedBy, Sentence>> = {
  length: { en: 'Length', es: 'Largo' },
  catches: { en: 'Ground that drains in', es: 'Terreno que escurre' },
  holds: { en: 'Held until it spills', es: 'Guarda hasta rebalsar' },
  kept: { en: 'Kept of the storm', es: 'Queda de la tormenta' },
  sill: { en: 'Length of the sill', es: 'Largo del vertedero' },
  freeboard: { en: 'Least freeboard', es: 'Menor bordo libre' },
  empties: { en: 'Empty after', es: 'Vacía en' },
  earth: { en: 'Soil to dig', es: 'Tierra por cavar' },
  days: { en: 'Days of one person', es: 'Jornales' },
}

/** How B stands to A: with more, with less. */
const DIFFERENCES: Readonly<Record<ComparedBy, { readonly more: Sentence; readonly less: Sentence }>> = {
  length: {
    more: { en: 'B is longer: {b} against {a}.', es: 'B es más larga: {b} contra {a}.' },
    less: { en: 'B is shorter: {b} against {a}.', es: 'B es más corta: {b} contra {a}.' },
  },
  catches: {
    more: { en: 'More ground drains into B: {b} against {a}.', es: 'Hacia B escurre más terreno: {b} contra {a}.' },
    less: { en: 'Less ground drains into B: {b} against {a}.', es: 'Hacia B escurre menos terreno: {b} contra {a}.' },
  },
  holds: {
    more: { en: 'B holds more before it spills: {b} against {a}.', es: 'B guarda más antes de rebalsar: {b} contra {a}.' },
    less: { en: 'B holds less before it spills: {b} against {a}.', es: 'B guarda menos antes de rebalsar: {b} contra {a}.' },
  },
  kept: {
    more: { en: 'B keeps more of the storm: {b} against {a}.', es: 'B retiene más de la tormenta: {b} contra {a}.' },
    less: { en: 'B keeps less of the storm: {b} against {a}.', es: 'B retiene menos de la tormenta: {b} contra {a}.' },
  },
  sill: {
    more: { en: 'B needs a longer sill: {b} against {a}.', es: 'B pide un vertedero más largo: {b} contra {a}.' },
    less: { en: 'B needs a shorter sill: {b} against {a}.', es: 'B pide un vertedero más corto: {b} contra {a}.' },
  },
  freeboard: {
    more: {
      en: 'The berm of B stands higher above the water: {b} against {a}.',
      es: 'El camellón de B queda más alto sobre el agua: {b} contra {a}.',
    },
    less: {
      en: 'The berm of B stands less high above the water: {b} against {a}.',
      es: 'El camellón de B queda menos alto sobre el agua: {b} contra {a}.',
    },
  },
  empties: {
    more: { en: 'B takes longer to empty: {b} against {a}.', es: 'B tarda más en vaciarse: {b} contra {a}.' },
    less: { en: 'B empties sooner: {b} against {a}.', es: 'B se vacía antes: {b} contra {a}.' },
  },
  earth: {
    more: { en: 'B asks for more digging: {b} against {a}.', es: 'B pide cavar más: {b} contra {a}.' },
    less: { en: 'B asks for less digging: {b} against {a}.', es: 'B pide cavar menos: {b} contra {a}.' },
  },
  days: {
    more: { en: 'B takes more days of one person: {b} against {a}.', es: 'B toma más jornales: {b} contra {a}.' },
    less: { en: 'B takes fewer days of one person: {b} against {a}.', es: 'B toma menos jornales: {b} contra {a}.' },
  },
}

const WORDS = {
  columns: { en: 'By', es: 'En' },
  same: { en: 'The two are alike in all that is compared.', es: 'Las dos son iguales en todo lo comparado.' },
  known: { en: '{name}: A {a}, B {b}.', es: '{name}: A {a}, B {b}.' },
  spills: { en: 'The overflow of A {a}; that of B {b}.', es: 'El rebalse de A {a}; el de B {b}.' },
  spill: { en: 'runs {length} and {end}', es: 'corre {length} y {end}' },
  nowhere: { en: 'is not known', es: 'no se conoce' },
  reaches: { en: 'and reaches a building on its way', es: 'y llega a una construcción en su camino' },
  turned: { en: '{check}: A {a}, B {b}.', es: '{check}: A {a}, B {b}.' },
  open: {
    en: 'Checks that are not within limits: {a} for A, {b} for B.',
    es: 'Revisiones que no están dentro de lo aceptado: {a} en A, {b} en B.',
  },
} as const satisfies Readonly<Record<string, Sentence>>

/** A sentence with its gaps filled by what was said already. */
const fill = (sentence: Sentence, { language }: Voice, parts: Readonly<Record<string, string>>): string =>
  sentence[language].replace(/\{(\w+)\}/g, (_, key: string) => parts[key] ?? '')

function value(by: ComparedBy, of: number | null, voice: Voice): string {
  const m = measuresOf(voice)
  switch (by) {
    case 'length':
    case 'sill':
      return m.length(of)
    case 'freeboard':
      return m.height(of)
    case 'catches':
      return m.area(of)
    case 'holds':
    case 'kept':
      return m.volume(of)
    case 'empties':
      return m.duration(of)
    case 'earth':
      return m.earth(of)
    case 'days':
      return of === null ? m.number(of) : formatNumber(of, voice, of < 10 ? 1 : 0)
  }
}

function spill(of: ComparedSpill | null, voice: Voice): string {
  if (of === null) return WORDS.nowhere[voice.language]
  const m = measuresOf(voice)
  const way = fill(WORDS.spill, voice, { length: m.length(of.length_m), end: sayPathEnd(of.endsIn, voice) })
  return of.reachesBuilding ? `${way}, ${WORDS.reaches[voice.language]}` : way
}

/** How far two numbers must lie apart to be told: this part of the larger. Source: judgement. */
const TELLING = 0.02

/** What a comparison of two designs says: a table, and the differences in sentences. */
export interface SaidComparison {
  readonly table: SaidTable
  readonly sentences: readonly string[]
  /** Checks that come out differently. */
  readonly turned: readonly string[]
}

/** Two designs in words. */
export function sayComparison({ rows, spills, verdicts, open }: ComparedDesigns, voice: Voice): SaidComparison {
  const differ = rows.filter(({ a, b }) =>
    a === null || b === null ? a !== b : Math.abs(a - b) > TELLING * Math.max(Math.abs(a), Math.abs(b)),
  )
  const spillsDiffer = spill(spills.a, voice) !== spill(spills.b, voice)
  const sentences = [
    ...differ.map(({ by, a, b }) => {
      const sentence = a === null || b === null ? WORDS.known : DIFFERENCES[by][b > a ? 'more' : 'less']
      return fill(sentence, voice, { name: NAMES[by][voice.language], a: value(by, a, voice), b: value(by, b, voice) })
    }),
    ...(spillsDiffer ? [fill(WORDS.spills, voice, { a: spill(spills.a, voice), b: spill(spills.b, voice) })] : []),
  ]
  return {
    table: {
      caption: '',
      head: [WORDS.columns[voice.language], 'A', 'B'],
      rows: rows.map(({ by, a, b }) => [NAMES[by][voice.language], value(by, a, voice), value(by, b, voice)]),
      numeric: true,
    },
    sentences: sentences.length === 0 && verdicts.length === 0 ? [WORDS.same[voice.language]] : sentences,
    turned: [
      ...verdicts.map(({ check, planned, built }) =>
        fill(WORDS.turned, voice, { check: sayCheck(check, voice), a: sayVerdict(planned, voice), b: sayVerdict(built, voice) }),
      ),
      fill(WORDS.open, voice, { a: String(open.a), b: String(open.b) }),
    ],
  }
}
