import { sayVerdict, type Voice, verdictMark } from '@soakline/drawing'
import { useLayoutEffect, useRef } from 'preact/hooks'
import type { Verdict } from 'soakline/foundation'

/** An SVG text as a picture on the page: read as XML and taken over as a node, never as HTML. */
export function Drawing({ svg, className }: { readonly svg: string; readonly className?: string }) {
  const holder = useRef<HTMLSpanElement>(null)
  useLayoutEffect(() => {
    const root = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement
    // What is not a drawing (a parser's complaint) is not shown.
    if (root.localName === 'svg') holder.current?.replaceChildren(document.adoptNode(root))
    else holder.current?.replaceChildren()
  }, [svg])
  return <span ref={holder} class={`drawing ${className ?? ''}`} />
}

/** The mark of a verdict, with its word for those who cannot see it. */
export const Mark = ({ verdict, voice, size = 18 }: { readonly verdict: Verdict; readonly voice: Voice; readonly size?: number }) => (
  <Drawing className={`mark mark-${verdict}`} svg={withNamespace(verdictMark(verdict, sayVerdict(verdict, voice), size))} />
)

/** Marks are made to stand inside HTML; as XML they must name their language. */
const withNamespace = (svg: string): string => svg.replace('<svg ', '<svg xmlns="http://www.w3.org/2000/svg" ')
