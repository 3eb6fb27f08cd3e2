/** A rectangle on the page, by its middle. */
export interface Box {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
}

/** Keeps writing from lying on other writing. */
export interface LabelPlaces {
  /** True and taken when the box is on the page and free; false otherwise. */
  take(box: Box): boolean
  /** Takes the box whatever lies there. */
  hold(box: Box): void
}

export function labelPlaces(width: number, height: number, margin: number): LabelPlaces {
  const taken: Box[] = []
  const free = (box: Box): boolean =>
    box.x - box.width / 2 >= margin &&
    box.x + box.width / 2 <= width - margin &&
    box.y - box.height / 2 >= margin &&
    box.y + box.height / 2 <= height - margin &&
    !taken.some(t => Math.abs(t.x - box.x) < (t.width + box.width) / 2 && Math.abs(t.y - box.y) < (t.height + box.height) / 2)
  return {
    take: box => {
      if (!free(box)) return false
      taken.push(box)
      return true
    },
    hold: box => {
      taken.push(box)
    },
  }
}

/** Width of a line of writing, near enough to keep others off it. */
export const letteringWidth = (text: string, size: number): number => text.length * size * 0.54
