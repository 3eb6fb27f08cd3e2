/** Half the longer axis of the WGS 84 ellipsoid, metres. Source: its definition (from memory). */
export const SEMI_MAJOR_m = 6378137
/** Metres of a degree of the equator, near enough for sizes and distances that are only compared. */
export const METRES_PER_DEGREE = 111_320
