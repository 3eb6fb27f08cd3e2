import { createHash } from 'node:crypto'
import { mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { type AddressOptions, allowedOnly, type KeptStretches } from '@soakline/io'
import type { Arguments } from './usage.js'

/** Hosts that `--allow` names. */
export const allowedHosts = (args: Arguments): readonly string[] =>
  (args.options.get('allow') ?? '').split(',').flatMap(host => (host.trim() === '' ? [] : [host.trim().toLowerCase()]))

/** How servers are asked: only those that are allowed. */
export function networkOf(args: Arguments): AddressOptions {
  const allowed = allowedHosts(args)
  const keep = args.options.get('keep')
  return {
    fetch: allowedOnly(
      (address, init) => fetch(address, init),
      host => allowed.includes(host.toLowerCase()),
    ),
    ...(keep === undefined ? {} : { kept: keptIn(keep) }),
  }
}

/** A folder of what came over the network: it comes again without one. */
function keptIn(folder: string): KeptStretches {
  const hash = (text: string): string => createHash('sha256').update(text).digest('hex').slice(0, 24)
  const fileOf = (key: string): string => join(folder, `${hash(key.slice(0, key.lastIndexOf('#')))}-${hash(key)}`)
  return {
    get: async key => {
      const bytes = await readFile(fileOf(key)).catch(() => null)
      return bytes && new Uint8Array(bytes)
    },
    async put(key, bytes) {
      await mkdir(folder, { recursive: true })
      const beside = `${fileOf(key)}.${process.pid}.part`
      await writeFile(beside, bytes)
      await rename(beside, fileOf(key))
    },
    async forget(address) {
      for (const name of await readdir(folder).catch(() => []))
        if (name.startsWith(hash(address))) await rm(join(folder, name), { force: true })
    },
  }
}
