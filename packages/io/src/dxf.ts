import type { FieldDrawing } from './field-shapes.js'

/** Colours of the drawing programs' own table, by turns. */
const COLOURS = [7, 5, 3, 1, 30, 4, 6, 8] as const

/** Beginnings of the remarks by which a drawing of ours says what it is: in metres, of which system, and what each layer holds. */
export const OWN_REMARK = 'Soakline: '
/** See `OWN_REMARK`. */
export const OWN_SYSTEM = 'Soakline system: '
/** See `OWN_REMARK`. */
export const OWN_LAYER = 'Soakline layer: '

/** What `writeDxf` may be told besides. */
export interface DxfOptions {
  /** Coordinate system of the drawing, so that it is known when the drawing comes back; default none is said. */
  readonly crs?: string
  /** Height of the writing in the drawing's metres. Default 0.5. */
  readonly textHeight_m?: number
}

/**
 * Points with their names, lines and areas as a drawing of metres in the working system, each group on a layer of its own, heights as elevations.
 *
 * Units   metres, four decimals; layers without heights lie at 0.
 * Laws    names of layers keep to the signs that the oldest programs take; no name can end its line and become a command.
 * Source  DXF reference, release 12 (AC1009), from memory.
 */
export function writeDxf(
  { name, points = [], lines = [], areas = [] }: FieldDrawing,
  { crs, textHeight_m = 0.5 }: DxfOptions = {},
): string {
  const groups = [...new Set([...points, ...lines, ...areas].map(item => item.group ?? ''))]
  const layers = layerNames(groups)
  const layerOf = (group: string | undefined): string => layers.get(group ?? '')!
  const out: string[] = []
  const put = (code: number, value: string | number): void => {
    out.push(String(code).padStart(3), typeof value === 'number' ? String(value) : value)
  }
  const metres = (value: number): string => (Math.round(value * 1e4) / 1e4 + 0).toFixed(4)
  const xyz = ([x, y]: readonly [number, number], z: number | null | undefined): void => {
    put(10, metres(x))
    put(20, metres(y))
    put(30, metres(z === null || z === undefined || !Number.isFinite(z) ? 0 : z))
  }
  put(999, `${OWN_REMARK}${dxfText(name)}; metres`)
  if (crs !== undefined && crs.length <= MOST_TEXT) put(999, `${OWN_SYSTEM}${dxfText(crs)}`)
  for (const [layer, what] of new Map([...points, ...lines, ...areas].map(item => [layerOf(item.group), item.what])))
    if (what !== undefined) put(999, `${OWN_LAYER}${layer} ${what}`)
  const all = [...points.map(p => p.at), ...lines.flatMap(l => l.path), ...areas.flatMap(a => a.rings.flat())]
  put(0, 'SECTION')
  put(2, 'HEADER')
  put(9, '$ACADVER')
  put(1, 'AC1009')
  if (all.length > 0)
    for (const [key, pick] of [
      ['$EXTMIN', Math.min],
      ['$EXTMAX', Math.max],
    ] as const) {
      put(9, key)
      xyz([all.reduce((m, p) => pick(m, p[0]), all[0]![0]), all.reduce((m, p) => pick(m, p[1]), all[0]![1])], 0)
    }
  put(0, 'ENDSEC')
  put(0, 'SECTION')
  put(2, 'TABLES')
  put(0, 'TABLE')
  put(2, 'LTYPE')
  put(70, 1)
  put(0, 'LTYPE')
  put(2, 'CONTINUOUS')
  put(70, 0)
  put(3, 'Solid line')
  put(72, 65)
  put(73, 0)
  put(40, '0.0')
  put(0, 'ENDTAB')
  put(0, 'TABLE')
  put(2, 'LAYER')
  put(70, layers.size)
  for (const [k, layer] of [...layers.values()].entries()) {
    put(0, 'LAYER')
    put(2, layer)
    put(70, 0)
    put(62, COLOURS[k % COLOURS.length]!)
    put(6, 'CONTINUOUS')
  }
  put(0, 'ENDTAB')
  put(0, 'ENDSEC')
  put(0, 'SECTION')
  put(2, 'ENTITIES')
  for (const { at, height_m, name: label, group } of points) {
    put(0, 'POINT')
    put(8, layerOf(group))
    xyz(at, height_m)
    if (label === '') continue
    put(0, 'TEXT')
    put(8, layerOf(group))
    xyz([at[0] + textHeight_m / 2, at[1] + textHeight_m / 2], height_m)
    put(40, metres(textHeight_m))
    put(1, dxfText(label))
  }
  const polyline = (
    path: readonly (readonly [number, number])[],
    heights: readonly (number | null)[] | undefined,
    closed: boolean,
    layer: string,
  ): void => {
    if (path.length < 2) return
    put(0, 'POLYLINE')
    put(8, layer)
    put(66, 1)
    xyz([0, 0], 0)
    put(70, closed ? 9 : 8)
    const known = filled(heights)
    for (const [k, at] of path.entries()) {
      put(0, 'VERTEX')
      put(8, layer)
      xyz(at, known[k])
      put(70, 32)
    }
    put(0, 'SEQEND')
    put(8, layer)
  }
  for (const { path, heights_m, group } of lines) polyline(path, heights_m, false, layerOf(group))
  for (const { rings, group } of areas) for (const ring of rings) polyline(ring, undefined, true, layerOf(group))
  put(0, 'ENDSEC')
  put(0, 'EOF')
  return `${out.join('\r\n')}\r\n`
}

/** Heights with the gaps taken from the vertex before, at the beginning from the first that is known. */
function filled(heights: readonly (number | null)[] = []): (number | null)[] {
  let before = heights.find(z => z !== null && Number.isFinite(z)) ?? null
  return heights.map(z => {
    if (z !== null && Number.isFinite(z)) before = z
    return before
  })
}

/** One layer for each group: capitals, digits, - and _, at most 31 signs, no two alike. */
function layerNames(groups: readonly string[]): Map<string, string> {
  const taken = new Set<string>()
  return new Map(
    groups.map(group => {
      const plain = group
        .normalize('NFD')
        .replace(/[\u0300-\u036f]/g, '')
        .toUpperCase()
        .replace(/[^A-Z0-9_-]+/g, '_')
        .slice(0, 28)
      const base = plain === '' || plain === '_' ? '0' : plain
      let layer = base
      for (let k = 2; taken.has(layer); k++) layer = `${base}_${k}`
      taken.add(layer)
      return [group, layer]
    }),
  )
}

/** Letters of a text that old programs take, about. Judgement. */
const MOST_TEXT = 200

/** A text on one line, in the signs that release 12 knows; others as \U+XXXX. %% would begin a command of its own. */
function dxfText(text: string): string {
  let plain = ''
  for (let k = 0; k < Math.min(text.length, MOST_TEXT); k++) {
    const code = text.charCodeAt(k)
    plain +=
      code < 0x20 || (code >= 0x7f && code < 0xa0) ? ' ' : code < 0x7f ? text[k] : `\\U+${code.toString(16).toUpperCase().padStart(4, '0')}`
  }
  return plain.replaceAll('%%', '% %').trim()
}
