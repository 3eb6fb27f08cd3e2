import { formatHeight, handsWords } from '@soakline/drawing'
import { useDesk } from './with-sheet.js'

/** After a line was drawn freely: lay it on the contour, or keep it as it is; and what became of that. */
export function ByHand() {
  const { sheet, voice } = useDesk()
  const told = sheet.byHand.value
  const { drawn, walk, relief } = handsWords(voice)
  const away = (): void => {
    sheet.byHand.value = null
  }
  if (told === null) return null
  if (told === 'no-way')
    return (
      <p class="drawing-panel" role="status">
        {walk.noWay}
      </p>
    )
  const range_m = sheet.settled.value?.assessment.line.groundRange_m ?? null
  return (
    <div class="drawing-panel">
      <p role="status">
        {told === 'drawn' ? (
          <>
            <strong>{drawn.title}</strong> {range_m !== null && drawn.range(formatHeight(range_m, voice))}
          </>
        ) : told === 'fitted' ? (
          drawn.fitted
        ) : (
          drawn.noFit
        )}
      </p>
      <p class="button-row">
        {told === 'drawn' && (
          <button type="button" class="firm" onClick={() => void sheet.fitLine()}>
            {drawn.fit}
          </button>
        )}
        <button type="button" onClick={away}>
          {told === 'drawn' ? drawn.keep : relief.close}
        </button>
      </p>
    </div>
  )
}
