import { effect } from '@preact/signals'
import {
  formatElevation,
  formatLength,
  formatSlope,
  openGroundWords,
  sayFeature,
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
import type { PlanView, PlanWords } from '../plan-view/plan-view.js'
import { nearestAlong, placeAlong } from '../state/along-line.js'
import type { Handle } from '../state/mode.js'
import type { Area, Sheet } from '../state/sheet.js'
import { writtenPlace } from '../state/typed-place.js'
import { askWorker } from '../worker/client.js'
import { TraceProblem } from './notices.js'
import { CreditLine } from './open-data.js'
import { PlanKey } from './plan-key.js'
import { TracingFields } from './tracing-fields.js'
import { TypedPlaceForm } from './typed-place-form.js'
import { useDesk } from './with-sheet.js'

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
function sitingShown(sheet: Sheet): FeatureCollection {
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
      ...pits.flatMap(({ at }, k) => sign('pit', at, String(k + 1))),
      ...sightings.flatMap(({ at }) => sign('seen', at, '')),
    ],
  }
}

/** The plan with its tools. State flows into the view, taps and drags flow back. */
export function PlanPane() {
  const { sheet, prefs, view: standing, setView, say } = useDesk()
  const holder = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const container = holder.current
    if (container === null) return
    let stop = (): void => undefined
    let gone = false
    let pointed = false
    const callbacks = {
      onTap: (at: readonly [number, number], { featureId }: { readonly featureId: string | null }) => sheet.tap(at, featureId),
      onHandleDrag: (handle: Handle, at: readonly [number, number], phase: 'start' | 'move' | 'end') =>
        sheet.dragDisplay(handle, at, phase),
      onMove: (at: readonly [number, number] | null) => {
        sheet.readPlace(at)
        const answer = sheet.answer.value
        const found = at === null || answer === null ? null : nearestAlong(answer, at)
        const near = at !== null && found !== null && (standing()?.between_px(at, found.place) ?? Number.POSITIVE_INFINITY) <= NEAR_PX
        if (near) sheet.point(found.chainage_m)
        else if (pointed) sheet.point(null)
        pointed = near
      },
      onProblem: (code: `map/${string}`) => {
        if (code === 'map/no-webgl') sheet.tell('no-webgl')
        else if (code === 'map/context-lost') sheet.tell('context-lost')
        else if (code === 'map/rebuilt') sheet.silence('context-lost')
      },
    }
    // The map library is half of the page: the answers do not wait for it.
    void import('../plan-view/plan-view.js')
      .then(
        ({ createPlanView }) =>
          createPlanView(container, callbacks, {
            theme: prefs.theme.value,
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
          const stops = follow(view, sheet, prefs)
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
      <PlanKey />
      <Reading />
      <CreditLine />
    </section>
  )
}

const LEAST_RIM_PX = 34
const RIM_GAP_PX = 10

function follow(view: PlanView, sheet: Sheet, prefs: ReturnType<typeof useDesk>['prefs']): (() => void)[] {
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
    effect(() => view.setLanguage(planWords(prefs.voice.value))),
    effect(() => view.setGround(sheet.ground.value?.card ?? null)),
    effect(() => view.setContours(sheet.contours.value ?? NONE)),
    effect(() => {
      view.setNoGo(sheet.site.value?.noGo ?? NONE)
      view.setHalos(sheet.site.value?.halos ?? NONE)
    }),
    effect(() => view.setFeatures(collection(sheet.features.value, sheet.localCentre.value))),
    effect(() => view.setAnswer(answerShown(sheet))),
    effect(() => view.setSiting(sitingShown(sheet))),
    effect(() => view.setWork(sheet.leaf.value === 'work' ? (sheet.work.value?.drawn ?? NONE) : NONE)),
    effect(() => view.setFoundShown(sheet.foundShown.value)),
    effect(() => {
      const mode = sheet.mode.value
      const area = sheet.leaf.value === 'ground' && sheet.localCentre.value === null ? sheet.area.value : null
      const places = mode.kind === 'draw-line' || mode.kind === 'draw-feature' ? mode.places : area === null ? [] : cornersOf(area)
      const shape = mode.kind === 'draw-feature' ? mode.shape : mode.kind === 'draw-line' ? 'line' : 'polygon'
      view.setDraft(
        places.map(place => toDisplay(place, sheet.localCentre.value)),
        shape,
      )
      view.setChosen(mode.kind === 'chosen-feature' ? mode.id : null)
      view.setCrosshair(
        mode.kind === 'point-line' ||
          mode.kind === 'draw-line' ||
          mode.kind === 'draw-feature' ||
          mode.kind === 'place-soil' ||
          mode.kind === 'choose-area',
      )
    }),
    effect(() => {
      const say = sheetWords(prefs.voice.value)
      const name = (handle: Handle): string => {
        if (handle.what === 'line-through') return say.handle.through
        if (handle.what === 'line-end') return handle.end === 'first' ? say.handle.first : say.handle.last
        return handle.what === 'line-vertex' ? say.handle.vertex(handle.number) : `${say.handle.corner} ${handle.index + 1}`
      }
      const centre = sheet.localCentre.value
      view.setHandles(sheet.handles.value.map(({ handle, place }) => ({ handle, at: toDisplay(place, centre), label: name(handle) })))
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
  const { sheet, view, say } = useDesk()
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
        {say.tool.point}
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
        {say.tool.draw}
      </button>
      <button
        type="button"
        aria-pressed={mode.kind === 'draw-feature'}
        title={say.tool.featureHint}
        onClick={() => (sheet.leaf.value = 'drawn')}
      >
        {say.tool.feature}
      </button>
      <button type="button" onClick={() => view()?.fit(ground.card.bounds)}>
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
  const { sheet, view, voice, say } = useDesk()
  const mode = sheet.mode.value
  if (mode.kind === 'look' || mode.kind === 'chosen-feature' || sheet.ground.value === null) return null
  const soilSay = sitingSheetWords(voice).soil
  const count = mode.kind === 'draw-line' || mode.kind === 'draw-feature' ? mode.places.length : 0
  const needed =
    mode.kind === 'draw-line' ? 2 : mode.kind === 'draw-feature' ? { point: 1, line: 2, polygon: 3 }[mode.shape] : Number.POSITIVE_INFINITY
  const hint =
    mode.kind === 'point-line'
      ? say.mode.pointLine
      : mode.kind === 'draw-line'
        ? say.mode.drawLine
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
        {mode.kind !== 'point-line' && mode.kind !== 'place-soil' && mode.kind !== 'choose-area' && (
          <button type="button" class="firm" disabled={count < needed} onClick={sheet.finish}>
            {say.mode.done}
          </button>
        )}
        <button
          type="button"
          onClick={() => {
            const at = view()?.crosshairPlace()
            if (at) sheet.place(fromDisplay(at, sheet.localCentre.value))
          }}
        >
          {say.mode.setHere}
        </button>
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
  const { sheet, voice, say } = useDesk()
  const reading = sheet.reading.value
  if (reading === null) return null
  return (
    <p class="reading" aria-hidden="true">
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
