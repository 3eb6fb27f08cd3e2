import type { Feature, FeatureCollection, Geometry, Position } from 'geojson'
import {
  addProtocol,
  type GeoJSONSource,
  type MapMouseEvent,
  Map as MapObject,
  Marker,
  removeProtocol,
  type StyleSpecification,
  setWorkerUrl,
} from 'maplibre-gl'
import mapWorkerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url'
import type { Handle } from '../state/mode.js'
import type { Answered, Display, GroundPicture, Sent } from '../worker/protocol.js'
import { boundsOf, evidenceOf, wholeEvidence } from './evidence.js'
import { type Furniture, furniture } from './furniture.js'
import { ARROWS, type HandleOnMap, handleOnMap } from './handle-on-map.js'
import { type Evidence, inksOf, type PlanLook, planLayers, SOURCES, type SourceName, type Theme } from './layers.js'
import { heldIn } from './layers-in-use.js'
import { patternImages, signImages } from './patterns.js'
import { onTakingLines } from './take-line.js'

export type { Evidence, Theme } from './layers.js'

/** What the plan says, in the language and units of the sheet. */
export interface PlanWords {
  readonly mapTitle: string
  readonly north: string
  readonly zoomIn: string
  readonly zoomOut: string
  readonly units: 'metric' | 'us'
  /** A height, as lettered on contours and high points, with at most so many decimals. */
  readonly elevation: (elevation_m: number, decimals: number) => string
  /** A distance of the scale bar. */
  readonly length: (length_m: number) => string
  /** Where an overflow ends. */
  readonly pathEnd: (code: string) => string
}

/** How a tap was made, and on what. */
export interface TapModifiers {
  readonly shift: boolean
  readonly alt: boolean
  /** Control, or Command on a Mac. */
  readonly command: boolean
  readonly by: 'pointer' | 'keys'
  /** Id of the drawn feature under the tap. */
  readonly featureId: string | null
}

/** What the plan tells the sheet. It knows no plan: the sheet decides what a tap means. */
export interface PlanCallbacks {
  onTap(at: Display, modifiers: TapModifiers): void
  /** A place held by a finger, or clicked with the other button. */
  onHold(at: Display): void
  /** Arrow keys on a handle give the same three phases as a finger. */
  onHandleDrag(handle: Handle, at: Display, phase: 'start' | 'move' | 'end'): void
  /** Whether a press on another swale's line takes hold of it now. */
  mayTake(): boolean
  /** Another swale's line was pressed: the sheet makes it the one that is worked on, and gives its handles at once. */
  onTake(lineId: string): void
  /** The place under the pointer; null when it leaves the plan. At most once a frame. */
  onMove(at: Display | null): void
  /** The view has come to rest after a hand moved it, or after it was fitted to something. */
  onViewed(how: 'by-hand' | 'fitted'): void
  /** All of the ground that is in view is drawn. */
  onDrawn(): void
  /** `map/no-webgl`, `map/context-lost`, `map/rebuilt`, `map/tile-failed`. */
  onProblem(code: `map/${string}`): void
}

export interface PlanOptions {
  readonly theme: Theme
  readonly layers: Pick<PlanLook, 'ramp' | 'strengths'>
  readonly words: PlanWords
  /** Gives a shaded tile of the open ground. */
  readonly askTile: (tile: Sent<'tile'>, signal: AbortSignal) => Promise<Answered<'tile'>>
}

/** A handle on the plan. `label` is read aloud. */
export interface PlacedHandle {
  readonly handle: Handle
  readonly at: Display
  readonly label: string
  /** To which side it stands off its place on the screen, as a unit vector; absent: it stands on it. */
  readonly lean?: readonly [x: number, y: number]
}

/** Room at the rims that other parts of the sheet cover, in pixels. */
export interface Rims {
  readonly top: number
  readonly right: number
  readonly bottom: number
  readonly left: number
}

type Bounds = readonly [west: number, south: number, east: number, north: number]

/** A place that is looked at. */
interface PlaceSeen {
  readonly center: [number, number]
  readonly zoom: number
}

/** The one adapter that touches the map object. Every setter may be called at any time, also while the map is rebuilt. */
export interface PlanView {
  /**
   * Shows a ground and fits the plan to it; null clears it. One that is not open yet is drawn as far as it can be: where it does not come, the ground before it
   * comes back as it was looked at.
   */
  setGround(picture: GroundPicture | null, open?: boolean): void
  /** Null: they are on their way, and the ground is not ready before they come. */
  setContours(contours: FeatureCollection | null): void
  setNoGo(noGo: FeatureCollection): void
  setHalos(halos: FeatureCollection): void
  /** `properties`: id, kind, and `label` where it bears a name. */
  setFeatures(features: FeatureCollection): void
  setAnswer(drawn: FeatureCollection): void
  /** Possible lines, test pits, things seen: `properties`: what, label, and `rank` of a line. */
  setSiting(siting: FeatureCollection): void
  /** Stakes, places to plant, low spots of the berm: `properties`: what, label, named, zone. */
  setWork(work: FeatureCollection): void
  /** The own place and the stake that is sought: `properties.what`: own, accuracy, goal, way. */
  setOwnPlace(place: FeatureCollection): void
  /** The storm at one of its hours; null: none is followed. */
  setStorm(storm: PlanLook['storm']): void
  /** The possible line that stands out, by its rank. */
  setFoundShown(rank: number | null): void
  /** What is being drawn; no places: nothing. */
  setDraft(places: readonly Display[], shape: 'point' | 'line' | 'polygon'): void
  setHandles(handles: readonly PlacedHandle[]): void
  setChosen(featureId: string | null): void
  setTheme(theme: Theme): void
  /** Tint of the ground, and how strong each group of layers is shown. */
  setLayers(look: Pick<PlanLook, 'ramp' | 'strengths'>): void
  setLanguage(words: PlanWords): void
  setRims(rims: Rims): void
  fit(bounds: Bounds): void
  /** Brings a drawn thing into sight, large enough for its corners to be taken hold of; where it is both already, the plan stays. */
  show(bounds: Bounds): void
  /** Shows all of an answer at once, with the buildings beside it. */
  fitAnswer(drawn: FeatureCollection): void
  /** A ring at a place of the line; null takes it away. */
  setPointer(at: Display | null): void
  /** Distance on the screen between two places; infinite while there is no map. Unit: CSS pixels. */
  between_px(a: Display, b: Display): number
  /** The middle of the view and its scale; null while there is no map. */
  viewNow(): { readonly at: Display; readonly zoom: number } | null
  lookAt(at: Display, zoom: number): void
  /** Zooms to the evidence of a question and dims the rest; null lifts the dimming. */
  zoomToEvidence(which: Evidence | null): void
  /** A cross at the middle: Space or Enter taps there, Shift and an arrow moves by little. */
  setCrosshair(on: boolean): void
  crosshairPlace(): Display
  /** Gives the plan the keyboard. */
  focus(): void
  resize(): void
  dispose(): void
}

const PROTOCOL = 'ground'
const EMPTY: FeatureCollection = { type: 'FeatureCollection', features: [] }
/** Metres per pixel at zoom 0 on the equator, tiles of 256 pixels. */
const METRES_PER_PX = 156_543.034
const REBUILD_AFTER_MS = 3000
const FEATURE_LAYERS = [
  'building',
  'building-point',
  'point-sign',
  'stream',
  'track',
  'utility',
  'boundary',
  'wall',
  'culvert',
  'wood',
  'marsh',
  'other-rim',
]

/**
 * Makes the plan in a container. The font of its lettering is loaded first. Once all is drawn the container bears `data-ready` (the number of
 * the ground) and `data-shows` (`ground` or `answer`); `data-pictured` is the number of a ground whose heights are drawn, open or not.
 */
export async function createPlanView(container: HTMLElement, callbacks: PlanCallbacks, options: PlanOptions): Promise<PlanView> {
  setWorkerUrl(mapWorkerUrl)
  // Lettering is drawn from the page's own font; a failure leaves the browser's sans-serif.
  await Promise.allSettled([document.fonts.load('14px "Noto Sans"', 'Añ'), document.fonts.load('14px "Noto Sans"', 'ő')])
  addProtocol(PROTOCOL, async ({ url }, abort) => {
    const bitmap = await options.askTile(tileOf(url), abort.signal)
    return { data: bitmap ?? new ArrayBuffer(0) }
  })

  let map: MapObject | null = null
  let drawable = false
  let words = options.words
  let look: PlanLook = { theme: options.theme, ...options.layers, focus: null, chosen: null, found: null, storm: null, held: new Set() }
  let card: GroundPicture | null = null
  let isOpen = true
  let contoured = false
  /** How the open ground was looked at, while another is drawn that is not open yet. */
  let left: { readonly groundNumber: number; readonly view: PlaceSeen } | null = null
  let crosshair = false
  let tileFailed = false
  let rims: Rims = { top: 0, right: 0, bottom: 0, left: 0 }
  let view: PlaceSeen | null = null
  /** What the view was fitted to last; null as soon as a hand is on the plan. */
  let fitted: { readonly bounds: Bounds; readonly maxZoom: number } | null = null
  let rebuilding: ReturnType<typeof setTimeout> | undefined
  const data: Record<SourceName, FeatureCollection> = {
    contours: EMPTY,
    'no-go': EMPTY,
    halos: EMPTY,
    features: EMPTY,
    answer: EMPTY,
    siting: EMPTY,
    work: EMPTY,
    draft: EMPTY,
    'own-place': EMPTY,
  }
  const handles = new Map<string, HandleOnMap>()
  let pointer: Display | null = null
  let ring: Marker | null = null
  let placed: readonly PlacedHandle[] = []

  container.classList.add('plan-view')
  // Handles keep the press to themselves: it is seen on its way down.
  container.addEventListener('pointerdown', () => (fitted = null), { capture: true })
  const canvasHolder = document.createElement('div')
  canvasHolder.className = 'plan-view-map'
  container.append(canvasHolder)
  const parts: Furniture = furniture(container, { zoomBy: steps => map?.zoomTo(map.getZoom() + steps, {}, BY_HAND), words })

  const labelled = (name: SourceName): FeatureCollection => {
    // What stands on the open ground has no place on the next one.
    if (!isOpen && name !== 'own-place') return EMPTY
    if (name !== 'contours' && name !== 'answer') return data[name]
    return { type: 'FeatureCollection', features: data[name].features.map(feature => withLabel(feature, words)) }
  }
  const refresh = (name: SourceName): void => {
    if (drawable) map?.getSource<GeoJSONSource>(name)?.setData(labelled(name))
  }
  const set = (name: SourceName, collection: FeatureCollection): void => {
    // The same again, as no-go ground is at every step of a drag, would go through the map's worker for nothing, and draw the whole plan once more.
    const before = data[name]
    if (collection === before || (collection.features.length === 0 && before.features.length === 0)) return
    data[name] = collection
    const held = new Set(SOURCES.flatMap(source => heldIn(source, data[source])))
    if ([...held].join() !== [...look.held].join()) relook({ ...look, held })
    refresh(name)
  }

  /** Brings the layers of the map to a look. */
  const relook = (next: PlanLook): void => {
    const before = look
    look = next
    if (!map || !drawable) return
    const old = planLayers(before)
    for (const [k, layer] of planLayers(next).entries()) {
      if (!map.getLayer(layer.id)) continue
      const then = old[k]!
      for (const part of ['paint', 'layout'] as const) {
        const now = (layer[part] ?? {}) as Record<string, unknown>
        const was = (then[part] ?? {}) as Record<string, unknown>
        for (const [name, value] of Object.entries(now))
          if (JSON.stringify(value) !== JSON.stringify(was[name])) {
            if (part === 'paint') map.setPaintProperty(layer.id, name as never, value as never)
            else map.setLayoutProperty(layer.id, name as never, value as never)
          }
      }
      if ('filter' in layer && layer.filter && JSON.stringify(layer.filter) !== JSON.stringify((then as typeof layer).filter))
        map.setFilter(layer.id, layer.filter)
    }
    if (before.theme !== next.theme) dress(map, next.theme)
    if (before.theme !== next.theme || before.ramp !== next.ramp) showGround()
  }

  const showGround = (): void => {
    if (!map || !drawable) return
    tileFailed = false
    delete container.dataset.ready
    if (map.getLayer('ground')) map.removeLayer('ground')
    if (map.getSource('ground')) map.removeSource('ground')
    if (!card) return
    const [west, south, east, north] = card.bounds
    const cosine = Math.cos((((south + north) / 2) * Math.PI) / 180)
    const finest = Math.ceil(Math.log2((METRES_PER_PX * cosine) / card.cell_m))
    const coarsest = Math.max(0, Math.floor(Math.log2(360 / Math.max(east - west, 1e-6))) - 3)
    map.addSource('ground', {
      type: 'raster',
      tiles: [`${PROTOCOL}://${card.groundNumber}/${look.theme === 'night' ? 'night' : 'day'}/${look.ramp}/{z}/{x}/{y}`],
      tileSize: 256,
      // One step finer than the cells, so that the shading stays smooth when it is enlarged.
      maxzoom: Math.min(22, Math.max(coarsest, finest + 1)),
      minzoom: coarsest,
      bounds: [west, south, east, north],
    })
    const [above] = planLayers(look).slice(2)
    map.addLayer(planLayers(look)[1]!, above?.id)
    map.setMinZoom(coarsest)
  }

  const draw = (): void => {
    for (const name of SOURCES) refresh(name)
    showGround()
  }

  const showHandles = (): void => {
    if (!map) return
    const shownNow = isOpen ? placed : []
    const wanted = new Set(shownNow.map(({ handle }) => JSON.stringify(handle)))
    // A handle under the finger stays until it is let go: without it the drag would never end.
    for (const [key, shown] of handles)
      if (!wanted.has(key) && !shown.held()) {
        shown.marker.remove()
        handles.delete(key)
      }
    for (const { handle, at, label, lean } of shownNow) {
      const key = JSON.stringify(handle)
      let shown = handles.get(key)
      if (!shown) {
        shown = handleOnMap(map, handle, at, callbacks)
        handles.set(key, shown)
      }
      // Under the finger the finger leads; the answer comes after it.
      if (!shown.held()) shown.marker.setLngLat([...at]).setOffset(lean ? [lean[0] * LEAN_PX, lean[1] * LEAN_PX] : [0, 0])
      shown.button.setAttribute('aria-label', label)
      shown.button.title = label
    }
  }

  const showPointer = (): void => {
    if (!map || pointer === null) {
      ring?.remove()
      ring = null
      return
    }
    if (ring) return void ring.setLngLat([...pointer])
    const element = document.createElement('div')
    element.className = 'plan-pointer'
    ring = new Marker({ element, anchor: 'center' }).setLngLat([...pointer]).addTo(map)
  }

  const build = (): void => {
    drawable = false
    ring?.remove()
    ring = null
    for (const { marker } of handles.values()) marker.remove()
    handles.clear()
    try {
      map = new MapObject({
        container: canvasHolder,
        style: styleOf(look),
        attributionControl: false,
        renderWorldCopies: false,
        dragRotate: false,
        pitchWithRotate: false,
        touchPitch: false,
        maxPitch: 0,
        maxZoom: 23,
        fadeDuration: 0,
        // The map's own way would write the plan's place on Earth into the page's address.
        hash: false,
        locale: { 'Map.Title': words.mapTitle },
        ...(view ?? { center: [0, 0], zoom: 1 }),
      })
    } catch {
      map = null
      canvasHolder.replaceChildren()
      callbacks.onProblem('map/no-webgl')
      return
    }
    const fresh = map
    const builtIn = look
    fresh.touchZoomRotate.disableRotation()
    fresh.keyboard.disableRotation()
    fresh.setPadding({ ...rims })
    fresh.on('style.load', () => {
      dress(fresh, look.theme)
      drawable = true
      // What changed since it was built.
      const now = look
      look = builtIn
      relook(now)
      draw()
    })
    fresh.on('idle', () => {
      if (card) {
        container.dataset.pictured = String(card.groundNumber)
        callbacks.onDrawn()
        if (isOpen && contoured) container.dataset.ready = String(card.groundNumber)
      }
      container.dataset.shows = data.answer.features.some(({ properties }) => properties?.what !== 'line') ? 'answer' : 'ground'
    })
    fresh.on('move', () => {
      const { lng, lat } = fresh.getCenter()
      view = { center: [lng, lat], zoom: fresh.getZoom() }
      parts.scale(((METRES_PER_PX / 2) * Math.cos((lat * Math.PI) / 180)) / 2 ** fresh.getZoom())
    })
    fresh.on('moveend', (event: { readonly originalEvent?: unknown; readonly how?: 'by-hand' | 'fitted' }) => {
      if (event.how !== 'fitted' && (event.how || event.originalEvent)) fitted = null
      if (event.how || event.originalEvent) callbacks.onViewed(event.how ?? 'by-hand')
    })
    fresh.on('click', event => callbacks.onTap([event.lngLat.lng, event.lngLat.lat], modifiersOf(fresh, event)))
    onceAFrame(fresh, callbacks)
    onHolding(fresh, callbacks)
    onTakingLines(fresh, callbacks, () => handles.values())
    fresh.on('error', ({ error }) => {
      // A tile that is no longer wanted is no fault; of the others one is told, not each.
      if ((error instanceof Error && error.name === 'AbortError') || tileFailed) return
      tileFailed = true
      callbacks.onProblem('map/tile-failed')
    })
    fresh.on('webglcontextlost', () => {
      callbacks.onProblem('map/context-lost')
      rebuilding ??= setTimeout(rebuild, REBUILD_AFTER_MS)
    })
    fresh.on('webglcontextrestored', rebuild)
    fresh.getCanvas().addEventListener('keydown', onKey)
    showHandles()
    showPointer()
  }

  const rebuild = (): void => {
    clearTimeout(rebuilding)
    rebuilding = undefined
    delete container.dataset.ready
    map?.remove()
    canvasHolder.replaceChildren()
    build()
    if (map) callbacks.onProblem('map/rebuilt')
  }

  const onKey = (event: KeyboardEvent): void => {
    if (!crosshair || !map) return
    if (event.key === ' ' || event.key === 'Enter') {
      event.preventDefault()
      const at = crosshairPlace()
      callbacks.onTap(at, {
        shift: event.shiftKey,
        alt: event.altKey,
        command: event.ctrlKey || event.metaKey,
        by: 'keys',
        featureId: featureAt(map, at),
      })
      return
    }
    const step = ARROWS[event.key]
    if (event.shiftKey && step) {
      event.preventDefault()
      event.stopPropagation()
      map.panBy([step[0] * FINE_PX, step[1] * FINE_PX], { duration: 0 }, BY_HAND)
    }
  }

  const crosshairPlace = (): Display => {
    if (!map) return [0, 0]
    const { lng, lat } = map.getCenter()
    return [lng, lat]
  }

  const fit = (bounds: Bounds, maxZoom = 20, duration = view ? 500 : 0): void => {
    fitted = { bounds, maxZoom }
    const [west, south, east, north] = bounds
    const padding = { top: 18, left: KEYS_PX, right: 30, bottom: FURNITURE_PX }
    map?.fitBounds([west, south, east, north], { padding, maxZoom, duration }, FITTED)
  }

  /** The same where the plan has another shape now, which cuts off a part of what it was fitted to. */
  const fitAgain = (): void => {
    if (fitted && !onScreen(fitted.bounds).inSight) fit(fitted.bounds, fitted.maxZoom, 0)
  }

  const onScreen = ([west, south, east, north]: Bounds): { readonly inSight: boolean; readonly size_px: number } => {
    if (!map) return { inSight: false, size_px: 0 }
    const [a, b] = [map.project([west, north]), map.project([east, south])]
    const { clientWidth, clientHeight } = container
    const inSight =
      a.x >= rims.left && a.y >= rims.top && b.x <= clientWidth - rims.right && b.y <= clientHeight - rims.bottom - FURNITURE_PX
    return { inSight, size_px: Math.max(b.x - a.x, b.y - a.y) }
  }

  build()
  return {
    setGround(next, open = true) {
      const another = next?.groundNumber !== card?.groundNumber
      const wasOpen = isOpen
      if (wasOpen && !open) left = card && view && { groundNumber: card.groundNumber, view }
      card = next
      isOpen = open
      if (wasOpen !== open) {
        for (const name of SOURCES) refresh(name)
        showHandles()
      }
      if (another || wasOpen || !open) showGround()
      // All of it is drawn already; with the next picture it is ready.
      else map?.triggerRepaint()
      if (next && another) {
        const back = left !== null && left.groundNumber === next.groundNumber ? left.view : null
        view = back
        fitted = null
        if (back) map?.jumpTo(back, FITTED)
        else fit(next.bounds)
      }
      if (open) left = null
    },
    setContours(contours) {
      contoured = contours !== null
      set('contours', contours ?? EMPTY)
    },
    setNoGo: noGo => set('no-go', noGo),
    setHalos: halos => set('halos', halos),
    setFeatures: features => set('features', features),
    setAnswer: drawn => set('answer', drawn),
    setSiting: siting => set('siting', siting),
    setWork: work => set('work', work),
    setOwnPlace: place => set('own-place', place),
    setStorm: storm => relook({ ...look, storm }),
    setFoundShown: found => relook({ ...look, found }),
    setDraft(places, shape) {
      set('draft', draftOf(places, shape))
      if (places.length > 0) map?.doubleClickZoom.disable()
      else map?.doubleClickZoom.enable()
    },
    setHandles(next) {
      placed = next
      showHandles()
    },
    setChosen: chosen => relook({ ...look, chosen }),
    setTheme: theme => relook({ ...look, theme }),
    setLayers: layers => relook({ ...look, ...layers }),
    setLanguage(next) {
      words = next
      parts.say(next)
      map?.getCanvas().setAttribute('aria-label', next.mapTitle)
      refresh('contours')
      refresh('answer')
      if (map) map.fire('move')
    },
    setRims(next) {
      rims = next
      map?.setPadding({ ...next })
      parts.rims(next)
      fitAgain()
    },
    fit: bounds => fit(bounds),
    show(bounds) {
      const { inSight, size_px } = onScreen(bounds)
      if (!inSight || (size_px > 0 && size_px < HELD_PX)) fit(bounds, HELD_ZOOM)
    },
    fitAnswer(drawn) {
      const bounds = boundsOf(wholeEvidence(drawn, data.features))
      if (bounds) fit(bounds)
    },
    setPointer(at) {
      pointer = at
      showPointer()
    },
    between_px(a, b) {
      if (!map) return Number.POSITIVE_INFINITY
      const [p, q] = [map.project([...a]), map.project([...b])]
      return Math.hypot(p.x - q.x, p.y - q.y)
    },
    viewNow: () => map && { at: crosshairPlace(), zoom: map.getZoom() },
    lookAt: (at, zoom) => void map?.jumpTo({ center: [...at], zoom }, BY_HAND),
    zoomToEvidence(which) {
      relook({ ...look, focus: which })
      const bounds = which && boundsOf(evidenceOf(which, data))
      if (bounds) fit(bounds)
    },
    setCrosshair(on) {
      crosshair = on
      if (on) fitted = null
      parts.crosshair(on)
    },
    crosshairPlace,
    focus: () => map?.getCanvas().focus(),
    resize() {
      map?.resize()
      fitAgain()
    },
    dispose() {
      clearTimeout(rebuilding)
      for (const { marker } of handles.values()) marker.remove()
      handles.clear()
      ring?.remove()
      map?.remove()
      map = null
      removeProtocol(PROTOCOL)
      parts.remove()
      canvasHolder.remove()
      delete container.dataset.ready
    },
  }
}

/** What a move of the map says of where it came from. */
const [BY_HAND, FITTED] = [{ how: 'by-hand' }, { how: 'fitted' }] as const
const FINE_PX = 8
/** How high scale bar, north and zoom buttons stand at the lower rim. */
const FURNITURE_PX = 54
/** How far the key and the list of layers, closed, reach in from the left rim. */
const KEYS_PX = 92
/** How far a handle that leans stands off its place. */
const LEAN_PX = 30
/** A drawn thing smaller than this on the screen is covered by its own handles; brought into sight it is not enlarged further than this. */
const [HELD_PX, HELD_ZOOM] = [48, 19]
/** Around a tap, where a drawn feature counts as meant. */
const TAP_PX = 6

function tileOf(url: string): Sent<'tile'> {
  const [groundNumber, light, ramp, z, x, y] = url.slice(`${PROTOCOL}://`.length).split('/')
  return {
    groundNumber: Number(groundNumber),
    night: light === 'night',
    ramp: ramp as PlanLook['ramp'],
    z: Number(z),
    x: Number(x),
    y: Number(y),
  }
}

function styleOf(look: PlanLook): StyleSpecification {
  return {
    version: 8,
    sources: Object.fromEntries(SOURCES.map(name => [name, { type: 'geojson', data: EMPTY, tolerance: 0.2, maxzoom: 20 }])),
    layers: planLayers(look).filter(({ id }) => id !== 'ground'),
  }
}

/** Hangs the patterns and signs of a theme on the map. */
function dress(map: MapObject, theme: Theme): void {
  const inks = inksOf(theme)
  for (const [name, image] of [...patternImages(inks), ...signImages(inks)])
    if (map.hasImage(name)) map.updateImage(name, image)
    else map.addImage(name, image, { pixelRatio: 2 })
}

function modifiersOf(map: MapObject, { originalEvent, lngLat }: MapMouseEvent): TapModifiers {
  return {
    shift: originalEvent.shiftKey,
    alt: originalEvent.altKey,
    command: originalEvent.ctrlKey || originalEvent.metaKey,
    by: 'pointer',
    featureId: featureAt(map, [lngLat.lng, lngLat.lat]),
  }
}

function featureAt(map: MapObject, at: Display): string | null {
  const { x, y } = map.project([...at])
  const layers = FEATURE_LAYERS.filter(id => map.getLayer(id))
  const [first] = map.queryRenderedFeatures(
    [
      [x - TAP_PX, y - TAP_PX],
      [x + TAP_PX, y + TAP_PX],
    ],
    { layers },
  )
  const id: unknown = first?.properties.id
  return typeof id === 'string' ? id : null
}

function onceAFrame(map: MapObject, { onMove }: PlanCallbacks): void {
  let at: Display | null = null
  let asked = 0
  const tell = (next: Display | null): void => {
    at = next
    if (asked !== 0) return
    asked = requestAnimationFrame(() => {
      asked = 0
      onMove(at)
    })
  }
  map.on('mousemove', ({ lngLat }) => tell([lngLat.lng, lngLat.lat]))
  map.on('mouseout', () => tell(null))
}

/** How long a finger stays on a place that it asks about. Source: common practice. */
const HOLD_MS = 600

function onHolding(map: MapObject, { onHold }: PlanCallbacks): void {
  let timer: ReturnType<typeof setTimeout> | undefined
  const letGo = (): void => clearTimeout(timer)
  // A handle that is held is about to be dragged, and asks nothing.
  const onGround = (event: Event): boolean => event.target === map.getCanvas()
  map.on('contextmenu', ({ lngLat, originalEvent }) => {
    if (!onGround(originalEvent)) return
    originalEvent.preventDefault()
    letGo()
    onHold([lngLat.lng, lngLat.lat])
  })
  map.on('touchstart', ({ lngLat, points, originalEvent }) => {
    letGo()
    if (points.length === 1 && onGround(originalEvent)) timer = setTimeout(() => onHold([lngLat.lng, lngLat.lat]), HOLD_MS)
  })
  for (const end of ['touchmove', 'touchend', 'touchcancel', 'movestart'] as const) map.on(end, letGo)
}

function withLabel(feature: Feature, words: PlanWords): Feature {
  const { what, elevation_m, endsIn } = feature.properties ?? {}
  const label =
    what === 'path-end'
      ? words.pathEnd(String(endsIn))
      : typeof elevation_m === 'number'
        ? words.elevation(elevation_m, what === 'contour' ? 2 : 1)
        : null
  return label === null ? feature : { ...feature, properties: { ...feature.properties, label } }
}

function draftOf(places: readonly Display[], shape: 'point' | 'line' | 'polygon'): FeatureCollection {
  const path = places.map((at): Position => [...at])
  const one = (geometry: Geometry): Feature => ({ type: 'Feature', properties: {}, geometry })
  return {
    type: 'FeatureCollection',
    features: [
      ...(shape === 'polygon' && path.length > 2 ? [one({ type: 'Polygon', coordinates: [[...path, path[0]!]] })] : []),
      ...(shape !== 'point' && path.length > 1 ? [one({ type: 'LineString', coordinates: path })] : []),
      ...path.map(at => one({ type: 'Point', coordinates: at })),
    ],
  }
}
