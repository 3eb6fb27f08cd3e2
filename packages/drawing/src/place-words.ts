import type { Voice } from './voice.js'

/** What the sheet says about one place of the plan, in English. Spanish has the same keys, or does not compile. */
const english = {
  tool: 'What is here?',
  hint: 'Coordinates to copy, height and slope of a place; a long press or the right button on the plan does the same',
  panel: 'Tap the place to read.',
  title: 'This place',
  forms: {
    degrees: 'Latitude, longitude',
    minutes: 'Degrees and minutes, as sets for satellite positions show them',
    grid: 'On the grid of the raster',
  },
  copy: 'Copy',
  copied: 'Copied.',
  notCopied: 'The browser did not let it be copied: mark the text and copy it by hand.',
  line: 'Level line through it',
  measure: 'Measure from it',
  end: 'Put it away',
  away: 'Nothing of this place leaves the device.',
}

/** The words about one place of the plan. */
export type PlaceWords = typeof english

const spanish: PlaceWords = {
  tool: '¿Qué hay aquí?',
  hint: 'Coordenadas para copiar, altura y pendiente de un lugar; lo mismo hace el dedo sostenido o el botón derecho en el plano',
  panel: 'Toque el lugar que quiere leer.',
  title: 'Este lugar',
  forms: {
    degrees: 'Latitud, longitud',
    minutes: 'Grados y minutos, como los muestran los aparatos de posición por satélite',
    grid: 'En la cuadrícula del ráster',
  },
  copy: 'Copiar',
  copied: 'Copiado.',
  notCopied: 'El navegador no dejó copiarlo: marque el texto y cópielo a mano.',
  line: 'Línea a nivel por ahí',
  measure: 'Medir desde ahí',
  end: 'Quitarlo',
  away: 'Nada de este lugar sale del equipo.',
}

/** What the sheet says about one place of the plan. */
export const placeWords = ({ language }: Pick<Voice, 'language'>): PlaceWords => (language === 'es' ? spanish : english)

/** A place in one of the forms that people hand on. */
export interface PlaceForm {
  readonly form: keyof PlaceWords['forms']
  readonly text: string
  /** The coordinate system of a grid; '' for degrees. */
  readonly system: string
}

/** A place as it is read: degrees east and north, and on the raster's own grid. */
export interface PlaceToWrite {
  /** Longitude and latitude in degrees; null on a raster without a place on Earth. */
  readonly lonLat: readonly [number, number] | null
  readonly x_m: number
  readonly y_m: number
  readonly system: string
}

/**
 * A place in degrees (latitude first, as ISO 6709 has it), in degrees and minutes, and on the raster's grid. To a tenth of a metre or two; with
 * a point whatever the language, since devices read them.
 */
export function placeForms({ lonLat, x_m, y_m, system }: PlaceToWrite): PlaceForm[] {
  const grid: PlaceForm = { form: 'grid', text: `E ${x_m.toFixed(1)}, N ${y_m.toFixed(1)}`, system }
  if (lonLat === null) return [grid]
  const [longitude, latitude] = lonLat
  return [
    { form: 'degrees', text: `${latitude.toFixed(6)}, ${longitude.toFixed(6)}`, system: '' },
    { form: 'minutes', text: `${minutes(latitude, 'N', 'S')}, ${minutes(longitude, 'E', 'W')}`, system: '' },
    grid,
  ]
}

/** Minutes to four decimals: 0.2 m. */
const PER_DEGREE = 600_000

function minutes(degrees: number, positive: string, negative: string): string {
  // Counted in whole ten-thousandths, so that 59.99999 minutes become the next degree and never 60.
  const all = Math.round(Math.abs(degrees) * PER_DEGREE)
  const whole = Math.floor(all / PER_DEGREE)
  return `${whole}° ${((all - whole * PER_DEGREE) / 10_000).toFixed(4).padStart(7, '0')}′ ${degrees < 0 ? negative : positive}`
}
