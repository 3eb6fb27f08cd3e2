import { deflateRawSync } from 'node:zlib'
import { crc32 } from '../src/crc32.js'

/** A file to pack, and the lies to tell about it. */
export interface PackedFile {
  readonly name: string
  readonly content: Uint8Array | string
  readonly stored?: boolean
  /** What the directory says instead of the truth. */
  readonly bytes?: number
  readonly packed?: number
  readonly crc?: number
  readonly method?: number
  readonly flags?: number
  /** Takes the place of an earlier file in the archive. */
  readonly sharesWith?: number
}

/** An archive written field by field, so that each of them can lie. `entries` and `start` are what its end record says. */
export function buildZip(files: readonly PackedFile[], { entries, start }: { entries?: number; start?: number } = {}): ArrayBuffer {
  const parts: Uint8Array[] = []
  const directory: Uint8Array[] = []
  const offsets: number[] = []
  let at = 0
  for (const { name, content, stored = false, bytes, packed, crc, method, flags = 0x800, sharesWith } of files) {
    const plain = typeof content === 'string' ? new TextEncoder().encode(content) : content
    const body = stored ? plain : new Uint8Array(deflateRawSync(plain))
    const path = new TextEncoder().encode(name)
    const offset = sharesWith === undefined ? at : offsets[sharesWith]!
    const local = new DataView(new ArrayBuffer(30))
    local.setUint32(0, 0x04034b50, true)
    local.setUint16(26, path.length, true)
    if (sharesWith === undefined) {
      for (const part of [new Uint8Array(local.buffer), path, body]) {
        parts.push(part)
        at += part.length
      }
    }
    offsets.push(offset)
    const record = new DataView(new ArrayBuffer(46))
    record.setUint32(0, 0x02014b50, true)
    record.setUint16(8, flags, true)
    record.setUint16(10, method ?? (stored ? 0 : 8), true)
    record.setUint32(16, crc ?? crc32(plain), true)
    record.setUint32(20, packed ?? body.length, true)
    record.setUint32(24, bytes ?? plain.length, true)
    record.setUint16(28, path.length, true)
    record.setUint32(42, offset, true)
    directory.push(new Uint8Array(record.buffer), path)
  }
  const end = new DataView(new ArrayBuffer(22))
  end.setUint32(0, 0x06054b50, true)
  end.setUint16(8, entries ?? files.length, true)
  end.setUint16(10, entries ?? files.length, true)
  end.setUint32(
    12,
    directory.reduce((sum, part) => sum + part.length, 0),
    true,
  )
  end.setUint32(16, start ?? at, true)
  return concatenated([...parts, ...directory, new Uint8Array(end.buffer)])
}

export function concatenated(parts: readonly Uint8Array[]): ArrayBuffer {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    out.set(part, at)
    at += part.length
  }
  return out.buffer
}
