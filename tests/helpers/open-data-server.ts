import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'

/** A file that the server gives, in memory or made as it is read. */
export interface ServedFile {
  readonly size: number
  read(offset: number, length: number): Uint8Array
  readonly type?: string
}

/** How a server of open data may behave, well or badly. */
export type Behaviour =
  | 'well'
  /** Answers with the whole file, whatever part is asked for. */
  | 'no-ranges'
  /** Sends the file's first bytes as the part that is asked for. */
  | 'wrong-range'
  /** Says another file size at each answer. */
  | 'changing'
  /** Forbids pages of others: no CORS headers. */
  | 'no-cors'
  /** Allows pages of others, but hides where a part lies and how large the file is. */
  | 'hidden-range'
  | 'not-found'
  | 'forbidden'
  | 'error'
  /** Busy at the first two times it is asked, then well. */
  | 'busy-twice'
  | 'busy'
  /** Says nothing for ever. */
  | 'silent'
  /** Sends half and then nothing. */
  | 'stalls'
  /** Breaks off half-way. */
  | 'breaks-off'
  /** Breaks off half-way at the first time it is asked. */
  | 'breaks-off-once'
  /** Sends on to another host. */
  | 'sends-on'

export interface OpenDataServer {
  readonly host: string
  readonly url: string
  behaviour: Behaviour
  /** What was asked: method, path with query, range. */
  readonly asked: { readonly method: string; readonly path: string; readonly range: string | null; readonly body: string }[]
  /** Bytes of bodies sent since the start. */
  sent: number
  close(): Promise<void>
}

export const servedBytes = (bytes: Uint8Array, type?: string): ServedFile => ({
  size: bytes.length,
  read: (offset, length) => bytes.subarray(offset, offset + length),
  ...(type === undefined ? {} : { type }),
})

/**
 * A server on this machine that behaves as those of open data do. `fileAt` gives what stands at a path with its query (and the body of a POST),
 * null for nothing.
 */
export async function openDataServer(fileAt: (path: string, body: string) => ServedFile | null): Promise<OpenDataServer> {
  const server = createServer((request, response) => {
    void answer(request, response).catch(() => response.destroy())
  })
  const state: OpenDataServer = {
    host: '',
    url: '',
    behaviour: 'well',
    asked: [],
    sent: 0,
    close: () =>
      new Promise(done => {
        server.close(() => done())
        server.closeAllConnections()
      }),
  }
  let times = 0

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    let body = ''
    for await (const part of request) body += part
    const path = request.url ?? '/'
    const range = request.headers.range ?? null
    state.asked.push({ method: request.method ?? '', path, range, body })
    times++
    const behaviour = state.behaviour
    if (behaviour !== 'no-cors') response.setHeader('access-control-allow-origin', '*')
    if (behaviour !== 'no-cors' && behaviour !== 'hidden-range') response.setHeader('access-control-expose-headers', 'content-range, etag')
    // The sheet is served isolated from other origins: what is fetched by CORS may come in all the same.
    if (request.method === 'OPTIONS') {
      response.setHeader('access-control-allow-headers', 'range, content-type')
      return void response.writeHead(204).end()
    }
    const plain = (status: number): void => void response.writeHead(status, { 'content-type': 'text/plain' }).end('No.')
    if (behaviour === 'silent') return
    if (behaviour === 'not-found') return plain(404)
    if (behaviour === 'forbidden') return plain(403)
    if (behaviour === 'error') return plain(500)
    if (behaviour === 'busy' || (behaviour === 'busy-twice' && times <= 2))
      return void response.writeHead(503, { 'retry-after': '0' }).end()
    if (behaviour === 'sends-on') return void response.writeHead(302, { location: 'http://elsewhere.invalid/file.tif' }).end()
    const file = fileAt(path, body)
    if (file === null) return plain(404)
    if (behaviour !== 'hidden-range') response.setHeader('etag', '"first"')
    response.setHeader('content-type', file.type ?? 'image/tiff')
    if (request.method === 'HEAD') return void response.writeHead(200, { 'content-length': file.size }).end()
    const parts = range === null || behaviour === 'no-ranges' ? null : /^bytes=(\d+)-(\d+)$/.exec(range)
    let [from, to] = [0, file.size - 1]
    if (parts) {
      ;[from, to] = [Number(parts[1]), Math.min(Number(parts[2]), file.size - 1)]
      const said = behaviour === 'wrong-range' ? [0, to - from] : [from, to]
      const size = behaviour === 'changing' ? file.size + times : file.size
      response.writeHead(206, { 'content-range': `bytes ${said[0]}-${said[1]}/${size}`, 'content-length': to - from + 1 })
      if (behaviour === 'wrong-range') [from, to] = [0, to - from]
    } else response.writeHead(200, { 'content-length': file.size })
    const broken = behaviour === 'breaks-off' || (behaviour === 'breaks-off-once' && times === 1)
    const length = broken || behaviour === 'stalls' ? Math.floor((to - from + 1) / 2) : to - from + 1
    for (let at = 0; at < length; at += 1 << 20) {
      const piece = file.read(from + at, Math.min(1 << 20, length - at))
      state.sent += piece.length
      if (!response.write(piece)) await new Promise(done => response.once('drain', done).once('close', done))
      if (response.destroyed) return
    }
    // What was sent must have left before the line breaks.
    if (broken) setTimeout(() => response.destroy(), 20)
    else if (behaviour !== 'stalls') response.end()
  }

  await new Promise<void>(done => server.listen(0, '127.0.0.1', done))
  const address = server.address()
  const port = typeof address === 'object' && address ? address.port : 0
  return Object.assign(state, { host: `127.0.0.1:${port}`, url: `http://127.0.0.1:${port}/` })
}
