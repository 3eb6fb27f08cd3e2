import { InputError, METRES_PER, MM_PER_INCH, type Warning } from 'soakline/foundation'
import { OWN_LAYER, OWN_REMARK, OWN_SYSTEM } from './dxf.js'
import type { LooseFeature } from './marked-features.js'

/** A drawing as it was read: places in the drawing's own unit, heights in metres. */
export interface DxfReading {
  readonly features: readonly LooseFeature[]
  /** Metres in one unit of the drawing; null where it does not say. */
  readonly unit_m: number | null
  /** The coordinate system that a drawing of ours names; null for any other. */
  readonly crs: string | null
  readonly warnings: readonly Warning[]
}

/** Lengths of `$INSUNITS`, in metres. Source: DXF reference, HEADER section, values of INSUNITS; from memory. */
const UNIT_m: Readonly<Record<number, number>> = {
  1: MM_PER_INCH / 1000,
  2: METRES_PER.ft,
  3: 5280 * METRES_PER.ft,
  4: 0.001,
  5: 0.01,
  6: 1,
  7: 1000,
  10: 3 * METRES_PER.ft,
  14: 0.1,
  15: 10,
  16: 100,
  21: METRES_PER.ftUS,
}

/** More than a drawing of a holding has. Judgement. */
const MOST_FEATURES = 200_000
/** First bytes of a drawing in binary: the format's own sentinel ends with these. Source: DXF reference, binary DXF files. */
const BINARY = 'Binary DXF\r\n\x1a\x00'
/** Kinds that write rather than draw. */
const LETTERING = ['TEXT', 'MTEXT', 'ATTRIB', 'ATTDEF', 'DIMENSION', 'LEADER', 'MLEADER', 'MULTILEADER', 'TOLERANCE']

/** Whether the bytes begin as a drawing does: a remark, or the beginning of a section. */
export function looksLikeDxf(bytes: Uint8Array): boolean {
  const head = latin(bytes.subarray(0, 2048))
  if (head.includes(BINARY)) return true
  // Line by line: one pattern for all of it takes seconds over two thousand line ends.
  const [code, value, next] = head
    .split(/[\r\n]/)
    .map(line => line.trim())
    .filter(line => line !== '')
  const isCode = (line: string | undefined): boolean => line === '0' || line === '999'
  // A remark, which may be empty, before the first section.
  return code === '0' ? value === 'SECTION' : code === '999' && (isCode(value) || isCode(next))
}

const latin = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes)

/**
 * Points, lines and outlines of a drawing: POINT, LINE, LWPOLYLINE, POLYLINE with their layers and heights.
 *
 * Shapes   a closed polyline comes as a polygon; arcs within polylines are followed by chords that turn less than 5°; a text that directly follows a
 *          point on its layer is the point's name, as our own drawings have it.
 * Units    places as drawn; heights in metres by `$INSUNITS`, left out where the drawing does not say its unit.
 * Laws     what is not taken (blocks, other kinds, tilted outlines, sheets of paper) is counted in a warning by its kind; no name becomes markup.
 * Throws   InputError `dxf/binary`, `dxf/broken`, `dxf/too-large`.
 * Source   DXF reference, releases 12 to 2018: group codes of the ENTITIES section; from memory.
 * @param given_m  metres in one unit as the user says it, before what the drawing says; default the drawing's own word
 */
export function readDxf(bytes: Uint8Array, given_m: number | null = null): DxfReading {
  if (latin(bytes.subarray(0, 64)).includes(BINARY))
    throw new InputError('dxf/binary', 'The drawing is a DXF in binary, which is not read here. Save it again as DXF in text (ASCII).', {})
  const groups = groupsOf(textOf(bytes))
  const { unit_m: own_m, layers, crs } = headOf(groups)
  const unit_m = given_m ?? own_m
  const left = new Map<string, number>()
  const features: LooseFeature[] = []
  /** The point before, on its layer, that has no name yet. */
  let bare: { readonly layer: string; readonly at: number } | null = null
  for (const entity of entitiesOf(groups)) {
    const text = bare === null ? null : nameAfter(entity, bare.layer)
    if (bare !== null && text !== null) {
      const point = features[bare.at]!
      features[bare.at] = { ...point, properties: new Map([...point.properties, ['name', text]]) }
      bare = null
      continue
    }
    bare = null
    const geometry = geometryOf(entity, unit_m)
    if (geometry === 'left-out') {
      left.set(entity.kind, (left.get(entity.kind) ?? 0) + 1)
      continue
    }
    if (features.length >= MOST_FEATURES)
      throw new InputError(
        'dxf/too-large',
        `The drawing holds more than ${MOST_FEATURES} shapes. Keep the layers that lie on the holding.`,
        {
          most: MOST_FEATURES,
        },
      )
    if (entity.kind === 'POINT') bare = { layer: entity.layer, at: features.length }
    features.push({ properties: propertiesOf(entity, geometry, layers), geometry })
  }
  return { features, unit_m, crs, warnings: [...unitWarnings(own_m, given_m), ...warningsOf(left, groups)] }
}

// — pairs

/** A group: its code, and its value as written. */
interface Group {
  readonly code: number
  readonly value: string
}

/** Text in the drawing's own writing: UTF-8 from release 2007 on, before it the code page of its header; from memory. */
function textOf(bytes: Uint8Array): string {
  const head = latin(bytes.subarray(0, 65_536))
  const release = /\$ACADVER\s+1\s+AC(\d{4})/.exec(head)?.[1]
  if (release !== undefined && Number(release) >= 1021) return new TextDecoder('utf-8').decode(bytes)
  const page = /\$DWGCODEPAGE\s+3\s+ANSI_(\d{3,4})/i.exec(head)?.[1]
  for (const label of page === undefined ? [] : [`windows-${page}`])
    try {
      return new TextDecoder(label).decode(bytes)
    } catch {
      // A code page that is not known here: only names are written in it.
    }
  // Nothing said: as UTF-8 where it is that, else Latin letters. Only names can differ.
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return new TextDecoder('windows-1252').decode(bytes)
  }
}

function groupsOf(text: string): Group[] {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/)
  const groups: Group[] = []
  for (let k = 0; k + 1 < lines.length; k += 2) {
    const written = lines[k]!.trim()
    if (written === '' && lines.slice(k).every(line => line.trim() === '')) break
    if (!/^-?\d{1,4}$/.test(written)) throw broken(`line ${k + 1} is no group code`, k + 1)
    groups.push({ code: Number(written), value: lines[k + 1]! })
    if (written === '0' && lines[k + 1]!.trim() === 'EOF') return groups
  }
  throw broken('it ends before its end mark (EOF)', lines.length)
}

const broken = (what: string, line?: number): InputError =>
  new InputError('dxf/broken', `The drawing cannot be read: ${what}. It may have been cut off on its way; save or fetch it again.`, {
    line,
  })

/** What the header and the remarks say. Our own drawings say in remarks that they are in metres, of which system, and what their layers are. */
function headOf(groups: readonly Group[]) {
  const remarks = groups.filter(({ code }) => code === 999).map(({ value }) => plainName(value))
  const after = (start: string): string[] => remarks.filter(remark => remark.startsWith(start)).map(remark => remark.slice(start.length))
  const own = after(OWN_REMARK).length > 0
  const layers = new Map(
    after(OWN_LAYER).flatMap(said => {
      const [layer, what, ...more] = said.split(' ')
      return layer !== undefined && what !== undefined && more.length === 0 ? [[layer, what] as const] : []
    }),
  )
  const at = groups.findIndex(({ code, value }) => code === 9 && value.trim() === '$INSUNITS')
  const said = at < 0 ? 0 : Number(groups[at + 1]?.value ?? 0)
  return {
    unit_m: UNIT_m[said] ?? (own ? 1 : null),
    layers: own ? layers : new Map<string, string>(),
    crs: own ? (after(OWN_SYSTEM)[0] ?? null) : null,
  }
}

// — entities

/** One entity of the drawing, with the vertices that follow it. */
interface Entity {
  readonly kind: string
  readonly layer: string
  readonly groups: readonly Group[]
  readonly vertices: readonly (readonly Group[])[]
}

/** The entities of the model; those on sheets of paper count as kind `PAPER`. */
function entitiesOf(groups: readonly Group[]): Entity[] {
  const entities: Entity[] = []
  const begin = groups.findIndex(
    ({ code, value }, k) =>
      code === 2 && value.trim() === 'ENTITIES' && groups[k - 1]?.code === 0 && groups[k - 1]!.value.trim() === 'SECTION',
  )
  if (begin < 0) return []
  let k = begin + 1
  /** The groups from here to the next that begins something. */
  const own = (): Group[] => {
    const from = k
    while (k < groups.length && groups[k]!.code !== 0) k++
    return groups.slice(from, k)
  }
  own()
  while (k < groups.length) {
    const kind = groups[k]!.value.trim()
    if (kind === 'ENDSEC' || kind === 'EOF') break
    k++
    const mine = own()
    const vertices: (readonly Group[])[] = []
    if (kind === 'POLYLINE' || numberOf(mine, 66) === 1)
      for (let next = groups[k]?.value.trim(); next === 'VERTEX' || next === 'ATTRIB'; next = groups[k]?.value.trim()) {
        k++
        const rest = own()
        if (next === 'VERTEX') vertices.push(rest)
      }
    if (groups[k]?.value.trim() === 'SEQEND') {
      k++
      own()
    }
    const layer = plainName(mine.find(({ code }) => code === 8)?.value ?? '')
    entities.push({ kind: numberOf(mine, 67) === 1 ? 'PAPER' : kind, layer, groups: mine, vertices })
  }
  return entities
}

/** The first value of a code as a number; 0 where it is not there. Throws InputError `dxf/broken`. */
function numberOf(groups: readonly Group[], code: number): number {
  const found = groups.find(group => group.code === code)
  if (found === undefined) return 0
  const value = found.value.trim() === '' ? Number.NaN : Number(found.value)
  if (!Number.isFinite(value)) throw broken(`"${found.value.slice(0, 30)}" stands where a number belongs`)
  return value
}

/** Names with the signs that older releases write as \U+XXXX. */
const plainName = (text: string): string =>
  text
    .trim()
    .replace(/\\U\+([0-9A-Fa-f]{4})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
    .slice(0, 200)

/** The words of a text that stands directly after a point on the same layer; null for anything else. */
function nameAfter({ kind, layer, groups }: Entity, wanted: string): string | null {
  if (kind !== 'TEXT' || layer !== wanted) return null
  const words = plainName(groups.find(({ code }) => code === 1)?.value ?? '')
  return words === '' ? null : words
}

function propertiesOf({ layer }: Entity, { coordinates }: Geometry, layers: ReadonlyMap<string, string>): Map<string, string | number> {
  const properties = new Map<string, string | number>()
  const what = layers.get(layer)
  if (layer !== '') properties.set('layer', layer)
  if (what !== undefined) properties.set('what', what)
  const heights = new Set(flatPlaces(coordinates).map(place => place[2]))
  const [height] = heights
  if (heights.size === 1 && height !== undefined) properties.set('elevation_m', height)
  return properties
}

// — shapes

type Place = readonly [number, number] | readonly [number, number, number]
interface Geometry {
  readonly type: 'Point' | 'LineString' | 'Polygon'
  readonly coordinates: Place | readonly Place[] | readonly (readonly Place[])[]
}

const flatPlaces = (coordinates: Geometry['coordinates']): Place[] =>
  typeof coordinates[0] === 'number'
    ? [coordinates as Place]
    : (coordinates as readonly (Place | readonly Place[])[]).flatMap(item =>
        typeof item[0] === 'number' ? [item as Place] : (item as readonly Place[]),
      )

function geometryOf(entity: Entity, unit_m: number | null): Geometry | 'left-out' {
  const { kind, groups, vertices } = entity
  const place = (x: number, y: number, z: number, has: boolean): Place => (has && unit_m !== null ? [x, y, z * unit_m] : [x, y])
  const at = (of: readonly Group[], digit: number): Place =>
    place(
      numberOf(of, 10 + digit),
      numberOf(of, 20 + digit),
      numberOf(of, 30 + digit),
      of.some(({ code }) => code === 30 + digit),
    )
  switch (kind) {
    case 'POINT':
      return { type: 'Point', coordinates: at(groups, 0) }
    case 'LINE':
      return outline([at(groups, 0), at(groups, 1)], false)
    case 'LWPOLYLINE': {
      const side = facing(groups)
      if (side === null) return 'left-out'
      const lies = groups.some(({ code }) => code === 38)
      const z = numberOf(groups, 38)
      const path: Bent[] = []
      for (const { code, value } of groups) {
        const number = Number(value)
        if (code === 10) path.push({ x: number, y: Number.NaN, bulge: 0 })
        else if (code === 20 && path.length > 0) path[path.length - 1]!.y = number
        else if (code === 42 && path.length > 0) path[path.length - 1]!.bulge = number
      }
      if (path.some(({ x, y, bulge }) => !Number.isFinite(x + y + bulge))) throw broken('a polyline has a place that is no number')
      const closed = numberOf(groups, 70) % 2 === 1
      return outline(
        chords(path, closed).map(([x, y]) => place(side * x, y, z, lies)),
        closed,
      )
    }
    case 'POLYLINE': {
      const flags = numberOf(groups, 70)
      const inSpace = (flags & 8) !== 0
      const side = facing(groups)
      // Meshes of many faces are surfaces; an outline that lies tilted in space has no place in plan.
      if ((flags & (16 | 64)) !== 0 || (!inSpace && side === null)) return 'left-out'
      const closed = flags % 2 === 1
      // Points that only steer a curve are no places on it.
      const real = vertices.filter(vertex => (numberOf(vertex, 70) & 16) === 0)
      if (inSpace)
        return outline(
          real.map(vertex => at(vertex, 0)),
          closed,
        )
      const z = numberOf(groups, 30)
      const lies = z !== 0 || groups.some(({ code }) => code === 38)
      const path = real.map(vertex => ({ x: numberOf(vertex, 10), y: numberOf(vertex, 20), bulge: numberOf(vertex, 42) }))
      return outline(
        chords(path, closed).map(([x, y]) => place(side! * x, y, z, lies)),
        closed,
      )
    }
    default:
      return 'left-out'
  }
}

/** 1 for an outline seen from above, −1 from below (then its x runs westward), null for a tilted one. Source: DXF reference, arbitrary axis algorithm. */
function facing(groups: readonly Group[]): 1 | -1 | null {
  const along = (code: number): number => numberOf(groups, code)
  if (!groups.some(({ code }) => code === 230)) return 1
  const [x, y, z] = [along(210), along(220), along(230)]
  if (Math.abs(x) > 1e-9 || Math.abs(y) > 1e-9) return null
  return z > 0 ? 1 : -1
}

/** A line, or the polygon that a closed one runs round. */
function outline(path: readonly Place[], closed: boolean): Geometry | 'left-out' {
  const places = path.filter((at, k) => k === 0 || !same(at, path[k - 1]!))
  if (closed && places.length > 3 && same(places[0]!, places[places.length - 1]!)) places.pop()
  if (closed && places.length >= 3) return { type: 'Polygon', coordinates: [[...places, places[0]!]] }
  return places.length >= 2 ? { type: 'LineString', coordinates: places } : 'left-out'
}

const same = (a: Place, b: Place): boolean => a[0] === b[0] && a[1] === b[1]

/** A vertex, and how the piece after it bends: the tangent of a quarter of its angle, positive to the left. */
interface Bent {
  x: number
  y: number
  bulge: number
}

/** Pieces that bend more are halved. tan(5°/4). */
const STRAIGHT = 0.02182

/** A polyline whose arcs are followed by chords. */
function chords(path: readonly Bent[], closed: boolean): [number, number][] {
  const out: [number, number][] = []
  for (const [k, { x, y, bulge }] of path.entries()) {
    out.push([x, y])
    const next = path[k + 1] ?? (closed ? path[0] : undefined)
    if (next && bulge !== 0) out.push(...between([x, y], [next.x, next.y], bulge, 12))
  }
  return out
}

/** Places on the arc between two others. Half of an angle whose quarter has the tangent b: b / (1 + √(1 + b²)). */
function between(a: readonly [number, number], b: readonly [number, number], bulge: number, most: number): [number, number][] {
  if (Math.abs(bulge) <= STRAIGHT || most === 0) return []
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]]
  const middle: [number, number] = [a[0] + dx / 2 + (bulge * dy) / 2, a[1] + dy / 2 - (bulge * dx) / 2]
  const half = bulge / (1 + Math.sqrt(1 + bulge * bulge))
  return [...between(a, middle, half, most - 1), middle, ...between(middle, b, half, most - 1)]
}

/** Drawing programs write a unit from their template that nobody chose: one that is no metre is told, and what it was read as instead. */
function unitWarnings(own_m: number | null, given_m: number | null): Warning[] {
  if (own_m === null || (own_m === 1 && given_m === null)) return []
  if (given_m === null) return [{ code: 'dxf/unit-taken', details: { unitLength_mm: 1000 * own_m } }]
  return given_m === own_m ? [] : [{ code: 'dxf/unit-overridden', details: { unitLength_mm: 1000 * own_m } }]
}

/** What was not taken, by what it is. */
function warningsOf(left: ReadonlyMap<string, number>, groups: readonly Group[]): Warning[] {
  const count = (kinds: readonly string[]): number => kinds.reduce((sum, kind) => sum + (left.get(kind) ?? 0), 0)
  const warnings: Warning[] = []
  const blocks = count(['INSERT'])
  const lettering = count(LETTERING)
  const paper = count(['PAPER'])
  const others = [...left.values()].reduce((sum, n) => sum + n, 0) - blocks - lettering - paper
  const names = [...left.keys()].filter(kind => kind !== 'INSERT' && kind !== 'PAPER' && !LETTERING.includes(kind))
  if (blocks > 0) warnings.push({ code: 'dxf/blocks-left-out', details: { blocks } })
  if (lettering > 0) warnings.push({ code: 'dxf/lettering-left-out', details: { texts: lettering } })
  if (paper > 0) warnings.push({ code: 'dxf/paper-left-out', details: { shapes: paper } })
  if (others > 0)
    warnings.push({
      code: 'dxf/others-left-out',
      details: {
        shapes: others,
        kinds: names
          .map(name => plainName(name).slice(0, 20))
          .slice(0, 8)
          .join(', '),
      },
    })
  if (!groups.some(({ code, value }) => code === 2 && value.trim() === 'ENTITIES')) warnings.push({ code: 'dxf/no-entities', details: {} })
  return warnings
}
