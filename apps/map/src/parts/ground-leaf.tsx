import {
  formatArea,
  formatCount,
  formatElevation,
  formatHeight,
  formatLength,
  formatSlope,
  formatVolume,
  gapChoices,
  gapQuestion,
  importReport,
  plainText,
  type ReportLine,
  sayFinding,
  sayWarning,
  sheetWords,
  type Voice,
} from '@soakline/drawing'
import { COLOUR_CODES, type ReadOptions } from '@soakline/io'
import { useId, useState } from 'preact/hooks'
import { HOLLOW_TREATMENTS, type HollowTreatment } from 'soakline/hydrology'
import { settingsFrom } from 'soakline/plan'
import { toDisplay } from '../display.js'
import * as edits from '../state/edits.js'
import type { FileLine, GroundQuestion, OpenGround } from '../state/sheet.js'
import { writtenPlace } from '../state/typed-place.js'
import type { HollowCard } from '../worker/protocol.js'
import { OpenButtons } from './answers.js'
import { CrsQuestion } from './crs-question.js'
import { Mark } from './drawing.js'
import { Choices, Select } from './field.js'
import { GridFiles } from './grid-files.js'
import { KindForm } from './kind-form.js'
import { LayerForm } from './layer-form.js'
import { OpenDataPart, WindowForm } from './open-data.js'
import { QuestionForm } from './question-form.js'
import { Refused } from './refused.js'
import { SoilRecordPart } from './soil-record.js'
import { useDesk } from './with-sheet.js'

/** What was brought: questions first, then the card of the ground, then a line for each file. */
export function GroundLeaf() {
  const { sheet, say } = useDesk()
  return (
    <>
      <FileQuestions />
      {sheet.ground.value === null ? (
        <div class="empty">
          <h2>{say.answer.noGround}</h2>
          <p>{say.answer.noGroundNext}</p>
          <OpenButtons />
        </div>
      ) : (
        <>
          <GroundCardPart />
          <SoilRecordPart />
          <Hollows />
          <GridFiles />
        </>
      )}
      <section class="block">
        <h2>{say.ground.files}</h2>
        <Files />
        <p class="small">{say.bar.openHint}</p>
        <OpenButtons />
        {sheet.canGoBack.value && (
          <button type="button" onClick={() => void sheet.goBack()}>
            {say.bar.goBack}
          </button>
        )}
        <p class="small">{say.privacy}</p>
      </section>
      <OpenDataPart />
    </>
  )
}

function GroundCardPart() {
  const { sheet, voice, say } = useDesk()
  const open = sheet.ground.value
  if (open === null) return null
  const { card } = open
  const { report } = card
  const [west, south, east, north] = card.bounds
  const fit = sheet.site.value?.fit ?? card.fit
  const { elevationError_m } = settingsFrom(sheet.plan.value.settings).settings
  const where = card.localCentre === null ? writtenPlace([(west + east) / 2, (south + north) / 2], false) : say.ground.nowhere
  const rows: ReportLine[] = [
    ...importReport(card.name, report, [card.width_m, card.height_m], where, voice),
    [say.ground.border, card.openRim_ratio === 0 ? say.ground.borderNone : say.ground.borderText(formatSlope(card.openRim_ratio, voice))],
    [say.ground.date, dateOf(open, voice)],
    [say.ground.hollows, card.hollows === 0 ? say.ground.hollowsNone : say.ground.hollowsText(formatCount(card.hollows, voice))],
    [say.ground.contours, say.ground.contoursText(formatElevation(card.contourInterval_m[voice.units], voice, 2))],
  ]
  return (
    <section class="block ground-card">
      <h2>{say.ground.title}</h2>
      <dl class="card-rows">
        {rows.map(([name, text]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </div>
        ))}
        <div>
          <dt>{say.ground.trust}</dt>
          <dd>
            <Mark verdict={fit.verdict} voice={voice} size={14} /> {sayFinding(fit, voice)}
            {elevationError_m === null && ` ${say.ground.errorAsk}`}
          </dd>
        </div>
        <div>
          <dt>{say.ground.remarks}</dt>
          <dd>
            {report.warnings.length === 0 ? (
              say.ground.noRemarks
            ) : (
              <ul>
                {report.warnings.map(warning => (
                  <li key={warning.code}>{sayWarning(warning, voice)}</li>
                ))}
              </ul>
            )}
          </dd>
        </div>
      </dl>
      <GapsChoice />
    </section>
  )
}

/** When the file was made, as far as it tells; seldom the day of the survey, which is said too. */
function dateOf({ file, card, demo }: OpenGround, voice: Voice): string {
  const { ground: say } = sheetWords(voice)
  if (demo) return sheetWords(voice).demo.note
  const written = card.report.written
  const on = (date: Date, timeZone?: string): string =>
    new Intl.DateTimeFormat(voice.locale ?? voice.language, { dateStyle: 'long', timeZone }).format(date)
  const said =
    written !== undefined
      ? say.dateWritten(on(new Date(`${written}T00:00:00Z`), 'UTC'))
      : file instanceof File && file.lastModified > 0
        ? say.dateChanged(on(new Date(file.lastModified)))
        : say.dateNone
  return `${said} ${say.dateAsk}`
}

/** What is done with gaps inside the ground: the raster is read anew by the answer. */
function GapsChoice() {
  const { sheet, voice } = useDesk()
  const open = sheet.ground.value
  if (open === null) return null
  const filled_m2 = open.options.fillVoids_m2 ?? 0
  const choices = gapChoices(open.card.report, filled_m2, voice)
  if (choices.length < 2) return null
  const { ask, note } = gapQuestion(voice)
  return (
    <>
      <Select
        label={ask}
        value={String(filled_m2)}
        choices={choices.map(({ most_m2, text }) => ({ value: String(most_m2), text }))}
        onChoose={value => void sheet.confirmGround({ fillVoids_m2: Number(value) })}
      />
      <p class="small">{note}</p>
    </>
  )
}

/** The largest hollows, each with what it seems to be and what its water does. */
function Hollows() {
  const { sheet, voice, say } = useDesk()
  const hollows = sheet.site.value?.hollows ?? []
  if (hollows.length === 0) return null
  return (
    <details class="block hollow-list">
      <summary>
        <h2>{say.ground.hollowList}</h2>
      </summary>
      <p class="small">{say.ground.hollowListText}</p>
      <ol>
        {hollows.map((hollow, k) => (
          <HollowItem key={hollow.at.join()} hollow={hollow} number={formatCount(k + 1, voice)} />
        ))}
      </ol>
    </details>
  )
}

/** Half the width of what is shown round a hollow, in degrees: some 60 m. */
const ROUND_DEG = 0.0005

function HollowItem({ hollow, number }: { readonly hollow: HollowCard; readonly number: string }) {
  const { sheet, view, voice, say } = useDesk()
  const { at, chosen, choices, culvert } = hollow
  const choose = (treatment: HollowTreatment): void =>
    sheet.edit(plan => {
      const others = (plan.hollows ?? []).filter((_, k) => !choices.includes(k))
      return edits.chooseHollow(plan, at, treatment, others)
    })
  const show = (): void => {
    const [x, y] = toDisplay(at, sheet.localCentre.value)
    view()?.fit([x - ROUND_DEG, y - ROUND_DEG, x + ROUND_DEG, y + ROUND_DEG])
  }
  return (
    <li>
      <h3>{say.ground.hollowNumber(number)}</h3>
      <p>
        {say.ground.hollowSize(
          formatHeight(hollow.depth_m, voice),
          formatArea(hollow.area_m2, voice),
          formatVolume(hollow.volume_m3, voice),
        )}
        . {say.ground.hollowGuess[hollow.guess.because]}{' '}
        <button type="button" onClick={show}>
          {say.ground.hollowShow}
        </button>
      </p>
      <Choices
        legend={say.ground.hollowLegend}
        choices={HOLLOW_TREATMENTS.map(value => ({ value, text: say.ground.hollowTreatment[value] }))}
        value={chosen}
        onChoose={choose}
      />
      {!hollow.done && <p class="small">{say.ground.hollowNotDone}</p>}
      {culvert && (
        <p class="small">
          {say.ground.culvert(formatLength(culvert.length_m, voice))}{' '}
          <button
            type="button"
            onClick={() =>
              sheet.edit(plan =>
                edits.addFeature(plan, {
                  id: edits.freshId('culvert', plan.features),
                  kind: 'culvert',
                  name: null,
                  floor_m: null,
                  geometry: { type: 'LineString', coordinates: [culvert.from, culvert.to] },
                }),
              )
            }
          >
            {say.ground.culvertDraw}
          </button>
        </p>
      )}
    </li>
  )
}

/** Meters that were only assumed: every number hangs on the answer. */
function UnitQuestion() {
  const { sheet, say } = useDesk()
  return (
    <fieldset class="question">
      <legend>{say.ground.confirmUnit}</legend>
      <p class="small">{say.ask.unitNote}</p>
      <p class="button-row">
        {(
          [
            ['m', say.ground.confirmYes],
            ['ft', say.ground.confirmFeet],
            ['ftUS', say.ground.confirmFtUS],
          ] as const
        ).map(([unit, text]) => (
          <button type="button" key={unit} onClick={() => void sheet.confirmGround({ elevationUnit: unit })}>
            {text}
          </button>
        ))}
      </p>
    </fieldset>
  )
}

/** What must be asked before a file can be read, or before its numbers can be trusted. */
export function FileQuestions() {
  const { sheet, say } = useDesk()
  const assumed = sheet.ground.value?.card.report.warnings.some(w => w.code === 'elevation-unit/assumed') ?? false
  const ground = sheet.groundQuestion.value
  const kind = sheet.kindQuestion.value
  const layer = sheet.layerQuestion.value
  return (
    <>
      {ground &&
        (ground.refusal.code === 'grid/too-large' ? (
          <WindowForm key={ground.name} question={ground} />
        ) : (
          <GroundForm key={`${ground.name} ${ground.refusal.code}`} question={ground} />
        ))}
      {kind && <KindForm key={kind.name} question={kind} />}
      {layer && <LayerForm key={`${layer.name} ${layer.refusal.code}`} question={layer} />}
      {(ground || kind || layer) && sheet.waiting.value.length > 0 && (
        <p class="small">{say.ask.waiting(sheet.waiting.value.map(({ name }) => plainText(name)))}</p>
      )}
      {assumed && ground === null && <UnitQuestion />}
    </>
  )
}

/** The choice of all files of an archive; no path in an archive is empty but for a blank. */
const ALL = ' '

/** Base and step as typed, such as `-10000; 0.1`; null while they are not two numbers. */
function typedColours(text: string): ReadOptions | null {
  const parts = text.split(';').map(part => (part.trim() === '' ? Number.NaN : Number(part.trim().replace(',', '.'))))
  return parts.length === 2 && parts.every(Number.isFinite) ? { colours: { base_m: parts[0]!, step_m: parts[1]! } } : null
}

/** The address of a map tile as typed; null while it is none. */
function typedTile(text: string): ReadOptions | null {
  const parts = /^\s*(\d{1,2})\s*\/\s*(\d{1,9})\s*\/\s*(\d{1,9})\s*$/.exec(text)
  return parts ? { tile: { z: Number(parts[1]), x: Number(parts[2]), y: Number(parts[3]) } } : null
}

function GroundForm({ question }: { readonly question: GroundQuestion }) {
  const { sheet, say } = useDesk()
  const id = useId()
  const { details } = question.refusal
  // Heights in the colours of a raster are asked about as those of a picture are.
  const code = question.refusal.code === 'grid/colours' ? 'colours/unknown-code' : question.refusal.code
  const [crs, setCrs] = useState<string | null>(details.looksLikeDegrees === true ? 'EPSG:4326' : null)
  const [choice, setChoice] = useState<string>('')
  const [typed, setTyped] = useState('')
  const members = Array.isArray(details.members) ? details.members.filter(name => typeof name === 'string') : []
  const bands = typeof details.bands === 'number' ? Math.min(details.bands, 99) : 1
  const value = typeof details.value === 'number' ? details.value : Number.NaN
  const said = (): ReadOptions | null => {
    if (code === 'crs/unknown') return crs === null ? null : { crs }
    if (code === 'elevation-unit/unknown') return choice === 'm' || choice === 'ft' || choice === 'ftUS' ? { elevationUnit: choice } : null
    if (code === 'grid/nodata-unclear' || code === 'grid/nodata-is-a-height')
      return choice === 'gap' ? { nodata: value } : choice === 'ground' ? { nodata: Number.NaN } : null
    if (code === 'archive/several-files') return choice === '' ? null : choice === ALL ? { join: true } : { member: choice }
    if (code === 'colours/unknown-code')
      return choice === 'terrarium' || choice === 'terrain-rgb'
        ? { colours: COLOUR_CODES[choice] }
        : choice === 'own'
          ? typedColours(typed)
          : null
    if (code === 'tile/unknown-place') return typedTile(typed)
    return choice === '' ? null : { band: Number(choice) }
  }
  return (
    <QuestionForm name={question.name} answer={said()} onAnswer={options => void sheet.answerGround(options)}>
      {code === 'crs/unknown' && <CrsQuestion details={details} onSay={setCrs} />}
      {code === 'elevation-unit/unknown' && (
        <>
          <Choices
            legend={say.ask.unit}
            value={choice}
            choices={(['m', 'ft', 'ftUS'] as const).map(unit => ({ value: unit as string, text: say.ground.unit[unit] }))}
            onChoose={setChoice}
          />
          <p class="small">{say.ask.unitNote}</p>
        </>
      )}
      {(code === 'grid/nodata-unclear' || code === 'grid/nodata-is-a-height') && (
        <Choices
          legend={say.ask[code === 'grid/nodata-unclear' ? 'nodata' : 'nodataAmong'](
            String(details.count ?? '?'),
            String(Number(value.toPrecision(9))),
          )}
          value={choice}
          choices={[
            { value: 'gap', text: say.ask.nodataGap },
            { value: 'ground', text: say.ask.nodataGround },
          ]}
          onChoose={setChoice}
        />
      )}
      {code === 'archive/several-files' && (
        <Select
          label={say.ask.member}
          value={choice}
          choices={[
            { value: '', text: say.ask.choose },
            ...members.map(name => ({ value: name, text: plainText(name) })),
            { value: ALL, text: say.ask.memberAll },
          ]}
          onChoose={setChoice}
        />
      )}
      {code === 'colours/unknown-code' && (
        <Choices
          legend={say.ask.colours}
          value={choice}
          choices={[
            { value: 'terrarium', text: 'terrarium' },
            { value: 'terrain-rgb', text: 'terrain-RGB' },
            { value: 'own', text: say.ask.coloursOwn },
          ]}
          onChoose={setChoice}
        />
      )}
      {(code === 'tile/unknown-place' || choice === 'own') && (
        <div class="field">
          <label for={`${id}-typed`}>{code === 'tile/unknown-place' ? say.ask.tile : say.ask.coloursOwnLabel}</label>
          <input
            id={`${id}-typed`}
            type="text"
            autocomplete="off"
            value={typed}
            aria-describedby={`${id}-typed-hint`}
            onInput={event => setTyped(event.currentTarget.value)}
          />
          <p class="small" id={`${id}-typed-hint`}>
            {code === 'tile/unknown-place' ? say.ask.tileHint : say.ask.coloursOwnHint}
          </p>
        </div>
      )}
      {code === 'grid/several-bands' && (
        <Select
          label={say.ask.band(bands)}
          value={choice}
          choices={[
            { value: '', text: say.ask.choose },
            ...Array.from({ length: bands }, (_, k) => ({ value: String(k + 1), text: say.ask.bandNumber(k + 1) })),
          ]}
          onChoose={setChoice}
        />
      )}
    </QuestionForm>
  )
}

export function Files() {
  const { sheet, say } = useDesk()
  const files = sheet.files.value
  if (files.length === 0) return <p class="small">{say.ground.noFiles}</p>
  return (
    <ul class="files">
      {[...files].reverse().map(file => (
        <FileEntry key={file.number} file={file} />
      ))}
    </ul>
  )
}

export function FileEntry({ file }: { readonly file: FileLine }) {
  const { sheet, voice, say } = useDesk()
  return (
    <li class={file.refusal ? 'file-refused' : 'file-taken'}>
      <span class="file-name">{plainText(file.name)}</span>{' '}
      {file.refusal ? (
        <>
          <strong>{say.file.notTaken}:</strong> <Refused refusal={file.refusal} />
        </>
      ) : (
        <>
          <strong>{say.file.taken}</strong> {file.what && say.file.what[file.what](file.count ?? 0)}.
          {file.warnings.map(warning => (
            <span key={warning.code}> {sayWarning(warning, voice)}</span>
          ))}
        </>
      )}
      <button
        type="button"
        class="slight"
        aria-label={`${say.file.forget}: ${plainText(file.name)}`}
        onClick={() => sheet.forgetFile(file.number)}
      >
        ×
      </button>
    </li>
  )
}
