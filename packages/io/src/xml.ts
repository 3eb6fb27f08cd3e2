import { InputError } from 'soakline/foundation'

/** An element of an XML file; names without their namespace's prefix. */
export interface XmlElement {
  readonly name: string
  readonly attributes: ReadonlyMap<string, string>
  readonly children: readonly XmlElement[]
  /** Its own text, trimmed. */
  readonly text: string
}

/** A text as XML holds it: no sign that XML 1.0 forbids, none that could end the text. */
export function xmlText(text: string): string {
  return (
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: XML 1.0 forbids these
      .replace(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]/g, '')
      .replace(/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g, '\uFFFD')
      .replaceAll('&', '&amp;')
      .replaceAll('<', '&lt;')
      .replaceAll('>', '&gt;')
      .replaceAll('"', '&quot;')
      .replaceAll("'", '&apos;')
  )
}

/** Longer, larger, deeper files are no route or layer of a holding: they are damaged or hostile. Judgement. */
const MAX_CHARACTERS = 50e6
const MAX_ELEMENTS = 1e6
const MAX_DEPTH = 60
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }

/**
 * The root element of an XML text.
 *
 * Limits   no document types, so no entities but the five of XML and numbers: nothing is fetched, nothing grows.
 * Throws   InputError `xml/broken` (with the place), `xml/doctype`, `xml/too-large`.
 * Source   XML 1.0 (5th ed.), the part that GPX and KML use.
 */
export function parseXml(text: string): XmlElement {
  if (text.length > MAX_CHARACTERS) throw tooLarge(`${text.length} characters`)
  const source = text.replace(/^\uFEFF/, '')
  interface Open {
    readonly tag: string
    readonly attributes: ReadonlyMap<string, string>
    readonly children: XmlElement[]
    text: string
  }
  const open: Open[] = []
  let root: XmlElement | null = null
  let elements = 0
  let at = 0
  const broken = (what: string): InputError => {
    const line = source.slice(0, at).split('\n').length
    return new InputError('xml/broken', `The file is not whole XML: ${what}, in line ${line}. Export it again.`, { line, what })
  }
  const add = (piece: string): void => {
    const here = open[open.length - 1]
    if (here) here.text += piece
    else if (piece.trim() !== '') throw broken('text outside the first element')
  }
  const skip = (end: string, what: string): string => {
    const to = source.indexOf(end, at)
    if (to < 0) throw broken(`${what} does not end`)
    const inner = source.slice(at, to)
    at = to + end.length
    return inner
  }
  const close = (element: Open): void => {
    const done: XmlElement = {
      name: local(element.tag),
      attributes: element.attributes,
      children: element.children,
      text: element.text.trim(),
    }
    const parent = open[open.length - 1]
    if (parent) parent.children.push(done)
    else if (root) throw broken('a second outermost element')
    else root = done
  }
  while (at < source.length) {
    const next = source.indexOf('<', at)
    if (next < 0) {
      add(unescaped(source.slice(at), broken))
      at = source.length
      break
    }
    if (next > at) add(unescaped(source.slice(at, next), broken))
    at = next
    if (source.startsWith('<!--', at)) {
      at += 4
      skip('-->', 'a comment')
    } else if (source.startsWith('<![CDATA[', at)) {
      at += 9
      add(skip(']]>', 'a CDATA part'))
    } else if (source.startsWith('<?', at)) {
      at += 2
      skip('?>', 'a processing instruction')
    } else if (source.startsWith('<!', at)) {
      throw new InputError(
        'xml/doctype',
        'The file brings a document type of its own, which can fetch and grow. It was not opened; export plain GPX or KML.',
      )
    } else if (source.startsWith('</', at)) {
      at += 2
      const tag = skip('>', 'a closing tag').trim()
      const element = open.pop()
      if (!element || element.tag !== tag) throw broken(`</${tag.slice(0, 40)}> closes nothing`)
      close(element)
    } else {
      const tag = /^<([A-Za-z_][\w.:-]*)/.exec(source.slice(at, at + 300))?.[1]
      if (tag === undefined) throw broken('a "<" that begins no tag')
      if (++elements > MAX_ELEMENTS) throw tooLarge(`more than ${MAX_ELEMENTS} elements`)
      if (open.length >= MAX_DEPTH) throw tooLarge(`elements nested deeper than ${MAX_DEPTH}`)
      at += tag.length + 1
      const attributes = new Map<string, string>()
      let ended = false
      while (!ended) {
        while (/\s/.test(source[at] ?? '')) at++
        if (source.startsWith('/>', at)) {
          at += 2
          close({ tag, attributes, children: [], text: '' })
          ended = true
        } else if (source[at] === '>') {
          at++
          open.push({ tag, attributes, children: [], text: '' })
          ended = true
        } else {
          const name = /^([A-Za-z_][\w.:-]*)\s*=\s*(["'])/.exec(source.slice(at, at + 300))
          if (!name) throw broken(`the tag <${tag.slice(0, 40)}> is not written whole`)
          at += name[0].length
          const value = skip(name[2]!, 'an attribute')
          if (value.includes('<')) throw broken('a "<" in an attribute')
          attributes.set(local(name[1]!), unescaped(value, broken))
        }
      }
    }
  }
  if (open.length > 0) throw broken(`<${open[open.length - 1]!.tag.slice(0, 40)}> is never closed`)
  if (!root) throw broken('there is no element')
  return root
}

/** The elements of a name below another, at any depth. */
export function everyElement(element: XmlElement, name: string): XmlElement[] {
  return element.children.flatMap(child => [...(child.name === name ? [child] : []), ...everyElement(child, name)])
}

/** Text of the first child of a name; null without one. */
export const childText = (element: XmlElement, name: string): string | null =>
  element.children.find(child => child.name === name)?.text ?? null

const local = (name: string): string => name.slice(name.indexOf(':') + 1)

function unescaped(text: string, broken: (what: string) => InputError): string {
  return text.replace(/&([^;&\s]{0,12};?)/g, (whole, inner: string) => {
    const name = inner.endsWith(';') ? inner.slice(0, -1) : null
    if (name !== null && Object.hasOwn(ENTITIES, name)) return ENTITIES[name]!
    const number = name === null ? null : /^#(?:x([0-9a-fA-F]{1,6})|(\d{1,7}))$/.exec(name)
    const code = number ? Number.parseInt(number[1] ?? number[2]!, number[1] ? 16 : 10) : Number.NaN
    if (!(code > 0 && code <= 0x10ffff && !(code >= 0xd800 && code <= 0xdfff))) throw broken(`"${whole.slice(0, 20)}" is no sign of XML`)
    return String.fromCodePoint(code)
  })
}

const tooLarge = (what: string): InputError =>
  new InputError('xml/too-large', `The XML file has ${what}. Keep what lies on the holding and export again.`, { what })
