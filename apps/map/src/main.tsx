import '@fontsource/noto-sans/latin-400.css'
import '@fontsource/noto-sans/latin-600.css'
import '@fontsource/noto-sans/latin-ext-400.css'
import '@fontsource/noto-sans/latin-ext-600.css'
import 'maplibre-gl/dist/maplibre-gl.css'
import './plan-view/plan-view.css'
import { sheetWords } from '@soakline/drawing'
import { render } from 'preact'
import { firstDrawn } from './first-moments.js'
import { openDemoFor } from './parts/follow-link.js'
import { Sheet } from './parts/sheet.js'
import { openStore } from './state/browser-store.js'
import { createField } from './state/field.js'
import { watchInstalling } from './state/installing.js'
import { readLink } from './state/link.js'
import { createOneFile, fileChooser } from './state/one-file.js'
import { oneTab } from './state/one-tab.js'
import { createOpenData } from './state/open-data.js'
import { ownPosition } from './state/own-position.js'
import { createPrefs, type Reader } from './state/prefs.js'
import { followReleases, freshPage } from './state/releases.js'
import { createSheet } from './state/sheet.js'
import { setPolicy } from './trusted-types.js'
import { askWorker, warmUp } from './worker/client.js'

import.meta.glob('./styles/*.css', { eager: true })

setPolicy()
warmUp()

const KEY = 'soakline-'

/** Longest for which the rest of the demo waits for the picture of its ground. Unit: ms. Source: judgement. */
const MOST_HELD_BACK_MS = 1000

/** Small things that the browser keeps; where it keeps nothing they last as long as the page. */
const kept = new Map<string, string>()
const reader: Reader = {
  languages: navigator.languages,
  dark: matchMedia('(prefers-color-scheme: dark)').matches,
  read(key) {
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
const prefs = createPrefs(reader)

const sheet = createSheet({
  ask: askWorker,
  async demoFile(name) {
    // What lies on the ground would take the processor from its first picture.
    if (name !== 'ground.tif') await firstDrawn.within(MOST_HELD_BACK_MS)
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

// The built page opens with no network; while developing, nothing is kept.
const releases = import.meta.env.PROD && 'serviceWorker' in navigator ? followReleases(() => sheet.tell('new-version')) : null
const beside = {
  open: createOpenData({ ask: askWorker, sheet, now: () => new Date(), ...reader }),
  field: createField(sheet, reader),
  ownPosition: ownPosition(navigator.geolocation),
  installing: watchInstalling(window),
  oneFile: createOneFile(sheet, fileChooser(window as Parameters<typeof fileChooser>[0])),
  newest: (): void => void sheet.saveNow().then(() => (releases ? releases.load() : freshPage())),
}

// What was kept is looked up while the page is first drawn, which is a task of its own: running all this code is one already.
const started = sheet.start()
setTimeout(() => {
  render(<Sheet sheet={sheet} prefs={prefs} beside={beside} />, document.getElementById('sheet')!)
  void started.then(() => {
    if (readLink(location.hash)?.ground === 'demo') openDemoFor(sheet)
  })
  if (new URL(location.href).searchParams.has('fresh')) history.replaceState(null, '', './')
})
