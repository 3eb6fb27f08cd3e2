import { type Map as MapObject, Marker } from 'maplibre-gl'
import type { Handle } from '../state/mode.js'
import type { Display } from '../worker/protocol.js'
import type { PlanCallbacks } from './plan-view.js'

/** The arrow keys and where they point on the screen. */
export const ARROWS: Readonly<Record<string, readonly [x: number, y: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}

/** A handle's button on the map. */
export interface HandleOnMap {
  readonly marker: Marker
  readonly button: HTMLButtonElement
  /** Whether it moves all of the line, or a part of it; null: another thing. */
  readonly ofLine: 'whole' | 'part' | null
  /** True while a finger or a key moves it. */
  held(): boolean
  /** Goes on with a press that began elsewhere, as if the handle were there. */
  take(press: PointerEvent): void
}

/** A button on the map that can be dragged, or moved by the arrow keys: one pixel, ten with Shift. */
export function handleOnMap(map: MapObject, handle: Handle, at: Display, { onHandleDrag }: PlanCallbacks): HandleOnMap {
  const button = document.createElement('button')
  button.type = 'button'
  button.className = `plan-handle plan-handle-${handle.what}`
  const marker = new Marker({ element: button, anchor: 'center' }).setLngLat([...at]).addTo(map)
  /** Where the finger holds on: its place on the page less the handle's on the map, so that a move needs no layout of the page. */
  let grip: { readonly pointer: number; readonly dx: number; readonly dy: number } | null = null
  let keyed = false
  let frame = 0

  const place = (): Display => {
    const { lng, lat } = marker.getLngLat()
    return [lng, lat]
  }
  const tellMove = (): void => {
    if (frame !== 0) return
    frame = requestAnimationFrame(() => {
      frame = 0
      if (grip || keyed) onHandleDrag(handle, place(), 'move')
    })
  }
  const take = ({ pointerId, clientX, clientY }: PointerEvent): void => {
    const centre = map.project(marker.getLngLat())
    grip = { pointer: pointerId, dx: centre.x - clientX, dy: centre.y - clientY }
    button.setPointerCapture(pointerId)
    button.focus()
    onHandleDrag(handle, place(), 'start')
  }
  button.addEventListener('pointerdown', event => {
    if (event.button === 0) take(event)
  })
  button.addEventListener('pointermove', event => {
    if (!grip || event.pointerId !== grip.pointer) return
    marker.setLngLat(map.unproject([event.clientX + grip.dx, event.clientY + grip.dy]))
    tellMove()
  })
  const letGo = (event: PointerEvent): void => {
    if (!grip || event.pointerId !== grip.pointer) return
    grip = null
    onHandleDrag(handle, place(), 'end')
  }
  button.addEventListener('pointerup', letGo)
  button.addEventListener('pointercancel', letGo)
  // The map listens to these on its container: a handle under the finger must not pan it, and a click on it is no tap.
  for (const type of ['mousedown', 'touchstart', 'touchmove', 'click', 'dblclick', 'pointerdown'])
    button.addEventListener(type, event => event.stopPropagation())
  button.addEventListener('keydown', event => {
    const step = ARROWS[event.key]
    if (!step) return
    event.preventDefault()
    event.stopPropagation()
    if (!keyed) {
      keyed = true
      onHandleDrag(handle, place(), 'start')
    }
    const { x, y } = map.project(marker.getLngLat())
    const far = event.shiftKey ? 10 : 1
    marker.setLngLat(map.unproject([x + step[0] * far, y + step[1] * far]))
    tellMove()
  })
  const keysUp = (): void => {
    if (!keyed) return
    keyed = false
    onHandleDrag(handle, place(), 'end')
  }
  button.addEventListener('keyup', event => {
    if (ARROWS[event.key]) keysUp()
  })
  button.addEventListener('blur', keysUp)
  const ofLine = handle.what === 'line-through' ? 'whole' : handle.what === 'line-end' || handle.what === 'line-vertex' ? 'part' : null
  return { marker, button, ofLine, held: () => grip !== null || keyed, take }
}
