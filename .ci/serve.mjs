// Serves the built sheet (apps/map/dist) on this machine. Node built-ins only.
//   node .ci/serve.mjs [--port N]      PORT is taken too; default 8420, or the next free one
import { createReadStream } from 'node:fs'
import { stat } from 'node:fs/promises'
import { createServer } from 'node:http'
import { dirname, extname, join, normalize, resolve, sep } from 'node:path'
import { fileURLToPath } from 'node:url'

const folder = join(dirname(dirname(fileURLToPath(import.meta.url))), 'apps/map/dist')
const FIRST_PORT = 8420
const PORTS_TRIED = 50

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.geojson': 'application/geo+json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml; charset=utf-8',
  '.csv': 'text/csv; charset=utf-8',
  '.png': 'image/png',
  '.tif': 'image/tiff',
  '.woff': 'font/woff',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
}

/** Starts the server; `port` 0 takes any free one, `root` gives the folder of each request. */
export async function serve({ port = FIRST_PORT, host = '127.0.0.1', root = () => folder } = {}) {
  const server = createServer((request, response) => {
    answer(request, response, root()).catch(() => response.writeHead(500).end())
  })
  const last = port === 0 ? 0 : port + PORTS_TRIED
  for (let tried = port; ; tried++) {
    try {
      await listen(server, tried, host)
      break
    } catch (error) {
      if (error.code !== 'EADDRINUSE' || tried >= last) throw error
    }
  }
  return {
    url: `http://${host}:${server.address().port}/`,
    close: () =>
      new Promise(done => {
        server.close(() => done())
        server.closeAllConnections()
      }),
  }
}

const listen = (server, port, host) =>
  new Promise((done, fail) => {
    server.once('error', fail)
    server.listen(port, host, () => {
      server.off('error', fail)
      done()
    })
  })

async function answer(request, response, folder) {
  if (request.method !== 'GET' && request.method !== 'HEAD') return response.writeHead(405, { allow: 'GET, HEAD' }).end()
  const path = pathOf(request.url, folder)
  const found = path === null ? null : await stat(path).catch(() => null)
  if (!found?.isFile()) return response.writeHead(404, { 'content-type': 'text/plain; charset=utf-8' }).end('Not here.')
  const hashed = path.startsWith(join(folder, 'assets') + sep)
  response.writeHead(200, {
    'content-type': TYPES[extname(path)] ?? 'application/octet-stream',
    'content-length': found.size,
    'cache-control': hashed ? 'public, max-age=31536000, immutable' : 'no-cache',
    'cross-origin-opener-policy': 'same-origin',
    'cross-origin-embedder-policy': 'require-corp',
    'cross-origin-resource-policy': 'same-origin',
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
  })
  if (request.method === 'HEAD') return response.end()
  createReadStream(path)
    .on('error', () => response.destroy())
    .pipe(response)
}

/** The file that an address means; null when it lies outside the folder. */
function pathOf(address, folder) {
  try {
    const { pathname } = new URL(address, 'http://sheet')
    const path = resolve(folder, `.${normalize(decodeURIComponent(pathname))}`)
    if (path !== folder && !path.startsWith(folder + sep)) return null
    return pathname.endsWith('/') ? join(path, 'index.html') : path
  } catch {
    return null
  }
}

if (process.argv[1] && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  const asked = process.argv.indexOf('--port')
  const port = Number(asked > 0 ? process.argv[asked + 1] : (process.env.PORT ?? FIRST_PORT))
  const { url } = await serve({ port: Number.isInteger(port) && port >= 0 && port < 65536 ? port : FIRST_PORT })
  process.stdout.write(`The sheet is open at ${url}  (stop with Ctrl+C)\n`)
}
