import { type LengthUnit, METRES_PER } from 'soakline/foundation'

/** What a definition says of heights. */
export interface VerticalSystem {
  readonly name: string
  readonly unit: LengthUnit | 'other'
  /** The unit's own words. */
  readonly unitText: string
}

/** A definition of places and heights, taken apart. */
export interface CompoundSystem {
  readonly horizontal: string
  /** Null where it is no part of the text, or cannot be read. */
  readonly vertical: VerticalSystem | null
}

/** Longer texts are no definitions. Judgement. */
const MOST_CHARACTERS = 100_000

/**
 * The part about places and the part about heights of a WKT definition: `COMPD_CS` and `COMPOUNDCRS`, or a system with a vertical one written behind it, as ESRI's
 * `.prj` files have it. Any other text is a horizontal system as it stands.
 *
 * Source  OGC 01-009 (2001), section 7; OGC 18-010r7 (WKT 2), section 16; the form with a comma is common practice, no source.
 */
export function takenApart(definition: string): CompoundSystem {
  const text = definition.trim()
  if (text.length > MOST_CHARACTERS) return { horizontal: definition, vertical: null }
  const inner = /^(COMPD_CS|COMPOUNDCRS)\s*\[([\s\S]*)\]$/i.exec(text)?.[2]
  const parts = partsOf(inner ?? text)
  const horizontal = parts.find(part =>
    /^(PROJCS|GEOGCS|LOCAL_CS|PROJCRS|PROJECTEDCRS|GEOGCRS|GEODCRS|GEOGRAPHICCRS|BOUNDCRS)\s*\[/i.test(part),
  )
  const vertical = parts.find(part => /^(VERT_CS|VERTCS|VERTCRS|VERTICALCRS)\s*\[/i.test(part))
  if (horizontal === undefined || (inner === undefined && vertical === undefined)) return { horizontal: definition, vertical: null }
  return { horizontal, vertical: vertical === undefined ? null : verticalOf(vertical) }
}

function verticalOf(part: string): VerticalSystem | null {
  const name = /\[\s*"([^"]{0,200})"/.exec(part)?.[1]
  // The last unit is the system's own; those before it belong to parameters.
  const unit = [...part.matchAll(/(?:LENGTH)?UNIT\s*\[\s*"([^"]{0,80})"\s*,\s*([0-9.eE+-]{1,30})/gi)].at(-1)
  if (name === undefined || unit === undefined) return null
  const metres = Number(unit[2])
  const known = (['m', 'ft', 'ftUS'] as const).find(candidate => Math.abs(metres / METRES_PER[candidate] - 1) < 1e-8)
  return { name, unit: known ?? 'other', unitText: unit[1]! }
}

/** The pieces of a list between its commas, brackets and quotes kept whole. */
function partsOf(list: string): string[] {
  const parts: string[] = []
  let [depth, quoted, from] = [0, false, 0]
  for (let at = 0; at <= list.length; at++) {
    const sign = list[at]
    if (sign === '"') quoted = !quoted
    else if (quoted) continue
    else if (sign === '[' || sign === '(') depth++
    else if (sign === ']' || sign === ')') depth--
    else if ((sign === ',' && depth === 0) || sign === undefined) {
      parts.push(list.slice(from, at).trim())
      from = at + 1
    }
  }
  return parts
}
