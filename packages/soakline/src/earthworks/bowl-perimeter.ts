/**
 * Wetted perimeter of a parabolic bowl as handbooks shorten it; null where the shortening is not meant to be used, 4 d/T over 1. `wetted` has the
 * exact arc: this checks tables made with the short form.
 *
 * Units   m.
 * Laws    never shorter than the exact arc; longer by less than 1.7 %.
 * Source  T + 8 d²/(3 T): series of the arc length.
 */
export const bowlPerimeterShort_m = (topWidth_m: number, depth_m: number): number | null =>
  topWidth_m > 0 && depth_m >= 0 && 4 * depth_m <= topWidth_m ? topWidth_m + (8 * depth_m * depth_m) / (3 * topWidth_m) : null
