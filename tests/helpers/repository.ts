import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The repository's root folder. */
export const repositoryRoot = dirname(dirname(dirname(fileURLToPath(import.meta.url))))

/** Folder of real rasters beside the repository; null where it is absent (a fresh clone), which is told in one line. */
export const sharedData: string | null = ((): string | null => {
  const folder = join(repositoryRoot, '..', 'shared', 'data')
  return existsSync(folder) ? folder : null
})()
