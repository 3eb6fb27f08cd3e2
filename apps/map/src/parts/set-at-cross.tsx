import { fromDisplay } from '../display.js'
import { useDesk } from './with-sheet.js'

/** Sets a place in the middle of the plan, for those who cannot tap it. */
export function SetAtCross() {
  const { sheet, view, say } = useDesk()
  return (
    <button
      type="button"
      onClick={() => {
        const at = view()?.crosshairPlace()
        if (at) sheet.place(fromDisplay(at, sheet.localCentre.value))
      }}
    >
      {say.mode.setHere}
    </button>
  )
}
