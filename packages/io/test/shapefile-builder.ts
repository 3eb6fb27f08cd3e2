import { concatenated } from './zip-builder.js'

/** One record: its kind of shape and its parts; `lies` replaces the number of points that it says. */
export interface Record_ {
  readonly kind: number
  readonly parts: readonly (readonly (readonly [number, number])[])[]
  readonly saysPoints?: number
  readonly saysParts?: number
  /** Bytes of content that the record's head says, in place of the truth. */
  readonly saysBytes?: number
}

/** The main file of a shapefile, field by field. `saysBytes` is what its head says of its size. */
export function buildShp(records: readonly Record_[], { saysBytes, code = 9994 }: { saysBytes?: number; code?: number } = {}): Uint8Array {
  const bodies = records.map(({ kind, parts, saysPoints, saysParts, saysBytes: says }, k) => {
    const points = parts.flat()
    const base = kind === 31 ? 3 : kind % 10
    const size =
      kind === 0
        ? 4
        : kind === 31
          ? 44 + parts.length * 4 + points.length * 16
          : base === 1
            ? 20
            : base === 8
              ? 40 + points.length * 16
              : 44 + parts.length * 4 + points.length * 16
    const view = new DataView(new ArrayBuffer(8 + size))
    view.setInt32(0, k + 1)
    view.setInt32(4, (says ?? size) / 2)
    view.setInt32(8, kind, true)
    let at = 12
    if (kind !== 0 && base !== 1) {
      at += 32
      if (base !== 8) {
        view.setInt32(at, saysParts ?? parts.length, true)
        at += 4
      }
      view.setInt32(at, saysPoints ?? points.length, true)
      at += 4
      let first = 0
      if (base !== 8)
        for (const part of parts) {
          view.setInt32(at, first, true)
          first += part.length
          at += 4
        }
    }
    if (kind !== 0)
      for (const [x, y] of points) {
        view.setFloat64(at, x, true)
        view.setFloat64(at + 8, y, true)
        at += 16
      }
    return new Uint8Array(view.buffer)
  })
  const head = new DataView(new ArrayBuffer(100))
  const size = 100 + bodies.reduce((sum, body) => sum + body.length, 0)
  head.setInt32(0, code)
  head.setInt32(24, (saysBytes ?? size) / 2)
  head.setInt32(28, 1000, true)
  head.setInt32(32, records[0]?.kind ?? 0, true)
  return new Uint8Array(concatenated([new Uint8Array(head.buffer), ...bodies]))
}

/** A table of text columns of 20 bytes, or numbers (`N`); rows with `null` are marked as deleted. */
export function buildDbf(
  columns: readonly (readonly [name: string, kind: string])[],
  rows: readonly (readonly string[] | null)[],
  encode = (text: string): Uint8Array => new TextEncoder().encode(text),
): Uint8Array {
  const length = 1 + columns.length * 20
  const headLength = 33 + columns.length * 32
  const out = new Uint8Array(headLength + rows.length * length).fill(0x20)
  const view = new DataView(out.buffer)
  out.fill(0, 0, headLength)
  out[0] = 3
  view.setUint32(4, rows.length, true)
  view.setUint16(8, headLength, true)
  view.setUint16(10, length, true)
  columns.forEach(([name, kind], k) => {
    out.set(encode(name).subarray(0, 10), 32 + k * 32)
    out[32 + k * 32 + 11] = kind.charCodeAt(0)
    out[32 + k * 32 + 16] = 20
  })
  out[headLength - 1] = 0x0d
  rows.forEach((row, k) => {
    const from = headLength + k * length
    if (row === null) out[from] = 0x2a
    for (const [n, text] of (row ?? []).entries()) out.set(encode(text).subarray(0, 20), from + 1 + n * 20)
  })
  return out
}
