import { formatElevation, formatLength, handsWords, plainText, sayFeature, unitSign } from '@soakline/drawing'
import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { METRES_PER } from 'soakline/foundation'
import type { PlanFeature } from 'soakline/plan'
import { FEATURE_KINDS, type FeatureKind } from 'soakline/siting'
import { toDisplay } from '../display.js'
import * as edits from '../state/edits.js'
import { cornersOf, insertPosition, positionsOf, removePosition } from '../state/positions.js'
import { type DrawnShape, USUAL_SHAPE } from '../state/shapes.js'
import { Designs } from './designs.js'
import { Choices, NumberField, Select, TextField } from './field.js'
import { FindLines } from './find-lines.js'
import { LineMover, StepMover } from './movers.js'
import { Swales } from './swales.js'
import { TracingFields } from './tracing-fields.js'
import { useDesk } from './with-sheet.js'

const isKind = (kind: string): kind is FeatureKind => (FEATURE_KINDS as readonly string[]).includes(kind)

/** Everything that is drawn, as a list that needs no pointer: name it, move its corners, remove it. */
export function Drawn() {
  const { sheet, say } = useDesk()
  const chosen = sheet.chosen.value
  if (chosen !== null) return <ChosenFeature feature={chosen} key={chosen.id} />
  return (
    <>
      <AddFeature />
      <LineEntry />
      <FindLines />
      <Designs />
      <Swales />
      <h2>{say.drawn.title}</h2>
      <FeatureList />
    </>
  )
}

/** Which kind, drawn how: then the plan is ready to draw it. */
export function AddFeature() {
  const { sheet, view, voice, say } = useDesk()
  const [kind, setKind] = useState<FeatureKind>('building')
  const [shape, setShape] = useState<DrawnShape>(USUAL_SHAPE.building)
  if (sheet.ground.value === null) return null
  return (
    <form
      class="block add-feature"
      onSubmit={event => {
        event.preventDefault()
        sheet.drawFeature(kind, shape)
        view()?.focus()
      }}
    >
      <h2>{say.drawn.add}</h2>
      <Select
        label={say.drawn.kind}
        value={kind}
        choices={FEATURE_KINDS.map(value => ({ value, text: sayFeature(value, voice) }))}
        onChoose={next => {
          setKind(next)
          setShape(USUAL_SHAPE[next])
        }}
      />
      <Choices<DrawnShape>
        className="in-row"
        legend={say.drawn.shape}
        value={shape}
        choices={(['point', 'line', 'polygon'] as const).map(value => ({ value, text: say.mode.shapes[value] }))}
        onChoose={next => setShape(next)}
      />
      <button type="submit" class="firm">
        {say.drawn.start}
      </button>
    </form>
  )
}

function LineEntry() {
  const { sheet, voice, say } = useDesk()
  const line = sheet.line.value
  if (line === null) return null
  const length_m = sheet.answer.value?.assessment.line.length_m ?? null
  const { traced } = line
  const { settings } = sheet.plan.value
  return (
    <section class="block">
      <h2>{say.drawn.line}</h2>
      <p class="small">
        {length_m === null ? '' : `${say.drawn.lineText(formatLength(length_m, voice))}, `}
        {traced ? say.drawn.traced : say.drawn.free}
      </p>
      {traced && <TracingFields tracing={traced} onSet={sheet.setTracing} />}
      {traced && <p class="small">{say.tool.fallHint}</p>}
      <details>
        <summary>{say.tool.handles}</summary>
        <LineMover />
      </details>
      <p class="button-row">
        {traced ? (
          <button
            type="button"
            aria-pressed={sheet.shaping.value}
            title={say.tool.shapeHint}
            onClick={() => {
              sheet.shaping.value = !sheet.shaping.value
            }}
          >
            {say.tool.shape}
          </button>
        ) : (
          <>
            <button type="button" onClick={() => void sheet.fitLine()}>
              {handsWords(voice).drawn.fit}
            </button>
            <button type="button" title={say.tool.levelHint} onClick={sheet.level}>
              {say.tool.level}
            </button>
          </>
        )}
        {settings.spillChainage_m != null && (
          <button type="button" onClick={() => sheet.edit(plan => edits.unsetSetting(plan, 'spillChainage_m'))}>
            {handsWords(voice).spill.best}
          </button>
        )}
        <button type="button" onClick={() => sheet.edit(edits.removeLine)}>
          {say.tool.removeLine}
        </button>
      </p>
    </section>
  )
}

function FeatureList() {
  const { sheet, view, voice, say } = useDesk()
  const features = sheet.features.value
  if (features.length === 0)
    return (
      <div class="empty">
        <p>
          {say.drawn.empty} {say.drawn.emptyNext}
        </p>
      </div>
    )
  return (
    <ul class="feature-list">
      {features.map(feature => (
        <li key={feature.id}>
          <button
            type="button"
            class="row-button"
            aria-label={say.drawn.choose(
              titleOf(feature, isKind(feature.kind) ? sayFeature(feature.kind, voice) : plainText(feature.kind)),
            )}
            onClick={() => {
              sheet.choose(feature.id)
              const places = positionsOf(feature.geometry)
                .flat()
                .map(place => toDisplay(place, sheet.localCentre.value))
              const [longitudes, latitudes] = [places.map(p => p[0]), places.map(p => p[1])]
              view()?.show([Math.min(...longitudes), Math.min(...latitudes), Math.max(...longitudes), Math.max(...latitudes)])
            }}
          >
            <span class={`swatch swatch-${isKind(feature.kind) ? feature.kind : 'pit'}`} aria-hidden="true" />
            <span class="row-name">{feature.name === null ? say.drawn.unnamed : plainText(feature.name)}</span>
            <span class="small">
              {sayFeature(feature.kind, voice)}
              {feature.kind === 'building' &&
                `, ${feature.floor_m === null ? say.drawn.noFloor : say.drawn.floorAt(formatElevation(feature.floor_m, voice, 2))}`}
            </span>
          </button>
        </li>
      ))}
    </ul>
  )
}

const titleOf = (feature: PlanFeature, kind: string): string => (feature.name === null ? kind : `${plainText(feature.name)} (${kind})`)

function ChosenFeature({ feature }: { readonly feature: PlanFeature }) {
  const { sheet, announce, voice, say } = useDesk()
  const heading = useRef<HTMLHeadingElement>(null)
  // At once: a reader with a keyboard may have moved on before a later moment.
  useLayoutEffect(() => heading.current?.focus({ preventScroll: true }), [])
  const us = voice.units === 'us'
  const kind = sayFeature(feature.kind, voice)
  const rows = positionsOf(feature.geometry)
  const all = rows.flatMap((row, ring) => cornersOf(row).map((place, index) => ({ ring, index, place })))
  const [at, setAt] = useState(0)
  const corner = all[Math.min(at, all.length - 1)]
  const set = (geometry: PlanFeature['geometry'] | null): void => {
    if (geometry !== null) sheet.edit(plan => edits.setFeature(plan, { ...feature, geometry }))
  }
  return (
    <section class="block">
      <p>
        <button type="button" onClick={() => sheet.choose(null)}>
          ‹ {say.drawn.back}
        </button>
      </p>
      <h2 ref={heading} tabIndex={-1}>
        {titleOf(feature, kind)}
      </h2>
      <TextField
        label={say.drawn.name}
        value={feature.name ?? ''}
        onCommit={name => sheet.edit(plan => edits.nameFeature(plan, feature.id, { name: name.trim() === '' ? null : name.trim() }))}
      />
      <Select
        label={say.drawn.kind}
        value={feature.kind}
        choices={FEATURE_KINDS.map(value => ({ value: value as string, text: sayFeature(value, voice) }))}
        onChoose={next => sheet.edit(plan => edits.nameFeature(plan, feature.id, { kind: next }))}
      />
      {feature.kind === 'building' && (
        <NumberField
          label={say.drawn.floor}
          value={feature.floor_m === null ? null : us ? feature.floor_m / METRES_PER.ft : feature.floor_m}
          unit={unitSign(us ? 'ft' : 'm', voice)}
          nullable
          low={-2000}
          high={40000}
          hint={say.drawn.floorHint}
          complaint={say.settings.outOfRange('-2000', '40000')}
          onCommit={value =>
            sheet.edit(plan => edits.nameFeature(plan, feature.id, { floor_m: value === null ? null : us ? value * METRES_PER.ft : value }))
          }
        />
      )}
      {corner && (
        <fieldset class="mover">
          <legend>{say.drawn.corners}</legend>
          <Select
            label={say.handle.which}
            value={String(at)}
            choices={all.map((_, k) => ({ value: String(k), text: `${say.handle.corner} ${k + 1}` }))}
            onChoose={k => setAt(Number(k))}
          />
          <StepMover handle={{ what: 'feature-vertex', id: feature.id, ring: corner.ring, index: corner.index }} place={corner.place} />
          {feature.geometry.type !== 'Point' && (
            <p class="button-row">
              <button type="button" onClick={() => set(insertPosition(feature.geometry, corner.ring, corner.index))}>
                {say.handle.insert}
              </button>
              <button
                type="button"
                disabled={removePosition(feature.geometry, corner.ring, corner.index) === null}
                onClick={() => set(removePosition(feature.geometry, corner.ring, corner.index))}
              >
                {say.handle.remove}
              </button>
            </p>
          )}
        </fieldset>
      )}
      <p class="button-row">
        <button
          type="button"
          onClick={() => {
            sheet.choose(null)
            sheet.edit(plan => edits.removeFeature(plan, feature.id))
            announce(say.drawn.removed(titleOf(feature, kind)))
          }}
        >
          {say.drawn.remove}
        </button>
      </p>
    </section>
  )
}
