import '@fontsource/noto-sans/latin-400.css'
import '@fontsource/noto-sans/latin-600.css'
import '@fontsource/noto-sans/latin-ext-400.css'
import '@fontsource/noto-sans/latin-ext-600.css'
import 'maplibre-gl/dist/maplibre-gl.css'
import './plan-view/plan-view.css'
import { sheetWords } from '@soakline/drawing'
import { render } from 'preact'
import { Sheet } from './parts/sheet.js'
import { openStore } from './state/browser-store.js'
import { createOpenData } from './state/open-data.js'
import { createPrefs } from './state/prefs.js'
import { createSheet } from './state/sheet.js'
import { askWorker } from './worker/client.js'

import.meta.glob('./styles/*.css', { eager: true })

const KEY = 'soakline-'

/** Small things that the browser keeps; where it keeps nothing they last as long as the page. */
const kept = new Map<string, string>()
const keeping = {
  read(key: string): string | null {
    try {
      return localStorage.getItem(KEY + key)
    } catch {
      return kept.get(key) ?? null
    }
  },
  write(key: string, value: string): void {
    kept.set(key, value)
    try {
      localStorage.setItem(KEY + key, value)
    } catch {
      // Storage is blocked or full: the choice holds for this visit.
    }
  },
}
const prefs = createPrefs({ languages: navigator.languages, dark: matchMedia('(prefers-color-scheme: dark)').matches, ...keeping })

const sheet = createSheet({
  ask: askWorker,
  async demoFile(name) {
    const response = await fetch(`demo/${name}`)
    if (!response.ok) throw new Error(`The demo's ${name} is missing (${response.status}).`)
    return response.blob()
  },
  openStore: () => openStore().catch(() => null),
  claim,
  now: () => new Date(),
  language: prefs.language,
  demoHolding: language => sheetWords({ language }).demo.holding,
  saveAfter_ms: 600,
})

const open = createOpenData({ ask: askWorker, sheet, now: () => new Date(), ...keeping })

render(<Sheet sheet={sheet} prefs={prefs} open={open} />, document.getElementById('sheet')!)
void sheet.start()

// The built page opens with no network; while developing, nothing is kept. A page that is not served securely does without.
if (import.meta.env.PROD && 'serviceWorker' in navigator) navigator.serviceWorker.register('./offline.js').catch(() => undefined)

/** True for the first tab: it holds a lock as long as it is open. Where there are no locks every tab counts as the first. */
function claim(): Promise<boolean> {
  if (!('locks' in navigator)) return Promise.resolve(true)
  return new Promise(resolve => {
    navigator.locks
      .request(`${KEY}sheet`, { ifAvailable: true }, lock => {
        resolve(lock !== null)
        return lock === null ? undefined : new Promise(() => {})
      })
      .catch(() => resolve(true))
  })
}
