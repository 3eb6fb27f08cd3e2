/** The part of the browser's Trusted Types that is used; browsers without them go by the page's other rules alone. */
interface Factory {
  createPolicy(name: 'default', rules: { createHTML(text: string): string; createScriptURL(address: string): string }): unknown
}

/** What a drawing never holds: a script, another document, something that acts by itself. */
const ACTIVE = /<(script|foreignobject|iframe|object|embed|handler)\b|<[^>]*[\s"'/]on[a-z]+\s*=|<[^>]*(href|src)\s*=\s*["']?\s*javascript:/i

/** Text that may be read as markup: a drawing, and nothing that acts. Throws TypeError. */
export function drawingText(text: string): string {
  if (!text.startsWith('<svg') || ACTIVE.test(text)) throw new TypeError('Only drawings are read as markup here.')
  return text
}

/** An address of code: a file of this page. Throws TypeError. */
export function ownAddress(address: string, page: string): string {
  const [url, own] = [new URL(address, page), new URL('./', page)]
  if (url.origin !== own.origin || !url.pathname.startsWith(own.pathname)) throw new TypeError('Only code of this page runs here.')
  return address
}

/**
 * Sets the page's one policy. It bears the name `default` because the map library hands its worker's address over as text, and only a default
 * policy is asked about texts.
 */
export function setPolicy(): void {
  const factory = (globalThis as { readonly trustedTypes?: Factory }).trustedTypes
  factory?.createPolicy('default', { createHTML: drawingText, createScriptURL: address => ownAddress(address, document.baseURI) })
}
