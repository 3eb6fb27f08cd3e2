import type { Sentence } from './templates.js'

/** Refusals about finding a coordinate system that a file does not name. */
export const REFUSED_SYSTEMS = {
  'crs/known-points': {
    en: 'Two different points are needed, each with its two coordinates in the file and its place on Earth, at least some ten meters apart.',
    es: 'Hacen falta dos puntos distintos, cada uno con sus dos coordenadas en el archivo y su lugar en la Tierra, a unos diez metros o más uno del otro.',
  },
  'crs/none-fits': {
    en: 'No coordinate system known here puts the file where you say it lies. Look the numbers over, or ask its publisher for the EPSG number.',
    es: 'Ningún sistema de coordenadas conocido aquí pone el archivo donde usted dice. Revise los números, o pida el número EPSG a quien lo publicó.',
  },
  'crs/several-fit': {
    en: 'Several coordinate systems put the file there. Say which one; two exactly known points tell most of them apart.',
    es: 'Varios sistemas de coordenadas ponen el archivo ahí. Diga cuál; dos puntos bien conocidos distinguen casi todos.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
