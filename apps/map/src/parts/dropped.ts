/** A file with the name that it is told by. */
export interface BroughtFile {
  readonly file: Blob
  readonly name: string
}

/** So many files are taken out of a dropped folder at the most. Source: judgement, tiles of one holding are fewer. */
const MOST_FILES = 400

/** Everything that was dropped, folders walked through; an empty folder counts as an empty file, so that it too ends in a line. */
export async function droppedFiles(data: DataTransfer): Promise<readonly BroughtFile[]> {
  // Both lists are empty once the drop is over: what lies in them is taken hold of at once.
  const files = [...data.files]
  const entries = [...data.items].map(item => (item.kind === 'file' ? item.webkitGetAsEntry() : null))
  if (!entries.some(entry => entry?.isDirectory)) return files.map(file => ({ file, name: file.name }))
  const found: BroughtFile[] = []
  for (const entry of entries) if (entry) await collect(entry, found)
  return found
}

async function collect(entry: FileSystemEntry, found: BroughtFile[]): Promise<void> {
  if (found.length >= MOST_FILES) return
  if (entry.isFile) {
    const file = await new Promise<File | null>(resolve => (entry as FileSystemFileEntry).file(resolve, () => resolve(null)))
    found.push({ file: file ?? new Blob([]), name: entry.name })
    return
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader()
  const inside: FileSystemEntry[] = []
  for (;;) {
    // A folder is handed out in parts, until an empty one.
    const part = await new Promise<FileSystemEntry[]>(resolve => reader.readEntries(resolve, () => resolve([])))
    if (part.length === 0) break
    inside.push(...part)
  }
  const seen = inside.filter(({ name }) => !name.startsWith('.'))
  if (seen.length === 0) found.push({ file: new Blob([]), name: entry.name })
  for (const one of seen) await collect(one, found)
}
