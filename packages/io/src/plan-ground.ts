import { InputError } from 'soakline/foundation'
import { type GroundInside, groundAnswers, type Plan } from 'soakline/plan'
import { answersKept, optionsKept } from './ground-answers.js'
import { inflate, MAX_INFLATION } from './inflate.js'
import type { ReadOptions } from './stored-raster.js'

/** Largest raster file that is put into a plan, packed: with base 64 the text stays under what is read back. Source: judgement. */
const MOST_PACKED_BYTES = 64e6
/** Largest that is unpacked from one. Source: judgement. */
const MOST_BYTES = 1e9

/** A raster's file as it stood in a plan, and how it was read. */
export interface UnpackedGround {
  readonly name: string
  readonly bytes: ArrayBuffer
  readonly options: ReadOptions
}

/**
 * The plan with the raster's own file in it, packed where that makes it smaller. What the user answered about the file goes along.
 *
 * Laws    `groundInside` gives the very bytes back; read with its options they are the same ground, with the same hash.
 * Throws  InputError `plan/ground-too-large`.
 */
export async function withGroundInside(plan: Plan, file: Uint8Array<ArrayBuffer>, options: ReadOptions): Promise<Plan> {
  const deflated = await deflate(file)
  const packing = deflated.length < file.length ? 'deflate' : 'none'
  const packed = packing === 'deflate' ? deflated : file
  if (packed.length > MOST_PACKED_BYTES)
    throw new InputError(
      'plan/ground-too-large',
      `The elevation file has ${packed.length} bytes when packed, more than the ${MOST_PACKED_BYTES} that a plan may hold. Keep it as a file beside the plan, or cut out the holding.`,
      { bytes: packed.length, most: MOST_PACKED_BYTES },
    )
  const answers = answersKept(options)
  // A part that was cut out of a raster is read without what the whole was cut by.
  const isPart = plan.ground.answers?.window !== undefined && options.window === undefined
  const inside: GroundInside = { packing, bytes: file.length, base64: base64Of(packed), ...(isPart ? { answers: answers ?? {} } : {}) }
  return { ...plan, ground: { ...plan.ground, ...(answers === undefined || isPart ? {} : { answers }), inside } }
}

/** The plan with its raster named and known by its hash alone. */
export function withoutGroundInside(plan: Plan): Plan {
  const { inside: _, ...ground } = plan.ground
  return { ...plan, ground }
}

/**
 * The raster's file that a plan holds; null where it holds none.
 *
 * Throws  InputError `plan/ground-damaged`, `plan/ground-too-large`.
 */
export async function groundInside({ ground }: Plan, signal?: AbortSignal): Promise<UnpackedGround | null> {
  const { inside } = ground
  if (inside === undefined) return null
  const packed = bytesOf(inside.base64)
  if (inside.bytes > MOST_BYTES)
    throw new InputError(
      'plan/ground-too-large',
      `The elevation in the plan has ${inside.bytes} bytes unpacked, more than ${MOST_BYTES}. Open the plan with its raster as a file.`,
      { bytes: inside.bytes, most: MOST_BYTES },
    )
  if (inside.bytes > packed.length * MAX_INFLATION) throw damaged()
  const bytes = inside.packing === 'none' ? packed : await unpacked(packed, inside.bytes, signal)
  if (bytes.length !== inside.bytes) throw damaged()
  return {
    name: ground.file.split(/[\\/]/).at(-1) ?? ground.file,
    bytes: bytes.buffer,
    options: optionsKept(inside.answers ?? groundAnswers(ground)),
  }
}

const damaged = (): InputError =>
  new InputError(
    'plan/ground-damaged',
    'The elevation in the plan is damaged: the file may have been cut off or changed on its way. Open another copy, or bring the raster itself.',
  )

async function unpacked(packed: Uint8Array, bytes: number, signal?: AbortSignal): Promise<Uint8Array<ArrayBuffer>> {
  const out = new Uint8Array(bytes)
  try {
    return out.subarray(0, await inflate(packed, out, 'deflate', signal))
  } catch {
    signal?.throwIfAborted()
    throw damaged()
  }
}

async function deflate(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  const stream = new Blob([bytes]).stream().pipeThrough(new CompressionStream('deflate'))
  return new Uint8Array(await new Response(stream).arrayBuffer())
}

/** In pieces of whole triples: the arguments of one call are limited. Source: RFC 4648, section 4. */
function base64Of(bytes: Uint8Array): string {
  const piece = 3 * 8192
  const texts: string[] = []
  for (let at = 0; at < bytes.length; at += piece) texts.push(btoa(String.fromCharCode(...bytes.subarray(at, at + piece))))
  return texts.join('')
}

function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  let text: string
  try {
    text = atob(base64)
  } catch {
    throw damaged()
  }
  const bytes = new Uint8Array(text.length)
  for (let k = 0; k < text.length; k++) bytes[k] = text.charCodeAt(k)
  return bytes
}
