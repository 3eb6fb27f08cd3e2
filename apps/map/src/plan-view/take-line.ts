import type { Map as MapObject } from 'maplibre-gl'
import type { HandleOnMap } from './handle-on-map.js'
import type { PlanCallbacks } from './plan-view.js'

/** Round a press, where another swale's line counts as meant. */
const [MOUSE_PX, FINGER_PX] = [6, 14]
/** A press that moves less than this chooses the line and leaves it where it is. */
const MOVED_PX = 4

/**
 * A press on the line of another swale chooses it, and the same press drags it by its nearest handle. The map hears nothing of such a press: it neither
 * pans nor takes it for a tap. A second finger gives it up.
 */
export function onTakingLines(map: MapObject, { mayTake, onTake }: PlanCallbacks, handles: () => Iterable<HandleOnMap>): void {
  const canvas = map.getCanvas()
  let press: { readonly line: string; readonly begun: PointerEvent } | null = null
  /** True from the press until the last of its events has passed. */
  let ours = false

  const lineAt = ({ clientX, clientY, pointerType }: PointerEvent): string | null => {
    if (!map.getLayer('other-line')) return null
    const { left, top } = canvas.getBoundingClientRect()
    const [x, y, near] = [clientX - left, clientY - top, pointerType === 'mouse' ? MOUSE_PX : FINGER_PX]
    const [first] = map.queryRenderedFeatures(
      [
        [x - near, y - near],
        [x + near, y + near],
      ],
      { layers: ['other-line'] },
    )
    const id: unknown = first?.properties.id
    return typeof id === 'string' ? id : null
  }
  const nearestTo = ({ clientX, clientY }: PointerEvent): HandleOnMap | null => {
    const { left, top } = canvas.getBoundingClientRect()
    let nearest: HandleOnMap | null = null
    let least = Number.POSITIVE_INFINITY
    for (const one of handles()) {
      if (!one.ofLine) continue
      const { x, y } = map.project(one.marker.getLngLat())
      // The handle in the middle moves all of a level line, an end its end alone: from anywhere on the line the middle is meant.
      const far = one.ofLine === 'whole' ? 0 : Math.hypot(x - (clientX - left), y - (clientY - top))
      if (far < least) [nearest, least] = [one, far]
    }
    return nearest
  }

  canvas.addEventListener('pointerdown', event => {
    if (!event.isPrimary) {
      // Two fingers move the plan; what is dragged already goes on under the first.
      if (press !== null) ours = false
      press = null
      return
    }
    press = null
    ours = false
    if (event.button !== 0 || !mayTake()) return
    const line = lineAt(event)
    if (line === null) return
    press = { line, begun: event }
    ours = true
  })
  canvas.addEventListener('pointermove', event => {
    if (press === null || event.pointerId !== press.begun.pointerId) return
    const { line, begun } = press
    if (Math.hypot(event.clientX - begun.clientX, event.clientY - begun.clientY) < MOVED_PX) return
    press = null
    onTake(line)
    nearestTo(begun)?.take(begun)
  })
  canvas.addEventListener('pointerup', event => {
    if (press === null || event.pointerId !== press.begun.pointerId) return
    const { line } = press
    press = null
    onTake(line)
  })
  canvas.addEventListener('pointercancel', () => {
    press = null
  })
  // The map listens on the canvas's container: what belongs to such a press stops on its way there.
  for (const type of ['mousedown', 'touchstart', 'touchmove', 'click', 'dblclick'] as const)
    canvas.addEventListener(type, event => {
      if (!ours) return
      event.stopPropagation()
      if (event.type === 'click') ours = false
    })
  map.on('mouseenter', 'other-line', () => {
    if (mayTake()) canvas.style.cursor = 'move'
  })
  map.on('mouseleave', 'other-line', () => {
    canvas.style.cursor = ''
  })
}
