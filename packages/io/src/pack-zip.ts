import { crc32 } from './crc32.js'

/** A file to put into an archive. */
export interface FileToPack {
  readonly name: string
  readonly bytes: Uint8Array
}

/**
 * Files as one archive, not packed any tighter: several tiles become one file that can be kept, asked about and read again.
 *
 * Laws    `openZip` gives the files back, in their order. Names that stand twice are told apart by a number before them.
 * Source  PKWARE, APPNOTE.TXT 6.3, section 4.3; from memory. Sizes must stay under 4 GB.
 */
export function packZip(files: readonly FileToPack[]): Uint8Array<ArrayBuffer> {
  const names = files.map(({ name }, k) => (files.findIndex(other => other.name === name) === k ? name : `${k + 1} ${name}`))
  const paths = names.map(name => new TextEncoder().encode(name))
  const body = files.reduce((sum, { bytes }, k) => sum + 30 + paths[k]!.length + bytes.length, 0)
  const directory = paths.reduce((sum, path) => sum + 46 + path.length, 0)
  const out = new Uint8Array(body + directory + 22)
  const view = new DataView(out.buffer)
  let [at, listed] = [0, body]
  files.forEach(({ bytes }, k) => {
    const path = paths[k]!
    const sum = crc32(bytes)
    // Version 2.0, names in UTF-8, stored; the fields of both heads stand in the same order from there on.
    const head = (from: number): void => {
      view.setUint16(from, 20, true)
      view.setUint16(from + 2, 0x800, true)
      view.setUint32(from + 10, sum, true)
      view.setUint32(from + 14, bytes.length, true)
      view.setUint32(from + 18, bytes.length, true)
      view.setUint16(from + 22, path.length, true)
    }
    view.setUint32(listed, 0x02014b50, true)
    head(listed + 6)
    view.setUint32(listed + 42, at, true)
    out.set(path, listed + 46)
    listed += 46 + path.length
    view.setUint32(at, 0x04034b50, true)
    head(at + 4)
    out.set(path, at + 30)
    out.set(bytes, at + 30 + path.length)
    at += 30 + path.length + bytes.length
  })
  view.setUint32(listed, 0x06054b50, true)
  view.setUint16(listed + 8, files.length, true)
  view.setUint16(listed + 10, files.length, true)
  view.setUint32(listed + 12, directory, true)
  view.setUint32(listed + 16, body, true)
  return out
}
