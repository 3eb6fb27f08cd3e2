/** Where the bytes of a file come from: memory, a file on this machine, or an address. */
export interface ByteSource {
  /** The file's name, or the last part of its address. */
  readonly name: string
  /** Bytes of the whole file; `UNKNOWN_SIZE` where nobody says. */
  readonly size: number
  /** All bytes where they are in memory already; else null. */
  readonly held: Uint8Array | null
  /** Bytes from a place on, fewer only where the file ends. Throws what the source throws, and the reason of an abort. */
  read(offset: number, length: number, signal?: AbortSignal): Promise<Uint8Array>
}

/** Stands for a size that a server does not tell: larger than any file. */
export const UNKNOWN_SIZE = Number.MAX_SAFE_INTEGER

/** A file in memory. */
export function bytesSource(bytes: ArrayBuffer | Uint8Array, name = ''): ByteSource {
  const held = bytes instanceof Uint8Array ? bytes : new Uint8Array(bytes)
  return { name, size: held.length, held, read: async (offset, length) => held.subarray(offset, offset + length) }
}

/** A file of the browser, read in slices. */
export const blobSource = (blob: Blob, name = ''): ByteSource => ({
  name,
  size: blob.size,
  held: null,
  async read(offset, length, signal) {
    signal?.throwIfAborted()
    return new Uint8Array(await blob.slice(offset, offset + length).arrayBuffer())
  },
})

/** All bytes of a source. Throws as its `read`. */
export async function wholeOf({ held, size, read }: ByteSource, signal?: AbortSignal): Promise<ArrayBuffer> {
  const bytes = held ?? (await read(0, size, signal))
  return (
    bytes.byteOffset === 0 && bytes.byteLength === bytes.buffer.byteLength
      ? bytes.buffer
      : bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength)
  ) as ArrayBuffer
}
