import type { Known } from 'soakline/foundation'

/** What a check may expect: one number, a row, a table, or several by name. */
export type Expected = number | readonly Expected[] | { readonly [name: string]: Expected }

/** A number known from outside, what it follows from, and which of our functions must give it. */
export interface ReferenceValue {
  readonly id: string
  readonly quantity: string
  readonly expected: Expected
  readonly unit: string
  /** Passing either is enough. */
  readonly tolerance: { readonly abs?: number; readonly rel?: number }
  readonly source: string
  readonly known: Known
  /** Our own answer, in the unit and form of `expected`. */
  readonly answer: () => Expected
}

/** Puts the inputs of a published value beside what is done with them. */
export function reference<I>(
  { inputs, ...facts }: Omit<ReferenceValue, 'answer'> & { readonly inputs: I },
  answer: (inputs: I) => Expected,
): ReferenceValue {
  return { ...facts, answer: () => answer(inputs) }
}

/** The numbers of an answer or expectation, each with its place in it. */
export function numbersOf(value: Expected, place = ''): readonly (readonly [place: string, value: number])[] {
  if (typeof value === 'number') return [[place, value]]
  return Object.entries(value).flatMap(([key, part]) => numbersOf(part, `${place}/${key}`))
}

/** Whether a number meets an expected one: within the absolute or the relative tolerance. */
export function meets(answer: number, expected: number, { abs = 0, rel = 0 }: ReferenceValue['tolerance']): boolean {
  const off = Math.abs(answer - expected)
  return off <= abs || off <= rel * Math.abs(expected)
}

/** The name of a value's test: what it is, and how it is known. */
export function testName({ id, quantity, source, known }: ReferenceValue): string {
  return `${id}: ${quantity} [${source}${known === 'from-memory' ? '; from memory' : known === 'derived' ? '; derived' : ''}]`
}
