import { deviceWords } from '@soakline/drawing'
import { useDesk } from './with-sheet.js'

/** Whether the sheet is kept on this device, and how to put it among the apps. */
export function OnDevice() {
  const { installing, voice } = useDesk()
  const say = deviceWords(voice)
  const state = installing.state.value
  return (
    <section class="on-device">
      <h3>{say.title}</h3>
      {state === 'ask' ? (
        <button type="button" onClick={installing.ask}>
          {say.install}
        </button>
      ) : (
        <p class="small">{state === 'installed' ? say.installed : say.byHand}</p>
      )}
      <p class="small">{installing.offline.value ? say.offline : say.notOffline}</p>
    </section>
  )
}
