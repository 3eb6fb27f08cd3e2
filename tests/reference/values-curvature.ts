import { type ElevationGrid, elevationGrid } from 'soakline/raster'
import {
  aspect,
  type CurvatureMeasure,
  curvature,
  gradient,
  planCurvature,
  planCurvatureZT,
  profileCurvature,
  profileCurvatureZT,
  surfaceFit,
  tangentialCurvature,
} from 'soakline/terrain'
import { type ReferenceValue, reference } from './reference-value.js'

/** A measure in the middle of a raster. */
const inMiddle = (ground: ElevationGrid, measure: CurvatureMeasure): number =>
  curvature(ground, measure).data[(ground.data.length - 1) / 2]!

/** The 3 × 3 cells round a place of a surface. */
const around = (x0: number, y0: number, cell_m: number, height: (x: number, y: number) => number): ElevationGrid =>
  elevationGrid(
    [1, 0, -1].map(north => [-1, 0, 1].map(east => height(x0 + east * cell_m, y0 + north * cell_m))),
    cell_m,
  )

/** Slopes and curvatures. Sign: positive where hollow, but for the plan curvature of Zevenbergen & Thorne. */
export const CURVATURE_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'TI-3X3-ZT',
      quantity: 'partial derivatives, slope, profile and plan curvature of a 3 × 3 window, cells of 10 m',
      inputs: {
        grid: [
          [101, 100.2, 99.8],
          [100.6, 100, 99.2],
          [100.1, 99.5, 99],
        ],
        cell_m: 10,
      },
      expected: { D: -0.001, E: -0.0015, F: -0.00025, G: -0.07, H: 0.035, slope: 0.078262, profile: -0.002, plan: 0.003 },
      unit: '1/m; slope 1',
      tolerance: { abs: 1e-6 },
      source: 'Zevenbergen & Thorne (1987), their equations on a window of our own',
      known: 'derived',
    },
    ({ grid, cell_m }) => {
      const ground = elevationGrid(grid, cell_m)
      const fit = surfaceFit(ground, 4)
      return {
        D: fit.rxx / 2,
        E: fit.ryy / 2,
        F: fit.rxy,
        G: fit.px,
        H: fit.py,
        slope: Math.hypot(fit.px, fit.py),
        profile: inMiddle(ground, profileCurvatureZT),
        plan: inMiddle(ground, planCurvatureZT),
      }
    },
  ),
  reference(
    {
      id: 'TI-PLANE-HORN/curvatures',
      quantity: 'slope, direction of fall and curvatures of the plane z = 0.03x − 0.04y',
      inputs: { east: 0.03, north: -0.04 },
      expected: { slope: 0.05, aspect_deg: 323.1301, profile: 0, tangential: 0, plan: 0, profileZT: 0, planZT: 0 },
      unit: '1; degrees; 1/m',
      tolerance: { abs: 1e-4 },
      source: 'exact on planes: Horn (1981), Zevenbergen & Thorne (1987)',
      known: 'derived',
    },
    ({ east, north }) => {
      const ground = around(0, 0, 10, (x, y) => east * x + north * y)
      return {
        slope: gradient(ground).data[4]!,
        aspect_deg: aspect(ground).data[4]!,
        profile: inMiddle(ground, profileCurvature),
        tangential: inMiddle(ground, tangentialCurvature),
        plan: inMiddle(ground, planCurvature),
        profileZT: inMiddle(ground, profileCurvatureZT),
        planZT: inMiddle(ground, planCurvatureZT),
      }
    },
  ),
  reference(
    {
      id: 'TI-SPHERE-CURV',
      quantity: 'profile, tangential and plan curvature of a ball of radius 100 m, 30 m off its top',
      inputs: { radius_m: 100, x0_m: 30 },
      expected: { kp: -0.01, kt: -0.01, plan: -0.033333 },
      unit: '1/m',
      tolerance: { abs: 1e-6 },
      source: 'differential geometry; humped is negative',
      known: 'derived',
    },
    ({ radius_m, x0_m }) => {
      // Heights counted from the place itself, so that float32 keeps their bends.
      const top = Math.sqrt(radius_m * radius_m - x0_m * x0_m)
      const ground = around(x0_m, 0, 0.5, (x, y) => Math.sqrt(radius_m * radius_m - x * x - y * y) - top)
      return {
        kp: inMiddle(ground, profileCurvature),
        kt: inMiddle(ground, tangentialCurvature),
        plan: inMiddle(ground, planCurvature),
      }
    },
  ),
  reference(
    {
      id: 'TI-PARAB-CURV',
      quantity: 'slope and curvatures of the bowl z = 0.002(x² + y²), 40 m off its bottom',
      inputs: { k: 0.002, x0_m: 40 },
      expected: { slope: 0.16, kp: 0.0038512, kt: 0.0039498, plan: 0.025, ZT_profile: 0.004, ZT_plan: -0.004 },
      unit: '1; 1/m',
      tolerance: { abs: 1e-6 },
      source: 'differential geometry; Zevenbergen & Thorne (1987)',
      known: 'derived',
    },
    ({ k, x0_m }) => {
      const ground = around(x0_m, 0, 5, (x, y) => k * (x * x + y * y))
      return {
        slope: gradient(ground).data[4]!,
        kp: inMiddle(ground, profileCurvature),
        kt: inMiddle(ground, tangentialCurvature),
        plan: inMiddle(ground, planCurvature),
        ZT_profile: inMiddle(ground, profileCurvatureZT),
        ZT_plan: inMiddle(ground, planCurvatureZT),
      }
    },
  ),
]
