import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, resolve, sep } from 'node:path'
import ts from 'typescript'
import { expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'

/** The rooms, in the order that water and thought pass through them. A room imports only from rooms before it, types included. */
const ROOMS = ['foundation', 'raster', 'kernels', 'terrain', 'hydrology', 'earthworks', 'siting', 'plan']

/** The packages: which others each may import, and what from outside. */
const PACKAGES: Readonly<Record<string, { readonly imports: readonly string[]; readonly outside: readonly RegExp[] }>> = {
  'packages/soakline': { imports: [], outside: [] },
  'packages/io': { imports: ['soakline'], outside: [/^geotiff$/, /^proj4$/, /^delaunator$/, /^sql\.js\/dist\/sql-wasm-inline\.js$/] },
  'packages/drawing': { imports: ['soakline'], outside: [] },
  'apps/map': {
    imports: ['soakline', '@soakline/io', '@soakline/drawing'],
    outside: [/^preact(\/hooks)?$/, /^@preact\/signals$/, /^maplibre-gl(\/|$)/, /^idb$/, /^geojson$/, /^@fontsource\/noto-sans\//],
  },
  'apps/cli': { imports: ['soakline', '@soakline/io', '@soakline/drawing'], outside: [/^node:/] },
}

const MADE = ['node_modules', 'dist', 'artefacts']
const filesOf = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap(entry => {
    if (entry.isDirectory()) return MADE.includes(entry.name) ? [] : filesOf(join(folder, entry.name))
    return [join(folder, entry.name)]
  })
const sourcesOf = (folder: string): string[] => filesOf(folder).filter(path => /\.tsx?$/.test(path))

const importsOf = (file: string): string[] => ts.preProcessFile(readFileSync(file, 'utf8'), true, true).importedFiles.map(i => i.fileName)

/** The room of a library file; the file `index.ts` of the library itself stands after all of them. */
const roomOf = (file: string, source: string): string =>
  relative(source, file).includes(sep) ? relative(source, file).split(sep)[0]! : 'the whole library'

/** Wrong arrows of a library's source folder, as `raster/grid.ts → hydrology/index.ts`. */
function wrongArrows(source: string): string[] {
  const rank = (room: string): number => (room === 'the whole library' ? ROOMS.length : ROOMS.indexOf(room))
  return sourcesOf(source).flatMap(file =>
    importsOf(file).flatMap(name => {
      const to = name.startsWith('.') ? resolve(dirname(file), name).replace(/\.js$/, '.ts') : name
      const arrow = `${relative(source, file)} → ${name.startsWith('.') ? relative(source, to) : name}`
      if (!name.startsWith('.')) return [arrow]
      const [here, there] = [roomOf(file, source), roomOf(to, source)]
      if (rank(here) < 0 || rank(there) < 0) return [`${arrow} (a room that is not in the list)`]
      if (here === there) return []
      return rank(there) < rank(here) && to === join(source, there, 'index.ts') ? [] : [arrow]
    }),
  )
}

test('every arrow in the library points the same way, through the rooms’ tables of contents', () => {
  expect(wrongArrows(join(repositoryRoot, 'packages/soakline/src'))).toEqual([])
})

test('a wrong arrow is named, a type-only one as well', () => {
  const file = join(repositoryRoot, 'packages/soakline/src/raster/grid.ts')
  expect(ts.preProcessFile("import type { Hollow } from '../hydrology/index.js'", true, true).importedFiles.map(i => i.fileName)).toEqual([
    '../hydrology/index.js',
  ])
  expect(roomOf(file, join(repositoryRoot, 'packages/soakline/src'))).toBe('raster')
  expect(ROOMS.indexOf('raster')).toBeLessThan(ROOMS.indexOf('hydrology'))
})

test('every room of the list exists and there is no other', () => {
  const rooms = readdirSync(join(repositoryRoot, 'packages/soakline/src'), { withFileTypes: true }).filter(e => e.isDirectory())
  expect(rooms.map(e => e.name).sort()).toEqual([...ROOMS].sort())
})

const guide = readFileSync(join(repositoryRoot, 'DEVELOPERS.md'), 'utf8')

test('the picture in DEVELOPERS.md has the rooms in their order, and every folder of the house', () => {
  const picture = /```\n([\s\S]*?)```/.exec(guide)![1]!
  const named = [...picture.matchAll(/^ {2}(\w+)\/ /gm)].map(([, room]) => room)
  expect(named).toEqual(ROOMS)
  const folders = [...picture.matchAll(/^([\w./]+)\/ /gm)].map(([, folder]) => folder!.replace('/src', ''))
  expect(folders.sort()).toEqual([...Object.keys(PACKAGES), 'tests', 'fixtures', '.ci'].sort())
})

test('every file that DEVELOPERS.md names exists', () => {
  const files = ['packages', 'apps', 'tests', 'fixtures', '.ci'].flatMap(folder => filesOf(join(repositoryRoot, folder)))
  const named = [...guide.matchAll(/`([\w./-]+\.(?:tsx?|mjs|md))`/g)].map(([, name]) => name!)
  expect(named.length).toBeGreaterThan(50)
  // `drawing/src/x.ts` for packages/drawing/src/x.ts, `state/x.ts` for apps/map/src/state/x.ts.
  expect(named.filter(name => !files.some(file => file.endsWith(`/${name}`)))).toEqual([])
})

test.each(Object.entries(PACKAGES))('%s imports only what it may', (folder, { imports, outside }) => {
  const wrong = sourcesOf(join(repositoryRoot, folder, 'src')).flatMap(file =>
    importsOf(file)
      .filter(name => !name.startsWith('.'))
      .filter(name => !imports.some(p => name === p || name.startsWith(`${p}/`)) && !outside.some(pattern => pattern.test(name)))
      .map(name => `${relative(repositoryRoot, file)} → ${name}`),
  )
  expect(wrong).toEqual([])
})

test('tables of contents name each thing: no `export *`, no default exports', () => {
  const wrong = Object.keys(PACKAGES).flatMap(folder =>
    sourcesOf(join(repositoryRoot, folder, 'src')).filter(file => /^\s*export\s+(\*|default\b)/m.test(readFileSync(file, 'utf8'))),
  )
  expect(wrong.map(file => relative(repositoryRoot, file))).toEqual([])
})

test('the pure packages touch no file, network, clock or chance', () => {
  const forbidden =
    /\b(Math\.random|Date\.now|new Date\(|fetch\(|process\.|document\.|globalThis\.|window\.(document|location|navigator|addEventListener|setTimeout|fetch)|localStorage)\b/
  const wrong = ['packages/soakline/src', 'packages/drawing/src'].flatMap(folder =>
    sourcesOf(join(repositoryRoot, folder)).filter(file => forbidden.test(readFileSync(file, 'utf8'))),
  )
  expect(wrong.map(file => relative(repositoryRoot, file))).toEqual([])
})

test('no source asks which language it is: tables have every one, so that a new one cannot be forgotten', () => {
  const asks = /\blanguage\s*[!=]==/
  const wrong = ['packages/drawing/src', 'apps/cli/src'].flatMap(folder =>
    sourcesOf(join(repositoryRoot, folder)).filter(file => asks.test(readFileSync(file, 'utf8'))),
  )
  // The library's own refusals are English: the command line says them as they are.
  expect(wrong.map(file => relative(repositoryRoot, file))).toEqual(['apps/cli/src/run.ts'])
})
