import { packZip } from '@soakline/io'

/** A file as somebody brought it. */
export interface BroughtFile {
  readonly file: Blob
  /** Its path, where it came in a folder. */
  readonly name: string
}

/** Parts of a shapefile that are read, beside its main file. */
const PARTS = ['dbf', 'prj', 'cpg', 'shx']
/** Files that other programs set beside a shapefile or a raster and that hold nothing which is needed here. */
const BESIDE = /\.(sbn|sbx|fbn|fbx|ain|aih|atx|ixs|mxs|qix|qpj|qmd|qml|sld|lyr|ovr|shp\.xml|aux\.xml|tfw|tifw|tif\.msk)$/i
/** Rasters that can have their coordinate system in a file beside them. */
const WITH_PRJ = /\.(asc|grd|tiff?|csv|txt|xyz)$/i

const stemOf = (name: string): string => name.replace(/\.[^./\\]*$/, '').toLowerCase()

/** What was brought, put together to what is read as one: the parts of a shapefile, a raster and the system beside it. */
export interface PutTogether {
  readonly files: readonly BroughtFile[]
  /** Names of files that only stand beside others and are not read. */
  readonly beside: readonly string[]
}

/**
 * Packs together what belongs together by its names.
 *
 * Laws    Every file that was brought is in one of the results, or a part of one whose name says how many there are.
 */
export async function putTogether(list: readonly BroughtFile[]): Promise<PutTogether> {
  const used = new Set<BroughtFile>()
  const files: BroughtFile[] = []
  const packed = async (main: BroughtFile, others: readonly BroughtFile[]): Promise<BroughtFile> => {
    for (const one of [main, ...others]) used.add(one)
    if (others.length === 0) return main
    const bytes = async ({ file, name }: BroughtFile) => ({ name, bytes: new Uint8Array(await file.arrayBuffer()) })
    return { file: new Blob([packZip(await Promise.all([main, ...others].map(bytes)))]), name: `${main.name} + ${others.length}` }
  }
  const partsOf = (main: BroughtFile, endings: readonly string[]): BroughtFile[] =>
    list.filter(one => !used.has(one) && endings.some(ending => one.name.toLowerCase() === `${stemOf(main.name)}.${ending}`))
  for (const one of list) if (/\.shp$/i.test(one.name)) files.push(await packed(one, partsOf(one, PARTS)))
  // A raster with its system beside it; several are tiles of one, or one of them is meant: they stay together, and it is asked.
  const withSystem = list.filter(one => !used.has(one) && WITH_PRJ.test(one.name) && partsOf(one, ['prj']).length > 0)
  const [first, ...others] = withSystem.sort((a, b) => (a.name < b.name ? -1 : 1))
  if (first !== undefined) files.push(await packed(first, [...others, ...withSystem.flatMap(one => partsOf(one, ['prj']))]))
  const rest = list.filter(one => !used.has(one))
  return {
    // In the order in which they were brought, by their main file.
    files: inOrder([...files, ...rest.filter(({ name }) => !BESIDE.test(name))], list),
    beside: rest.filter(({ name }) => BESIDE.test(name)).map(({ name }) => name),
  }
}

function inOrder(files: readonly BroughtFile[], list: readonly BroughtFile[]): BroughtFile[] {
  const place = ({ name }: BroughtFile): number => list.findIndex(one => name === one.name || name.startsWith(`${one.name} + `))
  return [...files].sort((a, b) => place(a) - place(b))
}

/** More files than anybody drops on purpose. Judgement. */
const MOST_FILES = 500

/**
 * The files of a drop, those in folders with their paths; hidden ones are left alone. Must be called while the event is handled.
 *
 * @returns the files, and whether there were more than are taken
 */
export async function filesOfDrop(transfer: Pick<DataTransfer, 'items' | 'files'>): Promise<{ files: BroughtFile[]; more: boolean }> {
  const entries = [...transfer.items].flatMap(item => {
    const entry = item.kind === 'file' ? item.webkitGetAsEntry?.() : null
    return entry ? [entry] : []
  })
  if (entries.length === 0) return { files: [...transfer.files].map(file => ({ file, name: file.name })), more: false }
  const files: BroughtFile[] = []
  let more = false
  const take = async (entry: FileSystemEntry, inFolder: boolean): Promise<void> => {
    if (inFolder && entry.name.startsWith('.')) return
    if (files.length >= MOST_FILES) {
      more = true
      return
    }
    if (entry.isFile) {
      const file = await new Promise<File>((done, fail) => (entry as FileSystemFileEntry).file(done, fail))
      files.push({ file, name: entry.fullPath.replace(/^\//, '') || file.name })
      return
    }
    const reader = (entry as FileSystemDirectoryEntry).createReader()
    for (;;) {
      // A reader gives its entries in portions, and at the end none.
      const some = await new Promise<FileSystemEntry[]>((done, fail) => reader.readEntries(done, fail))
      if (some.length === 0) return
      for (const one of some) await take(one, true)
      if (more) return
    }
  }
  for (const entry of entries) await take(entry, false)
  return { files, more }
}
