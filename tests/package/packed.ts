import { spawnSync } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { repositoryRoot } from '../helpers/repository.js'

/** The packages that others may install, by their folder. */
export const PUBLISHED = ['soakline', 'io', 'drawing'] as const

/** Packs a package as it would be published (workspace links become versions); gives the archive's path. The build must be there. */
export function packed(folder: (typeof PUBLISHED)[number], into: string): string {
  const { packageManager } = JSON.parse(readFileSync(join(repositoryRoot, 'package.json'), 'utf8')) as { packageManager: string }
  const before = new Set(readdirSync(into))
  const run = spawnSync('npx', ['--yes', packageManager, 'pack', '--pack-destination', into], {
    cwd: join(repositoryRoot, 'packages', folder),
    encoding: 'utf8',
  })
  if (run.status !== 0) throw new Error(`Packing ${folder} failed: ${run.stderr}${run.stdout}`)
  const made = readdirSync(into).filter(name => !before.has(name) && name.endsWith('.tgz'))
  if (made.length !== 1) throw new Error(`Packing ${folder} left ${made.length} archives.`)
  return join(into, made[0]!)
}
