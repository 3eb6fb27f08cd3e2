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
import { oneTab } from './state/one-tab.js'
import { createOpenData } from './state/open-data.js'
import { createPrefs } from './state/prefs.js'
import { followReleases, freshPage } from './state/releases.js'
import { createSheet } from './state/sheet.js'
import { setPolicy } from './trusted-types.js'
import { askWorker } from './worker/client.js'

import.meta.glob('./styles/*.css', { eager: true })

setPolicy()

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
  openStore,
  tab: oneTab,
  askToLast: async () => (await navigator.storage?.persisted?.()) || (await navigator.storage?.persist?.()) || false,
  now: () => new Date(),
  language: prefs.language,
  demoHolding: language => sheetWords({ language }).demo.holding,
})

const open = createOpenData({ ask: askWorker, sheet, now: () => new Date(), ...keeping })

// The built page opens with no network; while developing, nothing is kept.
const releases = import.meta.env.PROD && 'serviceWorker' in navigator ? followReleases(() => sheet.tell('new-version')) : null
const newest = (): void => void sheet.saveNow().then(() => (releases ? releases.load() : freshPage()))

render(<Sheet sheet={sheet} prefs={prefs} open={open} newest={newest} />, document.getElementById('sheet')!)
void sheet.start()
if (new URL(location.href).searchParams.has('fresh')) history.replaceState(null, '', './')
