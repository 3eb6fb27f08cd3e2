/** Characters that neither XML nor a terminal should get from a file, and those that turn the direction of writing. */
function unwanted(code: number): boolean {
  if (code < 0x20) return code !== 0x09 && code !== 0x0a && code !== 0x0d
  if (code >= 0x7f && code <= 0x9f) return true
  if (code >= 0xd800 && code <= 0xdfff) return true
  return (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069) || code === 0xfffe || code === 0xffff
}

/** The text without control characters: nothing in a name can colour a terminal, break an XML document or turn the writing round. */
export function plainText(text: string): string {
  let plain = ''
  for (const character of text) if (!unwanted(character.codePointAt(0)!)) plain += character
  return plain
}

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** The text as it may stand in HTML or SVG, between tags or in a quoted attribute. Everything that comes from a file goes through here. */
export const escapeText = (text: string): string => plainText(text).replace(/[&<>"']/g, character => ENTITIES[character]!)
