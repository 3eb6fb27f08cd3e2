import { FileEntry } from './ground-leaf.js'
import { Refused } from './refused.js'
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
  return <progress max={1} value={sheet.openingDone.value} aria-label={say.file.opening(sheet.opening.value ?? '')} />
}

/** What the page has to say just now: notices, what is being read, and the lines about the files that were brought last. */
export function Notices() {
  const { sheet, savePlan, say } = useDesk()
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
          {say.notice[notice]}{' '}
          {notice === 'second-tab' && sheet.readOnly.value && (
            <button type="button" onClick={sheet.workHere}>
              {say.workHere}
            </button>
          )}
          {(notice === 'save-failed' || notice === 'no-storage') && (
            <button type="button" onClick={savePlan}>
              {say.bar.save}
            </button>
          )}
          {notice === 'restored' && (
            <button type="button" onClick={() => void sheet.openDemo()}>
              {say.bar.demo}
            </button>
          )}
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
