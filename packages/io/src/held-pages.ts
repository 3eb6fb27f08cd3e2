import type { ByteSource } from './byte-source.js'
import { malformed, type TiffView } from './tiff-directory.js'

/** Bytes of a page: those of a file are fetched in whole ones. */
const PAGE = 1 << 14
/** Fetched at the first touch: the directories of most cloud-optimised files, with the lists of their tiles, lie in it. */
const FIRST = 1 << 15
/** Directories and the lists in them never need more: a list of 2 million tiles has 24 MB. Judgement. */
const MOST_BYTES = 1 << 26

/** Thrown inside this file alone: bytes that are not here yet. */
class BytesWanted extends Error {
  override readonly name = 'BytesWanted'

  constructor(
    readonly offset: number,
    readonly length: number,
  ) {
    super(`bytes ${offset} to ${offset + length} are not here yet`)
  }
}

/** The bytes of a file that are here, and a way to ask for more. */
export interface HeldBytes {
  readonly view: TiffView
  /** Asks something of the view as if the whole file were in memory: what is missing is fetched, and the question asked again. */
  ask<T>(question: () => T | Promise<T>): Promise<T>
}

/**
 * A file of which only what is asked for is fetched, in whole pages.
 *
 * Laws    Every round brings at least one page, and at most 64 MB of pages are held: a file that points everywhere is refused, never followed.
 * Throws  `ask`: InputError `grid/malformed`, and what the question and the source throw.
 */
export function heldBytes(source: ByteSource, signal?: AbortSignal): HeldBytes {
  const { held } = source
  if (held) return { view: new DataView(held.buffer, held.byteOffset, held.byteLength), ask: async question => question() }
  const pages = new Map<number, DataView>()
  return {
    view: viewOf(pages, source.size),
    async ask(question) {
      for (;;) {
        signal?.throwIfAborted()
        try {
          return await question()
        } catch (error) {
          if (!(error instanceof BytesWanted)) throw error
          const before = pages.size
          await fetchPages(source, pages, error.offset, error.length, signal)
          // A source that gives fewer bytes than it says ends the asking.
          if (pages.size === before) throw malformed('its first bytes could not be fetched')
        }
      }
    },
  }
}

async function fetchPages(
  source: ByteSource,
  pages: Map<number, DataView>,
  offset: number,
  length: number,
  signal: AbortSignal | undefined,
): Promise<void> {
  const end = Math.min(source.size, pages.size === 0 ? Math.max(FIRST, offset + length) : offset + length)
  let page = pages.size === 0 ? 0 : Math.floor(offset / PAGE)
  while (pages.has(page)) page++
  const from = page * PAGE
  const bytes = Math.min(source.size, Math.ceil(end / PAGE) * PAGE) - from
  if (!(bytes > 0) || pages.size * PAGE + bytes > MOST_BYTES) throw malformed(`directories of more than ${MOST_BYTES} bytes`)
  const got = await source.read(from, bytes, signal)
  for (let at = 0; at < got.length; at += PAGE, page++)
    pages.set(page, new DataView(got.buffer, got.byteOffset + at, Math.min(PAGE, got.length - at)))
}

/** A `DataView` over pages: numbers across two pages are put together. */
function viewOf(pages: ReadonlyMap<number, DataView>, byteLength: number): TiffView {
  const seam = new DataView(new ArrayBuffer(8))
  const seek = (at: number, length: number): readonly [DataView, number] => {
    const page = pages.get(Math.floor(at / PAGE))
    const inside = at % PAGE
    if (page && inside + length <= page.byteLength) return [page, inside]
    for (let k = 0; k < length; k++) {
      const part = pages.get(Math.floor((at + k) / PAGE))
      if (!part || (at + k) % PAGE >= part.byteLength) throw new BytesWanted(at, length)
      seam.setUint8(k, part.getUint8((at + k) % PAGE))
    }
    return [seam, 0]
  }
  const reader =
    <T>(length: number, read: (view: DataView, at: number, little?: boolean) => T) =>
    (at: number, little?: boolean): T => {
      const [view, inside] = seek(at, length)
      return read(view, inside, little)
    }
  return {
    byteLength,
    hold(offset, length) {
      for (let page = Math.floor(offset / PAGE); page * PAGE < offset + length; page++)
        if (!pages.has(page)) throw new BytesWanted(page * PAGE, offset + length - page * PAGE)
    },
    getUint8: reader(1, (view, at) => view.getUint8(at)),
    getInt8: reader(1, (view, at) => view.getInt8(at)),
    getUint16: reader(2, (view, at, little) => view.getUint16(at, little)),
    getInt16: reader(2, (view, at, little) => view.getInt16(at, little)),
    getUint32: reader(4, (view, at, little) => view.getUint32(at, little)),
    getInt32: reader(4, (view, at, little) => view.getInt32(at, little)),
    getFloat32: reader(4, (view, at, little) => view.getFloat32(at, little)),
    getFloat64: reader(8, (view, at, little) => view.getFloat64(at, little)),
    getBigUint64: reader(8, (view, at, little) => view.getBigUint64(at, little)),
    getBigInt64: reader(8, (view, at, little) => view.getBigInt64(at, little)),
  }
}
