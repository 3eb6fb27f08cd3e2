/**
 * Standard error of a raster's heights that is reckoned with where nobody has said it. What somebody levels by hand errs by other amounts, which
 * stand with the tools.
 *
 * Units   m. `cell_m`: cells up to `fineCell_m` count as fine.
 * Source  fine: airborne lidar under plants, 0.30 m at the 95th percentile, σ 0.15 m (USGS Lidar Base Specification, quality level 2; from memory,
 *         unchecked; in the open it asks for 0.10 m, the more cautious is taken). Coarse, and where fine ends: judgement.
 */
export const UNKNOWN_ERROR = { fine_m: 0.15, coarse_m: 0.5, fineCell_m: 2 } as const

/** The standard error of the heights as it was said, or else as by `UNKNOWN_ERROR`. */
export const elevationErrorOr_m = (said_m: number | null | undefined, cell_m: number): number =>
  said_m ?? (cell_m <= UNKNOWN_ERROR.fineCell_m ? UNKNOWN_ERROR.fine_m : UNKNOWN_ERROR.coarse_m)

/**
 * The standard error with which a flow is compared with the floor of a building: as it was said, or else the coarse one whatever the cells, for their
 * size proves nothing about their heights. Unit: m. Source: judgement, the cautious side beside a house.
 */
export const errorBesideHouse_m = (said_m: number | null | undefined): number => said_m ?? UNKNOWN_ERROR.coarse_m
