import { archiveHolds } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { type BroughtFile, filesOfDrop, putTogether } from '../src/state/brought-files.js'

const files = (...names: string[]): BroughtFile[] => names.map(name => ({ name, file: new Blob([name]) }))
const together = async (...names: string[]) => {
  const { files: found, beside } = await putTogether(files(...names))
  return { names: found.map(({ name }) => name), beside, files: found }
}

describe('what belongs together by its names', () => {
  test('parts of shapefiles and a raster with its system become one; every file is in a result', async () => {
    const {
      names,
      beside,
      files: found,
    } = await together(
      'Farm/Wood.shp',
      'Farm/wood.DBF',
      'Farm/wood.prj',
      'Farm/wood.shx',
      'Farm/wood.sbn',
      'Farm/wood.shp.xml',
      'houses.shp',
      'rain.csv',
      'dem.asc',
      'dem.prj',
      'other.prj',
      'note.txt',
      'dem2.tif',
      'dem2.tif.aux.xml',
      'dem2.tfw',
    )
    expect(names).toEqual(['Farm/Wood.shp + 3', 'houses.shp', 'rain.csv', 'dem.asc + 1', 'other.prj', 'note.txt', 'dem2.tif'])
    expect(beside).toEqual(['Farm/wood.sbn', 'Farm/wood.shp.xml', 'dem2.tif.aux.xml', 'dem2.tfw'])
    expect(archiveHolds(await found[0]!.file.arrayBuffer())).toBe('features')
    expect(archiveHolds(await found[3]!.file.arrayBuffer())).toBe('ground')
  })

  test('tiles with their systems beside them stay together, in the order of their names', async () => {
    const { names, files: found } = await together('west.asc', 'east.asc', 'east.prj', 'west.prj', 'trees.kml')
    expect(names).toEqual(['east.asc + 3', 'trees.kml'])
    expect(archiveHolds(await found[0]!.file.arrayBuffer())).toBe('ground')
  })

  test('two of one name in different folders stay apart', async () => {
    expect((await together('a/x.shp', 'b/x.shp', 'a/x.dbf', 'b/x.dbf')).names).toEqual(['a/x.shp + 1', 'b/x.shp + 1'])
  })
})

// A drop as the browser hands it over, folders as entries that are read in portions.
const file = (path: string) => ({
  isFile: true,
  isDirectory: false,
  name: path.split('/').at(-1)!,
  fullPath: path,
  file: (done: (file: Blob) => void) => done(new Blob([path])),
})
const folder = (path: string, inside: readonly { readonly name: string }[]) => ({
  isFile: false,
  isDirectory: true,
  name: path.split('/').at(-1)!,
  fullPath: path,
  createReader: () => {
    const portions = [inside.slice(0, 2), inside.slice(2), []]
    return { readEntries: (done: (entries: readonly object[]) => void) => done(portions.shift() ?? []) }
  },
})
const dropped = (...entries: object[]) =>
  ({ items: entries.map(entry => ({ kind: 'file', webkitGetAsEntry: () => entry })), files: [] }) as never

describe('folders', () => {
  test('all files of a folder and of those in it come with their paths; hidden ones are left alone', async () => {
    const tree = folder('/holding', [
      file('/holding/a.kml'),
      file('/holding/.hidden'),
      file('/holding/b.gpx'),
      folder('/holding/deep', [file('/holding/deep/c.csv')]),
    ])
    const { files: found, more } = await filesOfDrop(dropped(tree, file('/d.tif')))
    expect(found.map(({ name }) => name)).toEqual(['holding/a.kml', 'holding/b.gpx', 'holding/deep/c.csv', 'd.tif'])
    expect(more).toBe(false)
  })

  test('of a folder with too many, no more are taken, and it is told', async () => {
    const huge = folder(
      '/all',
      Array.from({ length: 900 }, (_, k) => file(`/all/${k}.kml`)),
    )
    const { files: found, more } = await filesOfDrop(dropped(huge))
    expect([found.length, more]).toEqual([500, true])
  })

  test('without entries the files themselves are taken', async () => {
    const plain = { items: [], files: [new File(['x'], 'a.tif')] } as never
    expect((await filesOfDrop(plain)).files.map(({ name }) => name)).toEqual(['a.tif'])
  })
})
