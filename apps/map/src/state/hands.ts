import { createDesigns } from './designs.js'
import { createMatters } from './matters.js'
import { createMeasuring } from './measuring.js'
import { createPlaceHere } from './place-here.js'
import type { Sheet } from './sheet.js'
import { createSwales } from './swales.js'
import { createWaterNow } from './water-now.js'

/** What stands beside the sheet's own state: it asks and shows, and changes the plan by the sheet's edits alone. */
export const createHands = (sheet: Sheet) => {
  const swales = createSwales(sheet)
  return {
    water: createWaterNow(sheet, swales),
    designs: createDesigns(sheet),
    swales,
    matters: createMatters(sheet),
    measuring: createMeasuring(sheet),
    placeHere: createPlaceHere(sheet),
  }
}

export type Hands = ReturnType<typeof createHands>
