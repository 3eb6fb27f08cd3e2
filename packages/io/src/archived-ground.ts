import { InputError } from 'soakline/foundation'
import { mayBeGround } from './ground-marks.js'
import type { ReadOptions } from './stored-raster.js'
import { openZip, type ZipMember } from './zip.js'

/** Endings of files that stand beside a raster and are none. */
const BESIDE = /(^|[\\/])(readme|licen[cs]e|copying|metadata)[^\\/]*\.txt$|\.(aux|tif)\.[a-z]+$/i

/** The files of an archive that can be ground, by their endings; which format it is the file says itself. */
export const groundMembers = (members: readonly ZipMember[]): ZipMember[] =>
  members.filter(({ name }) => mayBeGround(name) && !BESIDE.test(name))

/** One raster out of an archive, and the coordinate system that stands beside it. */
export interface UnpackedGround {
  readonly bytes: ArrayBuffer
  readonly fileName: string
  /** Text of the `.prj` file of the same name; null without. */
  readonly prj: string | null
}

/**
 * The file or files of an archive that are meant: the only one, the one that is named, or all.
 *
 * Throws  InputError `archive/no-ground`, `archive/several-files` (a question), `archive/no-such-file`, and those of `openZip`.
 */
export async function unpackGround(archive: ArrayBuffer, options: ReadOptions): Promise<UnpackedGround[]> {
  const members = openZip(new Uint8Array(archive))
  const candidates = groundMembers(members)
  const names = candidates.map(({ name }) => name)
  if (candidates.length === 0)
    throw new InputError(
      'archive/no-ground',
      `The archive holds no file of heights that is read here (it holds ${members.length === 0 ? 'nothing' : members.slice(0, 5).map(listed).join(', ')}${members.length > 5 ? ' and more' : ''}). Unpack it, and export the ground as GeoTIFF.`,
      { files: members.length, first: members[0]?.name.slice(-60) ?? null },
    )
  let chosen = candidates
  if (options.member !== undefined) {
    chosen = candidates.filter(({ name }) => name === options.member)
    if (chosen.length !== 1)
      throw new InputError(
        'archive/no-such-file',
        `The archive holds ${chosen.length === 0 ? 'no' : 'more than one'} file "${options.member.slice(-60)}". It holds ${names.slice(0, 5).map(quoted).join(', ')}${names.length > 5 ? ' and more' : ''}.`,
        { members: names.slice(0, 40) },
      )
  } else if (candidates.length > 1 && !options.join)
    throw new InputError(
      'archive/several-files',
      `The archive holds ${candidates.length} files that can be ground (${names.slice(0, 5).map(quoted).join(', ')}${names.length > 5 ? ' and more' : ''}). Say which with --member NAME, or join them with --join.`,
      { members: names.slice(0, 40), files: candidates.length },
    )
  const unpacked: UnpackedGround[] = []
  for (const member of chosen) {
    const bytes = await member.read(options.signal)
    const stem = member.name.replace(/\.[^.\\/]*$/, '').toLowerCase()
    const beside = members.find(({ name, bytes }) => name.toLowerCase() === `${stem}.prj` && bytes < 65_536)
    unpacked.push({
      bytes: bytes.buffer,
      fileName: member.name,
      prj: beside ? new TextDecoder().decode(await beside.read(options.signal)) : null,
    })
  }
  return unpacked
}

const quoted = (name: string): string => `"${name.slice(-40)}"`
const listed = ({ name }: ZipMember): string => quoted(name)
