import type { ComponentType } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { useDesk } from './with-sheet.js'

/** A part of the page that is fetched when it is first shown, so that the first answers do not wait for it. */
export function later(load: () => Promise<ComponentType>): ComponentType {
  let loaded: ComponentType | null = null
  return function Later() {
    const { sheet } = useDesk()
    const [Part, setPart] = useState<ComponentType | null>(() => loaded)
    useEffect(() => {
      if (loaded !== null) return
      load().then(
        part => {
          loaded = part
          setPart(() => part)
        },
        // It is gone from the server, and from what the browser keeps: a newer release stands there.
        () => sheet.tell('new-version'),
      )
    }, [])
    return Part && <Part />
  }
}
