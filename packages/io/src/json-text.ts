import { InputError } from 'soakline/foundation'

/** Deeper than any layer: a feature's corner lies eight levels down, in a collection of collections a few more. Judgement. */
const MOST_DEPTH = 100

/**
 * The value of a JSON text, a byte-order mark before it passed over.
 *
 * Laws    Depth is counted before anything is built: what walks a value calls itself, and would run out of stack far down.
 * Throws  InputError with the code that is given for a text that is no JSON, and `vector/too-deep`.
 */
export function parseJson(text: string, notJson: (why: string) => InputError): unknown {
  let [depth, inText] = [0, false]
  for (let at = 0; at < text.length; at++) {
    const sign = text.charCodeAt(at)
    if (inText) {
      if (sign === 0x5c) at++
      else if (sign === 0x22) inText = false
    } else if (sign === 0x22) inText = true
    else if (sign === 0x5b || sign === 0x7b) {
      if (++depth > MOST_DEPTH)
        throw new InputError(
          'vector/too-deep',
          `The file nests its lists deeper than ${MOST_DEPTH}, as no map layer does. It is damaged or hostile; export the layer again.`,
          { most: MOST_DEPTH },
        )
    } else if (sign === 0x5d || sign === 0x7d) depth--
  }
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch (error) {
    throw notJson(error instanceof Error ? error.message.slice(0, 120) : 'unreadable')
  }
}
