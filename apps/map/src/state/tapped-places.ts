import { batch, type ReadonlySignal, signal } from '@preact/signals'
import type { SightingKind } from 'soakline/hydrology'
import type { Place, Plan, PlanFeature } from 'soakline/plan'
import type { FeatureKind } from 'soakline/siting'
import { fromDisplay } from '../display.js'
import type { Display, GroundCard } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { Hand } from './hand.js'
import type { Edit } from './history.js'
import type { LineByHand } from './line-by-hand.js'
import type { Margin } from './margin.js'

/** A square on the ground: its middle in degrees, and its side. */
export interface Area {
  readonly middle: readonly [number, number]
  readonly side_m: number
}

/** Side of the area that open data is brought for, at first. Source: judgement. */
const FIRST_SIDE_M = 1000

/** Depth of a pit of which nobody has said how deep it is: too shallow to tell anything until somebody does. Source: judgement. */
const FIRST_PIT_M = 0.5

/** What tapping rests on. */
export interface TapNeeds {
  readonly plan: ReadonlySignal<Plan>
  readonly hand: Hand
  readonly localCentre: ReadonlySignal<GroundCard['localCentre']>
  readonly lineByHand: Pick<LineByHand, 'pointAt' | 'walk'>
  isOpen(): boolean
  edit(make: (plan: Plan) => Edit): void
  readonly margin: Pick<Margin, 'leaf' | 'focused'>
  refresh(): void
}

/** What a tapped place means, by what the hand is doing. */
export function createTappedPlaces({ plan, hand, localCentre, lineByHand, isOpen, edit, margin, refresh }: TapNeeds) {
  const { mode, draftLine, draftFeature, draftSettings, adding, byHand } = hand
  const { pointAt, walk } = lineByHand

  /** The square that open data is to be brought for. */
  const area = signal<Area | null>(null)

  /** A place given by a tap, by typing, or by Enter at the crosshair. */
  function place(at: Place): void {
    const now = mode.value
    if (now.kind === 'point-line') pointAt(at)
    else if (now.kind === 'walk-line') walk(now.from, at)
    else if (now.kind === 'choose-area')
      batch(() => {
        area.value = { middle: [at[0], at[1]], side_m: area.value?.side_m ?? FIRST_SIDE_M }
        mode.value = { kind: 'look' }
      })
    else if (now.kind === 'place-soil') placeSoil(at, now.seen)
    else if (now.kind === 'read-place') mode.value = { kind: 'read-place', at }
    else if (now.kind === 'draw-line' || now.kind === 'measure') mode.value = { ...now, places: [...now.places, at] }
    else if (now.kind === 'draw-feature') {
      mode.value = { ...now, places: [...now.places, at] }
      if (now.shape === 'point') finish()
    }
  }

  function placeSoil(at: Place, seen: SightingKind | null): void {
    batch(() => {
      edit(p => (seen === null ? edits.addPit(p, at, FIRST_PIT_M) : edits.addSighting(p, { kind: seen, at })))
      mode.value = { kind: 'look' }
    })
  }

  /** Ends drawing: what was drawn becomes part of the plan, if it is enough. */
  function finish(): void {
    const now = mode.value
    if (now.kind === 'draw-line' && now.places.length >= 2) {
      batch(() => {
        mode.value = { kind: 'look' }
        byHand.value = 'drawn'
        const drawn = {
          id: adding.value ? edits.freshId('line', plan.value.lines) : (plan.value.lines[0]?.id ?? 'line-1'),
          path: now.places,
        }
        edit(p => (adding.value ? edits.setLines(p, [drawn, ...p.lines]) : edits.setLine(p, 'draw-line', drawn)))
        adding.value = false
      })
    } else if (now.kind === 'draw-feature') {
      const geometry = geometryOf(now.shape, now.places)
      if (geometry === null) return
      const id = edits.freshId(now.feature, plan.value.features)
      batch(() => {
        edit(p => edits.addFeature(p, { id, kind: now.feature, name: null, floor_m: null, geometry }))
        mode.value = plan.value.features.some(f => f.id === id) ? { kind: 'chosen-feature', id } : { kind: 'look' }
      })
    }
  }

  return {
    area,
    place,
    finish,
    /** A tap on the plan; `feature` is the drawn feature under it. */
    tap(at: Display, feature: string | null): void {
      const now = mode.value
      if (now.kind === 'look' || now.kind === 'chosen-feature') {
        batch(() => {
          mode.value = feature === null ? { kind: 'look' } : { kind: 'chosen-feature', id: feature }
          if (feature !== null) margin.leaf.value = 'drawn'
        })
        return
      }
      place(fromDisplay(at, localCentre.value))
    },
    /** The next place pointed at is that of a test pit, or of a thing seen. */
    placeSoil: (seen: SightingKind | null) => {
      mode.value = { kind: 'place-soil', seen }
    },
    chooseArea: (next: Area) => {
      area.value = next
    },
    pointArea: () => {
      mode.value = { kind: 'choose-area' }
    },
    drawLine: () => {
      mode.value = { kind: 'draw-line', places: [] }
    },
    walkLine: () => {
      mode.value = { kind: 'walk-line', from: null }
    },
    /** The next line traced or drawn is one more. */
    addLine: () => {
      batch(() => {
        adding.value = true
        mode.value = { kind: 'point-line' }
      })
    },
    pointLine: () => {
      mode.value = { kind: 'point-line' }
    },
    measure: (places: readonly Place[] = []) => {
      mode.value = { kind: 'measure', places }
    },
    readHere: (at: Place | null = null) => {
      mode.value = { kind: 'read-place', at }
    },
    /** A place was held, or clicked with the other button: it is read, unless the hand is drawing. */
    held(at: Display): void {
      if (['look', 'chosen-feature', 'read-place'].includes(mode.value.kind) && isOpen())
        mode.value = { kind: 'read-place', at: fromDisplay(at, localCentre.value) }
    },
    drawFeature: (feature: FeatureKind, shape: 'point' | 'line' | 'polygon') => {
      mode.value = { kind: 'draw-feature', feature, shape, places: [] }
    },
    choose: (id: string | null) => {
      mode.value = id === null ? { kind: 'look' } : { kind: 'chosen-feature', id }
    },
    takeBackPlace: () => {
      const now = mode.value
      if (now.kind === 'draw-line' || now.kind === 'draw-feature' || now.kind === 'measure')
        mode.value = { ...now, places: now.places.slice(0, -1) }
    },
    cancel: () => {
      batch(() => {
        mode.value = { kind: 'look' }
        draftLine.value = null
        draftFeature.value = null
        draftSettings.value = null
        adding.value = false
        byHand.value = null
        margin.focused.value = null
      })
      refresh()
    },
  }
}

function geometryOf(shape: 'point' | 'line' | 'polygon', places: readonly Place[]): PlanFeature['geometry'] | null {
  if (shape === 'point') return places[0] ? { type: 'Point', coordinates: places[0] } : null
  if (shape === 'line') return places.length >= 2 ? { type: 'LineString', coordinates: places } : null
  return places.length >= 3 ? { type: 'Polygon', coordinates: [[...places, places[0]!]] } : null
}
