import type { PlanWords, Rims } from './plan-view.js'

/** What stands on the plan besides the map: scale bar, north, zoom buttons, crosshair. */
export interface Furniture {
  /** Draws the scale bar for a scale. */
  scale(metresPerPixel: number): void
  say(words: PlanWords): void
  rims(rims: Rims): void
  crosshair(on: boolean): void
  remove(): void
}

const LONGEST_PX = 130
const NARROW_PX = 480
const LONGEST_NARROW_PX = 80
const FOOT_M = 0.3048
const SVG = 'http://www.w3.org/2000/svg'

/** Puts the furniture into the container. */
export function furniture(container: HTMLElement, { zoomBy, words: first }: { zoomBy(steps: number): void; words: PlanWords }): Furniture {
  let words = first
  let metresPerPixel = Number.NaN
  const corner = element('div', 'plan-corner')
  const north = picture('plan-north', '0 0 20 34', ['M10 2 L15 20 L10 16.5 L5 20 Z', 'M6 32 V24 L14 32 V24'])
  const bar = element('div', 'plan-scale')
  const barLine = element('div', 'plan-scale-line')
  const barText = element('span', 'plan-scale-text')
  bar.append(barText, barLine)
  const zoom = element('div', 'plan-zoom')
  const [closer, farther] = [
    ['M3 8 H13 M8 3 V13', 1],
    ['M3 8 H13', -1],
  ].map(([path, steps]) => {
    const button = element('button', 'plan-zoom-button') as HTMLButtonElement
    button.type = 'button'
    button.append(picture('', '0 0 16 16', [String(path)]))
    button.addEventListener('click', () => zoomBy(Number(steps)))
    zoom.append(button)
    return button
  })
  const cross = picture('plan-crosshair', '0 0 48 48', ['M24 2 V19 M24 29 V46 M2 24 H19 M29 24 H46', 'M24 23.5 V24.5'])
  cross.toggleAttribute('hidden', true)
  corner.append(zoom, north, bar)
  container.append(corner, cross)

  const drawScale = (): void => {
    if (!(metresPerPixel > 0)) return
    const unit_m = words.units === 'us' ? FOOT_M : 1
    const longest = container.clientWidth <= NARROW_PX ? LONGEST_NARROW_PX : LONGEST_PX
    const most = (longest * metresPerPixel) / unit_m
    const power = 10 ** Math.floor(Math.log10(most))
    const length = [5, 2, 1].map(step => step * power).find(step => step <= most) ?? power
    barLine.style.width = `${(length * unit_m) / metresPerPixel}px`
    barText.textContent = words.length(length * unit_m)
  }
  const say = (next: PlanWords): void => {
    words = next
    north.setAttribute('aria-label', words.north)
    for (const [button, text] of [
      [closer, words.zoomIn],
      [farther, words.zoomOut],
    ] as const) {
      button?.setAttribute('aria-label', text)
      if (button) button.title = text
    }
    drawScale()
  }
  north.setAttribute('role', 'img')
  say(words)

  return {
    scale(next) {
      if (next === metresPerPixel) return
      metresPerPixel = next
      drawScale()
    },
    say,
    rims({ top, right, bottom, left }) {
      corner.style.left = `${left}px`
      corner.style.bottom = `${bottom}px`
      cross.style.marginLeft = `${(left - right) / 2}px`
      cross.style.marginTop = `${(top - bottom) / 2}px`
    },
    crosshair: on => void cross.toggleAttribute('hidden', !on),
    remove() {
      corner.remove()
      cross.remove()
    },
  }
}

function element(name: string, className: string): HTMLElement {
  const made = document.createElement(name)
  made.className = className
  return made
}

function picture(className: string, viewBox: string, paths: readonly string[]): SVGSVGElement {
  const svg = document.createElementNS(SVG, 'svg')
  svg.setAttribute('class', className)
  svg.setAttribute('viewBox', viewBox)
  for (const d of paths) {
    const path = document.createElementNS(SVG, 'path')
    path.setAttribute('d', d)
    svg.append(path)
  }
  return svg
}
