import { InputError } from 'soakline/foundation'

/** Formats that are known by their first bytes and not read here. The bytes are those that the formats' own descriptions give; from memory. */
const OTHERS: readonly { readonly name: string; readonly first: string; readonly at?: number }[] = [
  { name: 'NetCDF', first: 'CDF\x01' },
  { name: 'NetCDF', first: 'CDF\x02' },
  { name: 'HDF5 or NetCDF-4', first: '\x89HDF' },
  { name: 'JPEG 2000', first: '\x00\x00\x00\x0cjP' },
  { name: 'JPEG', first: '\xff\xd8\xff' },
  { name: 'PDF', first: '%PDF' },
  { name: 'LAS (a cloud of points)', first: 'LASF' },
  { name: 'ERDAS Imagine', first: 'EHFA_HEADER_TAG' },
  { name: 'GeoPackage or another SQLite database', first: 'SQLite format 3\x00' },
  { name: 'GRIB', first: 'GRIB' },
  { name: 'a DWG drawing', first: 'AC10' },
  { name: 'Surfer grid', first: 'DSAA' },
  { name: 'Surfer grid', first: 'DSBB' },
  { name: '7-Zip', first: '7z\xbc\xaf' },
  { name: 'RAR', first: 'Rar!' },
  { name: 'gzip', first: '\x1f\x8b' },
  { name: 'a tar archive', first: 'ustar', at: 257 },
  { name: 'a web page', first: '<!DOCTYPE html' },
  { name: 'a web page', first: '<!doctype html' },
  { name: 'a web page', first: '<html' },
]

/** Name of a format that is known and not read here; null for an unknown one. */
export function otherFormat(bytes: Uint8Array): string | null {
  const begins = (first: string, at: number): boolean => [...first].every((sign, k) => bytes[at + k] === sign.charCodeAt(0))
  return OTHERS.find(({ first, at = 0 }) => begins(first, at))?.name ?? null
}

/** Refuses a file of a known other format by its name. Throws InputError `grid/other-format`. */
export function refuseOtherFormat(bytes: Uint8Array): void {
  const format = otherFormat(bytes)
  if (format === null) return
  throw new InputError(
    'grid/other-format',
    `This file is ${format}, which is not read here as ground. Export the ground as GeoTIFF or as an ASCII grid, or unpack it first.`,
    { format },
  )
}
