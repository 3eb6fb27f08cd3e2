import { mkdir, open, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import type { ByteSource } from '@soakline/io'
import { InputError } from 'soakline/foundation'

/** Bytes of an input file. Throws InputError `file/not-found`, `file/not-readable`, `file/is-a-folder`. */
export async function readBytes(path: string): Promise<ArrayBuffer> {
  try {
    if ((await stat(path)).isDirectory()) throw new InputError('file/is-a-folder', `${path} is a folder. Name the file in it.`, { path })
    const buffer = await readFile(path)
    return buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.byteLength) as ArrayBuffer
  } catch (error) {
    throw unreadable(path, error)
  }
}

function unreadable(path: string, error: unknown): InputError {
  if (error instanceof InputError) return error
  const code = (error as { code?: string }).code
  if (code === 'ENOENT') return new InputError('file/not-found', `There is no file ${path}. Check its name and the folder.`, { path })
  if (code === 'EISDIR') return new InputError('file/is-a-folder', `${path} is a folder. Name the file in it.`, { path })
  return new InputError('file/not-readable', `${path} cannot be read (${code ?? 'unknown reason'}). Check that you may read it.`, { path })
}

/** An input file of which only stretches are read; `close` when done. Throws as `readBytes`. */
export async function openFile(path: string): Promise<ByteSource & { close(): Promise<void> }> {
  try {
    const file = await open(path)
    const { size } = await file.stat()
    const folder = (await file.stat()).isDirectory()
    if (folder) {
      await file.close()
      throw new InputError('file/is-a-folder', `${path} is a folder. Name the file in it.`, { path })
    }
    return {
      name: basename(path),
      size,
      held: null,
      async read(offset, length, signal) {
        signal?.throwIfAborted()
        const bytes = new Uint8Array(Math.max(0, Math.min(length, size - offset)))
        let filled = 0
        while (filled < bytes.length) {
          const { bytesRead } = await file.read(bytes, filled, Math.min(1 << 30, bytes.length - filled), offset + filled)
          if (bytesRead === 0) break
          filled += bytesRead
        }
        return bytes.subarray(0, filled)
      },
      close: () => file.close(),
    }
  } catch (error) {
    throw unreadable(path, error)
  }
}

/** Text of an input file in UTF-8. Throws as `readBytes`, and InputError `file/not-text`. */
export async function readText(path: string): Promise<string> {
  const bytes = await readBytes(path)
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw new InputError('file/not-text', `${path} is not a text in UTF-8. Export it again as plain text (UTF-8).`, { path })
  }
}

/** What a JSON file holds. Throws as `readText`, and InputError `settings/not-json`. */
export async function readJson(file: string): Promise<unknown> {
  const text = await readText(file)
  try {
    return JSON.parse(text)
  } catch (error) {
    throw new InputError(
      'settings/not-json',
      `${file} is not JSON (${error instanceof Error ? error.message : 'unreadable'}). Correct it and try again.`,
      { file },
    )
  }
}

/** A file to be written. */
export interface OutputFile {
  readonly name: string
  readonly content: string | Uint8Array
}

/** Writes files into a folder, made if absent; each is written beside its place and renamed into it, so that it appears whole. */
export async function writeFiles(folder: string, files: readonly OutputFile[]): Promise<void> {
  try {
    await mkdir(folder, { recursive: true })
    for (const { name, content } of files) {
      const beside = join(folder, `.${basename(name)}.${process.pid}.part`)
      try {
        await writeFile(beside, content)
        await rename(beside, join(folder, name))
      } catch (error) {
        await rm(beside, { force: true })
        throw error
      }
    }
  } catch (error) {
    throw new InputError(
      'file/not-writable',
      `The answer cannot be written into ${folder} (${(error as { code?: string }).code ?? String(error)}). Choose another folder with --out, or free some space.`,
      {
        folder,
      },
    )
  }
}

/** JSON with numbers as they are; text for a file. */
export const jsonText = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`
