/** A GeoTIFF of any size of which no byte exists before it is read. */
export interface VirtualRaster {
  readonly size: number
  /** The bytes of a stretch, made on the spot. */
  read(offset: number, length: number): Uint8Array<ArrayBuffer>
  /** Bytes of one tile. */
  readonly tileBytes: number
  /** Where the first tile lies. */
  readonly dataStart: number
}
export interface VirtualOptions {
  readonly width: number
  readonly height: number
  /** Side of a tile in cells. */
  readonly tile: number
  /** BigTIFF: offsets of 64 bits. Default true. */
  readonly big?: boolean
  /** Where the tiles begin; default behind the lists. */
  readonly dataStart?: number
  /** Height of a cell. Default gentle ground. Unit: m. */
  readonly height_m?: (column: number, row: number) => number
  /** Longitude and latitude of the outer corner and the side of a cell in degrees; default metres in UTM zone 17 north, cells of 1 m. */
  readonly degrees?: readonly [west: number, north: number, cell: number]
}
export declare const gentle: (column: number, row: number) => number
/** Float32 tiles, not packed, one after another; their lists stand before them. */
export declare function virtualRaster(options: VirtualOptions): VirtualRaster
//# sourceMappingURL=virtual-raster.d.ts.map
