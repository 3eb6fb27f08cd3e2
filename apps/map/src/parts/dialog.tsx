import type { ComponentChildren } from 'preact'
import { useId, useLayoutEffect, useRef } from 'preact/hooks'
import { useDesk } from './with-sheet.js'

/** A page laid over the sheet; Escape or the button closes it, and the focus goes back to where it was. */
export function Dialog({
  title,
  className,
  onClose,
  children,
}: {
  readonly title: string
  readonly className?: string
  readonly children: ComponentChildren
  onClose(): void
}) {
  const { say } = useDesk()
  const dialog = useRef<HTMLDialogElement>(null)
  const id = useId()
  useLayoutEffect(() => {
    const before = document.activeElement
    const laid = dialog.current
    laid?.showModal()
    return () => {
      // What closed it has often given the focus back already, and the reader may be elsewhere by now.
      const now = document.activeElement
      if (before instanceof HTMLElement && (now === document.body || laid?.contains(now))) before.focus()
    }
  }, [])
  return (
    <dialog ref={dialog} class={`dialog ${className ?? ''}`} aria-labelledby={id} onClose={onClose}>
      <div class="dialog-head">
        <h2 id={id}>{title}</h2>
        <button type="button" onClick={() => dialog.current?.close()}>
          {say.bar.close}
        </button>
      </div>
      <div class="dialog-body">{children}</div>
    </dialog>
  )
}
