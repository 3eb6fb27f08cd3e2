/** How often a page that stays open looks for a newer release. Source: judgement. */
const LOOK_AFTER_MS = 3_600_000

/** What the page may do about newer releases of itself. */
export interface Releases {
  /** Opens the newest release; the page is loaded anew. */
  load(): void
}

/**
 * Lets the built page open with no network, and tells when a newer release has been fetched. Nothing is changed under a page that is open:
 * the reader decides when the newer one is loaded.
 */
export function followReleases(onReady: () => void): Releases {
  const { serviceWorker } = navigator
  let waiting: ServiceWorker | null = null
  const ready = (worker: ServiceWorker): void => {
    waiting = worker
    onReady()
  }
  void serviceWorker
    .register('./offline.js')
    .then(registration => {
      // Without a controller this is the first release that the browser keeps.
      if (registration.waiting && serviceWorker.controller) ready(registration.waiting)
      registration.addEventListener('updatefound', () => {
        const coming = registration.installing
        coming?.addEventListener('statechange', () => {
          if (coming.state === 'installed' && serviceWorker.controller) ready(coming)
        })
      })
      let last = Date.now()
      document.addEventListener('visibilitychange', () => {
        if (document.hidden || Date.now() - last < LOOK_AFTER_MS) return
        last = Date.now()
        registration.update().catch(() => undefined)
      })
    })
    // A page that is not served securely does without.
    .catch(() => undefined)
  return {
    load() {
      if (waiting === null) return freshPage()
      serviceWorker.addEventListener('controllerchange', () => location.reload())
      waiting.postMessage('take-over')
    },
  }
}

/** Loads the page past whatever the browser keeps of it. */
export function freshPage(): void {
  location.assign(new URL('./?fresh', document.baseURI))
}
