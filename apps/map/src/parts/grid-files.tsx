import { gridWords, sayGrid } from '@soakline/drawing'
import { useState } from 'preact/hooks'
import { GRID_NAMES, GROUND_GRIDS, type GridName } from 'soakline/plan'
import { refusalOf } from '../worker/client.js'
import type { Refusal } from '../worker/protocol.js'
import { fileWord } from './dialogs.js'
import { Select } from './field.js'
import { Refused } from './refused.js'
import { saveBlob } from './save-file.js'
import { useDesk } from './with-sheet.js'

/** Any raster that the ground or the line in sight has, as a GeoTIFF. */
export function GridFiles() {
  const { sheet, voice } = useDesk()
  const say = gridWords(voice)
  const names: readonly GridName[] = sheet.answer.value === null ? GROUND_GRIDS : GRID_NAMES
  const [chosen, setChosen] = useState<GridName>('filled')
  const [refusal, setRefusal] = useState<Refusal | null>(null)
  const name = names.includes(chosen) ? chosen : 'filled'
  return (
    <section class="block">
      <h2>{say.title}</h2>
      <p class="small">{say.text}</p>
      <Select
        label={say.which}
        value={name}
        choices={names.map(value => ({ value, text: sayGrid(value, voice) }))}
        onChoose={next => setChosen(next)}
      />
      <p class="button-row">
        <button
          type="button"
          onClick={() => {
            setRefusal(null)
            sheet.gridFile(name).then(
              bytes => saveBlob(`${fileWord(sheet.plan.value.holding)}-${name}.tif`, new Blob([bytes], { type: 'image/tiff' })),
              error => setRefusal(refusalOf(error)),
            )
          }}
        >
          {say.save}
        </button>
      </p>
      {refusal && (
        <p role="alert">
          <Refused refusal={refusal} />
        </p>
      )}
    </section>
  )
}
