import { sayLimitChange } from '@soakline/drawing'
import { useEffect, useState } from 'preact/hooks'
import { type Settings, settingsFrom } from 'soakline/plan'
import type { NoGoChange } from 'soakline/siting'
import { useDesk } from './with-sheet.js'

/** What a limit that the reader has set does to no-go ground, against the usual one: to be argued with, and seen. */
export function LimitChange({ name }: { readonly name: keyof Settings }) {
  const { sheet, voice } = useDesk()
  const [change, setChange] = useState<NoGoChange | null>(null)
  const { settings, features } = sheet.plan.value
  const value = settingsFrom(settings).settings[name]
  const site = sheet.site.value
  useEffect(() => {
    let isLate = false
    setChange(null)
    void sheet.limitChange(name).then(found => {
      if (!isLate) setChange(found)
    })
    return () => {
      isLate = true
    }
  }, [name, value, features, site])
  return (
    <p class="small limit-change" role="status">
      {change === null ? '' : sayLimitChange(change, voice)}
    </p>
  )
}
