// Compiles the kernels (kernels/, a TypeScript dialect) to WebAssembly and writes their bytes as a module of base64 text, so that Node, bundlers
// and workers load them alike and a page needs no leave to fetch them. Twice: for memory of their own, and for memory that workers share.
// Run by .ci/setup.mjs; the result is not committed. Does nothing while it is newer than its sources.
import { existsSync, mkdirSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import asc from 'assemblyscript/asc'

const here = dirname(fileURLToPath(import.meta.url))
const target = join(here, 'src/kernels/generated/bytes.ts')
const sources = [
  fileURLToPath(import.meta.url),
  join(here, 'src/kernels/fields.ts'),
  ...readdirSync(join(here, 'kernels')).map(name => join(here, 'kernels', name)),
]
if (!existsSync(target) || sources.some(file => statSync(file).mtimeMs > statSync(target).mtimeMs)) {
  const own = await compile([])
  // All 4 GiB that 32 bits reach: shared memory must name its limit, and takes no more than is used.
  const shared = await compile(['--enable', 'threads', '--sharedMemory', '--maximumMemory', '65536'])
  mkdirSync(dirname(target), { recursive: true })
  writeFileSync(
    target,
    `// Made by make-kernels.mjs.\nexport const OWN_MEMORY =\n  '${base64(own)}'\nexport const SHARED_MEMORY =\n  '${base64(shared)}'\n`,
  )
}

async function compile(options) {
  let bytes = null
  const { error, stderr } = await asc.main(
    ['kernels/index.ts', '--baseDir', here, '-O3', '--noAssert', '--runtime', 'stub', '--enable', 'simd']
      .concat(['--importMemory', '--noExportMemory', '--initialMemory', '1', '--outFile', 'kernels.wasm'])
      .concat(options),
    { writeFile: (_name, contents) => (bytes = contents) },
  )
  if (error) throw new Error(`${error.message}\n${stderr.toString()}`)
  return bytes
}

function base64(bytes) {
  return Buffer.from(bytes).toString('base64')
}
