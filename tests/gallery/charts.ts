import { crossSectionSvg, fittingScale, hydrographSvg, longSectionSvg, planSvg, planToScaleSvg, type Voice } from '@soakline/drawing'
import { EN, EN_US, ES, ES_US, hillside } from '../../packages/drawing/test/hillside.js'

const SIZE = { width: 720, height: 340 }
const PAGE = { width_mm: 267, height_mm: 180 }

/** The languages and units that every chart is drawn in. */
export const VOICES: Readonly<Record<string, Voice>> = {
  'English, metric': EN,
  'English, US customary': EN_US,
  'español, métrico': ES,
  'español, pies': ES_US,
}

const input = hillside()

/** Every picture that the shells show of an answer, as SVG. */
export const CHARTS: Readonly<Record<string, (voice: Voice) => string>> = {
  plan: voice => planSvg(input, voice, { width: 720, height: 620 }),
  'plan at night': voice => planSvg({ ...input, night: true, idPrefix: 'night' }, voice, { width: 720, height: 620 }),
  'plan to scale': voice =>
    planToScaleSvg({ ...input, grid: true, idPrefix: 'scaled' }, voice, { ...PAGE, scale: fittingScale(input, voice, PAGE) }),
  'long section': voice => longSectionSvg(input.assessment, voice, SIZE),
  'cross-section': voice => crossSectionSvg(input.assessment.section!, voice, SIZE),
  hydrograph: voice => hydrographSvg(input.assessment, voice, SIZE) ?? '',
}
