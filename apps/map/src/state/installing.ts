import { type ReadonlySignal, signal } from '@preact/signals'

/** Not in the standard library of types: the browsers that have it let a page ask once. */
interface InstallPrompt extends Event {
  prompt(): Promise<unknown>
}

/** Whether the sheet can be put among the apps of the device from here. */
export interface Installing {
  /** `ask`: the browser lets the page ask. `installed`: it stands there, or was opened from there. `by-hand`: only the browser's own menu does it. */
  readonly state: ReadonlySignal<'by-hand' | 'ask' | 'installed'>
  /** True once the built files are kept for use without a network. */
  readonly offline: ReadonlySignal<boolean>
  ask(): void
}

/** Listens from the start: the browser offers it once, early. */
export function watchInstalling(page: Window): Installing {
  const state = signal<'by-hand' | 'ask' | 'installed'>(page.matchMedia('(display-mode: standalone)').matches ? 'installed' : 'by-hand')
  const offline = signal(false)
  let offered: InstallPrompt | null = null
  page.addEventListener('beforeinstallprompt', event => {
    event.preventDefault()
    offered = event as InstallPrompt
    state.value = 'ask'
  })
  page.addEventListener('appinstalled', () => {
    offered = null
    state.value = 'installed'
  })
  if ('serviceWorker' in page.navigator)
    void page.navigator.serviceWorker.ready.then(() => {
      offline.value = true
    })
  return {
    state,
    offline,
    ask() {
      void offered?.prompt()
      offered = null
      if (state.value === 'ask') state.value = 'by-hand'
    },
  }
}
