import { InputError } from 'soakline/foundation'
import { type ByteSource, bytesSource, UNKNOWN_SIZE } from './byte-source.js'
import { type AskOptions, askServer, hostOf } from './network.js'

/** Where stretches of files are kept, so that the same place can be brought again without a network. */
export interface KeptStretches {
  get(key: string): Promise<Uint8Array | null>
  put(key: string, bytes: Uint8Array): Promise<void>
  /** Forgets all stretches of an address. */
  forget(address: string): Promise<void>
}

export interface AddressOptions extends AskOptions {
  /** Default: nothing is kept. */
  readonly kept?: KeptStretches | undefined
  /** Told of each stretch that came over the network. */
  readonly onBytes?: ((bytes: number) => void) | undefined
}

/** A file at a server that gives no parts is taken whole up to this size. Judgement: what a phone can fetch and hold. */
const MOST_WITHOUT_RANGES = 64e6
/** Asked for first: see `held-pages.ts`. */
const FIRST_BYTES = 1 << 15

/**
 * A file at an address, read by stretches (HTTP range requests); nothing is asked before the first call.
 *
 * Laws    What is taken for a stretch is that stretch: its status, its place and its length are checked. A file that changes while it is read is refused.
 *         A server that ignores ranges is asked for the whole file only where that is small.
 * Throws  InputError `address/…`, `network/not-allowed`.
 * Source  RFC 9110 (2022), section 14: range requests.
 */
export async function addressSource(address: string, options: AddressOptions): Promise<ByteSource> {
  const host = hostOf(address)
  const name = nameOf(address)
  const { kept } = options
  const key = (offset: number, length: number): string => `${address}#${offset}+${length}`
  // Stretches that are kept belong to one version of the file.
  const before = await kept?.get(`${address}#size`)
  const [keptSize, keptVersion] = before ? new TextDecoder().decode(before).split(' ') : []
  let size = keptSize === undefined ? Number.NaN : Number(keptSize)
  let version: string | null = keptVersion ? decodeURIComponent(keptVersion) : null

  /** One stretch over the network. */
  const fetched = async (offset: number, length: number, signal: AbortSignal | undefined): Promise<Uint8Array> => {
    let whole = false
    const { bytes, headers } = await askServer(
      address,
      { headers: { range: `bytes=${offset}-${offset + length - 1}` } },
      response => {
        whole = response.status === 200
        if (whole) return wholeBody(response.headers, host)
        const said = saidRange(response.headers, host, offset, length)
        if (said.total !== null) {
          if (!Number.isNaN(size) && size !== UNKNOWN_SIZE && said.total !== size) throw changed(host)
          size = said.total
        }
        return said
      },
      { ...options, signal: signal ?? options.signal },
    )
    const tag = headers.get('etag') ?? headers.get('last-modified')
    if (version !== null && tag !== null && tag !== version) throw changed(host)
    version ??= tag
    options.onBytes?.(bytes.length)
    if (whole) {
      held = bytes
      size = bytes.length
      return bytes.subarray(offset, offset + length)
    }
    return bytes
  }

  let held: Uint8Array | null = null
  const read = async (offset: number, length: number, signal?: AbortSignal): Promise<Uint8Array> => {
    if (held) return held.subarray(offset, offset + length)
    const stored = await kept?.get(key(offset, length))
    if (stored) return stored
    try {
      const bytes = await fetched(offset, length, signal)
      if (held === null) await kept?.put(key(offset, length), bytes)
      return bytes
    } catch (error) {
      if (error instanceof InputError && error.code === 'address/changed') await kept?.forget(address)
      throw error
    }
  }

  const first = await read(0, FIRST_BYTES, options.signal)
  if (held) return bytesSource(held, name)
  if (Number.isNaN(size)) size = first.length < FIRST_BYTES ? first.length : await sizeByHead(address, options)
  if (!before) await kept?.put(`${address}#size`, new TextEncoder().encode(`${size} ${encodeURIComponent(version ?? '')}`))
  return {
    name,
    size,
    held: null,
    // The first stretch is here already: it is not asked for twice.
    read: async (offset, length, signal) =>
      offset + length <= first.length ? first.subarray(offset, offset + length) : read(offset, length, signal),
  }
}

/** A whole file of at most so many bytes. Throws as `addressSource`, and InputError `address/too-large`. */
export async function fetchWhole(address: string, most: number, options: AddressOptions, init: RequestInit = {}): Promise<Uint8Array> {
  const host = hostOf(address)
  const key = `${address}#all${typeof init.body === 'string' ? `?${init.body}` : ''}`
  const stored = await options.kept?.get(key)
  if (stored) return stored
  const { bytes } = await askServer(
    address,
    init,
    ({ headers }) => {
      const length = lengthOf(headers)
      if (length !== null && length > most) throw tooLarge(host, length, most)
      return { most: most + 1, least: length ?? 0 }
    },
    options,
  )
  if (bytes.length > most) throw tooLarge(host, bytes.length, most)
  options.onBytes?.(bytes.length)
  await options.kept?.put(key, bytes)
  return bytes
}

/** What a 206 says about its stretch. A server may hide it from pages of others: then the length alone is checked. */
function saidRange(headers: Headers, host: string, offset: number, length: number): { most: number; least: number; total: number | null } {
  const text = headers.get('content-range')
  if (text === null) return { most: length, least: Math.min(length, lengthOf(headers) ?? 0), total: null }
  const parts = /^bytes\s+(\d+)-(\d+)\/(\d+|\*)$/.exec(text.trim())
  const [from, to] = [Number(parts?.[1] ?? Number.NaN), Number(parts?.[2] ?? Number.NaN)]
  const total = parts?.[3] === undefined || parts[3] === '*' ? null : Number(parts[3])
  const end = Math.min(offset + length, total ?? Number.POSITIVE_INFINITY)
  if (from !== offset || to + 1 > offset + length || (total !== null && to + 1 !== end))
    throw new InputError(
      'address/wrong-range',
      `${host} sent another part of the file than was asked for (${text.slice(0, 60)}), so nothing of it can be trusted. Download the file and open it from this machine.`,
      { host, said: text.slice(0, 60), offset, length },
    )
  return { most: to + 1 - from, least: to + 1 - from, total }
}

/** A server that sends the whole file instead of a part. */
function wholeBody(headers: Headers, host: string): { most: number; least: number } {
  const length = lengthOf(headers)
  if (length !== null && length <= MOST_WITHOUT_RANGES) return { most: length, least: length }
  throw new InputError(
    'address/no-ranges',
    `${host} sends files only whole${length === null ? '' : ` (this one has ${Math.ceil(length / 1e6)} MB)`}, so no part of this one can be read from there. Download the file and open it from this machine.`,
    { host, bytes: length },
  )
}

/** Bytes of the file by a request for its head alone, where the ranges do not say; unknown where that is refused too. */
async function sizeByHead(address: string, options: AddressOptions): Promise<number> {
  try {
    const { headers } = await askServer(address, { method: 'HEAD' }, () => ({ most: 0, least: 0 }), options)
    return lengthOf(headers) ?? UNKNOWN_SIZE
  } catch (error) {
    options.signal?.throwIfAborted()
    if (error instanceof InputError && error.code === 'network/not-allowed') throw error
    return UNKNOWN_SIZE
  }
}

/** A length that a server says, where it is the body's own: a packed body is unpacked on its way. */
function lengthOf(headers: Headers): number | null {
  const packed = headers.get('content-encoding')
  const length = headers.get('content-length')
  return length === null || (packed !== null && packed !== 'identity') || !/^\d+$/.test(length) ? null : Number(length)
}

const nameOf = (address: string): string => {
  const last = new URL(address).pathname.split('/').at(-1) ?? ''
  try {
    return decodeURIComponent(last)
  } catch {
    return last
  }
}

const changed = (host: string): InputError =>
  new InputError('address/changed', `The file at ${host} changed while it was read, so its parts do not fit together. Bring it again.`, {
    host,
  })

const tooLarge = (host: string, bytes: number, most: number): InputError =>
  new InputError('address/too-large', `The answer of ${host} has more than ${Math.round(most / 1e6)} MB. Choose a smaller area.`, {
    host,
    bytes,
    most,
  })
