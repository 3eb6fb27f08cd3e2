export { contourInterval_m } from './contour-interval.js'
export { type ContourLine, contourLines, contourLinesSteps, linesAt, packedContours } from './contour-lines.js'
export type { PackedContours } from './contour-pass.js'
export {
  type CurvatureMeasure,
  curvature,
  curvatureSteps,
  planCurvature,
  planCurvatureZT,
  profileCurvature,
  profileCurvatureZT,
  type SurfaceFit,
  surfaceFit,
  tangentialCurvature,
} from './curvature.js'
export { type FallLine, fallLine, patchOnward, type Sense, stepOnFall } from './fall-line.js'
export { aspect, gradient, gradientSteps } from './gradient.js'
export { offLevel } from './height-along.js'
export type { LineEnd } from './isoline.js'
export { type GroundLine, lineThrough } from './level-line.js'
export { type LevelPiece, levelLineAlong, levelLineBetween } from './level-line-between.js'
export { linesApart_m } from './line-deviation.js'
export { type MeasuredLeg, type MeasuredWay, measuredWay } from './measured-way.js'
export { type PointSpacing, pointSpacing } from './point-spacing.js'
export { type ProfilePoint, profileAlong } from './profile.js'
export { type DiggingLimits, type SmoothedLine, smoothLine } from './smooth-line.js'
export { surveyGeometry } from './survey-geometry.js'
export { type CheckedPoints, checkSurveyPoints, type SurveyPoint } from './survey-points.js'
export { surfaceFromTriangles, surfaceFromTrianglesSteps } from './triangulated-surface.js'
