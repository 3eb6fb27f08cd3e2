import type { Sentence } from './templates.js'

/** Refusals of files that would do harm: sizes that no ground has, depths that no layer has, readers that do not end. */
export const REFUSED_HOSTILE = {
  'grid/cell-size': {
    en: 'The cells of this raster have a size or a place that no measured ground has. Its georeference is broken, or it is in another unit than it says. Have it exported again.',
    es: 'Las celdas de este ráster tienen un tamaño o un lugar que ningún terreno medido tiene. Su georreferencia está rota, o está en otra unidad que la que dice. Pida que lo exporten otra vez.',
  },
  'file/reader-died': {
    en: 'The part of the page that reads files did not start, or it stopped. Your work is as it was. Reload the page and open the file again.',
    es: 'La parte de la página que lee archivos no arrancó, o se detuvo. Su trabajo está como estaba. Recargue la página y abra el archivo otra vez.',
  },
  'file/reader-stuck': {
    en: 'Reading this file did not come to an end, so it was stopped. Your work is as it was. Have the file exported again as a plain GeoTIFF.',
    es: 'La lectura de este archivo no terminaba, así que se detuvo. Su trabajo está como estaba. Pida que exporten el archivo otra vez, como GeoTIFF sencillo.',
  },
  'grid/bad-fill': {
    en: 'The area up to which gaps are filled must be a number, 0 or more.',
    es: 'El área hasta la que se rellenan huecos debe ser un número, 0 o más.',
  },
  'vector/too-deep': {
    en: 'The file nests lists in lists deeper than any map layer does. It is damaged or hostile; export the layer again.',
    es: 'El archivo mete listas dentro de listas a más hondura que cualquier capa de mapa. Está dañado o es hostil; exporte la capa otra vez.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
