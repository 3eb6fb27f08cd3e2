import { effect, untracked } from '@preact/signals'
import { oneFileWords, sayVerdict, sheetWords, wordsOf } from '@soakline/drawing'
import type { RefObject } from 'preact'
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { PlanView } from '../plan-view/plan-view.js'
import { answersSoFar } from '../state/answers-in-order.js'
import { filesOfDrop } from '../state/brought-files.js'
import { createHands } from '../state/hands.js'
import type { OneFile } from '../state/one-file.js'
import type { Prefs } from '../state/prefs.js'
import type { Leaf, Sheet as SheetState } from '../state/sheet.js'
import { Answers } from './answers.js'
import { Bar, Saving } from './bar.js'
import { ByHand } from './by-hand.js'
import { HelpDialog, MenuDialog, planFileName, ReportDialog } from './dialogs.js'
import { Drawn } from './drawn.js'
import { Foot, TitleBlock } from './foot.js'
import { FileQuestions, GroundLeaf } from './ground-leaf.js'
import { GuidedLook } from './guided-look.js'
import { later } from './later.js'
import { Notices } from './notices.js'
import { DrawingPanel, PlanPane } from './plan-pane.js'
import { ASKED, QuestionsBar } from './questions-bar.js'
import { saveText } from './save-file.js'
import { useNarrow } from './use-narrow.js'
import { type Desk, DeskContext } from './with-sheet.js'

const SettingsLeaf = later(() => import('./settings.js').then(part => part.SettingsLeaf))
const WorkLeaf = later(() => import('./work-leaf.js').then(part => part.WorkLeaf))

const LEAVES: readonly Leaf[] = ['answers', 'drawn', 'settings', 'ground', 'work']

/** The whole page. */
export function Sheet({
  sheet,
  prefs,
  beside,
}: {
  readonly sheet: SheetState
  readonly prefs: Prefs
  readonly beside: Pick<Desk, 'open' | 'field' | 'ownPosition' | 'installing' | 'newest' | 'oneFile'>
}) {
  const [dialog, setDialog] = useState<'help' | 'report' | 'drawing-set' | 'menu' | null>(null)
  const [dropping, setDropping] = useState(false)
  const [spoken, setSpoken] = useState('')
  const chooser = useRef<HTMLInputElement>(null)
  const view = useRef<PlanView | null>(null)
  const desk = useMemo<Desk>(
    () => ({
      ...beside,
      sheet,
      hands: createHands(sheet),
      prefs,
      view: () => view.current,
      setView: next => {
        view.current = next
      },
      openDialog: setDialog,
      chooseFiles: () => chooser.current?.click(),
      savePlan: () => void savePlan(sheet, beside.oneFile, prefs, setSpoken),
      announce: setSpoken,
    }),
    [sheet, prefs, beside],
  )

  useEffect(() => watch(desk, setDropping, setSpoken), [desk])

  const { language } = prefs
  const narrow = useNarrow()
  const say = sheetWords({ language: language.value })
  const leaf = sheet.leaf.value
  const room = useLeafPlaces(leaf)
  const asking = sheet.groundQuestion.value !== null || sheet.kindQuestion.value !== null || sheet.layerQuestion.value !== null
  return (
    <DeskContext.Provider value={desk}>
      <a class="skip" href="#margin">
        {say.skipToAnswers}
      </a>
      <Bar />
      <main class="desk">
        <PlanPane />
        <div class="margin" id="margin" tabIndex={-1}>
          <GuidedLook />
          <DrawingPanel />
          <ByHand />
          <div
            class="leaves"
            role="tablist"
            aria-label={say.answers}
            onKeyDown={event =>
              stepLeaf(event, leaf, next => {
                sheet.leaf.value = next
              })
            }
          >
            {LEAVES.map(name => (
              <button
                type="button"
                role="tab"
                key={name}
                id={`tab-${name}`}
                aria-selected={leaf === name}
                aria-controls="leaf"
                tabIndex={leaf === name ? 0 : -1}
                onClick={() => {
                  sheet.leaf.value = name
                }}
              >
                {say.leaf[name]}
              </button>
            ))}
          </div>
          <Saving />
          <Notices />
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a panel that scrolls must be reachable by the keyboard */}
          <div ref={room} class={`leaf leaf-${leaf}`} role="tabpanel" id="leaf" aria-labelledby={`tab-${leaf}`} tabIndex={0}>
            {(leaf === 'answers' || (asking && leaf !== 'ground')) && <FileQuestions />}
            {leaf === 'answers' && <Answers />}
            {leaf === 'drawn' && <Drawn />}
            {leaf === 'settings' && <SettingsLeaf />}
            {leaf === 'ground' && <GroundLeaf />}
            {leaf === 'work' && <WorkLeaf />}
          </div>
        </div>
        <QuestionsBar />
        {!narrow && <Foot />}
        <TitleBlock />
      </main>
      <p class="unseen" role="status">
        {spoken}
      </p>
      <input
        ref={chooser}
        hidden
        type="file"
        multiple
        onChange={event => {
          const chosen = [...(event.currentTarget.files ?? [])]
          event.currentTarget.value = ''
          void sheet.openFiles(chosen.map(file => ({ file, name: file.name })))
        }}
      />
      {dropping && <div class="drop-here">{say.bar.dropHere}</div>}
      {dialog === 'help' && <HelpDialog onClose={() => setDialog(null)} />}
      {(dialog === 'report' || dialog === 'drawing-set') && <ReportDialog first={dialog} onClose={() => setDialog(null)} />}
      {dialog === 'menu' && <MenuDialog onClose={() => setDialog(now => (now === 'menu' ? null : now))} />}
    </DeskContext.Provider>
  )
}

/** Into the file that was chosen for it, else as a new one. */
async function savePlan(sheet: SheetState, oneFile: OneFile, prefs: Prefs, say: (text: string) => void): Promise<void> {
  const { name } = oneFile.file.value ?? {}
  if (name !== undefined && (await oneFile.save())) return say(oneFileWords(prefs.voice.value).written(name))
  saveText(planFileName(sheet.plan.value.holding), 'application/json', sheet.planText())
  sheet.markInFile()
}

/** Each leaf opens where it was left, at first at its top. */
function useLeafPlaces(leaf: Leaf): RefObject<HTMLDivElement | null> {
  const room = useRef<HTMLDivElement>(null)
  const places = useRef(new Map<Leaf, number>())
  useLayoutEffect(() => {
    const element = room.current
    if (element === null) return
    // Setting it makes the browser lay out the whole page at once: not before anything was scrolled.
    if (places.current.size > 0) element.scrollTop = places.current.get(leaf) ?? 0
    const keep = (): void => void places.current.set(leaf, element.scrollTop)
    element.addEventListener('scroll', keep)
    return () => element.removeEventListener('scroll', keep)
  }, [leaf])
  return room
}

function stepLeaf(event: KeyboardEvent, leaf: Leaf, go: (leaf: Leaf) => void): void {
  const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0
  if (step === 0) return
  event.preventDefault()
  const next = LEAVES[(LEAVES.indexOf(leaf) + step + LEAVES.length) % LEAVES.length]!
  go(next)
  document.getElementById(`tab-${next}`)?.focus()
}

/** Everything that reaches the page from outside of its parts: files dropped or pasted, keys, the reader's look and language. */
function watch(desk: Desk, setDropping: (on: boolean) => void, say: (text: string) => void): () => void {
  const { sheet, prefs } = desk
  const stops: (() => void)[] = []
  const on = <K extends keyof DocumentEventMap>(name: K, act: (event: DocumentEventMap[K]) => void): void => {
    document.addEventListener(name, act)
    stops.push(() => document.removeEventListener(name, act))
  }
  const take = (files: Iterable<File>): void => void sheet.openFiles([...files].map(file => ({ file, name: file.name })))

  on('dragover', event => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
    setDropping(true)
  })
  on('dragleave', event => {
    if (event.relatedTarget === null) setDropping(false)
  })
  on('drop', event => {
    event.preventDefault()
    setDropping(false)
    if (event.dataTransfer === null) return
    // A page laid over the sheet would hide what becomes of the files.
    desk.openDialog(null)
    void filesOfDrop(event.dataTransfer).then(({ files, more }) => sheet.openFiles(files, more))
  })
  on('paste', event => {
    if (isTyping(event.target)) return
    const data = event.clipboardData
    if (data === null) return
    if (data.files.length > 0) return take(data.files)
    const text = data.getData('text/plain')
    if (/^\s*[{]|duration_h/.test(text))
      void sheet.openFiles([{ file: new Blob([text]), name: text.trimStart().startsWith('{') ? 'pasted.json' : 'pasted.csv' }])
  })
  on('keydown', event => onKey(event, desk))

  stops.push(
    effect(() => {
      document.documentElement.lang = prefs.language.value
      document.documentElement.dataset.theme = prefs.theme.value
    }),
    effect(() => {
      const language = prefs.language.value
      sheet.renameDemo(language)
    }),
    effect(() => {
      const units = prefs.units.value
      untracked(() => sheet.drawContours(units))
    }),
    // Those who cannot see the marks hear which of the three answers changed.
    effect(() => {
      const answer = sheet.answer.value
      if (answer === null || sheet.answering.value) return
      const voice = prefs.voice.value
      const now = answersSoFar(answer.assessment, voice).map(a =>
        sheetWords(voice).answer.changed(wordsOf(voice).question[a.question], sayVerdict(a.verdict, voice)),
      )
      say(now.join('. '))
    }),
  )
  return () => {
    for (const stop of stops) stop()
  }
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.matches('input:not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable]')

function onKey(event: KeyboardEvent, { sheet, prefs, view, openDialog, savePlan }: Desk): void {
  if (event.defaultPrevented) return
  const key = event.key.toLowerCase()
  // Undo in a field is the field's own; saving is not: the browser would save the page, not the plan.
  const saves = (event.ctrlKey || event.metaKey) && key === 's'
  if (isTyping(event.target) && !saves) return
  if (event.ctrlKey || event.metaKey) {
    if (key === 'z' && !event.shiftKey) sheet.undo()
    else if ((key === 'z' && event.shiftKey) || key === 'y') sheet.redo()
    else if (key === 's') savePlan()
    else return
    event.preventDefault()
    return
  }
  if (event.altKey || document.querySelector('dialog[open]')) return
  if (key === 'escape') {
    sheet.cancel()
    return
  }
  if (!prefs.singleKeys.value) return
  const question = ASKED[Number(key) - 1]
  if (question) {
    if (sheet.answer.value !== null) sheet.ask(question)
  } else if (key === '?') openDialog('help')
  else if (key === 'l') {
    sheet.pointLine()
    view()?.focus()
  } else if (key === 'd') {
    sheet.drawLine()
    view()?.focus()
  } else if (key === 'w') {
    sheet.walkLine()
    view()?.focus()
  } else if (key === 'm') {
    sheet.measure()
    view()?.focus()
  } else if (key === 'h') {
    sheet.readHere()
    view()?.focus()
  } else if (key === 'f') sheet.leaf.value = 'drawn'
  else if (key === 'backspace') sheet.takeBackPlace()
  else return
  event.preventDefault()
}
