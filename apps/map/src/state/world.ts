import type { ReadonlySignal } from '@preact/signals'
import type { Language } from '@soakline/drawing'
import type { WorkerClient } from '../worker/client.js'
import type { Store } from './browser-store.js'

/** What the sheet needs of the world outside. */
export interface World {
  readonly ask: WorkerClient['ask']
  /** A file of the demo holding, by its name. */
  demoFile(name: string): Promise<Blob>
  /** Throws StoreProblem, or whatever the browser throws where it keeps nothing. */
  openStore(): Promise<Store>
  /** The one tab that works on the sheet; `onLost` is called when another takes the work over. */
  readonly tab: {
    /** True when no other tab works on it: then this one does. */
    claim(onLost: () => void): Promise<boolean>
    /** Makes this tab the one, whoever was it before. */
    takeOver(onLost: () => void): Promise<void>
  }
  /** Asks the browser to keep the work when space is short; false where it will not promise. */
  askToLast(): Promise<boolean>
  now(): Date
  readonly language: ReadonlySignal<Language>
  /** The demo's name in a language. */
  demoHolding(language: Language): string
}
