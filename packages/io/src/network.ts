import { InputError } from 'soakline/foundation'

/** The part of `fetch` that is used; the caller passes its own. */
export type Fetch = (address: string, init: RequestInit) => Promise<Response>

/** The host of an address, with its port where it has one: what consent is given to. Throws InputError `address/not-web`. */
export function hostOf(address: string): string {
  let url: URL | null = null
  try {
    url = new URL(address)
  } catch {
    // Said below.
  }
  if (url === null || !['https:', 'http:'].includes(url.protocol) || url.username !== '' || url.password !== '')
    throw new InputError(
      'address/not-web',
      `"${address.slice(0, 120)}" is no address of the web. It begins with https:// and holds no password.`,
      { address: address.slice(0, 120) },
    )
  return url.host
}

/**
 * A `fetch` that asks nobody whom the user has not said yes to.
 *
 * Laws    A host that is not allowed is never contacted; nor is one that an allowed host would lead on to. No cookies, no sign-in, no word of the page that asks.
 * Throws  InputError `network/not-allowed`, `address/not-web`.
 *
 * @param allowed asked at each request, so that a yes can be taken back
 */
export const allowedOnly =
  (fetch: Fetch, allowed: (host: string) => boolean): Fetch =>
  async (address, init) => {
    const host = hostOf(address)
    if (!allowed(host))
      throw new InputError(
        'network/not-allowed',
        `Nothing is asked of ${host}, since nobody has allowed it. Allow this host (--allow ${host}), or bring the file from this machine.`,
        { host },
      )
    return fetch(address, { ...init, redirect: 'error', credentials: 'omit', referrerPolicy: 'no-referrer', mode: 'cors' })
  }

/** How a server is asked. */
export interface AskOptions {
  readonly fetch: Fetch
  readonly signal?: AbortSignal | undefined
  /** How long a server may say nothing. Default 20 s; judgement. Unit: ms. */
  readonly patience_ms?: number | undefined
  /** Waits between tries; default by the clock. */
  readonly wait?: ((ms: number) => Promise<void>) | undefined
}

const PATIENCE_MS = 20_000
/** Tries of a request that fails by a busy server or a broken line. Judgement. */
const TRIES = 3
/** The longest wait that a server may ask for before the next try. Judgement. Unit: ms. */
const LONGEST_WAIT_MS = 5000

/** What a server sent. */
export interface Answered {
  readonly status: number
  readonly headers: Headers
  readonly bytes: Uint8Array
}

/** What the one who asks makes of an answer's head, before its body is taken: the bytes wanted of it, or a refusal. */
type Expect = (response: Pick<Response, 'status' | 'headers'>) => { readonly most: number; readonly least: number }

/**
 * Asks a server once, twice, three times, and takes no more bytes than are wanted.
 *
 * Laws    A body longer than wanted is left; one shorter is asked for again. A server that says nothing is given up.
 * Throws  InputError `address/unreachable`, `address/too-slow`, `address/busy`, `address/cut-off`, what `expect` throws, the reason of an abort.
 */
export async function askServer(address: string, init: RequestInit, expect: Expect, options: AskOptions): Promise<Answered> {
  const wait = options.wait ?? (ms => new Promise(resolve => setTimeout(resolve, ms)))
  for (let tried = 1; ; tried++) {
    options.signal?.throwIfAborted()
    try {
      return await askOnce(address, init, expect, options)
    } catch (error) {
      const again =
        error instanceof InputError &&
        ['address/busy', 'address/cut-off', 'address/server-error', 'address/unreachable'].includes(error.code)
      if (!again || tried === TRIES) throw error
      const asked = typeof error.details.wait_ms === 'number' ? error.details.wait_ms : 300 * tried
      await wait(Math.min(LONGEST_WAIT_MS, asked))
    }
  }
}

async function askOnce(address: string, init: RequestInit, expect: Expect, { fetch, signal, patience_ms = PATIENCE_MS }: AskOptions) {
  const host = hostOf(address)
  const impatient = new AbortController()
  let timer: ReturnType<typeof setTimeout> | undefined
  const waitOn = (): void => {
    clearTimeout(timer)
    timer = setTimeout(() => impatient.abort(tooSlow(host, patience_ms)), patience_ms)
  }
  const stop = signal ? AbortSignal.any([signal, impatient.signal]) : impatient.signal
  try {
    waitOn()
    const response = await reached(fetch(address, { ...init, signal: stop }), host, stop)
    refuseStatus(response, host)
    const { most, least } = expect(response)
    return { status: response.status, headers: response.headers, bytes: await bodyOf(response, most, least, host, stop, waitOn) }
  } finally {
    clearTimeout(timer)
    impatient.abort()
  }
}

/** The answer, or why there is none. A browser does not tell a server that forbids it from one that is not there. */
async function reached(answer: Promise<Response>, host: string, stop: AbortSignal): Promise<Response> {
  try {
    return await answer
  } catch (error) {
    stop.throwIfAborted()
    if (error instanceof InputError) throw error
    throw new InputError(
      'address/unreachable',
      `${host} gave no answer that can be read: it is not there, there is no network, it sends on to another host, or it forbids pages of others to read from it (no CORS). Download the file in the browser and open it from this machine.`,
      { host, why: error instanceof Error ? error.message.slice(0, 120) : '' },
    )
  }
}

function refuseStatus({ status, headers }: Pick<Response, 'status' | 'headers'>, host: string): void {
  if (status === 200 || status === 206) return
  if (status === 401 || status === 403 || status === 407)
    throw new InputError(
      'address/forbidden',
      `${host} does not give this file to everybody (${status}). Sign in there, download the file, and open it from this machine.`,
      { host, status },
    )
  if (status === 404 || status === 410)
    throw new InputError(
      'address/not-found',
      `${host} has no file at this address (${status}). Check the address, or choose another source.`,
      {
        host,
        status,
      },
    )
  if (status === 429 || status === 503 || status === 504) {
    const after = Number(headers.get('retry-after') ?? Number.NaN)
    throw new InputError('address/busy', `${host} is too busy now (${status}). Try again in a few minutes.`, {
      host,
      status,
      ...(after >= 0 ? { wait_ms: after * 1000 } : {}),
    })
  }
  throw new InputError('address/server-error', `${host} answers with an error (${status}). Try again later, or choose another source.`, {
    host,
    status,
  })
}

async function bodyOf(
  response: Response,
  most: number,
  least: number,
  host: string,
  stop: AbortSignal,
  waitOn: () => void,
): Promise<Uint8Array> {
  const parts: Uint8Array[] = []
  let length = 0
  const reader = response.body?.getReader()
  try {
    while (reader && length < most) {
      const { done, value } = await reader.read()
      stop.throwIfAborted()
      if (done) break
      waitOn()
      parts.push(length + value.length > most ? value.subarray(0, most - length) : value)
      length += parts.at(-1)!.length
    }
  } catch (error) {
    stop.throwIfAborted()
    if (error instanceof InputError) throw error
    throw cutOff(host, length, least)
  } finally {
    await reader?.cancel().catch(() => undefined)
  }
  if (length < least) throw cutOff(host, length, least)
  const bytes = new Uint8Array(length)
  let at = 0
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}

const tooSlow = (host: string, patience_ms: number): InputError =>
  new InputError(
    'address/too-slow',
    `${host} sent nothing for ${Math.round(patience_ms / 1000)} seconds. Try again later, or download the file and open it from this machine.`,
    { host, patience_ms },
  )

const cutOff = (host: string, bytes: number, needed: number): InputError =>
  new InputError(
    'address/cut-off',
    `The answer of ${host} broke off after ${bytes} of ${needed} bytes. Try again; if it stays so, download the file and open it from this machine.`,
    { host, bytes, needed },
  )
