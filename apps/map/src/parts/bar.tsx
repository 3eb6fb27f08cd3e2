import { LANGUAGES, UNIT_SYSTEMS } from '@soakline/drawing'
import { THEMES } from '../state/prefs.js'
import { Choices } from './field.js'
import { useDesk } from './with-sheet.js'

/** The thin strip above the plan: files, undo and redo, and how the reader wants the sheet. */
export function Bar() {
  const { sheet, chooseFiles, savePlan, openDialog, say } = useDesk()
  return (
    <header class="bar">
      <h1 class="brand">
        <svg class="brand-sign" viewBox="0 0 24 24" aria-hidden="true">
          <path d="M2 8c5-4 9 4 14 1 2-1.2 4-2 6-1M2 14c5-4 9 4 14 1 2-1.2 4-2 6-1" />
          <path class="brand-ditch" d="M2 19.5h20" />
        </svg>
        <span>{say.name}</span>
      </h1>
      <div class="bar-group">
        <button type="button" onClick={chooseFiles} title={say.bar.openHint}>
          {say.bar.open}
        </button>
        <button type="button" class="wide-only" onClick={savePlan} title={say.bar.saveHint}>
          {say.bar.save}
        </button>
        <button
          type="button"
          class="wide-only"
          onClick={() => openDialog('report')}
          title={say.bar.printHint}
          disabled={sheet.answer.value === null}
        >
          {say.bar.print}
        </button>
      </div>
      <UndoRedo />
      <Saving />
      <div class="bar-group bar-end">
        <span class="wide-only bar-switches">
          <LanguageSwitch />
          <UnitSwitch />
        </span>
        <button type="button" class="wide-only" onClick={() => openDialog('help')} aria-label={say.bar.help} title={say.bar.help}>
          ?
        </button>
        <button type="button" onClick={() => openDialog('menu')} aria-haspopup="dialog">
          {say.bar.more}
        </button>
      </div>
    </header>
  )
}

export function UndoRedo() {
  const { sheet, say } = useDesk()
  const { done, undone } = sheet.history.value
  const last = done[done.length - 1]
  const next = undone[undone.length - 1]
  const undoName = last ? `${say.bar.undo}: ${say.undoWhat[last.name]}` : say.nothingTo.undo
  const redoName = next ? `${say.bar.redo}: ${say.undoWhat[next.name]}` : say.nothingTo.redo
  return (
    <div class="bar-group undo-redo">
      <button type="button" onClick={sheet.undo} disabled={last === undefined} aria-label={undoName} title={undoName}>
        <svg viewBox="0 0 20 20" aria-hidden="true">
          <path d="M8 4 4 8l4 4M4 8h8a4 4 0 0 1 0 8H8" />
        </svg>
      </button>
      <button type="button" onClick={sheet.redo} disabled={next === undefined} aria-label={redoName} title={redoName}>
        <svg viewBox="0 0 20 20" aria-hidden="true">
          <path d="m12 4 4 4-4 4M16 8H8a4 4 0 0 0 0 8h4" />
        </svg>
      </button>
    </div>
  )
}

/** Whether the work is kept, and where. */
export function Saving() {
  const { sheet, voice, say } = useDesk()
  const saving = sheet.saving.value
  if (saving.kind === 'untouched') return <p class="saving" />
  const inFile = sheet.planInFile.value === sheet.plan.value
  const time =
    saving.kind === 'saved' ? new Intl.DateTimeFormat(voice.locale ?? voice.language, { timeStyle: 'short' }).format(saving.at) : ''
  const only = !inFile && sheet.lasting.value === false
  const kept = saving.kind === 'saved' ? (only ? say.saving.savedOnly(time) : say.saving.saved(time)) : say.saving[saving.kind]
  return (
    <p class="saving">
      {kept} · {inFile ? say.saving.inFile : say.saving.notInFile}
    </p>
  )
}

export function LanguageSwitch() {
  const { prefs, say } = useDesk()
  return (
    <Choices
      className="switch"
      legend={say.bar.language}
      value={prefs.language.value}
      choices={LANGUAGES.map(value => ({ value, text: say.bar.languages[value] }))}
      onChoose={value => {
        prefs.language.value = value
      }}
    />
  )
}

export function UnitSwitch() {
  const { prefs, say } = useDesk()
  return (
    <Choices
      className="switch"
      legend={say.bar.units}
      value={prefs.units.value}
      choices={UNIT_SYSTEMS.map(value => ({ value, text: say.bar.unitNames[value] }))}
      onChoose={value => {
        prefs.units.value = value
      }}
    />
  )
}

export function ThemeSwitch() {
  const { prefs, say } = useDesk()
  return (
    <Choices
      className="switch"
      legend={say.bar.theme}
      value={prefs.theme.value}
      choices={THEMES.map(value => ({ value, text: say.bar.themes[value] }))}
      onChoose={value => {
        prefs.theme.value = value
      }}
    />
  )
}
