import { effect, signal } from '@preact/signals'
import {
  formatElevation,
  formatLength,
  formatSlope,
  handsWords,
  measureWords,
  openGroundWords,
  placeWords,
  sayFeature,
  sayLeg,
  sayReason,
  sheetWords,
  sitingSheetWords,
  type Voice,
  wordsOf,
} from '@soakline/drawing'
import { boxRound } from '@soakline/io'
import type { FeatureCollection, Geometry } from 'geojson'
import { useEffect, useRef } from 'preact/hooks'
import type { Place, PlanFeature } from 'soakline/plan'
import { fromDisplay, toDisplay } from '../display.js'
import { firstAsked, firstDrawn } from '../first-moments.js'
import type { PlanView, PlanWords } from '../plan-view/plan-view.js'
import { nearestAlong, placeAlong } from '../state/along-line.js'
import type { Hands } from '../state/hands.js'
import type { Handle } from '../state/mode.js'
import { cornersOf as cornersOfRow, positionsOf } from '../state/positions.js'
import type { Area, Sheet } from '../state/sheet.js'
import { writtenPlace } from '../state/typed-place.js'
import { askWorker } from '../worker/client.js'
import { followLink } from './follow-link.js'
import { Sign } from './icons.js'
import { later } from './later.js'
import { LayerList } from './layer-list.js'
import { TraceProblem } from './notices.js'
import { CreditLine } from './open-data.js'
import { placeShown } from './own-place.js'
import { PlanKey } from './plan-key.js'
import { SetAtCross } from './set-at-cross.js'
import { TracingFields } from './tracing-fields.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { type Desk, useDesk } from './with-sheet.js'

const MeasurePanel = later(() => import('./measure-panel.js').then(part => part.MeasurePanel))
const PlacePanel = later(() => import('./place-panel.js').then(part => part.PlacePanel))

const NONE: FeatureCollection = { type: 'FeatureCollection', features: [] }

const planWords = (voice: Voice): PlanWords => {
  const say = sheetWords(voice)
  return {
    mapTitle: `${say.plan}. ${say.planHelp}`,
    north: say.handle.north,
    zoomIn: say.tool.zoomIn,
    zoomOut: say.tool.zoomOut,
    units: voice.units,
    elevation: (m, decimals) => formatElevation(m, voice, decimals),
    length: m => formatLength(m, voice),
    pathEnd: code => (wordsOf(voice).endWord as Readonly<Record<string, string>>)[code] ?? code,
  }
}

/** The corners of an area, as places of the plan. */
function cornersOf({ middle, side_m }: Area): Place[] {
  const [west, south, east, north] = boxRound(middle, side_m)
  return [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
  ]
}

/** How near to the line the pointer on the plan counts as on it. */
const NEAR_PX = 12

type Centre = readonly [number, number] | null

function onMap(geometry: PlanFeature['geometry'], centre: Centre): Geometry {
  if (centre === null) return geometry as Geometry
  const walk = (value: unknown): unknown => {
    if (!Array.isArray(value)) return value
    return typeof value[0] === 'number' ? toDisplay(value as unknown as Place, centre) : value.map(walk)
  }
  return { ...geometry, coordinates: walk(geometry.coordinates) } as Geometry
}

const collection = (features: readonly PlanFeature[], centre: Centre): FeatureCollection => ({
  type: 'FeatureCollection',
  features: features.map(f => ({
    type: 'Feature',
    properties: { id: f.id, kind: f.kind, label: f.name },
    geometry: onMap(f.geometry, centre),
  })),
})

/** What the plan shows of the line's answer; while there is none, the line alone. */
function answerShown(sheet: Sheet): FeatureCollection {
  const answer = sheet.answer.value
  if (answer !== null) return answer.drawn
  const line = sheet.line.value
  if (line === null) return NONE
  const coordinates = line.path.map(place => [...toDisplay(place, sheet.localCentre.value)])
  return {
    type: 'FeatureCollection',
    features: [{ type: 'Feature', properties: { what: 'line' }, geometry: { type: 'LineString', coordinates } }],
  }
}

/** Possible lines, test pits, and things seen on the walk. */
function sitingShown(sheet: Sheet, hands: Hands): FeatureCollection {
  const { pits = [], sightings = [] } = sheet.plan.value.soil ?? {}
  const centre = sheet.localCentre.value
  const sign = (what: string, at: readonly [number, number] | null, label: string) =>
    at === null
      ? []
      : [
          {
            type: 'Feature' as const,
            properties: { what, label },
            geometry: { type: 'Point' as const, coordinates: [...toDisplay([at[0], at[1]], centre)] },
          },
        ]
  return {
    type: 'FeatureCollection',
    features: [
      ...(sheet.found.value?.search.drawn.features ?? []),
      // A line that is being added leaves the plan's first one where it is.
      ...sheet.plan.value.lines.slice(sheet.adding.value && sheet.line.value !== sheet.plan.value.lines[0] ? 0 : 1).map((line, k) => ({
        type: 'Feature' as const,
        properties: { what: 'other-line', label: String(k + 2), line: k + 1, id: line.id },
        geometry: { type: 'LineString' as const, coordinates: line.path.map(place => [...toDisplay(place, centre)]) },
      })),
      // While the storm is followed, what the other swales spill runs on as well.
      ...(hands.water.swalesNow.value.length > 0 ? (hands.swales.cascade.value?.drawn?.features ?? []) : []),
      ...(hands.designs.other.value === null
        ? []
        : [
            {
              type: 'Feature' as const,
              properties: { what: 'design-a', label: 'A' },
              geometry: {
                type: 'LineString' as const,
                coordinates: hands.designs.other.value.line.path.map(place => [...toDisplay(place, centre)]),
              },
            },
          ]),
      ...pits.flatMap(({ at }, k) => sign('pit', at, String(k + 1))),
      ...sightings.flatMap(({ at }) => sign('seen', at, '')),
    ],
  }
}

/** The plan with its tools. State flows into the view, taps and drags flow back. */
export function PlanPane() {
  const desk = useDesk()
  const { sheet, hands, prefs, view: standing, setView, say } = desk
  const holder = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const container = holder.current
    if (container === null) return
    let stop = (): void => undefined
    let gone = false
    let pointed = false
    /** How often a hand has moved the view since it was last fitted to something. */
    const moved = signal(0)
    const callbacks = {
      onTap: (at: readonly [number, number], { featureId }: { readonly featureId: string | null }) =>
        sheet.tap(sheet.mode.value.kind === 'measure' ? cornerNear(desk, at) : at, featureId),
      onHold: sheet.held,
      onViewed: (how: 'by-hand' | 'fitted') => {
        moved.value = how === 'fitted' ? 0 : moved.value + 1
      },
      onHandleDrag: (handle: Handle, at: readonly [number, number], phase: 'start' | 'move' | 'end') =>
        sheet.dragDisplay(handle, at, phase),
      mayTake: () =>
        (sheet.mode.value.kind === 'look' || sheet.mode.value.kind === 'chosen-feature') &&
        !sheet.readOnly.value &&
        !(desk.field.open.value && sheet.leaf.value === 'work'),
      onTake: sheet.takeLine,
      onMove: (at: readonly [number, number] | null) => {
        sheet.readPlace(at)
        if (at !== null) sheet.walkTo(at)
        hands.measuring.pointAt(at && fromDisplay(at, sheet.localCentre.value))
        const answer = sheet.answer.value
        const found = at === null || answer === null ? null : nearestAlong(answer, at)
        const near = at !== null && found !== null && (standing()?.between_px(at, found.place) ?? Number.POSITIVE_INFINITY) <= NEAR_PX
        if (near) sheet.point(found.chainage_m)
        else if (pointed) sheet.point(null)
        pointed = near
      },
      onDrawn: firstDrawn.come,
      onProblem: (code: `map/${string}`) => {
        if (code === 'map/no-webgl') sheet.tell('no-webgl')
        else if (code === 'map/context-lost') sheet.tell('context-lost')
        else if (code === 'map/rebuilt') sheet.silence('context-lost')
      },
    }
    // The map library is half of the page, and to make a map blocks it for long: the answers do not wait for it, and the ground is being read meanwhile.
    void firstAsked
      .within(MOST_HELD_BACK_MS)
      .then(() => import('../plan-view/plan-view.js'))
      .then(
        ({ createPlanView }) =>
          createPlanView(container, callbacks, {
            theme: prefs.theme.value,
            layers: { ramp: prefs.ramp.value, strengths: prefs.layers.value },
            words: planWords(prefs.voice.value),
            askTile: (tile, signal) => askWorker('tile', tile, { signal }),
          }),
        () => null,
      )
      .then(
        view => {
          // A release that is gone from the server, and from what the browser keeps.
          if (view === null) return sheet.tell('new-version')
          if (gone) return view.dispose()
          setView(view)
          const stops = [...follow(view, desk), followLink(view, desk, moved)]
          stop = () => {
            for (const end of stops) end()
            setView(null)
            view.dispose()
          }
        },
        () => sheet.tell('no-webgl'),
      )
    return () => {
      gone = true
      stop()
    }
  }, [])
  return (
    <section class="plan-pane" aria-label={say.plan}>
      <div class="plan-holder" ref={holder} />
      <div class="plan-top">
        <Tools />
        <DemoSwitch />
      </div>
      <div class="plan-corner-keys">
        <LayerList />
        <PlanKey />
      </div>
      <Reading />
      <CreditLine />
    </section>
  )
}

/** A corner of what is drawn, or of the line, where one lies near on the screen; else the place itself. */
function cornerNear({ sheet, view }: Desk, at: readonly [number, number]): readonly [number, number] {
  const corners = [
    ...(sheet.line.value?.path ?? []),
    ...sheet.features.value.flatMap(({ geometry }) => positionsOf(geometry).flatMap(row => [...cornersOfRow(row)])),
  ].map(place => toDisplay(place, sheet.localCentre.value))
  const far = corners.map(corner => view()?.between_px(at, corner) ?? Number.POSITIVE_INFINITY)
  const nearest = far.indexOf(Math.min(...far))
  return (far[nearest] ?? Number.POSITIVE_INFINITY) <= NEAR_PX ? corners[nearest]! : at
}

/** Longest for which the map waits for the ground to be asked for. Unit: ms. Source: judgement. */
const MOST_HELD_BACK_MS = 400

const LEAST_RIM_PX = 34
const RIM_GAP_PX = 10

function follow(view: PlanView, desk: Desk): (() => void)[] {
  const { sheet, hands, prefs } = desk
  const pane = document.querySelector('.plan-holder')
  const top = document.querySelector<HTMLElement>('.plan-top')
  let rim = 0
  const observer = new ResizeObserver(() => {
    view.resize()
    // The tools lie over the plan's upper rim, in one row or two: nothing that is shown may end under them.
    const next = (top?.offsetTop ?? 0) + Math.max(top?.offsetHeight ?? 0, LEAST_RIM_PX) + RIM_GAP_PX
    if (next === rim) return
    rim = next
    view.setRims({ top: next, right: 0, bottom: 0, left: 0 })
  })
  if (pane) observer.observe(pane)
  if (top) observer.observe(top)
  return [
    effect(() => view.setTheme(prefs.theme.value)),
    effect(() => view.setLayers({ ramp: prefs.ramp.value, strengths: prefs.layers.value })),
    effect(() => view.setLanguage(planWords(prefs.voice.value))),
    effect(() => {
      const { coming, ground } = sheet
      const card = ground.value?.card
      if (coming.value !== null) view.setGround(coming.value, false)
      else view.setGround(card === undefined ? null : { ...card, cell_m: card.report.cell_m })
    }),
    effect(() => view.setContours(sheet.contours.value)),
    effect(() => {
      view.setNoGo(sheet.answer.value?.noGo ?? sheet.site.value?.noGo ?? NONE)
    }),
    effect(() => {
      view.setHalos(sheet.site.value?.halos ?? NONE)
    }),
    effect(() => view.setFeatures(collection(sheet.features.value, sheet.localCentre.value))),
    effect(() => view.setAnswer(answerShown(sheet))),
    effect(() => view.setSiting(sitingShown(sheet, hands))),
    effect(() => view.setStorm(hands.water.onPlan.value)),
    effect(() => view.setWork(sheet.leaf.value === 'work' ? (sheet.work.value?.drawn ?? NONE) : NONE)),
    effect(() => view.setOwnPlace(placeShown(desk))),
    effect(() => view.setFoundShown(sheet.foundShown.value)),
    effect(() => {
      const mode = sheet.mode.value
      const area = sheet.leaf.value === 'ground' && sheet.localCentre.value === null ? sheet.area.value : null
      const places =
        mode.kind === 'draw-line' || mode.kind === 'draw-feature'
          ? mode.places
          : mode.kind === 'measure'
            ? hands.measuring.drawn.value
            : mode.kind === 'read-place' && mode.at !== null
              ? [mode.at]
              : mode.kind === 'walk-line' && mode.from !== null
                ? [mode.from]
                : area === null
                  ? []
                  : cornersOf(area)
      const shape =
        mode.kind === 'draw-feature'
          ? mode.shape
          : mode.kind === 'draw-line' || mode.kind === 'walk-line' || mode.kind === 'measure'
            ? 'line'
            : 'polygon'
      view.setDraft(
        places.map(place => toDisplay(place, sheet.localCentre.value)),
        shape,
      )
      view.setChosen(mode.kind === 'chosen-feature' ? mode.id : null)
      view.setCrosshair(
        mode.kind === 'point-line' ||
          mode.kind === 'walk-line' ||
          mode.kind === 'draw-line' ||
          mode.kind === 'draw-feature' ||
          mode.kind === 'place-soil' ||
          mode.kind === 'measure' ||
          mode.kind === 'read-place' ||
          mode.kind === 'choose-area',
      )
    }),
    effect(() => {
      const say = sheetWords(prefs.voice.value)
      const name = (handle: Handle): string => {
        if (handle.what === 'line-through') return say.handle.through
        if (handle.what === 'line-end') return handle.end === 'first' ? say.handle.first : say.handle.last
        if (handle.what === 'spill') return handsWords(prefs.voice.value).spill.handle
        return handle.what === 'line-vertex' ? say.handle.vertex(handle.number) : `${say.handle.corner} ${handle.index + 1}`
      }
      const centre = sheet.localCentre.value
      // Out at the stakes nothing can be taken hold of: a glove on the plan must not move the line.
      const held = desk.field.open.value && sheet.leaf.value === 'work' ? [] : sheet.handles.value
      view.setHandles(
        held.map(({ handle, place, lean }) => ({
          handle,
          at: toDisplay(place, centre),
          label: name(handle),
          ...(lean ? { lean } : {}),
        })),
      )
    }),
    effect(() => view.zoomToEvidence(sheet.focused.value)),
    effect(() => {
      const [wanted, answer] = [sheet.toFit.value, sheet.answer.value]
      if (wanted === null || answer === null || answer === wanted.after) return
      view.fitAnswer(answer.drawn)
      sheet.toFit.value = null
    }),
    effect(() => {
      const [at, answer] = [sheet.pointer.value, sheet.answer.value]
      view.setPointer(at === null || answer === null ? null : placeAlong(answer, at))
    }),
    () => observer.disconnect(),
  ]
}

function Tools() {
  const { sheet, view, voice, say } = useDesk()
  const mode = sheet.mode.value
  const ground = sheet.ground.value
  if (ground === null) return null
  return (
    <div class="tools" role="toolbar" aria-label={say.tools}>
      <button
        type="button"
        class="firm"
        aria-pressed={mode.kind === 'point-line'}
        title={say.tool.pointHint}
        onClick={() => {
          if (mode.kind === 'point-line') sheet.cancel()
          else {
            sheet.pointLine()
            view()?.focus()
          }
        }}
      >
        <Sign of="point" />
        {say.tool.point}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'walk-line'}
        title={handsWords(voice).walk.hint}
        onClick={() => {
          if (mode.kind === 'walk-line') sheet.cancel()
          else {
            sheet.walkLine()
            view()?.focus()
          }
        }}
      >
        <Sign of="walk" />
        {handsWords(voice).walk.tool}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'draw-line'}
        onClick={() => {
          if (mode.kind === 'draw-line') sheet.cancel()
          else {
            sheet.drawLine()
            view()?.focus()
          }
        }}
      >
        <Sign of="draw" />
        {say.tool.draw}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'draw-feature'}
        title={say.tool.featureHint}
        onClick={() => (sheet.leaf.value = 'drawn')}
      >
        <Sign of="feature" />
        {say.tool.feature}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'measure'}
        title={measureWords(voice).hint}
        onClick={() => {
          if (mode.kind === 'measure') sheet.cancel()
          else {
            sheet.measure()
            view()?.focus()
          }
        }}
      >
        <Sign of="measure" />
        {measureWords(voice).tool}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'read-place'}
        title={placeWords(voice).hint}
        onClick={() => {
          if (mode.kind === 'read-place') sheet.cancel()
          else {
            sheet.readHere()
            view()?.focus()
          }
        }}
      >
        <Sign of="place" />
        {placeWords(voice).tool}
      </button>
      <button type="button" onClick={() => view()?.fit(ground.card.bounds)}>
        <Sign of="fit" />
        {say.tool.fit}
      </button>
    </div>
  )
}

function DemoSwitch() {
  const { sheet, say } = useDesk()
  if (!sheet.ground.value?.demo) return null
  const id = sheet.plan.value.lines[0]?.id
  return (
    <fieldset class="demo-switch">
      <legend class="unseen">{say.demo.title}</legend>
      {(['spur', 'bench'] as const).map(which => (
        <button
          type="button"
          key={which}
          aria-pressed={id === `demo-${which}`}
          title={say.demo.note}
          onClick={() => void sheet.useDemoLine(which)}
        >
          <strong>{say.demo[which]}</strong>
          <span>{which === 'spur' ? say.demo.spurHint : say.demo.benchHint}</span>
        </button>
      ))}
    </fieldset>
  )
}

/** Whether what is rarely needed may stand open. */
const roomy = (): boolean => matchMedia('(min-width: 861px) and (min-height: 760px)').matches

/** What to do now while something is drawn. */
export function DrawingPanel() {
  const { sheet, voice, say } = useDesk()
  const mode = sheet.mode.value
  if (mode.kind === 'look' || mode.kind === 'chosen-feature' || sheet.ground.value === null) return null
  if (mode.kind === 'measure') return <MeasurePanel />
  if (mode.kind === 'read-place') return <PlacePanel />
  const soilSay = sitingSheetWords(voice).soil
  const count = mode.kind === 'draw-line' || mode.kind === 'draw-feature' ? mode.places.length : 0
  const needed =
    mode.kind === 'draw-line' ? 2 : mode.kind === 'draw-feature' ? { point: 1, line: 2, polygon: 3 }[mode.shape] : Number.POSITIVE_INFINITY
  const hint =
    mode.kind === 'point-line'
      ? say.mode.pointLine
      : mode.kind === 'draw-line'
        ? say.mode.drawLine
        : mode.kind === 'walk-line'
          ? mode.from === null
            ? handsWords(voice).walk.from
            : handsWords(voice).walk.to
          : mode.kind === 'choose-area'
            ? openGroundWords(voice).pointing
            : mode.kind === 'place-soil'
              ? mode.seen === null
                ? soilSay.placePit
                : soilSay.placeSeen(soilSay.sighting[mode.seen] ?? mode.seen)
              : say.mode.drawFeature(sayFeature(mode.feature, voice), mode.shape)
  return (
    <div class="drawing-panel">
      <p role="status">
        <strong>{hint}</strong> {count > 0 && say.mode.places(count)}
      </p>
      <TraceProblem />
      <p class="button-row">
        {(mode.kind === 'draw-line' || mode.kind === 'draw-feature') && (
          <button type="button" class="firm" disabled={count < needed} onClick={sheet.finish}>
            {say.mode.done}
          </button>
        )}
        <SetAtCross />
        {count > 0 && (
          <button type="button" onClick={sheet.takeBackPlace}>
            {say.mode.takeBack}
          </button>
        )}
        <button type="button" onClick={sheet.cancel}>
          {say.mode.cancel}
        </button>
      </p>
      <details open={mode.kind === 'point-line' && roomy()}>
        <summary>{mode.kind === 'point-line' ? say.mode.tracing : say.mode.typed}</summary>
        {mode.kind === 'point-line' && (
          <TracingFields
            tracing={sheet.tracing.value}
            onSet={parts => {
              sheet.tracing.value = { ...sheet.tracing.value, ...parts }
            }}
          />
        )}
        <TypedPlaceForm label={say.reading.place} onPlace={sheet.place} />
        <p class="small">{say.mode.keyboard}</p>
      </details>
    </div>
  )
}

/** Coordinates, height and slope under the pointer. */
function Reading() {
  const { sheet, hands, voice, say } = useDesk()
  const reading = sheet.reading.value
  const leg = hands.measuring.running.value?.legs.at(-1)
  if (reading === null) return null
  return (
    <p class="reading" aria-hidden="true">
      {leg !== undefined && <strong>{sayLeg(leg, voice)} · </strong>}
      {writtenPlace(reading.place, sheet.localCentre.value !== null)}
      {reading.elevation_m === null
        ? ` · ${say.reading.outside}`
        : ` · ${say.reading.height} ${formatElevation(reading.elevation_m, voice, 1)}`}
      {reading.slope_ratio !== null && ` · ${say.reading.slope} ${formatSlope(reading.slope_ratio, voice)}`}
      {reading.noGo.length > 0 && (
        <span class="reading-no-go">
          {' '}
          · {say.reading.noGo} {reading.noGo.map(reason => sayReason(reason, voice)).join(', ')}
        </span>
      )}
    </p>
  )
}
