/** How far from a building its height above a flow still matters. Source: judgement. */
export const HEIGHT_MATTERS_m = 30
/** Depth of flow beside a building where it is not worked out. Source: judgement. */
export const FLOW_DEPTH_m = 0.15
