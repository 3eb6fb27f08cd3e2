/** `deflate` with zlib's head and tail, as TIFF and PNG have it; `deflate-raw` without, as ZIP has it (Node from 20.12). */
export type Inflation = 'deflate' | 'deflate-raw'

/** Inflates a DEFLATE stream with zlib's head and tail at once; throws where it is broken or gives more than `most_bytes`. */
export type NativeInflate = (packed: Uint8Array, most_bytes: number) => Uint8Array

/** The most that one byte of DEFLATE can become. Source: RFC 1951: 258 bytes for two codes of one bit each. */
export const MAX_INFLATION = 1032

/**
 * Fills `out` from a DEFLATE stream and stops there, however much more the stream would give. Returns the bytes filled.
 *
 * Throws  whatever the platform throws on a broken stream, which need not be an `Error`; the reason of an abort.
 */
export async function inflate(packed: Uint8Array, out: Uint8Array, format: Inflation = 'deflate', signal?: AbortSignal): Promise<number> {
  const stream = new DecompressionStream(format)
  const writer = stream.writable.getWriter()
  const reader = stream.readable.getReader()
  // In pieces, so that a bomb is never unpacked further ahead than one piece; the reader's error is the one that counts.
  const feed = (async () => {
    for (let at = 0; at < packed.length; at += 16384) await writer.write(packed.slice(at, at + 16384))
    await writer.close()
  })().catch(() => undefined)
  let filled = 0
  try {
    while (filled < out.length) {
      signal?.throwIfAborted()
      const { done, value } = await reader.read()
      if (done) break
      const piece = value.subarray(0, out.length - filled)
      out.set(piece, filled)
      filled += piece.length
    }
  } finally {
    await reader.cancel().catch(() => undefined)
    await feed
  }
  return filled
}
