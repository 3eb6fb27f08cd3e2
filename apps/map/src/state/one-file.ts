import { type ReadonlySignal, signal } from '@preact/signals'
import type { Sheet } from './sheet.js'

/** A file on the reader's own disk that can be written again. */
export interface FileAtHand {
  readonly name: string
  /** Throws whatever the browser throws where the file is gone or may no longer be written. */
  write(text: string): Promise<void>
}

/** Lets the reader choose a file to write; null where nothing was chosen. */
export type ChooseFile = (suggested: string) => Promise<FileAtHand | null>

/** The one file that a plan is saved into, from the moment that the reader chose it until another work stands on the sheet. */
export interface OneFile {
  /** False where the browser cannot write a file again: then every saving makes a new one. */
  readonly able: boolean
  readonly file: ReadonlySignal<FileAtHand | null>
  choose(suggested: string): Promise<boolean>
  /** Writes the plan into the file; false where there is none, or it could not be written: then it is given up. */
  save(): Promise<boolean>
  leave(): void
}

/** Keeps hold of the file, which no browser lets outlast the page. */
export function createOneFile(sheet: Sheet, choose: ChooseFile | null): OneFile {
  const file = signal<FileAtHand | null>(null)
  const leave = (): void => {
    file.value = null
  }
  // The file of one plan must never be written over with another.
  sheet.workNumber.subscribe(leave)
  async function save(): Promise<boolean> {
    const at = file.value
    if (at === null) return false
    const about = sheet.plan.value
    try {
      await at.write(sheet.planText())
    } catch {
      if (file.value === at) leave()
      sheet.tell('file-lost')
      return false
    }
    // What was changed while it was written is not in the file.
    if (sheet.plan.value === about) sheet.markInFile()
    return true
  }
  return {
    able: choose !== null,
    file,
    leave,
    save,
    async choose(suggested) {
      const about = sheet.workNumber.value
      const chosen = choose === null ? null : await choose(suggested)
      if (chosen === null || sheet.workNumber.value !== about) return false
      file.value = chosen
      return save()
    },
  }
}

/** The part of the browser's window that is used: its types do not know it yet. */
interface FilePicker {
  showSaveFilePicker?(options: object): Promise<{
    readonly name: string
    createWritable(): Promise<{ write(text: string): Promise<void>; close(): Promise<void> }>
  }>
}

/** The browser's own way to choose a file that can be written again; null where it has none. Source: File System Access (WICG draft). */
export function fileChooser(window: FilePicker): ChooseFile | null {
  if (typeof window.showSaveFilePicker !== 'function') return null
  return async suggestedName => {
    try {
      const handle = await window.showSaveFilePicker!({
        suggestedName,
        types: [{ accept: { 'application/json': ['.json'] } }],
      })
      return {
        name: handle.name,
        async write(text) {
          const stream = await handle.createWritable()
          await stream.write(text)
          await stream.close()
        },
      }
    } catch {
      // The reader closed the window without choosing.
      return null
    }
  }
}
