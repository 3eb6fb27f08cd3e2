import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { defineConfig, type Plugin } from 'vite'
import { PAPERS } from '../../packages/drawing/src/drawing-set/paper.js'
import { setStyle } from '../../packages/drawing/src/drawing-set/style.js'
import { REPORT_STYLE } from '../../packages/drawing/src/report-style.js'
import { offline } from './offline-plugin.js'

const here = import.meta.dirname
const demoFolder = join(here, '../../fixtures/demo')
const { version } = JSON.parse(readFileSync(join(here, 'package.json'), 'utf8')) as { version: string }

const sha256 = (text: string): string => createHash('sha256').update(text).digest('base64')

/** Looks of what is shown from a blob, which inherits the page's rules: the report, and the drawing set on each paper. */
const PRINTED = [REPORT_STYLE, ...Object.values(PAPERS).map(setStyle)]

/** What the page may do; the styles of what it prints are let in by their hashes. */
const POLICY = [
  "default-src 'none'",
  // Compiled kernels are WebAssembly: leave for that alone, not for text that becomes code.
  "script-src 'self' 'wasm-unsafe-eval'",
  `style-src 'self' ${PRINTED.map(style => `'sha256-${sha256(style)}'`).join(' ')}`,
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  'frame-src blob:',
  "base-uri 'none'",
  "form-action 'none'",
  // One policy decides what text may become markup or code: src/trusted-types.ts.
  "require-trusted-types-for 'script'",
  'trusted-types default',
].join('; ')

/** Puts the Content-Security-Policy into the built page; the development server needs inline styles and does without. */
const policy: Plugin = {
  name: 'soakline-policy',
  apply: 'build',
  transformIndexHtml: () => [
    { tag: 'meta', attrs: { 'http-equiv': 'Content-Security-Policy', content: POLICY }, injectTo: 'head-prepend' },
  ],
}

/** The demo holding lies beside the page, under `demo/`. */
const demo: Plugin = {
  name: 'soakline-demo',
  generateBundle() {
    for (const name of readdirSync(demoFolder))
      this.emitFile({ type: 'asset', fileName: `demo/${name}`, source: readFileSync(join(demoFolder, name)) })
  },
  configureServer({ middlewares }) {
    middlewares.use('/demo', (request, response, next) => {
      const name = (request.url ?? '').slice(1).split('?')[0]!
      if (readdirSync(demoFolder).includes(name)) response.end(readFileSync(join(demoFolder, name)))
      else next()
    })
  },
}

export default defineConfig({
  root: here,
  base: './',
  define: { __SOAKLINE_VERSION__: JSON.stringify(version) },
  // The sources of the packages, so that nothing needs to be built first.
  resolve: { conditions: ['source', 'module', 'browser', 'development|production'] },
  worker: { format: 'es' },
  plugins: [policy, demo, offline()],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1500,
    reportCompressedSize: false,
  },
})
