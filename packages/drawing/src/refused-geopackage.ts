import type { Sentence } from './templates.js'

/** Refusals of GeoPackages. */
export const REFUSED_GEOPACKAGE = {
  'geopackage/coverage': {
    en: 'This GeoPackage holds heights as a gridded coverage, which is not read here. Export it as GeoTIFF and bring that.',
    es: 'Este GeoPackage trae alturas como cobertura en cuadrícula, que aquí no se lee. Expórtelo como GeoTIFF y traiga ese archivo.',
  },
  'geopackage/damaged': {
    en: 'The GeoPackage is damaged: its tables cannot be read. Fetch or export it again.',
    es: 'El GeoPackage está dañado: no se pueden leer sus tablas. Bájelo o expórtelo otra vez.',
  },
  'geopackage/no-features': {
    en: 'This GeoPackage holds no layer of features that can be read. Export the layer as a table of features, or as GeoJSON.',
    es: 'Este GeoPackage no trae ninguna capa de elementos que se pueda leer. Exporte la capa como tabla de elementos o como GeoJSON.',
  },
  'geopackage/not-geopackage': {
    en: 'This is a database but no GeoPackage[: its table {table} is missing or not as it should be]. Export the layer as GeoPackage or GeoJSON.',
    es: 'Esto es una base de datos, pero no un GeoPackage[: le falta la tabla {table}, o no es como debe]. Exporte la capa como GeoPackage o GeoJSON.',
  },
  'geopackage/truncated': {
    en: 'The GeoPackage ends too early: it was cut off on its way. Fetch or export it again.',
    es: 'El GeoPackage termina antes de tiempo: se cortó en el camino. Bájelo o expórtelo otra vez.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
