import { formatNumber, onSiteWords, sayStakes } from '@soakline/drawing'
import type { ComponentChildren } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { refusalOf } from '../worker/client.js'
import { FIELD_FILES, type FieldFile, type Refusal, type WorkAnswer } from '../worker/protocol.js'
import { fileWord } from './dialogs.js'
import { Refused } from './refused.js'
import { saveText } from './save-file.js'
import { Said } from './sizing.js'
import { useDesk } from './with-sheet.js'
import { BuiltPart } from './work-built.js'
import { CarePart } from './work-care.js'
import { DigPart } from './work-dig.js'
import { LevelsPart } from './work-levels.js'
import { PlantPart } from './work-plant.js'

/** What is carried to the hillside: stakes, levels, what was built, digging, planting, care. */
export function WorkLeaf() {
  const { sheet, voice, say } = useDesk()
  const words = onSiteWords(voice)
  const settled = sheet.settled.value
  const { built, levelBook, crossings, rates, ring, plants, stormLog } = sheet.plan.value
  const bench = sheet.bench.value
  const answering = sheet.answering.value
  useEffect(() => {
    if (!answering) sheet.askWork()
  }, [settled, answering, built, levelBook, crossings, rates, ring, plants, stormLog, bench])
  if (sheet.ground.value === null) return <p class="empty">{say.answer.noGround}</p>
  const answer = sheet.work.value
  const problem = sheet.workProblem.value
  return (
    <div class="work" aria-busy={sheet.working.value}>
      <p>{words.lead}</p>
      {sheet.wholeDone.value !== null && <p class="small">{words.notWhole}</p>}
      {sheet.wholeStopped.value && <p class="small">{words.wholeStopped}</p>}
      {problem !== null ? (
        <p role="alert">
          <Refused refusal={problem} />
        </p>
      ) : answer === null ? (
        <p class="empty">{settled === null || !sheet.working.value ? words.noDitch : words.working}</p>
      ) : (
        <Papers answer={answer} />
      )}
    </div>
  )
}

function Papers({ answer }: { readonly answer: WorkAnswer }) {
  const { voice } = useDesk()
  const words = onSiteWords(voice)
  const { work } = answer
  return (
    <>
      <WorkGroup title={words.files.title} open>
        <Files onEarth={answer.onEarth} />
      </WorkGroup>
      <WorkGroup title={words.stakes.title} open>
        <Said part={{ ...sayStakes(work, voice), title: '' }} />
      </WorkGroup>
      <WorkGroup title={words.levels.title}>
        <LevelsPart answer={answer} />
      </WorkGroup>
      <WorkGroup title={words.built.title} open={answer.built !== null}>
        <BuiltPart answer={answer} />
      </WorkGroup>
      <WorkGroup title={words.dig.title}>
        <DigPart work={work} />
      </WorkGroup>
      <WorkGroup title={words.plant.title}>
        <PlantPart work={work} />
      </WorkGroup>
      <WorkGroup title={words.care.title}>
        <CarePart work={work} />
      </WorkGroup>
    </>
  )
}

/** One paper of the work; what is shut is not drawn. */
function WorkGroup({
  title,
  open: first = false,
  children,
}: {
  readonly title: string
  readonly open?: boolean
  readonly children: ComponentChildren
}) {
  const [open, setOpen] = useState(first)
  // Readings that come while it is shut open it.
  useEffect(() => {
    if (first) setOpen(true)
  }, [first])
  return (
    <details class="block setting-group work-group" open={open} onToggle={event => setOpen(event.currentTarget.open)}>
      <summary>
        <h2>{title}</h2>
      </summary>
      {open && children}
    </details>
  )
}

const FILE_KINDS: Readonly<Record<FieldFile, { readonly end: string; readonly type: string; readonly earthly: boolean }>> = {
  csv: { end: 'stakes.csv', type: 'text/csv', earthly: false },
  gpx: { end: 'stakes.gpx', type: 'application/gpx+xml', earthly: true },
  kml: { end: 'plan.kml', type: 'application/vnd.google-earth.kml+xml', earthly: true },
  dxf: { end: 'plan.dxf', type: 'image/vnd.dxf', earthly: false },
  geojson: { end: 'plan.geojson', type: 'application/geo+json', earthly: true },
  levels: { end: 'levelling.txt', type: 'text/plain', earthly: false },
}

/** The files that are taken along, and the plan itself. */
function Files({ onEarth }: { readonly onEarth: boolean }) {
  const { sheet, savePlan, openDialog, voice } = useDesk()
  const { files: say } = onSiteWords(voice)
  const [refusal, setRefusal] = useState<Refusal | null>(null)
  const save = (file: FieldFile): void => {
    const { end, type } = FILE_KINDS[file]
    setRefusal(null)
    sheet.fieldFile(file, voice.language, voice.units).then(
      text => saveText(`${fileWord(sheet.plan.value.holding)}-${end}`, type, text),
      error => setRefusal(refusalOf(error)),
    )
  }
  // Base 64 writes three bytes as four signs; a file that packs becomes smaller than that.
  const most_MB = Math.max(0.1, ((sheet.ground.value?.file.size ?? 0) * 4) / 3 / 1e6)
  const saveWithGround = (): void => {
    setRefusal(null)
    void sheet.planTextWithGround().then(made => {
      if ('refusal' in made) return setRefusal(made.refusal)
      saveText(`${fileWord(sheet.plan.value.holding)}-with-ground.soakline.json`, 'application/json', made.text)
      sheet.markInFile()
    })
  }
  return (
    <>
      <p class="small">{say.text}</p>
      <p class="button-row work-files">
        {FIELD_FILES.filter(file => onEarth || !FILE_KINDS[file].earthly).map(file => (
          <button type="button" key={file} onClick={() => save(file)}>
            {say[file]}
          </button>
        ))}
        <button type="button" onClick={() => openDialog('drawing-set')}>
          {say.drawingSet}
        </button>
        <button type="button" onClick={savePlan}>
          {say.plan}
        </button>
        <button type="button" onClick={saveWithGround}>
          {say.planWithGround(formatNumber(most_MB, voice, 1))}
        </button>
      </p>
      {!onEarth && <p class="small">{say.noPlace}</p>}
      {refusal && (
        <p role="alert">
          <Refused refusal={refusal} />
        </p>
      )}
    </>
  )
}
