import type { Sentence } from './templates.js'

/** Remarks on drawings that were brought in, and on the ground that goes with a plan. */
export const FILE_REMARKS = {
  'dxf/blocks-left-out': {
    en: 'The drawing holds {blocks} block(s) (symbols put in as a whole); what they show was left out. Explode them in the drawing program if it is wanted.',
    es: 'El dibujo trae {blocks} bloque(s) (símbolos puestos enteros); lo que muestran se dejó fuera. Si hace falta, descompóngalos en el programa de dibujo.',
  },
  'dxf/lettering-left-out': {
    en: '{texts} piece(s) of lettering or dimensions in the drawing were left out.',
    es: 'Se dejaron fuera {texts} rótulo(s) o cota(s) del dibujo.',
  },
  'dxf/paper-left-out': {
    en: '{shapes} shape(s) on the drawing’s sheets of paper, not on the ground itself, were left out.',
    es: 'Se dejaron fuera {shapes} figura(s) que están en las hojas del dibujo y no en el terreno mismo.',
  },
  'dxf/others-left-out': {
    en: '{shapes} shape(s) of the drawing are no points, lines or outlines seen from above and were left out[: {kinds}].',
    es: '{shapes} figura(s) del dibujo no son puntos, líneas ni contornos vistos desde arriba y se dejaron fuera[: {kinds}].',
  },
  'dxf/unit-taken': {
    en: 'The drawing says that its unit is {unitLength_mm:number} mm long, and was read so. Many programs write a unit that nobody chose: look whether it lies where it should.',
    es: 'El dibujo dice que su unidad mide {unitLength_mm:number} mm, y se leyó así. Muchos programas escriben una unidad que nadie eligió: mire si cae donde debe.',
  },
  'dxf/unit-overridden': {
    en: 'The drawing says that its unit is {unitLength_mm:number} mm long; it was read in the unit that you gave.',
    es: 'El dibujo dice que su unidad mide {unitLength_mm:number} mm; se leyó en la unidad que usted dio.',
  },
  'plan/ground-inside': {
    en: 'The plan’s file holds its ground: {size_MB} MB more. It opens without the raster.',
    es: 'El archivo del plan lleva adentro su terreno: {size_MB} MB más. Se abre sin el ráster.',
  },
  'level-book/start-assumed': {
    en: 'The level book does not say the level of its first point; that of the ground at the base stake was taken, {level_m:height}, which is no better than the height data.',
    es: 'La libreta no dice el nivel de su primer punto; se tomó el del suelo en la estaca base, {level_m:height}, que no es mejor que los datos de altura.',
  },
  'dxf/no-entities': {
    en: 'The drawing has no part in which anything is drawn.',
    es: 'El dibujo no tiene ninguna parte en la que haya algo dibujado.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
