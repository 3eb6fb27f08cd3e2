import type { Page } from 'playwright-core'

/** Everything that can be pressed, typed into or chosen. */
const TARGETS = 'button, a[href], input:not([type=hidden]):not([hidden]), select, summary, [role=tab], [role=slider], [tabindex="0"]'

/**
 * Targets smaller than so many CSS pixels either way, in short. A field counts with its label, since both take the press; text in a line of text is
 * spared (WCAG 2.2, 2.5.8: inline), and so is what is hidden.
 */
export const smallTargets = (page: Page, within: string, least_px: number): Promise<string[]> =>
  page.evaluate(
    ({ within, targets, least_px }) =>
      [...document.querySelectorAll(within)].flatMap(part =>
        [...part.querySelectorAll<HTMLElement>(targets)].flatMap(element => {
          if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: false })) return []
          const label = (element as HTMLInputElement).labels?.[0]
          const boxes = [element, ...(label?.contains(element) || element.matches('[type=checkbox], [type=radio]') ? [label] : [])]
            .filter(box => box !== undefined && box !== null)
            .map(box => box.getBoundingClientRect())
          const [width, height] = [Math.max(...boxes.map(b => b.width)), Math.max(...boxes.map(b => b.height))]
          if (width === 0 || height === 0 || (width >= least_px - 0.5 && height >= least_px - 0.5)) return []
          const name = element.getAttribute('aria-label') ?? label?.textContent ?? element.textContent ?? ''
          return [
            `${element.tagName.toLowerCase()}.${element.className} "${name.trim().slice(0, 30)}" ${Math.round(width)} × ${Math.round(height)}`,
          ]
        }),
      ),
    { within, targets: TARGETS, least_px },
  )

/** Targets that lie over one another, in short: each counts as far as nothing that scrolls cuts it off. What is taken hold of on plan and section may meet. */
export const overlapping = (page: Page): Promise<string[]> =>
  page.evaluate(targets => {
    const seen = [...document.querySelectorAll<HTMLElement>(targets)].flatMap(element => {
      if (
        element.closest('.plan-handle, .section-pointer, .section-grip, canvas, dialog') ||
        !element.checkVisibility({ visibilityProperty: true, opacityProperty: true })
      )
        return []
      const box = element.getBoundingClientRect()
      let [left, top, right, bottom] = [box.left, box.top, box.right, box.bottom]
      for (let up = element.parentElement; up; up = up.parentElement) {
        if (getComputedStyle(up).overflow === 'visible') continue
        const frame = up.getBoundingClientRect()
        left = Math.max(left, frame.left)
        top = Math.max(top, frame.top)
        right = Math.min(right, frame.right)
        bottom = Math.min(bottom, frame.bottom)
      }
      return right - left > 1 && bottom - top > 1 ? [{ element, left, top, right, bottom }] : []
    })
    const name = (element: HTMLElement): string =>
      (element.getAttribute('aria-label') ?? element.textContent ?? '').trim().slice(0, 30) || element.className
    return seen.flatMap((a, k) =>
      seen.slice(k + 1).flatMap(b => {
        if (a.element.contains(b.element) || b.element.contains(a.element)) return []
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left)
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)
        return wide > 1.5 && high > 1.5
          ? [`"${name(a.element)}" and "${name(b.element)}" by ${Math.round(wide)} × ${Math.round(high)}`]
          : []
      }),
    )
  }, TARGETS)

/** What of a screen runs out of it to the right, in short; parts that scroll by themselves count by their own frame. */
export const beyondTheEdge = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const width = document.documentElement.clientWidth
    const scrolls = (element: Element): boolean => {
      for (let up = element.parentElement; up; up = up.parentElement)
        if (/auto|scroll|hidden|clip/.test(getComputedStyle(up).overflowX)) return true
      return false
    }
    return [...document.body.querySelectorAll<HTMLElement>('*')].flatMap(element => {
      const box = element.getBoundingClientRect()
      if (box.width === 0 || box.right <= width + 1 || scrolls(element) || !element.checkVisibility()) return []
      return [`${element.tagName.toLowerCase()}.${element.className} to ${Math.round(box.right)} of ${width}`]
    })
  })

/** Where the focus is now: its name, whether its outline shows, and how much of it others cover (WCAG 2.2: 2.4.7, 2.4.11). */
export const focusNow = (
  page: Page,
): Promise<{ readonly name: string; readonly outlined: boolean; readonly covered: boolean; readonly key: string }> =>
  page.evaluate(() => {
    const element = document.activeElement as HTMLElement
    const label = (element as HTMLInputElement).labels?.[0]
    const name = element.getAttribute('aria-label') ?? label?.textContent ?? element.textContent ?? ''
    const box = element.getBoundingClientRect()
    // Fields of a switch lie unseen over their label, which bears the outline.
    const shown = getComputedStyle(element).opacity === '0' && label ? label : element
    const style = getComputedStyle(shown)
    const inside = (x: number, y: number): boolean => {
      const top = document.elementFromPoint(x, y)
      return top !== null && (element.contains(top) || top.contains(element) || label?.contains(top) === true)
    }
    const [w, h] = [innerWidth, innerHeight]
    const points = [0.15, 0.5, 0.85].flatMap(a => [0.15, 0.5, 0.85].map(b => [box.left + box.width * a, box.top + box.height * b] as const))
    const seen = points.some(([x, y]) => x >= 0 && y >= 0 && x < w && y < h && inside(x, y))
    return {
      name: name.trim().replace(/\s+/g, ' ').slice(0, 60),
      outlined: style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2,
      covered: !seen,
      key: `${Math.round(box.left)},${Math.round(box.top)}`,
    }
  })
