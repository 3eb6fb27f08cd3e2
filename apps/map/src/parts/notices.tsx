import type { Notice } from '../state/sheet.js'
import { FileEntry } from './ground-leaf.js'
import { Refused } from './refused.js'
import { saveText } from './save-file.js'
import { TimeLeft } from './time-left.js'
import { useDesk } from './with-sheet.js'

/** Why no line could be traced at the place that was pointed to. */
export function TraceProblem() {
  const { sheet } = useDesk()
  const refusal = sheet.traceProblem.value
  return refusal === null ? null : (
    <p class="notice notice-problem">
      <Refused refusal={refusal} />
    </p>
  )
}

/** How far the reading is; drawn alone, since it changes often. */
function Progress() {
  const { sheet, say } = useDesk()
  return (
    <>
      <progress
        max={1}
        value={sheet.openingDone.value === 0 ? undefined : sheet.openingDone.value}
        aria-label={say.file.opening(sheet.opening.value ?? '')}
      />{' '}
      <TimeLeft done={sheet.openingDone.value} />
    </>
  )
}

const SAVE_NOW: readonly Notice[] = ['save-failed', 'no-storage', 'only-here', 'newer-store', 'older-tab', 'taken-over', 'ground-not-kept']

/** What can be done about a notice. */
function NoticeButtons({ notice }: { readonly notice: Notice }) {
  const { sheet, savePlan, newest, say } = useDesk()
  const button = (text: string, act: () => void) => (
    <button type="button" onClick={act}>
      {text}
    </button>
  )
  const looking = (notice === 'second-tab' || notice === 'taken-over') && sheet.readOnly.value
  const kept = sheet.unopened.value
  return (
    <>
      {looking && button(say.takeOver, () => void sheet.takeOver())}
      {notice === 'second-tab' && looking && button(say.workHere, sheet.workHere)}
      {(notice === 'new-version' || notice === 'newer-store') && button(say.newestPage, newest)}
      {notice === 'new-version' && button(say.notNow, () => sheet.silence(notice))}
      {SAVE_NOW.includes(notice) && button(say.bar.save, savePlan)}
      {notice === 'restored' && button(say.bar.demo, () => void sheet.openDemo())}
      {notice === 'restore-failed' &&
        kept !== null &&
        button(say.saveUnopened, () => saveText('soakline.soakline.json', 'application/json', kept))}
    </>
  )
}

/** What the page has to say just now: notices, what is being read, and the lines about the files that were brought last. */
export function Notices() {
  const { sheet, say } = useDesk()
  const notices = sheet.notices.value
  const files = sheet.files.value.filter(({ drop }) => drop === sheet.dropSpokenOf.value)
  const opening = sheet.opening.value
  return (
    <div class="notices" role="status">
      <TraceProblem />
      {opening !== null && (
        <p class="notice">
          {say.file.opening(opening)} <Progress />
          <button type="button" onClick={sheet.stopOpening}>
            {say.mode.cancel}
          </button>
        </p>
      )}
      {notices.map(notice => (
        <p class={`notice notice-${notice}`} key={notice}>
          {say.notice[notice]} <NoticeButtons notice={notice} />
          <button type="button" class="slight" aria-label={`${say.dismiss}: ${say.notice[notice]}`} onClick={() => sheet.silence(notice)}>
            ×
          </button>
        </p>
      ))}
      {files.length > 0 && (
        <ul class="files notice">
          {[...files].reverse().map(file => (
            <FileEntry key={file.number} file={file} />
          ))}
        </ul>
      )}
    </div>
  )
}
