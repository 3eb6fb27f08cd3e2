import { unitSign } from '@soakline/drawing'
import { METRES_PER } from 'soakline/foundation'
import { NumberField } from './field.js'
import { useDesk } from './with-sheet.js'

interface Tracing {
  readonly length_m: number
  readonly fall_ratio: number
}

/** How long a traced line is, and how much it falls. */
export function TracingFields({ tracing, onSet }: { readonly tracing: Tracing; onSet(parts: Partial<Tracing>): void }) {
  const { voice, say } = useDesk()
  const us = voice.units === 'us'
  const unit_m = us ? METRES_PER.ft : 1
  return (
    <div class="pair">
      <NumberField
        label={say.tool.length}
        value={Number((tracing.length_m / unit_m).toFixed(1))}
        unit={unitSign(us ? 'ft' : 'm', voice)}
        low={us ? 7 : 2}
        high={us ? 10000 : 3000}
        complaint={say.settings.outOfRange(us ? '7' : '2', us ? '10 000' : '3 000')}
        onCommit={value => value !== null && onSet({ length_m: value * unit_m })}
      />
      <NumberField
        label={say.tool.fall}
        value={tracing.fall_ratio * 100}
        unit="%"
        low={-5}
        high={5}
        complaint={say.settings.outOfRange('-5', '5')}
        onCommit={value => value !== null && onSet({ fall_ratio: value / 100 })}
      />
    </div>
  )
}
