import * as edits from '../state/edits.js'
import { TextField } from './field.js'
import { useDesk } from './with-sheet.js'

/** What the holding is called: in the title block, and in the menu for windows that have no room for the block. */
export function HoldingField({ className }: { readonly className: string }) {
  const { sheet, say } = useDesk()
  return (
    <TextField
      className={className}
      label={say.title.holding}
      value={sheet.plan.value.holding}
      onCommit={holding => sheet.edit(plan => edits.setHolding(plan, holding))}
    />
  )
}
