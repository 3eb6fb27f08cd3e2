import { InputError } from 'soakline/foundation'
import { crc32 } from './crc32.js'
import { inflate, MAX_INFLATION } from './inflate.js'

/** A file in an archive. */
export interface ZipMember {
  /** Its path as the archive writes it: a text to show and compare, never a place to write to. */
  readonly name: string
  readonly bytes: number
  /** Unpacks it. Throws InputError `archive/damaged`, `archive/unknown-packing`, `archive/locked`, `archive/too-large`. */
  read(signal?: AbortSignal): Promise<Uint8Array<ArrayBuffer>>
}

/** More files than a layer or a set of tiles has. Judgement. */
const MAX_MEMBERS = 4096
/** The most that is unpacked of one archive, all its files counted. Judgement. */
const MAX_BYTES = 2 ** 30
const [END, DIRECTORY, LOCAL] = [0x06054b50, 0x02014b50, 0x04034b50]
const END_BYTES = 22

/** True for the first bytes of an archive that holds something. */
export const looksLikeZip = (bytes: Uint8Array): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4

/**
 * The files of an archive, from its directory; folders are left out. Nothing is unpacked before it is asked for.
 *
 * Limits   at most 4096 entries and 1 GiB unpacked, counted over everything that is read; no entry promises more than DEFLATE can give, no two share bytes.
 * Throws   InputError `archive/damaged`, `archive/too-many-files`, `archive/too-large`, `archive/overlapping`, `archive/unknown-packing`.
 * Source   PKWARE, APPNOTE.TXT 6.3 (ZIP file format), sections 4.3 and 4.4; from memory.
 */
export function openZip(archive: Uint8Array): ZipMember[] {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength)
  const end = endOf(archive, view)
  const count = view.getUint16(end + 10, true)
  const start = view.getUint32(end + 16, true)
  if (count === 0xffff || start === 0xffffffff)
    throw new InputError(
      'archive/unknown-packing',
      'The archive is of the kind for more than 4 GB (ZIP64), which is not read here. Unpack it and give the file in it.',
      { method: 'ZIP64' },
    )
  if (count > MAX_MEMBERS)
    throw new InputError(
      'archive/too-many-files',
      `The archive holds ${count} files, more than ${MAX_MEMBERS}. Unpack it and give the one that is meant.`,
      {
        files: count,
      },
    )
  const entries: Entry[] = []
  let at = start
  for (let k = 0; k < count; k++) {
    if (at + 46 > end || view.getUint32(at, true) !== DIRECTORY) throw damaged('its directory is broken')
    const [nameLength, extra, comment] = [view.getUint16(at + 28, true), view.getUint16(at + 30, true), view.getUint16(at + 32, true)]
    if (at + 46 + nameLength > end) throw damaged('its directory is broken')
    const flags = view.getUint16(at + 8, true)
    const name = decoded(archive.subarray(at + 46, at + 46 + nameLength), (flags & 0x800) !== 0)
    const entry: Entry = {
      name,
      locked: (flags & 0x2041) !== 0,
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packed: view.getUint32(at + 20, true),
      bytes: view.getUint32(at + 24, true),
      offset: view.getUint32(at + 42, true),
    }
    at += 46 + nameLength + extra + comment
    if (entry.bytes > entry.packed * MAX_INFLATION + 64) throw damaged(`"${shown(name)}" promises more than it can hold`)
    if (entry.offset + 30 + entry.packed > archive.length) throw damaged(`"${shown(name)}" is cut off`)
    entries.push(entry)
  }
  refuseShared(entries)
  const budget = { bytes: MAX_BYTES }
  return entries
    .filter(({ name }) => !name.endsWith('/') && !/(^|[\\/])(__MACOSX[\\/]|\.(?!\.?[\\/]))/.test(name))
    .map(entry => ({ name: entry.name, bytes: entry.bytes, read: signal => unpack(archive, view, entry, budget, signal) }))
}

interface Entry {
  readonly name: string
  readonly locked: boolean
  readonly method: number
  readonly crc: number
  readonly packed: number
  readonly bytes: number
  readonly offset: number
}

/** Where the end record lies; it may be followed by a comment of 65,535 bytes. */
function endOf(archive: Uint8Array, view: DataView): number {
  for (let at = archive.length - END_BYTES; at >= 0 && at >= archive.length - END_BYTES - 0xffff; at--) {
    if (view.getUint32(at, true) === END && at + END_BYTES + view.getUint16(at + 20, true) <= archive.length) return at
  }
  throw damaged('it has no directory at its end, so it was probably cut off')
}

/** Entries that share packed bytes are how a small archive unpacks to a huge one. */
function refuseShared(entries: readonly Entry[]): void {
  const sorted = [...entries].sort((a, b) => a.offset - b.offset)
  for (let k = 1; k < sorted.length; k++) {
    const before = sorted[k - 1]!
    if (before.offset + 30 + before.packed > sorted[k]!.offset)
      throw new InputError(
        'archive/overlapping',
        `"${shown(before.name)}" and "${shown(sorted[k]!.name)}" in the archive share the same bytes, as no packing program writes it. The archive is damaged or hostile; do not use it.`,
        { first: shown(before.name), second: shown(sorted[k]!.name) },
      )
  }
}

async function unpack(
  archive: Uint8Array,
  view: DataView,
  { name, locked, method, crc, packed, bytes, offset }: Entry,
  budget: { bytes: number },
  signal: AbortSignal | undefined,
): Promise<Uint8Array<ArrayBuffer>> {
  if (locked)
    throw new InputError('archive/locked', `"${shown(name)}" in the archive is locked by a password. Unpack it and give the file itself.`, {
      file: shown(name),
    })
  if (method !== 0 && method !== 8)
    throw new InputError(
      'archive/unknown-packing',
      `"${shown(name)}" is packed by method ${method}, which is not read here. Pack it again as an ordinary ZIP, or give the file itself.`,
      { method },
    )
  if (bytes > budget.bytes)
    throw new InputError(
      'archive/too-large',
      `"${shown(name)}" would unpack to ${bytes} bytes, more than the ${budget.bytes} that are left of ${MAX_BYTES}. Cut out the part that is needed.`,
      { bytes, most: MAX_BYTES },
    )
  budget.bytes -= bytes
  if (view.getUint32(offset, true) !== LOCAL) throw damaged(`"${shown(name)}" does not begin where the directory says`)
  const from = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true)
  if (from + packed > archive.length) throw damaged(`"${shown(name)}" is cut off`)
  const source = archive.subarray(from, from + packed)
  if (method === 0 && packed !== bytes) throw damaged(`"${shown(name)}" has ${packed} bytes and ${bytes} in the directory`)
  const out = new Uint8Array(bytes)
  let filled: number
  try {
    if (method === 0) out.set(source)
    filled = method === 0 ? bytes : await inflate(source, out, 'deflate-raw', signal)
  } catch (error) {
    signal?.throwIfAborted()
    throw damaged(`"${shown(name)}" does not unpack (${error instanceof Error ? error.message.slice(0, 80) : 'broken'})`)
  }
  if (filled < bytes) throw damaged(`"${shown(name)}" ends after ${filled} of ${bytes} bytes`)
  if (crc32(out) !== crc) throw damaged(`"${shown(name)}" does not agree with its check sum`)
  return out
}

/** Older archives write names in a code page of the time; signs beyond ASCII are then only a guess, and nothing rests on them. */
const decoded = (bytes: Uint8Array, utf8: boolean): string => new TextDecoder(utf8 ? 'utf-8' : 'latin1').decode(bytes)

const shown = (name: string): string => name.slice(-60)

const damaged = (what: string): InputError =>
  new InputError('archive/damaged', `The archive cannot be read: ${what}. Fetch or pack it again.`, { what })
