import type { SectionShape } from 'soakline/earthworks'

/** A ditch a metre wide and 40 cm deep, its berm on the lower side: what the trade digs by hand. */
export const USUAL_DITCH: SectionShape = {
  bedWidth_m: 1,
  depth_m: 0.4,
  cutSideSlope_ratio: 1,
  bermInnerSlope_ratio: 1.5,
  bermOuterSlope_ratio: 2,
  crestWidth_m: 0.5,
  bermPerCut_ratio: 0.9,
  freeboard_m: 0.15,
}

/** The same with a bed of 60 cm. */
export const NARROW_DITCH: SectionShape = { ...USUAL_DITCH, bedWidth_m: 0.6 }
