import type { SectionSize } from '@soakline/drawing'
import type { RefObject } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'

/** The room that a drawing has on the page; it is drawn anew when that changes, so that its lettering keeps its size. */
export function useRoom<T extends HTMLElement>(): { readonly ref: RefObject<T | null>; readonly room: SectionSize | null } {
  const ref = useRef<T>(null)
  const [room, setRoom] = useState<SectionSize | null>(null)
  useEffect(() => {
    const element = ref.current
    if (element === null) return
    const observer = new ResizeObserver(([entry]) => {
      const { width, height } = entry!.contentRect
      setRoom(width > 0 && height > 0 ? { width: Math.round(width), height: Math.round(height) } : null)
    })
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return { ref, room }
}
