import { linkWords, lookWords, oneFileWords, PAPER_NAMES, type PaperName, sayVerdict } from '@soakline/drawing'
import { useEffect, useRef, useState } from 'preact/hooks'
import { refusalOf } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'
import { LanguageSwitch, Saving, ThemeSwitch, UnitSwitch } from './bar.js'
import { Dialog } from './dialog.js'
import { Mark } from './drawing.js'
import { Select } from './field.js'
import { addressOfView } from './follow-link.js'
import { startLook } from './guided-look.js'
import { HoldingField } from './holding-field.js'
import { later } from './later.js'
import { OnDevice } from './on-device.js'
import { Refused } from './refused.js'
import { saveText } from './save-file.js'
import { useDesk } from './with-sheet.js'

const Glossary = later(() => import('./glossary.js').then(part => part.Glossary))

export function HelpDialog({ onClose }: { onClose(): void }) {
  const { prefs, voice, say } = useDesk()
  return (
    <Dialog title={say.help.title} onClose={onClose}>
      <p>{say.help.lead}</p>
      <ol>
        {say.help.steps.map(step => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <h3>{say.help.marksTitle}</h3>
      <ul class="marks">
        {(['holds', 'watch', 'fails', 'unknown'] as const).map(verdict => (
          <li key={verdict}>
            <Mark verdict={verdict} voice={voice} />
            <span>
              <strong>{sayVerdict(verdict, voice)}</strong>: {say.help.marks[verdict]}
            </span>
          </li>
        ))}
      </ul>
      <h3>{say.help.shortcuts}</h3>
      <p class="confirm">
        <input
          id="single-keys"
          type="checkbox"
          checked={prefs.singleKeys.value}
          onChange={event => {
            prefs.singleKeys.value = event.currentTarget.checked
          }}
        />
        <label for="single-keys">{say.help.singleKeys}</label>
      </p>
      <table class="keys">
        <tbody>
          {say.help.keys.map(([key, what]) => (
            <tr key={key}>
              <th scope="row">
                <kbd>{key}</kbd>
              </th>
              <td>{what}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <details class="glossary">
        <summary>{say.help.words}</summary>
        <Glossary />
      </details>
      <p>{say.help.limits}</p>
      <p class="small">{say.privacy}</p>
    </Dialog>
  )
}

/** What does not fit on the bar, and on a phone all of it. */
export function MenuDialog({ onClose }: { onClose(): void }) {
  const desk = useDesk()
  const { sheet, savePlan, openDialog, chooseFiles, announce, voice, say } = desk
  const then = (act: () => void) => () => {
    onClose()
    act()
  }
  const copyLink = async (): Promise<void> => {
    const address = addressOfView(desk)
    try {
      await navigator.clipboard.writeText(address)
      announce(linkWords(voice).copied)
    } catch {
      // Where the browser lets nothing be copied, the address bar has it.
      location.assign(address)
    }
  }
  return (
    <Dialog title={say.bar.more} className="menu" onClose={onClose}>
      <Saving />
      <HoldingField className="menu-holding" />
      <p class="button-column">
        <button type="button" onClick={then(chooseFiles)}>
          {say.bar.open}
        </button>
        <button type="button" onClick={then(savePlan)}>
          {say.bar.save}
        </button>
        <IntoOneFile onClose={onClose} />
        <button type="button" disabled={sheet.answer.value === null} onClick={() => openDialog('report')}>
          {say.bar.print}
        </button>
        <button type="button" onClick={then(() => void sheet.openDemo())}>
          {say.bar.demo}
        </button>
        <button type="button" onClick={then(() => void copyLink())}>
          {linkWords(voice).copy}
        </button>
        {sheet.canGoBack.value && (
          <button type="button" onClick={then(() => void sheet.goBack())}>
            {say.bar.goBack}
          </button>
        )}
        <button type="button" onClick={() => openDialog('help')}>
          {say.bar.help}
        </button>
        <button type="button" onClick={then(() => void startLook(desk))}>
          {lookWords(voice).again}
        </button>
      </p>
      <LanguageSwitch />
      <UnitSwitch />
      <ThemeSwitch />
      <OnDevice />
      <p class="small">{say.privacy}</p>
    </Dialog>
  )
}

/** Saving into the same file again, where the browser can. */
function IntoOneFile({ onClose }: { onClose(): void }) {
  const { sheet, oneFile, announce, voice } = useDesk()
  const say = oneFileWords(voice)
  const file = oneFile.file.value
  if (!oneFile.able) return null
  if (file !== null)
    return (
      <>
        <span class="small">{say.into(file.name)}</span>
        <button type="button" onClick={oneFile.leave}>
          {say.leave}
        </button>
      </>
    )
  const choose = async (): Promise<void> => {
    const saved = await oneFile.choose(planFileName(sheet.plan.value.holding))
    const name = oneFile.file.value?.name
    if (saved && name !== undefined) announce(say.written(name))
    onClose()
  }
  return (
    <button type="button" title={say.chooseHint} onClick={() => void choose()}>
      {say.choose}
    </button>
  )
}

/** The report or the drawing set as it will be printed, in a frame of its own. */
export function ReportDialog({ first, onClose }: { readonly first: 'report' | 'drawing-set'; onClose(): void }) {
  const { sheet, voice, say } = useDesk()
  const frame = useRef<HTMLIFrameElement>(null)
  const [what, setWhat] = useState<'report' | PaperName>(first === 'report' ? 'report' : voice.units === 'us' ? 'Letter' : 'A4')
  const [made, setMade] = useState<{ readonly html: string; readonly url: string } | null>(null)
  const [refusal, setRefusal] = useState<Refusal | null>(null)
  useEffect(() => {
    let url: string | null = null
    let gone = false
    const dateText = new Intl.DateTimeFormat(voice.locale ?? voice.language, { dateStyle: 'long' }).format(new Date())
    setMade(null)
    setRefusal(null)
    const asked =
      what === 'report'
        ? sheet.report(voice.language, voice.units, dateText)
        : sheet.drawingSet(voice.language, voice.units, dateText, what)
    asked.then(
      html => {
        if (gone) return
        url = URL.createObjectURL(new Blob([html], { type: 'text/html;charset=utf-8' }))
        setMade({ html, url })
      },
      error => {
        if (!gone) setRefusal(refusalOf(error))
      },
    )
    return () => {
      gone = true
      if (url !== null) URL.revokeObjectURL(url)
    }
  }, [voice, what])
  return (
    <Dialog title={say.report.title} className="report-dialog" onClose={onClose}>
      <Select
        label={say.report.which}
        value={what}
        choices={[
          { value: 'report', text: say.report.asReport },
          ...PAPER_NAMES.map(paper => ({ value: paper, text: say.report.asSet(paper) })),
        ]}
        onChoose={next => setWhat(next)}
      />
      <p class="button-row">
        <button type="button" class="firm" disabled={made === null} onClick={() => frame.current?.contentWindow?.print()}>
          {say.report.print}
        </button>
        <button
          type="button"
          disabled={made === null}
          onClick={() =>
            made && saveText(`${fileWord(sheet.plan.value.holding)}${what === 'report' ? '' : `-${what}`}.html`, 'text/html', made.html)
          }
        >
          {say.report.keep}
        </button>
        <span class="small">{say.report.atFullSize}</span>
      </p>
      {refusal ? (
        <p role="alert">
          <Refused refusal={refusal} />
        </p>
      ) : made === null ? (
        <p role="status">{say.report.making}</p>
      ) : (
        <iframe ref={frame} title={say.report.title} src={made.url} />
      )}
    </Dialog>
  )
}

/** What a plan's file is called at first. */
export const planFileName = (holding: string): string => `${fileWord(holding)}.soakline.json`

/** A holding's name as part of a file's name. */
export const fileWord = (holding: string): string =>
  holding
    .normalize('NFKD')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60) || 'soakline'
