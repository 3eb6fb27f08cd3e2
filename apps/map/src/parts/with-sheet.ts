import { type SheetWords, sheetWords, type Voice, wordsOf } from '@soakline/drawing'
import { createContext } from 'preact'
import { useContext } from 'preact/hooks'
import type { PlanView } from '../plan-view/plan-view.js'
import type { Field } from '../state/field.js'
import type { Hands } from '../state/hands.js'
import type { Installing } from '../state/installing.js'
import type { OneFile } from '../state/one-file.js'
import type { OpenData } from '../state/open-data.js'
import type { OwnPosition } from '../state/own-position.js'
import type { Prefs } from '../state/prefs.js'
import type { Sheet } from '../state/sheet.js'

/** What every part of the page may use. */
export interface Desk {
  readonly sheet: Sheet
  readonly hands: Hands
  readonly prefs: Prefs
  readonly open: OpenData
  /** Where one is along the stakes. */
  readonly field: Field
  readonly ownPosition: OwnPosition
  readonly installing: Installing
  /** The file that the plan is saved into. */
  readonly oneFile: OneFile
  /** The view of the plan once it stands; null before, and where it cannot be drawn. */
  view(): PlanView | null
  setView(view: PlanView | null): void
  openDialog(which: 'help' | 'report' | 'drawing-set' | 'menu' | null): void
  /** Lets the reader choose files. */
  chooseFiles(): void
  savePlan(): void
  /** Says something to those who cannot see it. */
  announce(text: string): void
  /** Loads the newest release of the page. */
  newest(): void
}

export const DeskContext = createContext<Desk | null>(null)

/** The desk with the words of the reader's language; the part is drawn again when language or units change. */
export function useDesk(): Desk & { readonly voice: Voice; readonly say: SheetWords; readonly words: ReturnType<typeof wordsOf> } {
  const desk = useContext(DeskContext)
  if (desk === null) throw new Error('A part of the sheet stands outside of it.')
  const voice = desk.prefs.voice.value
  return { ...desk, voice, say: sheetWords(voice), words: wordsOf(voice) }
}
