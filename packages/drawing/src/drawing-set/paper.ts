/** A sheet of paper and how the set uses it. Units: mm. */
export interface Paper {
  readonly width_mm: number
  readonly height_mm: number
  /** Columns in which tables and text run. */
  readonly columns: 1 | 2
}

/** Papers of a drawing set: A3 lies, the others stand. Source: ISO 216, ANSI/ASME Y14.1. */
export const PAPERS = {
  A4: { width_mm: 210, height_mm: 297, columns: 1 },
  A3: { width_mm: 420, height_mm: 297, columns: 2 },
  Letter: { width_mm: 215.9, height_mm: 279.4, columns: 1 },
} as const satisfies Readonly<Record<string, Paper>>
/** A paper of `PAPERS`. */
export type PaperName = keyof typeof PAPERS
/** Papers that a drawing set is made for. */
export const PAPER_NAMES: readonly PaperName[] = ['A4', 'A3', 'Letter']

/** Rim of every page: common printers reach to 6 mm of the edge. */
export const RIM_mm = 12
/** Room for the sheet's title above, and for the title block below. */
export const HEAD_mm = 11
export const FOOT_mm = 27
const BETWEEN_mm = 3
/** The key stands in columns of at least this width; a line of it takes so much, and its sign so much of the line. */
export const KEY_COLUMN_mm = 56
/** Sizes of lettering. */
export const TEXT_mm = 3.05
export const TABLE_mm = 2.6
export const SMALL_mm = 2.45
/** Lettering of whom to ring: three lines of it stand where two are written by hand. */
export const RING_mm = 4.4
/** Between the two columns of a lying page. */
export const GUTTER_mm = 10

/** Room for what a page shows, and the width of one of its columns. */
export interface Room {
  readonly width_mm: number
  readonly height_mm: number
  readonly column_mm: number
}

export function roomOn({ width_mm, height_mm, columns }: Paper): Room {
  const inside_mm = width_mm - 2 * RIM_mm
  return {
    width_mm: inside_mm,
    height_mm: height_mm - 2 * RIM_mm - HEAD_mm - FOOT_mm - BETWEEN_mm,
    column_mm: (inside_mm - (columns - 1) * GUTTER_mm) / columns,
  }
}
